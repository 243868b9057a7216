//! Few different exercises, met again: what comes back is learnt, and its loads can be compared.

use super::{Client, Rule};
use crate::modes::Mode;
use setwright_model::exercise::Exercise;
use setwright_science::rules::EXERCISE_PRICE;

/// What one more different exercise in the cycle costs, in points (judgement).
const DIFFERENT: f64 = 0.12;
/// The same for those who are new (judgement: they learn by repeating).
const DIFFERENT_NEW: f64 = 0.3;

/// Sessions of a cycle from which a movement should not be in every one of them, the share that is usual, and what each
/// session beyond it costs, in points (common practice, no source (T); the figures are judgement).
const MANY_SESSIONS: usize = 3;
const SHARE_OF_SESSIONS: f64 = 0.66;
const EVERYWHERE: f64 = 0.15;

/// The rule.
pub struct Familiar;

impl Rule for Familiar {
    fn name(&self) -> &'static str {
        "familiar"
    }

    fn price(&self, _e: &Exercise, _mode: Mode, _c: &Client<'_>) -> f64 {
        EXERCISE_PRICE
    }

    fn brings(&self, e: &Exercise, sessions: usize, c: &Client<'_>) -> f64 {
        let free = sessions == 0 || c.is_told(e) || c.is_wanted(e);
        let different = match (free, c.is_new()) {
            (true, _) => 0.0,
            (false, true) => DIFFERENT_NEW,
            (false, false) => DIFFERENT,
        };
        -different - everywhere(e, sessions, c)
    }
}

/// What an exercise costs by coming to more than its share of many sessions: one movement does not fill every day, and what a
/// trained client told of changes grip or angle once a week. Who is new learns by just that.
fn everywhere(e: &Exercise, sessions: usize, c: &Client<'_>) -> f64 {
    let all = c.brief.time.sessions as usize;
    let own = c.is_told(e) && !(c.is_seasoned() && e.pattern.is_compound())
        || c.is_main(e)
        || c.is_locked(e)
        || c.is_new();
    let most = (SHARE_OF_SESSIONS * all as f64).ceil() as usize;
    if own || all < MANY_SESSIONS { 0.0 } else { EVERYWHERE * sessions.saturating_sub(most) as f64 }
}

/// Minutes under which one session does not hold legs, a press and a pull (judgement).
const WHOLE_MIN: f64 = 15.0;

/// Main lifts that one session has beside the other movements (common practice, no source (T)).
const MAINS_TOGETHER: usize = 2;

/// How many different sessions a client has: who is new does the same one each time, or two in turn; more only where the
/// time of a session, or what its spine bears, holds the main lifts no other way.
pub fn different_sessions(c: &Client<'_>) -> usize {
    let sessions = c.brief.time.sessions as usize;
    let alike = (1..sessions).all(|s| c.brief.time.minutes.of(s) == c.brief.time.minutes.of(0));
    let named = c.brief.style.before.is_some() || c.brief.locks.iter().any(|l| l.session.is_some());
    if !alike || named || !c.is_new() || !c.brief.style.focus.is_empty() {
        return sessions;
    }
    let few = c.first_weeks() || sessions <= 2 && c.mains.len() <= MAINS_TOGETHER;
    let one = few && c.shortest_minutes() >= WHOLE_MIN;
    let usual = if one { 1 } else { 2 };
    let each = (super::main_lifts::places(c) / sessions.max(1)).max(1);
    let needed = c.mains.len().div_ceil(each).max(super::main_lifts::sessions_for_the_spine(c));
    sessions.min(needed.max(usual))
}
