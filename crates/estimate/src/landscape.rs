//! The likelihood of any recovery parameters, from the sums of one pass: a quadratic form.

use crate::fatigue::{Grid, NODES};
use crate::filter::Gram;

/// Coefficient of one muscle's columns: the depth spread over the points of the interpolation.
#[derive(Clone, Copy, Debug)]
pub struct Mix {
    first: usize,
    values: [f64; NODES],
}

impl Mix {
    /// No fatigue.
    pub const NONE: Self = Self { first: 0, values: [0.0; NODES] };

    /// Columns for a depth and the logarithm of a time constant, of a muscle whose columns start at `start`.
    pub fn of(grid: &Grid, start: usize, log_tau: f64, depth: f64) -> Self {
        let (first, weights) = grid.weights(log_tau);
        Self { first: start + first, values: weights.map(|w| w * depth) }
    }

    /// How the columns change with the logarithm of the time constant, by a step to either side.
    pub fn slope(grid: &Grid, start: usize, log_tau: f64, step: f64, depth: f64) -> Slope {
        let to = |at| Self::of(grid, start, at, depth / (2.0 * step));
        Slope { up: to(log_tau + step), down: to(log_tau - step) }
    }

    /// What these columns of fatigue add up to.
    fn of_columns(&self, columns: &[f64]) -> f64 {
        let own = columns.get(self.first..self.first + NODES).unwrap_or(&[]);
        own.iter().zip(&self.values).map(|(c, v)| c * v).sum()
    }

    /// Columns and coefficients, counted from 0 for the first column of fatigue.
    pub fn terms(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.values.iter().enumerate().map(|(i, v)| (self.first + i, *v))
    }
}

/// A change of one muscle's coefficients.
#[derive(Clone, Copy, Debug)]
pub struct Slope {
    up: Mix,
    down: Mix,
}

impl Slope {
    /// The change by a depth alone, in its logarithm.
    pub const fn by_depth(mix: Mix) -> Self {
        Self { up: mix, down: Mix::NONE }
    }

    fn terms(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.up.terms().chain(self.down.terms().map(|(c, v)| (c, -v)))
    }
}

/// Value of a quantity that has a mean by column, under a mix of each muscle.
pub fn value(means: &[f64], mixes: &[Mix]) -> f64 {
    let Some((base, columns)) = means.split_first() else { return 0.0 };
    base + mixes.iter().map(|mix| mix.of_columns(columns)).sum::<f64>()
}

/// The quadratic form and, for the present parameters, its gradient.
#[derive(Clone, Debug)]
pub struct Landscape {
    size: usize,
    /// Products of fatigue columns, full square.
    square: Vec<f64>,
    /// Products of fatigue columns with what was seen.
    seen: Vec<f64>,
    mixes: Vec<Mix>,
    /// Square times the present coefficients, plus `seen`.
    slope: Vec<f64>,
}

impl Landscape {
    /// The form of a pass with so many muscles, all without fatigue.
    pub fn of(gram: &Gram, muscles: usize) -> Self {
        let size = gram.size.saturating_sub(1);
        let mut square = vec![0.0; size * size];
        for i in 0..size {
            for j in i..size {
                let sum = gram.sums[(i + 1) * gram.size + j + 1];
                square[i * size + j] = sum;
                square[j * size + i] = sum;
            }
        }
        let seen = gram.sums.get(1..gram.size).map_or_else(Vec::new, <[f64]>::to_vec);
        let slope = seen.clone();
        Self { size, square, seen, mixes: vec![Mix::NONE; muscles], slope }
    }

    /// Change of the log-likelihood if a muscle's coefficients were these.
    pub fn change(&self, muscle: usize, to: &Mix) -> f64 {
        let Some(from) = self.mixes.get(muscle) else { return 0.0 };
        let mut terms = [(0_usize, 0.0_f64); 2 * NODES];
        for (slot, term) in terms.iter_mut().zip(to.terms().chain(from.terms().map(|(c, v)| (c, -v)))) {
            *slot = term;
        }
        let mut linear = 0.0;
        let mut quadratic = 0.0;
        for (c, v) in terms {
            let row = &self.square[c * self.size..(c + 1) * self.size];
            linear += v * self.slope[c];
            quadratic += v * terms.iter().map(|(d, w)| w * row[*d]).sum::<f64>();
        }
        -linear - 0.5 * quadratic
    }

    /// Makes these the coefficients of a muscle.
    pub fn set(&mut self, muscle: usize, to: Mix) {
        let Some(from) = self.mixes.get(muscle).copied() else { return };
        for (c, v) in to.terms().chain(from.terms().map(|(c, v)| (c, -v))) {
            if v != 0.0 {
                let row = &self.square[c * self.size..(c + 1) * self.size];
                for (s, r) in self.slope.iter_mut().zip(row) {
                    *s += v * r;
                }
            }
        }
        self.mixes[muscle] = to;
    }

    /// Makes these the coefficients of all muscles, without the errors that small steps gather.
    pub fn set_all(&mut self, to: &[Mix]) {
        self.mixes.copy_from_slice(to);
        self.slope.copy_from_slice(&self.seen);
        for mix in to {
            for (c, v) in mix.terms() {
                let row = &self.square[c * self.size..(c + 1) * self.size];
                for (s, r) in self.slope.iter_mut().zip(row) {
                    *s += v * r;
                }
            }
        }
    }

    /// Product of two changes: the information that they share.
    pub fn product(&self, a: &Slope, b: &Slope) -> f64 {
        let row = |c: usize| self.square.get(c * self.size..(c + 1) * self.size).unwrap_or(&[]);
        let with = |c: usize| b.terms().map(|(d, w)| w * row(c).get(d).copied().unwrap_or(0.0)).sum::<f64>();
        a.terms().map(|(c, v)| v * with(c)).sum()
    }

    /// Log-likelihood under coefficients of all muscles, beside that of no fatigue.
    pub fn log_likelihood(&self, mixes: &[Mix]) -> f64 {
        let mut total = 0.0;
        for (k, mix) in mixes.iter().enumerate() {
            for (c, v) in mix.terms() {
                let row = &self.square[c * self.size..(c + 1) * self.size];
                let own: f64 = mix.terms().map(|(d, w)| w * row[d]).sum();
                let others: f64 =
                    mixes[..k].iter().map(|m| m.terms().map(|(d, w)| w * row[d]).sum::<f64>()).sum();
                total -= v * (self.seen[c] + others + 0.5 * own);
            }
        }
        total
    }
}
