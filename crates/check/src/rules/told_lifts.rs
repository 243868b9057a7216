//! What the client already does is in the programme unless something forbids it, (SW165), and has sets enough (SW126).

use crate::client::KNEE;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::list;
use setwright_model::brief::Goal;
use setwright_model::exercise::LoadKind;
use setwright_model::{Exercise, ExerciseId, Pattern, Severity};
use setwright_science::{aims, conditions};
use std::collections::BTreeSet;

/// Sets of a told compound in a session, at least: of who trains for strength or size, and of who is new, older or trains for
/// health, to whom two do as well (common practice, no source (T)).
const SETS: u32 = 3;
const SETS_EASY: u32 = 2;
/// Sessions of more minutes than this have room for them (judgement).
const LONG_MIN: f64 = 30.0;
/// Minutes of a cycle from which there is room for everything that was told (judgement: two sessions of 40).
const ROOM_MIN: f64 = 80.0;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief else { return };
    let ids: BTreeSet<&ExerciseId> = brief.lifts.iter().map(|l| &l.exercise).collect();
    for exercise in ids.into_iter().filter_map(|id| scene.catalogue.get(id)) {
        if !scene.items().any(|(_, i)| i.exercise.id == exercise.id) {
            missing(scene, exercise, out);
        }
    }
    few_sets(scene, out);
    late(scene, out);
}

/// A told lift with a bar comes before compounds for its muscles that are new.
fn late(scene: &Scene<'_>, out: &mut Findings) {
    let is_big = |i: &&Item<'_>| {
        let e = i.exercise;
        e.load == LoadKind::Bar && e.pattern.is_compound() && e.systemic >= 2 && scene.told(&e.id)
    };
    for (stage, item) in scene.items().filter(|(_, i)| is_big(i)) {
        let muscle = item.exercise.prime();
        let new = |i: &&Item<'_>| {
            let e = i.exercise;
            let matters = e.prime().is_some_and(|m| scene.is_priority(m));
            i.block < item.block
                && e.pattern.is_compound()
                && e.prime() == muscle
                && !matters
                && !scene.is_own(&e.id)
        };
        let Some(first) = stage.items.iter().find(new) else { continue };
        if !scene.is_locked(stage.rank, &item.exercise.id) {
            let cause = format!(
                "{} was told and comes after {}, which is new.",
                item.exercise.name, first.exercise.name
            );
            let at = At::Exercise(stage.rank, item.block, item.lane);
            let hint = format!("Do {} first.", item.exercise.name);
            out.add(at, Severity::Warning, "SW126", cause, hint);
        }
    }
}

/// Missing altogether: refused where nothing of its kind stands for it, mended where something does.
fn missing(scene: &Scene<'_>, exercise: &Exercise, out: &mut Findings) {
    let wanted = exercise.prime().is_none_or(|m| !scene.is_minor(m));
    if !exercise.pattern.is_compound()
        || !wanted
        || !scene.is_allowed(exercise)
        || !scene.is_within_reach(exercise)
        || !fits_a_focus(scene, exercise)
    {
        return;
    }
    let aims = scene.brief.map_or_else(Vec::new, |b| aims::trained(b, scene.catalogue));
    let is_meant =
        |e: &Exercise| aims.iter().any(|aim| aims::serves(*aim, e) && !aims::serves(*aim, exercise));
    let alike: Vec<&Exercise> =
        scene.items().map(|(_, i)| i.exercise).filter(|e| stands_for(e, exercise)).collect();
    // What the client wants to be able to do may take the place of what leads less far.
    if alike.iter().any(|e| scene.is_own(&e.id) || is_meant(e)) {
        return;
    }
    let room = scene.minutes() >= ROOM_MIN && !scene.is_first_weeks() && !is_capped(scene, exercise);
    let severity = match alike.first() {
        None if room && is_a_movement(exercise.pattern) => Severity::Error,
        Some(_) if scene.is_first_weeks() => Severity::Note,
        _ => Severity::Warning,
    };
    let cause = match alike.first() {
        None => {
            format!("The client does {} already, and it is nowhere, nor anything like it.", exercise.name)
        }
        Some(e) => format!("The client does {} already, and {} stands in its place.", exercise.name, e.name),
    };
    // Where minutes, a most or the first weeks leave no room for all of them it is one mend of several.
    let code = if room { "SW165" } else { "SW126" };
    out.add(At::Programme, severity, code, cause, format!("Put {} in, or say why not.", exercise.name));
}

/// Whether the coach asks so little at most of a muscle of a told lift that the sets of all told compounds pass it.
fn is_capped(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    let Some(brief) = scene.brief else { return false };
    let told: BTreeSet<&ExerciseId> = brief.lifts.iter().map(|l| &l.exercise).collect();
    let compound = |e: &&Exercise| e.pattern.is_compound() && scene.is_allowed(e);
    exercise.contributions().any(|(muscle, _)| {
        let lifts = told.iter().filter_map(|id| scene.catalogue.get(id)).filter(compound);
        let sets: f64 = lifts.map(|e| f64::from(SETS) * e.contribution(muscle)).sum();
        let most = brief.muscles.get(&muscle).and_then(|w| w.most);
        most.is_some_and(|most| sets > most.get() * scene.weeks())
    })
}

/// Whether one exercise does the work of another: the same pattern, or another way to bend the same joint.
fn stands_for(other: &Exercise, told: &Exercise) -> bool {
    const PRESS: &[Pattern] = &[Pattern::HorizontalPress, Pattern::InclinePress];
    let both = |patterns: &[Pattern]| patterns.contains(&other.pattern) && patterns.contains(&told.pattern);
    other.pattern == told.pattern || both(KNEE) || both(PRESS)
}

/// Whether a pattern is one of the movements that a programme is made of: a told carry, jump, throw, hip extension or whole-body
/// lift may make way.
const fn is_a_movement(pattern: Pattern) -> bool {
    pattern.has_dose()
        && !matches!(
            pattern,
            Pattern::Carry | Pattern::WholeBody | Pattern::UprightRow | Pattern::Dip | Pattern::HipExtension
        )
}

/// Whether a focus of the coach leaves room for it.
fn fits_a_focus(scene: &Scene<'_>, exercise: &Exercise) -> bool {
    scene.is_possible(exercise.pattern.side())
}

fn few_sets(scene: &Scene<'_>, out: &mut Findings) {
    let health = scene.brief.is_some_and(|b| b.goal == Goal::General);
    // The first block after a stop has two of each.
    let back = scene.brief.is_some_and(conditions::has_stopped);
    let wanted = if health || back || scene.is_new() || scene.is_older() { SETS_EASY } else { SETS };
    if scene.rules.sets.1 < wanted {
        return;
    }
    let few = |(stage, item): &(&Stage<'_>, &Item<'_>)| {
        let p = item.prescription;
        let long = scene.limit(stage.rank).is_some_and(|m| m.get() > LONG_MIN);
        let fixed = scene.locks_sets(stage.rank, &p.id, p.sets);
        long && !fixed && p.sets < wanted && item.exercise.pattern.is_compound() && scene.told(&p.id)
    };
    let found: BTreeSet<&str> = scene.items().filter(few).map(|(_, i)| i.exercise.name.as_str()).collect();
    if !found.is_empty() {
        let names: Vec<String> = found.into_iter().map(str::to_owned).collect();
        let cause = format!("What the client came with gets fewer than {wanted} sets: {}.", list(&names));
        let hint = format!("Give it {wanted} sets, and take them from what is new.");
        out.add(At::Programme, Severity::Warning, "SW126", cause, hint);
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, ERROR, NONE, NOTE, WARNING, curl, exercise, press, row, sets, squat, straight, with,
    };
    use setwright_model::Brief;
    use setwright_model::brief::{Focus, Goal, MinutesPerSession, Priority, TrainingAge};
    use setwright_model::exercise::LoadKind;
    use setwright_model::{Minutes, Muscle, Pattern};

    fn week(ids: &[&str], n: u32) -> Case {
        let other = exercise("floor_press", Pattern::HorizontalPress, &[Muscle::Chest], &[]);
        let blocks = || ids.iter().map(|id| straight(sets(id, n))).collect::<Vec<_>>();
        Case::new([press(), row(), squat(), curl(), other]).day(1, blocks()).day(4, blocks())
    }

    #[test]
    fn a_told_lift_is_in_the_programme_or_something_like_it() {
        let told = |ids: &[&str]| week(ids, 3).told("press", 60.0, 8).said("SW165");
        assert_eq!(told(&["press", "row"]), NONE);
        assert_eq!(told(&["floor_press", "row"]), WARNING);
        assert_eq!(told(&["squat", "row"]), ERROR);
    }

    #[test]
    fn another_told_lift_of_its_kind_is_enough() {
        let case = week(&["floor_press"], 3).told("press", 60.0, 8).told("floor_press", 50.0, 8);
        assert_eq!(case.said("SW165"), NONE);
    }

    #[test]
    fn what_is_forbidden_unwanted_or_small_may_be_missing() {
        let case = week(&["row"], 3).told("press", 60.0, 8);
        assert_eq!(case.said("SW165"), ERROR);
        assert_eq!(case.clone().brief(|b| b.exclude.exercises = vec!["press".into()]).said("SW165"), NONE);
        assert_eq!(
            case.clone().wish(Muscle::Chest, |w| w.priority = Some(Priority::Low)).said("SW165"),
            NONE
        );
        assert_eq!(
            case.clone().brief(|b| b.style.focus = vec![Focus::Pull, Focus::Pull]).said("SW165"),
            NONE
        );
        assert_eq!(week(&["row"], 3).told("curl", 12.0, 10).said("SW165"), NONE, "a single joint");
    }

    #[test]
    fn what_the_coach_asks_at_most_may_leave_no_sets_for_it() {
        let most = |sets: f64| {
            let case = week(&["row"], 3).told("press", 60.0, 8);
            let case = case.wish(Muscle::Chest, |w| w.most = Some(setwright_model::FractionalSets(sets)));
            (case.said("SW126"), case.said("SW165"))
        };
        assert_eq!((most(2.0), most(3.0)), ((WARNING, NONE), (NONE, ERROR)));
    }

    #[test]
    fn with_little_time_or_in_the_first_weeks_it_is_pointed_out() {
        let case = week(&["row"], 3).told("press", 60.0, 8);
        let minutes = |m| case.clone().brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(m)));
        assert_eq!(minutes(40.0).said("SW165"), ERROR);
        assert_eq!((minutes(39.0).said("SW165"), minutes(39.0).said("SW126")), (NONE, WARNING));
        let first = week(&["floor_press"], 1).told("press", 60.0, 8);
        assert_eq!(first.brief(|b| b.training_age = TrainingAge::FirstWeeks).said("SW126"), NOTE);
    }

    #[test]
    fn a_told_compound_gets_three_sets_when_there_is_time_and_two_for_health_the_new_and_the_older() {
        let of = |n: u32, goal: Goal| week(&["press"], n).told("press", 60.0, 8).brief(|b| b.goal = goal);
        let two = of(2, Goal::Size);
        assert_eq!(two.said("SW126"), WARNING);
        assert_eq!(of(3, Goal::Size).said("SW126"), NONE);
        assert_eq!((of(1, Goal::General).said("SW126"), of(2, Goal::General).said("SW126")), (WARNING, NONE));
        let who = |change: fn(&mut Brief)| two.clone().brief(change).said("SW126");
        assert_eq!(who(|b| b.training_age = TrainingAge::Beginner), NONE);
        assert_eq!((who(|b| b.body.age = Some(64)), who(|b| b.body.age = Some(65))), (WARNING, NONE));
        assert_eq!(two.clone().lock("press", |l| l.sets = Some(2)).said("SW126"), NONE);
        let short =
            |m| two.clone().brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(m))).said("SW126");
        assert_eq!((short(30.0), short(31.0)), (NONE, WARNING));
    }

    #[test]
    fn a_told_lift_with_a_bar_comes_before_what_is_new_for_its_muscle() {
        let bar = with(press(), |e| (e.load, e.systemic) = (LoadKind::Bar, 2));
        let other = exercise("incline", Pattern::InclinePress, &[Muscle::Chest], &[]);
        let in_order = |ids: [&str; 2]| {
            let case = Case::new([bar.clone(), other.clone()]).day(1, ids.map(|id| straight(sets(id, 3))));
            case.told("press", 80.0, 8).said("SW126")
        };
        assert_eq!(in_order(["press", "incline"]), NONE);
        assert_eq!(in_order(["incline", "press"]), WARNING);
    }
}
