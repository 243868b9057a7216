//! Test kit: synthetic exercises, briefs and programmes in which nothing is wrong until a test makes it so.

use crate::{Report, audit};
use setwright_model::brief::{Brief, Goal, Lift, Lock, MuscleWish, Screening, Time, TrainingAge};
use setwright_model::exercise::{CurveFamily, LoadKind, Measure};
use setwright_model::station::Station;
use setwright_model::{
    Belief, Block, BlockKind, Catalogue, Exercise, Hours, Kilograms, Minutes, Muscle, Pattern, Prescription,
    Programme, RampStep, Seconds, Session, Severity, Share,
};
use std::collections::BTreeMap;

/// A harmless exercise on the floor with the body alone: 4 s a rep, 30 s to set up, 10 s to change over.
pub(crate) fn exercise(id: &str, pattern: Pattern, direct: &[Muscle], half: &[Muscle]) -> Exercise {
    Exercise {
        id: id.into(),
        name: id.replace('_', " "),
        also: Vec::new(),
        pattern,
        direct: direct.to_vec(),
        half: half.to_vec(),
        quarter: Vec::new(),
        stations: vec![Station::Floor],
        load: LoadKind::Body,
        step_kg: Kilograms(0.0),
        body_share: Share(0.0),
        unilateral: false,
        measure: Measure::Reps,
        seconds_per_rep: Seconds(4.0),
        setup_s: Seconds(30.0),
        changeover_s: Seconds(10.0),
        rest_s: Seconds(90.0),
        curve: CurveFamily::Upper,
        reps: [5, 20],
        systemic: 0,
        spinal: 0,
        grip: 0,
        skill: 1,
        standing: setwright_model::exercise::Standing::Usual,
        asks: Vec::new(),
        easier: Vec::new(),
        harder: Vec::new(),
        anchor: None,
    }
}

/// An exercise with something changed.
pub(crate) fn with(mut exercise: Exercise, change: impl FnOnce(&mut Exercise)) -> Exercise {
    change(&mut exercise);
    exercise
}

/// A press for the chest, with half a set for triceps and front deltoids.
pub(crate) fn press() -> Exercise {
    let half = [Muscle::Triceps, Muscle::FrontDelts];
    exercise("press", Pattern::HorizontalPress, &[Muscle::Chest], &half)
}

/// A row for the upper back, with half a set for biceps.
pub(crate) fn row() -> Exercise {
    exercise("row", Pattern::HorizontalRow, &[Muscle::UpperBack, Muscle::Lats], &[Muscle::Biceps])
}

/// A squat for the quads, with half a set for the glutes.
pub(crate) fn squat() -> Exercise {
    exercise("squat", Pattern::Squat, &[Muscle::Quads], &[Muscle::Glutes])
}

/// A hinge for hamstrings and glutes.
pub(crate) fn hinge() -> Exercise {
    exercise("hinge", Pattern::Hinge, &[Muscle::Hamstrings, Muscle::Glutes], &[])
}

/// A curl for the biceps.
pub(crate) fn curl() -> Exercise {
    exercise("curl", Pattern::ElbowFlexion, &[Muscle::Biceps], &[])
}

/// An elbow extension for the triceps.
pub(crate) fn extension() -> Exercise {
    exercise("extension", Pattern::ElbowExtension, &[Muscle::Triceps], &[])
}

/// Ten reps of an exercise.
pub(crate) fn sets(id: &str, sets: u32) -> Prescription {
    Prescription { id: id.into(), sets, reps: [10, 10], rir: 2, load_kg: None, ramp: Vec::new() }
}

/// A prescription with a load and a ramp (reps, kilograms).
pub(crate) fn loaded(id: &str, load_kg: f64, ramp: &[(u32, f64)]) -> Prescription {
    let step = |&(reps, kg): &(u32, f64)| RampStep { reps, load_kg: Some(Kilograms(kg)) };
    Prescription { load_kg: Some(Kilograms(load_kg)), ramp: ramp.iter().map(step).collect(), ..sets(id, 3) }
}

/// A straight block with 90 s of rest.
pub(crate) fn straight(p: Prescription) -> Block {
    Block { kind: BlockKind::Straight, rest_s: Seconds(90.0), exercises: vec![p] }
}

/// A block of two with 60 s of rest.
pub(crate) fn pair(kind: BlockKind, a: Prescription, b: Prescription) -> Block {
    Block { kind, rest_s: Seconds(60.0), exercises: vec![a, b] }
}

/// A programme and everything it is judged by.
#[derive(Clone)]
pub(crate) struct Case {
    pub exercises: Vec<Exercise>,
    pub brief: Brief,
    pub programme: Programme,
    pub belief: Belief,
}

impl Case {
    /// An empty week for an intermediate client with an hour a session, everything at hand and cleared.
    pub fn new(exercises: impl IntoIterator<Item = Exercise>) -> Self {
        Self {
            exercises: exercises.into_iter().collect(),
            brief: brief(),
            programme: Programme { client: String::new(), cycle_days: 7, sessions: Vec::new() },
            belief: Belief { one_rm: BTreeMap::new(), tau: [Hours(30.0); Muscle::COUNT] },
        }
    }

    /// One more session; the brief asks for as many as there are.
    pub fn day(mut self, day: u32, blocks: impl IntoIterator<Item = Block>) -> Self {
        let blocks = blocks.into_iter().collect();
        self.programme.sessions.push(Session { day, focus: String::new(), blocks });
        self.brief.time.sessions = self.programme.sessions.len() as u32;
        self
    }

    /// A change to the brief.
    pub fn brief(mut self, change: impl FnOnce(&mut Brief)) -> Self {
        change(&mut self.brief);
        self
    }

    /// A wish for a muscle.
    pub fn wish(self, muscle: Muscle, change: impl FnOnce(&mut MuscleWish)) -> Self {
        self.brief(|b| change(b.muscles.entry(muscle).or_default()))
    }

    /// A lift that the client told.
    pub fn told(self, id: &str, load_kg: f64, reps: u32) -> Self {
        let lift = Lift { exercise: id.into(), load_kg: Kilograms(load_kg), reps, rir: 1 };
        self.brief(|b| b.lifts.push(lift))
    }

    /// A lock.
    pub fn lock(self, id: &str, change: impl FnOnce(&mut Lock)) -> Self {
        let mut lock = Lock { exercise: id.into(), session: None, sets: None, with: None };
        change(&mut lock);
        self.brief(|b| b.locks.push(lock))
    }

    pub fn catalogue(&self) -> Catalogue {
        Catalogue::new(self.exercises.iter().cloned())
    }

    pub fn report(&self) -> Report {
        audit(&self.programme, Some(&self.brief), &self.catalogue(), &self.belief)
    }

    /// The report without a brief.
    pub fn report_alone(&self) -> Report {
        audit(&self.programme, None, &self.catalogue(), &self.belief)
    }

    /// How often a code comes up, by severity: (errors, warnings, notes).
    pub fn said(&self, code: &str) -> (usize, usize, usize) {
        tally(&self.report(), code)
    }
}

/// How often a code comes up in a report: (errors, warnings, notes).
pub(crate) fn tally(report: &Report, code: &str) -> (usize, usize, usize) {
    let of = |severity| report.findings.iter().filter(|f| f.code == code && f.severity == severity).count();
    (of(Severity::Error), of(Severity::Warning), of(Severity::Note))
}

pub(crate) const NONE: (usize, usize, usize) = (0, 0, 0);
pub(crate) const ERROR: (usize, usize, usize) = (1, 0, 0);
pub(crate) const WARNING: (usize, usize, usize) = (0, 1, 0);
pub(crate) const NOTE: (usize, usize, usize) = (0, 0, 1);

fn brief() -> Brief {
    let screening = Screening {
        active: Some(true),
        known_disease: Some(false),
        signs: Some(false),
        other: Some(false),
        cleared: None,
    };
    let time = Time::weekly(1, Minutes(60.0));
    Brief { screening, ..Brief::new("Test client", Goal::General, TrainingAge::Intermediate, time) }
}
