//! Work that goes on behind a request, one file a job: plans and curves in the making, and the lines of the roster. Each runs on
//! a thread of its own, is found again by whoever asks, and ends with the program.

pub mod plan_queue;
pub mod roster;
mod roster_file;
