//! An independent auditor of programmes: it times them, counts them, and says what a coach would refuse to sign.
//!
//! Invariant: the rules here are written from the words of the trade and share the science with the planner,
//! but none of its code; this crate never sees `optimise`, so a mistake there cannot hide itself here. It reads
//! no file and no clock, changes nothing it is given, and never panics on data. Only what [`certify`] has
//! passed is [`Certified`].
//!
//! In the order in which one meets them: `scene` lays a programme out beside its brief, timed and counted; `rules` judges the scene,
//! one rule a file, each under the name that it has in the planner and in `docs/models.md`; `codes` lists what can be found, with
//! why it matters; `audit` puts the findings together and certifies what has none that forbids it; `mend` looks for the smallest
//! change after which less is found. To add a rule, copy the smallest file in `rules` and give it a line in `rules/mod.rs`, a code,
//! and tests on both sides.

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
