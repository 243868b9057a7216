//! The bound over all frames: where its rounds are spent, so that the largest of the frames' bounds falls.
//!
//! It must not know how a bound is reckoned (`dual` does), nor change what is found.

use crate::dual::{self, Prices};
use crate::frame::Frame;
use crate::problem::Problem;
use crate::solve::{Budget, Placed, state_of};

/// Rounds of the bound in a frame.
const ROUNDS: u32 = 160;

/// The largest bound over all frames, and the rounds it took. Frames are pressed only until they cannot beat
/// what was found.
pub fn bound_all(problem: &Problem, frames: &[Frame], best: &Placed, budget: &Budget<'_>) -> (i64, u64) {
    let home = &frames[best.frame];
    let state = state_of(problem, home, &best.found);
    let start = Prices::from_state(problem, home, &state);
    let over = || budget.is_over();
    let mut prices = start.clone();
    let mut top = best.found.value;
    if let Some((bound, at)) = dual::bound(problem, home, &start, best.found.value, ROUNDS, &over) {
        top = top.max(bound);
        prices = at;
    }
    let mut rounds = u64::from(ROUNDS);
    for (index, frame) in frames.iter().enumerate() {
        if index != best.frame {
            // No need to press a frame below what another frame already keeps the bound at.
            if let Some((bound, _)) = dual::bound(problem, frame, &prices, top, ROUNDS / 2, &over) {
                top = top.max(bound);
            }
            rounds += u64::from(ROUNDS / 2);
        }
    }
    (top, rounds)
}
