//! What the planner answers: a programme, how good it is, what bounds it, and why. The JSON form is a contract.

use crate::exercise::ExerciseId;
use crate::finding::Finding;
use crate::muscle::Muscle;
use crate::programme::{BlockKind, RampStep};
use crate::sentence::Sentence;
use crate::units::{FractionalSets, Hours, Kilograms, Minutes, Seconds, Share};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What is known of the answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
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

/// How far a value may be from the best, as a share of the larger of value and bound: a benefit lies under its bound, minutes lie
/// over theirs.
pub fn gap(value: Option<f64>, bound: Option<f64>) -> Option<Share> {
    let (value, bound) = (value?, bound?);
    let larger = value.abs().max(bound.abs());
    Some(Share(if larger > 0.0 { (bound - value).abs() / larger } else { 0.0 }))
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
    /// What [`gap`] says of value and bound.
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
    pub reasons: Vec<Sentence>,
    /// The smallest set of clashing requirements, and ways out, when infeasible.
    pub conflict: Vec<String>,
    /// What the coach must see before it is used.
    pub cautions: Vec<String>,
    /// What the independent check said.
    pub findings: Vec<Finding>,
}

/// The object that `curve --json` prints: what the same client would have of shorter and longer sessions.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TradeOff {
    /// From the shortest sessions to the longest. Neither value nor bound falls from one to the next.
    pub points: Vec<TradeOffPoint>,
    /// Index of the point that has the brief's own minutes; absent when there are no points.
    pub own: Option<usize>,
    /// Seed of the search.
    pub seed: u64,
    /// Moves of the search and rounds of the bounds.
    pub nodes: u64,
    /// Wall time.
    pub seconds: Seconds,
    /// Days until the programme repeats.
    pub cycle_days: u32,
    /// What the numbers mean, in sentences.
    pub reasons: Vec<String>,
    /// Why there is no programme for the brief's own minutes, when there is none.
    pub conflict: Vec<String>,
}

/// A point of the trade-off.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TradeOffPoint {
    /// Minutes that every session has more than the brief gives it; less where negative.
    pub change_min: Minutes,
    /// Minutes of each session.
    pub minutes: Vec<Minutes>,
    /// Minutes of all sessions of a cycle together.
    pub minutes_per_cycle: Minutes,
    /// Value of the best programme found, in points; absent where none was found that keeps every rule.
    pub value: Option<f64>,
    /// No programme with these minutes passes this; absent where there is none or nothing was bounded.
    pub bound: Option<f64>,
    /// What [`gap`] says of value and bound.
    pub gap: Option<Share>,
    /// Whether it is proven that no programme keeps every rule.
    pub ruled_out: bool,
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gap_is_a_share_of_the_larger_on_either_side() {
        assert_eq!(gap(Some(80.0), Some(100.0)), Some(Share(0.2)));
        assert_eq!(gap(Some(100.0), Some(80.0)), Some(Share(0.2)));
        assert_eq!(gap(Some(0.0), Some(0.0)), Some(Share(0.0)));
        assert_eq!(gap(None, Some(1.0)), None);
    }
}
