//! What a roadmap answers: the steps by which sets and sessions grow, each with a programme, and what is to be
//! expected week by week as bands. The JSON form is a contract.

use crate::answer::Status;
use crate::brief::TrainingAge;
use crate::exercise::ExerciseId;
use crate::programme::Programme;
use crate::units::{Kilograms, Minutes, Seconds, Share};
use schemars::JsonSchema;
use serde::Serialize;

/// Five, fifty and ninety-five in a hundred simulated clients have no more than this.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Band {
    /// Five in a hundred.
    pub low: f64,
    /// Fifty.
    pub median: f64,
    /// Ninety-five.
    pub high: f64,
}

/// The object that `roadmap --json` prints.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Roadmap {
    /// Days until a programme repeats.
    pub cycle_days: u32,
    /// Steps in order, as far as the weeks asked for; the first is the one to begin with.
    pub steps: Vec<RoadmapStep>,
    /// The lifts that are followed.
    pub lifts: Vec<RoadmapLift>,
    /// What is to be expected, from week 1 on.
    pub weeks: Vec<RoadmapWeek>,
    /// Simulated clients behind the bands.
    pub simulated: u32,
    /// Seed of the search and of the simulation.
    pub seed: u64,
    /// Moves of the search and rounds of the bounds, over all programmes.
    pub nodes: u64,
    /// Wall time.
    pub seconds: Seconds,
    /// What each step asks, when to wait, what the minutes do not allow, in sentences.
    pub reasons: Vec<String>,
    /// Why there is no programme for a step, when there is none.
    pub conflict: Vec<String>,
    /// What the coach must see before it is used.
    pub cautions: Vec<String>,
}

/// A step of the roadmap.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoadmapStep {
    /// The week, from 1, in which it begins for who trains steadily and is ready.
    pub week: u32,
    /// Whose rules its sessions keep.
    pub training_age: TrainingAge,
    /// Least and most sets of a movement.
    pub sets_of_a_movement: [u32; 2],
    /// Least and most sets of a session that are meant; absent where minutes and exercises decide.
    pub sets_of_a_session: Option<[u32; 2]>,
    /// Sessions a cycle.
    pub sessions: u32,
    /// Sessions a cycle that common practice would have, were there days for them.
    pub sessions_wanted: u32,
    /// Sets of each session of the programme.
    pub sets: Vec<u32>,
    /// Minutes of each session by the session clock.
    pub minutes: Vec<Minutes>,
    /// Minutes that a session would need for the sets that are meant; absent where the brief's are enough.
    pub minutes_needed: Option<Minutes>,
    /// Whether a longer session was looked for and none was found that holds the sets that are meant.
    pub sets_out_of_reach: bool,
    /// What is known of the programme.
    pub status: Status,
    /// Its value in points.
    pub value: Option<f64>,
    /// The programme, certified by the check.
    pub programme: Programme,
}

/// A lift that the roadmap follows.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoadmapLift {
    /// Which.
    pub id: ExerciseId,
    /// Plain name.
    pub name: String,
    /// Whether its loads are kilograms. Otherwise the client's strength in it is not known, and its loads are shares
    /// of the first.
    pub in_kilograms: bool,
    /// The load to begin with, when it is known.
    pub first_kg: Option<Kilograms>,
}

/// A week of the roadmap.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoadmapWeek {
    /// From 1.
    pub week: u32,
    /// Index of the step that half of the clients have reached.
    pub step: usize,
    /// Sets of a session.
    pub sets: Band,
    /// Sessions a cycle.
    pub sessions: Band,
    /// Share of the clients who are in a lighter week.
    pub lighter: Share,
    /// By lift, in the order of the roadmap's.
    pub lifts: Vec<RoadmapLiftWeek>,
}

/// A lift in a week.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoadmapLiftWeek {
    /// Load, in kilograms or as a share of the first; absent where under half of the clients do this lift.
    pub load: Option<Band>,
    /// 1RM, all that moves counted, in kilograms or as a share of the first.
    pub one_rm: Band,
}
