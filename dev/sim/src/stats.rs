//! Small statistics for judging: shares with their error, ranks, areas.

/// Share of trues.
pub fn share(hits: &[bool]) -> f64 {
    hits.iter().filter(|h| **h).count() as f64 / hits.len().max(1) as f64
}

/// Root of the mean of squares.
pub fn rms(errors: &[f64]) -> f64 {
    (errors.iter().map(|e| e * e).sum::<f64>() / errors.len().max(1) as f64).sqrt()
}

/// Standard error of a share whose cases come in clusters of one client each.
pub fn clustered_error(clusters: &[Vec<bool>]) -> f64 {
    let all: Vec<bool> = clusters.iter().flatten().copied().collect();
    let mean = share(&all);
    let off = |c: &Vec<bool>| c.iter().map(|h| f64::from(u8::from(*h)) - mean).sum::<f64>();
    clusters.iter().map(|c| off(c) * off(c)).sum::<f64>().sqrt() / all.len().max(1) as f64
}

/// Chi-square of ranks in equal bins, and the probability of one as large if they are uniform (Wilson and
/// Hilferty's approximation).
pub fn uniformity(ranks: &[f64], bins: usize) -> (f64, f64) {
    let mut counts = vec![0.0; bins];
    for rank in ranks {
        counts[((rank * bins as f64) as usize).min(bins - 1)] += 1.0;
    }
    let expected = ranks.len() as f64 / bins as f64;
    let chi: f64 = counts.iter().map(|c| (c - expected) * (c - expected) / expected.max(1e-9)).sum();
    let degrees = (bins - 1) as f64;
    let spread = 2.0 / (9.0 * degrees);
    let z = (libm::pow(chi / degrees, 1.0 / 3.0) - (1.0 - spread)) / spread.sqrt();
    (chi, 0.5 * libm::erfc(z / std::f64::consts::SQRT_2))
}

/// Probability that a positive scores above a negative, ties counting half.
pub fn area_under_curve(positives: &[f64], negatives: &[f64]) -> f64 {
    let mut wins = 0.0;
    for p in positives {
        for n in negatives {
            wins += if p > n {
                1.0
            } else if p < n {
                0.0
            } else {
                0.5
            };
        }
    }
    wins / (positives.len() * negatives.len()).max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn even_ranks_look_uniform_and_piled_ones_do_not() {
        let even: Vec<f64> = (0..1000).map(|i| f64::from(i) / 1000.0).collect();
        assert!(uniformity(&even, 10).1 > 0.9);
        let piled: Vec<f64> = even.iter().map(|r| r * r).collect();
        assert!(uniformity(&piled, 10).1 < 1e-6);
    }

    #[test]
    fn areas_and_errors_are_as_defined() {
        assert!((area_under_curve(&[2.0, 3.0], &[1.0, 2.0]) - 0.875).abs() < 1e-12);
        assert!((rms(&[3.0, -4.0]) - 12.5_f64.sqrt()).abs() < 1e-12);
        assert!((clustered_error(&[vec![true], vec![false]]) - 0.5_f64.sqrt() / 2.0).abs() < 1e-12);
    }
}
