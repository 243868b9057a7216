//! What the client already does is in the programme, and is worked, not touched.

use super::{Client, Rule};
use crate::modes::Mode;
use setwright_model::exercise::Exercise;

/// What a told compound brings by being there, and by coming back once, in points (judgement: more than any other choice for
/// the same muscles brings, less than a muscle).
const THERE: f64 = 0.9;
const AGAIN: f64 = 0.15;
/// What a told lift of one joint brings (judgement: more than another choice for the same muscle, less than a muscle).
const SMALL: f64 = 0.45;
/// Part of the worth that a compound keeps where the client already does another for the movement (judgement).
const BESIDE: f64 = 0.85;
/// Least sets of a told compound, and minutes of a session from which they are asked (common practice, no source (T)).
const LEAST_SETS: u32 = 3;
const ROOMY_MIN: f64 = 30.0;

/// The rule.
pub struct ToldLifts;

impl Rule for ToldLifts {
    fn name(&self) -> &'static str {
        "told_lifts"
    }

    fn allows(&self, e: &Exercise, _mode: Mode, sets: u32, c: &Client<'_>) -> bool {
        let worked = sets >= LEAST_SETS || c.rules.sets.1 < LEAST_SETS || c.shortest_minutes() <= ROOMY_MIN;
        worked || !c.is_told(e) || !e.pattern.is_compound() || c.is_locked(e)
    }

    fn share(&self, e: &Exercise, c: &Client<'_>) -> f64 {
        let known = |t: &Exercise| t.pattern.is_compound() && alike(t, e) && c.keeps_out(t).is_none();
        let stands_in = e.pattern.is_compound() && !c.is_told(e) && !c.is_locked(e) && !c.is_wanted(e);
        if stands_in && c.shown().any(known) { BESIDE } else { 1.0 }
    }

    fn brings(&self, e: &Exercise, sessions: usize, c: &Client<'_>) -> f64 {
        if !c.is_told(e) {
            return 0.0;
        }
        let compound = e.pattern.is_compound();
        let there = if compound { THERE } else { SMALL };
        match sessions {
            0 => 0.0,
            1 => there,
            _ => there + if compound { AGAIN } else { 0.0 },
        }
    }
}

/// Whether two movements stand in for each other.
fn alike(told: &Exercise, e: &Exercise) -> bool {
    let need = super::movements::serves(told.pattern);
    told.pattern == e.pattern || need.is_some() && need == super::movements::serves(e.pattern)
}
