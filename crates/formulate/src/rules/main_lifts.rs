//! A strength client's main lifts open the session, straight and rested, each at least once a cycle and about as often
//! as the others.

use super::session_amount::sets_each_most;
use super::{Client, Count, Rule, Unit};
use crate::modes::Mode;
use setwright_model::brief::TrainingAge;
use setwright_model::exercise::Exercise;
use setwright_model::pattern::Side;
use setwright_model::{BlockKind, Catalogue};

/// Least sets, and least rest between them (Ratamess 2009, MSSE 41:687 (A): two to three minutes at least).
const LEAST_SETS: u32 = 3;
const LEAST_SETS_PULL_NEW: u32 = 2;
const LEAST_REST_S: u32 = 180;
/// Sessions a week of one main lift at most: each heavy and light in turn, and none crowds out another (judgement). From 65 on a
/// pull from the floor comes once (common practice, no source (T)).
const WEEKLY_MOST: f64 = 2.0;
/// What the second session of a main lift brings, in points (judgement; Grgic 2018, Sports Med 48:1207 (A): two sessions
/// a week bring more strength than one).
const SECOND: f64 = 0.45;
/// The same of a pull from the floor, which costs the most, and of the squat of somebody new, who learns it by doing it more
/// often than the pull (judgement).
const SECOND_PULL: f64 = 0.25;
const SECOND_SQUAT_NEW: f64 = 0.8;
/// Sessions a week from which somebody new squats twice (common practice, no source (T)).
const OFTEN: f64 = 3.0;
/// What a main lift brings by being there where none was told: it is wanted and not asked for (judgement: as much as a told
/// lift).
const UNTOLD_THERE: f64 = 0.9;
/// Minutes of a main lift that is warmed up, has three sets and three minutes of rest (common practice, no source (T)).
pub const LIFT_MIN: f64 = 18.0;
/// Most main lifts that are counted one by one.
pub const MOST: usize = 6;

/// The rule.
pub struct MainLifts;

impl Rule for MainLifts {
    fn name(&self) -> &'static str {
        "main_lifts"
    }

    fn allows(&self, e: &Exercise, mode: Mode, sets: u32, c: &Client<'_>) -> bool {
        !c.is_main(e)
            || c.is_locked(e)
            || sets >= least_sets(e, c) && mode.kind == BlockKind::Straight && mode.rest_s >= LEAST_REST_S
    }

    fn brings(&self, e: &Exercise, sessions: usize, c: &Client<'_>) -> f64 {
        if !c.is_main(e) || sessions == 0 {
            return 0.0;
        }
        let there = if c.is_told(e) { 0.0 } else { UNTOLD_THERE };
        let again = match turn(e) {
            _ if sessions < 2 => 0.0,
            FROM_THE_FLOOR => SECOND_PULL,
            SQUAT if c.is_new() => SECOND_SQUAT_NEW,
            _ => SECOND,
        };
        there + again
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let most = |index: usize| {
            let pull = c.exercise(&c.mains[index]).is_some_and(|e| turn(e) == FROM_THE_FLOOR);
            let weekly = if pull && c.is_older() { 1.0 } else { WEEKLY_MOST };
            (weekly * c.weeks()).round().max(1.0) as i16
        };
        let mains = c.mains.len().min(MOST);
        let told = c.shown().any(|e| c.is_main(e));
        let fit = places(c);
        let often = f64::from(c.brief.time.sessions) / c.weeks() >= OFTEN;
        let least = |index: usize| {
            let squat = c.locked_exercise(&c.mains[index]).is_some_and(|e| turn(e) == SQUAT);
            if squat && often && c.is_new() && fit > mains { 2 } else { 1 }
        };
        let own = |index| Count {
            only: Some(index),
            cycle_least: (told && mains <= fit).then_some(least(index)),
            cycle_most: Some(most(index)),
            weight: 3,
            ..Count::new("main_lifts", "the main lifts", Unit::Exercise, |_, _| 1)
        };
        let mut out: Vec<Count> = (0..mains).map(own).collect();
        if told && mains > fit {
            // Too few minutes for all of them: as many as they hold.
            let any = |e: &Exercise, c: &Client<'_>| i16::from(c.is_main(e));
            let some = Count::new("main_lifts", "the main lifts", Unit::Exercise, any);
            out.push(Count { cycle_least: Some(fit.max(1) as i16), weight: 3, ..some });
        }
        out.extend(worked(c));
        if mains > 0 {
            let pulls = Count::new("main_lifts", "pulls from the floor", Unit::Set, |e, c| {
                is_of(e, c, FROM_THE_FLOOR)
            });
            out.push(Count { cycle_most: Some((PULLS_MOST * c.weeks()).round() as i16), ..pulls });
        }
        out
    }
}

/// Somebody new has two sets of what comes from the floor, which costs the most (common practice, no source (T)); after a stop
/// nothing has more than it may.
fn least_sets(e: &Exercise, c: &Client<'_>) -> u32 {
    let pull = c.is_new() && turn(e) == FROM_THE_FLOOR;
    if pull { LEAST_SETS_PULL_NEW } else { LEAST_SETS }.min(sets_each_most(c))
}

/// Different sessions that the main lifts need so that none loads the spine beyond what it may.
pub fn sessions_for_the_spine(c: &Client<'_>) -> usize {
    let mains = c.mains.iter().filter_map(|id| c.locked_exercise(id));
    let cost: u32 = mains.map(|e| u32::from(e.spinal) * least_sets(e, c)).sum();
    (cost.div_ceil(c.rules.spinal.max(1)) as usize).max(1)
}

/// Sets a week of the squats, the presses and the pulls from the floor of an advanced lifter, at least (common practice, no
/// source (T): eight to twelve, and fewer of what costs the most; five to nine a lift bring more than fewer: Ralston 2017,
/// Sports Med 47:2585 (from memory (m))), and minutes a week from which there is time for them (judgement).
const WEEKLY_SETS: [f64; 3] = [8.0, 8.0, 5.0];
const WORKED_MIN: f64 = 240.0;

/// Sets a week of the main pulls from the floor at most (common practice, no source (T): what costs the most comes least).
const PULLS_MOST: f64 = 6.0;

/// Of an advanced lifter with time, each kind of main lift is worked before anything small is.
fn worked(c: &Client<'_>) -> Vec<Count> {
    let advanced = c.brief.training_age == TrainingAge::Advanced && !c.is_older() && !c.is_returning();
    if !advanced || c.cycle_minutes() < WORKED_MIN * c.weeks() {
        return Vec::new();
    }
    let of = |kind: u8, what, sign| {
        let told = c.shown().filter(|e| c.is_main(e) && turn(e) == kind && c.keeps_out(e).is_none()).count();
        // A lift comes twice a week at most, in sets that a session holds.
        let most = told as f64 * WEEKLY_MOST * f64::from(c.rules.sets.1);
        let least = (WEEKLY_SETS[usize::from(kind)].min(most) * c.weeks()).floor() as i16;
        let count = Count::new("main_lifts", what, Unit::Set, sign);
        (told > 0).then_some(Count { cycle_least: Some(least), ..count })
    };
    let squats = of(SQUAT, "sets of the main squats", |e, c| is_of(e, c, SQUAT));
    let presses = of(PRESS, "sets of the main presses", |e, c| is_of(e, c, PRESS));
    let pulls = of(FROM_THE_FLOOR, "sets of the main pulls", |e, c| is_of(e, c, FROM_THE_FLOOR));
    [squats, presses, pulls].into_iter().flatten().collect()
}

fn is_of(e: &Exercise, c: &Client<'_>, kind: u8) -> i16 {
    i16::from(c.is_main(e) && turn(e) == kind)
}

/// Minutes under which a session with a main lift holds next to nothing else (common practice, no source (T)).
const ALONE_MIN: f64 = 25.0;

/// Main lifts that the sessions of a cycle hold, each its own; where each fills its session, one is left to the rest.
pub fn places(c: &Client<'_>) -> usize {
    let time = &c.brief.time;
    let sessions = time.sessions as usize;
    let all = (0..sessions).map(|s| (time.minutes.of(s).get() / LIFT_MIN) as usize).sum();
    let filled = (0..sessions).all(|s| time.minutes.of(s).get() < ALONE_MIN);
    if filled && sessions > 1 { sessions.saturating_sub(1).min(all) } else { all }
}

/// What a strength client trains who has told of none: to be found by feel (common practice, no source (T)).
pub fn usual(catalogue: &Catalogue) -> impl Iterator<Item = &Exercise> {
    ["back_squat", "bench_press", "deadlift"].into_iter().filter_map(|id| catalogue.get(&id.into()))
}

/// The turn of a squat.
pub const SQUAT: u8 = 0;
/// The turn of a press.
pub const PRESS: u8 = 1;
/// The turn of what comes from the floor.
pub const FROM_THE_FLOOR: u8 = 2;

/// Squats first, then presses, then what comes from the floor.
pub fn turn(e: &Exercise) -> u8 {
    match e.pattern.side() {
        Side::Knee => SQUAT,
        Side::Hip => FROM_THE_FLOOR,
        _ => PRESS,
    }
}
