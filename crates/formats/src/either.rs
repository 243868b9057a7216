//! A programme in whichever form it comes: TOML, or a sheet. It is told by the name and the first line; what is in it is the
//! business of the reader of that form.

use crate::sheet::{self, SheetOptions, SheetRow};
use crate::{Source, programme};
use setwright_model::refusal::Refusals;
use setwright_model::{Catalogue, MassUnit, Programme};

/// A programme that was read, from TOML or from a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadIn {
    /// The programme.
    pub programme: Programme,
    /// Rows of the sheet, when it was one.
    pub rows: Vec<SheetRow>,
    /// What holds for the whole file.
    pub notes: Vec<String>,
}

/// Reads a programme in whichever form it is: a sheet when the first line looks like one.
pub fn read(
    source: &Source,
    catalogue: &Catalogue,
    cycle_days: Option<u32>,
    unit: MassUnit,
) -> Result<ReadIn, Refusals> {
    if is_sheet(source) {
        let sheet = sheet::parse(source, catalogue, SheetOptions { cycle_days, unit })?;
        return Ok(ReadIn { programme: sheet.programme, rows: sheet.rows, notes: sheet.notes });
    }
    let programme = programme::parse(source, catalogue)?;
    Ok(ReadIn { programme, rows: Vec::new(), notes: Vec::new() })
}

/// Whether a file is a sheet: by its ending, else by whether a line of TOML comes before a line of cells.
fn is_sheet(source: &Source) -> bool {
    let ending = source.name.rsplit('.').next().unwrap_or("").to_lowercase();
    match ending.as_str() {
        "csv" | "tsv" | "txt" => true,
        "toml" => false,
        _ => {
            let first = source.text.lines().map(str::trim).find(|l| !l.is_empty() && !l.starts_with('#'));
            first.is_some_and(|l| !l.starts_with('[') && !l.contains('='))
        }
    }
}
