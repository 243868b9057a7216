//! The reader and the writer of programmes in TOML.

use super::bounds::Bounds;
use super::brief::looks_like_brief;
use super::doc::{Doc, PathStep};
use super::names;
use super::read::Source;
use setwright_model::code::Code;
use setwright_model::limits::{
    BLOCKS_MAX, CYCLE_DAYS_MAX, CYCLE_DAYS_MIN, LOAD_KG_MAX, NAME_CHARS_MAX, REPS_MAX, REST_S_MAX, RIR_MAX,
    SETS_AUDIT_MAX,
};
use setwright_model::refusal::{Refusal, Refusals};
use setwright_model::{Block, Catalogue, Prescription, Programme, RampStep, Session};
use std::fmt::Write as _;

/// Reads a programme.
pub fn parse(source: &Source, catalogue: &Catalogue) -> Result<Programme, Refusals> {
    let doc = Doc::parse(source).map_err(|p| vec![p])?;
    let mut programme: Programme = doc.into_type().map_err(|p| vec![hint_at_other_kind(p, &doc)])?;
    let mut bounds = Bounds::new(&doc);
    check(&programme, &mut bounds);
    if bounds.problems.is_empty() {
        resolve_names(&mut programme, catalogue, &mut bounds);
    }
    if bounds.problems.is_empty() { Ok(programme) } else { Err(bounds.problems) }
}

fn hint_at_other_kind(problem: Refusal, doc: &Doc<'_>) -> Refusal {
    if looks_like_brief(doc) {
        return Refusal {
            hint: "This looks like a brief; setwright plan takes briefs.".to_owned(),
            ..problem
        };
    }
    problem
}

fn check(programme: &Programme, bounds: &mut Bounds<'_>) {
    if !programme.client.is_empty() {
        bounds.text(&["client".into()], "client", &programme.client, NAME_CHARS_MAX, false);
    }
    let in_limits = bounds.count(
        &["cycle_days".into()],
        "days of the cycle",
        programme.cycle_days,
        (CYCLE_DAYS_MIN, CYCLE_DAYS_MAX),
    );
    if programme.sessions.is_empty() {
        bounds.refuse(
            &["sessions".into()],
            Code::MissingField,
            "The programme has no session.".to_owned(),
            "Each session begins with [[sessions]] and a day.",
        );
    }
    if programme.sessions.len() > CYCLE_DAYS_MAX as usize {
        bounds.refuse(
            &["sessions".into()],
            Code::TooMany,
            format!("There are {} sessions; at most {CYCLE_DAYS_MAX} are read.", programme.sessions.len()),
            "There is at most one session a day.",
        );
        return;
    }
    let mut before = 0;
    for (s, session) in programme.sessions.iter().enumerate() {
        if in_limits {
            day(s, session, programme.cycle_days, before, bounds);
            before = session.day;
        }
        check_session(s, session, bounds);
    }
}

fn day(s: usize, session: &Session, cycle_days: u32, before: u32, bounds: &mut Bounds<'_>) {
    let path = ["sessions".into(), s.into(), "day".into()];
    if session.day == 0 || session.day > cycle_days {
        bounds.refuse(
            &path,
            Code::TimeDoesNotFit,
            format!("Day {} is not in a cycle of {cycle_days} days.", session.day),
            &format!("Days count from 1 to {cycle_days}."),
        );
    } else if session.day <= before {
        bounds.refuse(
            &path,
            Code::TimeDoesNotFit,
            format!("Day {} comes after day {before}.", session.day),
            "Put the sessions in the order of their days, one a day.",
        );
    }
}

fn check_session(s: usize, session: &Session, bounds: &mut Bounds<'_>) {
    let at = ["sessions".into(), s.into()];
    if !session.focus.is_empty() {
        bounds.text(&at, "focus", &session.focus, NAME_CHARS_MAX, false);
    }
    if session.blocks.len() > BLOCKS_MAX {
        bounds.refuse(
            &at,
            Code::TooMany,
            format!("The session has {} blocks; at most {BLOCKS_MAX} are read.", session.blocks.len()),
            "Split it into two sessions.",
        );
        return;
    }
    for (b, block) in session.blocks.iter().enumerate() {
        let at: Vec<PathStep<'_>> = vec!["sessions".into(), s.into(), "blocks".into(), b.into()];
        check_block(&at, block, bounds);
    }
}

/// Most exercises of a block that are read; the check says what it thinks of more than two.
const LANES_MAX: usize = 6;
/// Most steps of a ramp that are read.
const RAMP_STEPS_MAX: usize = 12;

fn check_block(at: &[PathStep<'_>], block: &Block, bounds: &mut Bounds<'_>) {
    bounds.number(&join(at, &["rest_s".into()]), "seconds of rest", block.rest_s.get(), (0.0, REST_S_MAX));
    if block.exercises.is_empty() || block.exercises.len() > LANES_MAX {
        bounds.refuse(
            at,
            Code::OutOfRange,
            format!("The block has {} exercises.", block.exercises.len()),
            "A block has one exercise, or two.",
        );
        return;
    }
    for (e, prescription) in block.exercises.iter().enumerate() {
        check_prescription(&join(at, &["exercises".into(), e.into()]), prescription, bounds);
    }
}

fn check_prescription(at: &[PathStep<'_>], p: &Prescription, bounds: &mut Bounds<'_>) {
    bounds.count(&join(at, &["sets".into()]), "sets", p.sets, (1, SETS_AUDIT_MAX));
    bounds.count(&join(at, &["rir".into()]), "reps in reserve", p.rir, (0, RIR_MAX));
    let [low, high] = p.reps;
    let reps = join(at, &["reps".into()]);
    if bounds.entries(&reps).is_some_and(|n| n != 2) {
        bounds.refuse(
            &reps,
            Code::WrongKind,
            "The reps are not two numbers.".to_owned(),
            "Lowest and highest: reps = [8, 12].",
        );
    }
    if bounds.count(&reps, "reps", low, (1, REPS_MAX))
        && bounds.count(&reps, "reps", high, (1, REPS_MAX))
        && low > high
    {
        bounds.refuse(
            &reps,
            Code::LeastAboveMost,
            format!("The reps run from {low} down to {high}."),
            "Lowest first: reps = [8, 12].",
        );
    }
    if let Some(load) = p.load_kg {
        bounds.number(&join(at, &["load_kg".into()]), "kg of load", load.get(), (0.0, LOAD_KG_MAX));
    }
    if p.ramp.len() > RAMP_STEPS_MAX {
        bounds.refuse(
            &join(at, &["ramp".into()]),
            Code::TooMany,
            format!("The ramp has {} steps; at most {RAMP_STEPS_MAX} are read.", p.ramp.len()),
            "Three steps are plenty.",
        );
        return;
    }
    for (i, step) in p.ramp.iter().enumerate() {
        let at = join(at, &["ramp".into(), i.into()]);
        bounds.count(&join(&at, &["reps".into()]), "reps of a ramp step", step.reps, (1, REPS_MAX));
        if let Some(load) = step.load_kg {
            bounds.number(
                &join(&at, &["load_kg".into()]),
                "kg of a ramp step",
                load.get(),
                (0.0, LOAD_KG_MAX),
            );
        }
    }
}

fn join<'a>(at: &[PathStep<'a>], more: &[PathStep<'a>]) -> Vec<PathStep<'a>> {
    at.iter().chain(more).copied().collect()
}

fn resolve_names(programme: &mut Programme, catalogue: &Catalogue, bounds: &mut Bounds<'_>) {
    for (s, session) in programme.sessions.iter_mut().enumerate() {
        for (b, block) in session.blocks.iter_mut().enumerate() {
            for (e, p) in block.exercises.iter_mut().enumerate() {
                match names::resolve(&p.id.0, catalogue) {
                    Ok(exercise) => p.id = exercise.id.clone(),
                    Err(problem) => {
                        let path: [PathStep<'_>; 7] = [
                            "sessions".into(),
                            s.into(),
                            "blocks".into(),
                            b.into(),
                            "exercises".into(),
                            e.into(),
                            "id".into(),
                        ];
                        bounds.problems.push(problem.at(bounds.place(&path)));
                    }
                }
            }
        }
    }
}

/// A programme as a file that a coach can read and edit. `notes` become comments at the top.
pub fn write(programme: &Programme, notes: &[String]) -> String {
    let mut out = String::new();
    for note in notes.iter().flat_map(|n| n.lines()) {
        let _ = writeln!(out, "# {note}");
    }
    if !programme.client.is_empty() {
        let _ = writeln!(out, "client = {}", quoted(&programme.client));
    }
    let _ = writeln!(out, "cycle_days = {}", programme.cycle_days);
    for session in &programme.sessions {
        let _ = writeln!(out, "\n[[sessions]]\nday = {}", session.day);
        if !session.focus.is_empty() {
            let _ = writeln!(out, "focus = {}", quoted(&session.focus));
        }
        if session.blocks.is_empty() {
            out.push_str("blocks = []\n");
        }
        for block in &session.blocks {
            write_block(&mut out, block);
        }
    }
    out
}

fn write_block(out: &mut String, block: &Block) {
    let kind = match block.kind {
        setwright_model::BlockKind::Straight => "straight",
        setwright_model::BlockKind::Alternating => "alternating",
        setwright_model::BlockKind::SameMuscle => "same_muscle",
    };
    let _ =
        writeln!(out, "\n[[sessions.blocks]]\nkind = \"{kind}\"\nrest_s = {}", number(block.rest_s.get()));
    out.push_str("exercises = [\n");
    for p in &block.exercises {
        let _ = write!(
            out,
            "  {{ id = {}, sets = {}, reps = [{}, {}], rir = {}",
            quoted(p.id.as_str()),
            p.sets,
            p.reps[0],
            p.reps[1],
            p.rir
        );
        if let Some(load) = p.load_kg {
            let _ = write!(out, ", load_kg = {}", number(load.get()));
        }
        if !p.ramp.is_empty() {
            let steps: Vec<String> = p.ramp.iter().map(ramp_step).collect();
            let _ = write!(out, ", ramp = [{}]", steps.join(", "));
        }
        out.push_str(" },\n");
    }
    out.push_str("]\n");
}

fn ramp_step(step: &RampStep) -> String {
    match step.load_kg {
        Some(load) => format!("{{ reps = {}, load_kg = {} }}", step.reps, number(load.get())),
        None => format!("{{ reps = {} }}", step.reps),
    }
}

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A number as TOML reads it back to the same value: whole numbers without a point.
fn number(value: f64) -> String {
    format!("{value}")
}
