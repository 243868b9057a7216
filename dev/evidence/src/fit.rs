//! The fit of the fatigue model's constants to the rest tables: least squares with weak priors.
//!
//! `cargo run -p setwright-evidence --bin fit_acute` prints the constants and the errors. Nothing is written: a
//! person copies the result into the science and says so.

use crate::rest;
use setwright_science::acute::Constants;

/// Number of fitted constants.
pub const FITTED: usize = 6;

/// Scale on which a repetition off counts as one.
const REPS_SD: f64 = 1.0;
/// The same for a total against one minute.
const RATIO_SD: f64 = 0.05;
/// The same for pairs against straight sets.
const PAIRS_SD: f64 = 0.005;

/// Prior means and standard deviations: log fast tau, log slow tau, log systemic cost, and the logit of the slow
/// share (judgement, wide; the movement families spread about the mean of the three).
const LOG_FAST: (f64, f64) = (3.689, 0.5); // 40 s
const LOG_SLOW: (f64, f64) = (5.298, 0.5); // 200 s
const LOG_SYSTEMIC: (f64, f64) = (-4.2, 1.0); // 0.015
const LOGIT_SLOW_SHARE: (f64, f64) = (0.0, 1.0);
const FAMILY_SD: f64 = 0.7;

/// The constants as free numbers.
pub fn free(c: Constants) -> [f64; FITTED] {
    [
        logit(c.slow_share_upper),
        logit(c.slow_share_lower),
        logit(c.slow_share_small),
        libm::log(c.fast_tau_s),
        libm::log(c.slow_tau_s),
        libm::log(c.systemic_per_set),
    ]
}

/// Constants from free numbers; what is not fitted comes from `base`.
pub fn constants(free: [f64; FITTED], base: Constants) -> Constants {
    Constants {
        slow_share_upper: share(free[0]),
        slow_share_lower: share(free[1]),
        slow_share_small: share(free[2]),
        fast_tau_s: libm::exp(free[3]),
        slow_tau_s: libm::exp(free[4]),
        systemic_per_set: libm::exp(free[5]),
        ..base
    }
}

fn logit(share: f64) -> f64 {
    libm::log(share / (1.0 - share))
}

fn share(logit: f64) -> f64 {
    1.0 / (1.0 + libm::exp(-logit))
}

/// What the fit makes small. `without` leaves one study out, to see how the others foretell it.
pub fn loss(free: [f64; FITTED], base: Constants, without: Option<&str>) -> f64 {
    let c = constants(free, base);
    let rows = rest::rows(c).into_iter().filter(|r| Some(r.study) != without);
    let (totals, reps): (Vec<_>, Vec<_>) = rows.partition(|r| r.study == rest::WILLARDSON_NAME);
    let of_reps: f64 = reps.iter().map(|r| square(r.error_reps() / REPS_SD)).sum();
    let one = rest::willardson_total(c, 1.0) / 4.0;
    let of_totals: f64 = totals.iter().map(|r| square(r.error_reps() / one / RATIO_SD)).sum();
    let of_pairs = square((rest::pairs_against_straight(c) - rest::ANDERSEN_PAIRS) / PAIRS_SD);
    of_reps + of_totals + of_pairs + prior(free)
}

fn prior(free: [f64; FITTED]) -> f64 {
    let centre = (free[0] + free[1] + free[2]) / 3.0;
    let families: f64 = free[..3].iter().map(|x| square((x - centre) / FAMILY_SD)).sum();
    let scaled = |x: f64, (mean, sd): (f64, f64)| square((x - mean) / sd);
    families
        + scaled(centre, LOGIT_SLOW_SHARE)
        + scaled(free[3], LOG_FAST)
        + scaled(free[4], LOG_SLOW)
        + scaled(free[5], LOG_SYSTEMIC)
}

fn square(x: f64) -> f64 {
    x * x
}

/// Least point of a function by a pattern search: one number at a time, steps halved when none helps. Slow, simple
/// and the same on every machine.
pub fn minimise(start: [f64; FITTED], f: impl Fn([f64; FITTED]) -> f64) -> ([f64; FITTED], f64) {
    let (mut best, mut value) = (start, f(start));
    let mut step = 0.5;
    while step > 1e-5 {
        let before = (best, value);
        for i in 0..FITTED {
            for direction in [step, -step] {
                let mut next = best;
                next[i] += direction;
                try_point(&mut best, &mut value, next, &f);
            }
        }
        if value < before.1 {
            let mut onward = best;
            onward.iter_mut().zip(before.0).for_each(|(x, old)| *x += *x - old);
            try_point(&mut best, &mut value, onward, &f);
        } else {
            step /= 2.0;
        }
    }
    (best, value)
}

fn try_point(
    best: &mut [f64; FITTED],
    value: &mut f64,
    next: [f64; FITTED],
    f: &impl Fn([f64; FITTED]) -> f64,
) {
    let there = f(next);
    if there < *value {
        (*best, *value) = (next, there);
    }
}
