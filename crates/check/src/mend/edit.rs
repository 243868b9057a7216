//! What a repair may try. Sessions, blocks and lanes are counted from 0.

use setwright_model::change::Slot;
use setwright_model::{ExerciseId, Kilograms};

/// A small edit.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Edit {
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

impl Edit {
    /// How much an edit changes for the coach and the client (judgement).
    pub const fn cost(&self) -> u32 {
        match self {
            Edit::Warm(_) | Edit::Rewarm(_) | Edit::Load(..) | Edit::Order(..) => 1,
            Edit::Split(..) | Edit::Join(..) | Edit::DropSet(_) | Edit::AddSet(_) => 2,
            Edit::Day(..) | Edit::Swap(..) => 3,
            Edit::Add(..) => 4,
            Edit::Drop(_) => 5,
        }
    }
}
