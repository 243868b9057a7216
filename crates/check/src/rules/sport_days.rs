//! A sport beside the training (SW175): sessions keep off its hard days and the days before where other days are possible,
//! and where they cannot, legs get half of their sets and nothing new that tires the whole body.

use crate::rules::days::smallest_gap;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::list;
use setwright_model::limits::CYCLE_DAYS_MAX;
use setwright_model::pattern::Region;
use setwright_model::{Brief, Severity};

/// Sets of a leg exercise on such a day: half of what is usual, and as many of what the client does anyhow as keep it
/// (common practice, no source (T)).
const HALF: u32 = 2;
const KEPT: u32 = 3;
/// Days between sessions that are kept even for the sport (judgement).
const APART: u32 = 2;
/// What tires the whole body, and what loads the back (judgement, on the catalogue's scales of 0 to 3).
const TIRING: u8 = 3;
const HEAVY_ON_THE_BACK: u8 = 2;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief.filter(|b| !b.sport.hard_days.is_empty()) else { return };
    for stage in scene.stages.iter().filter(|s| is_near(brief, s.session.day)) {
        for item in &stage.items {
            legs(scene, stage, item, out);
        }
    }
    days(scene, brief, out);
}

/// A hard day of the sport or the day before one, round the cycle.
fn is_near(brief: &Brief, day: u32) -> bool {
    let next = day % brief.time.cycle_days.clamp(1, CYCLE_DAYS_MAX) + 1;
    brief.sport.hard_days.iter().any(|hard| *hard == day || *hard == next)
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

/// Days that could be changed for one further from the sport, one at a time, without bringing sessions nearer to each other
/// than two days or than they are.
fn days(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    if !brief.time.days.is_empty() {
        return;
    }
    let cycle = scene.programme.cycle_days.clamp(1, CYCLE_DAYS_MAX);
    let days: Vec<u32> = scene.stages.iter().map(|s| s.session.day).collect();
    let possible = |day: &u32| brief.time.possible_days.is_empty() || brief.time.possible_days.contains(day);
    let apart = smallest_gap(&days, cycle).min(APART);
    let better = |near: &u32| {
        let others = |day: u32| -> Vec<u32> {
            let mut all: Vec<u32> = days.iter().copied().filter(|d| d != near).chain([day]).collect();
            all.sort_unstable();
            all
        };
        (1..=cycle).filter(possible).any(|day| {
            !days.contains(&day)
                && !is_near(brief, day)
                && smallest_gap(&others(day), cycle).min(APART) >= apart
        })
    };
    let near: Vec<String> =
        days.iter().filter(|d| is_near(brief, **d) && better(d)).map(|d| format!("day {d}")).collect();
    if !near.is_empty() {
        let cause = format!(
            "A session on {}, near a hard day of the sport, though another day is free.",
            list(&near)
        );
        out.add(At::Programme, Severity::Warning, "SW175", cause, "Train on the days that are free of both.");
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, NONE, WARNING, exercise, press, row, sets, squat, straight, with};
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
}
