//! From a brief to the best programme that can be found, with a bound that nothing passes.
//!
//! Invariant: pure and deterministic. The same problem, budget and seed give the same answer on any machine;
//! time, chance and files are arguments. What is found here is judged by `check`, which shares none of this
//! code.
//!
//! The way of a brief through it, with the file that knows each step:
//!
//! 1. `setwright_formulate` has made whole numbers of the brief: lifts, rules, frames, and what a plan is worth.
//! 2. `search` anneals inside frames (`finder`, `moves`), over a state whose sums are kept up to date.
//! 3. `bounds` says what nothing passes: each frame's `dual`, whose sessions are solved exactly (`session_dp`) at prices that
//!    `descent` and `model` move. Near what the bound selects the search looks once more.
//! 4. `order` and `realise` make a programme of the plan; `reasons` says why it is as it is, `conflict` why there is none.
//!
//! `solve` puts these together, and `steady` keeps a programme where a brief differs by little. Begin with `solve::solve`.

pub mod bounds;
pub mod budget;
pub mod completions;
pub mod conflict;
pub mod cores;
pub mod cuts;
pub mod descent;
pub mod dual;
pub mod exact;
pub mod finder;
pub mod fixed;
pub mod found;
pub mod layout;
pub mod merits;
mod model;
pub mod moves;
pub mod order;
mod own;
pub mod part;
pub mod prices;
pub mod progress;
pub mod realise;
pub mod reasons;
pub mod rng;
pub mod search;
pub mod session_dp;
pub mod session_shape;
pub mod solve;
pub mod steady;

pub use budget::Budget;
pub use progress::Progress;
pub use solve::{Objective, Solved, solve};
