//! Readers and writers: from paths and text to briefs, programmes and logs, and back.
//!
//! Whatever bytes come, a reader answers with what was meant or with problems that say where and what to do;
//! it never panics and never guesses in silence.
//!
//! Invariant: nothing here plans, judges, prints or knows a ledger. Files are read and written under limits, and only those whose
//! path is handed in.

pub mod bounds;
pub mod brief;
mod brief_rules;
pub mod cells;
pub mod doc;
pub mod either;
pub mod form;
pub mod lines;
pub mod logbook;
pub mod names;
pub mod near;
mod person_rules;
pub mod positions;
pub mod programme;
pub mod read;
pub mod sheet;
pub mod spreadsheet;
pub mod words;

pub use read::{Source, read, read_within, write, write_bytes};
