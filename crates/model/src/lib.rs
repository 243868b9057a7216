//! The words of the trade as types: muscles, exercises, briefs, programmes, findings.
//!
//! Invariant: nothing here reads a file, a clock or a random source, and nothing here knows an equation.
//! Every other crate builds on these types; this crate builds on none of them.

pub mod answer;
pub mod belief;
pub mod brief;
pub mod change;
pub mod code;
pub mod exercise;
pub mod finding;
pub mod ledger;
pub mod limits;
pub mod muscle;
pub mod pattern;
pub mod person;
pub mod programme;
pub mod refusal;
pub mod roadmap;
pub mod station;
pub mod units;

pub use answer::{Answer, MuscleSummary, Status, TradeOff, TradeOffPoint};
pub use belief::Belief;
pub use brief::Brief;
pub use code::{Code, Kind};
pub use exercise::{Catalogue, Exercise, ExerciseId};
pub use finding::{Finding, FindingPlace, Severity};
pub use muscle::Muscle;
pub use pattern::Pattern;
pub use programme::{Block, BlockKind, Prescription, Programme, RampStep, Session};
pub use refusal::{Position, Refusal, Refusals};
pub use roadmap::{Band, Roadmap, RoadmapLift, RoadmapLiftWeek, RoadmapStep, RoadmapWeek};
pub use station::Station;
pub use units::{FractionalSets, Hours, Kilograms, Minutes, Pounds, Reps, Seconds, Share};
