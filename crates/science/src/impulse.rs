//! Fitness and fatigue as two impulse responses, over days and weeks: a picture of why performance dips before
//! it rises.
//!
//! Parameters fitted to one athlete are ill-conditioned: never show a curve of this model without a band, and
//! never plan by it.

use setwright_model::Share;

/// Parameters of p(t) = p0 + k1 sum w e^(-dt/tau1) - k2 sum w e^(-dt/tau2).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Impulse {
    /// Performance without training.
    pub base: f64,
    /// Gain of fitness.
    pub fitness_gain: f64,
    /// Gain of fatigue.
    pub fatigue_gain: f64,
    /// Time constant of fitness, in days.
    pub fitness_tau_days: f64,
    /// Time constant of fatigue, in days.
    pub fatigue_tau_days: f64,
}

/// A training load on a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DailyLoad {
    /// Day, in any count.
    pub day: f64,
    /// How much was done, in any unit.
    pub amount: f64,
}

impl Impulse {
    /// Performance on a day. Loads of that day and later do not count yet.
    pub fn performance(&self, loads: &[DailyLoad], day: f64) -> f64 {
        self.base
            + loads.iter().filter(|l| l.day < day).map(|l| l.amount * self.response(day - l.day)).sum::<f64>()
    }

    /// What one unit of load is worth `days` later.
    pub fn response(&self, days: f64) -> f64 {
        self.fitness_gain * libm::exp(-days / self.fitness_tau_days)
            - self.fatigue_gain * libm::exp(-days / self.fatigue_tau_days)
    }

    /// Days after a single load on which it has cost as much as it has brought; none when it never costs more.
    pub fn zero_crossing_days(&self) -> Option<f64> {
        self.days_at_ratio(self.fatigue_gain / self.fitness_gain)
    }

    /// Days after a single load on which it is worth most; none when that is at once.
    pub fn peak_days(&self) -> Option<f64> {
        let ratio = self.fatigue_gain * self.fitness_tau_days / (self.fitness_gain * self.fatigue_tau_days);
        self.days_at_ratio(ratio)
    }

    fn days_at_ratio(&self, ratio: f64) -> Option<f64> {
        let rate = 1.0 / self.fatigue_tau_days - 1.0 / self.fitness_tau_days;
        let days = libm::log(ratio) / rate;
        (days.is_finite() && days > 0.0).then_some(days)
    }

    /// Performance on a day under many drawn parameters: the band that may be shown, from the lower to the upper
    /// share (0.05 and 0.95, say) of the draws. None without draws.
    pub fn band(
        draws: &[Impulse],
        loads: &[DailyLoad],
        day: f64,
        from: Share,
        to: Share,
    ) -> Option<(f64, f64)> {
        let mut values: Vec<f64> = draws.iter().map(|d| d.performance(loads, day)).collect();
        values.sort_by(f64::total_cmp);
        let at = |share: Share| {
            let last = values.len().checked_sub(1)?;
            values.get((share.get().clamp(0.0, 1.0) * last as f64).round() as usize).copied()
        };
        Some((at(from)?, at(to)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const USUAL: Impulse = Impulse {
        base: 0.0,
        fitness_gain: 1.0,
        fatigue_gain: 2.0,
        fitness_tau_days: 45.0,
        fatigue_tau_days: 15.0,
    };

    #[test]
    fn a_load_of_today_does_not_count_today() {
        let loads = [DailyLoad { day: 3.0, amount: 100.0 }];
        assert!(USUAL.performance(&loads, 3.0).abs() < 1e-12);
        assert!(USUAL.performance(&loads, 3.5) < 0.0);
    }

    #[test]
    fn a_load_that_costs_nothing_has_neither_crossing_nor_peak() {
        let easy = Impulse { fatigue_gain: 0.1, ..USUAL };
        assert_eq!((easy.zero_crossing_days(), easy.peak_days()), (None, None));
    }

    #[test]
    fn a_band_holds_the_middle_draw() {
        let draws: Vec<Impulse> =
            (0..=10).map(|i| Impulse { fitness_gain: 0.5 + 0.1 * f64::from(i), ..USUAL }).collect();
        let loads = [DailyLoad { day: 0.0, amount: 100.0 }];
        let (low, high) = Impulse::band(&draws, &loads, 28.0, Share(0.1), Share(0.9)).unwrap();
        let middle = draws[5].performance(&loads, 28.0);
        assert!(low < middle && middle < high);
        assert_eq!(Impulse::band(&[], &loads, 28.0, Share(0.1), Share(0.9)), None);
    }
}
