//! Rows of a log as sets.

use super::dates::{self, DatesSeen, Raw};
use super::header::{LogbookColumn, LogbookHeader, name};
use super::{Logbook, LogbookOptions, LogbookRow};
use crate::cells;
use crate::doc::printable;
use crate::lines::{self, Loading, loading};
use crate::names;
use crate::read::Source;
use setwright_model::code::Code;
use setwright_model::ledger::{Date, EventId, Load, Moment, SetKind};
use setwright_model::limits::{NAME_CHARS_MAX, NOTE_CHARS_MAX, REPS_MAX, SETS_AUDIT_MAX};
use setwright_model::name::{folded, is_unprintable, turns};
use setwright_model::refusal::{Position, Refusal, Refusals};
use setwright_model::{Catalogue, Exercise, MassUnit};
use std::collections::BTreeMap;

/// Reads rows one after the other.
pub struct Reader<'a> {
    source: &'a Source,
    header: &'a LogbookHeader,
    catalogue: &'a Catalogue,
    options: LogbookOptions<'a>,
    delimiter: u8,
    book: Logbook,
    dates: Vec<Raw>,
    seen: DatesSeen,
    clients: BTreeMap<String, u32>,
    exercises: BTreeMap<String, Option<(u32, &'a Exercise)>>,
    sessions: BTreeMap<String, u32>,
    /// First lines with a load in kilograms, in pounds, and with no unit.
    units: [Option<usize>; 3],
    /// Everything found so far.
    pub problems: Refusals,
}

/// What a cell may hold.
type Expected = &'static str;

const REPS: Expected =
    "Reps are one whole number: 8. A row stands for one set, or for several alike with a column sets.";
const LOAD: Expected = "A load is a number, with kg or lb when the column does not say: 80, 82.5 kg, 135 lb.";

impl<'a> Reader<'a> {
    /// Nothing read yet.
    pub fn new(
        source: &'a Source,
        header: &'a LogbookHeader,
        catalogue: &'a Catalogue,
        options: LogbookOptions<'a>,
        delimiter: u8,
    ) -> Self {
        Self {
            source,
            header,
            catalogue,
            options,
            delimiter,
            book: Logbook::default(),
            dates: Vec::new(),
            seen: DatesSeen::default(),
            clients: BTreeMap::new(),
            exercises: BTreeMap::new(),
            sessions: BTreeMap::new(),
            units: [None; 3],
            problems: Vec::new(),
        }
    }

    /// How many sets were read.
    pub const fn len(&self) -> usize {
        self.book.rows.len()
    }

    fn place(&self, line: usize, column: usize) -> Position {
        Position::at(self.source.name.as_str(), line, column)
    }

    fn refuse(&mut self, code: Code, line: usize, column: LogbookColumn, what: String, hint: &str) {
        let place = self.place(line, self.header.number(column));
        self.problems.push(Refusal::new(code, what, hint).at(place));
    }

    fn not_understood(
        &mut self,
        record: &csv::StringRecord,
        line: usize,
        column: LogbookColumn,
        hint: Expected,
    ) {
        let cell = self.header.cell(record, column);
        let what = if cell.is_empty() {
            format!("The cell \"{}\" is empty.", name(column))
        } else {
            format!("\"{}\" was not understood as {}.", printable(cell), name(column))
        };
        self.refuse(Code::LogCell, line, column, what, hint);
    }

    /// Reads a row.
    pub fn row(&mut self, record: &csv::StringRecord, line: usize) {
        let before = self.problems.len();
        if record.iter().skip(self.header.width).any(|cell| !cell.trim().is_empty()) {
            self.too_wide(record, line);
            return;
        }
        let date = self.date(record, line);
        let exercise = self.exercise(record, line);
        let client = self.client(record, line);
        let load = exercise.and_then(|(_, e)| self.load(record, line, e));
        let reps = self.reps(record, line);
        let rir = self.rir(record, line);
        let kind = self.kind(record, line);
        let ms = self.time(record, line);
        let offset_min = self.offset(record, line);
        let id = self.id(record, line);
        let sets = self.sets(record, line, id);
        let note = self.note(record, line);
        if self.problems.len() > before {
            return;
        }
        let (Some(date), Some((exercise, _)), Some(client), Some(reps)) = (date, exercise, client, reps)
        else {
            return;
        };
        let session = self.session(record);
        let row = LogbookRow {
            line: line as u32,
            id,
            client,
            // Settled when all dates have been seen.
            date: self.options.today,
            ms,
            offset_min,
            session,
            exercise,
            kind,
            load,
            reps,
            rir,
            note,
        };
        for _ in 0..sets {
            self.dates.push(date);
            self.book.rows.push(row.clone());
        }
    }

    fn too_wide(&mut self, record: &csv::StringRecord, line: usize) {
        let what = format!("The row has {} cells under {} headings.", record.len(), self.header.width);
        let hint = if self.delimiter == b',' {
            "A decimal comma cuts a number in two: save with semicolons between cells, or with decimal points."
        } else {
            "Put what belongs together into one cell, in quotation marks."
        };
        let place = self.place(line, self.header.width + 1);
        self.problems.push(Refusal::new(Code::SheetShape, what, hint).at(place));
    }

    fn date(&mut self, record: &csv::StringRecord, line: usize) -> Option<Raw> {
        let read = Raw::read(self.header.cell(record, LogbookColumn::Date));
        match read {
            Some(raw) => self.seen.note(raw, line),
            None => self.not_understood(record, line, LogbookColumn::Date, dates::EXPECTED),
        }
        read
    }

    fn exercise(&mut self, record: &csv::StringRecord, line: usize) -> Option<(u32, &'a Exercise)> {
        let cell = self.header.cell(record, LogbookColumn::Exercise);
        if let Some(known) = self.exercises.get(cell) {
            // What was refused once is not refused again on every row.
            return *known;
        }
        let found = if cell.is_empty() {
            self.not_understood(record, line, LogbookColumn::Exercise, "Name the exercise of the row.");
            return None;
        } else {
            names::resolve(cell, self.catalogue)
        };
        let known = match found {
            Ok(exercise) => {
                let at = self.book.exercises.iter().position(|(id, _)| *id == exercise.id);
                let index = at.unwrap_or_else(|| {
                    self.book.exercises.push((exercise.id.clone(), cell.to_owned()));
                    self.book.exercises.len() - 1
                });
                Some((index as u32, exercise))
            }
            Err(problem) => {
                let place = self.place(line, self.header.number(LogbookColumn::Exercise));
                self.problems.push(problem.at(place));
                None
            }
        };
        self.exercises.insert(cell.to_owned(), known);
        known
    }

    fn client(&mut self, record: &csv::StringRecord, line: usize) -> Option<u32> {
        let cell = self.header.cell(record, LogbookColumn::Client);
        let name = match (self.options.client, cell) {
            (Some(given), "") => given,
            (Some(given), cell) if folded(given) != folded(cell) => {
                let what = format!("The row is of \"{}\", not of \"{}\".", printable(cell), printable(given));
                let hint = "Leave out --client, or import the rows of each client from a file of their own.";
                self.refuse(Code::LogCell, line, LogbookColumn::Client, what, hint);
                return None;
            }
            (_, "") => {
                let hint = "Name the client in a column client, or say --client NAME.";
                self.not_understood(record, line, LogbookColumn::Client, hint);
                return None;
            }
            (_, cell) => cell,
        };
        if let Some(index) = self.clients.get(name) {
            return Some(*index);
        }
        if name.chars().count() > NAME_CHARS_MAX || name.chars().any(is_unprintable) {
            self.not_understood(record, line, LogbookColumn::Client, "A name has up to 80 plain letters.");
            return None;
        }
        let same = |known: &String| folded(known) == folded(name);
        let index = self.book.clients.iter().position(same).unwrap_or_else(|| {
            self.book.clients.push(name.to_owned());
            self.book.clients.len() - 1
        });
        self.clients.insert(name.to_owned(), index as u32);
        Some(index as u32)
    }

    /// The load; nothing when the set has none, or when it was refused.
    fn load(&mut self, record: &csv::StringRecord, line: usize, exercise: &Exercise) -> Option<Load> {
        let cell = self.header.cell(record, LogbookColumn::Load).to_lowercase();
        let cell = cell.trim_end_matches("each").trim_end_matches("per hand").trim();
        let none = matches!(cell, "" | "-" | "bw" | "body" | "bodyweight" | "body weight" | "n/a");
        match (none, loading(exercise)) {
            (true, Loading::Always) => {
                let what = format!("The load of the {} is missing.", exercise.name);
                self.refuse(
                    Code::LogCell,
                    line,
                    LogbookColumn::Load,
                    what,
                    "Write it; 0 when nothing hung on it.",
                );
                return None;
            }
            (true, _) => return None,
            (false, _) => {}
        }
        let load = self.load_of(record, line, cell)?;
        match loading(exercise) {
            Loading::Never if load.value > 0.0 => {
                let what = format!("The {} is logged without a load.", exercise.name);
                let hint = "Empty the cell, or name the weighted exercise: setwright exercises WORDS.";
                self.refuse(Code::LogCell, line, LogbookColumn::Load, what, hint);
                None
            }
            Loading::Never => None,
            Loading::Maybe if load.value <= 0.0 => None,
            Loading::Maybe | Loading::Always => Some(load),
        }
    }

    /// A load of the cell's own unit, else of the column of units, else of the header.
    fn load_of(&mut self, record: &csv::StringRecord, line: usize, cell: &str) -> Option<Load> {
        let own = cell.chars().any(char::is_alphabetic);
        let column = self.header.cell(record, LogbookColumn::Unit).to_lowercase();
        let said = match column.as_str() {
            "" => None,
            "kg" | "kgs" => Some(MassUnit::Kg),
            "lb" | "lbs" | "pounds" => Some(MassUnit::Lb),
            _ => {
                self.not_understood(record, line, LogbookColumn::Unit, "A unit is kg or lb.");
                return None;
            }
        };
        let stated = said.or(self.header.load_unit);
        let Ok(load) = lines::load(cell, stated.unwrap_or(self.options.unit)) else {
            self.not_understood(record, line, LogbookColumn::Load, LOAD);
            return None;
        };
        if let Some(stated) = stated.filter(|s| *s != load.unit) {
            let says = if said.is_some() { "The column of units" } else { "The header" };
            let what = format!("{says} says {}, the load {}.", stated.symbol(), load.unit.symbol());
            self.refuse(
                Code::LogUnits,
                line,
                LogbookColumn::Load,
                what,
                "Write every load in the unit that is stated.",
            );
            return None;
        }
        let index = match (own || stated.is_some(), load.unit) {
            (true, MassUnit::Kg) => 0,
            (true, MassUnit::Lb) => 1,
            (false, _) => 2,
        };
        self.units[index].get_or_insert(line);
        Some(load)
    }

    fn reps(&mut self, record: &csv::StringRecord, line: usize) -> Option<u32> {
        let cell = self.header.cell(record, LogbookColumn::Reps).to_lowercase();
        let bare = cell.trim_end_matches(|c: char| c.is_alphabetic()).trim();
        let reps = whole(bare).filter(|r| *r <= REPS_MAX);
        if reps.is_none() {
            self.not_understood(record, line, LogbookColumn::Reps, REPS);
        }
        reps
    }

    fn rir(&mut self, record: &csv::StringRecord, line: usize) -> Option<u32> {
        for (column, read, hint) in [
            (
                LogbookColumn::Rir,
                cells::rir as fn(&str) -> Result<u32, cells::Expected>,
                "Reps in reserve are a whole number from 0 to 10, or nothing.",
            ),
            (LogbookColumn::Rpe, cells::rpe, "RPE is a number from 0 to 10, or nothing."),
        ] {
            let cell = self.header.cell(record, column);
            if cell.is_empty() || cell == "-" {
                continue;
            }
            let value = read(cell).ok();
            if value.is_none() {
                self.not_understood(record, line, column, hint);
            }
            return value;
        }
        None
    }

    fn kind(&mut self, record: &csv::StringRecord, line: usize) -> SetKind {
        match self.header.cell(record, LogbookColumn::Kind).to_lowercase().as_str() {
            "" | "work" | "working" | "work set" | "working set" | "normal" => SetKind::Work,
            "warm-up" | "warm up" | "warmup" | "warm" => SetKind::WarmUp,
            _ => {
                self.not_understood(record, line, LogbookColumn::Kind, "A set is work or warm-up.");
                SetKind::Work
            }
        }
    }

    fn time(&mut self, record: &csv::StringRecord, line: usize) -> Option<u32> {
        let cell = self.header.cell(record, LogbookColumn::Time);
        if cell.is_empty() {
            return None;
        }
        let long = if cell.matches(':').count() == 1 { format!("{cell}:00") } else { cell.to_owned() };
        let long = if long.find(':') == Some(1) { format!("0{long}") } else { long };
        let moment = format!("2026-01-01T{long}Z").parse::<Moment>().ok();
        if moment.is_none() {
            self.not_understood(record, line, LogbookColumn::Time, "A time of day reads 18:05 or 18:05:30.");
        }
        moment.map(|m| m.ms_of_day() as u32)
    }

    fn offset(&mut self, record: &csv::StringRecord, line: usize) -> Option<i32> {
        let cell = self.header.cell(record, LogbookColumn::Offset);
        if cell.is_empty() {
            return None;
        }
        let moment = format!("2026-01-01T12:00:00{cell}").parse::<Moment>().ok();
        if moment.is_none() {
            self.not_understood(record, line, LogbookColumn::Offset, "An offset reads +01:00 or -05:00.");
        }
        moment.map(Moment::offset_min)
    }

    fn id(&mut self, record: &csv::StringRecord, line: usize) -> Option<EventId> {
        let cell = self.header.cell(record, LogbookColumn::Id);
        if cell.is_empty() {
            return None;
        }
        let id = cell.parse().ok();
        if id.is_none() {
            let hint = "Identifiers come from setwright export; empty the column for rows of your own.";
            self.not_understood(record, line, LogbookColumn::Id, hint);
        }
        id
    }

    fn sets(&mut self, record: &csv::StringRecord, line: usize, id: Option<EventId>) -> u32 {
        let cell = self.header.cell(record, LogbookColumn::Sets);
        if cell.is_empty() {
            return 1;
        }
        let sets = whole(cell).filter(|n| (1..=SETS_AUDIT_MAX).contains(n) && (*n == 1 || id.is_none()));
        if sets.is_none() {
            let hint = "Sets alike are a whole number from 1 to 30; a row with an identifier is one set.";
            self.not_understood(record, line, LogbookColumn::Sets, hint);
        }
        sets.unwrap_or(1)
    }

    fn note(&mut self, record: &csv::StringRecord, line: usize) -> Option<Box<str>> {
        let cell = self.header.cell(record, LogbookColumn::Note);
        if cell.is_empty() {
            return None;
        }
        if cell.chars().count() > NOTE_CHARS_MAX
            || cell.chars().any(|c| turns(c) || (c.is_control() && c != '\n'))
        {
            self.not_understood(record, line, LogbookColumn::Note, "A note has up to 2,000 plain letters.");
            return None;
        }
        Some(cell.into())
    }

    fn session(&mut self, record: &csv::StringRecord) -> Option<u32> {
        let cell = self.header.cell(record, LogbookColumn::Session);
        if cell.is_empty() {
            return None;
        }
        if let Some(index) = self.sessions.get(cell) {
            return Some(*index);
        }
        let index = self.book.sessions.len() as u32;
        self.book.sessions.push(cell.to_owned());
        self.sessions.insert(cell.to_owned(), index);
        Some(index)
    }

    /// Settles what only the whole file tells: dates and units.
    pub fn finish(mut self) -> Result<Logbook, Refusals> {
        self.settle_dates();
        self.settle_units();
        if self.book.rows.is_empty() && self.problems.is_empty() {
            let place = Position::file(self.source.name.as_str());
            let what = "The log has a header and no rows.";
            self.problems.push(Refusal::new(Code::Empty, what, "Put one set on each row.").at(place));
        }
        if !self.header.unused.is_empty() {
            let names: Vec<&str> = self.header.unused.iter().take(12).map(String::as_str).collect();
            self.book.notes.push(format!("Columns that were not read: {}.", names.join(", ")));
        }
        self.problems.sort_by(|a, b| a.place.cmp(&b.place));
        if self.problems.is_empty() { Ok(self.book) } else { Err(self.problems) }
    }

    fn settle_dates(&mut self) {
        let column = self.header.number(LogbookColumn::Date);
        let order = match self.seen.order(self.options.dates, &self.source.name, column) {
            Ok(order) => order,
            Err(problem) => return self.problems.push(problem),
        };
        let last = self.options.today.plus(1);
        let mut wrong: Vec<(u32, Option<Date>)> = Vec::new();
        for (row, raw) in self.book.rows.iter_mut().zip(&self.dates) {
            match dates::settle(*raw, order) {
                Some(date) if date <= last => row.date = date,
                other => wrong.push((row.line, other)),
            }
        }
        for (line, date) in wrong.into_iter().take(super::PROBLEMS_MAX) {
            let what = match date {
                Some(date) => format!("{date} has not come yet."),
                None => "There is no such day.".to_owned(),
            };
            let hint = "What was done is logged afterwards; look at the order of day and month.";
            self.refuse(Code::LogDates, line as usize, LogbookColumn::Date, what, hint);
        }
        if self.book.rows.iter().any(|row| row.ms.is_none()) {
            self.book.notes.push("Where there is no time of day, noon was assumed.".to_owned());
        }
    }

    fn settle_units(&mut self) {
        let [kg, lb, bare] = self.units;
        match (kg.or(lb), bare) {
            (Some(stated), Some(bare)) => {
                let what = format!("This load has no unit; the one in line {stated} has.");
                let hint = "Write kg or lb behind every load, or once in the header: load kg.";
                self.refuse(Code::LogUnits, bare, LogbookColumn::Load, what, hint);
            }
            (None, Some(_)) => {
                let unit = self.options.unit.symbol();
                self.book
                    .notes
                    .push(format!("No load has a unit: {unit} was assumed (--units says otherwise)."));
            }
            (Some(_), None) if kg.is_some() && lb.is_some() => {
                self.book.notes.push("Some loads are in kg, some in lb, each as its row says.".to_owned());
            }
            _ => {}
        }
        if !self.header.has(LogbookColumn::Rir) && !self.header.has(LogbookColumn::Rpe) {
            self.book.notes.push("There is no column rir: what was left in reserve stays open.".to_owned());
        }
    }
}

/// A whole number.
fn whole(cell: &str) -> Option<u32> {
    let value = cells::number(cell)?;
    (value.fract() == 0.0 && value <= f64::from(u32::MAX)).then_some(value as u32)
}
