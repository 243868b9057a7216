//! Pain that was reported: what is still to be answered, which movements are out of the coming sessions because of it, and where a
//! clinician should be seen. It never says what a pain is.

use super::Known;
use serde::{Deserialize, Serialize};
use setwright_estimate::advice::Recommendation;
use setwright_model::ledger::{EventId, Moment, PainReply};
use setwright_model::person::BodyPart;
use setwright_model::{BlockKind, Catalogue, Exercise, ExerciseId, Programme, Session};
use setwright_store::PainState;
use std::collections::BTreeMap;

/// Reports of one place from which a clinician is asked for, and the days among which they are counted (judgement, on the side of
/// asking: what comes back three times in a month is not for a coach to wait out).
const REPORTS: usize = 3;
const WITHIN_DAYS: f64 = 28.0;
const DAY_H: f64 = 24.0;

/// What the reports of a client's pain ask for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pains {
    /// All reports by time, answered or not.
    pub reports: Vec<PainState>,
    /// Exercises that are out of the coming sessions, each with the report that keeps it out.
    pub out: BTreeMap<ExerciseId, EventId>,
}

/// Why a clinician is to be seen for a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum SeeClinician {
    /// It was reported so often in four weeks.
    Often(usize),
    /// Pain in the chest is on the list of warning signs: once is enough.
    Sign,
}

impl Pains {
    /// What these reports ask for.
    pub fn of(reports: Vec<PainState>, catalogue: &Catalogue) -> Self {
        let mut out = BTreeMap::new();
        for report in reports.iter().filter(|report| keeps_out(report)) {
            let Some(hurts) = report.report.exercise.as_ref() else { continue };
            out.insert(hurts.clone(), report.id);
            let Some(hurts) = catalogue.get(hurts) else { continue };
            for near in catalogue.iter().filter(|other| is_near(hurts, other)) {
                out.entry(near.id.clone()).or_insert(report.id);
            }
        }
        Self { reports, out }
    }

    /// Reports that nobody has answered, the latest first.
    pub fn open(&self) -> impl Iterator<Item = &PainState> {
        self.reports.iter().rev().filter(|report| report.answer.is_none())
    }

    /// Places for which a clinician is to be seen now, and why. An answer does not change it.
    pub fn clinician(&self, now: Moment) -> Vec<(BodyPart, SeeClinician)> {
        let lately = |report: &&PainState| now.hours_since(report.at).get() <= WITHIN_DAYS * DAY_H;
        let mut counted: BTreeMap<BodyPart, usize> = BTreeMap::new();
        for report in self.reports.iter().filter(lately) {
            *counted.entry(report.report.place).or_default() += 1;
        }
        let asks = |(place, times): (BodyPart, usize)| match place {
            BodyPart::Chest => Some((place, SeeClinician::Sign)),
            _ if times >= REPORTS => Some((place, SeeClinician::Often(times))),
            _ => None,
        };
        counted.into_iter().filter_map(asks).collect()
    }

    /// Whether following advice would load what hurts: more weight on a movement that is out, more sets or sessions for a muscle
    /// that the movement at which it hurt is for.
    pub fn forbids(&self, what: &Recommendation, catalogue: &Catalogue) -> bool {
        let hurt = self.reports.iter().filter(|report| keeps_out(report));
        let mut hurt = hurt.filter_map(|report| catalogue.get(report.report.exercise.as_ref()?));
        match what {
            Recommendation::Load { exercise, .. } => self.out.contains_key(exercise),
            Recommendation::Sessions { muscle, .. } | Recommendation::Sets { muscle, .. } => {
                hurt.any(|exercise| exercise.direct.contains(muscle))
            }
            Recommendation::Deload | Recommendation::Stalled => false,
        }
    }

    /// A session without what is out. It may be left empty.
    pub fn without(&self, session: &Session) -> Session {
        let mut left = session.clone();
        for block in &mut left.blocks {
            let before = block.exercises.len();
            block.exercises.retain(|p| !self.out.contains_key(&p.id));
            if block.exercises.len() == 1 && before > 1 {
                block.kind = BlockKind::Straight;
            }
        }
        left.blocks.retain(|block| !block.exercises.is_empty());
        left
    }

    /// Exercises that a session loses, with the report that keeps each out.
    pub fn left_out<'a>(
        &'a self,
        session: &'a Session,
    ) -> impl Iterator<Item = (&'a ExerciseId, &'a PainState)> {
        session.prescriptions().filter_map(|p| {
            let report = self.out.get(&p.id)?;
            Some((&p.id, self.reports.iter().find(|r| r.id == *report)?))
        })
    }
}

/// The programme in force as it is trained: without what is out for pain. Sessions keep their places.
pub fn to_train(known: &Known) -> Option<Programme> {
    let programme = &known.programme.as_ref()?.programme;
    let sessions = programme.sessions.iter().map(|session| known.pains.without(session)).collect();
    Some(Programme { sessions, ..programme.clone() })
}

/// Whether a report keeps its movement out: until somebody says that it is trained again.
fn keeps_out(report: &PainState) -> bool {
    report.answer.as_ref().is_none_or(|answer| answer.reply == PainReply::LeaveOut)
}

/// Whether an exercise is a near neighbour of one that hurts: the same movement pattern, or its easier or harder form.
fn is_near(hurts: &Exercise, other: &Exercise) -> bool {
    let is_form = |of: &Exercise, id: &ExerciseId| of.easier.contains(id) || of.harder.contains(id);
    other.pattern == hurts.pattern || is_form(hurts, &other.id) || is_form(other, &hurts.id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_gym::catalogue::builtin;
    use setwright_model::ledger::{Actor, PainReported};
    use setwright_model::{FractionalSets, Kilograms, Muscle};
    use setwright_store::PainAnswer;

    fn at(day: i64) -> Moment {
        let first: Moment = "2026-11-01T18:00:00+01:00".parse().unwrap();
        Moment::new(first.unix_ms() + day * 86_400_000, 60).unwrap()
    }

    fn report(nth: u8, day: i64, place: BodyPart, exercise: Option<&str>) -> PainState {
        let id = EventId::derived([nth; 16]);
        let report = PainReported {
            place,
            side: None,
            exercise: exercise.map(ExerciseId::from),
            session: None,
            words: String::new(),
        };
        PainState { id, at: at(day), report, answer: None }
    }

    fn answered(report: PainState, reply: PainReply) -> PainState {
        let answer = PainAnswer { at: report.at, by: Actor::COACH, reply, reason: None };
        PainState { answer: Some(answer), ..report }
    }

    fn out(reports: Vec<PainState>) -> Vec<String> {
        Pains::of(reports, builtin()).out.keys().map(ToString::to_string).collect()
    }

    #[test]
    fn the_movement_and_its_near_neighbours_are_out_until_somebody_lets_them_back() {
        let squat = || report(1, 0, BodyPart::Knee, Some("back_squat"));
        let open = out(vec![squat()]);
        for gone in ["back_squat", "front_squat"] {
            assert!(open.iter().any(|id| id == gone), "{gone}: {open:?}");
        }
        for stays in ["bench_press", "barbell_row"] {
            assert!(!open.iter().any(|id| id == stays), "{stays}: {open:?}");
        }
        assert_eq!(out(vec![answered(squat(), PainReply::LeaveOut)]), open);
        assert!(out(vec![answered(squat(), PainReply::TrainAgain)]).is_empty());
        let other = report(2, 0, BodyPart::Knee, Some("front_squat"));
        assert!(
            !out(vec![answered(squat(), PainReply::TrainAgain), other]).is_empty(),
            "the other one is open"
        );
    }

    #[test]
    fn no_advice_loads_what_hurts() {
        let load = |id: &str| Recommendation::Load {
            exercise: id.into(),
            from: Kilograms(80.0),
            to: Kilograms(82.5),
        };
        let more =
            |muscle| Recommendation::Sets { muscle, from: FractionalSets(6.0), to: FractionalSets(9.0) };
        let squat = report(1, 0, BodyPart::Knee, Some("back_squat"));
        let of = |report: PainState, what: &Recommendation| {
            Pains::of(vec![report], builtin()).forbids(what, builtin())
        };
        for what in [load("back_squat"), load("front_squat"), more(Muscle::Quads)] {
            assert!(of(squat.clone(), &what), "{what:?}");
            assert!(!of(answered(squat.clone(), PainReply::TrainAgain), &what), "{what:?}");
        }
        for what in [load("bench_press"), more(Muscle::Chest), Recommendation::Deload] {
            assert!(!of(squat.clone(), &what), "{what:?}");
        }
    }

    #[test]
    fn three_reports_of_one_place_in_four_weeks_ask_for_a_clinician_answered_or_not() {
        let knee = |nth, day| answered(report(nth, day, BodyPart::Knee, None), PainReply::TrainAgain);
        let asked = |reports: Vec<PainState>, now| Pains::of(reports, builtin()).clinician(at(now));
        let three = || vec![knee(1, 0), knee(2, 10), knee(3, 28)];
        assert_eq!(asked(three(), 28), [(BodyPart::Knee, SeeClinician::Often(3))]);
        assert!(asked(three(), 29).is_empty(), "the first is too long ago");
        let mixed = vec![knee(1, 0), knee(2, 10), report(3, 12, BodyPart::Elbow, None)];
        assert!(asked(mixed, 12).is_empty(), "two places");
        assert_eq!(
            asked(vec![report(1, 0, BodyPart::Chest, None)], 1),
            [(BodyPart::Chest, SeeClinician::Sign)],
            "pain in the chest is a warning sign"
        );
    }

    #[test]
    fn a_session_loses_what_is_out_and_what_is_left_alone_is_straight() {
        let p = |id: &str| setwright_model::Prescription {
            id: id.into(),
            sets: 3,
            reps: [8, 12],
            rir: 2,
            load_kg: None,
            ramp: Vec::new(),
        };
        let block = |kind, ids: &[&str]| setwright_model::Block {
            kind,
            rest_s: setwright_model::Seconds(90.0),
            exercises: ids.iter().map(|id| p(id)).collect(),
        };
        let session = Session {
            day: 1,
            focus: String::new(),
            blocks: vec![
                block(BlockKind::Straight, &["back_squat"]),
                block(BlockKind::Alternating, &["front_squat", "bench_press"]),
            ],
        };
        let pains = Pains::of(vec![report(1, 0, BodyPart::Knee, Some("back_squat"))], builtin());
        let left = pains.without(&session);
        let ids: Vec<&str> = left.prescriptions().map(|p| p.id.as_str()).collect();
        assert_eq!(
            (ids, left.blocks.len(), left.blocks[0].kind),
            (vec!["bench_press"], 1, BlockKind::Straight)
        );
        assert_eq!(pains.left_out(&session).count(), 2);
    }
}
