//! What kind of log it was: the gaps that were observed, exercises that are not known, sets that are doubted.
//!
//! It decides what must be called not yet known; no estimate depends on it.

use crate::history::LoggedSession;
use crate::intake::{FilteredSession, Intake};
use crate::slips::Slip;
use setwright_model::{Catalogue, ExerciseId, Muscle};
use std::collections::BTreeSet;

/// Width of a class of gaps, in hours, and how many there are (numeric).
const CLASS_H: f64 = 6.0;
const CLASSES: usize = 56;
/// Fractional sets after which a gap counts, and the share of an exercise that shows a muscle (judgement).
const DOSE_MIN: f64 = 1.0;
const WEIGHT_MIN: f64 = 0.25;
/// Observations from which a gap counts as reached (judgement).
const REACHED_MIN: u32 = 3;
/// A gap is known by others within this share of it, or within so many hours (judgement).
const NEAR: f64 = 0.25;
const NEAR_H: f64 = 8.0;

/// Counts of what was seen.
#[derive(Clone, Debug)]
pub struct Seen {
    /// Observations by muscle and class of gap since the muscle's last dose.
    gaps: Vec<[u32; CLASSES]>,
    last_h: [Option<f64>; Muscle::COUNT],
    pub first_h: Option<f64>,
    pub sessions: usize,
    pub slips: Vec<Slip>,
    pub unknown: BTreeSet<ExerciseId>,
}

impl Default for Seen {
    fn default() -> Self {
        Self {
            gaps: vec![[0; CLASSES]; Muscle::COUNT],
            last_h: [None; Muscle::COUNT],
            first_h: None,
            sessions: 0,
            slips: Vec::new(),
            unknown: BTreeSet::new(),
        }
    }
}

impl Seen {
    /// Counts a session.
    pub fn session(&mut self, meeting: &FilteredSession, intake: &Intake) {
        self.first_h.get_or_insert(meeting.at_h);
        self.sessions += 1;
        for muscle in Muscle::ALL {
            let m = muscle.index();
            let shows = |lift: usize| {
                let weights = intake.lifts.get(lift).map_or(&[][..], |l| &l.weights);
                weights.iter().any(|(other, w)| *other == muscle && *w >= WEIGHT_MIN)
            };
            let shown = meeting.groups.iter().any(|g| shows(g.lift));
            if let Some(last) = self.last_h[m].filter(|_| shown) {
                let class = ((meeting.at_h - last).max(0.0) / CLASS_H) as usize;
                if let Some(count) = self.gaps[m].get_mut(class) {
                    *count += 1;
                }
            }
            if meeting.doses[m] >= DOSE_MIN {
                self.last_h[m] = Some(meeting.at_h);
            }
        }
    }

    /// Notes the exercises of a session that the catalogue does not have.
    pub fn unknown(&mut self, session: &LoggedSession, catalogue: &Catalogue) {
        let missing = session.sets.iter().filter(|s| catalogue.get(&s.exercise).is_none());
        self.unknown.extend(missing.map(|s| s.exercise.clone()));
    }

    /// Whether a muscle was ever observed about so long after a dose.
    pub fn has_gap(&self, muscle: Muscle, gap_h: f64) -> bool {
        let near = (NEAR * gap_h).max(NEAR_H);
        self.gaps.get(muscle.index()).is_some_and(|classes| {
            classes.iter().enumerate().any(|(class, count)| {
                let middle = (class as f64 + 0.5) * CLASS_H;
                *count > 0 && (middle - gap_h).abs() <= near
            })
        })
    }

    /// Whether a muscle was observed that long after a dose, or longer, at least a few times.
    pub fn reaches(&self, muscle: Muscle, gap_h: f64) -> bool {
        let from = (gap_h / CLASS_H) as usize;
        let counts = self.gaps.get(muscle.index()).and_then(|classes| classes.get(from.min(CLASSES - 1)..));
        counts.is_some_and(|counts| counts.iter().sum::<u32>() >= REACHED_MIN)
    }
}
