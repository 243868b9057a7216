//! A sport beside the training (SW175): sessions keep off its hard days and the days before where other days are possible,
//! and where they cannot, legs get half of their sets, nothing near their limit and nothing new that tires the whole body. What
//! is pulled from the floor is pulled on the days that are free. The day after a hard day is noted. The day before a match and the day
//! after hold nothing that is heavy for legs and back.

use crate::client::is_floor_pull;
use crate::rules::days::smallest_gap;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::list;
use setwright_model::limits::CYCLE_DAYS_MAX;
use setwright_model::pattern::Region;
use setwright_model::{Brief, Exercise, Pattern, Severity};
use std::collections::BTreeSet;

/// Sets of a leg exercise on such a day: half of what is usual, and as many of what the client does anyhow as keep it
/// (common practice, no source (T)).
const HALF: u32 = 2;
const KEPT: u32 = 3;
/// Days between sessions that are kept even for the sport (judgement).
const APART: u32 = 2;
/// What tires the whole body, and what loads the back (judgement, on the catalogue's scales of 0 to 3).
const TIRING: u8 = 3;
const HEAVY_ON_THE_BACK: u8 = 2;
/// What tires legs so that a match on the next day is felt (judgement, on the same scale).
const HEAVY: u8 = 2;
/// Reps that legs leave in reserve on such a day (common practice, no source (T)).
const RESERVE: u32 = 2;
/// Reps up to which a squat is heavy (common practice, no source (T): fives and fewer).
const FEW_REPS: u32 = 5;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief.filter(|b| b.sport.has_days()) else { return };
    for stage in scene.stages.iter().filter(|s| is_near(brief, s.session.day)) {
        for item in &stage.items {
            legs(scene, stage, item, out);
        }
    }
    beside_a_match(scene, brief, out);
    heavy_on_the_eve(scene, brief, out);
    legs_on_the_eve(scene, brief, out);
    near_the_limit(scene, brief, out);
    days(scene, brief, out);
    days_after(scene, brief, out);
}

/// A hard day of the sport or the day before one, round the cycle.
fn is_near(brief: &Brief, day: u32) -> bool {
    let next = day % brief.time.cycle_days.clamp(1, CYCLE_DAYS_MAX) + 1;
    brief.sport.is_hard(day) || brief.sport.is_hard(next)
}

/// The day before a match: legs and back are to be fresh on the next.
fn is_eve(brief: &Brief, day: u32) -> bool {
    brief.sport.match_days.contains(&(day % brief.time.cycle_days.clamp(1, CYCLE_DAYS_MAX) + 1))
}

/// Whether a session on this day leaves the legs to a match, on the same day or the next.
pub(crate) fn spares_legs(brief: &Brief, day: u32) -> bool {
    is_eve(brief, day) || brief.sport.match_days.contains(&day)
}

/// The day after a match.
fn is_after_a_match(brief: &Brief, day: u32) -> bool {
    let cycle = brief.time.cycle_days.clamp(1, CYCLE_DAYS_MAX);
    brief.sport.match_days.iter().any(|hard| hard % cycle + 1 == day)
}

/// What is heavy for legs or back stands neither on the eve of a match nor on the day after: what taxes the whole body is refused on
/// the eve where another session is beside none, everything else mended. Who is new does the same session again, whatever the day.
fn beside_a_match(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let is_match = |s: &Stage<'_>| brief.sport.match_days.contains(&s.session.day);
    let beside = |s: &Stage<'_>| {
        !is_match(s) && (is_eve(brief, s.session.day) || is_after_a_match(brief, s.session.day))
    };
    let free = scene.stages.iter().find(|s| !beside(s) && !is_match(s));
    for (stage, item) in scene.items().filter(|(s, _)| beside(s)) {
        let e = item.exercise;
        if !is_heavy(e) || scene.is_locked(stage.rank, &e.id) {
            continue;
        }
        let eve = is_eve(brief, stage.session.day);
        let refused = eve && free.is_some() && e.is_taxing() && !scene.is_new();
        let severity = if refused { Severity::Error } else { Severity::Warning };
        let when = if eve { "before" } else { "after" };
        let cause = format!("{} stands on day {}, the day {when} a match.", e.name, stage.session.day);
        let hint = free.map_or_else(
            || "Train light for the upper body there, or on another day.".to_owned(),
            |free| format!("Do what is heavy for legs and back on day {}.", free.session.day),
        );
        out.add(At::Exercise(stage.rank, item.block, item.lane), severity, "SW175", cause, &hint);
    }
}

/// Whether a match on the next day is felt in it: legs, whole body or back.
fn is_heavy(e: &Exercise) -> bool {
    e.pattern.region() != Region::Upper && e.systemic >= HEAVY || e.spinal >= HEAVY_ON_THE_BACK
}

/// A pull from the floor, or a squat of few reps, that the client does anyhow, near a hard day, while another session of the cycle is
/// on a free one.
fn heavy_on_the_eve(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let Some(free) = scene.stages.iter().find(|s| !is_near(brief, s.session.day)) else { return };
    for (stage, item) in scene.items() {
        let e = item.exercise;
        let near = is_near(brief, stage.session.day) && !scene.is_locked(stage.rank, &e.id);
        let squats = e.pattern == Pattern::Squat && e.is_taxing() && item.prescription.reps[1] <= FEW_REPS;
        if !near || !scene.told(&e.id) || !(squats || is_floor_pull(e)) {
            continue;
        }
        let cause = format!(
            "{} stands on day {}, which is hard for the sport, or the day before; day {} is free of both.",
            e.name, stage.session.day, free.session.day
        );
        let at = At::Exercise(stage.rank, item.block, item.lane);
        let hint = format!("Do what is heavy on day {}.", free.session.day);
        out.add(at, Severity::Warning, "SW175", cause, hint);
    }
}

/// Legs on the eve of a match, where another session is free for them, and sets near the limit of anything: pointed out.
fn legs_on_the_eve(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let is_off = |s: &&Stage<'_>| is_eve(brief, s.session.day) || is_after_a_match(brief, s.session.day);
    if scene.stages.iter().all(|s| is_off(&s)) {
        return;
    }
    // What is heavy is said by itself.
    let heavy = |s: &Stage<'_>| s.items.iter().any(|i| is_heavy(i.exercise));
    for stage in scene.stages.iter().filter(|s| is_eve(brief, s.session.day) && !heavy(s)) {
        let own = || stage.items.iter().filter(|i| !scene.is_locked(stage.rank, &i.exercise.id));
        let legs = |i: &&Item<'_>| i.exercise.pattern.region() == Region::Lower;
        let hard = |i: &&Item<'_>| i.prescription.rir < RESERVE_ON_AN_EVE;
        let (legs, hard) = (own().any(|i| legs(&i)), own().any(|i| hard(&i)));
        if legs || hard {
            let what = if legs { "legs are trained" } else { "sets end near their limit" };
            let cause = format!("On day {} {what}, and the match is on the next.", stage.session.day);
            let hint = format!("The upper body alone, with {RESERVE_ON_AN_EVE} reps or more in reserve.");
            out.add(At::Session(stage.rank), Severity::Note, "SW175", cause, hint);
        }
    }
}

/// Reps in reserve on the eve of a match (common practice, no source (T)).
const RESERVE_ON_AN_EVE: u32 = 3;

/// Sets for the legs that end near their limit on such a day, said once for the programme.
fn near_the_limit(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let hard = scene.items().filter(|(s, i)| {
        let legs = i.exercise.pattern.region() == Region::Lower && i.exercise.pattern.is_compound();
        legs && i.prescription.rir < RESERVE
            && is_near(brief, s.session.day)
            && !scene.is_locked(s.rank, &i.exercise.id)
    });
    let names: BTreeSet<String> = hard.map(|(_, i)| i.exercise.name.clone()).collect();
    if names.is_empty() {
        return;
    }
    let names: Vec<String> = names.into_iter().collect();
    let cause = format!("Near their limit on a hard day of the sport or the day before: {}.", list(&names));
    let hint = format!("Leave {RESERVE} reps or more in reserve on such days.");
    out.add(At::Programme, Severity::Warning, "SW175", cause, hint);
}

fn legs(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let e = item.exercise;
    let own = scene.is_own(&e.id);
    if !matches!(e.pattern.region(), Region::Lower | Region::Whole) || scene.is_locked(stage.rank, &e.id) {
        return;
    }
    let day = stage.session.day;
    let tires = !own && (e.systemic >= TIRING || e.spinal >= HEAVY_ON_THE_BACK);
    let most = if own { KEPT } else { HALF.max(scene.rules.sets.0) };
    let cause = if tires {
        format!("{} is new, and day {day} is hard for the sport, or the day before.", e.name)
    } else if item.sets() > most {
        format!(
            "{} sets of {} on day {day}, which is hard for the sport, or the day before.",
            item.sets(),
            e.name
        )
    } else {
        return;
    };
    let hint = format!("At most {most} sets of what the client knows, or another day.");
    out.add(At::Exercise(stage.rank, item.block, item.lane), Severity::Warning, "SW175", cause, hint);
}

fn days(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let near = movable(scene, brief, |day| is_near(brief, day));
    if !near.is_empty() {
        let cause = format!(
            "A session on {}, near a hard day of the sport, though another day is free.",
            named(&near)
        );
        out.add(At::Programme, Severity::Warning, "SW175", cause, "Train on the days that are free of both.");
    }
}

/// The day after a hard day is a day of tired legs: pointed out where another is free of all three.
fn days_after(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let cycle = brief.time.cycle_days.clamp(1, CYCLE_DAYS_MAX);
    let last = |day: u32| if day <= 1 { cycle } else { day - 1 };
    let is_after = |day: u32| brief.sport.is_hard(last(day));
    let mut after = movable(scene, brief, |day| is_after(day) || is_near(brief, day));
    after.retain(|day| !is_near(brief, *day));
    if !after.is_empty() {
        let cause = format!(
            "A session on {}, the day after a hard day of the sport, though another day is free.",
            named(&after)
        );
        out.add(At::Programme, Severity::Note, "SW175", cause, "Train when the legs are fresh again.");
    }
}

/// Days that are off and could be changed for one that is not, one at a time, without bringing sessions nearer to each other
/// than two days or than they are. None where the brief fixes the days.
fn movable(scene: &Scene<'_>, brief: &Brief, is_off: impl Fn(u32) -> bool) -> Vec<u32> {
    if !brief.time.days.is_empty() {
        return Vec::new();
    }
    let cycle = scene.programme.cycle_days.clamp(1, CYCLE_DAYS_MAX);
    let days: Vec<u32> = scene.stages.iter().map(|s| s.session.day).collect();
    let possible = |day: &u32| brief.time.possible_days.is_empty() || brief.time.possible_days.contains(day);
    let apart = smallest_gap(&days, cycle).min(APART);
    let better = |off: &u32| {
        let others = |day: u32| -> Vec<u32> {
            let mut all: Vec<u32> = days.iter().copied().filter(|d| d != off).chain([day]).collect();
            all.sort_unstable();
            all
        };
        (1..=cycle).filter(possible).any(|day| {
            !days.contains(&day) && !is_off(day) && smallest_gap(&others(day), cycle).min(APART) >= apart
        })
    };
    days.iter().copied().filter(|d| is_off(*d) && better(d)).collect()
}

fn named(days: &[u32]) -> String {
    list(&days.iter().map(|day| format!("day {day}")).collect::<Vec<_>>())
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, exercise, press, row, sets, squat, straight, with};
    use setwright_model::{Muscle, Pattern};

    fn week(days: [u32; 2], legs: &str, n: u32) -> Case {
        let heavy = exercise("deadlift", Pattern::Hinge, &[Muscle::Glutes], &[]);
        let heavy = with(heavy, |e| (e.systemic, e.spinal) = (3, 3));
        let blocks = || [straight(sets(legs, n)), straight(sets("press", 3)), straight(sets("row", 3))];
        Case::new([press(), row(), squat(), heavy]).day(days[0], blocks()).day(days[1], blocks())
    }

    fn in_season(case: Case, possible: &[u32]) -> Case {
        case.brief(|b| {
            b.sport.hard_days = vec![3, 6];
            b.time.possible_days = possible.to_vec();
        })
    }

    #[test]
    fn sessions_keep_off_hard_days_where_others_are_free() {
        let of = |days, possible: &[u32]| in_season(week(days, "squat", 2), possible).said("SW175");
        assert_eq!(of([2, 5], &[1, 2, 4, 5]), WARNING);
        assert_eq!(of([1, 4], &[1, 2, 4, 5]), NONE);
        assert_eq!(of([2, 5], &[2, 5]), NONE);
    }

    #[test]
    fn legs_get_half_of_their_sets_before_a_hard_day_and_nothing_new_that_tires() {
        let of = |case: Case| in_season(case, &[2, 5]).said("SW175").1;
        assert_eq!(of(week([2, 5], "squat", 3)), 2);
        assert_eq!(of(week([2, 5], "squat", 3).told("squat", 80.0, 8)), 0);
        assert_eq!(of(week([2, 5], "squat", 4).told("squat", 80.0, 8)), 2);
        assert_eq!(of(week([2, 5], "deadlift", 2)), 2);
        assert_eq!(of(week([2, 5], "deadlift", 3).told("deadlift", 80.0, 8)), 0);
    }

    #[test]
    fn what_is_pulled_from_the_floor_stands_on_a_free_day_where_there_is_one() {
        let of = |days, fixed: &[u32]| {
            let case = week(days, "deadlift", 3).told("deadlift", 80.0, 8);
            case.brief(|b| (b.sport.hard_days, b.time.days) = (vec![6], fixed.to_vec())).said("SW175")
        };
        assert_eq!(of([2, 5], &[2, 5]), WARNING, "day 5 is the eve, day 2 is free");
        assert_eq!(of([2, 4], &[2, 4]), NONE);
        assert_eq!(of([5, 6], &[5, 6]), NONE, "no other day");
        let locked = week([2, 5], "deadlift", 3).told("deadlift", 80.0, 8).lock("deadlift", |_| {});
        let fixed = locked.brief(|b| (b.sport.hard_days, b.time.days) = (vec![6], vec![2, 5]));
        assert_eq!(fixed.said("SW175"), NONE);
    }

    #[test]
    fn a_squat_of_few_reps_stands_on_a_free_day_too() {
        let of = |reps: u32, systemic: u8| {
            let mut case = week([2, 5], "squat", 3).told("squat", 100.0, 5);
            case.exercises[2].systemic = systemic;
            case.programme.sessions[1].blocks[0].exercises[0].reps = [reps, reps];
            case.brief(|b| (b.sport.hard_days, b.time.days) = (vec![6], vec![2, 5])).said("SW175")
        };
        assert_eq!((of(5, 3), of(6, 3), of(5, 1)), (WARNING, NONE, NONE));
    }

    #[test]
    fn legs_stay_off_their_limit_on_such_days() {
        let rir = |rir: u32, days: [u32; 2]| {
            let mut case = in_season(week(days, "squat", 2), &days);
            case.programme.sessions[0].blocks[0].exercises[0].rir = rir;
            case.said("SW175")
        };
        assert_eq!((rir(2, [2, 5]), rir(1, [2, 5]), rir(1, [1, 4])), (NONE, WARNING, NONE));
    }

    #[test]
    fn legs_and_back_are_fresh_for_a_match() {
        let of = |days, fixed: &[u32], told: &str| {
            let mut case = week(days, "squat", 2).told(told, 80.0, 8);
            case.exercises[2].systemic = 3;
            case.brief(|b| (b.sport.match_days, b.time.days) = (vec![6], fixed.to_vec())).said("SW175")
        };
        assert_eq!(of([2, 5], &[2, 5], "squat"), ERROR, "day 5 is the eve, day 2 is free");
        assert_eq!(of([3, 7], &[3, 7], "squat"), WARNING, "the day after");
        assert_eq!(of([2, 4], &[2, 4], "squat"), NONE);
        let light = week([2, 5], "press", 2);
        let mut light = light.brief(|b| (b.sport.match_days, b.time.days) = (vec![6], vec![2, 5]));
        let eve = &mut light.programme.sessions[1];
        eve.blocks.iter_mut().flat_map(|b| &mut b.exercises).for_each(|p| p.rir = 3);
        assert_eq!(light.said("SW175"), NONE, "the upper body may be trained");
    }

    #[test]
    fn the_eve_of_a_match_is_for_the_upper_body_with_reps_in_reserve() {
        let of = |legs: &str, rir: u32| {
            let mut case = week([2, 5], legs, 2).told(legs, 80.0, 8);
            let eve = &mut case.programme.sessions[1];
            eve.blocks.iter_mut().flat_map(|b| &mut b.exercises).for_each(|p| p.rir = rir);
            case.brief(|b| (b.sport.match_days, b.time.days) = (vec![6], vec![2, 5])).said("SW175")
        };
        assert_eq!((of("squat", 3), of("press", 2), of("press", 3)), (NOTE, NOTE, NONE));
    }

    #[test]
    fn the_day_after_is_pointed_out_where_another_is_free() {
        let of = |days, possible: &[u32]| {
            let case = week(days, "squat", 2);
            case.brief(|b| (b.sport.hard_days, b.time.possible_days) = (vec![6], possible.to_vec()))
                .said("SW175")
        };
        assert_eq!(of([3, 7], &[1, 2, 3, 4, 7]), NOTE);
        assert_eq!(of([1, 3], &[1, 2, 3, 4, 7]), NONE);
        assert_eq!(of([3, 7], &[3, 7]), NONE);
    }
}
