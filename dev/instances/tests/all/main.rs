//! The planner against outside oracles. More tiny problems: `SETWRIGHT_TINY=500 cargo test -p setwright-instances`.
#![cfg(test)]

mod broken;
mod curve;
mod sized;
mod stages;
mod sums;
mod tiny;

use setwright_optimise::Budget;

/// A budget of moves alone.
fn moves(moves: u64, seed: u64) -> Budget<'static> {
    Budget { moves, seed, out_of_time: None }
}
