//! How prices move so that the bound falls: a proximal bundle in pieces. Each session, and each group of sessions that share
//! their spinal work, keeps the selections it answered with; what belongs to no session is known exactly. The next prices
//! are where the highest of all that is lowest, but not too far from the best prices so far (Kiwiel 1990, Math Program
//! 46:105; in pieces: Lemarechal 2001).
//!
//! Nothing here can make a bound wrong: any prices give a valid one.

use crate::cuts::Cut;
use crate::dual::{Dual, Evaluation, SessionLayouts, Workspace};
use crate::model::Model;
use crate::prices::{PriceIndex, Prices};
use setwright_formulate::frame::Frame;
use setwright_formulate::problem::Problem;

/// Most selections that a session keeps.
const COLUMNS: usize = 48;
/// Share of the hoped-for fall from which prices are taken over, and from which the next step goes further.
const SERIOUS: f64 = 0.1;
const FAR: f64 = 0.5;
/// Longer and shorter reach.
const LONGER: f64 = 1.6;
const SHORTER: f64 = 0.7;
/// Share of the last hoped-for fall, and millionths, below which moving weight gains nothing.
const ENOUGH: f64 = 0.01;
const LEAST: f64 = 20.0;
/// Times that weights are moved on before a hoped-for fall of nothing is believed.
const TRIES: u32 = 4;
/// Share of the bound below which a hoped-for fall is nothing.
const NOTHING: f64 = 2e-6;

/// Descent of the bound.
#[derive(Clone, Debug)]
pub struct Descent {
    /// Prices to try next.
    pub at: Prices,
    /// The least bound so far, in millionths.
    pub best: i64,
    /// Prices from which steps are made: the best, or as good as.
    pub best_at: Prices,
    /// Bound at them.
    centre: f64,
    model: Model,
    target: i64,
    /// How far a step goes along the slopes.
    reach: f64,
    /// How far the bound would fall if the model were true.
    hoped: f64,
    /// Steps since prices were taken over.
    stale: u32,
    /// What may be selected was narrowed since the last evaluation.
    narrowed: bool,
}

impl Descent {
    /// Starts at prices; `target` is what the bound is hoped to reach.
    pub fn new(dual: &Dual<'_>, start: Prices, target: i64) -> Self {
        Self {
            best_at: start.clone(),
            at: start,
            best: i64::MAX,
            centre: f64::INFINITY,
            model: Model::new(dual),
            target,
            reach: 0.0,
            hoped: f64::INFINITY,
            stale: 0,
            narrowed: false,
        }
    }

    /// Whether going on would bring nothing.
    pub fn settled(&self) -> bool {
        self.best <= self.target || self.hoped < NOTHING * self.best.abs() as f64
    }

    /// Takes an evaluation of [`Descent::at`] over and moves on.
    pub fn take(&mut self, dual: &Dual<'_>, evaluation: &Evaluation) {
        let value = evaluation.bound as f64;
        self.best = self.best.min(evaluation.bound);
        let columns = self.model.columns_of(dual, &evaluation.taken);
        if self.centre == f64::INFINITY || self.narrowed {
            self.centre = value;
            self.narrowed = false;
            self.stale = 0;
        } else {
            let fallen = self.centre - value;
            if fallen >= SERIOUS * self.hoped {
                self.centre = value;
                self.best_at.clone_from(&self.at);
                self.stale = 0;
                self.reach *= if fallen > FAR * self.hoped { LONGER } else { 1.0 };
            } else {
                self.stale += 1;
                let overshot =
                    self.stale > 1 && self.model.error(&columns, &self.best_at.at) > 2.0 * self.hoped;
                self.reach *= if overshot { SHORTER } else { 1.0 };
            }
        }
        self.model.add(columns, &self.at.at, COLUMNS);
        if self.reach <= 0.0 {
            let square: f64 = self.model.slopes(dual, &self.at.at).iter().map(|g| g * g).sum();
            self.reach = (evaluation.bound - self.target).max(1) as f64 / square.max(1.0);
        }
        self.step(dual);
    }

    /// Keeps only the selections that are `possible` still, because what may be selected was narrowed. Bounds so far stay
    /// true; the next evaluation is at the best prices.
    pub fn narrow(&mut self, possible: impl Fn(usize, &[u32]) -> bool) {
        self.model.keep(possible);
        self.at.clone_from(&self.best_at);
        self.hoped = f64::INFINITY;
        self.narrowed = true;
    }

    /// Further rules, without a price yet: the rules that limits hold since.
    pub fn add_rules(&mut self, dual: &Dual<'_>, cuts: &[Cut]) {
        let length = self.at.at.len() + cuts.len();
        self.at.at.resize(length, 0.0);
        self.best_at.at.resize(length, 0.0);
        self.model.add_rules(&dual.places, cuts);
        if !self.narrowed && self.centre < f64::INFINITY {
            self.step(dual);
        }
    }

    /// Rules whose prices it has from the start.
    pub fn know(&mut self, places: &PriceIndex, cuts: &[Cut]) {
        self.model.add_rules(places, cuts);
    }

    /// The same selections in another frame whose sessions are laid out alike.
    pub fn seed(&mut self, dual: &Dual<'_>, from: &Self) {
        self.model.seed(dual, &from.model);
        self.reach = from.reach;
    }

    /// The selection of each session that counts most in the step.
    pub fn heaviest(&self, sessions: usize) -> Vec<Vec<u32>> {
        self.model.heaviest(sessions)
    }

    /// The average of the selections that the step follows: how often each offer is taken, by session.
    pub fn average(&self, session: usize, offers: usize) -> Vec<f64> {
        self.model.average(session, offers)
    }

    /// Chooses the next prices.
    fn step(&mut self, dual: &Dual<'_>) {
        let hoped = if self.hoped.is_finite() { self.hoped } else { 0.0 };
        let mut nothing = (ENOUGH * hoped).max(LEAST);
        // Where weights moved a little promise no fall, they are moved further before it is believed.
        for _ in 0..TRIES {
            let lowest = self.model.settle(dual, &self.best_at.at, self.reach, nothing, &mut self.at.at);
            self.hoped = (self.centre - lowest).max(0.0);
            if !self.settled() {
                break;
            }
            nothing = LEAST;
        }
    }
}

/// The best bound found for a frame, in millionths, and the prices that gave it. `None` when some session
/// cannot even hold its locks: then there is no plan.
pub fn bound(
    problem: &Problem,
    frame: &Frame,
    start: &Prices,
    target: i64,
    rounds: u32,
    out_of_time: &dyn Fn() -> bool,
) -> Option<(i64, Prices)> {
    let dual = Dual::new(problem, frame, &SessionLayouts::by_time(problem, std::slice::from_ref(frame)));
    bound_of(&dual, start, target, rounds, out_of_time)
}

/// The same for a frame that is laid out.
pub fn bound_of(
    dual: &Dual<'_>,
    start: &Prices,
    target: i64,
    rounds: u32,
    out_of_time: &dyn Fn() -> bool,
) -> Option<(i64, Prices)> {
    let mut workspace = Workspace::default();
    let mut descent = Descent::new(dual, start.clone(), target);
    let limits = dual.limits();
    for _ in 0..rounds {
        if descent.settled() || out_of_time() && descent.best < i64::MAX {
            break;
        }
        let evaluation = dual.evaluate(&descent.at, &limits, &mut workspace)?;
        descent.take(dual, &evaluation);
    }
    Some((descent.best, descent.best_at))
}
