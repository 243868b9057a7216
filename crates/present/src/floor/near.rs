//! What could stand in for an exercise whose station is taken, and what each costs in minutes and dose.

use super::Scene;
use super::card::{self, Card};
use schemars::JsonSchema;
use serde::Serialize;
use setwright_coaching::insight;
use setwright_gym::room::Room;
use setwright_model::{Belief, Exercise, ExerciseId, Muscle, Prescription, Session};
use setwright_science::dose::{self, Doses};
use std::collections::BTreeSet;

/// A neighbour.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Near {
    /// The exercise in place of the other.
    pub card: Card,
    /// Minutes that the session gets longer; fewer when it gets shorter.
    pub minutes: f64,
    /// How the dose changes, in words; empty when it hardly does.
    pub doses: Vec<String>,
}

/// Neighbours that are shown (judgement: three can be read between two sets).
const SHOWN: usize = 3;
/// Fractional sets of a muscle that are worth a word.
const WORTH_A_WORD: f64 = 0.25;

/// The session as it is, against which neighbours are held.
pub(super) struct AsItIs<'a> {
    pub session: &'a Session,
    pub belief: &'a Belief,
    pub doses: Doses,
    pub minutes: f64,
    pub errors: usize,
}

/// The neighbours of an exercise by its block and lane: the same pattern, another station, and nothing that the
/// check would refuse.
pub(super) fn near(scene: &Scene<'_>, is: &AsItIs<'_>, at: [usize; 2]) -> Vec<Near> {
    let planned = is.session.blocks.get(at[0]).and_then(|b| b.exercises.get(at[1]));
    let Some((planned, exercise)) = planned.and_then(|p| Some((p, scene.catalogue.get(&p.id)?))) else {
        return Vec::new();
    };
    let difference = |after: &Doses, m: Muscle| after[m.index()].get() - is.doses[m.index()].get();
    let mut found: Vec<Found<'_>> = Vec::new();
    for other in candidates(scene, is.session, exercise) {
        let mut changed = is.session.clone();
        let Some(slot) = changed.blocks.get_mut(at[0]).and_then(|b| b.exercises.get_mut(at[1])) else {
            continue;
        };
        *slot = in_place_of(planned, other);
        let session = insight::loaded(&changed, scene.brief, scene.mass(), is.belief, scene.catalogue);
        let doses = dose::of_session(&session, scene.catalogue);
        let minutes = scene.minutes(&session) - is.minutes;
        let apart: f64 = Muscle::ALL.into_iter().map(|m| difference(&doses, m).abs()).sum();
        found.push(Found { other, session, doses, minutes, apart: apart + minutes.abs() / 4.0 });
    }
    found.sort_by(|a, b| a.apart.total_cmp(&b.apart).then_with(|| a.other.id.cmp(&b.other.id)));
    let near = |found: Found<'_>| {
        let slot = found.session.blocks.get(at[0])?.exercises.get(at[1])?;
        let worth = Muscle::ALL.into_iter().filter(|m| difference(&found.doses, *m).abs() >= WORTH_A_WORD);
        Some(Near {
            card: card::card(slot, &scene.brief.equipment, scene.catalogue),
            minutes: found.minutes,
            doses: worth.map(|m| in_words(m, difference(&found.doses, m))).collect(),
        })
    };
    // The check is what takes time: it is asked of the nearest alone.
    let passed = found.into_iter().filter(|found| scene.errors(&found.session) <= is.errors);
    passed.take(SHOWN).filter_map(near).collect()
}

/// What might stand in.
struct Found<'c> {
    other: &'c Exercise,
    session: Session,
    doses: Doses,
    minutes: f64,
    /// How far it is from the exercise as planned.
    apart: f64,
}

fn candidates<'c>(scene: &'c Scene<'_>, session: &Session, exercise: &'c Exercise) -> Vec<&'c Exercise> {
    let there = Room::of(&scene.brief.equipment);
    let has: BTreeSet<&ExerciseId> = session.prescriptions().map(|p| &p.id).collect();
    let out = &scene.known().pains.out;
    let elsewhere =
        |e: &Exercise| e.stations.is_empty() || !e.stations.iter().any(|s| exercise.stations.contains(s));
    let same = |e: &Exercise| e.pattern == exercise.pattern && e.measure == exercise.measure;
    scene
        .catalogue
        .iter()
        .filter(|e| {
            same(e) && elsewhere(e) && !has.contains(&e.id) && !out.contains_key(&e.id) && there.can_do(e)
        })
        .collect()
}

fn in_place_of(planned: &Prescription, other: &Exercise) -> Prescription {
    let [low, high] = planned.reps;
    let reps = if low >= other.reps[0] && high <= other.reps[1] { planned.reps } else { other.reps };
    Prescription { id: other.id.clone(), reps, load_kg: None, ramp: Vec::new(), ..planned.clone() }
}

fn in_words(muscle: Muscle, by: f64) -> String {
    let sign = if by > 0.0 { "+" } else { "\u{2212}" };
    format!("{} {sign}{}", muscle.name(), (by.abs() * 4.0).round() / 4.0)
}
