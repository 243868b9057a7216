//! One way to hold a number or a text against its limits, with the place of what breaks them.

use super::doc::printable;
use super::positions::{Path, Positions};
use setwright_model::code::Code;
use setwright_model::name::is_unprintable;
use setwright_model::refusal::{Position, Refusal, Refusals};

/// Collects what is outside its limits.
pub struct Bounds<'d> {
    places: &'d dyn Positions,
    /// Everything found so far.
    pub problems: Refusals,
}

impl<'d> Bounds<'d> {
    /// Nothing found yet.
    pub fn new(places: &'d dyn Positions) -> Self {
        Self { places, problems: Vec::new() }
    }

    /// Where a value stands.
    pub fn place(&self, path: Path<'_>) -> Position {
        self.places.place(path)
    }

    /// How many entries the list at this path has.
    pub fn entries(&self, path: Path<'_>) -> Option<usize> {
        self.places.entries(path)
    }

    /// Notes a problem at a value.
    pub fn refuse(&mut self, path: Path<'_>, code: Code, what: String, hint: &str) {
        self.problems.push(Refusal::new(code, what, hint).at(self.places.place(path)));
    }

    /// Whether a number is finite and within its limits; otherwise the problem is noted. `of` follows the
    /// number: "-5 minutes of a session".
    pub fn number(&mut self, path: Path<'_>, of: &str, value: f64, (low, high): (f64, f64)) -> bool {
        let fits = value.is_finite() && value >= low && value <= high;
        if !fits {
            let what = format!("{value} {of} cannot be meant.");
            self.refuse(path, Code::OutOfRange, what, &format!("It lies between {low} and {high}."));
        }
        fits
    }

    /// Whether a count is within its limits; otherwise the problem is noted.
    pub fn count(&mut self, path: Path<'_>, of: &str, value: u32, (low, high): (u32, u32)) -> bool {
        let fits = value >= low && value <= high;
        if !fits {
            let what = format!("{value} {of} cannot be meant.");
            self.refuse(path, Code::OutOfRange, what, &format!("It lies between {low} and {high}."));
        }
        fits
    }

    /// Holds a text against its length and what can be printed.
    pub fn text(&mut self, path: Path<'_>, field: &str, text: &str, chars_max: usize, lines: bool) {
        let chars = text.chars().count();
        let bad = |c: char| is_unprintable(c) && !(lines && c == '\n');
        let what = if text.trim().is_empty() {
            format!("The {field} is empty.")
        } else if chars > chars_max {
            format!("The {field} has {chars} characters; at most {chars_max} fit on a sheet.")
        } else if text.chars().any(bad) {
            format!("The {field} \"{}\" holds a control character.", printable(text))
        } else {
            return;
        };
        self.refuse(path, Code::BadText, what, "Write it in plain letters on one line.");
    }
}
