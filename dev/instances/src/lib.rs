//! Outside oracles for the planner: seeded problems of every size, and brute force for the tiny ones.
//!
//! The brute force reads the compiled problem as the statement of what is allowed and what it brings, and
//! shares no reckoning with the planner: it must not use its state, moves, session solver, bound or plan sums.

pub mod brute;
pub mod dice;
pub mod exchange;
pub mod generator;
