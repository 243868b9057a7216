//! News of a search, as a person reads values.

use setwright_formulate::problem::{Problem, cold_start_s};
use setwright_formulate::tables::POINT;

/// News of the search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Value of the best programme so far (points, or minutes in fewest minutes).
    pub value: Option<f64>,
    /// The bound so far.
    pub bound: Option<f64>,
    /// Moves made.
    pub moves: u64,
}

/// Value as a person reads it: points, or minutes.
pub fn shown(problem: &Problem, value: i64) -> f64 {
    let points = value as f64 / POINT;
    let cold_min = cold_start_s(&problem.brief) / 60.0 * f64::from(problem.brief.time.sessions);
    if problem.tables.minutes_mode { cold_min - points } else { points }
}

/// News in points or minutes, of values in millionths.
pub fn news(problem: &Problem, value: Option<i64>, bound: Option<i64>, moves: u64) -> Progress {
    Progress { value: value.map(|v| shown(problem, v)), bound: bound.map(|b| shown(problem, b)), moves }
}
