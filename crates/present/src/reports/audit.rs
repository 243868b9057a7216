//! The audit of a programme that somebody brought: what was understood, how long it takes, what it trains, what a coach would
//! say, and the smallest change that helps.

use super::{cautions, cycle, doses, findings, made, sessions, write};
use crate::audit::{self, AuditView, MendView};
use crate::sheets::words::{count, number, sets_by_reps};
use crate::sheets::{self, Print};
use setwright_model::refusal::Refusal;
use setwright_model::{Brief, MassUnit, Programme, Severity};
use setwright_paper::pdf::{Piece, Table, TableColumn};

/// Prints an audit.
pub fn audit(
    view: &AuditView,
    programme: &Programme,
    brief: Option<&Brief>,
    print: Print<'_>,
) -> Result<Vec<u8>, Refusal> {
    let of = |severity, word| count(audit::count(view, severity), word);
    let counts = [of(Severity::Error, "error"), of(Severity::Warning, "warning"), of(Severity::Note, "note")]
        .join(", ");
    let verdict = if view.fit { "A coach could sign it." } else { "A coach would not sign it as it stands." };
    let judged = match brief {
        Some(brief) => format!("Judged by the brief of {}.", brief.name),
        None => "Judged without a brief: only what holds for anyone is judged.".to_owned(),
    };
    let mut pieces = vec![Piece::Text(format!("{verdict} {counts}. {judged}"))];
    pieces.extend(understood(view));
    pieces.push(Piece::Section("The cycle".to_owned()));
    pieces.push(cycle(&view.programme));
    pieces.push(Piece::Heading("Where the minutes go".to_owned()));
    pieces.push(minutes(view));
    pieces.push(Piece::Section("What a coach would say".to_owned()));
    pieces.extend(findings(&view.findings, print.unit));
    pieces.extend(view.mend.iter().flat_map(|m| mended(m, print.unit)));
    pieces.extend(sessions(programme, &view.programme, print));
    pieces.extend(doses(&view.programme));
    pieces.extend(cautions(sheets::cautions(brief)));
    let name = view.file.rsplit(['/', '\\']).next().unwrap_or(&view.file);
    write(format!("Audit of {name}"), format!("{}.", made(print)), pieces, print)
}

/// What was understood of a sheet, row by row.
fn understood(view: &AuditView) -> Vec<Piece> {
    if view.understood.is_empty() && view.notes.is_empty() {
        return Vec::new();
    }
    let columns = vec![
        TableColumn::numbers("line"),
        TableColumn::numbers("day"),
        TableColumn::words(""),
        TableColumn::words("exercise"),
        TableColumn::numbers("sets"),
        TableColumn::words("assumed"),
    ];
    let rows = view.understood.iter().filter_map(|row| {
        let session = view.programme.sessions.iter().find(|s| s.day == row.day)?;
        let line = session.blocks.iter().flat_map(|b| &b.lines).find(|l| l.label == row.label)?;
        let assumed = row.assumed.join(", ");
        Some(vec![
            row.line.to_string(),
            row.day.to_string(),
            row.label.clone(),
            line.name.clone(),
            sets_by_reps(line),
            assumed,
        ])
    });
    let mut out = vec![Piece::Section("What was understood".to_owned())];
    if !view.understood.is_empty() {
        out.push(Piece::Table(Table { columns, rows: rows.collect() }));
    }
    if !view.notes.is_empty() {
        out.push(Piece::List(view.notes.clone()));
    }
    out
}

fn minutes(view: &AuditView) -> Piece {
    let columns = vec![
        TableColumn::words("session"),
        TableColumn::numbers("minutes"),
        TableColumn::numbers("allowed"),
        TableColumn::numbers("lifting"),
        TableColumn::numbers("resting"),
        TableColumn::numbers("moving"),
    ];
    let row = |s: &crate::view::SessionView| {
        vec![
            format!("{} (day {})", s.number, s.day),
            number(s.minutes, 0),
            s.limit_minutes.map_or_else(String::new, |l| number(l, 0)),
            number(s.work_minutes, 0),
            number(s.rest_minutes, 0),
            number(s.moving_minutes, 0),
        ]
    };
    Piece::Table(Table { columns, rows: view.programme.sessions.iter().map(row).collect() })
}

fn mended(mend: &MendView, unit: MassUnit) -> Vec<Piece> {
    let after = if mend.fit_after {
        "After that, a coach could sign it.".to_owned()
    } else {
        let errors = mend.findings_after.iter().filter(|f| f.severity == Severity::Error).count();
        format!("After that, {} would still stand against it.", count(errors, "error"))
    };
    vec![
        Piece::Section("The smallest change that helps".to_owned()),
        Piece::List(mend.steps.iter().map(|step| step.shown_in(unit)).collect()),
        Piece::Text(after),
    ]
}
