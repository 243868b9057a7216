//! Soreness as a second signal: weak, tempered, and with a time constant of its own.
//!
//! Scores are clipped, rounded and personal, and agree badly with function. So a score is one of eleven classes about
//! a decay whose time constant may differ from that of strength, with a gain of its own, and its likelihood counts a
//! quarter. It is kept as a table over time constants and gains, so that a report costs the same whenever it comes.

use crate::fatigue::{Fatigue, Grid, NODES, SORENESS_POINTS};
use crate::history::{LoggedSession, SorenessReport};
use crate::prior::Prior;
use setwright_model::Muscle;

/// Power of the likelihood: with it intervals kept their promise on simulated clients whose scores misled; whole it
/// did not (judgement, see docs/models.md).
pub const TEMPER: f64 = 0.25;
/// Spread of a score before it is rounded (judgement).
const SCORE_SD: f64 = 1.5;
/// Highest score.
const SCORE_MAX: f64 = 10.0;
/// Share of scores that say nothing (judgement).
const IDLE: f64 = 0.02;
/// Points of the grid of gains (numeric).
const GAIN_POINTS: usize = 13;

/// What one muscle's reports say.
#[derive(Clone, Debug)]
struct Table {
    taus: Grid,
    gains: Grid,
    gains_of: Vec<f64>,
    /// Log-likelihood by time constant and gain.
    values: Vec<f64>,
    reports: usize,
}

/// What all reports say.
#[derive(Clone, Debug)]
pub struct SorenessReports {
    fatigue: Fatigue,
    tables: Vec<Table>,
}

impl SorenessReports {
    /// No report yet.
    pub fn new(prior: &Prior) -> Self {
        let (s, t) = (prior.soreness_spread.total(), prior.tau_spread.total());
        let spread = (s * s + t * t).sqrt();
        let grid = |m: Muscle| Grid::new(prior.tau[m.index()].get(), spread, SORENESS_POINTS);
        let gains = Grid::new(prior.soreness_gain, prior.gain_spread.total(), GAIN_POINTS);
        let table = |m: Muscle| Table {
            taus: grid(m),
            gains,
            gains_of: gains.values(),
            values: vec![0.0; SORENESS_POINTS * GAIN_POINTS],
            reports: 0,
        };
        Self {
            fatigue: Fatigue::new(Muscle::ALL.map(|m| (m, grid(m).values())).into()),
            tables: Muscle::ALL.map(table).into(),
        }
    }

    /// Takes in a report; reports and sessions must come in order of time.
    pub fn report(&mut self, report: &SorenessReport) {
        self.fatigue.advance(report.at.get());
        let place = report.muscle.index();
        let left = self.fatigue.left(place);
        let score = f64::from(report.score).min(SCORE_MAX);
        let Some(table) = self.tables.get_mut(place) else { return };
        table.reports += 1;
        for (row, felt) in table.values.chunks_exact_mut(GAIN_POINTS).zip(left) {
            for (value, gain) in row.iter_mut().zip(&table.gains_of) {
                *value += log_probability(score, gain * felt);
            }
        }
    }

    /// Takes in the drops of a session.
    pub fn session(&mut self, session: &LoggedSession, drops: &[f64; Muscle::COUNT]) {
        self.fatigue.advance(session.at.get());
        self.fatigue.add(drops);
    }

    /// Whether a muscle was ever reported on.
    pub fn knows(&self, muscle: Muscle) -> bool {
        self.tables.get(muscle.index()).is_some_and(|t| t.reports > 0)
    }

    /// Whether none ever was.
    pub fn is_silent(&self) -> bool {
        self.tables.iter().all(|t| t.reports == 0)
    }

    /// Tempered log-likelihood of a muscle's reports, for the logarithms of time constant and gain.
    pub fn log_likelihood(&self, muscle: Muscle, log_tau: f64, log_gain: f64) -> f64 {
        let Some(table) = self.tables.get(muscle.index()).filter(|t| t.reports > 0) else { return 0.0 };
        let (tau, tau_weights) = table.taus.weights(log_tau);
        let (gain, gain_weights) = table.gains.weights(log_gain);
        let row = |node: usize| {
            let start = (tau + node) * GAIN_POINTS + gain;
            let values = table.values.get(start..start + NODES).unwrap_or(&[]);
            values.iter().zip(gain_weights).map(|(v, w)| v * w).sum::<f64>()
        };
        TEMPER * tau_weights.iter().enumerate().map(|(node, w)| w * row(node)).sum::<f64>()
    }
}

/// Logarithm of the probability of a whole score when so much is felt.
fn log_probability(score: f64, felt: f64) -> f64 {
    let below = |edge: f64| 0.5 * libm::erfc((felt - edge) / (SCORE_SD * std::f64::consts::SQRT_2));
    let upper = if score >= SCORE_MAX { 1.0 } else { below(score + 0.5) };
    let lower = if score <= 0.0 { 0.0 } else { below(score - 0.5) };
    libm::log((1.0 - IDLE) * (upper - lower).max(0.0) + IDLE / (SCORE_MAX + 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_probabilities_of_all_scores_add_up() {
        for felt in [0.0, 0.4, 3.3, 9.0, 25.0] {
            let sum: f64 = (0..=10).map(|s| libm::exp(log_probability(f64::from(s), felt))).sum();
            assert!((sum - 1.0).abs() < 1e-9, "{felt}: {sum}");
        }
    }

    #[test]
    fn a_score_is_likeliest_when_it_is_what_is_felt() {
        let at = |felt| log_probability(4.0, felt);
        assert!(at(4.0) > at(3.0) && at(4.0) > at(5.0) && at(30.0).is_finite());
    }
}
