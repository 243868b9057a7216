//! How often to train a muscle: what each frequency is worth, as expected over what is believed.
//!
//! A muscle trained more often gains a little at the same weekly sets, and pays for what it still lacks when it is
//! trained again. Which side weighs more depends on how fast this client's muscle recovers, so the worth is averaged
//! over the draws, never reckoned at one value. It says what is worth more, not what to do.

use crate::interval::{self, Interval};
use crate::sample::Draw;
use setwright_model::{FractionalSets, Hours, Share};

/// Sessions of a muscle a week that are compared.
pub const FREQUENCIES: [u32; 3] = [1, 2, 3];
/// Worth of twice as many sessions at the same weekly sets, as a share of the benefit. Effect sizes rise with
/// sessions, 0.74, 0.82, 0.93 for one, two, three, and do not differ at equal volume (Grgic 2018, Sports Med 48:1207
/// (A)); in the trade a muscle trained once a week gains much on two (T). Between the two, small (judgement).
const DOUBLING: f64 = 0.05;
/// What each share of strength that is missing at the start of a session costs of the benefit (judgement: at 2 %,
/// where a muscle counts as ready, as much as a doubling brings).
const MISSING: f64 = 2.5;

/// What one frequency is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Frequency {
    /// Sessions a week.
    pub per_week: u32,
    /// Expected worth as a share of the benefit, beside once a week without any fatigue left.
    pub worth: Share,
    /// Probability that no other frequency compared is worth more.
    pub best: Share,
    /// Strength missing at the start of a session.
    pub missing: Interval<Share>,
}

/// Strength missing at the start of each session when a drop recurs at a gap for ever.
pub fn steady(drop: Share, gap: Hours, tau: Hours) -> Share {
    let left = libm::exp(-gap.get() / tau.get().max(1e-6));
    Share(drop.get() * left / (1.0 - left).max(1e-9))
}

/// Worth of so many sessions a week when so much is missing at the start of each.
pub fn worth(per_week: u32, missing: Share) -> Share {
    Share(DOUBLING * libm::log2(f64::from(per_week.max(1))) - MISSING * missing.get())
}

/// Compares the frequencies for a muscle whose weekly sets are split evenly. `drop` gives what a dose takes.
pub fn compare(
    draws: &[&Draw],
    muscle: usize,
    weekly: FractionalSets,
    drop: impl Fn(FractionalSets) -> f64,
) -> Vec<Frequency> {
    let missing = FREQUENCIES.map(|per_week| {
        let drop = drop(FractionalSets(weekly.get() / f64::from(per_week)));
        let gap = Hours(crate::filter::WEEK_H / f64::from(per_week));
        let of =
            |d: &Draw| steady(Share(drop * d.depth[muscle]), gap, Hours(libm::exp(d.log_tau[muscle]))).get();
        draws.iter().copied().map(of).collect::<Vec<f64>>()
    });
    let worths: Vec<Vec<f64>> = FREQUENCIES
        .iter()
        .zip(&missing)
        .map(|(f, missing)| missing.iter().map(|m| worth(*f, Share(*m)).get()).collect())
        .collect();
    let count = draws.len().max(1) as f64;
    let mut wins = [0_u32; FREQUENCIES.len()];
    for nth in 0..draws.len() {
        let at = |place: usize| worths.get(place).and_then(|w| w.get(nth)).copied().unwrap_or(f64::MIN);
        let best = (0..wins.len()).max_by(|a, b| at(*a).total_cmp(&at(*b)));
        if let Some(win) = best.and_then(|b| wins.get_mut(b)) {
            *win += 1;
        }
    }
    let all = FREQUENCIES.into_iter().zip(missing).zip(worths).zip(wins);
    all.map(|(((per_week, missing), worths), wins)| Frequency {
        per_week,
        worth: Share(worths.iter().sum::<f64>() / count),
        best: Share(f64::from(wins) / count),
        missing: interval::of(missing, Share),
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::Muscle;

    fn draw(tau_h: f64, depth: f64) -> Draw {
        Draw { log_tau: [libm::log(tau_h); Muscle::COUNT], depth: [depth; Muscle::COUNT] }
    }

    fn best(draws: &[Draw]) -> u32 {
        let all =
            compare(&draws.iter().collect::<Vec<_>>(), 0, FractionalSets(12.0), |dose| 0.02 * dose.get());
        all.iter().max_by(|a, b| a.worth.get().total_cmp(&b.worth.get())).unwrap().per_week
    }

    #[test]
    fn quick_muscles_are_worth_training_often_and_slow_ones_are_not() {
        assert_eq!(best(&[draw(14.0, 1.0)]), 3);
        assert_eq!(best(&[draw(70.0, 1.5)]), 1);
    }

    #[test]
    fn probabilities_of_being_best_add_up() {
        let draws: Vec<Draw> = (1..40).map(|n| draw(2.0 * f64::from(n), 1.0)).collect();
        let all =
            compare(&draws.iter().collect::<Vec<_>>(), 0, FractionalSets(12.0), |dose| 0.02 * dose.get());
        assert!((all.iter().map(|f| f.best.get()).sum::<f64>() - 1.0).abs() < 1e-9);
        assert!(all.windows(2).all(|w| w[0].missing.median <= w[1].missing.median));
    }

    #[test]
    fn a_drop_that_recurs_adds_up_to_a_steady_state() {
        let (gap, tau) = (Hours(48.0), Hours(30.0));
        let sum: f64 = (1..60).map(|n| 0.1 * libm::exp(-f64::from(n) * 48.0 / 30.0)).sum();
        assert!((steady(Share(0.1), gap, tau).get() - sum).abs() < 1e-12);
    }
}
