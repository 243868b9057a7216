//! Prices of the rules that tie muscles and sessions together, as one list with a place for each rule.
//!
//! Nothing here solves anything; `dual` reckons what prices are worth.

use crate::frame::Frame;
use crate::problem::Problem;
use crate::state::State;
use crate::tables::{DOSE_UNIT, STRAIN_UNIT};
use setwright_model::Muscle;

const M: usize = Muscle::COUNT;
/// Whole prices are counted in this many parts of a millionth.
pub const FINE: f64 = 1024.0;

/// Where the price of each rule stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Places {
    sessions: usize,
    locks: usize,
}

impl Places {
    /// The places of a problem.
    pub fn new(problem: &Problem) -> Self {
        Self { sessions: problem.brief.time.sessions as usize, locks: problem.locks.len() }
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
    pub const fn own_balance(&self, session: usize, side: usize) -> usize {
        self.balance(4) + 4 * session + side
    }

    /// Price of systemic, spinal, grip cost and of an exercise; not negative.
    pub const fn budget(&self, session: usize, kind: usize) -> usize {
        self.own_balance(self.sessions, 0) + 4 * session + kind
    }

    /// Worth of a lock that may be kept in any session; not negative.
    pub const fn lock(&self, lock: usize) -> usize {
        self.budget(self.sessions, 0) + lock
    }

    /// How many prices there are.
    pub const fn len(&self) -> usize {
        self.lock(self.locks)
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
        Self { at: vec![0.0; Places::new(problem).len()] }
    }

    /// Prices at which a found plan is nearly best: slopes of benefit and strain price at its doses.
    pub fn from_state(problem: &Problem, frame: &Frame, state: &State<'_>) -> Self {
        let mut prices = Self::zero(problem);
        let places = Places::new(problem);
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
        prices
    }

    /// Prices moved to the side that their rules allow.
    pub fn keep_sides(&mut self, problem: &Problem, places: &Places) {
        let tables = &problem.tables;
        for m in 0..M {
            let raw = &mut self.at[places.raw(m)];
            if tables.least[m] == 0 {
                *raw = raw.min(0.0);
            }
            if tables.most[m] >= i32::MAX / 4 {
                *raw = raw.max(0.0);
            }
            let quality = &mut self.at[places.quality(m)];
            *quality = quality.max(0.0);
        }
        self.at[places.strain(0, 0)..].iter_mut().for_each(|p| *p = p.max(0.0));
    }

    /// Whole prices by unit of each rule.
    pub fn whole(&self, places: &Places) -> Vec<f64> {
        let whole = |(place, price): (usize, &f64)| {
            let (unit, multiple) = places.unit(place);
            multiple * (price * FINE / unit).round()
        };
        self.at.iter().enumerate().map(whole).collect()
    }
}
