//! How much a client is given: sets and exercises of a session, weekly sets of a muscle, and the dose at which a muscle
//! has had enough.
//!
//! They are values only. The planner aims at them and the check holds programmes against them, each with code of its
//! own. They say nothing of which exercises.

use crate::conditions;
use crate::present;
use crate::rules::TRAINED_SETS;
use setwright_model::brief::{Brief, Goal, Priority, TrainingAge};
use setwright_model::{FractionalSets, Minutes, Muscle};

/// Minutes a work set takes with its part of the rest, the walking and the talk, by training age (common practice, no
/// source (T): 18, 26 and 29 sets an hour; Schoenfeld 2019, MSSE 51:94 (A, B) has 35 sets with 90 s rest in 70 minutes).
const SET_MIN: [f64; 4] = [3.3, 2.35, 2.05, 2.05];
/// Minutes from which a session is as dense as a long one (common practice, no source (T)).
const LONG_MIN: f64 = 60.0;
/// The span below it over which it grows denser (common practice, no source (T): who has twenty minutes does not talk).
const SHORT_SPAN_MIN: f64 = 40.0;
/// By how much the shortest sessions are denser (judgement).
const DENSER: f64 = 0.3;
/// Minutes that a further exercise takes at least: setting up, warming up and two sets (common practice, no source (T):
/// one exercise for every five to six minutes).
const EXERCISE_MIN: f64 = 6.0;
/// Sets that a session may hold however little is done now: two of each of seven movements (judgement).
const SESSION_SETS_LEAST: f64 = 14.0;
/// Sessions of a cycle up to which they do (judgement).
const FEW_SESSIONS: f64 = 2.0;
/// The same where there are more of them (judgement: two short sessions and a shorter one).
const MORE_SESSIONS_SETS_LEAST: f64 = 11.0;
/// Work sets that a session has minutes for and holds whatever is spared (judgement: two of each of five movements).
const SPARED_SETS_LEAST: f64 = 10.0;
/// Share of a session's sets beside hard days of a sport (common practice, no source (T): strong, not sore).
const BESIDE_A_SPORT: f64 = 0.8;
/// Visits a week from which it is left out (judgement: one visit has the week to be slept off).
const OFTEN: f64 = 2.0;
/// By how much a session may hold more than its part of the cycle (judgement).
const UNEVEN: f64 = 1.25;
/// Work sets of a session at most from 65 on (Fragala 2019, J Strength Cond Res 33:2019 (from memory (m)): eight to ten exercises
/// of one to three sets; eight of three).
const OLDER_SESSION_SETS: u32 = 24;
/// Exercises that fit every session whatever its length (judgement: three pairs).
const EXERCISES_ALWAYS: u32 = 6;

/// Weekly sets of a muscle beyond which a coach asks why, by training age (judgement within the ranges of trials:
/// Baz-Valle 2022, J Hum Kinet 81:199 (M): 12 to 20 weekly sets for trained lifters; Ratamess 2009, MSSE 41:687 (A): one
/// to three sets of eight to ten exercises for novices).
const WEEKLY_MOST: [f64; 4] = [6.0, 12.0, 16.0, 20.0];
/// Weekly sets of a muscle at which most of the benefit is reached, by training age, for size (judgement; Pelland 2025,
/// Sports Med (A): gains grow with sets, less and less).
const TARGET_SIZE: [f64; 4] = [4.0, 8.0, 12.0, 14.0];
/// The same for anything else (judgement).
const TARGET_OTHER: [f64; 4] = [4.0, 8.0, 10.0, 11.0];

/// Factors of the weekly most by priority: low, usual, high, top (judgement).
const MOST_BY_PRIORITY: [f64; 4] = [0.7, 1.0, 1.2, 1.5];
/// Factors of the target by priority: low, usual, high, top (judgement).
const TARGET_BY_PRIORITY: [f64; 4] = [0.6, 1.0, 1.3, 1.5];
/// Share of the usual target of muscles that are trained in passing (judgement).
const IN_PASSING: f64 = 0.5;
/// The same of muscles that are so in part (judgement).
const PARTLY_IN_PASSING: f64 = 0.8;

const fn by_age(values: [f64; 4], age: TrainingAge) -> f64 {
    match age {
        TrainingAge::FirstWeeks => values[0],
        TrainingAge::Beginner => values[1],
        TrainingAge::Intermediate => values[2],
        TrainingAge::Advanced => values[3],
    }
}

const fn by_priority(values: [f64; 4], priority: Option<Priority>) -> f64 {
    match priority {
        Some(Priority::None | Priority::Low) => values[0],
        None | Some(Priority::Normal) => values[1],
        Some(Priority::High) => values[2],
        Some(Priority::Top) => values[3],
    }
}

/// Share of the usual amounts that age, a condition or a return leaves.
fn cared_share(brief: &Brief) -> f64 {
    conditions::limits(brief).sets_factor.get()
}

/// Work sets that a session holds at most.
pub fn session_sets(brief: &Brief, minutes: Minutes) -> u32 {
    let short = ((LONG_MIN - minutes.get()) / SHORT_SPAN_MIN).clamp(0.0, 1.0);
    let set_min = by_age(SET_MIN, brief.training_age) * (1.0 - DENSER * short);
    let fits = minutes.get() / set_min;
    let spared = (fits * cared_share(brief) * sport_share(brief)).max(fits.min(SPARED_SETS_LEAST));
    let most = spared.round().max(1.0) as u32;
    let most = if conditions::is_older(brief) { most.min(OLDER_SESSION_SETS) } else { most };
    present_sets(brief).map_or(most, |near| most.min(near))
}

/// Share of a session's sets that hard days of a sport leave.
fn sport_share(brief: &Brief) -> f64 {
    let weekly = f64::from(brief.time.sessions) * 7.0 / f64::from(brief.time.cycle_days.max(1));
    if !brief.sport.has_days() || weekly < OFTEN { 1.0 } else { BESIDE_A_SPORT }
}

/// Work sets that a session of the first cycle holds at most by what is done in the present week: its part, and more where
/// another holds less.
fn present_sets(brief: &Brief) -> Option<u32> {
    let part = cycle_room(brief)? / f64::from(brief.time.sessions);
    Some((part * UNEVEN).ceil().max(SESSION_SETS_LEAST) as u32)
}

/// Work sets that the first cycle holds at most by what is done in the present week; none where that was not told.
pub fn cycle_sets(brief: &Brief) -> Option<u32> {
    let sessions = f64::from(brief.time.sessions);
    let few = sessions <= FEW_SESSIONS;
    let each = if few { SESSION_SETS_LEAST } else { MORE_SESSIONS_SETS_LEAST };
    Some(cycle_room(brief)?.ceil().max(each * sessions) as u32)
}

fn cycle_room(brief: &Brief) -> Option<f64> {
    Some(present::most_sets(brief)? * f64::from(brief.time.cycle_days) / 7.0)
}

/// Exercises that a session holds at most.
pub fn session_exercises(minutes: Minutes) -> u32 {
    ((minutes.get() / EXERCISE_MIN).round() as u32).max(EXERCISES_ALWAYS)
}

fn priority(brief: &Brief, muscle: Muscle) -> Option<Priority> {
    brief.muscles.get(&muscle).and_then(|w| w.priority)
}

fn least(brief: &Brief, muscle: Muscle) -> f64 {
    brief.muscles.get(&muscle).and_then(|w| w.least).map_or(0.0, FractionalSets::get)
}

/// Weekly sets of a muscle beyond which nothing is planned where the brief names no most of its own. What the brief
/// asks at least, with a little room, always fits.
pub fn weekly_most(brief: &Brief, muscle: Muscle) -> FractionalSets {
    let base =
        by_age(WEEKLY_MOST, brief.training_age) * by_priority(MOST_BY_PRIORITY, priority(brief, muscle));
    let most = base * cared_share(brief);
    let near = present::most_of(brief, muscle).map_or(most, |now| most.min(now.get()));
    FractionalSets(near.max(least(brief, muscle) + TRAINED_SETS / 2.0))
}

/// Weekly sets of a muscle at which it has had most of what training can give it.
pub fn weekly_target(brief: &Brief, muscle: Muscle) -> FractionalSets {
    let values = if brief.goal == Goal::Size { TARGET_SIZE } else { TARGET_OTHER };
    let own = match muscle {
        _ if priority(brief, muscle) >= Some(Priority::High) => 1.0,
        Muscle::Abs
        | Muscle::Obliques
        | Muscle::Forearms
        | Muscle::Traps
        | Muscle::LowerBack
        | Muscle::Adductors => IN_PASSING,
        Muscle::FrontDelts | Muscle::Calves => PARTLY_IN_PASSING,
        _ => 1.0,
    };
    let usual = by_age(values, brief.training_age) * cared_share(brief);
    let wanted = usual * own * by_priority(TARGET_BY_PRIORITY, priority(brief, muscle));
    FractionalSets(wanted.max(least(brief, muscle)))
}

/// Share of the target up to which benefit grows like a square root (judgement).
const ROOT_TO: f64 = 0.8;
/// Where it is greatest (judgement: it flattens, and no study shows that more than about twice the usual dose brings more).
const TOP_AT: f64 = 1.3;
/// Benefit at the target, in points (exact by definition: the root of ten, as a muscle at ten weekly sets had before
/// targets).
const AT_TARGET: f64 = 10.0;

/// Benefit of a dose as a share of its target, in points: like a square root at first, then a parabola of the same slope
/// that has its top a little above the target and falls gently beyond. Concave.
pub fn benefit(share: f64) -> f64 {
    let root = libm::sqrt(ROOT_TO);
    let shape = if share <= ROOT_TO {
        libm::sqrt(share.max(0.0))
    } else {
        // Half is exact by definition: the slope of a root, and a parabola whose slope is nought at its top.
        let (slope, over) = (0.5 / root, share - ROOT_TO);
        root + slope * over - slope / (2.0 * (TOP_AT - ROOT_TO)) * over * over
    };
    libm::sqrt(AT_TARGET) * shape
}

#[cfg(test)]
mod tests {
    use super::*;

    fn brief(text: &str) -> Brief {
        toml::from_str(&format!("name = \"A\"\n{text}")).expect("a brief")
    }

    fn of(age: &str, goal: &str, more: &str) -> Brief {
        brief(&format!(
            "goal = \"{goal}\"\ntraining_age = \"{age}\"\ntime = {{ sessions = 2, minutes = 60 }}\n{more}"
        ))
    }

    #[test]
    fn short_sessions_are_denser_and_older_clients_get_less() {
        let client = of("intermediate", "general", "");
        let sets = |m: f64| session_sets(&client, Minutes(m));
        assert_eq!((sets(20.0), sets(60.0), sets(90.0)), (14, 29, 44));
        assert!(sets(20.0) * 3 > sets(60.0));
        let older = of("intermediate", "general", "body = { age = 70 }");
        assert!(session_sets(&older, Minutes(60.0)) < sets(60.0));
    }

    #[test]
    fn exercises_take_six_minutes_each_and_three_pairs_always_fit() {
        assert_eq!([20.0, 36.0, 60.0, 90.0].map(|m| session_exercises(Minutes(m))), [6, 6, 10, 15]);
    }

    #[test]
    fn a_priority_raises_target_and_most_and_a_least_always_fits() {
        let client =
            of("advanced", "size", "muscles = { quads = { priority = \"top\" }, calves = { least = 30.0 } }");
        assert!(weekly_target(&client, Muscle::Quads) > weekly_target(&client, Muscle::Chest));
        assert!(weekly_most(&client, Muscle::Quads) > weekly_most(&client, Muscle::Chest));
        assert!(weekly_most(&client, Muscle::Calves).get() > 30.0);
        assert!(weekly_target(&client, Muscle::Calves).get() >= 30.0);
    }

    #[test]
    fn benefit_is_concave_has_its_top_above_the_target_and_falls_gently() {
        let at = |x: f64| benefit(x);
        for k in 1..300 {
            let x = f64::from(k) / 100.0;
            assert!(at(x - 0.01) + at(x + 0.01) <= 2.0 * at(x) + 1e-9, "{x}");
        }
        assert!(at(1.3) > at(1.2) && at(1.3) > at(1.4));
        assert!(at(2.0) > at(1.0) * 0.6 && at(0.0) == 0.0);
        assert!((at(0.8 + 1e-9) - at(0.8)).abs() < 1e-6);
    }
}
