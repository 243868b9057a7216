//! From a brief to the best programme that can be found, with a bound that nothing passes.
//!
//! Invariant: pure and deterministic. The same problem, budget and seed give the same answer on any machine;
//! time, chance and files are arguments. What is found here is judged by `check`, which shares none of this
//! code.

pub mod bounds;
pub mod budget;
pub mod completions;
pub mod conflict;
pub mod cores;
pub mod curve;
pub mod cuts;
pub mod descent;
pub mod dual;
pub mod edit;
pub mod exact;
pub mod finder;
pub mod fixed;
pub mod found;
pub mod frame;
pub mod layout;
pub mod lift;
pub mod merits;
mod model;
pub mod modes;
pub mod moves;
pub mod order;
mod own;
pub mod part;
pub mod plan;
pub mod prices;
pub mod problem;
pub mod progress;
pub mod quotas;
pub mod realise;
pub mod reasons;
pub mod rng;
pub mod rules;
pub mod search;
pub mod session_dp;
pub mod session_shape;
pub mod session_sums;
pub mod solve;
pub mod state;
pub mod tables;
pub mod units;

pub use budget::Budget;
pub use progress::Progress;
pub use solve::{Mode, Outcome, solve};
