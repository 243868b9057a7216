//! Which edits are worth trying for what is wrong. It proposes; the search finds out whether they help.

use super::edit::MendStep;
use crate::rules::allowed::neighbours;
use crate::rules::loads;
use crate::scene::{At, Findings, Item, Raw, Scene, Stage};
use setwright_model::change::Slot;
use setwright_model::{BlockKind, Exercise, Muscle, Severity};
use std::collections::BTreeSet;

/// Neighbours and additions that are tried for one place (judgement).
const CHOICES: usize = 3;

const FEWER_SETS: &[&str] =
    &["SW101", "SW102", "SW103", "SW105", "SW108", "SW109", "SW115", "SW118", "SW132", "SW134", "SW136"];
const MORE_SETS: &[&str] = &["SW104", "SW106", "SW115", "SW126", "SW134", "SW163"];
const OTHER_EXERCISE: &[&str] = &[
    "SW111", "SW112", "SW113", "SW116", "SW117", "SW120", "SW121", "SW122", "SW124", "SW129", "SW146",
    "SW171", "SW172", "SW173",
];
const LIGHTER_SPINE: &[&str] = &["SW130", "SW131", "SW132"];
const OUT: &[&str] = &["SW110", "SW114", "SW123", "SW133", "SW135", "SW180", "SW181"];
const ORDER: &[&str] = &["SW127", "SW130", "SW133", "SW145", "SW146"];
const DAYS: &[&str] = &["SW102", "SW103", "SW107", "SW131", "SW139", "SW175"];
const BLOCKS: &[&str] = &["SW119", "SW120", "SW121", "SW122", "SW123", "SW124", "SW125", "SW127"];
/// What one session can repair for another.
const BETWEEN: &[&str] = &["SW102", "SW103", "SW131"];

/// Edits that could help, gentle ones first.
pub(super) fn edits(scene: &Scene<'_>, findings: &Findings) -> Vec<MendStep> {
    let raw: Vec<&Raw> = findings.iter().filter(|r| r.severity > Severity::Note).collect();
    let mut edits = Vec::new();
    for stage in &scene.stages {
        let here: Vec<&Raw> = raw.iter().filter(|r| concerns(r, stage.rank)).copied().collect();
        of_exercises(scene, stage, &here, &mut edits);
        of_blocks(stage, &here, &mut edits);
        of_days(scene, stage, &here, &mut edits);
        additions(scene, stage, &here, &mut edits);
    }
    edits.sort_by_key(MendStep::cost);
    edits
}

fn concerns(raw: &Raw, rank: usize) -> bool {
    match raw.at {
        At::Client => false,
        At::Programme | At::Muscle(_) => true,
        At::Session(s) | At::MuscleIn(s, _) | At::Block(s, _) | At::Exercise(s, ..) => {
            s == rank || BETWEEN.contains(&raw.code)
        }
    }
}

fn says(here: &[&Raw], codes: &[&str]) -> bool {
    here.iter().any(|r| codes.contains(&r.code))
}

/// Whether one of the codes is said of this exercise, its block or its session.
fn says_of(here: &[&Raw], item: &Item<'_>, rank: usize, codes: &[&str]) -> bool {
    let is_here = |at: At| match at {
        At::Exercise(s, b, lane) => (s, b, lane) == (rank, item.block, item.lane) || s != rank,
        At::Block(s, b) => (s, b) == (rank, item.block) || s != rank,
        _ => true,
    };
    here.iter().any(|r| codes.contains(&r.code) && is_here(r.at))
}

fn of_exercises(scene: &Scene<'_>, stage: &Stage<'_>, here: &[&Raw], edits: &mut Vec<MendStep>) {
    for (block, b) in stage.session.blocks.iter().enumerate() {
        for (lane, p) in b.exercises.iter().enumerate() {
            let place = Slot { session: stage.rank, block, lane };
            if scene.catalogue.get(&p.id).is_none() && says(here, &["SW110"]) {
                edits.push(MendStep::Drop(place));
            }
        }
    }
    for item in &stage.items {
        let place = Slot { session: stage.rank, block: item.block, lane: item.lane };
        let said = |codes: &[&str]| says_of(here, item, stage.rank, codes);
        of_load(scene, place, item, &said, edits);
        if said(FEWER_SETS) && item.prescription.sets > 1 {
            edits.push(MendStep::DropSet(place));
        }
        if said(MORE_SETS) {
            edits.push(MendStep::AddSet(place));
        }
        let spine = said(LIGHTER_SPINE) && item.exercise.spinal + item.exercise.systemic > 0;
        if said(OTHER_EXERCISE) || spine {
            let ids = neighbours(scene, item.exercise).filter(|e| is_new(stage, e));
            edits.extend(ids.take(CHOICES).map(|e| MendStep::Swap(place, e.id.clone())));
        }
        let errors: Vec<&Raw> = here.iter().filter(|r| r.severity == Severity::Error).copied().collect();
        let wrong = |codes: &[&str]| says_of(&errors, item, stage.rank, codes);
        if wrong(FEWER_SETS) || wrong(OTHER_EXERCISE) || wrong(LIGHTER_SPINE) || wrong(OUT) {
            edits.push(MendStep::Drop(place));
        }
    }
}

fn of_load(
    scene: &Scene<'_>,
    place: Slot,
    item: &Item<'_>,
    said: &dyn Fn(&[&str]) -> bool,
    edits: &mut Vec<MendStep>,
) {
    if said(&["SW140"]) {
        edits.push(MendStep::Warm(place));
    }
    if said(&["SW141", "SW142", "SW147"]) && !item.prescription.ramp.is_empty() {
        edits.push(MendStep::Rewarm(place));
    }
    if said(&["SW142", "SW143", "SW144"])
        && let Some(load) = loads::remedy(scene, item)
    {
        edits.push(MendStep::Load(place, load));
    }
}

fn is_new(stage: &Stage<'_>, exercise: &Exercise) -> bool {
    stage.items.iter().all(|i| i.exercise.id != exercise.id)
}

fn of_blocks(stage: &Stage<'_>, here: &[&Raw], edits: &mut Vec<MendStep>) {
    let blocks = &stage.session.blocks;
    let pairs = || (0..blocks.len()).flat_map(|a| (a + 1..blocks.len()).map(move |b| (a, b)));
    if says(here, ORDER) {
        edits.extend(pairs().map(|(a, b)| MendStep::Order(stage.rank, a, b)));
    }
    if says(here, &["SW101"]) {
        let straight = |i: usize| blocks[i].kind == BlockKind::Straight && blocks[i].exercises.len() == 1;
        let both = pairs().filter(|(a, b)| straight(*a) && straight(*b));
        edits.extend(both.map(|(a, b)| MendStep::Join(stage.rank, a, b)));
    }
    if says(here, BLOCKS) {
        let shared = (0..blocks.len()).filter(|b| blocks[*b].exercises.len() > 1);
        edits.extend(shared.map(|b| MendStep::Split(stage.rank, b)));
    }
}

fn of_days(scene: &Scene<'_>, stage: &Stage<'_>, here: &[&Raw], edits: &mut Vec<MendStep>) {
    if !says(here, DAYS) {
        return;
    }
    let taken: BTreeSet<u32> = scene.stages.iter().map(|s| s.session.day).collect();
    let is_possible = |day: &u32| {
        scene.brief.is_none_or(|b| {
            let days = if b.time.days.is_empty() { &b.time.possible_days } else { &b.time.days };
            days.is_empty() || days.contains(day)
        })
    };
    let last = scene.programme.cycle_days.min(setwright_model::limits::CYCLE_DAYS_MAX);
    let free = (1..=last).filter(|d| !taken.contains(d)).filter(is_possible);
    edits.extend(free.map(|day| MendStep::Day(stage.rank, day)));
}

fn additions(scene: &Scene<'_>, stage: &Stage<'_>, here: &[&Raw], edits: &mut Vec<MendStep>) {
    let short = here.iter().filter(|r| ["SW104", "SW106", "SW163"].contains(&r.code));
    let muscles: BTreeSet<Muscle> = short
        .filter_map(|r| match r.at {
            At::Muscle(m) => Some(m),
            _ => None,
        })
        .collect();
    for muscle in muscles {
        let patterns: BTreeSet<_> = stage.items.iter().map(|i| i.exercise.pattern).collect();
        let fits = |e: &&Exercise| e.prime() == Some(muscle) && !patterns.contains(&e.pattern);
        let mut found: Vec<&Exercise> =
            scene.catalogue.iter().filter(fits).filter(|e| scene.is_allowed(e)).collect();
        found.sort_by_key(|e| (e.systemic + e.spinal + e.grip, e.skill, e.setup_s.get() as u32, &e.id));
        edits.extend(found.iter().take(CHOICES).map(|e| MendStep::Add(stage.rank, e.id.clone())));
    }
}
