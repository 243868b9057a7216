//! What the planner answers: a programme, how good it is, what bounds it, and why. The JSON form is a contract.

use crate::exercise::ExerciseId;
use crate::finding::Finding;
use crate::muscle::Muscle;
use crate::programme::{BlockKind, RampStep};
use crate::units::{FractionalSets, Hours, Kilograms, Minutes, Seconds, Share};
use schemars::JsonSchema;
use serde::Serialize;

/// What is known of the answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// Proven best under the rules.
    Optimal,
    /// Proven to be within the asked tolerance of the best.
    WithinTolerance,
    /// Keeps every rule; how far from the best is bounded by the gap.
    Feasible,
    /// Proven that nothing keeps every rule.
    Infeasible,
    /// Neither a programme nor a proof was found within the budget.
    Unknown,
}

/// The object that `plan --json` prints.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Answer {
    /// What is known.
    pub status: Status,
    /// Value of the programme, in points; absent without a programme.
    pub value: Option<f64>,
    /// No programme under these rules passes this; absent when nothing was bounded.
    pub bound: Option<f64>,
    /// (bound - value) / bound.
    pub gap: Option<Share>,
    /// Seed of the search.
    pub seed: u64,
    /// Moves of the search and nodes of the proof.
    pub nodes: u64,
    /// Wall time.
    pub seconds: Seconds,
    /// Days until the programme repeats.
    pub cycle_days: u32,
    /// Sessions in order.
    pub sessions: Vec<SessionAnswer>,
    /// Dose and recovery by muscle.
    pub muscles: Vec<MuscleSummary>,
    /// Why it is as it is.
    pub reasons: Vec<String>,
    /// The smallest set of clashing requirements, and ways out, when infeasible.
    pub conflict: Vec<String>,
    /// What the coach must see before it is used.
    pub cautions: Vec<String>,
    /// What the independent check said.
    pub findings: Vec<Finding>,
}

/// A session of the answer.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SessionAnswer {
    /// Day of the cycle, from 1.
    pub day: u32,
    /// What it is for.
    pub focus: String,
    /// Minutes by the session clock.
    pub minutes: Minutes,
    /// Blocks in order.
    pub blocks: Vec<BlockAnswer>,
}

/// A block of the answer.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockAnswer {
    /// How it is done.
    pub kind: BlockKind,
    /// Rest after a set (straight) or a round (otherwise).
    pub rest_s: Seconds,
    /// Its exercises.
    pub exercises: Vec<ExerciseAnswer>,
}

/// An exercise of the answer.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ExerciseAnswer {
    /// Which.
    pub id: ExerciseId,
    /// Work sets.
    pub sets: u32,
    /// Lowest and highest reps.
    pub reps: [u32; 2],
    /// Reps in reserve.
    pub rir: u32,
    /// Work load, or null when it is found on the day.
    pub load_kg: Option<Kilograms>,
    /// Warm-up.
    pub ramp: Vec<RampStep>,
}

/// Dose and recovery of a muscle over the cycle.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MuscleSummary {
    /// Which.
    pub id: Muscle,
    /// Fractional sets, scaled to a week.
    pub sets_per_week: FractionalSets,
    /// Sessions that train it (at least one fractional set).
    pub sessions_per_cycle: u32,
    /// Shortest time between two sessions that train it; absent when it is trained less than once.
    pub shortest_gap_h: Option<Hours>,
    /// Time it needs after its largest dose, for a typical client or as learned from the log.
    pub needed_gap_h: Option<Hours>,
}
