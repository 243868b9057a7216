//! Prices of the rules that tie muscles and sessions together, as one list with a place for each rule.
//!
//! Nothing here solves anything; `dual` reckons what prices are worth.

use setwright_formulate::frame::Frame;
use setwright_formulate::lift::{COST_EFFORT, COSTS};
use setwright_formulate::problem::Problem;
use setwright_formulate::state::PlanState;
use setwright_formulate::tables::{DOSE_UNIT, STRAIN_UNIT};
use setwright_model::Muscle;

const M: usize = Muscle::COUNT;
/// Whole prices are counted in this many parts of a millionth.
pub const FINE: f64 = 1024.0;

/// Budgets of a session: systemic, spinal and grip cost, sets, effort, exercises, same-muscle blocks, time.
pub const BUDGETS: usize = COSTS + 3;
/// Which of them counts exercises.
pub const EXERCISES: usize = COSTS;
/// Which of them counts same-muscle blocks.
pub const SAME_MUSCLE: usize = COSTS + 1;
/// Which of them counts time steps.
pub const TIME: usize = COSTS + 2;

/// Where the price of each rule stands. Sessions are the different ones, but for strain, which every session of the
/// cycle has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PriceIndex {
    sessions: usize,
    parts: usize,
    counts: usize,
    locks: usize,
    lifts: usize,
}

impl PriceIndex {
    /// The places of a problem.
    pub fn new(problem: &Problem) -> Self {
        Self {
            sessions: problem.part_of.len(),
            parts: problem.parts(),
            counts: problem.quotas.counts.len(),
            locks: problem.locks.len(),
            lifts: problem.lifts.len(),
        }
    }

    /// Worth of a set of quality dose; not negative.
    pub const fn quality(&self, muscle: usize) -> usize {
        muscle
    }

    /// Worth of a raw set; positive for a least, negative for a most.
    pub const fn raw(&self, muscle: usize) -> usize {
        M + muscle
    }

    /// Price of a set of strain; not negative.
    pub const fn strain(&self, muscle: usize, session: usize) -> usize {
        2 * M + muscle * self.sessions + session
    }

    /// Worth of keeping a balance over the cycle: push short, pull short, knee short, hip short; not negative.
    pub const fn balance(&self, side: usize) -> usize {
        (2 + self.sessions) * M + side
    }

    /// The same within a whole-body session.
    pub const fn own_balance(&self, part: usize, side: usize) -> usize {
        self.balance(4) + 4 * part + side
    }

    /// Price of a budget; not negative.
    pub const fn budget(&self, part: usize, kind: usize) -> usize {
        self.own_balance(self.parts, 0) + BUDGETS * part + kind
    }

    /// Worth of a lock that may be kept in any session; not negative.
    pub const fn lock(&self, lock: usize) -> usize {
        self.budget(self.parts, 0) + lock
    }

    /// Worth of a unit of what the rules count in a session; positive for a least, negative for a most.
    pub const fn count(&self, part: usize, count: usize) -> usize {
        self.lock(self.locks) + part * self.counts + count
    }

    /// The same over the cycle.
    pub const fn cycle_count(&self, count: usize) -> usize {
        self.count(self.parts, count)
    }

    /// Worth of a lift's being in a session; of any sign.
    pub const fn lift(&self, lift: usize, part: usize) -> usize {
        self.cycle_count(self.counts) + lift * self.parts + part
    }

    /// How many prices there are.
    pub const fn len(&self) -> usize {
        self.lift(self.lifts, 0)
    }

    /// Whether there are none.
    pub const fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The units a rule is counted in where prices are whole, and what whole prices are multiples of.
    fn unit(&self, place: usize) -> (f64, f64) {
        if place < self.raw(0) {
            (DOSE_UNIT, 1.0)
        } else if place < self.strain(0, 0) {
            (4.0, 1.0)
        } else if place < self.balance(0) {
            (STRAIN_UNIT, 1.0)
        } else if place < self.budget(0, 0) {
            // Three fifths of a balance's price are whole too.
            (5.0, 5.0)
        } else {
            (1.0, 1.0)
        }
    }
}

/// Prices, or slopes, by place. In millionths a set where nothing else is said.
#[derive(Clone, Debug, PartialEq)]
pub struct Prices {
    /// By place.
    pub at: Vec<f64>,
}

impl Prices {
    /// No prices at all.
    pub fn zero(problem: &Problem) -> Self {
        Self { at: vec![0.0; PriceIndex::new(problem).len()] }
    }

    /// Prices at which a found plan is nearly best: slopes of benefit and strain price at its doses.
    pub fn from_state(problem: &Problem, frame: &Frame, state: &PlanState<'_>) -> Self {
        let mut prices = Self::zero(problem);
        let places = PriceIndex::new(problem);
        let tables = &problem.tables;
        for m in 0..M {
            let dose = i64::from(state.quality(m)).max(DOSE_UNIT as i64 / 4);
            let half = DOSE_UNIT as i64 / 4;
            let slope = tables.benefit(m, dose + half) - tables.benefit(m, dose - half);
            prices.at[places.quality(m)] = slope as f64 * DOSE_UNIT / (2.0 * half as f64);
            for s in 0..frame.sessions() {
                let strain = state.strain(m, s);
                let step = STRAIN_UNIT as i64 / 4;
                let slope = tables.strain_price(strain + step) - tables.strain_price(strain - step);
                prices.at[places.strain(m, s)] = slope as f64 * STRAIN_UNIT / (2.0 * step as f64);
            }
        }
        for s in 0..frame.parts() {
            let e = state.sums(s).costs[COST_EFFORT];
            let slope = tables.effort(s, e + 1) - tables.effort(s, e.saturating_sub(1));
            prices.at[places.budget(s, COST_EFFORT)] = (slope * i64::from(problem.copies[s])) as f64 / 2.0;
        }
        for l in 0..problem.lifts.len() {
            prices.of_lift(problem, frame, state, l);
        }
        prices
    }

    /// What a lift brings by being in sessions, shared out: evenly where it falls with the sessions, to the sessions that
    /// have it where it is paid once.
    fn of_lift(&mut self, problem: &Problem, frame: &Frame, state: &PlanState<'_>, l: usize) {
        let places = PriceIndex::new(problem);
        let values = &problem.tables.lift_value[l];
        let k = state.sessions_of(l);
        let open = (0..frame.parts()).filter(|s| frame.eligible[*s][l]).count().max(1);
        for s in 0..frame.parts() {
            let copies = f64::from(problem.copies[s]);
            let (here, next) = (values[k] as f64, values[(k + 1).min(values.len() - 1)] as f64);
            self.at[places.lift(l, s)] = if values[1] > 0 {
                copies * if k == 0 { values[1] as f64 } else { here - values[k - 1] as f64 }
            } else if k == 0 {
                values[1] as f64 / open as f64
            } else if state.blocks(s).has(l as u16) {
                copies * here / k as f64
            } else {
                copies * (next - here).max(here / k as f64)
            };
        }
    }

    /// Whole prices by unit of each rule.
    pub fn whole(&self, places: &PriceIndex) -> Vec<f64> {
        let whole = |(place, price): (usize, &f64)| {
            let (unit, multiple) = places.unit(place);
            multiple * (price * FINE / unit).round()
        };
        self.at.iter().enumerate().map(whole).collect()
    }
}
