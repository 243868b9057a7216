//! How prices move so that the bound falls.
//!
//! Nothing here can make a bound wrong: any prices give a valid one.

use crate::dual::Evaluation;
use crate::prices::{Places, Prices};
use crate::problem::Problem;

/// Descent of the bound by deflected subgradients with Polyak's step.
#[derive(Clone, Debug)]
pub struct Descent {
    /// Prices to try next.
    pub at: Prices,
    /// The least bound so far, in millionths.
    pub best: i64,
    /// The prices that gave it.
    pub best_at: Prices,
    /// Average of the slopes.
    direction: Option<Vec<f64>>,
    target: i64,
    scale: f64,
    stale: u32,
}

impl Descent {
    /// Starts at prices; `target` is what the bound is hoped to reach.
    pub fn new(start: Prices, target: i64) -> Self {
        Self {
            best_at: start.clone(),
            at: start,
            best: i64::MAX,
            direction: None,
            target,
            scale: 1.0,
            stale: 0,
        }
    }

    /// Whether going on would bring nothing.
    pub fn settled(&self) -> bool {
        self.best <= self.target || self.scale < 0.002
    }

    /// Takes an evaluation of [`Descent::at`] over and moves on.
    pub fn take(&mut self, problem: &Problem, places: &Places, evaluation: Evaluation) {
        let gained = self.best.saturating_sub(evaluation.bound);
        if gained > 0 {
            self.best = evaluation.bound;
            self.best_at = self.at.clone();
        }
        self.stale = if gained > (self.best.abs() / 100_000).max(1) { 0 } else { self.stale + 1 };
        if self.stale >= 8 {
            self.scale *= 0.6;
            self.stale = 0;
            self.at = self.best_at.clone();
            self.direction = None;
        }
        let mut direction = evaluation.slopes;
        if let Some(old) = self.direction.take() {
            direction.iter_mut().zip(old).for_each(|(new, old)| *new = 0.7 * *new + 0.3 * old);
        }
        let norm: f64 = direction.iter().map(|d| d * d).sum();
        if norm > 0.0 {
            let over = (evaluation.bound - self.target).max(1) as f64;
            let length = self.scale * over / norm;
            self.at.at.iter_mut().zip(&direction).for_each(|(price, slope)| *price -= length * slope);
            self.at.keep_sides(problem, places);
        }
        self.direction = Some(direction);
    }
}
