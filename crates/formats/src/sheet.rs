//! The reader of sheets: a programme as a spreadsheet saves it, one row an exercise. It says for every row what
//! it took it for and what it had to assume; what it cannot understand is a problem with row and cell.

mod header;
mod rows;

use super::read::Source;
use header::SheetHeader;
use setwright_model::code::Code;
use setwright_model::limits::{CYCLE_DAYS_MAX, SHEET_ROWS_MAX};
use setwright_model::refusal::{Position, Refusal, Refusals};
use setwright_model::{
    Block, BlockKind, Catalogue, ExerciseId, MassUnit, Prescription, Programme, Seconds, Session,
};
use std::collections::BTreeMap;

/// What the sheet itself does not say.
#[derive(Clone, Copy, Debug, Default)]
pub struct SheetOptions {
    /// Days until the programme repeats; a week, or up to the last day, when not given.
    pub cycle_days: Option<u32>,
    /// What bare loads are in, when the header does not say.
    pub unit: MassUnit,
}

/// A sheet as it was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The programme it describes.
    pub programme: Programme,
    /// Each row in its order.
    pub rows: Vec<SheetRow>,
    /// What holds for the sheet as a whole.
    pub notes: Vec<String>,
}

/// A row as it was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetRow {
    /// Line in the file.
    pub line: usize,
    /// Day of the cycle.
    pub day: u32,
    /// The block's letter or number; empty for a block of its own.
    pub block: String,
    /// What is prescribed.
    pub prescription: Prescription,
    /// Rest as written.
    pub rest_s: Option<Seconds>,
    /// What the row did not say.
    pub assumed: Vec<String>,
}

/// Rest after a round of an alternating block when the sheet has none (common practice, no source (T)).
const ROUND_REST_S: f64 = 30.0;
/// Rest after a round of a same-muscle block when the sheet has none (judgement).
const SAME_MUSCLE_REST_S: f64 = 90.0;

/// Reads a sheet.
pub fn parse(source: &Source, catalogue: &Catalogue, options: SheetOptions) -> Result<Sheet, Refusals> {
    let records = records(source).map_err(|p| vec![p])?;
    let header = SheetHeader::find(source, &records).map_err(|p| vec![p])?;
    let mut rows = rows::read(source, &records, &header, catalogue, options.unit)?;
    let cycle_days = cycle_days(source, &rows, options)?;
    let mut notes = header.notes();
    if options.cycle_days.is_none() {
        notes.push(format!("The sheet does not say when it repeats: every {cycle_days} days was assumed."));
    }
    let sessions = sessions(&mut rows, catalogue, &mut notes);
    Ok(Sheet { programme: Programme { client: String::new(), cycle_days, sessions }, rows, notes })
}

/// A row of cells and the line it begins on.
struct Record {
    line: usize,
    cells: Vec<String>,
}

fn records(source: &Source) -> Result<Vec<Record>, Refusal> {
    // The reader of cells ends a line at the return and counts what follows it with the next: lines would be named one too low.
    let plain = source.text.replace("\r\n", "\n");
    let text = plain.as_str();
    let (skipped, text) = match text.split_once('\n') {
        Some((first, rest)) if first.to_lowercase().starts_with("sep=") => (1, rest),
        _ => (0, text),
    };
    let delimiter = delimiter(text);
    if let Some(line) = open_quote(text, delimiter) {
        return Err(Refusal::new(
            Code::SheetShape,
            "A quotation mark opens a cell and is never closed.",
            "Close it, or double it when it is meant as a mark for inches.",
        )
        .at(Position::at(source.name.as_str(), line + skipped, 1)));
    }
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let mut records = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|e| broken(source, &e))?;
        let line = record.position().map_or(0, |p| p.line() as usize) + skipped;
        records.push(Record { line, cells: record.iter().map(|c| c.trim().to_owned()).collect() });
        if records.len() > SHEET_ROWS_MAX {
            return Err(Refusal::new(
                Code::TooMany,
                format!("The sheet has more than {SHEET_ROWS_MAX} rows."),
                "Save the programme alone, without the log.",
            )
            .at(Position::at(source.name.as_str(), line, 1)));
        }
    }
    Ok(records)
}

fn broken(source: &Source, error: &csv::Error) -> Refusal {
    let line = error.position().map(|p| p.line() as usize);
    let place = Position { file: source.name.clone(), line, column: None };
    Refusal::new(Code::SheetShape, "The sheet cannot be taken apart here.", "Save it again as CSV UTF-8.")
        .at(place)
}

/// The mark between cells: whichever of comma, semicolon and tab is most frequent in the first lines.
fn delimiter(text: &str) -> u8 {
    let head: Vec<&str> = text.lines().take(20).collect();
    let count = |mark: char| head.iter().map(|l| l.matches(mark).count()).sum::<usize>();
    let by_header = |mark: char| head.iter().map(|l| header::known_cells(l, mark)).max().unwrap_or(0);
    let mut best = ',';
    for mark in [';', '\t'] {
        if (by_header(mark), count(mark)) > (by_header(best), count(best)) {
            best = mark;
        }
    }
    best as u8
}

/// The line on which a quoted cell begins that does not end.
pub(super) fn open_quote(text: &str, delimiter: u8) -> Option<usize> {
    let (mut line, mut opened, mut fresh) = (1, None, true);
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match (c, opened) {
            ('"', Some(_)) if chars.peek() == Some(&'"') => {
                chars.next();
            }
            ('"', Some(_)) => opened = None,
            ('"', None) if fresh => opened = Some(line),
            _ => {}
        }
        fresh = opened.is_none() && (c == '\n' || c == '\r' || c == char::from(delimiter));
        line += usize::from(c == '\n');
    }
    opened
}

fn cycle_days(source: &Source, rows: &[SheetRow], options: SheetOptions) -> Result<u32, Refusals> {
    let last = rows.iter().max_by_key(|r| r.day);
    let last_day = last.map_or(1, |r| r.day);
    let cycle_days = options.cycle_days.unwrap_or_else(|| last_day.max(7));
    if last_day <= cycle_days && cycle_days <= CYCLE_DAYS_MAX {
        return Ok(cycle_days);
    }
    let days = cycle_days.min(CYCLE_DAYS_MAX);
    let place = Position { file: source.name.clone(), line: last.map(|r| r.line), column: None };
    Err(vec![
        Refusal::new(
            Code::TimeDoesNotFit,
            format!("Day {last_day} is not in a cycle of {days} days."),
            "Number the days within one cycle, or give the cycle with --cycle-days (5 to 14).",
        )
        .at(place),
    ])
}

fn sessions(rows: &mut [SheetRow], catalogue: &Catalogue, notes: &mut Vec<String>) -> Vec<Session> {
    let mut by_day: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (i, row) in rows.iter().enumerate() {
        by_day.entry(row.day).or_default().push(i);
    }
    by_day
        .into_iter()
        .map(|(day, indices)| {
            let blocks = blocks_of(&indices, rows);
            let blocks = blocks.iter().map(|b| block(b, rows, catalogue, notes)).collect();
            Session { day, focus: String::new(), blocks }
        })
        .collect()
}

/// Rows of a day grouped into blocks, in the order in which the blocks first appear.
fn blocks_of(indices: &[usize], rows: &[SheetRow]) -> Vec<Vec<usize>> {
    let mut blocks: Vec<(String, Vec<usize>)> = Vec::new();
    for &i in indices {
        let key = &rows[i].block;
        match blocks.iter_mut().find(|(k, _)| !key.is_empty() && k == key) {
            Some((_, block)) => block.push(i),
            None => blocks.push((key.clone(), vec![i])),
        }
    }
    blocks.into_iter().map(|(_, block)| block).collect()
}

fn block(indices: &[usize], rows: &mut [SheetRow], catalogue: &Catalogue, notes: &mut Vec<String>) -> Block {
    let exercises: Vec<Prescription> = indices.iter().map(|&i| rows[i].prescription.clone()).collect();
    let ids: Vec<&ExerciseId> = exercises.iter().map(|p| &p.id).collect();
    let kind = kind(&ids, catalogue);
    let written: Vec<Seconds> = indices.iter().filter_map(|&i| rows[i].rest_s).collect();
    let rest_s = match written.last() {
        Some(last) => {
            if written.iter().any(|r| (r.get() - last.get()).abs() > 1.0) {
                let lines: Vec<String> = indices.iter().map(|&i| rows[i].line.to_string()).collect();
                notes.push(format!(
                    "Lines {}: in one block only the rest after the last exercise counts ({} s after each round).",
                    lines.join(" and "),
                    last.get()
                ));
            }
            *last
        }
        None => assumed_rest(kind, indices, rows, catalogue),
    };
    Block { kind, rest_s, exercises }
}

fn kind(ids: &[&ExerciseId], catalogue: &Catalogue) -> BlockKind {
    let prime = |id: &ExerciseId| catalogue.get(id).and_then(setwright_model::Exercise::prime);
    match ids {
        [_] => BlockKind::Straight,
        [a, b] if prime(a).is_some() && prime(a) == prime(b) => BlockKind::SameMuscle,
        _ => BlockKind::Alternating,
    }
}

fn assumed_rest(kind: BlockKind, indices: &[usize], rows: &mut [SheetRow], catalogue: &Catalogue) -> Seconds {
    let usual = indices.first().and_then(|&i| catalogue.get(&rows[i].prescription.id)).map(|e| e.rest_s);
    let rest = match kind {
        BlockKind::Straight => usual.unwrap_or(Seconds(ROUND_REST_S)),
        BlockKind::Alternating => Seconds(ROUND_REST_S),
        BlockKind::SameMuscle => Seconds(SAME_MUSCLE_REST_S),
    };
    for &i in indices {
        rows[i].assumed.push(format!("rest {} s", rest.get()));
    }
    rest
}
