//! The program: commands, readers, use cases and the clock. It knows every other crate and none knows it.
//!
//! `files` reads and writes, `service` does what a coach asks for, `cli` talks to the terminal, `web` to a browser, `clock` reads
//! the time, `ids` makes identifiers, `units` knows what a browser wants loads shown in.
//!
//! Invariant: only `cli` prints and only `clock` reads the clock; nothing leaves as a programme that `check` has not
//! certified.

pub mod cli;
pub mod clock;
pub mod files;
pub mod ids;
pub mod service;
pub mod units;
pub mod web;
pub mod words;
