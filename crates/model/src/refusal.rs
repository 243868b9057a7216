//! What is wrong with a file or a request: code, what, where, why, hint. The one type for whatever is not done.
//!
//! It knows no terminal and no page; those decide how it looks.

use crate::code::{Code, Kind};
use serde::Serialize;
use std::fmt;

/// Where in a file: line and column count from 1. In a sheet the column is the number of the cell.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Position {
    /// The file as it was named.
    pub file: String,
    /// Line, when it is known.
    pub line: Option<usize>,
    /// Column, when it is known.
    pub column: Option<usize>,
}

impl Position {
    /// A whole file.
    pub fn file(file: impl Into<String>) -> Self {
        Self { file: file.into(), line: None, column: None }
    }
    /// A line and a column of a file.
    pub fn at(file: impl Into<String>, line: usize, column: usize) -> Self {
        Self { file: file.into(), line: Some(line), column: Some(column) }
    }
    /// The place of a byte of a text.
    pub fn of_byte(file: impl Into<String>, text: &str, byte: usize) -> Self {
        let before = text.get(..byte).unwrap_or(text);
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        Self::at(file, line, column)
    }
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(f, ":{column}")?;
            }
        }
        Ok(())
    }
}

/// A refusal: what is wrong, where, and what can be done. Why the rule exists stands with its code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// Stable code.
    pub code: Code,
    /// What is wrong, as a sentence.
    pub what: String,
    /// Where it is, when it is in a file.
    pub place: Option<Position>,
    /// What can be done, as a sentence.
    pub hint: String,
}

impl Refusal {
    /// A refusal that is about no file.
    pub fn new(code: Code, what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { code, what: what.into(), place: None, hint: hint.into() }
    }
    /// The same refusal, found there.
    #[must_use]
    pub fn at(mut self, place: Position) -> Self {
        self.place = Some(place);
        self
    }
    /// Why the rule exists.
    pub fn why(&self) -> &'static str {
        self.code.info().why
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.place {
            Some(place) => write!(f, "{place}: {}: {}", self.code, self.what),
            None => write!(f, "{}: {}", self.code, self.what),
        }
    }
}

impl std::error::Error for Refusal {}

/// All that a reader refuses; never empty.
pub type Refusals = Vec<Refusal>;

/// Whose matter several refusals are: that of the worst.
pub fn kind(refusals: &[Refusal]) -> Kind {
    refusals.iter().map(|refusal| refusal.code.kind()).max().unwrap_or(Kind::Input)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_several_refusals_the_worst_is_answered_for() {
        let of = |codes: &[Code]| kind(&codes.iter().map(|c| Refusal::new(*c, "", "")).collect::<Vec<_>>());
        assert_eq!(of(&[Code::NoMatch, Code::LedgerFull, Code::Usage]), Kind::NoRoom);
        assert_eq!(of(&[Code::Usage]), Kind::Input);
        assert_eq!(of(&[]), Kind::Input);
    }

    #[test]
    fn a_byte_is_found_by_line_and_character_not_by_byte() {
        let place = Position::of_byte("a.toml", "né\nüx = 1", "né\nüx".len());
        assert_eq!(place.to_string(), "a.toml:2:3");
        assert_eq!(Position::of_byte("a.toml", "x", 99).to_string(), "a.toml:1:2");
    }
}
