//! What is excluded is out, and conditions, age, a return and pain come before every wish. A clinician's word and the
//! screening table stand before it.

use super::{Client, Count, GIVEN_UP_FIRST, OfFocus, Rule, Unit};
use crate::modes::Mode;
use setwright_model::brief::{Condition, Focus};
use setwright_model::exercise::Exercise;
use setwright_model::pattern::Region;
use setwright_model::{BlockKind, Muscle, Pattern};
use setwright_science::aims;
use setwright_science::chair_rises::rises_seldom;
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

    /// Legs for who is weak in them, and the trunk and the hips after a birth, in every visit.
    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let anywhere: OfFocus = |_| true;
        let of = |what, sign, least| Count {
            session_least: Some((least, anywhere)),
            ..Count::new("conditions", what, Unit::Exercise, sign)
        };
        let whole = c.brief.style.focus.is_empty();
        let legs = (whole && rises_seldom(c.brief)).then(|| of("legs, as many as the rest", legs_over, 0));
        let deep =
            (whole && c.spares_the_pelvic_floor()).then(|| of("a bridge or the trunk", bridge_or_trunk, 1));
        legs.into_iter().chain(deep).chain(trunk_for_a_troubled_back(c)).chain(on_the_feet(c)).collect()
    }

    fn price(&self, e: &Exercise, _mode: Mode, c: &Client<'_>) -> f64 {
        let mind = c.limits.supported_first && !c.is_told(e) && !is_supported(e);
        if mind { UNSUPPORTED } else { 0.0 }
    }
}

/// A troubled back has the trunk worked in every visit (common practice, no source (T)).
fn trunk_for_a_troubled_back(c: &Client<'_>) -> Option<Count> {
    let troubled = c.brief.conditions.contains(&Condition::LowBackPain);
    (troubled && c.shortest_minutes() >= TRUNK_EACH_MIN).then(|| Count {
        session_least: Some((1, |_| true)),
        soft: GIVEN_UP_FIRST,
        ..Count::new("conditions", "the trunk in each session", Unit::Exercise, |e, _| {
            i16::from(e.pattern.region() == Region::Trunk)
        })
    })
}

/// Minutes of a session from which it has room for the trunk (judgement).
const TRUNK_EACH_MIN: f64 = 25.0;

/// From 65 years on each visit for the legs has something that is done on the feet, not all of it seated (WHO 2020, Br J Sports Med
/// 54:1451 (M): functional balance and strength; how much is common practice, no source (T)).
fn on_the_feet(c: &Client<'_>) -> Option<Count> {
    let legs = |f: Focus| matches!(f, Focus::WholeBody | Focus::Lower | Focus::Legs);
    (c.is_older() && !c.is_minor(Muscle::Quads)).then(|| Count {
        session_least: Some((1, legs)),
        soft: GIVEN_UP_FIRST,
        ..Count::new("conditions", "something on the feet", Unit::Exercise, |e, _| {
            i16::from(aims::is_on_the_feet(e))
        })
    })
}

/// Movements of the legs count for, of the upper body against: who is weak in the legs trains those first (Sherrington 2019, Cochrane
/// CD012424 (m): balance and legs prevent falls).
fn legs_over(e: &Exercise, _: &Client<'_>) -> i16 {
    match e.pattern.region() {
        Region::Lower => 1,
        Region::Upper => -1,
        _ => 0,
    }
}

/// What trainers and physiotherapists give in every visit after a birth (common practice, no source (T)).
fn bridge_or_trunk(e: &Exercise, _: &Client<'_>) -> i16 {
    i16::from(e.pattern == Pattern::HipExtension || e.pattern.region() == Region::Trunk)
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
