//! The equations of training and their sourced constants, and the exercise catalogue.
//!
//! Invariant: pure functions over `setwright_model` types. Nothing here reads a file, a clock or a random
//! source, and nothing here decides what a programme should be: that is `optimise` (to propose) and `check`
//! (to judge), which both stand on this crate and share no code of their own.

pub mod acute;
pub mod aims;
pub mod amounts;
pub mod capability;
pub mod chair_rises;
pub mod clock;
pub mod conditions;
pub mod constants;
pub mod curve;
pub mod dose;
pub mod energy;
pub mod equations;
pub mod impulse;
mod plausible;
pub mod prescribe;
pub mod present;
pub mod progress;
pub mod ramp;
pub mod recovery;
pub mod roadmap;
pub mod rules;
pub mod screening;
pub mod size;
pub mod strength;
#[cfg(test)]
mod testing;
mod told;
pub mod warmup;
