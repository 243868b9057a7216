//! Auditing a programme that exists: reading it in either form, judging it, and showing what was understood.

use super::belief;
use super::view::{self, ProgrammeView};
use crate::files::cells::LoadUnit;
use crate::files::sheet::{self, Options, Row};
use crate::files::{Problems, Source, programme};
use serde::Serialize;
use setwright_check::mend;
use setwright_model::{Brief, Catalogue, Finding, Programme, Severity};

/// A programme that was read, from TOML or from a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadIn {
    /// The programme.
    pub programme: Programme,
    /// Rows of the sheet, when it was one.
    pub rows: Vec<Row>,
    /// What holds for the whole file.
    pub notes: Vec<String>,
}

/// What an audit shows.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AuditView {
    /// The file.
    pub file: String,
    /// What was understood, row by row, when it was a sheet.
    pub understood: Vec<RowView>,
    /// What was assumed or passed over.
    pub notes: Vec<String>,
    /// The programme, timed and counted.
    pub programme: ProgrammeView,
    /// What a coach would say, worst first.
    pub findings: Vec<Finding>,
    /// Whether nothing stands against certifying it.
    pub fit: bool,
    /// The smallest repair that was found, when something is wrong and something helps.
    pub mend: Option<MendView>,
}

/// A repair as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MendView {
    /// What to do, one sentence each.
    pub steps: Vec<String>,
    /// What is still wrong after that.
    pub findings_after: Vec<Finding>,
    /// Whether the mended programme can be certified.
    pub fit_after: bool,
    /// The mended programme.
    pub programme: Programme,
}

/// A row of a sheet as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RowView {
    /// Line of the file.
    pub line: usize,
    /// Day of the cycle.
    pub day: u32,
    /// Label of its place in the session.
    pub label: String,
    /// What the row did not say.
    pub assumed: Vec<String>,
}

/// Reads a programme in whichever form it is: a sheet when the first line looks like one.
pub fn read(
    source: &Source,
    catalogue: &Catalogue,
    cycle_days: Option<u32>,
    unit: LoadUnit,
) -> Result<ReadIn, Problems> {
    if is_sheet(source) {
        let sheet = sheet::parse(source, catalogue, Options { cycle_days, unit })?;
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

/// Judges a programme.
pub fn audit(file: &str, read: &ReadIn, brief: Option<&Brief>, catalogue: &Catalogue) -> AuditView {
    let belief = brief.map_or_else(|| belief::of_anyone(catalogue), |b| belief::of(b, catalogue));
    let report = setwright_check::audit(&read.programme, brief, catalogue, &belief);
    let shown = view::programme(&read.programme, brief, catalogue, &report);
    let mend = mend(&read.programme, brief, catalogue, &belief).map(|m| MendView {
        fit_after: m.findings_after.iter().all(|f| f.severity < Severity::Error),
        steps: m.steps,
        findings_after: m.findings_after,
        programme: m.programme,
    });
    AuditView {
        file: file.to_owned(),
        understood: rows(&read.rows, &shown),
        notes: read.notes.clone(),
        programme: shown,
        fit: report.is_clean(),
        findings: report.findings,
        mend,
    }
}

/// Whether something was found that a coach would want to look at.
pub fn has_findings(view: &AuditView) -> bool {
    view.findings.iter().any(|f| f.severity >= Severity::Warning)
}

/// How many findings are this serious.
pub fn count(view: &AuditView, severity: Severity) -> usize {
    view.findings.iter().filter(|f| f.severity == severity).count()
}

/// Rows with the labels that their exercises have in the programme.
fn rows(rows: &[Row], shown: &ProgrammeView) -> Vec<RowView> {
    let mut used: Vec<(u32, String)> = Vec::new();
    rows.iter()
        .map(|row| {
            let session = shown.sessions.iter().find(|s| s.day == row.day);
            let lines = session.into_iter().flat_map(|s| &s.blocks).flat_map(|b| &b.lines);
            let label = lines
                .filter(|l| l.id == row.prescription.id.as_str())
                .map(|l| l.label.clone())
                .find(|l| !used.contains(&(row.day, l.clone())))
                .unwrap_or_default();
            used.push((row.day, label.clone()));
            RowView { line: row.line, day: row.day, label, assumed: row.assumed.clone() }
        })
        .collect()
}
