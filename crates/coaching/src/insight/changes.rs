//! How loads change from the programme in force to the next one, each with what the log tells.

use super::Known;
use setwright_model::{Catalogue, Kilograms, Prescription, Programme, Sentence};
use setwright_science::strength;

/// A sentence for each exercise that stays in its session with another load.
pub fn load_changes(known: &Known, new: &Programme, catalogue: &Catalogue) -> Vec<Sentence> {
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
) -> Option<Sentence> {
    let exercise = catalogue.get(&is.id)?;
    let to = is.load_kg?;
    let from = was.load_kg.filter(|from| (from.get() - to.get()).abs() > 1e-9);
    let said = Sentence::from(format!("Day {day}: {} at ", exercise.name));
    let said = match (from, was.load_kg) {
        (Some(from), _) => said.load(from).text(" to ").load(to),
        (None, None) => said.load(to).text(", by feel before"),
        (None, Some(_)) => return None,
    };
    let Some(told) = known.posterior.strength(&is.id) else {
        return Some(said.text("; judged from other lifts."));
    };
    let body = strength::total(exercise, Kilograms::ZERO, known.body_mass)?.get();
    let whole = |v: Kilograms| Kilograms((v.get() - body).round());
    let rm = &told.one_rm;
    let said = said.text("; the log tells a 1RM of ").load(whole(rm.median)).text(" (");
    Some(said.load(whole(rm.low)).text(" to ").load(whole(rm.high)).text(")."))
}
