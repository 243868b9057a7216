//! `ramp`: the warm-up before a work load, with the discs to hang.

use super::args::RampArgs;
use super::show::{json, number};
use super::text::{Columns, LEFT, RIGHT, wrapped};
use crate::reply::{Look, Reply};
use setwright_formats::{self as files, cells, names};
use setwright_gym::catalogue::builtin;
use setwright_model::brief::Equipment;
use setwright_model::code::Code;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_model::{Exercise, Kilograms, MassUnit};
use setwright_present::loads::plates;
use setwright_present::ramp::{self, RampStepView, RampView, Request};
use std::fmt::Write as _;

/// Prints the warm-up.
pub fn run(args: &RampArgs, look: Look) -> Result<Reply, Refusals> {
    let mut problems = Vec::new();
    let mut known = |name: &str| names::resolve(name, builtin()).map_err(|p| problems.push(p)).ok();
    let exercise = known(&args.exercise);
    let after: Vec<&Exercise> = args.after.iter().filter_map(|name| known(name)).collect();
    let load = work_load(&args.load, look.units).map_err(|p| problems.push(p)).ok();
    let equipment = equipment(args)?;
    let (Some(exercise), Some(load), true) = (exercise, load, problems.is_empty()) else {
        return Err(problems);
    };
    let request = Request {
        exercise,
        load,
        reps: args.reps,
        rir: args.rir,
        after,
        equipment: &equipment,
        unit: look.units,
    };
    let view = ramp::ramp(&request).map_err(|p| vec![p])?;
    Ok(Reply::data(if args.json { json(&view) } else { page(&view, look.units) }))
}

fn equipment(args: &RampArgs) -> Result<Equipment, Refusals> {
    let Some(path) = &args.brief else { return Ok(Equipment::default()) };
    let source = files::read(path).map_err(|p| vec![p])?;
    Ok(files::brief::parse(&source, builtin())?.equipment)
}

fn work_load(text: &str, units: MassUnit) -> Result<Kilograms, Refusal> {
    let refusal = |hint: &str| {
        let shown = files::doc::printable(text);
        Refusal::new(Code::Usage, format!("\"{shown}\" is not a work load."), hint)
    };
    match cells::load(text, units) {
        Ok(Some(load)) if load.get() > 0.0 => Ok(load),
        Ok(_) => Err(refusal("Give a load above nothing: 60, \"60 kg\" or \"135 lb\".")),
        Err(expected) => Err(refusal(expected)),
    }
}

fn page(view: &RampView, units: MassUnit) -> String {
    let work = view.work.load.kg.unwrap_or(Kilograms::ZERO);
    let mut out = format!(
        "{}: {} reps at {} with {} in reserve (a {}RM; 1RM about {}, estimated)\n",
        view.name,
        view.reps,
        units.load(work),
        view.rir,
        view.reps + view.rir,
        units.load(Kilograms(view.one_rm_kg.get().round())),
    );
    let _ = writeln!(out, "{}\n", role(view.role));
    out.push_str(&steps(view, units));
    if let Some(asked) = view.asked_kg {
        let (asked, made) = (units.load(asked), units.load(work));
        out.push_str(&wrapped(&format!("{asked} cannot be loaded: the next below is {made}."), 0, 0));
    }
    for note in &view.notes {
        out.push_str(&wrapped(note, 0, 0));
    }
    if !view.steps.is_empty() {
        out.push_str("Rest one to two minutes after each step.\n");
    }
    out
}

fn role(role: &str) -> &'static str {
    match role {
        "session_lead" => "First lift of the session: the whole ramp.",
        "family_lead" => "First lift of its kind in the session: a shorter ramp.",
        _ => "The movement is warm from what was done before.",
    }
}

fn steps(view: &RampView, units: MassUnit) -> String {
    let side = if view.two_sides { "discs each side, inside out" } else { "discs" };
    let has_discs = view.work.load.discs.is_some();
    let mut columns = Columns::new(&[RIGHT, RIGHT, RIGHT, LEFT, LEFT]);
    columns.row([
        "reps",
        "load",
        "of work",
        if has_discs { side } else { "" },
        if has_discs { "change" } else { "" },
    ]);
    for step in &view.steps {
        columns.row(cells_of(step, step.reps.to_string(), units));
    }
    columns.row(cells_of(&view.work, "work".to_owned(), units));
    columns.lines(2)
}

fn cells_of(step: &RampStepView, reps: String, units: MassUnit) -> [String; 5] {
    let discs = match &step.load.discs {
        None => String::new(),
        Some(discs) if discs.is_empty() => "empty bar".to_owned(),
        Some(discs) => plates(discs, units, " "),
    };
    let mut change = Vec::new();
    if !step.off.is_empty() {
        change.push(format!("off {}", plates(&step.off, units, " ")));
    }
    if !step.on.is_empty() {
        change.push(format!("on {}", plates(&step.on, units, " ")));
    }
    [
        reps,
        step.load.kg.map_or_else(String::new, |kg| units.load(kg)),
        format!("{} %", number(100.0 * step.share, 0)),
        discs,
        change.join(", "),
    ]
}
