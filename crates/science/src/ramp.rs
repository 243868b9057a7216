//! The warm-up ramp with loads: the shapes of [`crate::warmup`] weighed and made loadable.
//!
//! A step may be dropped, shortened or merged with its neighbour, never added and never lengthened, because the session
//! clock has reserved time for the shapes only.

use crate::curve::{self, Curve};
use crate::warmup::{self, StepShape, WarmUpRole};
use setwright_gym::loads::Loadable;
use setwright_model::exercise::CurveFamily;
use setwright_model::{Exercise, Kilograms, RampStep, Reps, Share};

/// No step is heavier than this share of the work load (common practice, no source (T); "about nine tenths").
pub const STEP_SHARE_MAX: f64 = 0.9;
/// Steps nearer to each other than this share of the work load become one (judgement).
const RISE_SHARE_MIN: f64 = 0.09;
pub use crate::warmup::STRONG_KG;
/// The steps of the full ramp before a load from [`STRONG_KG`] on (common practice, no source (T)).
const STRONG_RAMP: [StepShape; 3] =
    [StepShape { reps: 8, rm: 40 }, StepShape { reps: 5, rm: 20 }, StepShape { reps: 3, rm: 10 }];
/// Up to this work load one easy set is warm-up enough (judgement).
pub const TOY_KG: f64 = 8.0;
/// Most reps of that set, and of one without a load (judgement).
const EASY_REPS: u32 = 8;
/// From this work load on the movement is done once without a load where nothing lighter can be made, and the body alone
/// before a belt (judgement).
pub const LOADED_KG: f64 = 10.0;
/// Float dust that does not count against [`STEP_SHARE_MAX`], in kilograms (numeric).
const DUST_KG: f64 = 1e-6;

/// The ramp of an exercise before its first work set of `mid_reps` with `rir` in reserve. Steps have no load
/// while the work load is not known or cannot be weighed.
#[allow(clippy::too_many_arguments, reason = "each is known to the caller and none belongs to another")]
pub fn ramp(
    exercise: &Exercise,
    role: WarmUpRole,
    mid_reps: f64,
    rir: u32,
    work_load: Option<Kilograms>,
    loadable: &Loadable,
    curve: Curve,
    learns: bool,
) -> Vec<RampStep> {
    let known = work_load.filter(|_| !loadable.is_none());
    let shapes = warmup::steps(exercise, role, mid_reps, learns, known);
    let unweighed = |s: &StepShape| RampStep { reps: s.reps, load_kg: None };
    if warmup::is_belted(exercise) {
        return belted(&shapes, work_load, loadable);
    }
    let Some(work) = known else {
        // One bell cannot be begun with lightly: the movement is done once without it.
        let alone = loadable.all().count() == 1;
        let bare = shapes.iter().take(1).filter(|_| role != WarmUpRole::Follower);
        return if alone {
            bare.map(|s| RampStep { reps: s.reps.min(EASY_REPS), load_kg: None }).collect()
        } else {
            shapes.iter().map(unweighed).collect()
        };
    };
    let max = curve::one_rm(work, Reps(mid_reps), Reps(f64::from(rir)), curve);
    let mut steps = weigh(&for_load(shapes.clone(), work), max, work, loadable, curve);
    if work.get() <= TOY_KG {
        steps.truncate(1);
        for step in &mut steps {
            step.reps = step.reps.min(EASY_REPS);
        }
    }
    let leads = role != WarmUpRole::Follower && exercise.systemic > 0 && work.get() >= LOADED_KG;
    let bare = steps.is_empty() && (learns || leads);
    if let (true, Some(first)) = (bare, shapes.first()) {
        steps.push(RampStep { reps: first.reps.min(EASY_REPS), load_kg: None });
    }
    steps
}

/// The body alone before a belt that carries something worth the name.
fn belted(shapes: &[StepShape], work_load: Option<Kilograms>, loadable: &Loadable) -> Vec<RampStep> {
    let is_loaded = work_load.is_some_and(|work| work.get() >= LOADED_KG);
    let alone = loadable.lightest().filter(|_| is_loaded);
    let step = |s: &StepShape| Some(RampStep { reps: s.reps, load_kg: Some(alone?) });
    shapes.iter().filter_map(step).collect()
}

/// Shapes for a work load: before a heavy one those of the full ramp begin lighter and have fewer reps.
fn for_load(mut shapes: Vec<StepShape>, work: Kilograms) -> Vec<StepShape> {
    for shape in shapes.iter_mut().filter(|_| work.get() >= STRONG_KG) {
        if let Some(place) = warmup::FULL_RAMP.iter().position(|s| s == shape) {
            *shape = STRONG_RAMP[place];
        }
    }
    shapes
}

/// A shape with the load it should have and the load it can have.
struct Weighed {
    reps: u32,
    wanted: Kilograms,
    load: Kilograms,
}

fn weigh(
    shapes: &[StepShape],
    max: Kilograms,
    work: Kilograms,
    loadable: &Loadable,
    curve: Curve,
) -> Vec<RampStep> {
    let ceiling = work * STEP_SHARE_MAX;
    let mut steps: Vec<Weighed> = Vec::new();
    for shape in shapes {
        let wanted = max * cautious_share(shape.rm, curve).get();
        if let Some(load) = makeable(wanted, ceiling, loadable) {
            merge(&mut steps, Weighed { reps: shape.reps, wanted, load }, work * RISE_SHARE_MIN);
        }
    }
    steps.iter().map(|s| RampStep { reps: s.reps, load_kg: Some(s.load) }).collect()
}

/// Share of the 1RM for a step: the lighter of the movement's curve and that of the upper body, because the
/// sources disagree on the legs (20RM of the leg press 51.5 % of the 1RM, Reynolds 2006, JSCR 20:584 (M); more
/// than the chest press, Nuzzo 2024, Sports Med 54:303 (A)) and a ramp should rather be too light.
fn cautious_share(rm: u32, curve: Curve) -> Share {
    let upper = Curve::of(CurveFamily::Upper).with_person(curve.person());
    let reps = Reps(f64::from(rm));
    curve.share(reps).min(upper.share(reps))
}

/// What can be loaded for a step: down from what is wanted and from the ceiling, or the empty bar.
fn makeable(wanted: Kilograms, ceiling: Kilograms, loadable: &Loadable) -> Option<Kilograms> {
    let load = loadable.round_down(wanted.min(ceiling)).or_else(|| loadable.lightest())?;
    (load.get() > 0.0 && load <= ceiling).then_some(load)
}

/// Of steps that are near each other the one that wanted its load most nearly stays.
fn merge(steps: &mut Vec<Weighed>, step: Weighed, rise: Kilograms) {
    let miss_kg = |s: &Weighed| (s.wanted - s.load).get().abs();
    match steps.last_mut() {
        Some(last) if last.load >= step.load || step.load - last.load < rise => {
            if last.load <= step.load && miss_kg(&step) < miss_kg(last) {
                *last = step;
            }
        }
        _ => steps.push(step),
    }
}

/// What is wrong with a step of a ramp, counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RampFault {
    /// Heavier than nine tenths of the work load.
    TooHeavy(usize),
    /// Cannot be made with the equipment.
    NotLoadable(usize),
    /// Not heavier than the step before.
    NotRising(usize),
}

/// All faults of a ramp; steps without a load have none, and a belt may hang empty first.
pub fn faults(ramp: &[RampStep], work: Kilograms, loadable: &Loadable) -> Vec<RampFault> {
    let ceiling_kg = work.get() * STEP_SHARE_MAX + DUST_KG;
    let mut faults = Vec::new();
    let mut before_kg = -1.0;
    for (i, step) in ramp.iter().enumerate() {
        let Some(load) = step.load_kg else { continue };
        if load.get() > ceiling_kg {
            faults.push(RampFault::TooHeavy(i));
        }
        if !loadable.is_loadable(load) {
            faults.push(RampFault::NotLoadable(i));
        }
        if load.get() <= before_kg {
            faults.push(RampFault::NotRising(i));
        }
        before_kg = load.get();
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::exercise;
    use proptest::prelude::*;
    use setwright_model::brief::Equipment;
    use setwright_model::exercise::LoadKind;

    const GYM: [(f64, u32); 7] = [(25.0, 2), (20.0, 4), (15.0, 1), (10.0, 2), (5.0, 2), (2.5, 2), (1.25, 1)];

    fn gym_bar() -> Loadable {
        Loadable::bar(Kilograms(20.0), &GYM.map(|(kg, n)| (Kilograms(kg), n))).unwrap()
    }

    fn lead(reps: f64, rir: u32, work_kg: f64) -> Vec<(u32, f64)> {
        let bench = exercise("bench_press");
        let work = Some(Kilograms(work_kg));
        let curve = Curve::of(CurveFamily::Upper);
        ramp(&bench, WarmUpRole::SessionLead, reps, rir, work, &gym_bar(), curve, false)
            .iter()
            .map(|s| (s.reps, s.load_kg.unwrap().get()))
            .collect()
    }

    #[test]
    fn a_press_gets_the_whole_ramp() {
        assert_eq!(lead(8.0, 2, 80.0), [(12, 50.0), (8, 62.5), (4, 70.0)]);
    }

    #[test]
    fn few_heavy_reps_are_led_up_to_lightly_and_in_few_reps() {
        let ramp = lead(4.0, 1, 85.0);
        assert_eq!(ramp, [(8, 37.5), (5, 50.0), (3, 62.5), (1, 72.5)]);
        for (reps, rir) in [(2.0, 1), (4.0, 2), (5.0, 0), (6.0, 3)] {
            for work_kg in [30.0, 60.0, 120.0, 200.0] {
                let ramp = lead(reps, rir, work_kg);
                assert!(!ramp.is_empty() && ramp.iter().map(|s| s.0).sum::<u32>() <= 20, "{ramp:?}");
            }
        }
    }

    #[test]
    fn a_strong_client_starts_lighter_and_does_fewer_reps_near_the_work_load() {
        assert_eq!(lead(8.0, 2, 140.0), [(8, 70.0), (5, 110.0), (3, 125.0)]);
    }

    #[test]
    fn a_light_dumbbell_gets_one_easy_set_at_most() {
        let row = Exercise { load: LoadKind::Dumbbell, ..exercise("row") };
        let bells =
            Loadable::list(&[2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 22.0].map(Kilograms)).unwrap();
        let curve = Curve::of(CurveFamily::Upper);
        let of = |kg| ramp(&row, WarmUpRole::SessionLead, 10.0, 2, Some(Kilograms(kg)), &bells, curve, false);
        for kg in [4.0, 8.0, 20.0] {
            assert!(of(kg).len() == 1 && of(kg)[0].reps <= 8, "{:?}", of(kg));
        }
        assert!(of(22.0).len() > 1);
    }

    #[test]
    fn a_belt_is_led_up_to_by_the_body_alone() {
        let pull_up = Exercise {
            load: LoadKind::BodyPlus,
            pattern: setwright_model::Pattern::VerticalPull,
            ..exercise("pull_up")
        };
        let discs = ["2.5", "5", "10", "20"].map(|name| (name.to_owned(), 1)).into();
        let equipment = Equipment { disc_pairs: discs, ..Equipment::default() };
        let belt = Loadable::of(&equipment, &pull_up).unwrap();
        let curve = Curve::of(CurveFamily::Upper);
        let of = |role, kg| ramp(&pull_up, role, 6.0, 1, kg, &belt, curve, false);
        let heavy = of(WarmUpRole::SessionLead, Some(Kilograms(20.0)));
        assert_eq!(heavy, [RampStep { reps: 5, load_kg: Some(Kilograms::ZERO) }]);
        assert_eq!(faults(&heavy, Kilograms(20.0), &belt), []);
        assert_eq!(of(WarmUpRole::FamilyLead, Some(Kilograms(20.0))), heavy);
        assert_eq!(of(WarmUpRole::SessionLead, Some(Kilograms(5.0))), []);
        assert_eq!(of(WarmUpRole::SessionLead, None), []);
        assert_eq!(of(WarmUpRole::Follower, Some(Kilograms(20.0))), []);
    }

    #[test]
    fn where_nothing_lighter_can_be_made_the_movement_is_done_without_a_load() {
        let press = Exercise { load: LoadKind::Kettlebell, ..exercise("kettlebell_press") };
        let bells = Loadable::list(&[16.0, 24.0].map(Kilograms)).unwrap();
        let curve = Curve::of(CurveFamily::Upper);
        let of = |role| ramp(&press, role, 8.0, 2, Some(Kilograms(16.0)), &bells, curve, false);
        assert_eq!(of(WarmUpRole::SessionLead), [RampStep { reps: 8, load_kg: None }]);
        assert_eq!(of(WarmUpRole::Follower), []);
    }

    #[test]
    fn steps_near_the_work_load_become_one_under_nine_tenths() {
        let ramp = lead(12.5, 3, 60.0);
        assert_eq!(ramp.len(), 2);
        assert_eq!(ramp[0].0, 12);
        assert_eq!(ramp[1], (8, 52.5));
    }

    #[test]
    fn steps_under_the_empty_bar_become_the_empty_bar_or_nothing() {
        assert_eq!(lead(8.0, 2, 25.0), [(8, 20.0), (4, 22.5)]);
        assert_eq!(lead(8.0, 2, 22.5), [(8, 20.0)]);
    }

    #[test]
    fn an_unknown_work_load_leaves_the_reps() {
        let bench = exercise("bench_press");
        let curve = Curve::of(CurveFamily::Upper);
        let ramp = ramp(&bench, WarmUpRole::SessionLead, 8.0, 2, None, &gym_bar(), curve, false);
        assert_eq!(
            ramp.iter().map(|s| (s.reps, s.load_kg)).collect::<Vec<_>>(),
            [(12, None), (8, None), (4, None)]
        );
    }

    #[test]
    fn a_second_heavy_press_gets_one_easy_five() {
        let press = exercise("incline_press");
        let curve = Curve::of(CurveFamily::Upper);
        let easy = |reps| {
            ramp(&press, WarmUpRole::Follower, reps, 2, Some(Kilograms(80.0)), &gym_bar(), curve, false)
        };
        assert_eq!(easy(5.0).iter().map(|s| s.reps).collect::<Vec<_>>(), [5]);
        assert_eq!(easy(10.0).iter().map(|s| s.reps).collect::<Vec<_>>(), [5], "80 kg are a big lift");
    }

    #[test]
    fn a_squat_is_ramped_as_lightly_as_a_press() {
        let squat = Exercise { curve: CurveFamily::Lower, ..exercise("back_squat") };
        let curve = Curve::of(CurveFamily::Lower);
        let work = Some(Kilograms(100.0));
        let ramp = ramp(&squat, WarmUpRole::SessionLead, 8.0, 2, work, &gym_bar(), curve, false);
        let loads: Vec<f64> = ramp.iter().filter_map(|s| s.load_kg).map(Kilograms::get).collect();
        assert_eq!(loads, [50.0, 77.5, 90.0]);
    }

    #[test]
    fn a_faulty_ramp_is_seen() {
        let step = |kg| RampStep { reps: 5, load_kg: Some(Kilograms(kg)) };
        let found = faults(&[step(60.0), step(60.0), step(61.0), step(95.0)], Kilograms(100.0), &gym_bar());
        assert_eq!(found, [RampFault::NotRising(1), RampFault::NotLoadable(2), RampFault::TooHeavy(3)]);
    }

    fn any_loadable() -> impl Strategy<Value = Loadable> {
        prop_oneof![
            Just(gym_bar()),
            prop::collection::vec(1_u32..60, 1..8).prop_map(|list| {
                let weights: Vec<_> = list.iter().map(|kg| Kilograms(f64::from(*kg))).collect();
                Loadable::list(&weights).unwrap()
            }),
            (1_u32..12).prop_map(|s| Loadable::stack(Kilograms(f64::from(s)), Kilograms(150.0)).unwrap()),
        ]
    }

    proptest! {
        #[test]
        fn a_ramp_is_loadable_rising_and_never_above_nine_tenths_of_the_work_load(
            loadable in any_loadable(), work_kg in 1.0..250.0_f64, reps in 3.0..20.0_f64, rir in 0_u32..5,
            role in prop_oneof![
                Just(WarmUpRole::SessionLead), Just(WarmUpRole::FamilyLead), Just(WarmUpRole::Follower)
            ],
            light in any::<bool>(), person in 0.5..2.0_f64,
        ) {
            let lift = Exercise { load: LoadKind::Dumbbell, ..exercise("lift") };
            let work = loadable.round_down(Kilograms(work_kg));
            let curve = Curve::of(CurveFamily::Upper).with_person(person);
            let ramp = ramp(&lift, role, reps, rir, work, &loadable, curve, light);
            if let Some(work) = work {
                prop_assert_eq!(faults(&ramp, work, &loadable), []);
            }
            let shapes = warmup::steps(&lift, role, reps, light, work);
            let mut left = shapes.iter();
            for step in &ramp {
                prop_assert!(left.any(|shape| shape.reps >= step.reps), "{step:?} is longer than the shapes");
            }
        }
    }
}
