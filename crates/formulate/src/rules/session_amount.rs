//! How much a session holds: so many sets and exercises for its minutes, and the whole body priced like a muscle that
//! only tires, so that work spreads over the sessions and minutes may stay unused.

use super::{Client, Count, GIVEN_UP_NEXT, Rule, Unit};
use crate::modes::Mode;
use setwright_model::BlockKind;
use setwright_model::brief::Goal;
use setwright_model::exercise::Exercise;
use setwright_science::conditions;

/// Share of the most sets from which effort costs (judgement).
pub const FREE: f64 = 0.55;
/// What the last set at the most costs, in points (judgement: about what a set near a muscle's target brings).
pub const EDGE: f64 = 0.09;

/// What an exercise done straight costs a client of ordinary ambitions, in points (common practice, no source (T): nine
/// blocks in ten alternate; the figure is judgement).
const STRAIGHT: f64 = 0.35;

/// The rule. Its most is a limit of each session and its price is of each session's effort; both are laid out in the
/// tables.
pub struct SessionAmount;

impl Rule for SessionAmount {
    fn name(&self) -> &'static str {
        "session_amount"
    }

    /// Near what is done now, in all.
    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        // A step of a roadmap says how much it holds.
        let now = setwright_science::amounts::cycle_sets(c.brief).filter(|_| c.brief.style.step.is_none());
        let all = Count::new("session_amount", "a start near the present week", Unit::Set, |_, _| 1);
        now.map(|most| Count { cycle_most: i16::try_from(most).ok(), soft: GIVEN_UP_NEXT, ..all })
            .into_iter()
            .collect()
    }

    fn allows(&self, e: &Exercise, _mode: Mode, sets: u32, c: &Client<'_>) -> bool {
        sets <= sets_each_most(c) || c.is_locked(e)
    }

    fn price(&self, e: &Exercise, mode: Mode, c: &Client<'_>) -> f64 {
        // With one set of each there is nothing to do in turn.
        let one_each = c.rules.has_one_set_each();
        let ordinary = c.brief.goal == Goal::General && c.brief.style.alternate && !c.is_older() && !one_each;
        let shares = !e.is_taxing() || c.rules.taxing_may_share;
        if ordinary && mode.kind == BlockKind::Straight && shares { STRAIGHT } else { 0.0 }
    }
}

/// Price of a session's effort in points, by quarters of effort, up to what so many sets can come to.
pub fn effort_prices(sets_most: u32) -> Vec<f64> {
    let most = f64::from(sets_most);
    let price = |quarters: u32| {
        let over = (f64::from(quarters) / 4.0 - FREE * most).max(0.0);
        EDGE * over * over / (2.0 * (1.0 - FREE) * most)
    };
    (0..=crate::units::EFFORT_MOST * (sets_most + 2)).map(price).collect()
}

/// Sets of an exercise in the first block after a stop (common practice, no source (T)).
const SETS_AFTER_A_STOP: u32 = 2;

/// Most sets of an exercise.
pub fn sets_each_most(c: &Client<'_>) -> u32 {
    let back = c.is_returning() && conditions::has_stopped(c.brief);
    let (least, most) = c.rules.sets;
    if back { most.min(SETS_AFTER_A_STOP).max(least) } else { most }
}

/// Most sets of each session.
pub fn sets_most(c: &Client<'_>) -> Vec<u32> {
    let amount = |s: usize| setwright_science::amounts::session_sets(c.brief, c.brief.time.minutes.of(s));
    // A step of a roadmap says how much it holds.
    let step = c.brief.style.step.map_or(0, |step| step.sets.1 * step.exercises);
    let of = |s: usize| amount(s).max(step);
    (0..c.brief.time.sessions as usize).map(of).collect()
}

/// Most exercises of each session.
pub fn exercises_most(c: &Client<'_>) -> Vec<u32> {
    let of = |s: usize| {
        setwright_science::amounts::session_exercises(c.brief.time.minutes.of(s)).min(c.rules.exercises)
    };
    (0..c.brief.time.sessions as usize).map(of).collect()
}
