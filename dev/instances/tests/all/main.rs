//! The planner against outside oracles. More tiny problems: `SETWRIGHT_TINY=2000 cargo test -p setwright-instances tiny`.
#![cfg(test)]
#![allow(clippy::print_stdout, reason = "suites say what they went through")]
#![allow(clippy::disallowed_methods, reason = "suites say how long they took")]

mod broken;
mod curve;
mod plans;
mod shares;
mod sized;
mod stages;
mod sums;
mod tiny;

use setwright_optimise::Budget;

/// A budget of moves alone.
fn moves(moves: u64, seed: u64) -> Budget<'static> {
    Budget { moves, seed, out_of_time: None }
}
