//! The header of a log: columns in any order, by names that coaches use.

use crate::doc::printable;
use crate::near::nearest;
use crate::read::Source;
use crate::spreadsheet::text_of;
use setwright_model::MassUnit;
use setwright_model::code::Code;
use setwright_model::refusal::{Position, Refusal};
use std::collections::BTreeMap;

/// A column that is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LogbookColumn {
    /// Identifier of the set.
    Id,
    /// Day.
    Date,
    /// Time of day.
    Time,
    /// Offset of the clock from UTC.
    Offset,
    /// Who.
    Client,
    /// Which session of the day.
    Session,
    /// Which exercise.
    Exercise,
    /// Work set or warm-up.
    Kind,
    /// Load.
    Load,
    /// Unit of the load.
    Unit,
    /// How many sets alike the row stands for.
    Sets,
    /// Reps.
    Reps,
    /// Reps in reserve.
    Rir,
    /// Effort rating, read as reps in reserve.
    Rpe,
    /// A remark.
    Note,
}

const NAMES: [(LogbookColumn, &str, &[&str]); 15] = [
    (LogbookColumn::Id, "id", &["set id"]),
    (LogbookColumn::Date, "date", &["day", "training date", "when"]),
    (LogbookColumn::Time, "time", &["clock", "start", "time of day"]),
    (LogbookColumn::Offset, "offset", &["utc offset"]),
    (LogbookColumn::Client, "client", &["client name", "name", "lifter"]),
    (LogbookColumn::Session, "session", &["workout", "training session", "session id"]),
    (LogbookColumn::Exercise, "exercise", &["exercises", "movement", "lift", "exercise name"]),
    (LogbookColumn::Kind, "kind", &["type", "set type"]),
    (LogbookColumn::Load, "load", &["weight", "loads", "weights"]),
    (LogbookColumn::Unit, "unit", &["units", "weight unit", "load unit"]),
    (LogbookColumn::Sets, "sets", &["work sets", "working sets", "number of sets"]),
    (LogbookColumn::Reps, "reps", &["rep", "repetitions"]),
    (LogbookColumn::Rir, "rir", &["reps in reserve", "in reserve", "reserve", "left"]),
    (LogbookColumn::Rpe, "rpe", &["effort"]),
    (LogbookColumn::Note, "note", &["notes", "comment", "comments", "remark", "remarks"]),
];

const REQUIRED: [LogbookColumn; 3] = [LogbookColumn::Date, LogbookColumn::Exercise, LogbookColumn::Reps];
/// How far down the header may stand, under titles.
pub const ROWS_SEARCHED: usize = 30;
/// A row with fewer known names is not a header.
const KNOWN_MIN: usize = 3;
const COLUMNS: &str = "The header names these columns in any order: date, exercise, load, reps, rir; also time, client, \
                       session, kind, unit, sets, note.";

/// Where each column is.
pub struct LogbookHeader {
    columns: BTreeMap<LogbookColumn, usize>,
    /// How many cells the header has.
    pub width: usize,
    /// What bare loads are in, when the header says.
    pub load_unit: Option<MassUnit>,
    /// Columns that are not read.
    pub unused: Vec<String>,
}

/// The name of a column in messages.
pub fn name(column: LogbookColumn) -> &'static str {
    NAMES.iter().find(|(c, _, _)| *c == column).map_or("", |(_, name, _)| name)
}

/// How many cells of a line are names of columns, if the mark separates them.
pub fn known_cells(line: &str, mark: char) -> usize {
    line.split(mark).filter(|cell| column(cell.trim().trim_matches('"')).is_some()).count()
}

impl LogbookHeader {
    /// Finds the header: the first row with enough known names.
    pub fn find(
        source: &Source,
        reader: &mut csv::Reader<&[u8]>,
        record: &mut csv::StringRecord,
        skipped: usize,
    ) -> Result<Self, Refusal> {
        let mut first = None;
        for _ in 0..ROWS_SEARCHED {
            let Some(line) = super::next(source, reader, record, skipped)? else { break };
            if record.iter().filter(|c| column(c).is_some()).count() >= KNOWN_MIN {
                return Self::of(source, record, line);
            }
            first.get_or_insert((line, record.iter().map(str::to_owned).collect::<Vec<_>>()));
        }
        let (line, cells) = first.unwrap_or((1, Vec::new()));
        let near = cells.iter().find_map(|c| Some((c, nearest(c, NAMES.iter().map(|(_, n, _)| *n))?)));
        let hint = match near {
            Some((cell, name)) => format!("Is \"{}\" the column \"{name}\"? {COLUMNS}", printable(cell)),
            None => COLUMNS.to_owned(),
        };
        let place = Position::at(source.name.as_str(), line, 1);
        Err(Refusal::new(Code::LogHeader, "No row names the columns.", hint).at(place))
    }

    fn of(source: &Source, record: &csv::StringRecord, line: usize) -> Result<Self, Refusal> {
        let mut header =
            Self { columns: BTreeMap::new(), width: record.len(), load_unit: None, unused: Vec::new() };
        for (i, cell) in record.iter().enumerate() {
            match column(cell) {
                Some((column, unit)) => {
                    if header.columns.insert(column, i).is_some() {
                        let what = format!("Two columns are read as \"{}\".", name(column));
                        return Err(Refusal::new(Code::LogHeader, what, "Rename or delete one of them.")
                            .at(Position::at(source.name.as_str(), line, i + 1)));
                    }
                    if column == LogbookColumn::Load && unit.is_some() {
                        header.load_unit = unit;
                    }
                }
                None if !cell.trim().is_empty() => header.unused.push(printable(cell.trim())),
                None => {}
            }
        }
        match REQUIRED.into_iter().find(|c| !header.columns.contains_key(c)) {
            None => Ok(header),
            Some(column) => {
                let what = format!("There is no column \"{}\".", name(column));
                let hint = match nearest(name(column), header.unused.iter().map(String::as_str)) {
                    Some(near) => format!("Is it the column \"{near}\"? Rename it."),
                    None => COLUMNS.to_owned(),
                };
                let place = Position::at(source.name.as_str(), line, 1);
                Err(Refusal::new(Code::LogHeader, what, hint).at(place))
            }
        }
    }

    /// The text of the cell of a column, without blanks around it; empty when there is none.
    pub fn cell<'r>(&self, record: &'r csv::StringRecord, column: LogbookColumn) -> &'r str {
        self.columns.get(&column).and_then(|i| record.get(*i)).map_or("", |cell| text_of(cell.trim()))
    }

    /// The number of a column, from 1.
    pub fn number(&self, column: LogbookColumn) -> usize {
        self.columns.get(&column).map_or(1, |i| i + 1)
    }

    /// Whether there is such a column.
    pub fn has(&self, column: LogbookColumn) -> bool {
        self.columns.contains_key(&column)
    }
}

/// The column of this name, and the unit of loads that it states.
fn column(cell: &str) -> Option<(LogbookColumn, Option<MassUnit>)> {
    let lower: String = cell.chars().take(60).collect::<String>().to_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let unit = |word: &str| match word {
        "kg" | "kgs" => Some(MassUnit::Kg),
        "lb" | "lbs" | "pounds" => Some(MassUnit::Lb),
        _ => None,
    };
    if let [word] = words[..]
        && let Some(unit) = unit(word)
    {
        return Some((LogbookColumn::Load, Some(unit)));
    }
    let (said, words) = match words.split_last() {
        Some((last, rest)) if !rest.is_empty() && unit(last).is_some() => (unit(last), rest),
        _ => (None, words.as_slice()),
    };
    let wanted = words.join(" ");
    let found = NAMES.iter().find(|(_, name, also)| *name == wanted || also.contains(&wanted.as_str()));
    found.map(|(column, _, _)| (*column, said))
}
