//! Trunk and arm work is limited where nobody came for it, and trunk work does not stand between heavy sets that need the
//! trunk.

use super::{Client, Count, GIVEN_UP_FIRST, GIVEN_UP_LAST, Rule, Unit};
use crate::modes::Mode;
use setwright_model::brief::{Goal, Priority, Test, TestKind};
use setwright_model::exercise::{Exercise, LoadKind, Standing};
use setwright_model::{Muscle, Pattern, Station};
use setwright_science::conditions;

/// Trunk sets a week, and exercises of a session (common practice, no source (T)).
const TRUNK_SETS: f64 = 8.0;
const TRUNK_EXERCISES: i16 = 2;
/// Minutes a week from which there is time for single joints of the arms (judgement: three visits of an hour).
const ARMS_MIN: f64 = 180.0;
/// Sets a week of curls beyond those for the triceps alone, where size is the goal (common practice, no source (T): who wants arms
/// trains both sides of them).
const CURLS_OVER: f64 = 2.0;
/// Single-joint arm exercises of a session (common practice, no source (T): one for the biceps, one for the triceps).
const ARM_EXERCISES: i16 = 2;

/// Sets of a session that trunk work and single joints get at most where nobody came for them: for size, for anything else and the
/// trunk, and after a stop, when lifts get as many (common practice, no source (T): the small work is no larger than the lifts).
const SMALL_SETS_SIZE: u32 = 4;
const SMALL_SETS: u32 = 3;
const SMALL_SETS_AFTER_A_STOP: u32 = 2;
/// Seconds of a plank from which its first forms are too easy (judgement).
const LONG_PLANK_S: u32 = 90;
/// Minutes of a cycle from which there is something for the trunk (common practice, no source (T)).
const TRUNK_MIN: f64 = 60.0;

/// The rule.
pub struct TrunkAndArms;

impl Rule for TrunkAndArms {
    fn name(&self) -> &'static str {
        "trunk_and_arms"
    }

    fn allows(&self, e: &Exercise, _mode: Mode, sets: u32, c: &Client<'_>) -> bool {
        let small = is_trunk(e) || !e.pattern.is_compound();
        let free = !small || c.is_wanted(e) || c.is_asked_for(e) || c.is_locked(e);
        free || sets <= small_sets(e, c).max(c.rules.sets.0)
    }

    fn is_odd(&self, e: &Exercise, c: &Client<'_>) -> bool {
        let past = is_first_trunk_work(e) && has_a_strong_trunk(c) && has_harder_trunk_work(c);
        past && !c.is_told(e) && !c.is_locked(e)
    }

    fn parts(&self, a: &Exercise, b: &Exercise, _c: &Client<'_>) -> bool {
        is_trunk(a) && b.is_spinal()
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let most = (TRUNK_SETS * c.weeks()).round() as i16;
        let trunk = |e: &Exercise, c: &Client<'_>| i16::from(is_trunk(e) && !is_priority(e, c));
        let arms = |e: &Exercise, c: &Client<'_>| i16::from(is_arm(e) && !is_priority(e, c));
        let sets = Count::new("trunk_and_arms", "trunk work", Unit::Set, trunk);
        let exercises = Count::new("trunk_and_arms", "trunk exercises", Unit::Exercise, trunk);
        let curls = Count::new("trunk_and_arms", "work for the triceps beside curls", Unit::Set, less_curls);
        let apart = (CURLS_OVER * c.weeks()).round() as i16;
        let arm = Count::new("trunk_and_arms", "single-joint arm exercises", Unit::Exercise, arms);
        [
            Count { cycle_most: Some(most), ..sets },
            Count { session_most: Some(TRUNK_EXERCISES), ..exercises },
            Count { session_most: Some(ARM_EXERCISES), ..arm },
        ]
        .into_iter()
        .chain((c.brief.goal == Goal::Size).then_some(Count {
            cycle_least: Some(-apart),
            soft: GIVEN_UP_LAST,
            ..curls
        }))
        .chain(both_sides(c))
        .chain(some_trunk(c))
        .chain(half_as_much(c))
        .collect()
    }
}

/// Trunk work that anybody begins with: on the floor, with nothing in the hands.
fn is_first_trunk_work(e: &Exercise) -> bool {
    let floor = e.stations.iter().all(|s| *s == Station::Floor);
    is_trunk(e) && e.load == LoadKind::Body && e.skill <= 1 && floor
}

/// Whether the client is past that: a long plank was tested (common practice, no source (T): then the harder form, not a longer
/// hold).
fn has_a_strong_trunk(c: &Client<'_>) -> bool {
    let long = |t: &Test| t.what == TestKind::Plank && t.count >= LONG_PLANK_S;
    c.brief.tests.iter().any(long)
}

/// Whether there is something else for the trunk that the client can do.
fn has_harder_trunk_work(c: &Client<'_>) -> bool {
    let plain = |e: &Exercise| e.standing != Standing::Special && e.pattern != Pattern::SideBend;
    let harder = |e: &Exercise| is_trunk(e) && plain(e) && !is_first_trunk_work(e) && c.room.can_do(e);
    c.exercises().any(|e| harder(e) && c.keeps_out(e).is_none())
}

/// For strength the small work, trunk and all, has at most half as many sets as the lifts (common practice, no source (T)), from
/// three hours a week on, unless the client came for it.
fn half_as_much(c: &Client<'_>) -> Option<Count> {
    let roomy = c.cycle_minutes() >= ARMS_MIN * c.weeks();
    let sign = |e: &Exercise, c: &Client<'_>| match e.pattern.is_compound() {
        true => 1,
        false if c.is_wanted(e) || c.is_asked_for(e) => 0,
        false => -2,
    };
    (c.brief.goal == Goal::Strength && !c.first_weeks() && roomy).then(|| Count {
        cycle_least: Some(0),
        soft: GIVEN_UP_FIRST,
        ..Count::new("trunk_and_arms", "half as much small work as lifts", Unit::Set, sign)
    })
}

fn small_sets(e: &Exercise, c: &Client<'_>) -> u32 {
    match c.brief.goal {
        _ if conditions::has_stopped(c.brief) => SMALL_SETS_AFTER_A_STOP,
        Goal::Size if !is_trunk(e) => SMALL_SETS_SIZE,
        _ => SMALL_SETS,
    }
}

/// With some time there is something for the trunk, unless it matters little.
fn some_trunk(c: &Client<'_>) -> Option<Count> {
    let roomy = c.cycle_minutes() >= TRUNK_MIN * c.weeks() && !c.first_weeks();
    (roomy && !c.is_minor(Muscle::Abs)).then(|| Count {
        cycle_least: Some(1),
        soft: GIVEN_UP_FIRST,
        ..Count::new("trunk_and_arms", "something for the trunk", Unit::Exercise, |e, _| {
            i16::from(is_trunk(e))
        })
    })
}

/// Who trains for size and has the time gets something for each side of the arms beside presses and rows, unless it matters little.
fn both_sides(c: &Client<'_>) -> Vec<Count> {
    let roomy = c.cycle_minutes() >= ARMS_MIN * c.weeks();
    if c.brief.goal != Goal::Size || !c.is_seasoned() || !roomy {
        return Vec::new();
    }
    let matters = |m: Muscle| c.priority_of(m).is_none_or(|p| p >= Priority::Normal);
    let of = |what, sign| Count {
        cycle_least: Some(1),
        soft: GIVEN_UP_FIRST,
        ..Count::new("trunk_and_arms", what, Unit::Exercise, sign)
    };
    let curl = |e: &Exercise, _: &Client<'_>| i16::from(e.pattern == Pattern::ElbowFlexion);
    let extension = |e: &Exercise, _: &Client<'_>| i16::from(e.pattern == Pattern::ElbowExtension);
    let curl = matters(Muscle::Biceps).then(|| of("a curl", curl));
    let extension = matters(Muscle::Triceps).then(|| of("something for the triceps alone", extension));
    curl.into_iter().chain(extension).collect()
}

/// What is for the triceps alone counts for, curls against; neither where one of the two matters more than the other.
fn less_curls(e: &Exercise, c: &Client<'_>) -> i16 {
    let of = |m: Muscle| c.priority_of(m).unwrap_or(Priority::Normal);
    match e.pattern {
        _ if of(Muscle::Biceps) != of(Muscle::Triceps) => 0,
        Pattern::ElbowFlexion => -1,
        Pattern::ElbowExtension => 1,
        _ => 0,
    }
}

fn is_priority(e: &Exercise, c: &Client<'_>) -> bool {
    c.priority(e) >= Some(Priority::High)
}

/// Whether an exercise is for the trunk.
pub fn is_trunk(e: &Exercise) -> bool {
    matches!(
        e.pattern,
        Pattern::TrunkFlexion | Pattern::TrunkBrace | Pattern::TrunkRotation | Pattern::SideBend
    )
}

fn is_arm(e: &Exercise) -> bool {
    matches!(e.pattern, Pattern::ElbowFlexion | Pattern::ElbowExtension | Pattern::Wrist)
}
