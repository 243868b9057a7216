//! A programme that exists and was audited: what was understood of it, what was found, and the smallest repair.

use super::view::{self, ProgrammeView};
use serde::Serialize;
use setwright_check::could_be_signed;
use setwright_coaching::judge::{Judged, judge};
use setwright_formats::either::ReadIn;
use setwright_formats::sheet::SheetRow;
use setwright_model::{Brief, Catalogue, Finding, Programme, Sentence, Severity};

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
    pub steps: Vec<Sentence>,
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

/// Judges a programme.
pub fn audit(file: &str, read: &ReadIn, brief: Option<&Brief>, catalogue: &Catalogue) -> AuditView {
    view(file, read, &judge(&read.programme, brief, catalogue), brief, catalogue)
}

/// What is shown of a programme that was judged already.
pub fn view(
    file: &str,
    read: &ReadIn,
    judged: &Judged,
    brief: Option<&Brief>,
    catalogue: &Catalogue,
) -> AuditView {
    let report = judged.programme.report();
    let shown = view::programme(&judged.programme, brief, catalogue);
    let mend = judged.mend.as_ref().map(|m| MendView {
        fit_after: could_be_signed(m.findings_after()),
        steps: m.steps.clone(),
        findings_after: m.findings_after().to_vec(),
        programme: m.programme.programme().clone(),
    });
    AuditView {
        file: file.to_owned(),
        understood: rows(&read.rows, &shown),
        notes: read.notes.clone(),
        programme: shown,
        fit: report.could_be_signed(),
        findings: report.findings.clone(),
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
fn rows(rows: &[SheetRow], shown: &ProgrammeView) -> Vec<RowView> {
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
