//! How a programme looks on a terminal: plain columns, a session after the other, then the muscles.

use super::show::{number, range, rest};
use super::text::{Columns, LEFT, RIGHT, wrapped};
use setwright_model::brief::Priority;
use setwright_model::{BlockKind, MassUnit};
use setwright_present::loads::{self, is_by_feel, load_with_plates};
use setwright_present::view::{BlockView, LineView, MuscleView, ProgrammeView, SessionView};

/// All sessions; `strips` are lanes to put under each, where there are any.
pub fn sessions(view: &ProgrammeView, units: MassUnit, strips: &[String]) -> String {
    let mut out = String::new();
    for (nth, session) in view.sessions.iter().enumerate() {
        out.push_str(&session_head(session));
        out.push_str(&session_lines(session, units));
        out.push_str(strips.get(nth).map_or("", String::as_str));
        out.push('\n');
    }
    let blocks = || view.sessions.iter().flat_map(|s| &s.blocks);
    let mut notes = Vec::new();
    if blocks().any(|b| b.lines.len() > 1) {
        notes.push("Two rows of one letter are done in turn: a set of each, then the rest.");
    }
    if blocks().flat_map(|b| &b.lines).any(has_discs) {
        notes.push("In brackets: the discs on each side, from the inside out.");
    }
    if blocks().flat_map(|b| &b.lines).any(|l| is_by_feel(&l.load)) {
        notes.push("By feel: a load that leaves the reps in reserve; log it and the next one is known.");
    }
    if !notes.is_empty() {
        out.push_str(&wrapped(&notes.join(" "), 0, 0));
        out.push('\n');
    }
    out
}

/// One session, without the notes.
pub fn one_session(session: &SessionView, units: MassUnit) -> String {
    session_head(session) + &session_lines(session, units)
}

fn has_discs(line: &LineView) -> bool {
    line.load.discs.is_some() || line.ramp.iter().any(|s| s.load.discs.is_some())
}

fn session_head(session: &SessionView) -> String {
    let focus = if session.focus.is_empty() { String::new() } else { format!(", {}", session.focus) };
    let minutes = number(session.minutes, 0);
    let time = match session.limit_minutes {
        Some(limit) => format!("{minutes} of {} min", number(limit, 0)),
        None => format!("{minutes} min"),
    };
    let sets = super::show::count(session.sets as usize, "set");
    format!("Session {}, day {}{focus}: {time}, {sets}\n", session.number, session.day)
}

fn session_lines(session: &SessionView, units: MassUnit) -> String {
    let mut columns = Columns::new(&[LEFT, LEFT, RIGHT, LEFT, LEFT, LEFT]);
    for block in &session.blocks {
        for (i, line) in block.lines.iter().enumerate() {
            let is_last = i + 1 == block.lines.len();
            columns.row([
                line.label.clone(),
                line.name.clone(),
                sets_by_reps(line),
                load_with_plates(&line.load, units),
                format!("RIR {}", line.rir),
                if is_last { block_rest(block) } else { String::new() },
            ]);
            if !line.ramp.is_empty() {
                columns.under(ramp_words(line, units));
            }
        }
    }
    columns.lines(2)
}

fn block_rest(block: &BlockView) -> String {
    let rest = rest(setwright_model::Seconds(block.rest_s));
    match block.kind {
        BlockKind::Straight => format!("rest {rest}"),
        BlockKind::Alternating => format!("rest {rest} a round"),
        BlockKind::SameMuscle => format!("back to back, {rest} a round"),
    }
}

fn sets_by_reps(line: &LineView) -> String {
    let unit = if line.counted_in.is_empty() { String::new() } else { format!(" {}", line.counted_in) };
    let side = if line.each_side { " a side" } else { "" };
    format!("{} x {}{unit}{side}", line.sets, range(line.reps))
}

fn ramp_words(line: &LineView, units: MassUnit) -> String {
    let steps: Vec<String> = line
        .ramp
        .iter()
        .map(|s| match s.load.kg {
            Some(_) => format!("{} x {}", s.reps, load_with_plates(&s.load, units)),
            None => format!("{} easy", s.reps),
        })
        .collect();
    format!("warm-up {}", steps.join(", "))
}

/// The muscles: sets a week against the brief, and time between sessions against what is needed.
pub fn muscles(view: &ProgrammeView) -> String {
    let mut columns = Columns::new(&[LEFT, RIGHT, LEFT, RIGHT, RIGHT, RIGHT, LEFT]);
    columns.row(["muscle", "sets a week", "asked", "sessions", "closest", "ready after", ""]);
    let trained = |m: &&MuscleView| m.sets_per_week > 0.0 || m.least.is_some();
    for m in view.muscles.iter().filter(trained) {
        columns.row([
            m.name.to_owned(),
            number_fixed(m.sets_per_week),
            asked(m),
            m.sessions_per_cycle.to_string(),
            hours(m.shortest_gap_h),
            hours(m.needed_gap_h),
            remark(m),
        ]);
    }
    let mut out = columns.lines(0);
    let resting: Vec<&str> = view.muscles.iter().filter(|m| !trained(m)).map(|m| m.name).collect();
    if !resting.is_empty() {
        out.push_str(&wrapped(&format!("Not trained: {}.", resting.join(", ")), 0, 2));
    }
    out
}

fn number_fixed(value: f64) -> String {
    format!("{value:.1}")
}

fn asked(m: &MuscleView) -> String {
    match (m.least, m.most) {
        (Some(least), Some(most)) => format!("{}-{}", number(least, 1), number(most, 1)),
        (Some(least), None) => format!("{} or more", number(least, 1)),
        (None, Some(most)) => format!("{} or less", number(most, 1)),
        (None, None) => String::new(),
    }
}

fn hours(hours: Option<f64>) -> String {
    hours.map_or_else(String::new, |h| format!("{} h", number(h, 0)))
}

fn remark(m: &MuscleView) -> String {
    let mut remarks = Vec::new();
    match m.priority {
        Some(Priority::Top) => remarks.push("top priority"),
        Some(Priority::High) => remarks.push("high priority"),
        Some(Priority::Low) => remarks.push("low priority"),
        Some(Priority::None) => remarks.push("in passing only"),
        Some(Priority::Normal) | None => {}
    }
    if m.least.is_some_and(|least| m.sets_per_week + 0.005 < least) {
        remarks.push("under what is asked");
    }
    if m.most.is_some_and(|most| m.sets_per_week > most + 0.005) {
        remarks.push("over what is asked");
    }
    remarks.join(", ")
}

/// The cells of an exercise where rows are listed one by one: label, name, sets and reps, reserve, load.
pub fn line_cells(block: &BlockView, line: &LineView, units: MassUnit) -> [String; 5] {
    let together = match block.kind {
        BlockKind::Straight => "",
        BlockKind::Alternating => " in turn",
        BlockKind::SameMuscle => " same muscle",
    };
    [
        format!("{}{together}", line.label),
        line.name.clone(),
        sets_by_reps(line),
        line.rir.to_string(),
        loads::load(&line.load, units),
    ]
}
