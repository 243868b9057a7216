//! The machine as the program finds it: the clock that runs, the system's chance, and this very file of the program.

use crate::clock;
use setwright_coaching::machine::{Entropy, EntropySource, Machine};
use std::time::UNIX_EPOCH;

/// The machine that the program runs on.
pub fn this() -> Machine {
    Machine { wall: clock::wall(), entropy: Entropy::of(System), build: build().into() }
}

/// The system's chance.
struct System;

impl EntropySource for System {
    fn fill(&self, bytes: &mut [u8]) -> bool {
        getrandom::fill(bytes).is_ok()
    }
}

/// What tells this program from another build of it.
fn build() -> String {
    let own = std::env::current_exe().and_then(std::fs::metadata);
    let made = own.as_ref().ok().and_then(|m| m.modified().ok()?.duration_since(UNIX_EPOCH).ok());
    let bytes = own.as_ref().map_or(0, std::fs::Metadata::len);
    format!("{} {bytes} {}", env!("CARGO_PKG_VERSION"), made.map_or(0, |d| d.as_nanos()))
}
