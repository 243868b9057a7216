//! What the planner counts in: steps of time, parts of a set, millionths of a point, and how many of each thing it holds.
//! Nothing here knows a lift.

use setwright_model::Muscle;

/// Seconds in a step of the planner's clock.
pub const TIME_STEP_S: f64 = 5.0;
/// Most sets of an exercise in a session that the planner considers.
pub const SETS: usize = 5;
/// Most sessions a frame holds.
pub const SESSIONS: usize = 10;
/// Worth is counted in this many parts of a set.
pub const WORTH_UNIT: f64 = 64.0;
/// Millionths of a point.
pub const POINT: f64 = 1e6;
/// Units of a quality dose in a set: quarter contributions times worth.
pub const DOSE_UNIT: f64 = 4.0 * WORTH_UNIT;
/// Costs of a set: whole body, spine, grip, one for the set itself, effort in quarters.
pub const COSTS: usize = 5;
/// Which of the costs counts sets.
pub const COST_SETS: usize = 3;
/// Which of the costs is effort: a set of what does not tire the whole body is three quarters, a heavy squat six.
pub const COST_EFFORT: usize = 4;
/// Most effort of a set, in quarters.
pub const EFFORT_MOST: u32 = 6;
/// Most things that rules can count ([`crate::rules::Count`]).
pub const COUNTS: usize = 32;
/// No family, no side.
pub const NOTHING: u8 = u8::MAX;

/// Seconds in steps of the planner's clock, rounded up.
pub fn units(time_s: f64) -> u32 {
    (time_s / TIME_STEP_S - 1e-9).ceil().max(0.0) as u32
}

const _: () = assert!(TIME_STEP_S > 0.0 && Muscle::COUNT + 2 <= 32);
