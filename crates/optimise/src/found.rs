//! Plans that were found, and where.

use setwright_formulate::frame::Frame;
use setwright_formulate::plan::Plan;
use setwright_formulate::problem::Problem;
use setwright_formulate::state::PlanState;

/// A plan found in a frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// The plan.
    pub plan: Plan,
    /// Its value in millionths of a point.
    pub value: i64,
    /// Units short; 0 when it keeps every rule.
    pub short: i64,
}

impl Found {
    /// Better means less short, then more value.
    pub fn beats(&self, other: &Self) -> bool {
        (self.short, -self.value) < (other.short, -other.value)
    }
}

/// A plan in its frame.
#[derive(Clone, Debug)]
pub struct Placed {
    /// Index of the frame.
    pub frame: usize,
    /// What was found there.
    pub found: Found,
}

/// The state of a found plan.
pub fn state_of<'a>(problem: &'a Problem, frame: &'a Frame, found: &Found) -> PlanState<'a> {
    let mut state = PlanState::new(problem, frame);
    for (session, blocks) in found.plan.sessions.iter().enumerate() {
        if let Some(change) = state.with(&[(session, *blocks)]) {
            state.apply(&change);
        }
    }
    state
}
