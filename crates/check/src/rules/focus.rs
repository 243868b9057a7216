//! What a session is for: the focus the coach asked for (SW135), the whole body where it must be (SW138), and the
//! shape of a client's first weeks (SW160).

use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{count, list, number};
use setwright_model::brief::{Focus, Priority};
use setwright_model::pattern::{Region, Side};
use setwright_model::{Brief, Muscle, Pattern, Severity};

/// Sessions a week in the first weeks, at least and at most (common practice, no source (T)).
const FIRST_WEEKS_SESSIONS: (f64, f64) = (2.0, 3.0);
/// Sessions from which days side by side may be two halves of the body (common practice, no source (T)).
const HALVES_FROM: usize = 4;
/// Rounding of sessions a week in a cycle that is not a week (judgement).
const TOLERANCE_SESSIONS: f64 = 0.05;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief else { return };
    for stage in &scene.stages {
        match brief.style.focus.get(stage.rank) {
            Some(focus) => off_focus(scene, stage, *focus, out),
            None if scene.rules.whole_body_only && !may_be_halves(scene) => not_whole(scene, stage, out),
            None => {}
        }
    }
    if scene.is_first_weeks() {
        first_weeks(scene, brief, out);
    }
}

/// Whether sessions meet on neighbouring days, where two halves serve better than the whole body.
fn may_be_halves(scene: &Scene<'_>) -> bool {
    let days: Vec<u32> = scene.stages.iter().map(|s| s.session.day).collect();
    let near = days.windows(2).any(|pair| pair[1] <= pair[0] + 1);
    !scene.is_first_weeks() && days.len() >= HALVES_FROM && near
}

fn off_focus(scene: &Scene<'_>, stage: &Stage<'_>, focus: Focus, out: &mut Findings) {
    for item in stage.items.iter().filter(|i| !belongs(i.exercise.pattern, focus)) {
        let name = focus_name(focus);
        let cause = format!("A {} does not belong to a session for {name}.", item.exercise.pattern.name());
        let severity = scene.bend(stage.rank, &[&item.exercise.id]);
        let at = At::Exercise(stage.rank, item.block, item.lane);
        out.add(at, severity, "SW135", cause, "Move it to another session, or swap it.");
    }
}

fn belongs(pattern: Pattern, focus: Focus) -> bool {
    let (region, side) = (pattern.region(), pattern.side());
    let trunk = region == Region::Trunk;
    match focus {
        Focus::WholeBody => true,
        Focus::Upper => region == Region::Upper || trunk,
        Focus::Lower => region == Region::Lower || trunk,
        Focus::Push => side == Side::Push || trunk,
        Focus::Pull => side == Side::Pull || trunk,
        Focus::Legs => region == Region::Lower,
    }
}

const fn focus_name(focus: Focus) -> &'static str {
    match focus {
        Focus::WholeBody => "the whole body",
        Focus::Upper => "the upper body",
        Focus::Lower => "the lower body",
        Focus::Push => "pushing",
        Focus::Pull => "pulling",
        Focus::Legs => "the legs",
    }
}

/// Push, pull and legs in each session, as far as they can be trained at all.
fn not_whole(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let missing = missing_parts(scene, stage);
    if !missing.is_empty() {
        let first = scene.is_first_weeks();
        let by_wish = missing.iter().all(|part| part.is_unwanted(scene));
        let code = if first { "SW160" } else { "SW138" };
        let severity = if first && !by_wish { Severity::Error } else { Severity::Warning };
        let names: Vec<String> = missing.iter().map(|part| part.name.to_owned()).collect();
        let cause =
            format!("The session is not for the whole body: no {}.", list(&names).replace(" and ", " or "));
        let hint = format!("Add an exercise for {}.", names[0]);
        out.add(At::Session(stage.rank), severity, code, cause, hint);
    }
}

/// A part of the whole body: sides of patterns, and the muscles it is there for.
struct Part {
    name: &'static str,
    sides: &'static [Side],
    muscles: &'static [Muscle],
}

const PARTS: [Part; 3] = [
    Part { name: "pushing", sides: &[Side::Push], muscles: &[Muscle::Chest] },
    Part { name: "pulling", sides: &[Side::Pull], muscles: &[Muscle::Lats, Muscle::UpperBack] },
    Part {
        name: "legs",
        sides: &[Side::Knee, Side::Hip],
        muscles: &[Muscle::Quads, Muscle::Hamstrings, Muscle::Glutes],
    },
];

impl Part {
    /// Whether the brief itself makes less of one of its muscles.
    fn is_unwanted(&self, scene: &Scene<'_>) -> bool {
        self.muscles.iter().any(|m| {
            let wish = scene.brief.and_then(|b| b.muscles.get(m));
            let excluded = scene.brief.is_some_and(|b| b.exclude.muscles.contains(m));
            excluded || scene.priority(*m) <= Priority::Low || wish.is_some_and(|w| w.sessions.is_some())
        })
    }
}

fn missing_parts(scene: &Scene<'_>, stage: &Stage<'_>) -> Vec<Part> {
    let has = |side: &Side| stage.items.iter().any(|i| side_of(i) == *side || side_of(i) == Side::Whole);
    let missed =
        |part: &Part| !part.sides.iter().any(has) && part.sides.iter().any(|s| scene.is_possible(*s));
    PARTS.into_iter().filter(missed).collect()
}

fn side_of(item: &Item<'_>) -> Side {
    item.exercise.pattern.side()
}

/// How often the first weeks train. One set each and six exercises are the rules' own numbers (SW115).
fn first_weeks(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let sessions = scene.stages.len() as u32;
    let weekly = f64::from(sessions) * 7.0 / f64::from(brief.time.cycle_days.max(1));
    let (least, most) = FIRST_WEEKS_SESSIONS;
    if weekly < least - TOLERANCE_SESSIONS || weekly > most + TOLERANCE_SESSIONS {
        let cause = format!(
            "{} in {} are {} a week; the first weeks have {} to {}.",
            count(sessions, "session"),
            count(brief.time.cycle_days, "day"),
            number(weekly),
            number(least),
            number(most)
        );
        // What the coach asked for is the coach's to ask.
        let asked = sessions == brief.time.sessions;
        let severity = if asked { Severity::Warning } else { Severity::Error };
        out.add(At::Programme, severity, "SW160", cause, "Ask for two or three sessions a week.");
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, WARNING, exercise, press, row, sets, squat, straight};
    use setwright_model::brief::{Focus, Priority, TrainingAge};
    use setwright_model::{Muscle, Pattern, Severity};

    fn session(ids: &[&str]) -> Case {
        let plank = exercise("plank", Pattern::TrunkBrace, &[Muscle::Abs], &[]);
        let carry = exercise("carry", Pattern::Carry, &[Muscle::Forearms], &[]);
        let blocks: Vec<_> = ids.iter().map(|id| straight(sets(id, 1))).collect();
        Case::new([press(), row(), squat(), plank, carry]).day(1, blocks)
    }

    fn focused(focus: Focus, id: &str) -> (usize, usize, usize) {
        session(&[id]).brief(|b| b.style.focus = vec![focus]).said("SW135")
    }

    #[test]
    fn a_session_keeps_to_its_focus() {
        let rows = [
            (Focus::WholeBody, ["press", "row", "squat", "plank", "carry"].as_slice(), [].as_slice()),
            (Focus::Upper, &["press", "row", "plank"], &["squat", "carry"]),
            (Focus::Lower, &["squat", "plank"], &["press", "row", "carry"]),
            (Focus::Push, &["press", "plank"], &["row", "squat", "carry"]),
            (Focus::Pull, &["row", "plank"], &["press", "squat", "carry"]),
            (Focus::Legs, &["squat"], &["press", "row", "plank", "carry"]),
        ];
        for (focus, fits, off) in rows {
            for id in fits {
                assert_eq!(focused(focus, id), NONE, "{focus:?} {id}");
            }
            for id in off {
                assert_eq!(focused(focus, id), ERROR, "{focus:?} {id}");
            }
        }
    }

    #[test]
    fn what_the_coach_fixed_may_be_off_the_focus() {
        let case = session(&["squat"]).brief(|b| b.style.focus = vec![Focus::Upper]);
        assert_eq!(case.lock("squat", |_| {}).said("SW135"), WARNING);
    }

    fn aged(ids: &[&str], age: TrainingAge) -> Case {
        session(ids).brief(|b| b.training_age = age)
    }

    #[test]
    fn newer_clients_train_the_whole_body_each_time() {
        let said = |ids: &[&str], age| aged(ids, age).said("SW138");
        assert_eq!(said(&["press", "row", "squat"], TrainingAge::Beginner), NONE);
        assert_eq!(said(&["press", "row"], TrainingAge::Beginner), WARNING);
        assert_eq!(said(&["carry"], TrainingAge::Beginner), NONE, "a lift of the whole body is everything");
        assert_eq!(said(&["press", "row"], TrainingAge::Intermediate), NONE);
    }

    #[test]
    fn four_sessions_with_neighbouring_days_may_be_halves() {
        let on = |days: &[u32], age| {
            let blocks = |id: &str| [straight(sets(id, 3))];
            let case = session(&["press", "row"]).brief(|b| b.training_age = age);
            let more = days.iter().zip(["squat", "press", "squat"]);
            more.fold(case, |c, (day, id)| c.day(*day, blocks(id))).said("SW138").1
        };
        assert_eq!(on(&[2, 4, 5], TrainingAge::Beginner), 0);
        assert!(on(&[3, 5, 7], TrainingAge::Beginner) > 0, "no two are neighbours");
        assert!(on(&[2, 4], TrainingAge::Beginner) > 0, "three sessions");
    }

    #[test]
    fn what_cannot_be_trained_is_not_missed() {
        let case = aged(&["press", "row"], TrainingAge::Beginner);
        assert_eq!(case.brief(|b| b.exclude.muscles = vec![Muscle::Quads]).said("SW138"), NONE);
    }

    /// Sessions of the first weeks on the first days of a cycle.
    fn first(ids: &[&str], sessions: u32, cycle_days: u32, asked: u32) -> (usize, usize, usize) {
        let mut case = aged(ids, TrainingAge::FirstWeeks);
        let one = case.programme.sessions[0].clone();
        case.programme.cycle_days = cycle_days;
        case.programme.sessions =
            (0..sessions).map(|i| setwright_model::Session { day: 1 + 2 * i, ..one.clone() }).collect();
        case.brief(|b| (b.time.cycle_days, b.time.sessions) = (cycle_days, asked)).said("SW160")
    }

    #[test]
    fn the_first_weeks_train_two_or_three_times_a_week() {
        let ids = ["press", "row", "squat"];
        assert_eq!(first(&ids, 1, 7, 2), ERROR);
        assert_eq!(first(&ids, 2, 7, 2), NONE);
        assert_eq!(first(&ids, 3, 7, 3), NONE);
        assert_eq!(first(&ids, 4, 7, 3), ERROR);
        assert_eq!(first(&ids, 4, 7, 4), WARNING, "the coach asked for it");
        assert_eq!(first(&ids, 4, 10, 4), NONE, "2.8 a week");
    }

    #[test]
    fn the_first_weeks_train_the_whole_body() {
        assert_eq!(first(&["press", "row"], 2, 7, 2), (2, 0, 0), "both sessions");
        let case = aged(&["press", "row"], TrainingAge::FirstWeeks).brief(|b| b.time.cycle_days = 7);
        let spared = case.wish(Muscle::Quads, |w| w.priority = Some(Priority::Low));
        let legs = |c: &Case| {
            let report = c.report();
            report.findings.into_iter().find(|f| f.cause.contains("no legs")).map(|f| f.severity)
        };
        assert_eq!(legs(&spared), Some(Severity::Warning), "the coach makes less of the legs");
    }

    #[test]
    fn the_first_weeks_have_one_set_of_six_exercises() {
        let one = |n| {
            let case = Case::new([press()]).day(1, [straight(sets("press", n))]);
            case.brief(|b| b.training_age = TrainingAge::FirstWeeks).said("SW115")
        };
        assert_eq!(one(1), NONE);
        assert_eq!(one(2), WARNING);
        let many = |n: usize| {
            let all: Vec<_> =
                (0..n).map(|i| exercise(&format!("e{i}"), Pattern::ALL[i], &[Muscle::Calves], &[])).collect();
            let blocks: Vec<_> = all.iter().map(|e| straight(sets(e.id.as_str(), 1))).collect();
            Case::new(all).day(1, blocks).brief(|b| b.training_age = TrainingAge::FirstWeeks).said("SW115")
        };
        assert_eq!(many(6), NONE);
        assert_eq!(many(7), WARNING);
    }
}
