//! What is believed of a client: strength per exercise and recovery per muscle. Without a log these are the
//! population's values; the log makes them the client's.

use crate::exercise::ExerciseId;
use crate::muscle::Muscle;
use crate::units::{Hours, Kilograms, Share};
use std::collections::BTreeMap;

/// Strength and recovery as the planner uses them.
#[derive(Clone, Debug, PartialEq)]
pub struct Belief {
    /// Estimated 1RM by exercise, in the unit the exercise is loaded in (one dumbbell of a pair), with the share
    /// of the body that is lifted.
    pub one_rm: BTreeMap<ExerciseId, StrengthBelief>,
    /// Time constant of fatigue by muscle, in the order of [`Muscle::ALL`].
    pub tau: [Hours; Muscle::COUNT],
}

/// A 1RM and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrengthBelief {
    /// Total load at one rep, body share included.
    pub one_rm: Kilograms,
    /// Whether it was lifted, or judged from another lift.
    pub basis: Basis,
    /// Standard deviation as a share of the value.
    pub sd: Share,
}

/// Where a strength value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// From a set of this exercise.
    Lifted,
    /// Judged from another lift by the catalogue's anchor (common practice, no source).
    Judged,
}
