//! What could stand in for an exercise whose station is taken, and what each costs in minutes and dose.

use super::Scene;
use super::card::{self, Card};
use crate::service::insight;
use schemars::JsonSchema;
use serde::Serialize;
use setwright_model::{Belief, Exercise, ExerciseId, Muscle, Prescription, Session};
use setwright_science::{dose, equipment};
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

/// The neighbours of an exercise by its block and lane: the same pattern, another station, and nothing that the
/// check would refuse.
pub(super) fn near(scene: &Scene<'_>, session: &Session, belief: &Belief, at: [usize; 2]) -> Vec<Near> {
    let planned = session.blocks.get(at[0]).and_then(|b| b.exercises.get(at[1]));
    let Some((planned, exercise)) = planned.and_then(|p| Some((p, scene.catalogue.get(&p.id)?))) else {
        return Vec::new();
    };
    let (minutes, errors) = scene.judge(session);
    let before = dose::of_session(session, scene.catalogue);
    let mut found: Vec<(f64, Near)> = Vec::new();
    for other in candidates(scene, session, exercise) {
        let mut changed = session.clone();
        let Some(slot) = changed.blocks.get_mut(at[0]).and_then(|b| b.exercises.get_mut(at[1])) else {
            continue;
        };
        *slot = in_place_of(planned, other);
        let changed = insight::loaded(&changed, scene.brief, scene.mass(), belief, scene.catalogue);
        let (now, wrong) = scene.judge(&changed);
        if wrong > errors {
            continue;
        }
        let after = dose::of_session(&changed, scene.catalogue);
        let difference = |m: Muscle| after[m.index()].get() - before[m.index()].get();
        let apart: f64 = Muscle::ALL.into_iter().map(|m| difference(m).abs()).sum();
        let doses = Muscle::ALL.into_iter().filter(|m| difference(*m).abs() >= WORTH_A_WORD);
        let Some(slot) = changed.blocks.get(at[0]).and_then(|b| b.exercises.get(at[1])) else { continue };
        found.push((
            apart + (now - minutes).abs() / 4.0,
            Near {
                card: card::card(slot, &scene.brief.equipment, scene.catalogue),
                minutes: now - minutes,
                doses: doses.map(|m| in_words(m, difference(m))).collect(),
            },
        ));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.card.id.cmp(&b.1.card.id)));
    found.into_iter().take(SHOWN).map(|(_, near)| near).collect()
}

fn candidates<'c>(scene: &'c Scene<'_>, session: &Session, exercise: &'c Exercise) -> Vec<&'c Exercise> {
    let there = equipment::stations(&scene.brief.equipment);
    let has: BTreeSet<&ExerciseId> = session.prescriptions().map(|p| &p.id).collect();
    let elsewhere =
        |e: &Exercise| e.stations.is_empty() || !e.stations.iter().any(|s| exercise.stations.contains(s));
    let same = |e: &Exercise| e.pattern == exercise.pattern && e.measure == exercise.measure;
    scene
        .catalogue
        .iter()
        .filter(|e| same(e) && elsewhere(e) && !has.contains(&e.id) && equipment::can_do(e, &there))
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
