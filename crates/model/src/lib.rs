//! The words of the trade as types: muscles, exercises, briefs, programmes, findings.
//!
//! Invariant: nothing here reads a file, a clock or a random source, and nothing here knows an equation.
//! Every other crate builds on these types; this crate builds on none of them.
//!
//! In the order in which one meets them:
//!
//! - `units` has kilograms, minutes, reps and sets, so that no two are mixed up; `limits` says how large each may be.
//! - `muscle`, `pattern` and `station` are what an `exercise` is told by: what it trains, how it moves, where it is done. All
//!   exercises together are a `Catalogue`.
//! - `brief` is what a coach asks for one client: goal, time, kit, told lifts, wishes, what is left out.
//! - `belief` is what is thought of that client's strength and recovery, from the brief or from a log.
//! - `programme` is sessions of blocks of prescriptions; a `change` makes another of it.
//! - `answer` is a programme with its value, its bound and its reasons; a `finding` is what the judge says of it.
//! - `ledger`, `person` and `roadmap` are what was done, who may see it, and how it may grow.
//! - `name` says what may stand in a name, and when two are the same.
//! - a `sentence` keeps loads as loads until somebody reads it, in kilograms or in pounds.
//! - `refusal` and `code` are what is said when something cannot be meant, with cause, hint and whose matter it is.

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
pub mod name;
pub mod pattern;
pub mod person;
pub mod programme;
pub mod refusal;
pub mod roadmap;
pub mod sentence;
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
pub use sentence::Sentence;
pub use station::Station;
pub use units::{FractionalSets, Hours, Kilograms, MassUnit, Minutes, Pounds, Reps, Seconds, Share};
