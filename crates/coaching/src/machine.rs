//! What the program has of the machine that it runs on, as it hands it in: a clock, chance that no other machine has, and what
//! tells this build of it from another. Nothing here asks the system for any of them.

use crate::clock::Wall;
use setwright_chance::Chance;
use setwright_model::ledger::Moment;
use std::fmt;
use std::sync::{Arc, Mutex};

/// A source of chance, as the program or a test makes one.
pub trait EntropySource: Send + Sync {
    /// Fills all of it with chance; `false` when there is none to be had, and then what was filled counts for nothing.
    fn fill(&self, bytes: &mut [u8]) -> bool;
}

/// The source of chance that was handed in.
#[derive(Clone)]
pub struct Entropy(Arc<dyn EntropySource>);

impl Entropy {
    /// With this source behind it.
    pub fn of(source: impl EntropySource + 'static) -> Self {
        Self(Arc::new(source))
    }

    /// A source that gives the same again and belongs to no machine. It is fit for tests and for nothing that has to be secret.
    pub fn seeded(seed: u64) -> Self {
        Self::of(Seeded(Mutex::new(Chance::new(seed, 0))))
    }

    /// Fills all of it with chance; `false` when there is none to be had.
    pub fn fill(&self, bytes: &mut [u8]) -> bool {
        self.0.fill(bytes)
    }
}

impl fmt::Debug for Entropy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Entropy")
    }
}

/// The machine that the program runs on.
#[derive(Clone, Debug)]
pub struct Machine {
    /// The clock.
    pub wall: Wall,
    /// Chance that no other machine has.
    pub entropy: Entropy,
    /// What tells this build of the program from another.
    pub build: Arc<str>,
}

impl Machine {
    /// A machine that stands still and always draws the same; two of another seed draw other identifiers.
    pub fn stopped(moment: Moment, seed: u64) -> Self {
        Self { wall: Wall::stopped(moment), entropy: Entropy::seeded(seed), build: "stopped".into() }
    }

    /// The same machine with another clock.
    #[must_use]
    pub fn with_wall(self, wall: Wall) -> Self {
        Self { wall, ..self }
    }
}

struct Seeded(Mutex<Chance>);

impl EntropySource for Seeded {
    fn fill(&self, bytes: &mut [u8]) -> bool {
        let mut chance = crate::locks::held(&self.0);
        for part in bytes.chunks_mut(8) {
            let drawn = chance.draw().to_le_bytes();
            part.iter_mut().zip(drawn).for_each(|(byte, drawn)| *byte = drawn);
        }
        true
    }
}
