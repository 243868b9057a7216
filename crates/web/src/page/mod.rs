//! What every page is made with: its frame, its files, dates and numbers as it writes them, the unit of loads, and how a refusal reads.

pub mod assets;
pub mod fault;
pub mod fields;
pub mod formats;
pub mod frame;
pub mod screening;
pub mod units;
