//! The generator that searches draw from, under the name by which the files of this crate know it.

pub use setwright_chance::Chance as Rng;
