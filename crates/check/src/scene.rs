//! What every rule looks at: the programme in order of days, with its exercises found, timed and counted, and
//! the collector of findings. It judges nothing.

mod asked;

use crate::client::Client;
use crate::sane;
use setwright_gym::loads::Loadable;
pub(crate) use setwright_model::FindingPlace as At;
use setwright_model::brief::{Brief, Equipment, Goal, Lock, Priority, Time, TrainingAge};
use setwright_model::limits::SETS_AUDIT_MAX;
use setwright_model::{
    Belief, Block, Catalogue, Exercise, ExerciseId, Finding, FractionalSets, Hours, Minutes,
};
use setwright_model::{Muscle, Prescription, Programme, Sentence, Session, Severity};
use setwright_science::clock::{self, Timeline};
use setwright_science::dose;
use setwright_science::rules::Rules;
use std::rc::Rc;

/// Hour of the day at which sessions are taken to start (judgement: after work).
const START_HOUR: f64 = 18.0;

/// An exercise of a session that the catalogue knows.
pub(crate) struct Item<'a> {
    /// Which block, from 0.
    pub block: usize,
    /// Which exercise of the block, from 0.
    pub lane: usize,
    /// The exercise.
    pub exercise: &'a Exercise,
    /// What is prescribed.
    pub prescription: &'a Prescription,
}

impl Item<'_> {
    /// Sets, inside what can be reckoned with.
    pub fn sets(&self) -> u32 {
        self.prescription.sets.min(SETS_AUDIT_MAX)
    }
}

/// A session with all that was found out about it.
pub(crate) struct Stage<'a> {
    /// Place in the order of days, from 0.
    pub rank: usize,
    /// As written.
    pub session: &'a Session,
    /// Known exercises in order.
    pub items: Vec<Item<'a>>,
    /// As timed.
    pub timeline: Timeline,
    /// Fractional sets by muscle.
    pub doses: [FractionalSets; Muscle::COUNT],
}

impl Stage<'_> {
    /// Fractional sets of a muscle.
    pub fn dose(&self, muscle: Muscle) -> f64 {
        self.doses[muscle.index()].get()
    }

    /// Start in hours from the beginning of the cycle.
    pub fn start(&self) -> Hours {
        Hours(24.0 * (f64::from(self.session.day) - 1.0) + START_HOUR)
    }

    /// The known exercises of a block.
    pub fn of_block(&self, block: usize) -> Vec<&Item<'_>> {
        self.items.iter().filter(|i| i.block == block).collect()
    }
}

/// Everything the rules look at.
pub(crate) struct Scene<'a> {
    pub programme: &'a Programme,
    pub brief: Option<&'a Brief>,
    pub catalogue: &'a Catalogue,
    pub belief: &'a Belief,
    pub rules: Rules,
    pub client: Rc<Client<'a>>,
    /// Sessions in order of days.
    pub stages: Vec<Stage<'a>>,
}

impl<'a> Scene<'a> {
    pub fn new(
        programme: &'a Programme,
        brief: Option<&'a Brief>,
        catalogue: &'a Catalogue,
        belief: &'a Belief,
    ) -> Self {
        let client = Client::of(brief, &rules_of(brief), catalogue, belief);
        Self::with(programme, brief, catalogue, belief, Rc::new(client))
    }

    /// Of a client that was read before.
    pub fn with(
        programme: &'a Programme,
        brief: Option<&'a Brief>,
        catalogue: &'a Catalogue,
        belief: &'a Belief,
        client: Rc<Client<'a>>,
    ) -> Self {
        let cold = brief.is_some_and(|b| b.time.cold);
        let mut order: Vec<&Session> = programme.sessions.iter().collect();
        order.sort_by_key(|s| s.day);
        let stages = order.iter().enumerate().map(|(rank, s)| stage(rank, s, catalogue, cold)).collect();
        Self { programme, brief, catalogue, belief, rules: rules_of(brief), client, stages }
    }

    /// The loads that the client can make.
    pub fn loadable(&self, exercise: &Exercise) -> Result<Loadable, String> {
        self.brief.map_or_else(
            || Loadable::of(&Equipment::default(), exercise),
            |brief| Loadable::of_client(brief, exercise),
        )
    }

    /// Minutes that a session may take.
    pub fn limit(&self, rank: usize) -> Option<Minutes> {
        self.brief.map(|b| b.time.minutes.of(rank))
    }

    /// How much a muscle matters.
    pub fn priority(&self, muscle: Muscle) -> Priority {
        let wish = self.brief.and_then(|b| b.muscles.get(&muscle));
        wish.and_then(|w| w.priority).unwrap_or(Priority::Normal)
    }

    /// Whether a muscle has a high or top priority.
    pub fn is_priority(&self, muscle: Muscle) -> bool {
        self.priority(muscle) >= Priority::High
    }

    /// Whether the brief is for the first weeks of training.
    pub fn is_first_weeks(&self) -> bool {
        self.brief.is_some_and(|b| b.training_age.is_first_weeks())
    }

    /// The locks that hold for an exercise in a session.
    fn locks_of(&self, rank: usize, id: &ExerciseId) -> impl Iterator<Item = &'a Lock> {
        let locks = self.brief.map_or(&[][..], |b| &b.locks[..]);
        let id = id.clone();
        let here = u32::try_from(rank + 1).ok();
        locks.iter().filter(move |l| l.exercise == id && (l.session.is_none() || l.session == here))
    }

    /// Whether the coach has fixed an exercise in a session.
    pub fn is_locked(&self, rank: usize, id: &ExerciseId) -> bool {
        self.locks_of(rank, id).next().is_some()
    }

    /// Whether the coach has fixed an exercise in any session.
    pub fn is_locked_anywhere(&self, id: &ExerciseId) -> bool {
        self.brief.is_some_and(|b| b.locks.iter().any(|l| l.exercise == *id))
    }

    /// Whether the coach has fixed the sets of an exercise in a session.
    pub fn locks_sets(&self, rank: usize, id: &ExerciseId, sets: u32) -> bool {
        self.locks_of(rank, id).any(|l| l.sets == Some(sets))
    }

    /// Whether the coach has fixed that two exercises share a block.
    pub fn locks_pair(&self, rank: usize, a: &ExerciseId, b: &ExerciseId) -> bool {
        let one_way = |x, y| self.locks_of(rank, x).any(|l| l.with.as_ref() == Some(y));
        one_way(a, b) || one_way(b, a)
    }

    /// An error, or a warning when the coach has fixed every exercise it is about.
    pub fn bend(&self, rank: usize, ids: &[&ExerciseId]) -> Severity {
        if !ids.is_empty() && ids.iter().all(|id| self.is_locked(rank, id)) {
            Severity::Warning
        } else {
            Severity::Error
        }
    }

    /// The plain name of an exercise.
    pub fn name(&self, id: &ExerciseId) -> String {
        self.catalogue.get(id).map_or_else(|| id.to_string(), |e| e.name.clone())
    }

    fn session_name(&self, rank: usize) -> String {
        let day = self.stages.get(rank).map_or(0, |s| s.session.day);
        format!("session {} (day {day})", rank + 1)
    }

    /// The place in plain words: made last, of what the place is as data.
    pub fn subject(&self, at: At) -> String {
        match at {
            At::Programme => "the programme".to_owned(),
            At::Client => "the client".to_owned(),
            At::Muscle(m) => m.name().to_owned(),
            At::Session(s) => self.session_name(s),
            At::MuscleIn(s, m) => format!("{}, {}", self.session_name(s), m.name()),
            At::Block(s, b) => format!("{}, block {}", self.session_name(s), b + 1),
            At::Exercise(s, b, lane) => {
                let block = self.stages.get(s).and_then(|st| st.session.blocks.get(b));
                let id = block.and_then(|b: &Block| b.exercises.get(lane)).map(|p| self.name(&p.id));
                let name = id.unwrap_or_else(|| "exercise".to_owned());
                format!("{}, block {}, {name}", self.session_name(s), b + 1)
            }
        }
    }
}

fn stage<'a>(rank: usize, session: &'a Session, catalogue: &'a Catalogue, cold: bool) -> Stage<'a> {
    let sane = sane::copy(session, catalogue);
    let timeline = clock::session(&sane, catalogue, cold).unwrap_or_default();
    let doses = dose::of_session(&sane, catalogue);
    Stage { rank, session, items: items(session, catalogue), timeline, doses }
}

fn items<'a>(session: &'a Session, catalogue: &'a Catalogue) -> Vec<Item<'a>> {
    let mut items = Vec::new();
    for (block, b) in session.blocks.iter().enumerate() {
        for (lane, prescription) in b.exercises.iter().enumerate() {
            if let Some(exercise) = catalogue.get(&prescription.id) {
                items.push(Item { block, lane, exercise, prescription });
            }
        }
    }
    items
}

/// The rules for a brief, or the loosest.
pub(crate) fn rules_of(brief: Option<&Brief>) -> Rules {
    brief.map_or_else(loosest, Rules::of)
}

/// The loosest of every training age, for a programme without a brief: what breaks these breaks for anyone.
fn loosest() -> Rules {
    use TrainingAge::{Advanced, Beginner, FirstWeeks, Intermediate};
    let all = [FirstWeeks, Beginner, Intermediate, Advanced].map(|age| Rules::of(&stand_in(age)));
    all.into_iter().reduce(looser).unwrap_or(all[3])
}

fn looser(a: Rules, b: Rules) -> Rules {
    Rules {
        sets: (a.sets.0.min(b.sets.0), a.sets.1.max(b.sets.1)),
        skill: a.skill.max(b.skill),
        strain: a.strain.max(b.strain),
        systemic: a.systemic.max(b.systemic),
        spinal: a.spinal.max(b.spinal),
        grip: a.grip.max(b.grip),
        spine_heavy: a.spine_heavy.max(b.spine_heavy),
        exercises: a.exercises.max(b.exercises),
        same_muscle: a.same_muscle || b.same_muscle,
        taxing_may_share: a.taxing_may_share || b.taxing_may_share,
        whole_body_only: a.whole_body_only && b.whole_body_only,
        major_sessions: a.major_sessions.min(b.major_sessions),
    }
}

fn stand_in(training_age: TrainingAge) -> Brief {
    Brief::new("", Goal::General, training_age, Time::weekly(1, Minutes(60.0)))
}

/// A finding before it is put into words.
pub(crate) struct Raw {
    pub at: At,
    pub severity: Severity,
    pub code: &'static str,
    /// By how much the rule is missed, in sets, minutes or points; 0 where there is nothing to measure. It
    /// tells a repair that it is getting nearer.
    pub excess: f64,
    cause: Sentence,
    hint: Sentence,
}

impl Raw {
    /// Says by how much the rule is missed.
    pub fn by(&mut self, excess: f64) {
        self.excess = excess;
    }
}

/// Findings as they come.
#[derive(Default)]
pub(crate) struct Findings(Vec<Raw>);

impl Findings {
    pub fn add(
        &mut self,
        at: At,
        severity: Severity,
        code: &'static str,
        cause: impl Into<Sentence>,
        hint: impl Into<Sentence>,
    ) -> &mut Raw {
        let raw = Raw { at, severity, code, excess: 0.0, cause: cause.into(), hint: hint.into() };
        self.0.push(raw);
        let last = self.0.len() - 1;
        &mut self.0[last]
    }

    pub fn error(
        &mut self,
        at: At,
        code: &'static str,
        cause: impl Into<Sentence>,
        hint: impl Into<Sentence>,
    ) -> &mut Raw {
        self.add(at, Severity::Error, code, cause, hint)
    }

    pub fn iter(&self) -> impl Iterator<Item = &Raw> {
        self.0.iter()
    }

    /// Worst first, then in the order of the sessions.
    pub fn sorted(mut self, scene: &Scene<'_>) -> Vec<Finding> {
        self.0.sort_by(|a, b| b.severity.cmp(&a.severity).then(a.at.cmp(&b.at)).then(a.code.cmp(b.code)));
        let finding = |r: Raw| Finding::new(r.severity, r.code, (r.at, scene.subject(r.at)), r.cause, r.hint);
        self.0.into_iter().map(finding).collect()
    }
}
