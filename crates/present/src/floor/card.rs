//! An exercise as it is done on the floor: the target, the warm-up, and the loads that can be made near it.

use crate::view;
use schemars::JsonSchema;
use serde::Serialize;
use setwright_gym::discs::Plate;
use setwright_gym::loads::Loadable;
use setwright_model::brief::Equipment;
use setwright_model::exercise::LoadKind;
use setwright_model::{Catalogue, Exercise, Kilograms, MassUnit, Prescription, Session};

/// An exercise as it is done.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Card {
    /// Identifier.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// Where it is done, in words.
    pub at: String,
    /// Work sets.
    pub sets: u32,
    /// Lowest and highest reps.
    pub reps: [u32; 2],
    /// The reps that the load is reckoned for.
    pub target: u32,
    /// What reps count: nothing for reps, `s` or `m`.
    pub counted_in: &'static str,
    /// Whether reps are for each side.
    pub each_side: bool,
    /// Reps in reserve.
    pub rir: u32,
    /// How it is loaded.
    pub kind: LoadKind,
    /// Sides that discs hang on: 2, 1, or 0 when there are none to hang.
    pub sides: u32,
    /// The bare bar, where there is one.
    pub bar_kg: Option<f64>,
    /// Loads that can be made near the target, lightest first.
    pub ladder: Vec<Rung>,
    /// The place of the target on the ladder; absent when the load is found on the day.
    pub rung: Option<usize>,
    /// Warm-up.
    pub ramp: Vec<WarmUpStep>,
}

/// A load that can be made.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Rung {
    /// As the exercise counts it.
    pub kg: f64,
    /// Discs of one side from the inside out, in kilograms; empty when there are none.
    pub discs: Vec<f64>,
    /// The same discs by the numbers that are cast on them.
    pub plates: Vec<PlateNumber>,
}

/// What is cast on a disc.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlateNumber {
    /// The number.
    pub number: f64,
    /// What it is in.
    pub unit: MassUnit,
}

impl Rung {
    fn new(kg: Kilograms, discs: Option<&[Plate]>) -> Self {
        let discs = discs.unwrap_or_default();
        Self {
            kg: kg.get(),
            discs: discs.iter().map(|p| p.mass.get()).collect(),
            plates: discs.iter().map(|p| PlateNumber { number: p.number(), unit: p.marked }).collect(),
        }
    }
}

/// A step of the warm-up.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WarmUpStep {
    /// Reps.
    pub reps: u32,
    /// What hangs; absent when it is found on the day.
    pub load: Option<Rung>,
}

/// Loads on each side of the target that a dial reaches (judgement: further off is another exercise's load).
const RUNGS_EACH_WAY: usize = 12;
/// Loads that a dial offers when there is no target.
const RUNGS_MAX: usize = 60;

/// The cards of a session, block by block.
pub fn cards(session: &Session, equipment: &Equipment, catalogue: &Catalogue) -> Vec<Vec<Card>> {
    let block =
        |b: &setwright_model::Block| b.exercises.iter().map(|p| card(p, equipment, catalogue)).collect();
    session.blocks.iter().map(block).collect()
}

/// The card of one exercise.
pub fn card(p: &Prescription, equipment: &Equipment, catalogue: &Catalogue) -> Card {
    let exercise = catalogue.get(&p.id);
    let loads: Vec<Option<Kilograms>> = p.ramp.iter().map(|s| s.load_kg).chain([p.load_kg]).collect();
    let views = view::load_views(exercise, equipment, &loads);
    let loadable = exercise.and_then(|e| Loadable::of(equipment, e).ok()).unwrap_or_else(Loadable::none);
    let hangs = exercise.is_some_and(view::shows_discs);
    let mut ladder = ladder(&loadable, p.load_kg, hangs);
    let body_alone = exercise.is_some_and(|e| e.load == LoadKind::BodyPlus);
    if body_alone && ladder.first().is_none_or(|r| r.kg > 0.0) {
        ladder.insert(0, Rung::new(Kilograms::ZERO, None));
    }
    let load = p.load_kg.or_else(|| body_alone.then_some(Kilograms::ZERO));
    let rung = load.and_then(|load| ladder.iter().position(|r| (r.kg - load.get()).abs() < 1e-6));
    if let (Some(rung), Some(view)) = (rung, views.last()) {
        // The discs of the work load follow from the warm-up: as few as can be are moved.
        ladder[rung] = Rung::new(Kilograms(ladder[rung].kg), view.discs.as_deref());
    }
    let steps = p.ramp.iter().zip(&views).map(|(step, view)| WarmUpStep {
        reps: step.reps,
        load: view.kg.map(|kg| Rung::new(kg, view.discs.as_deref())),
    });
    Card {
        id: p.id.to_string(),
        name: exercise.map_or_else(|| p.id.to_string(), |e| e.name.clone()),
        at: exercise.map_or_else(String::new, places),
        sets: p.sets,
        reps: p.reps,
        target: libm::round(p.mid_reps()) as u32,
        counted_in: exercise.map_or("", |e| view::counted_in(e.measure)),
        each_side: exercise.is_some_and(|e| e.unilateral),
        rir: p.rir,
        kind: exercise.map_or(LoadKind::Body, |e| e.load),
        sides: exercise.map_or(0, |e| u32::from(hangs) + u32::from(view::has_two_sides(e))),
        bar_kg: exercise
            .filter(|e| e.load == LoadKind::Bar)
            .and_then(|_| loadable.lightest())
            .map(Kilograms::get),
        ramp: steps.collect(),
        ladder,
        rung,
    }
}

fn places(exercise: &Exercise) -> String {
    exercise.stations.iter().map(|s| s.name()).collect::<Vec<_>>().join(", ")
}

fn ladder(loadable: &Loadable, target: Option<Kilograms>, hangs: bool) -> Vec<Rung> {
    let all: Vec<Kilograms> = loadable.all().collect();
    let (from, most) = match target.and_then(|t| all.iter().position(|kg| (kg.get() - t.get()).abs() < 1e-6))
    {
        Some(at) => (at.saturating_sub(RUNGS_EACH_WAY), 2 * RUNGS_EACH_WAY + 1),
        None => (0, RUNGS_MAX),
    };
    let discs = |kg: Kilograms| if hangs { loadable.discs_for(kg) } else { None };
    all.into_iter().skip(from).take(most).map(|kg| Rung::new(kg, discs(kg).as_deref())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_gym::catalogue::builtin;
    use setwright_model::Pounds;

    #[test]
    fn a_gym_in_pounds_hangs_plates_by_the_pounds_cast_on_them() {
        let squat = builtin().get(&"back_squat".into()).unwrap();
        let gym = Equipment {
            bar_lb: Some(Pounds(45.0)),
            disc_pairs_lb: [("45".to_owned(), 2)].into(),
            ..Equipment::default()
        };
        let loadable = Loadable::of(&gym, squat).unwrap();
        let rungs = ladder(&loadable, None, true);
        let last = rungs.last().unwrap();
        assert_eq!(last.plates, [PlateNumber { number: 45.0, unit: MassUnit::Lb }; 2]);
        assert!((last.discs[0] - 20.41).abs() < 0.01, "kilograms for whoever adds them up: {last:?}");
    }
}
