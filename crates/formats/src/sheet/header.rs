//! Columns found by their names, in any order and in the spellings that coaches use.

use super::Record;
use crate::cells::RestUnit;
use crate::doc::printable;
use crate::near::nearest;
use crate::read::Source;
use setwright_model::MassUnit;
use setwright_model::code::Code;
use setwright_model::refusal::{Position, Refusal};
use std::collections::BTreeMap;

/// A column that is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SheetColumn {
    /// Day of the cycle.
    Day,
    /// The block's letter or number.
    Block,
    /// Which exercise.
    Exercise,
    /// Sets.
    Sets,
    /// Reps.
    Reps,
    /// Reps in reserve.
    Rir,
    /// Effort rating, read as reps in reserve.
    Rpe,
    /// Load.
    Load,
    /// Rest.
    Rest,
}

const NAMES: [(SheetColumn, &str, &[&str]); 9] = [
    (SheetColumn::Day, "day", &["days", "session", "session day", "training day", "workout"]),
    (SheetColumn::Block, "block", &["group", "order", "pair", "superset", "no", "nr"]),
    (SheetColumn::Exercise, "exercise", &["exercises", "movement", "lift", "exercise name", "name"]),
    (SheetColumn::Sets, "sets", &["set", "work sets", "working sets"]),
    (SheetColumn::Reps, "reps", &["rep", "repetitions", "rep range", "reps per set"]),
    (SheetColumn::Rir, "rir", &["reps in reserve", "in reserve", "reserve", "left"]),
    (SheetColumn::Rpe, "rpe", &["effort"]),
    (SheetColumn::Load, "load", &["weight", "loads", "weights", "work load", "working weight"]),
    (SheetColumn::Rest, "rest", &["rests", "break", "pause", "rest time", "rest period"]),
];

const REQUIRED: [SheetColumn; 3] = [SheetColumn::Exercise, SheetColumn::Sets, SheetColumn::Day];
/// How far down the header may stand, under titles.
const ROWS_SEARCHED: usize = 30;
/// A row with fewer known names is not a header.
const KNOWN_MIN: usize = 3;

/// Where each column is.
pub struct SheetHeader {
    /// Index of the header among the records.
    pub row: usize,
    columns: BTreeMap<SheetColumn, usize>,
    /// What bare loads are in, when the header says.
    pub load_unit: Option<MassUnit>,
    /// What bare rests are in.
    pub rest_unit: RestUnit,
    unused: Vec<String>,
}

/// How many cells of a line are names of columns, if the mark separates them.
pub fn known_cells(line: &str, mark: char) -> usize {
    line.split(mark).filter(|cell| column(cell.trim().trim_matches('"')).is_some()).count()
}

impl SheetHeader {
    /// Finds the header: the first row with enough known names.
    pub fn find(source: &Source, records: &[Record]) -> Result<Self, Refusal> {
        let known = |r: &Record| r.cells.iter().filter(|c| column(c).is_some()).count();
        let row = records.iter().take(ROWS_SEARCHED).position(|r| known(r) >= KNOWN_MIN);
        match row.and_then(|i| records.get(i).map(|r| (i, r))) {
            Some((i, record)) => Self::of(source, i, record),
            None => Err(no_header(source, records)),
        }
    }

    fn of(source: &Source, row: usize, record: &Record) -> Result<Self, Refusal> {
        let mut header = Self {
            row,
            columns: BTreeMap::new(),
            load_unit: None,
            rest_unit: RestUnit::Seconds,
            unused: Vec::new(),
        };
        for (i, cell) in record.cells.iter().enumerate() {
            let place = || Position::at(source.name.as_str(), record.line, i + 1);
            match column(cell) {
                Some((column, unit)) => {
                    if header.columns.insert(column, i).is_some() {
                        return Err(Refusal::new(
                            Code::SheetHeader,
                            format!("Two columns are read as \"{}\".", name(column)),
                            "Rename or delete one of them.",
                        )
                        .at(place()));
                    }
                    header.note_unit(column, unit);
                }
                None if !cell.is_empty() => header.unused.push(cell.clone()),
                None => {}
            }
        }
        header.complete(source, record)
    }

    fn note_unit(&mut self, column: SheetColumn, unit: &str) {
        match (column, unit) {
            (SheetColumn::Load, "lb" | "lbs" | "pounds") => self.load_unit = Some(MassUnit::Lb),
            (SheetColumn::Load, "kg" | "kgs") => self.load_unit = Some(MassUnit::Kg),
            (SheetColumn::Rest, "min" | "mins" | "minutes" | "m") => self.rest_unit = RestUnit::Minutes,
            _ => {}
        }
    }

    fn complete(self, source: &Source, record: &Record) -> Result<Self, Refusal> {
        let missing = REQUIRED.into_iter().find(|c| !self.columns.contains_key(c));
        match missing {
            None => Ok(self),
            Some(column) => Err(Refusal::new(
                Code::SheetHeader,
                format!("There is no column \"{}\".", name(column)),
                match nearest(name(column), self.unused.iter().map(String::as_str)) {
                    Some(near) => format!("Is it the column \"{}\"? Rename it.", printable(near)),
                    None => COLUMNS.to_owned(),
                },
            )
            .at(Position::at(source.name.as_str(), record.line, 1))),
        }
    }

    /// The cell of a column.
    pub fn cell<'r>(&self, record: &'r Record, column: SheetColumn) -> &'r str {
        self.columns.get(&column).and_then(|i| record.cells.get(*i)).map_or("", String::as_str)
    }

    /// The number of a column, from 1.
    pub fn number(&self, column: SheetColumn) -> usize {
        self.columns.get(&column).map_or(1, |i| i + 1)
    }

    /// Whether there is such a column.
    pub fn has(&self, column: SheetColumn) -> bool {
        self.columns.contains_key(&column)
    }

    /// What was not read.
    pub fn notes(&self) -> Vec<String> {
        if self.unused.is_empty() {
            return Vec::new();
        }
        let names: Vec<String> = self.unused.iter().take(12).map(|n| printable(n)).collect();
        vec![format!("Columns that were not read: {}.", names.join(", "))]
    }
}

/// The name of a column in messages.
pub fn name(column: SheetColumn) -> &'static str {
    NAMES.iter().find(|(c, _, _)| *c == column).map_or("", |(_, name, _)| name)
}

const COLUMNS: &str =
    "The header names these columns in any order: day, block, exercise, sets, reps, RIR, load, rest.";

fn no_header(source: &Source, records: &[Record]) -> Refusal {
    let line = records.first().map_or(1, |r| r.line);
    Refusal::new(Code::SheetHeader, "No row names the columns.", COLUMNS).at(Position::at(
        source.name.as_str(),
        line,
        1,
    ))
}

const UNITS: [&str; 14] = [
    "kg", "kgs", "lb", "lbs", "pounds", "s", "sec", "secs", "seconds", "min", "mins", "minutes", "m", "each",
];

/// The column of this name, and the unit it states.
fn column(cell: &str) -> Option<(SheetColumn, &'static str)> {
    let lower: String = cell.chars().take(60).collect::<String>().to_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let known_unit = |w: &&str| UNITS.into_iter().find(|u| u == w);
    match words.as_slice() {
        ["kg" | "kgs"] => return Some((SheetColumn::Load, "kg")),
        ["lb" | "lbs"] => return Some((SheetColumn::Load, "lb")),
        _ => {}
    }
    let (unit, words) = match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => match known_unit(last) {
            Some(unit) => (unit, rest),
            None => ("", words.as_slice()),
        },
        _ => ("", words.as_slice()),
    };
    let wanted = words.join(" ");
    let found = NAMES.iter().find(|(_, name, also)| *name == wanted || also.contains(&wanted.as_str()));
    found.map(|(column, _, _)| (*column, unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_known_in_any_case_and_with_units() {
        for (cell, want) in [
            ("Day", Some((SheetColumn::Day, ""))),
            ("LOAD (kg)", Some((SheetColumn::Load, "kg"))),
            ("weight lbs", Some((SheetColumn::Load, "lbs"))),
            ("Rest [min]", Some((SheetColumn::Rest, "min"))),
            ("Rep range", Some((SheetColumn::Reps, ""))),
            ("kg", Some((SheetColumn::Load, "kg"))),
            ("Reps in reserve", Some((SheetColumn::Rir, ""))),
            ("Notes", None),
            ("", None),
        ] {
            assert_eq!(column(cell), want, "{cell}");
        }
    }
}
