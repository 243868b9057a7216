//! Soreness as a second signal: weak, tempered, and with a time constant of its own.
//!
//! Scores are clipped, rounded and personal, and agree badly with function. So the score follows a decay whose time
//! constant may differ from that of strength, with a gain of its own, and its likelihood counts a quarter.

use crate::fatigue::{Fatigue, Grid, SORENESS_POINTS};
use crate::history::{LoggedSession, SorenessReport};
use crate::prior::Prior;
use setwright_model::Muscle;

/// Power of the likelihood: with it intervals kept their promise on simulated clients whose scores misled; whole it
/// did not (judgement, see docs/models.md).
pub const TEMPER: f64 = 0.25;
/// Spread of a score (judgement).
const SCORE_SD: f64 = 1.5;
/// Highest score.
const SCORE_MAX: f64 = 10.0;

/// Sums of one muscle's reports.
#[derive(Clone, Debug)]
struct Sums {
    muscle: Muscle,
    grid: Grid,
    square: Vec<f64>,
    seen: Vec<f64>,
    reports: usize,
}

/// Sums of all reports.
#[derive(Clone, Debug)]
pub struct Soreness {
    fatigue: Fatigue,
    sums: Vec<Sums>,
}

impl Soreness {
    /// No report yet.
    pub fn new(prior: &Prior) -> Self {
        let (s, t) = (prior.soreness_spread.total(), prior.tau_spread.total());
        let spread = (s * s + t * t).sqrt();
        let grids = Muscle::ALL.map(|m| (m, Grid::new(prior.tau[m.index()].get(), spread, SORENESS_POINTS)));
        let fatigue = Fatigue::new(grids.iter().map(|(m, g)| (*m, g.taus_h())).collect());
        let sums = grids.map(|(muscle, grid)| Sums {
            muscle,
            grid,
            square: vec![0.0; SORENESS_POINTS * SORENESS_POINTS],
            seen: vec![0.0; SORENESS_POINTS],
            reports: 0,
        });
        Self { fatigue, sums: sums.into() }
    }

    /// Takes in a report; reports and sessions must come in order of time.
    pub fn report(&mut self, report: &SorenessReport) {
        self.fatigue.advance(report.at.get());
        let place = report.muscle.index();
        let left = self.fatigue.left(place).to_vec();
        let score = f64::from(report.score).min(SCORE_MAX);
        let Some(sums) = self.sums.get_mut(place).filter(|s| s.muscle == report.muscle) else { return };
        sums.reports += 1;
        for (i, a) in left.iter().enumerate() {
            sums.seen[i] += a * score;
            for (square, b) in sums.square[i * left.len()..].iter_mut().zip(&left) {
                *square += a * b;
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
        self.sums.get(muscle.index()).is_some_and(|s| s.reports > 0)
    }

    /// Whether any muscle was.
    pub fn is_silent(&self) -> bool {
        self.sums.iter().all(|s| s.reports == 0)
    }

    /// Tempered log-likelihood of a muscle's reports, up to a constant.
    pub fn log_likelihood(&self, muscle: Muscle, log_tau: f64, gain: f64) -> f64 {
        let Some(sums) = self.sums.get(muscle.index()).filter(|s| s.reports > 0) else { return 0.0 };
        let (first, weights) = sums.grid.weights(log_tau);
        let mut linear = 0.0;
        let mut square = 0.0;
        for (i, a) in weights.iter().enumerate() {
            linear += a * sums.seen[first + i];
            let row = &sums.square[(first + i) * SORENESS_POINTS + first..];
            square += a * weights.iter().zip(row).map(|(b, r)| b * r).sum::<f64>();
        }
        TEMPER * (gain * linear - 0.5 * gain * gain * square) / (SCORE_SD * SCORE_SD)
    }
}
