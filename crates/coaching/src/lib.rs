//! Use cases: what a coach or a client may ask, and who may ask it.
//!
//! A [`ledger::UnitOfWork`] is a ledger open for somebody; every use case that reads or writes one takes it, so that
//! nobody sees or writes what is not theirs ([`people`]). What is known of a client is put together in [`insight`]; plans come
//! from [`plan`] and are edited by [`edit`]. [`practice::Practice`] holds what outlives a request: open ledgers, beliefs that were
//! calculated already, and the work of [`jobs`].
//!
//! Invariant: no word is laid out for a screen here and no unit is chosen; the clock is handed in; nothing leaves as a programme
//! that `check` has not certified.
//!
//! A request comes with a clock and a person. `people` says who it is and what they may see; `ledger_pool` lends the unit of work;
//! `ledger` reads and writes it; `belief` and `belief_cache` say what is thought of the client; `insight` puts together what is known,
//! what is next and what to change; `plan`, `curve`, `roadmap` and `edit` call planner and judge; `publish` hands on what was certified for what is current; what takes long is in `jobs`, one file
//! each, and hears of what was written by `change_events`. `roster_lines` is where the roster's lines lie, for who writes and who clears them.

pub mod arrivals;
pub mod belief;
pub mod belief_cache;
pub mod change_events;
pub mod clock;
pub mod curve;
pub mod demo;
pub mod edit;
pub mod ids;
pub mod insight;
pub mod jobs;
pub mod judge;
pub mod ledger;
pub mod ledger_pool;
pub mod locks;
pub mod machine;
pub mod people;
pub mod plan;
pub mod practice;
pub mod publish;
pub mod refusals;
pub mod roadmap;
mod roster_lines;
pub mod screen;
pub mod search;
