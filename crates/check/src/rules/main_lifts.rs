//! A strength client's main lifts (SW127): told, with a bar, each in the cycle; they open the session, straight, with
//! three minutes of rest, for few reps, evenly, and not the same on every day.

use crate::client::{is_big_bar, is_floor_pull};
use crate::rules::grip::is_held_pull;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{count, number};
use setwright_model::brief::{Priority, TrainingAge};
use setwright_model::exercise::LoadKind;
use setwright_model::{Exercise, Severity};
use std::collections::BTreeSet;

/// Rest of a main lift in seconds: what is wanted, and what is too little for strength (Ratamess 2009, MSSE 41:687 (A):
/// two to three minutes; that half a minute less than three is mended and more is refused is judgement).
const REST_S: f64 = 180.0;
const REST_LEAST_S: f64 = 150.0;
/// The same for a beginner, whose loads are light yet (judgement).
const REST_NEW_S: f64 = 120.0;
/// Reps of a heavy day at most (Ratamess 2009, MSSE 41:687 (A): one to six), and of a beginner's (judgement).
const HEAVY_REPS: u32 = 6;
const HEAVY_REPS_NEW: u32 = 10;
/// Minutes of a main lift that is warmed up and rested (common practice, no source (T)).
const LIFT_MIN: f64 = 18.0;
/// Grams do not make a heavy and a light day (numeric).
const SAME_KG: f64 = 0.01;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    // In the first weeks loads are light and everything is new: strength waits.
    if !scene.is_for_strength() || scene.is_first_weeks() {
        return;
    }
    let mains: Vec<&Exercise> = scene.catalogue.iter().filter(|e| scene.is_main(e)).collect();
    let there = mains.iter().filter(|m| scene.items().any(|(_, i)| i.exercise.id == m.id)).count();
    let room = room(scene);
    for main in &mains {
        let uses: Vec<_> = scene.items().filter(|(_, i)| i.exercise.id == main.id).collect();
        if uses.is_empty() {
            missing(scene, main, there as f64 + 1.0 > room, out);
            continue;
        }
        for (stage, item) in &uses {
            opens(scene, stage, item, out);
            fresh_grip(scene, stage, item, out);
            rested(scene, stage, item, out);
        }
        heavy(scene, main, &uses, out);
        few_sets(scene, main, &uses, out);
    }
    evenly(scene, &mains, out);
}

/// Minutes under which a session with a main lift has room for nothing else (common practice, no source (T)).
const ALONE_MIN: f64 = 25.0;

/// Main lifts for which the minutes have room: each in one session, and a session for the rest where they are short.
fn room(scene: &Scene<'_>) -> f64 {
    let sessions = scene.stages.len().max(1) as f64;
    let each = scene.minutes() / sessions;
    let all = (sessions * (each / LIFT_MIN).floor()).max(1.0);
    if each < ALONE_MIN && sessions > 1.0 { all.min(sessions - 1.0) } else { all }
}

/// One that is nowhere: refused, and pointed out where the minutes hold no more of them.
fn missing(scene: &Scene<'_>, main: &Exercise, full: bool, out: &mut Findings) {
    let possible = scene.is_possible(main.pattern.side());
    if possible && main.prime().is_none_or(|m| !scene.is_minor(m)) {
        let cause = format!("The client trains for strength, told {}, and it is nowhere.", main.name);
        let severity = if full { Severity::Note } else { Severity::Error };
        out.add(At::Programme, severity, "SW127", cause, format!("Open a session with {}.", main.name));
    }
}

/// Only other main lifts, their variants, other told lifts with a bar and told lifts for what the client came for most come
/// before.
fn opens(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let before = stage.items.iter().filter(|i| i.block < item.block);
    let wanted = |i: &Item<'_>| stage.of_block(i.block).iter().any(|other| is_most_wanted(scene, other));
    let small = |i: &&Item<'_>| {
        let known = scene.is_main(i.exercise) || is_big_bar(i.exercise) || is_told_bar(scene, i);
        !known && !wanted(i)
    };
    let Some(first) = before.filter(|i| !scene.is_locked(stage.rank, &i.exercise.id)).find(small) else {
        return;
    };
    let cause =
        format!("{} comes after {}; a main lift opens the session.", item.exercise.name, first.exercise.name);
    let at = At::Exercise(stage.rank, item.block, item.lane);
    let severity = scene.unless_fixed(stage.rank, &item.exercise.id, Severity::Error);
    out.add(at, severity, "SW127", cause, format!("Do {} first.", item.exercise.name));
}

/// Before a pull from the floor no other pull takes the grip, unless it is for what the client came for above all.
fn fresh_grip(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    if !is_floor_pull(item.exercise) {
        return;
    }
    let held = |i: &&Item<'_>| {
        let e = i.exercise;
        let top = e.direct.iter().any(|m| scene.priority(*m) == Priority::Top);
        i.block < item.block && is_held_pull(e) && !top && !scene.is_locked(stage.rank, &e.id)
    };
    if let Some(first) = stage.items.iter().find(held) {
        let cause = format!("{} takes the grip that {} needs.", first.exercise.name, item.exercise.name);
        let hint = format!("Do {} first.", item.exercise.name);
        out.add(At::Exercise(stage.rank, item.block, item.lane), Severity::Warning, "SW127", cause, hint);
    }
}

/// A told compound with a bar that is no main lift of the judge: a row, an incline press.
fn is_told_bar(scene: &Scene<'_>, item: &Item<'_>) -> bool {
    let e = item.exercise;
    e.load == LoadKind::Bar && e.pattern.is_compound() && scene.told(&e.id)
}

fn is_most_wanted(scene: &Scene<'_>, item: &Item<'_>) -> bool {
    let e = item.exercise;
    let wanted = e.prime().is_some_and(|m| scene.is_priority(m));
    wanted && e.pattern.is_compound() && scene.told(&e.id)
}

fn rested(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let at = At::Block(stage.rank, item.block);
    let name = &item.exercise.name;
    if !stage.is_straight(item) {
        let cause = format!("{name} shares its block; a main lift stands alone.");
        let severity = scene.unless_fixed(stage.rank, &item.exercise.id, Severity::Error);
        out.add(at, severity, "SW127", cause, format!("Give {name} a straight block."));
    }
    let rest_s = stage.rest_s(item);
    let (wanted, least) = if scene.is_new() { (REST_NEW_S, 0.0) } else { (REST_S, REST_LEAST_S) };
    if rest_s < wanted {
        let severity = if rest_s < least { Severity::Error } else { Severity::Warning };
        let severity = scene.unless_fixed(stage.rank, &item.exercise.id, severity);
        let cause =
            format!("{name} with {} s of rest; heavy sets need {} s.", number(rest_s), number(wanted));
        out.add(at, severity, "SW127", cause, format!("Rest {} s between its sets.", number(wanted)))
            .by((wanted - rest_s) / 60.0);
    }
}

/// A day of few reps, and where it is met twice a heavier and a lighter one.
fn heavy(scene: &Scene<'_>, main: &Exercise, uses: &[(&Stage<'_>, &Item<'_>)], out: &mut Findings) {
    let most = if scene.is_new() { HEAVY_REPS_NEW } else { HEAVY_REPS };
    let reps = |i: &Item<'_>| i.prescription.reps;
    // What a condition or a stop asks for comes first.
    let spared = scene.limits().reps_least > most;
    if !spared && uses.iter().all(|(_, i)| reps(i)[0] > most) {
        let cause = format!("{} is never done for {most} reps or fewer: that is not strength.", main.name);
        let hint = "Give it one day of few reps with a heavy load.";
        out.add(At::Programme, Severity::Warning, "SW127", cause, hint);
    }
    let kg = |i: &Item<'_>| i.prescription.load_kg.map_or(0.0, setwright_model::Kilograms::get);
    let same = |w: &[(&Stage<'_>, &Item<'_>)]| {
        reps(w[0].1) == reps(w[1].1) && (kg(w[0].1) - kg(w[1].1)).abs() < SAME_KG
    };
    if uses.len() > 1 && !scene.is_new() && uses.windows(2).all(same) {
        let cause = format!("{} is the same on every day: no heavy and no light day.", main.name);
        let hint = "Make one day heavier with fewer reps, or the other lighter.";
        out.add(At::Programme, Severity::Warning, "SW127", cause, hint);
    }
}

/// Weekly minutes from which somebody advanced has time for their lifts, and the weekly sets these have then: of squats and
/// presses, and of pulls from the floor (Ralston 2017, Sports Med 47:2585 (m); the numbers are common practice, no source (T)).
const TIME_MIN: f64 = 240.0;
const LIFT_SETS: f64 = 8.0;
const PULL_SETS: f64 = 5.0;

/// An advanced lifter with hours for it and few sets of a main lift and its variants.
fn few_sets(scene: &Scene<'_>, main: &Exercise, uses: &[(&Stage<'_>, &Item<'_>)], out: &mut Findings) {
    let advanced = scene.brief.is_some_and(|b| b.training_age == TrainingAge::Advanced);
    let timed = scene.minutes() / scene.weeks() >= TIME_MIN;
    let locked = uses.iter().any(|(s, i)| scene.is_locked(s.rank, &i.exercise.id));
    if !advanced || !timed || locked || scene.is_older() || scene.is_returning() {
        return;
    }
    let family = |i: &Item<'_>| i.exercise.load == LoadKind::Bar && i.exercise.pattern == main.pattern;
    let sets: u32 = scene.items().filter(|(_, i)| family(i)).map(|(_, i)| i.sets()).sum();
    let least = if is_floor_pull(main) { PULL_SETS } else { LIFT_SETS };
    let weekly = f64::from(sets) / scene.weeks();
    if weekly < least {
        let cause = format!(
            "{} sets a week of {} and its variants, with {} hours for them.",
            number(weekly),
            main.name,
            number(scene.minutes() / scene.weeks() / 60.0)
        );
        let hint = format!("Advanced lifters have {} or more.", number(least));
        out.add(At::Programme, Severity::Note, "SW127", cause, hint);
    }
}

/// Visits of the main lifts differ by one at most, those of a pull from the floor by two (common practice, no source (T): novices
/// squat three times a week and pull once).
fn evenly(scene: &Scene<'_>, mains: &[&Exercise], out: &mut Findings) {
    let visits = |main: &Exercise| {
        let ranks: BTreeSet<usize> =
            scene.items().filter(|(_, i)| i.exercise.id == main.id).map(|(s, _)| s.rank).collect();
        ranks.len() as u32
    };
    // Pulls from the floor are rationed, so they may be one fewer.
    let met = || mains.iter().filter(|m| visits(m) > 0);
    let least = |m: &&&Exercise| visits(m) + u32::from(is_floor_pull(m));
    if let (Some(few), Some(many)) = (met().min_by_key(least), met().max_by_key(|m| visits(m)))
        && visits(many) > least(&few) + 1
    {
        let (few, many) = ((visits(few), &few.name), (visits(many), &many.name));
        let cause = format!(
            "{} is trained in {} and {} in {}.",
            many.1,
            count(many.0, "session"),
            few.1,
            count(few.0, "session")
        );
        out.add(At::Programme, Severity::Warning, "SW127", cause, format!("Give {} another session.", few.1))
            .by(f64::from(many.0 - few.0 - 1));
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, ERROR, NONE, NOTE, WARNING, curl, exercise, hinge, pair, press, row, sets, squat, straight,
        with,
    };
    use setwright_model::BlockKind::Alternating;
    use setwright_model::brief::{Goal, MinutesPerSession, Priority, TrainingAge};
    use setwright_model::exercise::LoadKind;
    use setwright_model::{Block, Exercise, Minutes, Muscle, Pattern, Prescription, Seconds};

    fn bar(exercise: Exercise) -> Exercise {
        with(exercise, |e| e.load = LoadKind::Bar)
    }

    fn heavy(id: &str, reps: u32) -> Prescription {
        Prescription { reps: [reps, reps], ..sets(id, 3) }
    }

    fn rested(p: Prescription, rest_s: f64) -> Block {
        Block { rest_s: Seconds(rest_s), ..straight(p) }
    }

    fn strong() -> Case {
        let case = Case::new([bar(squat()), bar(press()), row(), curl()]).brief(|b| b.goal = Goal::Strength);
        case.told("squat", 140.0, 5).told("press", 100.0, 5)
    }

    #[test]
    fn no_other_pull_takes_the_grip_before_the_one_from_the_floor() {
        let pull = with(exercise("pull", Pattern::VerticalPull, &[Muscle::Lats], &[]), |e| e.grip = 1);
        let deadlift = with(hinge(), |e| (e.load, e.systemic) = (LoadKind::Bar, 3));
        let case = Case::new([deadlift, pull, row()]).brief(|b| b.goal = Goal::Strength);
        let said = |ids: [&str; 2], priority| {
            let blocks = ids.map(|id| rested(heavy(id, 5), 180.0));
            let case = case.clone().told("hinge", 140.0, 5).told("pull", 5.0, 5).day(1, blocks);
            case.wish(Muscle::Lats, |w| w.priority = Some(priority)).said("SW127")
        };
        assert_eq!(said(["hinge", "pull"], Priority::High), NONE);
        assert_eq!(said(["pull", "hinge"], Priority::High), WARNING);
        assert_eq!(said(["pull", "hinge"], Priority::Top), NONE);
    }

    /// Squat and press open two sessions, once heavier and once lighter.
    fn good() -> Case {
        let main = |id, reps| rested(heavy(id, reps), 180.0);
        strong()
            .day(1, [main("squat", 3), main("press", 5), straight(sets("row", 3))])
            .day(4, [main("press", 3), main("squat", 6), straight(sets("row", 3))])
    }

    #[test]
    fn nobody_is_asked_for_few_reps_who_may_not_do_them() {
        let mut many = good();
        for (session, block) in [(0, 0), (1, 1)] {
            many.programme.sessions[session].blocks[block].exercises[0].reps = [8 + block as u32, 10];
        }
        assert_eq!(many.clone().said("SW127"), WARNING, "no heavy day");
        let stopped = many.brief(|b| b.present.sessions = Some(0));
        assert_eq!(stopped.said("SW127"), NONE, "after a stop eight and more are right");
    }

    #[test]
    fn main_lifts_that_open_straight_and_rested_are_as_they_should_be() {
        assert_eq!(good().said("SW127"), NONE);
    }

    #[test]
    fn each_main_lift_is_in_the_cycle() {
        let case = strong().day(1, [rested(heavy("squat", 3), 180.0)]);
        assert_eq!(case.said("SW127"), ERROR, "no press");
        let mut size = case.clone();
        size.brief.goal = Goal::Size;
        assert_eq!(size.said("SW127"), NONE);
        assert_eq!(case.brief(|b| b.exclude.exercises = vec!["press".into()]).said("SW127"), NONE);
    }

    #[test]
    fn minutes_that_hold_one_lift_are_not_asked_for_two() {
        let short = |minutes: f64| {
            let case = strong().day(1, [rested(heavy("squat", 3), 180.0)]);
            case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(minutes))).said("SW127")
        };
        assert_eq!((short(35.0), short(36.0)), (NOTE, ERROR));
    }

    #[test]
    fn nothing_small_comes_before_them() {
        let mut late = good();
        late.programme.sessions[0].blocks.rotate_right(1);
        assert_eq!(late.said("SW127"), (2, 0, 0), "squat and press after the row");
        assert_eq!(late.lock("row", |_| {}).said("SW127"), NONE, "the coach put it there");
    }

    #[test]
    fn another_told_lift_with_a_bar_may_stand_among_them() {
        let mut late = good();
        late.programme.sessions[0].blocks.rotate_right(1);
        late.exercises[2].load = LoadKind::Bar;
        assert_eq!(late.clone().said("SW127").0, 2);
        assert_eq!(late.told("row", 80.0, 8).said("SW127"), NONE);
    }

    #[test]
    fn a_beginners_heavy_day_has_ten_reps_and_the_first_weeks_have_none() {
        let reps = |n: u32, age| {
            let mut case = good().brief(|b| b.training_age = age);
            for (session, block) in [(0, 0), (1, 1)] {
                case.programme.sessions[session].blocks[block].exercises[0].reps = [n, n + 1];
            }
            case.said("SW127")
        };
        assert_eq!((reps(10, TrainingAge::Beginner), reps(11, TrainingAge::Beginner)), (NONE, WARNING));
        assert_eq!(reps(15, TrainingAge::FirstWeeks), NONE);
    }

    #[test]
    fn three_minutes_are_wanted_and_less_than_two_and_a_half_refused() {
        let rest = |s: f64| {
            let mut case = good();
            case.programme.sessions[0].blocks[0].rest_s = Seconds(s);
            case.said("SW127")
        };
        assert_eq!((rest(180.0), rest(179.0)), (NONE, WARNING));
        assert_eq!((rest(150.0), rest(149.0)), (WARNING, ERROR));
        let new = |s: f64| {
            let mut case = good().brief(|b| b.training_age = TrainingAge::Beginner);
            case.programme.sessions[0].blocks[0].rest_s = Seconds(s);
            case.said("SW127")
        };
        assert_eq!((new(120.0), new(119.0)), (NONE, WARNING));
    }

    #[test]
    fn an_advanced_lifter_with_hours_has_eight_sets_of_each() {
        let week = |n: u32, minutes: f64, age| {
            let mut case = good();
            for (session, block) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
                case.programme.sessions[session].blocks[block].exercises[0].sets = n;
            }
            let minutes = MinutesPerSession::Same(Minutes(minutes));
            case.brief(|b| (b.training_age, b.time.minutes) = (age, minutes)).said("SW127")
        };
        assert_eq!(week(4, 120.0, TrainingAge::Advanced), NONE);
        assert_eq!(week(3, 120.0, TrainingAge::Advanced), (0, 0, 2), "squat and press");
        assert_eq!(week(3, 119.0, TrainingAge::Advanced), NONE);
        assert_eq!(week(3, 120.0, TrainingAge::Intermediate), NONE);
    }

    #[test]
    fn they_stand_alone() {
        let mut case = good();
        let both = Block { rest_s: Seconds(180.0), ..pair(Alternating, heavy("squat", 3), sets("curl", 3)) };
        case.programme.sessions[0].blocks[0] = both;
        assert_eq!(case.said("SW127"), (2, 0, 0), "the squat is paired, and the press comes after the curl");
    }

    #[test]
    fn one_day_is_heavy_and_days_differ() {
        let reps = |a: u32, b: u32| {
            let mut case = good();
            case.programme.sessions[0].blocks[0].exercises[0].reps = [a, a + 1];
            case.programme.sessions[1].blocks[1].exercises[0].reps = [b, b + 1];
            case.said("SW127")
        };
        assert_eq!(reps(6, 8), NONE);
        assert_eq!(reps(7, 8), WARNING, "never few reps");
        assert_eq!(reps(5, 5), WARNING, "the same on both days");
    }

    #[test]
    fn visits_differ_by_one_at_most() {
        let main = |id, reps| rested(heavy(id, reps), 180.0);
        let case = good().day(6, [main("squat", 5)]);
        assert_eq!(case.said("SW127"), NONE, "three and two");
        let mut case = case;
        case.programme.sessions[1].blocks.remove(0);
        assert_eq!(case.said("SW127"), WARNING, "three and one");
        case.exercises[1].pattern = Pattern::Hinge;
        case.exercises[1].systemic = 3;
        assert_eq!(case.said("SW127"), NONE, "one pull from the floor");
    }
}
