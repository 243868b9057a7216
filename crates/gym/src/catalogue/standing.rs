//! Tests: whether staples and specialities are spread so that every place has something ordinary to offer.

use super::{FILES, builtin};
use crate::room::Room;
use setwright_model::brief::{Equipment, Place};
use setwright_model::exercise::{Ask, Exercise, Standing};
use setwright_model::muscle::Muscle;
use setwright_model::pattern::Pattern as P;
use setwright_model::station::Station;

const MAIN: [P; 8] = [
    P::HorizontalPress,
    P::VerticalPress,
    P::HorizontalRow,
    P::VerticalPull,
    P::Squat,
    P::Lunge,
    P::Hinge,
    P::HipExtension,
];

fn at(place: Place) -> impl Iterator<Item = &'static Exercise> {
    let there = Room::of(&Equipment { place, ..Equipment::default() });
    builtin().iter().filter(move |e| there.can_do(e))
}

fn count(standing: Standing) -> usize {
    builtin().iter().filter(|e| e.standing == standing).count()
}

#[test]
fn every_main_pattern_has_a_staple_wherever_it_is_trained_with_weights() {
    for place in [Place::HomeDumbbells, Place::Garage, Place::FullGym] {
        for pattern in MAIN {
            let found = at(place).any(|e| e.pattern == pattern && e.standing == Standing::Staple);
            assert!(found, "{place:?}: no staple {}", pattern.name());
        }
    }
}

#[test]
fn a_bare_room_has_a_staple_for_what_needs_no_weight() {
    for pattern in [P::HorizontalPress, P::Squat, P::Lunge, P::HipExtension, P::TrunkFlexion, P::TrunkBrace] {
        let found = at(Place::Bare).any(|e| e.pattern == pattern && e.standing == Standing::Staple);
        assert!(found, "no staple {}", pattern.name());
    }
}

/// Patterns that no client needs, such as knee extension on a bare floor, may well be left to specialities.
#[test]
fn no_muscle_and_no_main_pattern_is_left_to_specialities() {
    for place in [Place::Bare, Place::HomeDumbbells, Place::Garage, Place::FullGym] {
        let check = |what: &str, trains: &dyn Fn(&Exercise) -> bool| {
            let all: Vec<_> = at(place).filter(|e| trains(e)).collect();
            let plain = all.iter().any(|e| e.standing != Standing::Special);
            assert!(plain || all.is_empty(), "{place:?}: only specialities for {what}");
        };
        for muscle in Muscle::ALL {
            check(muscle.name(), &|e| e.direct.contains(&muscle));
        }
        for pattern in MAIN {
            check(pattern.name(), &|e| e.pattern == pattern);
        }
    }
}

#[test]
fn every_pattern_has_a_staple_in_a_full_gym_and_few_have_many() {
    for pattern in P::ALL {
        let staples =
            builtin().iter().filter(|e| e.pattern == *pattern && e.standing == Standing::Staple).count();
        // Upright rows and dips take the shoulder to its extreme: no coach gives them first.
        let least = usize::from(!matches!(pattern, P::UprightRow | P::Dip));
        assert!((least..=6).contains(&staples), "{}: {staples} staples", pattern.name());
    }
}

#[test]
fn neither_staples_nor_specialities_are_most() {
    let [staples, special] = [Standing::Staple, Standing::Special].map(count);
    let share = |n: usize| n as f64 / builtin().len() as f64;
    assert!((0.15..=0.30).contains(&share(staples)), "{staples} staples");
    assert!((0.25..=0.45).contains(&share(special)), "{special} specialities");
    assert!(count(Standing::Usual) > staples);
}

#[test]
fn no_staple_takes_months_of_coaching() {
    for exercise in builtin().iter().filter(|e| e.standing == Standing::Staple) {
        assert!(exercise.skill < 3, "{} takes skill {}", exercise.id, exercise.skill);
    }
}

#[test]
fn lifts_of_the_platform_and_the_rings_are_never_staples() {
    for exercise in builtin().iter() {
        let odd = [Station::Platform, Station::Rings].iter().any(|s| exercise.stations.contains(s));
        assert!(!odd || exercise.standing != Standing::Staple, "{}", exercise.id);
    }
}

/// What an ordinary client is given first takes no balance, no bending of the back and no shoulder to its extreme where
/// the pattern can do without; so a staple that asks it stands here with its reason.
#[test]
fn a_staple_is_kind_to_joints_or_says_why_not() {
    const BUT: [(&str, &str); 13] = [
        ("bench_press", "the press that most clients ask for and know"),
        ("split_squat", "no lunge does without balance"),
        ("reverse_lunge", "no lunge does without balance"),
        ("dumbbell_split_squat", "no lunge does without balance"),
        ("dumbbell_reverse_lunge", "no lunge does without balance"),
        ("dumbbell_step_up", "no lunge does without balance"),
        ("crunch", "trunk flexion bends the back"),
        ("reverse_crunch", "trunk flexion bends the back"),
        ("support_knee_raise", "trunk flexion bends the back"),
        ("cable_crunch", "trunk flexion bends the back"),
        ("cable_chop", "trunk rotation turns the back"),
        ("dumbbell_side_bend", "side bends bend the back"),
        ("back_extension", "back extension bends the back"),
    ];
    let hard = [Ask::Balance, Ask::SpineBend, Ask::Twist, Ask::ShoulderExtreme];
    let found: Vec<&str> = builtin()
        .iter()
        .filter(|e| e.standing == Standing::Staple && e.asks.iter().any(|a| hard.contains(a)))
        .map(|e| e.id.as_str())
        .collect();
    let mut named: Vec<&str> = BUT.iter().map(|(id, _)| *id).collect();
    named.sort_unstable();
    assert_eq!(found, named);
}

/// A comment beside the line, so that whoever reads the file sees why a coach would not write it for everybody.
#[test]
fn every_special_exercise_says_why_it_is() {
    for text in FILES {
        for line in text.lines().filter(|line| line.starts_with("standing = \"special\"")) {
            let why = line.split_once('#').map_or("", |(_, why)| why.trim());
            assert!(why.len() > 10, "{line}");
        }
    }
}

/// Common practice, no source (T).
#[test]
fn well_known_exercises_stand_where_a_coach_would_put_them() {
    let check = |ids: &[&str], standing: Standing| {
        for id in ids {
            let exercise = builtin().get(&(*id).into()).unwrap_or_else(|| panic!("no exercise {id}"));
            assert_eq!(exercise.standing, standing, "{id}");
        }
    };
    check(&["back_squat", "bench_press", "lat_pulldown", "goblet_squat", "press_up"], Standing::Staple);
    check(&["seated_dumbbell_press", "dumbbell_row", "plank"], Standing::Staple);
    // A bench that can be tilted and two heavy bells: the one-armed row needs neither.
    check(
        &["chest_supported_row", "t_bar_row", "seated_barbell_press", "preacher_curl", "front_squat"],
        Standing::Usual,
    );
    check(
        &["standing_dumbbell_press", "two_dumbbell_row", "barbell_row", "dip", "deadlift"],
        Standing::Usual,
    );
    check(&["bicycle_crunch", "chin_up", "ab_wheel_rollout", "hack_squat"], Standing::Usual);
    check(&["power_snatch", "bent_over_calf_raise", "side_lying_floor_raise", "ring_dip"], Standing::Special);
    check(&["kettlebell_high_pull", "assisted_dip", "band_assisted_pull_up"], Standing::Special);
    check(&["turkish_get_up", "sled_drag", "deficit_deadlift", "weighted_press_up"], Standing::Special);
}
