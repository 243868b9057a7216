//! What takes longer than a request may, one file a job: `plan_queue` makes plans and curves, one after another; `refit` re-estimates
//! what is believed of a client; `roster_projection` keeps the roster's lines up to date, and `roster_file` keeps them over a restart. What
//! runs on a thread of its own is found again by whoever asks, and ends with the program.

pub mod plan_queue;
pub mod refit;
mod roster_file;
pub mod roster_projection;
mod turns;
