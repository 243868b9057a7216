//! Fatigue that is left at a time, for a grid of time constants at once.

use setwright_model::Muscle;

/// Points of a grid for fatigue; between them the interpolation errs by less than 0.001 of a dose (numeric).
pub const POINTS: usize = 13;
/// Points of the wider grid for soreness (numeric).
pub const SORENESS_POINTS: usize = 19;
/// How far a grid reaches on either side of the median, in spreads (numeric).
const REACH: f64 = 3.0;
/// Points that an interpolation uses: a cubic.
pub const NODES: usize = 4;

/// Time constants or gains, evenly spaced in their logarithm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    low: f64,
    step: f64,
    points: usize,
}

impl Grid {
    /// A grid about a median, for a spread of the logarithm.
    pub fn new(median: f64, spread: f64, points: usize) -> Self {
        let reach = REACH * spread.max(1e-6);
        Self { low: libm::log(median) - reach, step: 2.0 * reach / (points - 1) as f64, points }
    }

    /// Its values.
    pub fn values(&self) -> Vec<f64> {
        (0..self.points).map(|g| libm::exp(self.low + self.step * g as f64)).collect()
    }

    /// First point and weights of the cubic through four points about a time constant; the ends hold beyond them.
    pub fn weights(&self, log_tau: f64) -> (usize, [f64; NODES]) {
        let last = (self.points - 1) as f64;
        let place = ((log_tau - self.low) / self.step).clamp(0.0, last);
        let first = (place as usize).saturating_sub(1).min(self.points - NODES);
        let to: [f64; NODES] = std::array::from_fn(|node| place - (first + node) as f64);
        let weights = [
            -to[1] * to[2] * to[3] / 6.0,
            to[0] * to[2] * to[3] / 2.0,
            -to[0] * to[1] * to[3] / 2.0,
            to[0] * to[1] * to[2] / 6.0,
        ];
        (first, weights)
    }
}

/// Fatigue by muscle and time constant, carried from session to session.
#[derive(Clone, Debug)]
pub struct Fatigue {
    /// Time constants of each muscle followed.
    taus_h: Vec<(Muscle, Vec<f64>)>,
    left: Vec<Vec<f64>>,
    at_h: Option<f64>,
}

impl Fatigue {
    /// Nothing left of anything, for muscles with their time constants.
    pub fn new(taus_h: Vec<(Muscle, Vec<f64>)>) -> Self {
        let left = taus_h.iter().map(|(_, taus)| vec![0.0; taus.len()]).collect();
        Self { taus_h, left, at_h: None }
    }

    /// Lets time pass. Going back lets none pass.
    pub fn advance(&mut self, at_h: f64) {
        let gap_h = self.at_h.map_or(0.0, |last| (at_h - last).max(0.0));
        self.at_h = Some(self.at_h.map_or(at_h, |last| last.max(at_h)));
        if gap_h > 0.0 {
            for ((_, taus), left) in self.taus_h.iter().zip(&mut self.left) {
                for (tau, l) in taus.iter().zip(left) {
                    *l *= libm::exp(-gap_h / tau);
                }
            }
        }
    }

    /// Adds a session's drops, in the order of [`Muscle::ALL`].
    pub fn add(&mut self, drops: &[f64; Muscle::COUNT]) {
        for ((muscle, _), left) in self.taus_h.iter().zip(&mut self.left) {
            let drop = drops[muscle.index()];
            for l in left {
                *l += drop;
            }
        }
    }

    /// What is left of a muscle followed, by time constant.
    pub fn left(&self, place: usize) -> &[f64] {
        self.left.get(place).map_or(&[], Vec::as_slice)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_points_the_fatigue_is_that_of_the_time_constant() {
        let grid = Grid::new(24.0, 0.39, POINTS);
        let taus = grid.values();
        for step in -11_i32..=11 {
            let tau = 24.0 * libm::exp(f64::from(step) * 0.1);
            let (first, weights) = grid.weights(libm::log(tau));
            for gap in [6.0, 24.0, 48.0, 96.0] {
                let read: f64 =
                    weights.iter().zip(&taus[first..]).map(|(w, t)| w * libm::exp(-gap / t)).sum();
                assert!((read - libm::exp(-gap / tau)).abs() < 1e-3, "{tau} {gap}");
            }
        }
    }

    #[test]
    fn doses_add_up_and_decay() {
        let mut fatigue = Fatigue::new(vec![(Muscle::Chest, vec![24.0])]);
        let mut drops = [0.0; Muscle::COUNT];
        drops[Muscle::Chest.index()] = 0.1;
        for at in [0.0, 24.0, 48.0] {
            fatigue.advance(at);
            fatigue.add(&drops);
        }
        let e = libm::exp(-1.0);
        assert!((fatigue.left(0)[0] - 0.1 * (1.0 + e + e * e)).abs() < 1e-12);
        fatigue.advance(0.0);
        assert!((fatigue.left(0)[0] - 0.1 * (1.0 + e + e * e)).abs() < 1e-12, "time does not run back");
    }
}
