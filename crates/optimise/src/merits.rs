//! What each lift would bring to each session as things stand, reckoned along the slopes of benefit and strain at
//! the doses of the plan: a guide for what the search draws. It decides nothing: the state weighs every move.

use setwright_formulate::frame::Frame;
use setwright_formulate::lift::COST_EFFORT;
use setwright_formulate::problem::{Choice, MODES, Problem, SETS};
use setwright_formulate::state::PlanState;
use setwright_formulate::tables::{DOSE_UNIT, STRAIN_UNIT};
use setwright_model::Muscle;

const M: usize = Muscle::COUNT;

/// Merits of lifts by session, in millionths of a point.
#[derive(Clone, Debug, Default)]
pub struct Merits {
    /// By session and lift: what the best number of sets in the best mode brings beyond the usual worth of its time.
    best: Vec<Vec<i64>>,
}

impl Merits {
    /// Reckons all merits anew.
    pub fn refresh(&mut self, problem: &Problem, frame: &Frame, state: &PlanState<'_>) {
        let slopes: [i64; M] = std::array::from_fn(|m| slope(problem, state, m));
        let gain: Vec<i64> = problem
            .hot
            .iter()
            .map(|l| l.reaches().iter().map(|&(m, q)| i64::from(q) * slopes[usize::from(m)]).sum())
            .collect();
        self.best.resize(frame.parts(), Vec::new());
        for (session, best) in self.best.iter_mut().enumerate() {
            let prices: [i64; M] = std::array::from_fn(|m| price(problem, frame, state, m, session));
            let cost = |l: usize| -> i64 {
                problem.hot[l].reaches().iter().map(|&(m, q)| i64::from(q) * prices[usize::from(m)]).sum()
            };
            let costs: Vec<i64> = (0..problem.hot.len()).map(cost).collect();
            let usual = usual_worth(problem, state, session, &gain, &costs);
            best.clear();
            let effort = effort_slope(problem, state, session);
            best.extend((0..problem.hot.len()).map(|l| {
                let here = Here { session, usual, effort, brings: brings(problem, state, session, l) };
                best_of(problem, l, gain[l], costs[l], here)
            }));
        }
    }

    /// Merit of a lift in a session.
    #[inline]
    pub fn of(&self, session: usize, lift: u16) -> i64 {
        self.best[session][usize::from(lift)]
    }
}

/// Parts of a millionth in which slopes are kept.
const FINE: i64 = 256;

/// What a dose unit more brings to a muscle, in 1/256 millionth.
fn slope(problem: &Problem, state: &PlanState<'_>, m: usize) -> i64 {
    let dose = i64::from(state.quality(m));
    let step = DOSE_UNIT as i64 / 2;
    (problem.tables.benefit(m, dose + step) - problem.tables.benefit(m, dose)) * FINE / step
}

/// What a quarter-set more in a session costs in strain, less what it brings towards a least dose.
fn price(problem: &Problem, frame: &Frame, state: &PlanState<'_>, m: usize, session: usize) -> i64 {
    let tables = &problem.tables;
    let step = STRAIN_UNIT as i64 / 4;
    let carry = &frame.carry[m][session];
    let dear: i64 = (0..frame.sessions())
        .map(|to| {
            let strain = state.strain(m, to);
            let more = tables.strain_price(strain + step) - tables.strain_price(strain);
            more * i64::from(carry[to]) * FINE / step
        })
        .sum();
    let short = state.raw(m) < tables.least[m];
    dear - if short { tables.shortfall_price * FINE } else { 0 }
}

/// What the search is offered in a session besides doses.
#[derive(Clone, Copy)]
struct Here {
    session: usize,
    /// What a time step brings on average, in 1/256 millionth.
    usual: i64,
    /// What a quarter of effort more costs.
    effort: i64,
    /// What the lift brings by being in the session.
    brings: i64,
}

/// What a quarter of effort more costs in a session.
fn effort_slope(problem: &Problem, state: &PlanState<'_>, session: usize) -> i64 {
    const STEP: u32 = 8;
    let effort = state.sums(session).costs[COST_EFFORT];
    let price = |e: u32| problem.tables.effort(session, e);
    (price(effort + STEP) - price(effort)) / i64::from(STEP)
}

/// What a lift brings by coming to a session, or by staying in it.
fn brings(problem: &Problem, state: &PlanState<'_>, session: usize, l: usize) -> i64 {
    let copies = problem.copies[session] as usize;
    let has = state.blocks(session).has(l as u16);
    let without = state.sessions_of(l) - if has { copies } else { 0 };
    let values = &problem.tables.lift_value[l];
    (values[without + copies] - values[without]) / copies as i64
}

fn choice_worth(
    problem: &Problem,
    session: usize,
    l: usize,
    choice: &Choice,
    sets: u8,
    gain: i64,
    cost: i64,
) -> i64 {
    (i64::from(choice.worth) * gain - i64::from(sets) * cost) / FINE
        - problem.own_price(session, l, choice)
        - problem.tables.time_price * i64::from(choice.time)
}

/// What a time step of the session brings on average, in 1/256 millionth.
fn usual_worth(problem: &Problem, state: &PlanState<'_>, session: usize, gain: &[i64], costs: &[i64]) -> i64 {
    let (mut worth, mut time) = (0, 1);
    for slot in state.blocks(session).iter() {
        slot.each(|l, mode| {
            let choice = problem.choice(l, mode, slot.sets);
            worth += choice_worth(problem, session, l, choice, slot.sets, gain[l], costs[l]);
            time += i64::from(choice.time);
        });
    }
    (worth * FINE / time).max(0)
}

fn best_of(problem: &Problem, l: usize, gain: i64, cost: i64, here: Here) -> i64 {
    let mut best = i64::MIN;
    let effort = i64::from(problem.hot[l].costs[COST_EFFORT]) * here.effort;
    for mode in 0..MODES.len() as u8 {
        for sets in 1..=SETS as u8 {
            let choice = problem.choice(l, mode, sets);
            if choice.allowed {
                let time = here.usual * i64::from(choice.time) / FINE;
                let worth = choice_worth(problem, here.session, l, choice, sets, gain, cost);
                best = best.max(worth - time - effort * i64::from(sets));
            }
        }
    }
    best.saturating_add(here.brings)
}
