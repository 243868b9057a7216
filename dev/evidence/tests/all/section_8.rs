//! The warm-up: its shape, its loads and the discs to hang (common practice, no source (T)).

use setwright_gym::catalogue::builtin;
use setwright_gym::loads::Loadable;
use setwright_model::brief::Equipment;
use setwright_model::{Exercise, Kilograms, RampStep, Reps};
use setwright_science::clock;
use setwright_science::curve::{self, Curve};
use setwright_science::ramp::{faults, ramp};
use setwright_science::warmup::{WarmUpRole, roles};

/// Sets of eight with one in reserve.
const REPS: f64 = 8.0;
const RIR: u32 = 1;
const WORK: Kilograms = Kilograms(80.0);
/// Reps of heavy sets.
const FEW: f64 = 5.0;

fn lift(id: &str) -> Exercise {
    builtin().get(&id.into()).cloned().unwrap()
}

fn ramp_of(
    lift: &Exercise,
    role: WarmUpRole,
    reps: f64,
    work: Kilograms,
    loadable: &Loadable,
) -> Vec<RampStep> {
    ramp(lift, role, reps, RIR, Some(work), loadable, Curve::of(lift.curve), false)
}

#[test]
fn the_first_press_goes_up_by_twelve_eight_and_four_near_the_30_20_and_10_rm() {
    let bench = lift("bench_press");
    let bar = Loadable::of(&Equipment::default(), &bench).unwrap();
    let steps = ramp_of(&bench, WarmUpRole::SessionLead, REPS, WORK, &bar);
    assert_eq!(steps.iter().map(|s| s.reps).collect::<Vec<_>>(), [12, 8, 4]);
    assert_eq!(faults(&steps, WORK, &bar), []);

    let curve = Curve::of(bench.curve);
    let max = curve::one_rm(WORK, Reps(REPS), Reps(f64::from(RIR)), curve);
    for (step, rm) in steps.iter().zip([30.0, 20.0, 10.0]) {
        let load = step.load_kg.unwrap();
        let wanted = curve::load_for(max, Reps(rm), Reps::ZERO, curve);
        println!("{} reps with {load}: the {rm}RM is {:.1} kg", step.reps, wanted.get());
        // One step of the bar below at most, but for the last, which stops at nine tenths of the work load.
        assert!(
            load <= wanted && wanted.get().min(0.9 * WORK.get()) - load.get() < 2.5,
            "{rm}RM: {load} and {wanted}"
        );
    }
}

#[test]
fn before_few_heavy_reps_the_steps_are_lighter_shorter_and_of_twenty_reps_at_most() {
    let squat = lift("back_squat");
    let bar = Loadable::of(&Equipment::default(), &squat).unwrap();
    for work in [60.0, 120.0, 200.0].map(Kilograms) {
        let steps = ramp_of(&squat, WarmUpRole::SessionLead, FEW, work, &bar);
        assert_eq!(faults(&steps, work, &bar), []);
        assert!(steps.iter().map(|s| s.reps).sum::<u32>() <= 20, "{steps:?}");
        assert!(steps.windows(2).all(|w| w[0].reps > w[1].reps), "{steps:?}");
        let first = steps.first().and_then(|s| s.load_kg).unwrap();
        assert!(first.get() <= 0.5 * work.get(), "{first} before {work}");
    }
}

#[test]
fn the_discs_of_the_ramp_are_named_and_come_off_in_reverse_order() {
    let bench = lift("bench_press");
    let bar = Loadable::of(&Equipment::default(), &bench).unwrap();
    let mut loads: Vec<Kilograms> =
        ramp_of(&bench, WarmUpRole::SessionLead, REPS, WORK, &bar).iter().filter_map(|s| s.load_kg).collect();
    loads.push(WORK);
    let plan = bar.ramp_discs(&loads).unwrap();
    assert_eq!(plan.len(), 4);
    let mut side: Vec<setwright_gym::discs::Plate> = Vec::new();
    for step in &plan {
        println!("{}: off {:?}, on {:?}", step.load, step.off, step.on);
        for disc in &step.off {
            assert_eq!(side.pop(), Some(*disc));
        }
        side.extend(&step.on);
        let hung: Kilograms = side.iter().map(|plate| plate.mass).sum();
        assert_eq!(Kilograms(20.0) + hung * 2.0, step.load);
    }
    // Hanging each load afresh, heaviest first, moves more.
    let moved: usize = plan.iter().map(setwright_gym::discs::DiscStep::moved).sum();
    let afresh: usize = loads.iter().filter_map(|l| bar.discs_for(*l)).map(|d| 2 * d.len()).sum();
    assert!(moved < afresh, "{moved} and {afresh}");
}

#[test]
fn a_second_press_gets_nothing_or_one_easy_five() {
    let (bench, incline) = (lift("bench_press"), lift("incline_bench_press"));
    let bar = Loadable::of(&Equipment::default(), &incline).unwrap();
    let roles = roles(&[&bench, &incline]);
    assert_eq!(roles, [WarmUpRole::SessionLead, WarmUpRole::Follower]);
    let heavy = ramp_of(&incline, WarmUpRole::Follower, FEW, Kilograms(80.0), &bar);
    assert_eq!(heavy.iter().map(|s| s.reps).collect::<Vec<_>>(), [5]);
    assert_eq!(faults(&heavy, Kilograms(80.0), &bar), []);
    // Sets of ten: five easy reps for a big load, nothing for a small one.
    let big = ramp_of(&incline, WarmUpRole::Follower, 10.0, Kilograms(70.0), &bar);
    assert_eq!(big.iter().map(|s| s.reps).collect::<Vec<_>>(), [5]);
    assert_eq!(ramp_of(&incline, WarmUpRole::Follower, 10.0, Kilograms(35.0), &bar), []);
}

#[test]
fn the_first_lift_of_another_muscle_gets_one_or_two_steps() {
    let (bench, pull) = (lift("bench_press"), lift("lat_pulldown"));
    let stack = Loadable::of(&Equipment::default(), &pull).unwrap();
    assert_eq!(roles(&[&bench, &pull]), [WarmUpRole::SessionLead, WarmUpRole::FamilyLead]);
    let steps = ramp_of(&pull, WarmUpRole::FamilyLead, REPS, Kilograms(70.0), &stack);
    assert!((1..=2).contains(&steps.len()), "{steps:?}");
    assert_eq!(faults(&steps, Kilograms(70.0), &stack), []);
}

#[test]
fn the_pause_is_one_to_two_minutes_and_a_cold_start_takes_five() {
    assert!((60.0..=120.0).contains(&clock::RAMP_REST_STRAIGHT_S));
    assert!((clock::COLD_START_S - 300.0).abs() < 1e-9);
}
