//! Simulated clients with known truth: how they train, recover, misjudge, mistype and miss, for testing what
//! `setwright_estimate` claims.
//!
//! Clients are drawn from the prior that the estimator starts from, or from families that break its assumptions
//! ([`Misfit`]). The truth is written from the equations anew and shares no code with the estimator but its chance.

pub mod calibrate;
pub mod client;
pub mod decide;
pub mod design;
pub mod draws;
pub mod habits;
pub mod plan;
pub mod reference;
pub mod stats;
pub mod strength;
pub mod training;

pub use client::Truth;
pub use habits::{Kind, Misfit, Soreness};
pub use training::{Client, client};
