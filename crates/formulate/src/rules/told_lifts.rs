//! What the client already does is in the programme, and is worked, not touched.

use super::session_amount::sets_each_most;
use super::{Client, Count, Rule, Unit};
use crate::modes::Mode;
use setwright_model::Pattern;
use setwright_model::brief::{Goal, Priority};
use setwright_model::exercise::{Exercise, LoadKind};

/// What a told compound brings by being there, and by coming back once, in points (judgement: more than any other choice for
/// the same muscles brings, less than a muscle).
const THERE: f64 = 1.5;
const AGAIN: f64 = 0.15;
/// The same of one for what the client came for (judgement).
const AGAIN_WANTED: f64 = 0.6;
/// The same of a lift with a bar of somebody with years of training (judgement: who squats with a bar squats twice).
const AGAIN_BAR: f64 = 0.4;
/// What a told lift of one joint brings (judgement: more than another choice for the same muscle, less than a muscle).
const SMALL: f64 = 0.6;
/// Part of the worth that a compound keeps where the client already does another for the movement (judgement).
const BESIDE: f64 = 0.85;
/// Least sets of a told compound, the same for who is new, older or trains for health, to whom two do as well, and minutes of a
/// session from which they are asked (common practice, no source (T)).
const LEAST_SETS: u32 = 3;
const LEAST_SETS_EASY: u32 = 2;
const ROOMY_MIN: f64 = 30.0;
/// Minutes of a cycle from which there is room for every movement that was told (judgement: two sessions of 40).
const ROOM_MIN: f64 = 80.0;

/// The rule.
pub struct ToldLifts;

impl Rule for ToldLifts {
    fn name(&self) -> &'static str {
        "told_lifts"
    }

    fn allows(&self, e: &Exercise, _mode: Mode, sets: u32, c: &Client<'_>) -> bool {
        // What the client came for is worked, however easy the rest.
        let gently = c.is_new() || c.is_older();
        let easy = (gently || c.brief.goal == Goal::General && !is_bar_lift(e)) && !c.is_wanted(e);
        let least = if easy { LEAST_SETS_EASY } else { LEAST_SETS };
        let worked = sets >= least.min(sets_each_most(c)) || c.shortest_minutes() <= ROOMY_MIN;
        worked || !c.is_told(e) || !e.pattern.is_compound() || c.is_locked(e)
    }

    fn share(&self, e: &Exercise, c: &Client<'_>) -> f64 {
        let known = |t: &Exercise| t.pattern.is_compound() && alike(t, e) && c.keeps_out(t).is_none();
        let stands_in = e.pattern.is_compound() && !c.is_told(e) && !c.is_locked(e) && !c.is_wanted(e);
        if stands_in && c.shown().any(known) { BESIDE } else { 1.0 }
    }

    /// Presses overhead and hinges of those who do them: the other movements are in every programme anyhow.
    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let asked = |p: Pattern| c.shown().any(|t| t.pattern == p && has_room(t, c));
        if c.cycle_minutes() < ROOM_MIN || c.first_weeks() {
            return Vec::new();
        }
        let of = |what, sign| Count {
            cycle_least: Some(1),
            weight: 3,
            ..Count::new("told_lifts", what, Unit::Exercise, sign)
        };
        let over = |e: &Exercise, _: &Client<'_>| i16::from(e.pattern == Pattern::VerticalPress);
        let hinge = |e: &Exercise, _: &Client<'_>| i16::from(e.pattern == Pattern::Hinge);
        let over = asked(Pattern::VerticalPress).then(|| of("a press overhead", over));
        let hinge = asked(Pattern::Hinge).then(|| of("a hinge", hinge));
        over.into_iter().chain(hinge).collect()
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
            _ if compound && c.is_wanted(e) => there + AGAIN_WANTED,
            _ if is_bar_lift(e) && squats_twice(c) => there + AGAIN_BAR,
            _ => there + if compound { AGAIN } else { 0.0 },
        }
    }
}

/// Whether a told compound is given, matters, and is not left without its sets by what is asked at most of its muscles.
fn has_room(told: &Exercise, c: &Client<'_>) -> bool {
    let matters = told.prime().is_none_or(|m| c.priority_of(m).is_none_or(|p| p > Priority::Low));
    let lifts = || c.shown().filter(|t| t.pattern.is_compound() && c.keeps_out(t).is_none());
    let capped = told.contributions().any(|(muscle, _)| {
        let most = c.brief.muscles.get(&muscle).and_then(|w| w.most);
        let asked: f64 = lifts().map(|t| f64::from(LEAST_SETS) * t.contribution(muscle)).sum();
        most.is_some_and(|most| asked > most.get() * c.weeks())
    });
    matters && !capped && c.keeps_out(told).is_none()
}

/// Who has years of training and more in mind than health: there pairs of lighter lifts save the time.
fn squats_twice(c: &Client<'_>) -> bool {
    c.is_seasoned() && !c.is_older() && c.brief.goal != Goal::General
}

/// A lift of several joints with a bar that tires more than its muscle.
pub fn is_bar_lift(e: &Exercise) -> bool {
    e.load == LoadKind::Bar && e.pattern.is_compound() && e.systemic >= 2
}

/// Whether two movements stand in for each other.
fn alike(told: &Exercise, e: &Exercise) -> bool {
    let need = super::movements::serves(told.pattern);
    told.pattern == e.pattern || need.is_some() && need == super::movements::serves(e.pattern)
}
