//! Ways to do an exercise: its part in a block, and the rest after a set or a round. Nothing here says who may do what
//! in which way; the rules do.

use setwright_model::BlockKind;

/// A way to do an exercise: its part in a block, and the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mode {
    /// Kind of block.
    pub kind: BlockKind,
    /// Rest after a set or a round.
    pub rest_s: u32,
    /// Second exercise of a same-muscle block.
    pub second: bool,
}

const fn mode(kind: BlockKind, rest_s: u32, second: bool) -> Mode {
    Mode { kind, rest_s, second }
}

/// All modes. A same-muscle block's second exercise is in the mode [`SAME_SECOND`] further on.
pub const MODES: [Mode; 12] = [
    mode(BlockKind::Straight, 60, false),
    mode(BlockKind::Straight, 90, false),
    mode(BlockKind::Straight, 120, false),
    mode(BlockKind::Straight, 180, false),
    mode(BlockKind::Straight, 300, false),
    mode(BlockKind::Alternating, 30, false),
    mode(BlockKind::Alternating, 60, false),
    mode(BlockKind::Alternating, 90, false),
    mode(BlockKind::SameMuscle, 90, false),
    mode(BlockKind::SameMuscle, 120, false),
    mode(BlockKind::SameMuscle, 90, true),
    mode(BlockKind::SameMuscle, 120, true),
];
/// Distance from the mode of a same-muscle block's first exercise to that of its second.
pub const SAME_SECOND: u8 = 2;
/// Modes of straight blocks.
pub const STRAIGHT: std::ops::Range<u8> = 0..5;
/// Modes of alternating blocks.
pub const ALTERNATING: std::ops::Range<u8> = 5..8;
/// Modes of the first exercise of same-muscle blocks.
pub const SAME_FIRST: std::ops::Range<u8> = 8..10;
