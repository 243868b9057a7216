//! Rows of a sheet as exercises; what cannot be understood is collected over the whole sheet.

use super::header::{SheetColumn, SheetHeader, name};
use super::{Record, SheetRow};
use crate::cells::{self, Expected};
use crate::doc::printable;
use crate::names;
use crate::read::Source;
use setwright_model::code::Code;
use setwright_model::refusal::{Position, Refusal, Refusals};
use setwright_model::{Catalogue, Exercise, Kilograms, MassUnit, Prescription, Seconds};

/// Reps in reserve when the sheet has none (common practice, no source (T)).
const RIR_ASSUMED: u32 = 2;
/// After this many problems the rest of the sheet will not tell more.
const PROBLEMS_MAX: usize = 50;

struct Reader<'a> {
    source: &'a Source,
    header: &'a SheetHeader,
    catalogue: &'a Catalogue,
    unit: MassUnit,
    day: Option<u32>,
    problems: Refusals,
}

/// Reads every row under the header.
pub fn read(
    source: &Source,
    records: &[Record],
    header: &SheetHeader,
    catalogue: &Catalogue,
    unit: MassUnit,
) -> Result<Vec<SheetRow>, Refusals> {
    let unit = header.load_unit.unwrap_or(unit);
    let mut reader = Reader { source, header, catalogue, unit, day: None, problems: Vec::new() };
    let mut rows = Vec::new();
    for record in records.iter().skip(header.row + 1) {
        rows.extend(reader.row(record));
        if reader.problems.len() >= PROBLEMS_MAX {
            break;
        }
    }
    if rows.is_empty() && reader.problems.is_empty() {
        let place = Position::file(source.name.as_str());
        reader.problems.push(
            Refusal::new(Code::Empty, "The sheet has a header and no rows.", "Put one exercise on each row.")
                .at(place),
        );
    }
    if reader.problems.is_empty() { Ok(rows) } else { Err(reader.problems) }
}

impl<'a> Reader<'a> {
    fn row(&mut self, record: &Record) -> Option<SheetRow> {
        if record.cells.iter().all(String::is_empty) {
            return None;
        }
        let day = self.day(record);
        let cell = self.header.cell(record, SheetColumn::Exercise);
        if cell.is_empty() && self.is_heading(record) {
            return None;
        }
        let before = self.problems.len();
        let exercise = self.exercise(record);
        let (sets, reps) = self.sets_and_reps(record);
        let mut assumed = Vec::new();
        let rir = self.rir(record, &mut assumed);
        let load_kg = self.load(record);
        let rest_s = self.rest(record);
        if self.problems.len() > before {
            return None;
        }
        let (exercise, sets, day) = (exercise?, sets?, day?);
        let reps = reps.unwrap_or_else(|| {
            assumed.push(format!("reps {}-{}", exercise.reps[0], exercise.reps[1]));
            exercise.reps
        });
        let id = exercise.id.clone();
        let prescription = Prescription { id, sets, reps, rir, load_kg, ramp: Vec::new() };
        let block = cells::block(self.header.cell(record, SheetColumn::Block)).unwrap_or_default();
        Some(SheetRow { line: record.line, day, block, prescription, rest_s, assumed })
    }

    /// A row that names a day and nothing that is done.
    fn is_heading(&self, record: &Record) -> bool {
        let day = self.header.number(SheetColumn::Day) - 1;
        record.cells.iter().enumerate().all(|(i, c)| c.is_empty() || i == day)
    }

    fn refuse(&mut self, record: &Record, column: SheetColumn, expected: Expected) {
        let cell = self.header.cell(record, column);
        let what = if cell.is_empty() {
            format!("The cell \"{}\" is empty.", name(column))
        } else {
            format!("\"{}\" was not understood as {}.", printable(cell), name(column))
        };
        let place = Position::at(self.source.name.as_str(), record.line, self.header.number(column));
        self.problems.push(Refusal::new(Code::SheetCell, what, expected).at(place));
    }

    fn read_cell<T>(
        &mut self,
        record: &Record,
        column: SheetColumn,
        parse: impl Fn(&str) -> Result<T, Expected>,
    ) -> Option<T> {
        match parse(self.header.cell(record, column)) {
            Ok(value) => Some(value),
            Err(expected) => {
                self.refuse(record, column, expected);
                None
            }
        }
    }

    /// The day of the row, or of the row above when the cell is empty, as merged cells are saved.
    fn day(&mut self, record: &Record) -> Option<u32> {
        if self.header.cell(record, SheetColumn::Day).is_empty() && self.day.is_some() {
            return self.day;
        }
        self.day = self.read_cell(record, SheetColumn::Day, cells::day).or(self.day);
        self.day
    }

    fn exercise(&mut self, record: &Record) -> Option<&'a Exercise> {
        let cell = self.header.cell(record, SheetColumn::Exercise);
        if cell.is_empty() {
            self.refuse(record, SheetColumn::Exercise, "Name the exercise of the row.");
            return None;
        }
        match names::resolve(cell, self.catalogue) {
            Ok(exercise) => Some(exercise),
            Err(problem) => {
                let column = self.header.number(SheetColumn::Exercise);
                self.problems.push(problem.at(Position::at(self.source.name.as_str(), record.line, column)));
                None
            }
        }
    }

    fn sets_and_reps(&mut self, record: &Record) -> (Option<u32>, Option<[u32; 2]>) {
        let (sets, reps) = match self.read_cell(record, SheetColumn::Sets, cells::sets) {
            Some((sets, reps)) => (Some(sets), reps),
            None => (None, None),
        };
        if self.header.cell(record, SheetColumn::Reps).is_empty() {
            return (sets, reps);
        }
        (sets, self.read_cell(record, SheetColumn::Reps, cells::reps))
    }

    fn rir(&mut self, record: &Record, assumed: &mut Vec<String>) -> u32 {
        for (column, parse) in [
            (SheetColumn::Rir, cells::rir as fn(&str) -> Result<u32, Expected>),
            (SheetColumn::Rpe, cells::rpe),
        ] {
            if self.header.has(column) && !self.header.cell(record, column).is_empty() {
                return self.read_cell(record, column, parse).unwrap_or(RIR_ASSUMED);
            }
        }
        assumed.push(format!("RIR {RIR_ASSUMED}"));
        RIR_ASSUMED
    }

    fn load(&mut self, record: &Record) -> Option<Kilograms> {
        let unit = self.unit;
        self.read_cell(record, SheetColumn::Load, |c| cells::load(c, unit)).flatten()
    }

    fn rest(&mut self, record: &Record) -> Option<Seconds> {
        let unit = self.header.rest_unit;
        self.read_cell(record, SheetColumn::Rest, |c| cells::rest(c, unit)).flatten()
    }
}
