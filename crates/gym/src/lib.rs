//! What can be done in a room: the catalogue of exercises, the stations that stand there, the loads that can be put together.
//!
//! Invariant: pure functions over `setwright_model` types. It says what is there and what could be lifted with it, never who
//! should lift it or how often: that is `science`'s business and that of whoever plans.

pub mod catalogue;
pub mod discs;
mod equipment;
pub mod loads;
pub mod names;
pub mod room;
