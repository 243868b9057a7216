//! `audit`: what was understood of a programme, how long it takes, what it gives, what is wrong with it.

use super::args::AuditArgs;
use super::programme;
use super::show::{count, json, number};
use super::text::{Columns, LEFT, RIGHT, wrapped};
use crate::reply::{DONE, FINDINGS, Look, Reply};
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_model::{Finding, MassUnit, Severity};
use setwright_present::audit::{self, AuditView};
use setwright_present::view::{ProgrammeView, SessionView};
use std::fmt::Write as _;
use std::path::Path;

/// Audits the programme.
pub fn run(args: &AuditArgs, look: Look) -> Result<Reply, Refusals> {
    let brief = match &args.brief {
        Some(path) => {
            let source = files::read(path).map_err(|p| vec![p])?;
            Some(files::brief::parse(&source, builtin())?)
        }
        None => None,
    };
    let source = files::read(&args.programme).map_err(|p| vec![p])?;
    let cycle_days = args.cycle_days.or(brief.as_ref().map(|b| b.time.cycle_days));
    let read = files::either::read(&source, builtin(), cycle_days, look.units)?;
    let view = audit::audit(&source.name, &read, brief.as_ref(), builtin());
    let code = if audit::has_findings(&view) { FINDINGS } else { DONE };
    let talk = match &args.mend {
        Some(out) => keep(&view, out, look.units).map_err(|p| vec![p])?,
        None => String::new(),
    };
    let data = if args.json { json(&view) } else { page(&view, look) };
    Ok(Reply { data, talk, code })
}

fn keep(view: &AuditView, out: &Path, units: MassUnit) -> Result<String, Refusal> {
    let Some(mend) = &view.mend else {
        return Ok(format!("There is nothing to mend, so {} was not written.\n", out.display()));
    };
    let steps: Vec<String> = mend.steps.iter().map(|step| step.shown_in(units)).collect();
    let notes = [format!("Mended from {}:", view.file), steps.join("\n")];
    files::write(out, &files::programme::write(&mend.programme, &notes))?;
    Ok(format!("Wrote {}.\n", out.display()))
}

fn page(view: &AuditView, look: Look) -> String {
    let shown = &view.programme;
    let mut out =
        format!("{}: {} in {} days\n\n", view.file, count(shown.sessions.len(), "session"), shown.cycle_days);
    if view.understood.is_empty() {
        out.push_str(&programme::sessions(shown, look.units, &[]));
    } else {
        out.push_str("What was understood, by line of the sheet\n");
        out.push_str(&understood(view, look.units));
    }
    for note in &view.notes {
        out.push_str(&wrapped(note, 2, 4));
    }
    if !out.ends_with("\n\n") {
        out.push('\n');
    }
    out.push_str("Time\n");
    out.push_str(&times(shown));
    out.push('\n');
    out.push_str(&programme::muscles(shown));
    out.push('\n');
    out.push_str(&findings(&view.findings, look));
    out.push_str(&repair(view, look.units));
    out.push_str(&last_line(view));
    out
}

/// The smallest repair, step by step, and what it leaves.
fn repair(view: &AuditView, units: MassUnit) -> String {
    let Some(mend) = &view.mend else { return String::new() };
    let mut out = "Smallest mend that was found\n".to_owned();
    for (i, step) in mend.steps.iter().enumerate() {
        out.push_str(&wrapped(&format!("{}. {}", i + 1, step.shown_in(units)), 2, 5));
    }
    let left: Vec<String> = mend
        .findings_after
        .iter()
        .filter(|f| f.severity >= Severity::Warning)
        .map(|f| format!("{} {}", f.code, f.subject))
        .collect();
    let after = match (mend.fit_after, left.is_empty()) {
        (true, true) => "After that nothing is left to say.".to_owned(),
        (true, false) => format!("After that a coach could sign it; left to look at: {}.", left.join("; ")),
        (false, _) => format!("After that there is still: {}.", left.join("; ")),
    };
    out.push_str(&wrapped(&after, 2, 2));
    out.push('\n');
    out
}

fn understood(view: &AuditView, units: MassUnit) -> String {
    let mut columns = Columns::new(&[RIGHT, LEFT, LEFT, LEFT, RIGHT, LEFT, LEFT, LEFT]);
    columns.row(["line", "day", "block", "exercise", "sets x reps", "RIR", "load", "rest; what was assumed"]);
    for row in &view.understood {
        let session = view.programme.sessions.iter().find(|s| s.day == row.day);
        let found = session.into_iter().flat_map(|s| &s.blocks).find_map(|b| {
            let line = b.lines.iter().find(|l| l.label == row.label)?;
            Some((b, line))
        });
        let Some((block, line)) = found else { continue };
        let mut cells = vec![row.line.to_string(), row.day.to_string()];
        cells.extend(programme::line_cells(block, line, units));
        let assumed: Vec<String> = row.assumed.iter().filter(|a| !a.starts_with("rest")).cloned().collect();
        let rest_assumed = assumed.len() < row.assumed.len();
        let mut last = super::show::rest(setwright_model::Seconds(block.rest_s));
        if rest_assumed {
            last.push_str(" (assumed)");
        }
        if !assumed.is_empty() {
            let _ = write!(last, "; assumed {}", assumed.join(", "));
        }
        cells.push(last);
        columns.row(cells);
    }
    columns.lines(2)
}

fn times(view: &ProgrammeView) -> String {
    let mut columns = Columns::new(&[LEFT, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT]);
    columns.row(["session", "minutes", "allowed", "lifting", "resting", "moving", "sets"]);
    for s in &view.sessions {
        columns.row(time_cells(s));
    }
    columns.lines(2)
}

fn time_cells(s: &SessionView) -> [String; 7] {
    [
        format!("{} (day {})", s.number, s.day),
        number(s.minutes, 0),
        s.limit_minutes.map_or_else(String::new, |l| number(l, 0)),
        number(s.work_minutes, 0),
        number(s.rest_minutes, 0),
        number(s.moving_minutes, 0),
        s.sets.to_string(),
    ]
}

/// Findings, worst first: how serious, code and subject on one line, then cause and hint.
pub fn findings(findings: &[Finding], look: Look) -> String {
    if findings.is_empty() {
        return String::new();
    }
    let mut out = "Findings\n".to_owned();
    for finding in findings {
        let _ =
            writeln!(out, "  {} {} {}", look.paint.severity(finding.severity), finding.code, finding.subject);
        out.push_str(&wrapped(&finding.cause.shown_in(look.units), 4, 4));
        if !finding.hint.is_empty() {
            out.push_str(&wrapped(&format!("hint: {}", finding.hint.shown_in(look.units)), 4, 6));
        }
    }
    out.push('\n');
    out
}

fn last_line(view: &AuditView) -> String {
    let of = |severity, word| count(audit::count(view, severity), word);
    let counts = format!(
        "{}, {}, {}.",
        of(Severity::Error, "error"),
        of(Severity::Warning, "warning"),
        of(Severity::Note, "note")
    );
    let verdict = if view.fit { "A coach could sign it." } else { "A coach would not sign it as it stands." };
    let why = if view.findings.is_empty() { "" } else { " setwright explain CODE says why a rule is there." };
    wrapped(&format!("{counts} {verdict}{why}"), 0, 0)
}
