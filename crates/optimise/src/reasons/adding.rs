//! How each exercise gets harder: the next load that can be made, reps first where that is a large step, a harder form where nothing is
//! loaded.

use super::{Case, listed};
use setwright_formulate::lift::Candidate;
use setwright_gym::loads::Loadable;
use setwright_model::exercise::{LoadKind, Measure};
use setwright_science::progress::{OVER_REPS, RISE, SESSIONS_RUNNING};
use setwright_science::strength;

/// How an exercise of the programme is made harder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Way {
    /// The next load is near.
    Load,
    /// The next load is a large step.
    RepsFirst,
    /// The help is made less.
    LessHelp,
    /// Nothing is loaded.
    HarderForm,
    /// Held or carried: longer first.
    Longer,
}

/// One sentence for each way that the programme's exercises get harder, with their names.
pub(super) fn load(case: &Case<'_>) -> Vec<String> {
    let problem = case.problem;
    let plan = &case.found().plan;
    let used = |l: &usize| plan.sessions.iter().any(|blocks| blocks.has(*l as u16));
    let there: Vec<&Candidate> = (0..problem.lifts.len()).filter(used).map(|l| &problem.lifts[l]).collect();
    let named = |way: Way| -> Vec<&str> {
        there.iter().filter(|l| way_of(case, l) == way).map(|l| l.exercise.name.as_str()).collect()
    };
    let ways = [Way::Load, Way::RepsFirst, Way::LessHelp, Way::HarderForm, Way::Longer];
    ways.into_iter().filter_map(|way| sentence(way, &named(way))).collect()
}

fn sentence(way: Way, names: &[&str]) -> Option<String> {
    if names.is_empty() {
        return None;
    }
    let names = listed(names);
    Some(match way {
        Way::Load => format!(
            "More load, the next that can be made, when the last set went {OVER_REPS} reps over the middle of its reps on \
             {SESSIONS_RUNNING} visits running: {names}."
        ),
        Way::RepsFirst => format!(
            "Reps first, for the next weight is a large step: two more than the sheet says in every set, then the next weight for \
             the fewest reps again: {names}."
        ),
        Way::LessHelp => {
            format!("Less help, by one step, when every set reaches the upper end of its reps: {names}.")
        }
        Way::HarderForm => format!(
            "Reps first, then a harder form, when every set reaches the upper end with what is left in reserve: {names}."
        ),
        Way::Longer => format!(
            "Longer or farther, up to the upper end, and only then heavier or a harder form: {names}."
        ),
    })
}

fn way_of(case: &Case<'_>, lift: &Candidate) -> Way {
    let e = &lift.exercise;
    if e.measure != Measure::Reps {
        return Way::Longer;
    }
    match e.load {
        LoadKind::Body | LoadKind::Band => return Way::HarderForm,
        LoadKind::Assisted => return Way::LessHelp,
        _ => {}
    }
    let brief = &case.problem.brief;
    let loads = Loadable::of_client(brief, e).unwrap_or_else(|_| Loadable::none());
    let now = strength::work_load(e, lift.scheme, case.belief, &loads, brief.body.mass_kg)
        .or_else(|| loads.lightest());
    match now.and_then(|now| Some((now.get(), loads.above(now)?.get()))) {
        // With the body as most of the load a disc on the belt is never a large step.
        Some((now, next)) if next <= now * (1.0 + RISE.1) || e.load == LoadKind::BodyPlus => Way::Load,
        Some(_) => Way::RepsFirst,
        None => Way::HarderForm,
    }
}
