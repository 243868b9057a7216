//! How loads change from the programme in force to the next one, each with what the log tells.

use super::Known;
use setwright_model::{Catalogue, Kilograms, Prescription, Programme};
use setwright_science::strength;

/// A sentence for each exercise that stays in its session with another load.
pub fn load_changes(known: &Known, new: &Programme, catalogue: &Catalogue) -> Vec<String> {
    let Some(state) = &known.programme else { return Vec::new() };
    let both = state.programme.sessions.iter().zip(&new.sessions);
    both.flat_map(|(was, is)| {
        is.prescriptions().filter_map(move |p| {
            let before = was.prescriptions().find(|q| q.id == p.id)?;
            change(known, is.day, before, p, catalogue)
        })
    })
    .collect()
}

fn change(
    known: &Known,
    day: u32,
    was: &Prescription,
    is: &Prescription,
    catalogue: &Catalogue,
) -> Option<String> {
    let exercise = catalogue.get(&is.id)?;
    let to = is.load_kg?;
    let from = was.load_kg.filter(|from| (from.get() - to.get()).abs() > 1e-9);
    let step = match (from, was.load_kg) {
        (Some(from), _) => format!("{} to {} kg", from.get(), to.get()),
        (None, None) => format!("{} kg, by feel before", to.get()),
        (None, Some(_)) => return None,
    };
    let why = match known.posterior.strength(&is.id) {
        Some(told) => {
            let body = strength::total(exercise, Kilograms::ZERO, known.body_mass)?.get();
            let kg = |v: Kilograms| (v.get() - body).round();
            let rm = &told.one_rm;
            format!("the log tells a 1RM of {} kg ({} to {})", kg(rm.median), kg(rm.low), kg(rm.high))
        }
        None => "judged from other lifts".to_owned(),
    };
    Some(format!("Day {day}: {} at {step}; {why}.", exercise.name))
}
