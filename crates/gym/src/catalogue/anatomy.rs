//! Holds the built-in catalogue to functional anatomy and to what a coach needs of it. Tests only.
//!
//! The table says which muscles the exercises of a pattern can train at all. It is anatomy as taught to coaches
//! (judgement), taken from anatomy and not from the data; it must not be widened to let an exercise pass.

use super::builtin;
use crate::room::Room;
use setwright_model::brief::{Equipment, Place};
use setwright_model::exercise::{Ask, Exercise};
use setwright_model::muscle::Muscle;
use setwright_model::muscle::Muscle::{
    Abs, Adductors, Biceps, Calves, Chest, Forearms, FrontDelts, Glutes, Hamstrings, Lats, LowerBack,
    Obliques, Quads, RearDelts, SideDelts, Traps, Triceps, UpperBack,
};
use setwright_model::pattern::{Pattern, Pattern as P, Side};
use setwright_model::station::Station;

/// What the exercises of a pattern train.
struct Rule {
    pattern: Pattern,
    /// One of these must get the whole set.
    must: &'static [Muscle],
    /// These may get the whole set besides.
    may: &'static [Muscle],
    /// These may help; all others must not appear.
    help: &'static [Muscle],
}

const fn rule(
    pattern: Pattern,
    must: &'static [Muscle],
    may: &'static [Muscle],
    help: &'static [Muscle],
) -> Rule {
    Rule { pattern, must, may, help }
}

const RULES: &[Rule] = &[
    rule(P::HorizontalPress, &[Chest, Triceps], &[], &[FrontDelts, Abs, Obliques]),
    rule(P::InclinePress, &[Chest, FrontDelts], &[], &[Triceps, Abs, Obliques]),
    rule(P::VerticalPress, &[FrontDelts], &[Triceps], &[SideDelts, Traps, Abs, Obliques]),
    rule(P::Dip, &[Chest, Triceps], &[], &[FrontDelts, Abs]),
    rule(P::ChestFly, &[Chest], &[], &[FrontDelts]),
    rule(P::LateralRaise, &[SideDelts], &[], &[FrontDelts, RearDelts, Traps]),
    rule(P::FrontRaise, &[FrontDelts], &[], &[SideDelts]),
    rule(P::ElbowExtension, &[Triceps], &[], &[Abs]),
    rule(
        P::HorizontalRow,
        &[UpperBack, Lats],
        &[RearDelts],
        &[Biceps, Forearms, LowerBack, Traps, Abs, Obliques],
    ),
    rule(P::VerticalPull, &[Lats], &[Biceps, Forearms], &[UpperBack, RearDelts, Abs]),
    rule(P::Pullover, &[Lats], &[], &[Chest, Triceps, Abs]),
    rule(P::RearFly, &[RearDelts], &[UpperBack], &[SideDelts, Traps, Biceps]),
    rule(P::UprightRow, &[SideDelts, Traps], &[], &[FrontDelts, Biceps, Forearms]),
    rule(P::Shrug, &[Traps], &[UpperBack], &[Forearms, FrontDelts, SideDelts]),
    // With the palm down the forearm ends the set, and the biceps helps.
    rule(P::ElbowFlexion, &[Biceps, Forearms], &[], &[]),
    rule(P::Wrist, &[Forearms], &[], &[]),
    rule(P::GripHold, &[Forearms], &[], &[Traps, Lats, SideDelts]),
    rule(
        P::Squat,
        &[Quads],
        &[Glutes, Adductors],
        &[Hamstrings, Calves, LowerBack, UpperBack, Traps, SideDelts, Abs, Forearms],
    ),
    rule(P::LegPress, &[Quads, Glutes], &[], &[Hamstrings, Adductors]),
    rule(P::Lunge, &[Quads, Glutes], &[Adductors], &[Hamstrings, LowerBack]),
    rule(P::KneeExtension, &[Quads], &[], &[]),
    rule(
        P::Hinge,
        &[Glutes, Hamstrings],
        &[LowerBack, Adductors, Quads],
        &[Traps, UpperBack, Lats, Forearms, Abs],
    ),
    rule(P::HipExtension, &[Glutes], &[], &[Hamstrings, Quads, Adductors, LowerBack]),
    rule(P::KneeFlexion, &[Hamstrings], &[], &[Calves, Glutes, LowerBack]),
    rule(P::BackExtension, &[LowerBack, Glutes], &[Hamstrings], &[UpperBack]),
    rule(P::HipAbduction, &[Glutes], &[], &[]),
    rule(P::HipAdduction, &[Adductors], &[], &[Obliques, Glutes]),
    rule(P::CalfRaise, &[Calves], &[], &[]),
    rule(P::HipFlexion, &[], &[], &[Quads, Abs]),
    rule(P::Shin, &[], &[], &[]),
    rule(P::Neck, &[], &[], &[Traps]),
    rule(P::ShoulderRotation, &[], &[], &[RearDelts]),
    rule(P::ShoulderBlade, &[], &[], &[Abs, Lats, Traps, RearDelts, SideDelts]),
    rule(P::Jump, &[], &[], &[Quads, Glutes, Calves, Hamstrings, Adductors, Traps]),
    rule(P::Throw, &[], &[], &Muscle::ALL),
    rule(P::TrunkFlexion, &[Abs], &[], &[Obliques]),
    rule(P::TrunkBrace, &[Abs, Obliques, LowerBack], &[], &[Glutes, Quads, Lats, Traps, Forearms]),
    rule(P::TrunkRotation, &[Obliques], &[Abs], &[FrontDelts, Glutes]),
    rule(P::SideBend, &[Obliques], &[], &[Abs, LowerBack, SideDelts, Glutes, Hamstrings]),
    rule(
        P::Carry,
        &[Forearms, Obliques, Abs, UpperBack, FrontDelts, Quads],
        &[Glutes],
        &[Traps, SideDelts, Biceps, Triceps, Calves, Adductors],
    ),
    // Whole-body lifts may train anything; how much they must reach has a test of its own.
    rule(P::WholeBody, &Muscle::ALL, &[], &[]),
];

/// Patterns that every programme draws on; each must have a way in for a beginner.
const MAIN: [Pattern; 11] = [
    P::HorizontalPress,
    P::InclinePress,
    P::VerticalPress,
    P::HorizontalRow,
    P::VerticalPull,
    P::Squat,
    P::Lunge,
    P::Hinge,
    P::HipExtension,
    P::TrunkFlexion,
    P::TrunkBrace,
];

fn all() -> impl Iterator<Item = &'static Exercise> {
    builtin().iter()
}

fn get(id: &str) -> &'static Exercise {
    builtin().get(&id.into()).unwrap_or_else(|| panic!("no exercise {id}"))
}

/// Exercises possible at home with a floor, a chair, a step, dumbbells and bands.
fn at_home() -> impl Iterator<Item = &'static Exercise> {
    let there = Room::of(&Equipment { place: Place::HomeDumbbells, ..Equipment::default() });
    assert!(!there.has(Station::PullUpBar) && !there.has(Station::Bench));
    all().filter(move |e| there.can_do(e))
}

#[test]
fn every_pattern_has_a_rule_and_exercises() {
    for pattern in Pattern::ALL {
        assert_eq!(RULES.iter().filter(|r| r.pattern == *pattern).count(), 1, "{}", pattern.name());
        let count = all().filter(|e| e.pattern == *pattern).count();
        assert!(count >= 5, "{}: only {count} exercises", pattern.name());
    }
}

#[test]
fn each_exercise_trains_what_its_pattern_can_and_nothing_else() {
    for rule in RULES {
        for exercise in all().filter(|e| e.pattern == rule.pattern) {
            let id = &exercise.id;
            let trained = exercise.direct.iter().any(|m| rule.must.contains(m));
            assert_eq!(trained, rule.pattern.has_dose(), "{id} trains none of its pattern");
            for muscle in &exercise.direct {
                assert!(rule.must.contains(muscle) || rule.may.contains(muscle), "{id}: {muscle} direct");
            }
            for (muscle, _) in exercise.contributions() {
                let allowed = [rule.must, rule.may, rule.help].concat();
                assert!(allowed.contains(&muscle), "{id}: {muscle}");
            }
        }
    }
}

#[test]
fn whole_body_lifts_reach_many_muscles_in_more_than_one_region() {
    for exercise in all().filter(|e| e.pattern == P::WholeBody) {
        let reached: Vec<Muscle> = exercise.contributions().map(|(m, _)| m).collect();
        let lower = reached.iter().any(|m| m.is_lower());
        let trunk = reached.iter().any(|m| m.is_trunk());
        let upper = reached.iter().any(|m| !m.is_lower() && !m.is_trunk());
        assert!(reached.len() >= 5, "{} reaches {}", exercise.id, reached.len());
        assert!(upper && (lower || trunk), "{} stays in one region", exercise.id);
    }
}

/// Common practice, no source (T).
#[test]
fn one_clean_squat_press_covers_about_four_fifths_of_the_body() {
    for id in ["clean_squat_press", "barbell_clean_squat_press"] {
        let share = get(id).contributions().count() as f64 / Muscle::COUNT as f64;
        assert!((0.75..=0.85).contains(&share), "{id} covers {share}");
    }
}

/// One direct, a half indirect: Pelland 2025, Sports Med, doi 10.1007/s40279-025-02344-w (A); the sum is
/// arithmetic (D): 4 bench press, 3 overhead press, 3 triceps extension.
#[test]
fn sets_are_counted_as_in_the_worked_example() {
    let sets = [("bench_press", 4.0), ("overhead_press", 3.0), ("cable_overhead_extension", 3.0)];
    let count = |muscle| -> f64 { sets.iter().map(|(id, n)| n * get(id).contribution(muscle)).sum() };
    for (muscle, expected) in [(Chest, 4.0), (Triceps, 6.5), (FrontDelts, 5.0)] {
        assert!((count(muscle) - expected).abs() < 1e-12, "{muscle}: {}", count(muscle));
    }
}

/// Functional anatomy as taught to coaches (judgement).
#[test]
fn well_known_lifts_are_counted_as_a_coach_would() {
    let check = |id: &str, muscle: Muscle, expected: f64| {
        let found = get(id).contribution(muscle);
        assert!((found - expected).abs() < 1e-12, "{id}: {muscle} {found}, not {expected}");
    };
    check("leg_extension", Quads, 1.0);
    check("leg_extension", Hamstrings, 0.0);
    check("leg_extension", Glutes, 0.0);
    check("lying_leg_curl", Hamstrings, 1.0);
    check("lying_leg_curl", Quads, 0.0);
    check("dumbbell_curl", Biceps, 1.0);
    check("dumbbell_curl", Triceps, 0.0);
    check("pull_up", Lats, 1.0);
    check("pull_up", Biceps, 0.5);
    check("barbell_row", UpperBack, 1.0);
    check("barbell_row", Chest, 0.0);
    check("back_squat", Quads, 1.0);
    check("back_squat", Hamstrings, 0.25);
    check("romanian_deadlift", Hamstrings, 1.0);
    check("romanian_deadlift", Quads, 0.0);
    check("dumbbell_lateral_raise", SideDelts, 1.0);
    check("dumbbell_lateral_raise", Chest, 0.0);
    check("close_grip_bench_press", Triceps, 1.0);
    check("hammer_curl", Forearms, 0.5);
    check("reverse_curl", Forearms, 1.0);
    check("reverse_curl", Biceps, 0.5);
    check("bicycle_crunch", Abs, 0.5);
    check("farmer_carry", Forearms, 1.0);
    check("farmer_carry", Traps, 0.5);
}

#[test]
fn every_muscle_can_be_trained_at_home_and_in_a_gym() {
    for muscle in Muscle::ALL {
        let trains = |e: &&Exercise| e.contribution(muscle) >= 0.5;
        let home = at_home().filter(trains).count();
        let gym = all().filter(trains).count();
        assert!(home >= 5, "{muscle}: {home} exercises at home");
        assert!(gym >= 10, "{muscle}: {gym} exercises in a gym");
    }
}

#[test]
fn every_muscle_can_be_chosen_for_at_home_and_in_a_gym() {
    for muscle in Muscle::ALL {
        let chosen = |e: &&Exercise| e.direct.contains(&muscle);
        assert!(at_home().filter(chosen).count() >= 2, "{muscle} at home");
        assert!(all().filter(chosen).count() >= 5, "{muscle} in a gym");
    }
}

#[test]
fn a_beginner_finds_a_way_into_each_main_pattern() {
    for pattern in MAIN {
        let simple = |e: &&Exercise| e.pattern == pattern && e.skill == 1;
        assert!(at_home().any(|e| simple(&e)), "{} at home", pattern.name());
        let in_gym = all().any(|e| simple(&e) && !at_home().any(|h| h.id == e.id));
        assert!(in_gym, "{} with what only a gym has", pattern.name());
    }
}

#[test]
fn limits_leave_something_to_train() {
    let cases: &[(Ask, &[Pattern])] = &[
        (Ask::Overhead, &[P::HorizontalPress, P::InclinePress, P::HorizontalRow, P::ElbowExtension]),
        (Ask::DeepKnee, &[P::Squat, P::Lunge, P::KneeExtension, P::Hinge]),
        (Ask::Hinge, &[P::HorizontalRow, P::HipExtension, P::KneeFlexion, P::BackExtension]),
        (Ask::LyingSupine, &[P::HorizontalPress, P::HipExtension, P::TrunkFlexion, P::ElbowExtension]),
        (Ask::LyingProne, &[P::HorizontalRow, P::KneeFlexion, P::BackExtension, P::RearFly]),
        (Ask::Impact, &[P::Hinge, P::WholeBody, P::Squat]),
        (Ask::WristSupport, &[P::HorizontalPress, P::TrunkBrace, P::Dip]),
        (Ask::Kneeling, &[P::VerticalPull, P::TrunkBrace, P::KneeFlexion]),
        (Ask::Grip, &[P::HorizontalRow, P::VerticalPull, P::Hinge, P::Carry, P::Shrug]),
        (Ask::Balance, &[P::Squat, P::LegPress, P::CalfRaise]),
        (Ask::SpineLoad, &[P::Squat, P::VerticalPress, P::LegPress, P::CalfRaise]),
        (Ask::ShoulderExtreme, &[P::ChestFly, P::HorizontalPress, P::InclinePress, P::Pullover, P::Dip]),
        (Ask::SpineBend, &[P::TrunkBrace, P::Hinge, P::BackExtension, P::Carry]),
        (Ask::Twist, &[P::TrunkFlexion, P::TrunkBrace, P::SideBend]),
        (Ask::AboveShoulder, &[P::HorizontalPress, P::HorizontalRow, P::RearFly, P::ElbowExtension]),
        (Ask::BreathHold, &[P::Squat, P::LegPress, P::Hinge, P::TrunkBrace, P::HorizontalRow]),
        (Ask::Floor, &[P::Squat, P::HorizontalPress, P::HipExtension, P::TrunkBrace, P::KneeFlexion]),
    ];
    assert_eq!(cases.len(), Ask::ALL.len());
    for (ask, patterns) in cases {
        assert!(all().any(|e| e.asks.contains(ask)), "nothing asks for {}", ask.id());
        for pattern in *patterns {
            let left = all().any(|e| e.pattern == *pattern && !e.asks.contains(ask));
            assert!(left, "without {} there is no {}", ask.id(), pattern.name());
        }
    }
}

#[test]
fn what_costs_the_joints_also_asks_for_it() {
    for exercise in all() {
        let (id, asks) = (&exercise.id, &exercise.asks);
        if exercise.pattern == P::VerticalPress || exercise.pattern == P::VerticalPull {
            assert!(asks.contains(&Ask::Overhead), "{id}");
        }
        if exercise.is_grip_heavy() {
            assert!(asks.contains(&Ask::Grip), "{id} is hard on the grip");
        }
        if exercise.is_spinal() {
            assert!(asks.contains(&Ask::SpineLoad) || asks.contains(&Ask::Hinge), "{id} loads the spine");
        }
        if exercise.is_taxing() {
            assert!(exercise.pattern.is_compound(), "{id} is taxing");
        }
        if exercise.pattern == P::Hinge {
            assert!(asks.contains(&Ask::Hinge), "{id}");
        }
    }
}

#[test]
fn costs_are_those_of_well_known_lifts() {
    let check = |id: &str, costs: [u8; 4]| {
        let e = get(id);
        assert_eq!([e.systemic, e.spinal, e.grip, e.skill], costs, "{id}: systemic, spinal, grip, skill");
    };
    check("back_squat", [3, 2, 0, 2]);
    check("deadlift", [3, 3, 2, 2]);
    check("romanian_deadlift", [2, 2, 2, 2]);
    check("bench_press", [2, 0, 0, 2]);
    check("barbell_row", [2, 2, 2, 2]);
    check("pull_up", [2, 0, 2, 2]);
    check("lat_pulldown", [1, 0, 1, 1]);
    check("leg_press", [2, 0, 0, 1]);
    check("goblet_squat", [1, 1, 1, 1]);
    check("leg_extension", [0, 0, 0, 1]);
    check("dumbbell_curl", [0, 0, 1, 1]);
    check("power_clean", [3, 2, 2, 3]);
}

/// Neither more than twice the other (judgement).
#[test]
fn both_sides_of_each_balance_have_as_much_to_offer() {
    let count = |side: Side| all().filter(|e| e.pattern.side() == side).count() as f64;
    for (a, b) in [(Side::Push, Side::Pull), (Side::Knee, Side::Hip)] {
        let ratio = count(a) / count(b);
        assert!((0.5..=2.0).contains(&ratio), "{a:?} to {b:?}: {ratio}");
    }
}
