//! Paper: session sheets and documents as PDF, laid out here and written by `writer`. Views of plain words and numbers go in;
//! the same view, paper and date give the same bytes.

mod composer;
mod drawing;
mod face;
mod flow;
mod ink;
mod sheet;
mod table;
#[cfg(test)]
mod tests;
mod tree;
mod writer;

pub use flow::{Document, Piece, document};
pub use sheet::{SheetBlock, SheetLine, SheetView, sheets};
pub use table::{CellSide, Table, TableColumn};

use std::fmt;

/// Points to an inch; PDF measures in them (exact by definition).
const INCH: f64 = 72.0;
/// Millimetres to an inch (exact by definition).
const INCH_MM: f64 = 25.4;

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Paper {
    /// 210 by 297 millimetres.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

impl Paper {
    /// Width and height in points.
    pub const fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0 / INCH_MM * INCH, 297.0 / INCH_MM * INCH),
            Self::Letter => (8.5 * INCH, 11.0 * INCH),
        }
    }
}

/// What a document says of itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About {
    /// Its name.
    pub title: String,
    /// What it is about, in a sentence.
    pub subject: String,
    /// The day it was made: year, month, day. There is no clock here.
    pub date: Option<(i64, u32, u32)>,
}

/// A document that cannot be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotWritten {
    /// Why, in words.
    pub why: String,
}

impl NotWritten {
    fn because(why: &str) -> Self {
        Self { why: why.to_owned() }
    }
}

impl fmt::Display for NotWritten {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.why)
    }
}

impl std::error::Error for NotWritten {}
