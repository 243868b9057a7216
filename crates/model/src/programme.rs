//! A programme: sessions on the days of a cycle, each a list of blocks in order.

use crate::exercise::ExerciseId;
use crate::units::{Kilograms, Seconds};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How the exercises of a block are done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BlockKind {
    /// One exercise, set after set.
    Straight,
    /// Two unrelated exercises in turn: one muscle rests while another works.
    Alternating,
    /// Two exercises for one muscle, back to back.
    SameMuscle,
}

/// One step of a warm-up ramp.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RampStep {
    /// Reps of the step.
    pub reps: u32,
    /// Load of the step; absent when the work load is not known yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_kg: Option<Kilograms>,
}

/// An exercise as prescribed in a block.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Prescription {
    /// Which exercise.
    pub id: ExerciseId,
    /// Work sets.
    pub sets: u32,
    /// Lowest and highest reps of a set (seconds or metres where the exercise is measured so).
    pub reps: [u32; 2],
    /// Reps left in reserve at the end of a set.
    pub rir: u32,
    /// Work load; absent when it is to be found on the day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_kg: Option<Kilograms>,
    /// Warm-up steps before the first work set.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ramp: Vec<RampStep>,
}

impl Prescription {
    /// The reps that time and dose are reckoned with: the middle of the range.
    pub fn mid_reps(&self) -> f64 {
        f64::midpoint(f64::from(self.reps[0]), f64::from(self.reps[1]))
    }
}

/// What is done before moving on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Block {
    /// How its exercises are done.
    pub kind: BlockKind,
    /// Straight: rest after each set. Alternating and same-muscle: rest after each round.
    pub rest_s: Seconds,
    /// One exercise, or two.
    pub exercises: Vec<Prescription>,
}

impl Block {
    /// One exercise, set after set.
    pub fn straight(exercise: Prescription, rest_s: Seconds) -> Self {
        Self { kind: BlockKind::Straight, rest_s, exercises: vec![exercise] }
    }

    /// Rounds of the block: the most sets of any of its exercises.
    pub fn rounds(&self) -> u32 {
        self.exercises.iter().map(|e| e.sets).max().unwrap_or(0)
    }
}

/// One session.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Session {
    /// Day of the cycle, from 1.
    pub day: u32,
    /// What the session is for, in a word or two ("whole body", "upper").
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub focus: String,
    /// Blocks in the order they are done.
    pub blocks: Vec<Block>,
}

impl Session {
    /// All prescriptions in order.
    pub fn prescriptions(&self) -> impl Iterator<Item = &Prescription> {
        self.blocks.iter().flat_map(|b| b.exercises.iter())
    }
}

/// A programme: what repeats every `cycle_days`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Programme {
    /// Whose programme it is.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub client: String,
    /// Days until it repeats.
    pub cycle_days: u32,
    /// Sessions in order of day.
    pub sessions: Vec<Session>,
}
