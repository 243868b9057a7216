//! How much a muscle gets in a week: benefit saturates at a target and falls gently beyond, and nobody gets more than a
//! coach would sign. What the coach has fixed always fits.

use super::session_amount::sets_each_most;
use super::{Client, Count, GIVEN_UP_FIRST, GIVEN_UP_LAST, Rule, Unit};
use crate::modes::Mode;
use setwright_model::brief::{Goal, Priority};
use setwright_model::exercise::Exercise;
use setwright_model::{FractionalSets, Muscle, Pattern};
use setwright_science::amounts;

/// The rule. Its target is in the tables of benefit and its most in the ranges of dose.
pub struct WeeklyAmount;

impl Rule for WeeklyAmount {
    fn name(&self) -> &'static str {
        "weekly_amount"
    }

    fn allows(&self, e: &Exercise, _mode: Mode, sets: u32, c: &Client<'_>) -> bool {
        // Legs beside a sport get what it leaves them.
        let spared = c.is_locked(e) || c.near_sport != 0 || is_short(c);
        !c.is_wanted(e) || spared || sets >= WANTED_SETS.min(sets_each_most(c))
    }

    /// What the client came for has work of its own, however much others bring it in passing.
    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let often = if is_short(c) { 1 } else { c.brief.time.sessions.min(2) as i16 };
        let mut wanted: Vec<Muscle> =
            Muscle::ALL.into_iter().filter(|m| c.priority_of(*m) >= Some(Priority::High)).collect();
        wanted.sort_by_key(|m| std::cmp::Reverse(c.priority_of(*m)));
        let of = |m: Muscle| Count {
            muscle: Some(m),
            cycle_least: Some(often),
            soft: GIVEN_UP_LAST,
            ..Count::new("weekly_amount", "direct work for what matters most", Unit::Exercise, |_, _| 1)
        };
        wanted.truncate(WANTED_MOST);
        let now = wanted.iter().filter_map(|m| kept_sets(*m, c));
        let jobs = wanted.iter().flat_map(|m| both_jobs(*m, c));
        let top = wanted.iter().filter_map(|m| top_sets(*m, c));
        wanted.iter().map(|m| of(*m)).chain(now).chain(jobs).chain(top).chain(no_more_presses(c)).collect()
    }
}

/// Who came for legs gets no more sets of presses than for what they came for (common practice, no source (T): what nobody asked
/// for is kept up).
fn no_more_presses(c: &Client<'_>) -> Option<Count> {
    const LEGS: [Muscle; 3] = [Muscle::Quads, Muscle::Hamstrings, Muscle::Glutes];
    let wants = |m: &Muscle| c.priority_of(*m) >= Some(Priority::High);
    let asked = LEGS.iter().any(wants) && c.near_sport == 0 && !is_short(c);
    let sign = |e: &Exercise, c: &Client<'_>| {
        let press = super::movements::broad_need(e.pattern) == Some(super::movements::Need::Press);
        if c.is_wanted(e) { 1 } else { -i16::from(press) }
    };
    asked.then(|| Count {
        cycle_least: Some(0),
        soft: GIVEN_UP_FIRST,
        ..Count::new("weekly_amount", "no more presses than for what matters most", Unit::Set, sign)
    })
}

/// Of a muscle with two jobs that the client came for, both are trained: hamstrings bend the knee and hold the hip, glutes are
/// worked where they are long as well as where they are short (common practice, no source (T)).
fn both_jobs(muscle: Muscle, c: &Client<'_>) -> Vec<Count> {
    let of = |what, sign| Count {
        cycle_least: Some(1),
        soft: GIVEN_UP_FIRST,
        ..Count::new("weekly_amount", what, Unit::Exercise, sign)
    };
    let given =
        |pattern| c.exercises().any(|e| e.pattern == pattern && c.room.can_do(e) && c.keeps_out(e).is_none());
    let curl = || of("the hamstrings bending the knee", |e, _| i16::from(e.pattern == Pattern::KneeFlexion));
    let hinge = || of("the hip bent and stretched under load", |e, _| i16::from(e.pattern == Pattern::Hinge));
    let asked = match muscle {
        Muscle::Hamstrings => vec![(Pattern::KneeFlexion, curl()), (Pattern::Hinge, hinge())],
        Muscle::Glutes => vec![(Pattern::Hinge, hinge())],
        _ => Vec::new(),
    };
    let roomy = !is_short(c) && !c.first_weeks();
    asked.into_iter().filter(|(pattern, _)| roomy && given(*pattern)).map(|(_, count)| count).collect()
}

/// Weekly sets of its own that what the client came for above all gets at least where there is time (common practice, no source
/// (T): most of the week's work for it, whatever presses and pulls bring it), and the minutes a week from which there is (judgement).
const TOP_SETS: f64 = 8.0;
const TOP_MIN: f64 = 120.0;

fn top_sets(muscle: Muscle, c: &Client<'_>) -> Option<Count> {
    let top = c.priority_of(muscle) == Some(Priority::Top) && c.brief.goal == Goal::Size;
    let may = c.is_seasoned() && !c.is_returning() && c.near_sport == 0;
    let told = c.brief.present.muscles.contains_key(&muscle);
    let most = most(c, muscle).get() * c.weeks();
    let least = (TOP_SETS * c.weeks()).min(most).floor() as i16;
    (top && may && !told && c.cycle_minutes() >= TOP_MIN * c.weeks()).then(|| Count {
        muscle: Some(muscle),
        cycle_least: Some(least),
        soft: GIVEN_UP_FIRST,
        ..Count::new("weekly_amount", "sets for what matters most", Unit::Set, |_, _| 1)
    })
}

/// Of what the client came for there is no less work of its own than now.
fn kept_sets(muscle: Muscle, c: &Client<'_>) -> Option<Count> {
    let told = c.brief.present.muscles.get(&muscle)?.get() * c.weeks();
    // What a session's exercise holds, in two exercises a session, is as much as can be asked.
    let most = f64::from(2 * c.rules.sets.1 * c.brief.time.sessions);
    let least = told.min(most).floor() as i16;
    let sets =
        Count::new("weekly_amount", "no less work than now for what matters most", Unit::Set, |_, _| 1);
    let kept = Count { muscle: Some(muscle), cycle_least: Some(least), soft: GIVEN_UP_LAST, ..sets };
    (least > 0 && !is_short(c) && c.near_sport == 0).then_some(kept)
}

/// Muscles for which that is asked at most: with more of them none matters more (judgement).
const WANTED_MOST: usize = 2;
/// Sets of a session that it gets at least (common practice, no source (T)).
const WANTED_SETS: u32 = 3;

/// Whether a session holds hardly more than the movements (judgement).
fn is_short(c: &Client<'_>) -> bool {
    c.shortest_minutes() < SHORT_MIN
}

/// See [`is_short`].
const SHORT_MIN: f64 = 20.0;

/// Most weekly sets of a muscle: the brief's own, or what the amounts say.
pub fn most(c: &Client<'_>, muscle: Muscle) -> FractionalSets {
    let own = c.brief.muscles.get(&muscle).and_then(|w| w.most);
    own.unwrap_or_else(|| amounts::weekly_most(c.brief, muscle))
}

/// Quarter-sets of a muscle that the coach's locks come to.
pub fn locked_quarters(c: &Client<'_>, muscle: Muscle) -> i32 {
    let of = |lock: &setwright_model::brief::Lock| {
        let sets = lock.sets.unwrap_or(c.rules.sets.0);
        let part = c.locked_exercise(&lock.exercise).map_or(0.0, |e| e.contribution(muscle));
        (4.0 * part * f64::from(sets)).ceil() as i32
    };
    c.brief.locks.iter().map(of).sum()
}
