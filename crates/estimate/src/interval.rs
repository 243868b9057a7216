//! A median with the interval that holds nine cases in ten.

use serde::{Deserialize, Serialize};

/// Lower and upper end as shares of the draws: 90 % lies between.
const LOW: f64 = 0.05;
const HIGH: f64 = 0.95;

/// Median and 90 % interval.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Interval<T> {
    /// One case in twenty lies below.
    pub low: T,
    /// Half lie below.
    pub median: T,
    /// One case in twenty lies above.
    pub high: T,
}

impl<T: PartialOrd> Interval<T> {
    /// Whether a value lies in the interval, ends included.
    pub fn holds(&self, value: &T) -> bool {
        self.low <= *value && *value <= self.high
    }
}

/// The interval of draws, with a unit; all zero without draws.
pub fn of<T>(mut draws: Vec<f64>, unit: impl Fn(f64) -> T) -> Interval<T> {
    let high = quantile(&mut draws, HIGH);
    let median = quantile(&mut draws, 0.5);
    let low = quantile(&mut draws, LOW);
    Interval { low: unit(low), median: unit(median), high: unit(high) }
}

/// A quantile of draws, interpolated between two; it brings them partly into order.
fn quantile(draws: &mut [f64], share: f64) -> f64 {
    let Some(last) = draws.len().checked_sub(1) else { return 0.0 };
    let place = share * last as f64;
    let (_, low, above) = draws.select_nth_unstable_by(place as usize, f64::total_cmp);
    let low = *low;
    let high = above.iter().copied().min_by(f64::total_cmp).unwrap_or(low);
    low + (high - low) * (place - place.floor())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_interval_holds_nine_in_ten() {
        let found = of((0..=100).rev().map(f64::from).collect(), |v| v);
        assert_eq!((found.low, found.median, found.high), (5.0, 50.0, 95.0));
        assert!(found.holds(&5.0) && !found.holds(&4.9) && !found.holds(&96.0));
        assert!(of(Vec::new(), |v| v).median.abs() < 1e-12);
    }
}
