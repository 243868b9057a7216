//! The reader of logs as spreadsheets save them, one set a row. It collects what it cannot understand over the whole file,
//! and guesses nothing: dates that can be read two ways and units that are mixed up are refused.

mod dates;
mod header;
mod rows;
#[cfg(test)]
mod tests;

use super::read::Source;
use super::sheet::open_quote;
use header::LogbookHeader;
use setwright_model::code::Code;
use setwright_model::exercise::ExerciseId;
use setwright_model::ledger::{Date, EventId, Load, SetKind};
use setwright_model::limits::IMPORT_ROWS_MAX;
use setwright_model::refusal::{Position, Refusal, Refusals};
use setwright_model::{Catalogue, MassUnit};

pub use dates::DateOrder;

/// What the file does not say itself.
#[derive(Clone, Copy, Debug)]
pub struct LogbookOptions<'a> {
    /// Whose log it is, when there is no column for it.
    pub client: Option<&'a str>,
    /// How dates with strokes are read; when not given, only if the file itself leaves no doubt.
    pub dates: Option<DateOrder>,
    /// What bare loads are in, when the file never says.
    pub unit: MassUnit,
    /// The day that is today: what comes later cannot have been done.
    pub today: Date,
}

/// A log as it was understood.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Logbook {
    /// Clients by name, in the order they come up.
    pub clients: Vec<String>,
    /// Exercises in the order they come up, with the name as it was written first.
    pub exercises: Vec<(ExerciseId, String)>,
    /// What the column of sessions says, in the order it comes up.
    pub sessions: Vec<String>,
    /// Sets in the order of rows.
    pub rows: Vec<LogbookRow>,
    /// What was assumed or passed over.
    pub notes: Vec<String>,
}

/// A set as it was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct LogbookRow {
    /// Line in the file.
    pub line: u32,
    /// Its identifier, when the file has one.
    pub id: Option<EventId>,
    /// Index of the client.
    pub client: u32,
    /// Day.
    pub date: Date,
    /// Milliseconds of the day, when the file says.
    pub ms: Option<u32>,
    /// Offset from UTC in minutes, when the file says.
    pub offset_min: Option<i32>,
    /// Index of what the column of sessions says, when it says something.
    pub session: Option<u32>,
    /// Index of the exercise.
    pub exercise: u32,
    /// Whether it counts.
    pub kind: SetKind,
    /// The load.
    pub load: Option<Load>,
    /// Reps, seconds or metres.
    pub reps: u32,
    /// Reps left.
    pub rir: Option<u32>,
    /// A remark.
    pub note: Option<Box<str>>,
}

/// After so many problems the rest of the file will not tell more.
const PROBLEMS_MAX: usize = 50;

/// Reads a log.
pub fn parse(
    source: &Source,
    catalogue: &Catalogue,
    options: LogbookOptions<'_>,
) -> Result<Logbook, Refusals> {
    let text = source.text.as_str();
    let (skipped, text) = match text.split_once('\n') {
        Some((first, rest)) if first.to_lowercase().starts_with("sep=") => (1, rest),
        _ => (0, text),
    };
    let delimiter = delimiter(text);
    if let Some(line) = open_quote(text, delimiter) {
        let place = Position::at(source.name.as_str(), line + skipped, 1);
        let what = "A quotation mark opens a cell and is never closed.";
        return Err(vec![Refusal::new(Code::SheetShape, what, "Close it, or double it.").at(place)]);
    }
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    let header = LogbookHeader::find(source, &mut reader, &mut record, skipped).map_err(|p| vec![p])?;
    let mut rows = rows::Reader::new(source, &header, catalogue, options, delimiter);
    let mut count = 0;
    while let Some(line) = next(source, &mut reader, &mut record, skipped).map_err(|p| vec![p])? {
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        count += 1;
        if count > IMPORT_ROWS_MAX || rows.len() > IMPORT_ROWS_MAX {
            let what = format!("The log has more than {IMPORT_ROWS_MAX} rows.");
            let problem =
                Refusal::new(Code::TooMany, what, "Split it by year and import one after the other.");
            return Err(vec![problem.at(Position::at(source.name.as_str(), line, 1))]);
        }
        rows.row(&record, line);
        if rows.problems.len() >= PROBLEMS_MAX {
            break;
        }
    }
    rows.finish()
}

/// Reads the next record; its line, or nothing at the end.
fn next(
    source: &Source,
    reader: &mut csv::Reader<&[u8]>,
    record: &mut csv::StringRecord,
    skipped: usize,
) -> Result<Option<usize>, Refusal> {
    let more = reader.read_record(record).map_err(|e| {
        let line = e.position().map(|p| p.line() as usize + skipped);
        let place = Position { file: source.name.clone(), line, column: None };
        let what = "The file cannot be taken apart here.";
        Refusal::new(Code::SheetShape, what, "Save it again as CSV UTF-8.").at(place)
    })?;
    Ok(more.then(|| record.position().map_or(0, |p| p.line() as usize) + skipped))
}

/// The mark between cells: whichever of comma, semicolon and tab parts the most known names in the first lines.
fn delimiter(text: &str) -> u8 {
    let known = |mark: char| {
        let lines = text.lines().take(header::ROWS_SEARCHED);
        lines.map(|line| header::known_cells(line, mark)).max().unwrap_or(0)
    };
    let mut best = (',', known(','));
    for mark in [';', '\t'] {
        let count = known(mark);
        if count > best.1 {
            best = (mark, count);
        }
    }
    best.0 as u8
}
