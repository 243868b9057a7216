//! What the crate shows to others, tested as others see it.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used, reason = "tests")]

mod aims;
mod choice;
mod days;
mod focus;
mod modes;
mod rules;
