//! What is possible, by client.

use super::*;
use crate::strength;
use proptest::prelude::*;
use setwright_gym::catalogue::builtin;
use setwright_model::brief::{Lift, Sex, Test, Tick, TrainingAge};
use setwright_model::exercise::Measure;

fn brief(sex: Option<Sex>, age: u32, mass_kg: f64, training: TrainingAge) -> Brief {
    let text = "name = \"a client\"\ngoal = \"general\"\ntraining_age = \"beginner\"\n[time]\nsessions = 2\nminutes = 60";
    let mut brief: Brief = toml::from_str(text).unwrap();
    brief.body.sex = sex;
    brief.body.age = Some(age);
    brief.body.mass_kg = Some(Kilograms(mass_kg));
    brief.training_age = training;
    brief
}

fn told(mut brief: Brief, exercise: &str, load_kg: f64, reps: u32) -> Brief {
    brief.lifts.push(Lift { exercise: exercise.into(), load_kg: Kilograms(load_kg), reps, rir: 0 });
    brief
}

fn tested(mut brief: Brief, what: TestKind, count: u32) -> Brief {
    brief.tests.push(Test { what, count });
    brief
}

fn get(id: &str) -> &'static Exercise {
    builtin().get(&id.into()).unwrap()
}

fn reach(brief: &Brief, id: &str) -> Possible {
    possible(get(id), brief, &strength::belief(brief, builtin())).unwrap()
}

fn chance_of(brief: &Brief, id: &str, reps: u32) -> f64 {
    chance(get(id), brief, &strength::belief(brief, builtin()), reps, 0).unwrap().get()
}

fn man(age: u32, training: TrainingAge) -> Brief {
    brief(Some(Sex::Male), age, 80.0, training)
}

fn woman(age: u32, training: TrainingAge) -> Brief {
    brief(Some(Sex::Female), age, 64.0, training)
}

#[test]
fn nothing_is_said_without_a_body_mass_and_without_a_lift() {
    let mut nobody = woman(30, TrainingAge::Beginner);
    nobody.body.mass_kg = None;
    let belief = strength::belief(&nobody, builtin());
    assert_eq!(possible(get("press_up"), &nobody, &belief), None);
    assert_eq!(possible(get("bench_press"), &nobody, &belief), None);
    let shown = told(nobody, "bench_press", 50.0, 8);
    let belief = strength::belief(&shown, builtin());
    assert!(possible(get("bench_press"), &shown, &belief).is_some());
    assert_eq!(possible(get("press_up"), &shown, &belief), None);
}

#[test]
fn holds_and_trunk_and_bands_without_the_body_are_not_known() {
    let man = man(30, TrainingAge::Beginner);
    let belief = strength::belief(&man, builtin());
    for id in ["crunch", "dead_hang", "farmer_carry", "band_row", "side_plank"] {
        assert_eq!(possible(get(id), &man, &belief), None, "{id}");
    }
}

#[test]
fn a_beginner_of_seventy_two_is_not_given_dips_and_pull_ups_and_an_advanced_man_is() {
    let old = woman(72, TrainingAge::Beginner);
    for id in ["dip", "pull_up", "press_up", "band_assisted_pull_up", "inverted_row", "single_leg_squat"] {
        assert_eq!(Offer::of(Share(chance_of(&old, id, 5))), Offer::No, "{id}");
    }
    for id in ["wall_press_up", "chair_squat", "lat_pulldown", "seated_leg_press"] {
        assert_eq!(Offer::of(Share(chance_of(&old, id, 10))), Offer::Usual, "{id}");
    }
    let strong = man(30, TrainingAge::Advanced);
    for id in ["dip", "pull_up", "press_up", "inverted_row"] {
        assert_eq!(Offer::of(Share(chance_of(&strong, id, 6))), Offer::Usual, "{id}");
    }
}

#[test]
fn between_the_two_chances_an_easier_step_comes_first() {
    assert_eq!(Offer::of(Share(CHANCE_LEAST)), Offer::EasierFirst);
    assert_eq!(Offer::of(Share(CHANCE_LEAST - 1e-9)), Offer::No);
    assert_eq!(Offer::of(Share(CHANCE_USUAL)), Offer::Usual);
    assert_eq!(Offer::of(Share(CHANCE_USUAL - 1e-9)), Offer::EasierFirst);
}

#[test]
fn what_was_lifted_stands_before_every_norm() {
    let weak = told(man(25, TrainingAge::Advanced), "pull_up", 0.0, 3);
    let reps = reach(&weak, "pull_up").lightest.reps().get();
    assert!((2.5..3.6).contains(&reps), "{reps}");
    assert!(chance_of(&weak, "pull_up", 6) < CHANCE_LEAST);
}

#[test]
fn a_test_replaces_the_norm_for_its_movement_and_pulls_its_neighbours() {
    let plain = woman(41, TrainingAge::Beginner);
    for count in [2, 10, 25] {
        let shown = tested(plain.clone(), TestKind::PressUps, count);
        let reps = reach(&shown, "press_up").lightest.reps().get();
        assert!((reps - f64::from(count)).abs() < 0.1 * f64::from(count) + 1.5, "{count}: {reps}");
    }
    let strong = tested(plain.clone(), TestKind::PressUps, 25);
    assert!(chance_of(&strong, "inverted_row", 5) > chance_of(&plain, "inverted_row", 5) + 0.1);
    let knees = tested(plain.clone(), TestKind::KneePressUps, 12);
    assert!((reach(&knees, "knee_press_up").lightest.reps().get() - 12.0).abs() < 2.5);
    assert!(reach(&knees, "press_up").lightest.reps().get() < 5.0);
    let pulls = tested(plain, TestKind::PullUps, 4);
    assert!((reach(&pulls, "chin_up").lightest.reps().get() - 4.0).abs() < 1.5);
}

#[test]
fn not_one_press_up_makes_nobody_stronger() {
    let weak = woman(60, TrainingAge::FirstWeeks);
    let none = tested(weak.clone(), TestKind::PressUps, 0);
    assert_eq!(reach(&none, "knee_press_up"), reach(&weak, "knee_press_up"));
    let man = man(25, TrainingAge::Beginner);
    let none = tested(man.clone(), TestKind::PressUps, 0);
    assert!(chance_of(&none, "press_up", 8) < 0.1 && chance_of(&man, "press_up", 8) > 0.6);
}

#[test]
fn a_tick_says_as_much_as_one_repetition_and_a_count_more() {
    let plain = woman(41, TrainingAge::FirstWeeks);
    let with =
        |can: &[Tick], cannot: &[Tick]| Brief { can: can.to_vec(), cannot: cannot.to_vec(), ..plain.clone() };
    let once = |brief: &Brief| chance_of(brief, "press_up", 1);
    assert!(once(&with(&[Tick::FullPressUp], &[])) > once(&plain) + 0.1);
    let man = man(30, TrainingAge::Beginner);
    assert!(once(&Brief { cannot: vec![Tick::FullPressUp], ..man.clone() }) < 0.5 * once(&man));
    let counted = tested(with(&[Tick::FullPressUp], &[]), TestKind::PressUps, 9);
    let alone = tested(plain.clone(), TestKind::PressUps, 9);
    assert!((once(&counted) - once(&alone)).abs() < 1e-12);
}

#[test]
fn rises_from_a_chair_tell_of_the_legs() {
    let old = woman(72, TrainingAge::Beginner);
    let (few, many) =
        (tested(old.clone(), TestKind::ChairRises, 5), tested(old.clone(), TestKind::ChairRises, 20));
    let reps = |brief: &Brief| reach(brief, "split_squat").lightest.reps().get();
    assert!(reps(&few) + 1.0 < reps(&old) && reps(&old) + 1.0 < reps(&many));
}

#[test]
fn a_plank_that_was_held_is_what_can_be_held() {
    let held = tested(man(30, TrainingAge::Beginner), TestKind::Plank, 45);
    let seconds = reach(&held, "plank").lightest.reps().get();
    assert!((seconds - 45.0).abs() < 1.0, "{seconds}");
    assert_eq!(get("plank").measure, Measure::Seconds);
}

#[test]
fn without_the_sex_both_are_reckoned_with_until_a_lift_tells() {
    let of = |sex| brief(sex, 30, 72.0, TrainingAge::Intermediate);
    let chance = |brief: &Brief| chance_of(brief, "pull_up", 3);
    let (woman, man, unknown) = (of(Some(Sex::Female)), of(Some(Sex::Male)), of(None));
    assert!(chance(&woman) + 0.05 < chance(&unknown) && chance(&unknown) + 0.05 < chance(&man));
    let benched = told(unknown, "bench_press", 110.0, 3);
    assert!(chance(&benched) > 0.8 * chance(&told(man, "bench_press", 110.0, 3)));
}

#[test]
fn a_machine_or_a_single_joint_says_little_of_the_legs() {
    let plain = woman(28, TrainingAge::Beginner);
    let side = told(plain.clone(), "machine_hip_abduction", 60.0, 12);
    assert_eq!(reach(&side, "split_squat"), reach(&plain, "split_squat"));
}

#[test]
fn a_toy_is_too_light_for_the_strong_and_a_bar_is_not() {
    let strong = told(man(34, TrainingAge::Advanced), "back_squat", 200.0, 5);
    let belief = strength::belief(&strong, builtin());
    assert!(too_light(get("bodyweight_squat"), &strong, &belief, 20, 1));
    assert!(too_light(get("glute_bridge"), &strong, &belief, 20, 1));
    assert!(!too_light(get("back_squat"), &strong, &belief, 10, 1));
    assert!(!too_light(get("nordic_curl"), &strong, &belief, 8, 1));
}

#[test]
fn the_body_alone_needs_a_belt_or_help_by_client() {
    let needs = |brief: &Brief| {
        let belief = strength::belief(brief, builtin());
        Capability::of(brief, &belief).body_alone(get("pull_up"), [5, 8], 1)
    };
    let strong = told(man(30, TrainingAge::Advanced), "pull_up", 40.0, 6);
    assert_eq!(needs(&strong), Some(BodyAlone::NeedsLoad));
    assert_eq!(needs(&told(man(30, TrainingAge::Advanced), "pull_up", 0.0, 9)), Some(BodyAlone::Enough));
    assert_eq!(needs(&woman(30, TrainingAge::Beginner)), Some(BodyAlone::NeedsHelp));
    let belief = strength::belief(&strong, builtin());
    assert!(needs_load(get("pull_up"), &strong, &belief, [5, 8], 1));
    assert!(!needs_help(get("pull_up"), &strong, &belief, [5, 8], 1));
    assert_eq!(Capability::of(&strong, &belief).body_alone(get("lat_pulldown"), [8, 12], 1), None);
}

fn anybody() -> impl Strategy<Value = Brief> {
    let sex = prop_oneof![Just(None), Just(Some(Sex::Female)), Just(Some(Sex::Male))];
    let training = prop_oneof![
        Just(TrainingAge::FirstWeeks),
        Just(TrainingAge::Beginner),
        Just(TrainingAge::Intermediate),
        Just(TrainingAge::Advanced)
    ];
    let lifts = prop::collection::vec((0_usize..5, 10.0..150.0_f64, 1_u32..15), 0..3);
    (sex, 16_u32..95, 40.0..150.0_f64, training, lifts).prop_map(|(sex, age, mass_kg, training, lifts)| {
        let known = ["bench_press", "back_squat", "pull_up", "leg_press", "dumbbell_row"];
        lifts
            .into_iter()
            .fold(brief(sex, age, mass_kg, training), |b, (i, kg, reps)| told(b, known[i], kg, reps))
    })
}

const MOVED: [&str; 8] = [
    "press_up",
    "pull_up",
    "dip",
    "inverted_row",
    "split_squat",
    "nordic_curl",
    "bench_press",
    "assisted_pull_up",
];

proptest! {
    #[test]
    fn the_chance_falls_with_the_reps_and_lies_between_none_and_one(brief in anybody(), i in 0..MOVED.len(), reps in 0.0..60.0_f64, more in 0.1..20.0_f64) {
        let reach = reach(&brief, MOVED[i]).lightest;
        let (few, many) = (reach.chance(reps).get(), reach.chance(reps + more).get());
        prop_assert!((0.0..=1.0).contains(&few) && many <= few + 1e-12, "{few} {many}");
    }

    #[test]
    fn the_heaviest_load_allows_no_more_reps_than_the_lightest(brief in anybody(), i in 0..MOVED.len(), reps in 1.0..30.0_f64) {
        let possible = reach(&brief, MOVED[i]);
        prop_assert!(possible.heaviest.chance(reps) <= possible.lightest.chance(reps));
    }

    #[test]
    fn a_heavier_body_does_fewer_press_ups(brief in anybody(), more in 1.0..40.0_f64, reps in 1.0..30.0_f64) {
        let heavier = {
            let mut heavier = brief.clone();
            heavier.body.mass_kg = brief.body.mass_kg.map(|m| m + Kilograms(more));
            heavier
        };
        // Sex known and nothing that a lift of the body would make of the mass.
        prop_assume!(brief.body.sex.is_some() && brief.lifts.iter().all(|l| l.exercise.as_str() != "pull_up"));
        let believed = |b: &Brief| strength::belief(b, builtin()).one_rm;
        prop_assume!(believed(&heavier) == believed(&brief));
        let chance = |b: &Brief| reach(b, "press_up").lightest.chance(reps).get();
        prop_assert!(chance(&heavier) <= chance(&brief) + 1e-9, "{} {}", chance(&heavier), chance(&brief));
    }

    #[test]
    fn the_reps_of_a_chance_have_that_chance(brief in anybody(), i in 0..MOVED.len(), chance in 0.05..0.95_f64) {
        let reach = reach(&brief, MOVED[i]).lightest;
        let reps = reach.reps_at(chance);
        if reps.get() > 0.01 && reps.get() < 99.0 {
            prop_assert!((reach.chance(reps.get()).get() - chance).abs() < 0.01);
        }
    }
}
