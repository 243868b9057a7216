//! The trade-off of minutes against benefit: the same brief with shorter and longer sessions, each point started
//! from the one before. More time never brings less: a plan that fits the shorter session fits the longer one.

use crate::dual::{self, Prices};
use crate::finder::{Found, anneal};
use crate::frame::{Frame, frames};
use crate::moves::Pools;
use crate::problem::{Problem, TIME_STEP_S, compile};
use crate::rng::Rng;
use crate::solve::{Budget, search, state_of};
use crate::tables::POINT;
use setwright_model::{Belief, Brief, Catalogue, Minutes};

/// Shares of the brief's minutes that are tried.
pub const SHARES: [f64; 11] = [0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5];
/// Rounds of the bound at a point.
const ROUNDS: u32 = 60;

/// A point of the curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Minutes of all sessions of a cycle together.
    pub minutes: Minutes,
    /// Value of the best programme found, in points; absent where none keeps every rule.
    pub value: Option<f64>,
    /// What nothing passes, in points.
    pub bound: Option<f64>,
}

/// The curve of a brief, from the shortest sessions to the longest.
pub fn curve(brief: &Brief, catalogue: &Catalogue, belief: &Belief, budget: &Budget<'_>) -> Vec<Point> {
    let problem = compile(brief, catalogue, belief, false);
    let all = frames(&problem);
    let share = Budget { moves: budget.moves / 2, ..*budget };
    let Some(best) = search(&problem, &all, &share, &mut |_| {}).best else { return Vec::new() };
    let frame = &all[best.frame];
    let moves = budget.moves / 2 / SHARES.len() as u64;
    let mut last: Option<Found> = None;
    let mut out = Vec::with_capacity(SHARES.len());
    for (index, share) in SHARES.iter().enumerate() {
        let shorter = with_share(&problem, *share);
        let known = if *share >= 1.0 { Some(&best.found) } else { None };
        let found = point(&shorter, frame, last.as_ref(), known, moves, index as u64, budget);
        let bound = bound_of(&shorter, frame, &found, budget);
        out.push(Point {
            minutes: Minutes(f64::from(shorter.minutes_units.iter().sum::<u32>()) * TIME_STEP_S / 60.0),
            value: (found.short == 0).then(|| found.value as f64 / POINT),
            bound: bound.map(|b| b as f64 / POINT),
        });
        last = Some(found);
    }
    out
}

fn with_share(problem: &Problem, share: f64) -> Problem {
    let mut out = problem.clone();
    for units in &mut out.minutes_units {
        *units = (f64::from(*units) * share).round() as u32;
    }
    out
}

/// The best of: the point before, the plan of the brief itself where it fits, and two new searches.
fn point(
    problem: &Problem,
    frame: &Frame,
    last: Option<&Found>,
    known: Option<&Found>,
    moves: u64,
    stream: u64,
    budget: &Budget<'_>,
) -> Found {
    let pools = Pools::new(problem, frame);
    let out_of_time = || budget.out_of_time.is_some_and(|f| f());
    let mut best: Option<Found> = None;
    let starts = [last.or(known), None];
    for (index, warm) in starts.into_iter().enumerate() {
        let mut rng = Rng::new(budget.seed, 7000 + 2 * stream + index as u64);
        let plan = warm.map(|f| &f.plan);
        let (found, _) = anneal(problem, frame, &pools, plan, false, moves / 2, &mut rng, &out_of_time);
        best = Some(better(best, found));
    }
    for fitting in [last, known].into_iter().flatten() {
        best = Some(better(best, fitting.clone()));
    }
    best.unwrap_or(Found { plan: crate::plan::Plan::default(), value: 0, short: i64::MAX })
}

fn better(one: Option<Found>, other: Found) -> Found {
    match one {
        Some(one) if !other.beats(&one) => one,
        _ => other,
    }
}

fn bound_of(problem: &Problem, frame: &Frame, found: &Found, budget: &Budget<'_>) -> Option<i64> {
    let prices = if found.short == 0 {
        Prices::from_state(problem, frame, &state_of(problem, frame, found))
    } else {
        Prices::zero(problem)
    };
    let over = || budget.out_of_time.is_some_and(|f| f());
    dual::bound(problem, frame, &prices, found.value, ROUNDS, &over).map(|(b, _)| b)
}
