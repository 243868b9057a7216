//! Documents: a whole programme, the report of a block for the client, the audit of a programme. What they say was reckoned by
//! others; here it becomes headings, sentences, tables and drawings.

mod audit;
mod block;
mod programme;

pub use audit::audit;
pub use block::block;
pub use programme::programme;

use super::sheets::words::{Words, left, number, sets_by_reps, short_time};
use super::sheets::{Print, length, not_written};
use super::view::{MuscleView, ProgrammeView, SessionView};
use super::{dates, drawings};
use setwright_coaching::insight::LikelyRange;
use setwright_model::refusal::Refusal;
use setwright_model::{Finding, MassUnit, Programme, Severity};
use setwright_paper::pdf::{About, Document, Piece, Table, TableColumn, document};

/// Width at which drawings are made for paper.
const DRAWN: f64 = 760.0;
/// Width and height of lanes, whose names stand in the table below them.
const LANES: (f64, f64) = (500.0, 120.0);

/// Writes a document.
fn write(title: String, under: String, pieces: Vec<Piece>, print: Print<'_>) -> Result<Vec<u8>, Refusal> {
    let about = About { title, subject: under.clone(), date: Some(print.today.civil()) };
    document(&Document { about, under, pieces }, print.paper).map_err(|e| not_written(&e))
}

/// When it was made, for the line under a title.
fn made(print: Print<'_>) -> String {
    dates::long(print.today)
}

/// The cycle, a row a day.
fn cycle(view: &ProgrammeView) -> Piece {
    const NAMED: usize = 3;
    let columns = vec![
        TableColumn::numbers("day"),
        TableColumn::words("session"),
        TableColumn::numbers("minutes"),
        TableColumn::numbers("sets"),
        TableColumn::words("begins with"),
    ];
    let row = |day: u32| match view.sessions.iter().find(|s| s.day == day) {
        None => vec![day.to_string(), "rest".to_owned()],
        Some(s) => {
            let lines = s.blocks.iter().flat_map(|b| &b.lines).take(NAMED);
            let first: Vec<&str> = lines.map(|l| l.name.as_str()).collect();
            let name =
                if s.focus.is_empty() { s.number.to_string() } else { format!("{}, {}", s.number, s.focus) };
            vec![day.to_string(), name, number(s.minutes, 0), s.sets.to_string(), first.join(", ")]
        }
    };
    Piece::Table(Table { columns, rows: (1..=view.cycle_days).map(row).collect() })
}

/// Every session: its lanes, and what is done.
fn sessions(programme: &Programme, view: &ProgrammeView, print: Print<'_>) -> Vec<Piece> {
    let one = |(session, shown): (&setwright_model::Session, &SessionView)| {
        let focus = if shown.focus.is_empty() { String::new() } else { format!(": {}", shown.focus) };
        let lanes = drawings::lanes(session, shown, print.unit, print.catalogue);
        [
            Piece::Section(format!("Session {}, day {}{focus}", shown.number, shown.day)),
            Piece::Remark(format!("{}.", length(shown))),
            Piece::Drawing(setwright_paper::low_lanes(&lanes, LANES, &format!("s{}", shown.number)), 1.0),
            lines(shown, print),
        ]
    };
    programme.sessions.iter().zip(&view.sessions).flat_map(one).collect()
}

/// What is done in a session, exercise by exercise.
fn lines(shown: &SessionView, print: Print<'_>) -> Piece {
    let words = Words { unit: print.unit, catalogue: print.catalogue };
    let columns = vec![
        TableColumn::words(""),
        TableColumn::words("exercise"),
        TableColumn::numbers("sets"),
        TableColumn::numbers("load"),
        TableColumn::words("in reserve"),
        TableColumn::words("rest"),
        TableColumn::words("warm-up"),
    ];
    let rows = shown.blocks.iter().flat_map(|block| {
        let last = block.lines.len().saturating_sub(1);
        block.lines.iter().enumerate().map(move |(nth, line)| {
            let rest = if nth == last { short_time(block.rest_s) } else { String::new() };
            let warm = words.ramp(line);
            vec![
                line.label.clone(),
                line.name.clone(),
                sets_by_reps(line),
                words.load(&line.load),
                left(line.rir),
                rest,
                warm.trim_start_matches("Warm-up: ").trim_end_matches('.').to_owned(),
            ]
        })
    });
    Piece::Table(Table { columns, rows: rows.collect() })
}

/// Sets a week by muscle, drawn and as numbers.
fn doses(view: &ProgrammeView) -> Vec<Piece> {
    let drawn = setwright_paper::doses("Sets a week by muscle", &drawings::doses(view), 560.0, "doses");
    let columns = vec![
        TableColumn::words("muscle"),
        TableColumn::numbers("sets a week"),
        TableColumn::numbers("asked"),
        TableColumn::numbers("sessions"),
        TableColumn::numbers("hours between, at least"),
        TableColumn::numbers("hours needed"),
    ];
    let trained = view.muscles.iter().filter(|m| m.sets_per_week > 0.0 || m.least.is_some());
    let hours = |h: Option<f64>| h.map_or_else(String::new, |h| number(h, 0));
    let row = |m: &MuscleView| {
        vec![
            m.name.to_owned(),
            format!("{:.1}", m.sets_per_week),
            asked(m),
            m.sessions_per_cycle.to_string(),
            hours(m.shortest_gap_h),
            hours(m.needed_gap_h),
        ]
    };
    vec![
        Piece::Section("Sets a week".to_owned()),
        Piece::Remark(
            "Fractional sets: a muscle that helps counts half. Brackets are what the brief asks; an exclamation mark \
             says that a bar is outside of it."
                .to_owned(),
        ),
        Piece::Drawing(drawn, 0.8),
        Piece::Table(Table { columns, rows: trained.map(row).collect() }),
    ]
}

fn asked(m: &MuscleView) -> String {
    match (m.least, m.most) {
        (Some(least), Some(most)) => format!("{}\u{2013}{}", number(least, 1), number(most, 1)),
        (Some(least), None) => format!("{} or more", number(least, 1)),
        (None, Some(most)) => format!("{} or less", number(most, 1)),
        (None, None) => String::new(),
    }
}

/// What a coach would say of it, worst first.
fn findings(all: &[Finding], unit: MassUnit) -> Vec<Piece> {
    if all.is_empty() {
        return vec![Piece::Text("Nothing stands against it.".to_owned())];
    }
    let one = |f: &Finding| {
        let how = match f.severity {
            Severity::Error => "Error",
            Severity::Warning => "Warning",
            Severity::Note => "Note",
        };
        let words = [&f.cause, &f.hint].map(|said| said.shown_in(unit).trim().to_owned()).join(" ");
        [Piece::Heading(format!("{how} {}: {}", f.code, f.subject)), Piece::Text(words.trim().to_owned())]
    };
    all.iter().flat_map(one).collect()
}

/// What comes before any training.
fn cautions(lines: Vec<String>) -> Vec<Piece> {
    let head = Piece::Section("Before you train".to_owned());
    std::iter::once(head).chain(lines.into_iter().map(Piece::Caution)).collect()
}

/// The middle, and between what nine cases in ten lie.
fn band(band: &LikelyRange, places: usize) -> String {
    let n = |v: f64| number(v, places);
    format!("{} ({} to {})", n(band.median), n(band.low), n(band.high))
}
