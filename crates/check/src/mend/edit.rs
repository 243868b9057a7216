//! What a repair may try. Sessions, blocks and lanes are counted from 0.

use setwright_model::change::Slot;
use setwright_model::{ExerciseId, Kilograms};

/// A small edit.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum MendStep {
    /// Add the missing warm-up.
    Warm(Slot),
    /// Write the warm-up anew.
    Rewarm(Slot),
    /// Another work load.
    Load(Slot, Kilograms),
    /// Swap two blocks of a session.
    Order(usize, usize, usize),
    /// Make two straight blocks of a block of two.
    Split(usize, usize),
    /// Let two straight blocks alternate.
    Join(usize, usize, usize),
    /// One set fewer.
    DropSet(Slot),
    /// One set more.
    AddSet(Slot),
    /// Move a session to another day.
    Day(usize, u32),
    /// Another exercise instead.
    Swap(Slot, ExerciseId),
    /// One more exercise at the end of a session.
    Add(usize, ExerciseId),
    /// Take an exercise out.
    Drop(Slot),
}

impl MendStep {
    /// How much an edit changes for the coach and the client (judgement).
    pub const fn cost(&self) -> u32 {
        match self {
            MendStep::Warm(_) | MendStep::Rewarm(_) | MendStep::Load(..) | MendStep::Order(..) => 1,
            MendStep::Split(..) | MendStep::Join(..) | MendStep::DropSet(_) | MendStep::AddSet(_) => 2,
            MendStep::Day(..) | MendStep::Swap(..) => 3,
            MendStep::Add(..) => 4,
            MendStep::Drop(_) => 5,
        }
    }
}
