//! What the crate shows to others, tested as others see it.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used, reason = "tests")]

mod cores;
mod problem;
mod steady;
