//! What a client did, as plain data: the ledger's events without the ledger.
//!
//! It holds what was logged and repairs nothing; what is doubtful is found by `intake`.

use setwright_model::{ExerciseId, Hours, Kilograms, Muscle, Reps};
use std::collections::BTreeMap;

/// Everything known of one client's training. Times are hours since an origin of the caller's choice.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// Sessions, in any order.
    pub sessions: Vec<LoggedSession>,
    /// Soreness reports, in any order.
    pub soreness: Vec<SorenessReport>,
    /// Spans in which the client did not train as usual.
    pub marks: Vec<Mark>,
}

/// A session as it was done.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LoggedSession {
    /// When it started.
    pub at: Hours,
    /// Work sets in the order they were done.
    pub sets: Vec<LoggedSet>,
}

/// A work set as it was done.
#[derive(Clone, Debug, PartialEq)]
pub struct LoggedSet {
    /// Exercise.
    pub exercise: ExerciseId,
    /// All that moved, the share of the body included, in the exercise's own unit (one dumbbell of a pair). None
    /// where nothing can be weighed or the body's mass is not known: the set still tires, but tells no strength.
    pub load: Option<Kilograms>,
    /// Repetitions performed.
    pub reps: Reps,
    /// Repetitions left in reserve, as reported. None when not reported; it is never made up.
    pub rir: Option<Reps>,
}

/// How sore a muscle was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SorenessReport {
    /// When it was asked.
    pub at: Hours,
    /// Muscle.
    pub muscle: Muscle,
    /// From 0 (none) to 10 (worst); more counts as 10.
    pub score: u8,
}

/// A span of unusual training.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// What it was.
    pub kind: MarkKind,
    /// First hour of it.
    pub from: Hours,
    /// Last hour of it.
    pub to: Hours,
}

/// What an unusual span was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// Easy on purpose: what was lifted tells little of what could be.
    Deload,
    /// Ill, or back from it.
    Illness,
}

impl History {
    /// The same with sessions and reports in order of time, without those at times that are no number.
    #[must_use]
    pub fn in_order(&self) -> Self {
        let mut ordered = self.clone();
        ordered.sessions.retain(|s| s.at.get().is_finite());
        ordered.soreness.retain(|s| s.at.get().is_finite());
        ordered.sessions.sort_by(|a, b| a.at.get().total_cmp(&b.at.get()));
        ordered.soreness.sort_by(|a, b| a.at.get().total_cmp(&b.at.get()));
        ordered
    }

    /// What had happened up to `to`, that hour included.
    #[must_use]
    pub fn until(&self, to: Hours) -> Self {
        let mut early = self.clone();
        early.sessions.retain(|s| s.at <= to);
        early.soreness.retain(|s| s.at <= to);
        early.marks.retain(|m| m.from <= to);
        early
    }

    /// How many sessions had each exercise.
    pub fn sessions_by_exercise(&self) -> BTreeMap<&ExerciseId, usize> {
        // Beside each count the session that was counted last, so that none is counted twice.
        let mut counts: BTreeMap<&ExerciseId, (usize, Option<usize>)> = BTreeMap::new();
        for (nth, session) in self.sessions.iter().enumerate() {
            for set in &session.sets {
                let (count, last) = counts.entry(&set.exercise).or_default();
                if last.replace(nth) != Some(nth) {
                    *count += 1;
                }
            }
        }
        counts.into_iter().map(|(id, (count, _))| (id, count)).collect()
    }

    /// What span `at` lies in, if any; what is illness and deload at once counts as illness.
    pub fn mark(&self, at: Hours) -> Option<MarkKind> {
        [MarkKind::Illness, MarkKind::Deload].into_iter().find(|kind| self.is_marked(*kind, at))
    }

    /// Whether `at` lies in a span of this kind.
    fn is_marked(&self, kind: MarkKind, at: Hours) -> bool {
        self.marks.iter().any(|m| m.kind == kind && m.from <= at && at <= m.to)
    }
}

/// An exercise that is to be done.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedExercise {
    /// Exercise.
    pub exercise: ExerciseId,
    /// Sets.
    pub sets: u32,
    /// Repetitions of a set.
    pub reps: Reps,
    /// Repetitions that the client would report in reserve.
    pub rir: Reps,
}
