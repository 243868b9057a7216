//! What is excluded is out, and conditions, age, a return and pain come before every wish. A clinician's word and the
//! screening table stand before it.

use super::{Client, Rule};
use crate::modes::Mode;
use setwright_model::BlockKind;
use setwright_model::exercise::Exercise;
use setwright_science::conditions::is_supported;

/// What an exercise that is not seated, guided or on a pad costs a client who begins with what is, in points (judgement:
/// as much as four places of the short list and a little more than a usual exercise loses to a staple).
const UNSUPPORTED: f64 = 0.08;

/// The rule.
pub struct Conditions;

impl Rule for Conditions {
    fn name(&self) -> &'static str {
        "conditions"
    }

    fn keeps_out(&self, e: &Exercise, c: &Client<'_>) -> Option<String> {
        let out = &c.brief.exclude;
        let excluded = out.exercises.contains(&e.id)
            || out.patterns.contains(&e.pattern)
            || e.direct.iter().any(|m| out.muscles.contains(m));
        if excluded {
            return Some("the brief leaves it out".to_owned());
        }
        c.care.bar(e).filter(|_| !c.is_locked(e) || is_excluded(e, c)).map(|bar| format!("it {}", bar.says()))
    }

    fn allows(&self, e: &Exercise, mode: Mode, _sets: u32, c: &Client<'_>) -> bool {
        is_rested(mode, c) || c.is_locked(e)
    }

    fn price(&self, e: &Exercise, _mode: Mode, c: &Client<'_>) -> f64 {
        let mind = c.limits.supported_first && !c.is_told(e) && !is_supported(e);
        if mind { UNSUPPORTED } else { 0.0 }
    }
}

/// Whether a way of doing an exercise leaves the rest that conditions ask for.
pub fn is_rested(mode: Mode, c: &Client<'_>) -> bool {
    let wait_s = f64::from(mode.rest_s) * if mode.kind == BlockKind::Straight { 1.0 } else { PAIR_SHARE };
    wait_s >= c.limits.rest_least.get()
}

/// In an alternating block the partner's set is rest too: what is asked between sets is had with a shorter pause
/// (judgement).
const PAIR_SHARE: f64 = 2.0;

/// Whether the brief itself keeps out what an exercise asks: the coach's own lock does not pass that.
fn is_excluded(e: &Exercise, c: &Client<'_>) -> bool {
    e.asks.iter().any(|a| c.spares(*a))
}

/// Whether a condition, age or the lack of skill would keep an exercise out that the coach has fixed somewhere.
pub fn is_in_by_lock(e: &Exercise, c: &Client<'_>) -> bool {
    c.is_locked(e) && (c.care.bar(e).is_some() || e.skill > c.rules.skill && !c.is_told(e))
}
