//! An independent auditor of programmes: it times them, counts them, and says what a coach would refuse to sign.
//!
//! Invariant: the rules here are written from the words of the trade and share the science with the planner,
//! but none of its code; this crate never sees `optimise`, so a mistake there cannot hide itself here. It reads
//! no file and no clock, changes nothing it is given, and never panics on data. Only what [`certify`] has
//! passed is [`Certified`].

mod audit;
mod client;
mod codes;
mod mend;
mod rules;
mod sane;
mod scene;
mod words;

#[cfg(test)]
mod kit;
#[cfg(test)]
mod properties;

pub use audit::{
    Certified, JudgedProgramme, MENDS_MAX, Report, SessionReport, audit, certify, could_be_signed,
};
pub use codes::CODES;
pub use mend::{Mend, mend};
