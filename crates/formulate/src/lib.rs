//! A brief as a problem of whole numbers: what may be chosen, what each choice takes and brings, and what a plan is worth.
//!
//! Invariant: pure. The same brief, belief and catalogue give the same problem, and a plan's value is one whole number that
//! whoever searches or bounds asks here. How a plan is found is `setwright_optimise`'s business, and nothing here knows of it.
//!
//! 1. `problem` makes whole numbers of the brief: which lifts there are (`lift`), in which ways each may be done (`modes`), what
//!    each takes and brings (`tables`). What a coach would ask stands in `rules`, one rule a file; nothing else knows a rule by name.
//! 2. `frame` lists sets of days and what each session is for (`focus`).
//! 3. A `plan` fills a frame; `state` keeps its sums and its value up to date while an `edit` changes one session.

pub mod edit;
pub mod focus;
pub mod frame;
pub mod lift;
pub mod modes;
pub mod plan;
pub mod problem;
pub mod quotas;
pub mod rules;
pub mod session_sums;
pub mod state;
pub mod tables;
pub mod units;
