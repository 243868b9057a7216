//! Tests: whether staples and specialities are spread so that every place has something ordinary to offer.

use super::builtin;
use crate::equipment::{can_do, stations};
use setwright_model::brief::{Equipment, Place};
use setwright_model::exercise::{Exercise, Standing};
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
    let there = stations(&Equipment { place, ..Equipment::default() });
    builtin().iter().filter(move |e| can_do(e, &there))
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
        // The upright row takes the shoulder to its extreme: no coach gives it first.
        let least = usize::from(*pattern != P::UprightRow);
        assert!((least..=6).contains(&staples), "{}: {staples} staples", pattern.name());
    }
}

#[test]
fn staples_and_specialities_are_both_the_smaller_part() {
    let [staples, special] = [Standing::Staple, Standing::Special].map(count);
    assert!((80..=140).contains(&staples), "{staples} staples");
    assert!((100..=170).contains(&special), "{special} specialities");
    assert!(count(Standing::Usual) > staples.max(special));
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
    check(&["t_bar_row", "seated_barbell_press", "preacher_curl", "front_squat"], Standing::Usual);
    check(&["power_snatch", "bent_over_calf_raise", "side_lying_floor_raise", "ring_dip"], Standing::Special);
    check(&["turkish_get_up", "sled_drag", "deficit_deadlift", "weighted_press_up"], Standing::Special);
}
