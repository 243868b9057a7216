//! People who work with one ledger: who they are, what each may see and write.
//!
//! The rules stand in [`May`] and nowhere else. A unit of work carries them, so that every use case is asked with
//! them: what may not be seen is not found, and what may not be written is refused before it reaches the ledger.

pub mod accounts;
pub mod common;
mod may;
pub mod second;
pub mod secrets;

pub use may::{Adopt, May, Still};
