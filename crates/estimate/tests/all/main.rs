//! What the estimator promises of any log: nothing made up, nothing hidden, the same answer twice.
#![cfg(test)]

mod design;
mod log;
mod priors;
mod recovery;
mod strength;
