//! Why the programme is as it is, from the model itself: what binds, and what more of it would bring.

use crate::finder::Found;
use crate::frame::Frame;
use crate::problem::{Problem, TIME_STEP_S};
use crate::solve::state_of;
use crate::tables::STRAIN_UNIT;
use setwright_model::{BlockKind, Muscle};

/// Sentences about a found plan.
pub fn of(problem: &Problem, frame: &Frame, found: &Found) -> Vec<String> {
    let mut out = Vec::new();
    out.extend(full_sessions(problem, frame, found));
    out.extend(strained(problem, frame, found));
    out.extend(paired(found));
    out.extend(spacing(problem, frame));
    out
}

fn full_sessions(problem: &Problem, frame: &Frame, found: &Found) -> Option<String> {
    let state = state_of(problem, frame, found);
    let full: Vec<String> = (0..frame.sessions())
        .filter(|&s| problem.minutes_units[s] - state.sums(s).time <= (60.0 / TIME_STEP_S) as u32)
        .map(|s| frame.days[s].to_string())
        .collect();
    (!full.is_empty())
        .then(|| format!("Time binds on day {}: less than a minute is left there.", full.join(", ")))
}

/// Muscles that could take no more in some session.
fn strained(problem: &Problem, frame: &Frame, found: &Found) -> Option<String> {
    let state = state_of(problem, frame, found);
    let near = problem.tables.strain_max - STRAIN_UNIT as i64;
    let names: Vec<&str> = Muscle::ALL
        .into_iter()
        .filter(|m| (0..frame.sessions()).any(|s| state.strain(m.index(), s) > near))
        .map(Muscle::name)
        .collect();
    (!names.is_empty()).then(|| {
        format!("Recovery binds for {}: another set would come before it is ready.", names.join(", "))
    })
}

fn paired(found: &Found) -> Option<String> {
    let blocks: Vec<_> = found.plan.sessions.iter().flat_map(|b| b.iter()).collect();
    let pairs = blocks.iter().filter(|s| s.kind() == BlockKind::Alternating).count();
    (pairs > 0).then(|| {
        format!(
            "{pairs} of {} blocks alternate unrelated movements: one muscle rests while the other works.",
            blocks.len()
        )
    })
}

fn spacing(problem: &Problem, frame: &Frame) -> Option<String> {
    problem.brief.time.days.is_empty().then(|| {
        let days: Vec<String> = frame.days.iter().map(u32::to_string).collect();
        format!(
            "Days {} of {}: the spacing at which the muscles owe least from one session to the next.",
            days.join(", "),
            problem.brief.time.cycle_days
        )
    })
}
