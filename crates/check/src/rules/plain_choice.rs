//! Plain before odd (SW117): a special exercise, a small one for a newer or older client, or one off a chair where a bench
//! stands, needs a reason. Reasons
//! are that the client told of it, that the coach fixed it, that its muscle has a priority, that it is a variant of a
//! strength client's main lift, or that nothing plainer can be done.

use crate::rules::ability::is_light;
use crate::scene::{At, Findings, Scene};
use crate::words::list;
use setwright_model::brief::Goal;
use setwright_model::exercise::{LoadKind, Standing};
use setwright_model::pattern::Region;
use setwright_model::station::Station;
use setwright_model::{Exercise, Pattern, Severity};
use setwright_science::conditions::told;
use setwright_science::prescribe::scheme;
use std::collections::{BTreeMap, BTreeSet};

/// Share of the sets above which odd choices are what the programme is made of (judgement).
const MOSTLY: f64 = 0.4;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    if scene.brief.is_none() {
        return;
    }
    let mut odd: BTreeMap<&str, u32> = BTreeMap::new();
    let mut all = 0;
    for (_, item) in scene.items() {
        all += item.sets();
        if !has_reason(scene, item.exercise) {
            *odd.entry(item.exercise.name.as_str()).or_default() += item.sets();
        }
    }
    let sets: u32 = odd.values().sum();
    if sets > 0 {
        let mostly = f64::from(sets) > MOSTLY * f64::from(all);
        let severity = if mostly { Severity::Error } else { Severity::Warning };
        let names: Vec<String> = odd.keys().map(|n| (*n).to_owned()).collect();
        let cause = format!("Unusual choices for this client, and no reason in the brief: {}.", list(&names));
        let hint = "Choose the plainer exercise of the same kind, or lock it if it is meant.";
        out.add(At::Programme, severity, "SW117", cause, hint).by(f64::from(sets));
    }
    plainer_at_hand(scene, out);
}

/// What a coach would say in passing: weights stand there and a band or a table takes their place, or the first weeks have what can
/// wait. One note for the programme.
fn plainer_at_hand(scene: &Scene<'_>, out: &mut Findings) {
    let wanted = |e: &Exercise| e.prime().is_some_and(|m| scene.is_priority(m)) || scene.is_own(&e.id);
    let found = scene.items().map(|(_, i)| i.exercise).filter(|e| !wanted(e));
    let found = found.filter(|e| is_instead_of_a_weight(scene, e) || can_wait(scene, e));
    let names: BTreeSet<&str> = found.map(|e| e.name.as_str()).collect();
    if !names.is_empty() {
        let names: Vec<String> = names.into_iter().map(str::to_owned).collect();
        let cause = format!("Something plainer is at hand: {}.", list(&names));
        let hint = "Take the weight or the machine that stands there, or what trains more at once.";
        out.add(At::Programme, Severity::Note, "SW117", cause, hint);
    }
}

/// A lift with a band, or a row from a table or in a doorway, where a weight, a stack or rings would do the same movement.
fn is_instead_of_a_weight(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    let row = exercise.pattern == Pattern::HorizontalRow;
    let makeshift = |s: &Station| matches!(s, Station::Chair | Station::Floor);
    let hung = row && exercise.load == LoadKind::Body && exercise.stations.iter().all(makeshift);
    let banded = exercise.load == LoadKind::Band && exercise.pattern.is_compound();
    let weighed = |e: &Exercise| {
        let rings = row && e.stations.contains(&Station::Rings);
        // The whole body is no plain weight to who pulls a band.
        let body = matches!(e.load, LoadKind::Body | LoadKind::BodyPlus | LoadKind::Assisted);
        rings || !(body || e.load == LoadKind::Band)
    };
    let other = |e: &Exercise| {
        let plain = e.standing != Standing::Special && e.pattern == exercise.pattern && weighed(e);
        plain && scene.is_allowed(e) && scene.is_within_reach(e) && !is_far_too_light(scene, e)
    };
    (hung || banded) && scene.catalogue.iter().any(other)
}

/// In the first weeks: one joint of the upper body, and lunges where there is a leg press.
fn can_wait(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    let small = !exercise.pattern.is_compound() && exercise.pattern.region() == Region::Upper;
    let press = |e: &Exercise| e.pattern == Pattern::LegPress && scene.is_allowed(e);
    let lunge = exercise.pattern == Pattern::Lunge && scene.catalogue.iter().any(press);
    scene.is_first_weeks() && exercise.pattern.has_dose() && (small || lunge)
}

fn has_reason(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    let special = exercise.standing == Standing::Special && has_plainer(scene, exercise);
    let odd = special
        || is_small_for(scene, exercise)
        || is_off_a_chair(scene, exercise)
        || is_a_bell_for_who_knows_a_bar(scene, exercise);
    !odd || scene.is_own(&exercise.id)
        || exercise.prime().is_some_and(|m| scene.is_priority(m))
        || is_variant_of_a_main(scene, exercise)
}

/// A deadlift with bells for somebody who squats or pulls with a bar, where a usual hinge with a bar could be done: bells are
/// for homes, and for those who cannot yet. The Romanian deadlift with dumbbells is a lift of its own.
fn is_a_bell_for_who_knows_a_bar(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    use LoadKind::{Dumbbell, DumbbellPair, Kettlebell, KettlebellPair};
    let bells = matches!(exercise.load, Dumbbell | DumbbellPair | Kettlebell | KettlebellPair);
    let pair = matches!(exercise.load, DumbbellPair | KettlebellPair);
    let romanian = pair && exercise.standing == Standing::Staple;
    if exercise.pattern != Pattern::Hinge || !bells || exercise.unilateral || romanian {
        return false;
    }
    let legs = |e: &Exercise| matches!(e.pattern, Pattern::Squat | Pattern::Hinge) && e.load == LoadKind::Bar;
    let barred = |e: &Exercise| e.pattern == Pattern::Hinge && e.load == LoadKind::Bar;
    let usual = |e: &Exercise| barred(e) && e.standing != Standing::Special && scene.is_allowed(e);
    scene.catalogue.iter().any(|e| legs(e) && scene.brief.is_some_and(|b| told(b, &e.id)))
        && scene.catalogue.iter().any(usual)
}

/// A press or a row off a chair where a bench stands and something for the movement can be done on it or without either; the body
/// hung under a table has no bench to take its place.
fn is_off_a_chair(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    let other = |e: &Exercise| {
        let same = e.pattern == exercise.pattern && !e.stations.contains(&Station::Chair);
        same && scene.is_allowed(e) && scene.is_within_reach(e) && !is_far_too_light(scene, e)
    };
    let bench = scene.client.there.as_ref().is_some_and(|there| there.has(Station::Bench));
    let hung = exercise.load == LoadKind::Body && exercise.pattern == Pattern::HorizontalRow;
    let upper = exercise.pattern.region() == Region::Upper;
    bench
        && !hung
        && exercise.stations.contains(&Station::Chair)
        && upper
        && scene.catalogue.iter().any(other)
}

/// Small exercises that are not for somebody new or older: they take time from what does more.
fn is_small_for(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    use Pattern::{ChestFly, FrontRaise, GripHold, Pullover, Shrug, SideBend, Wrist};
    let small =
        matches!(exercise.pattern, FrontRaise | Shrug | Wrist | GripHold | SideBend | ChestFly | Pullover);
    small && (scene.is_new() || scene.is_older())
}

/// Paused, boxed, low-bar and the like: what a strength client's main lift is built with.
fn is_variant_of_a_main(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    let like = |e: &Exercise| e.pattern == exercise.pattern && scene.is_main(e);
    let trained = !scene.is_new() && scene.brief.is_some_and(|b| b.goal == Goal::Strength);
    trained && exercise.load == LoadKind::Bar && scene.catalogue.iter().any(like)
}

/// Whether a plainer exercise of its pattern could be done for it.
fn has_plainer(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    // The gentle form of what the client is spared has its reason.
    let spared = |e: &Exercise| {
        exercise.harder.contains(&e.id) && e.stations == exercise.stations && !scene.is_allowed(e)
    };
    if scene.catalogue.iter().any(spared) {
        return false;
    }
    let plainer = |e: &Exercise| {
        e.id != exercise.id
            && e.pattern == exercise.pattern
            && e.standing != Standing::Special
            && scene.is_allowed(e)
            && scene.is_within_reach(e)
            && !is_far_too_light(scene, e)
    };
    scene.catalogue.iter().any(plainer)
}

/// Whether an exercise is far too light for the client in its usual reps.
fn is_far_too_light(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    scene.brief.is_some_and(|b| {
        let usual = scheme(exercise, b.goal, b.training_age);
        is_light(scene, exercise, usual.reps[1], usual.rir)
    })
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, ERROR, NONE, NOTE, WARNING, curl, exercise, press, row, sets, squat, straight, with,
    };
    use setwright_gym::catalogue::builtin;
    use setwright_model::brief::{Goal, Place, Priority, TrainingAge};
    use setwright_model::exercise::{LoadKind, Standing};
    use setwright_model::station::Station;
    use setwright_model::{Exercise, Muscle, Pattern};

    fn special(exercise: Exercise) -> Exercise {
        with(exercise, |e| e.standing = Standing::Special)
    }

    /// A special curl of so many sets beside nine sets of presses, rows and squats; a plain curl is there too.
    fn case(odd: u32) -> Case {
        let drag = special(exercise("drag_curl", Pattern::ElbowFlexion, &[Muscle::Biceps], &[]));
        let blocks = ["press", "row", "squat"].map(|id| straight(sets(id, 3)));
        let blocks = blocks.into_iter().chain([straight(sets("drag_curl", odd))]);
        Case::new([press(), row(), squat(), curl(), drag]).day(1, blocks)
    }

    #[test]
    fn a_special_exercise_needs_a_reason() {
        assert_eq!(case(3).said("SW117"), WARNING);
        assert_eq!(case(6).said("SW117"), WARNING, "6 of 15 sets are 0.4");
        assert_eq!(case(7).said("SW117"), ERROR);
        let mut plain = case(7);
        plain.exercises[4].standing = Standing::Usual;
        assert_eq!(plain.said("SW117"), NONE);
    }

    #[test]
    fn what_is_told_fixed_or_wanted_is_a_reason() {
        assert_eq!(case(3).told("drag_curl", 20.0, 10).said("SW117"), NONE);
        assert_eq!(case(3).lock("drag_curl", |_| {}).said("SW117"), NONE);
        assert_eq!(case(3).wish(Muscle::Biceps, |w| w.priority = Some(Priority::High)).said("SW117"), NONE);
    }

    #[test]
    fn where_nothing_plainer_is_there_the_special_one_stands() {
        let case = case(3).brief(|b| b.exclude.exercises = vec!["curl".into()]);
        assert_eq!(case.said("SW117"), NONE);
    }

    #[test]
    fn variants_of_a_main_lift_are_for_a_strength_client_who_told_it() {
        let bar = |e: Exercise| with(e, |e| e.load = LoadKind::Bar);
        let paused = special(bar(exercise("paused", Pattern::Squat, &[Muscle::Quads], &[])));
        let case = Case::new([bar(squat()), paused]).day(1, [straight(sets("paused", 3))]);
        let strong = case.clone().brief(|b| b.goal = Goal::Strength).told("squat", 100.0, 5);
        assert_eq!(strong.said("SW117"), NONE);
        assert_eq!(case.told("squat", 100.0, 5).said("SW117").0, 1, "not for size");
    }

    #[test]
    fn small_exercises_are_not_for_the_new_and_the_older() {
        let raise = exercise("front", Pattern::FrontRaise, &[Muscle::FrontDelts], &[]);
        let case =
            Case::new([press(), raise]).day(1, [straight(sets("press", 3)), straight(sets("front", 2))]);
        assert_eq!(case.said("SW117"), NONE);
        let new = case.clone().brief(|b| b.training_age = TrainingAge::Beginner);
        assert_eq!(new.said("SW117"), WARNING);
        assert_eq!(case.brief(|b| b.body.age = Some(70)).said("SW117"), WARNING);
    }

    #[test]
    fn who_squats_with_a_bar_is_given_no_deadlift_with_a_bell() {
        let hinge = |id: &str, load| {
            let legs = exercise(id, Pattern::Hinge, &[Muscle::Hamstrings], &[]);
            with(legs, |e| e.load = load)
        };
        let bar = with(squat(), |e| e.load = LoadKind::Bar);
        let all = [bar, press(), hinge("bell", LoadKind::Kettlebell), hinge("romanian", LoadKind::Bar)];
        let case = Case::new(all).day(1, ["squat", "press", "bell"].map(|id| straight(sets(id, 3))));
        assert_eq!(case.said("SW117"), NONE, "nothing told shows a bar");
        assert_eq!(case.clone().told("squat", 80.0, 5).said("SW117"), WARNING);
        let without = case.told("squat", 80.0, 5).brief(|b| b.exclude.exercises = vec!["romanian".into()]);
        assert_eq!(without.said("SW117"), NONE, "the bar may not be lifted so");
    }

    #[test]
    fn a_press_off_a_chair_is_for_homes() {
        let off_a_chair = with(press(), |e| e.stations = vec![Station::Chair]);
        let on_a_bench = with(press(), |e| (e.id, e.stations) = ("bench".into(), vec![Station::Bench]));
        let at = |place, without: &[&str]| {
            let all = [off_a_chair.clone(), on_a_bench.clone()];
            let case = Case::new(all).day(1, [straight(sets("press", 3))]);
            let without = without.iter().map(|id| (*id).into()).collect();
            case.brief(|b| (b.equipment.place, b.exclude.exercises) = (place, without)).said("SW117")
        };
        assert_eq!(at(Place::Bare, &[]), NONE);
        assert_eq!(at(Place::FullGym, &[]), ERROR, "and nothing else is done there");
        assert_eq!(at(Place::FullGym, &["bench"]), NONE, "nothing plainer can be done");
    }

    #[test]
    fn a_band_or_a_table_where_weights_stand_is_pointed_out() {
        let said = |id: &str, place, also: &[Station]| {
            let case = Case::new(builtin().iter().cloned()).day(1, [straight(sets(id, 3))]);
            case.brief(|b| (b.equipment.place, b.equipment.also) = (place, also.to_vec())).said("SW117")
        };
        assert_eq!(said("band_row", Place::FullGym, &[]), NOTE);
        assert_eq!(said("band_pulldown", Place::Garage, &[]), NONE, "a pull-up is another matter");
        assert_eq!(said("band_row", Place::Bare, &[Station::Bands]), NONE, "nothing else is there");
        assert_eq!(said("table_row", Place::HomeDumbbells, &[]), NOTE);
        assert_eq!(said("table_row", Place::Bare, &[]), NONE);
        assert_eq!(said("table_row", Place::Bare, &[Station::Rings]), NOTE);
        assert_eq!(said("seated_cable_row", Place::FullGym, &[]), NONE);
    }

    #[test]
    fn in_the_first_weeks_one_joint_of_the_upper_body_can_wait() {
        let said = |id: &str, age| {
            let case = Case::new(builtin().iter().cloned()).day(1, [straight(sets(id, 1))]);
            case.brief(|b| b.training_age = age).said("SW117")
        };
        assert_eq!(said("dumbbell_curl", TrainingAge::FirstWeeks), NOTE);
        assert_eq!(said("dumbbell_curl", TrainingAge::Beginner), NONE);
        assert_eq!(said("lying_leg_curl", TrainingAge::FirstWeeks), NONE, "legs are another matter");
        assert_eq!(said("seated_cable_row", TrainingAge::FirstWeeks), NONE);
    }
}
