//! Ways to values, and where values stand, whatever they were read from. It reads nothing.

use setwright_model::refusal::Position;

/// A step on the way to a value.
#[derive(Clone, Copy, Debug)]
pub enum PathStep<'a> {
    /// A field of a table.
    Key(&'a str),
    /// An entry of a list, from 0.
    At(usize),
}

impl<'a> From<&'a str> for PathStep<'a> {
    fn from(key: &'a str) -> Self {
        Self::Key(key)
    }
}

impl From<usize> for PathStep<'_> {
    fn from(index: usize) -> Self {
        Self::At(index)
    }
}

/// A way to a value, outermost first.
pub type Path<'a> = &'a [PathStep<'a>];

/// Where values stand: in a file by line and column, in a form by field.
pub trait Positions {
    /// Where the value stands, or the nearest thing around it that is there.
    fn place(&self, path: Path<'_>) -> Position;

    /// How many entries the list at this path has, when that can be more than the type holds.
    fn entries(&self, _path: Path<'_>) -> Option<usize> {
        None
    }
}
