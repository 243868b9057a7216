//! One Kalman pass over the log whose gains do not depend on the recovery parameters.
//!
//! The state is the client's growth, the effects of order, bias and curve, the day, and for each exercise its
//! strength and its own growth. Observations come with several columns: the first is what was seen, the others what
//! fatigue with some time constant would have taken. All pass through the same gains, so the innovation for any
//! parameters is a weighted sum of the columns' innovations, and the likelihood a quadratic form in [`Gram`].

use crate::intake::{Contrasts, FilteredSession, LiftInSession};
use crate::prior::StrengthPrior;

/// Hours of a week, the unit of time of the state; exact by definition.
pub const WEEK_H: f64 = 168.0;
/// Spread of an exercise's strength about its first observation (judgement: it hardly matters).
const FIRST_SD: f64 = 0.5;
/// Weeks of a break after which strength is less sure, and the spread a week beyond (judgement).
const BREAK_WEEKS: f64 = 2.0;
const BREAK_SD: f64 = 0.015;
/// Weight, in sets, of the prior of the spread of a set (judgement).
const SET_PRIOR_DEGREES: f64 = 20.0;

const GROWTH: usize = 0;
const ORDER: usize = 1;
const BEFORE: usize = 2;
const BIAS: usize = 3;
const BEND: usize = 4;
const DAY: usize = 5;
const EASE: usize = 6;
const PERSON: usize = 7;

/// Spreads of noise that are estimated rather than assumed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scales {
    pub day: f64,
    pub exercise_day: f64,
    pub set: f64,
}

impl Scales {
    /// The spread of a set from the contrasts within exercises; the others as assumed.
    pub fn of(strength: &StrengthPrior, contrasts: &Contrasts) -> Self {
        let explained = if contrasts.order_order > 0.0 {
            contrasts.order_y * contrasts.order_y / contrasts.order_order
        } else {
            0.0
        };
        let prior = strength.set * strength.set * SET_PRIOR_DEGREES;
        let left = (contrasts.y_y - explained).max(0.0);
        let variance = (prior + left) / (SET_PRIOR_DEGREES + (contrasts.degrees - 1.0).max(0.0));
        Self { day: strength.day, exercise_day: strength.exercise_day, set: variance.sqrt() }
    }
}

/// Sums of products of whitened innovations: all that the likelihood needs, of a size that does not grow.
#[derive(Clone, Debug)]
pub struct Gram {
    pub size: usize,
    /// Upper triangle by rows of a full square.
    pub sums: Vec<f64>,
    pub log_det: f64,
    pub count: usize,
}

impl Gram {
    fn new(size: usize) -> Self {
        Self { size, sums: vec![0.0; size * size], log_det: 0.0, count: 0 }
    }

    fn add(&mut self, innovation: &[f64], variance: f64) {
        for (i, row) in self.sums.chunks_exact_mut(self.size).enumerate() {
            let scaled = innovation[i] / variance;
            if scaled != 0.0 {
                for (sum, v) in row[i..].iter_mut().zip(&innovation[i..]) {
                    *sum += scaled * v;
                }
            }
        }
        self.log_det += libm::log(variance);
        self.count += 1;
    }
}

/// An innovation of the first column, for finding outliers.
#[derive(Clone, Copy, Debug)]
pub struct Surprise {
    pub innovation: f64,
    pub variance: f64,
}

/// The pass.
#[derive(Clone, Debug)]
pub struct Filter {
    strength: StrengthPrior,
    pub scales: Scales,
    columns: usize,
    at_h: Option<f64>,
    /// Means by state and column.
    means: Vec<Vec<f64>>,
    /// Covariance, full.
    cov: Vec<Vec<f64>>,
    /// Position of a lift's strength among the states, by lift; 0 before it was met.
    levels: Vec<usize>,
    pub gram: Gram,
    /// Innovations by column of the last session, with their variances.
    pub latest: Vec<(Vec<f64>, f64)>,
}

impl Filter {
    /// A pass over observations of so many columns. The contrasts within exercises enter through the prior of the
    /// order effect, which is exact because nothing else depends on them.
    pub fn new(strength: &StrengthPrior, scales: Scales, contrasts: &Contrasts, columns: usize) -> Self {
        let (order_mean, order_sd) = order_effect(strength, scales, contrasts);
        let person = [
            (strength.growth.0, strength.growth.1),
            (order_mean, order_sd),
            strength.before,
            strength.rir_bias,
            (0.0, strength.curve),
            (0.0, 0.0),
            (0.0, strength.ease),
        ];
        let mut filter = Self {
            strength: *strength,
            scales,
            columns,
            at_h: None,
            means: Vec::new(),
            cov: Vec::new(),
            levels: Vec::new(),
            gram: Gram::new(columns),
            latest: Vec::new(),
        };
        for (mean, sd) in person {
            filter.append(mean, sd);
        }
        filter
    }

    /// Forgets the sums, so that those of what comes next stand alone.
    pub fn begin_sums(&mut self) {
        self.gram = Gram::new(self.columns);
    }

    fn append(&mut self, mean: f64, sd: f64) {
        let mut row = vec![0.0; self.columns];
        row[0] = mean;
        self.means.push(row);
        for row in &mut self.cov {
            row.push(0.0);
        }
        let mut row = vec![0.0; self.means.len()];
        if let Some(last) = row.last_mut() {
            *last = sd * sd;
        }
        self.cov.push(row);
    }

    fn meet(&mut self, lift: usize, y: f64) {
        if self.levels.len() <= lift {
            self.levels.resize(lift + 1, 0);
        }
        if self.levels[lift] == 0 {
            self.levels[lift] = self.means.len();
            self.append(y, FIRST_SD);
            self.append(0.0, self.strength.growth_exercise);
        }
    }

    /// Moves to a time. Going back moves nothing.
    pub fn advance(&mut self, at_h: f64) {
        let weeks = self.at_h.map_or(0.0, |last| ((at_h - last) / WEEK_H).max(0.0));
        self.at_h = Some(at_h);
        if weeks > 0.0 {
            self.grow(weeks);
            self.drift(weeks);
        }
    }

    fn grow(&mut self, weeks: f64) {
        let size = self.means.len();
        for level in (PERSON..size).step_by(2) {
            for c in 0..self.columns {
                let gain = self.means[GROWTH][c] + self.means[level + 1][c];
                self.means[level][c] += weeks * gain;
            }
            for c in 0..size {
                let gain = self.cov[GROWTH][c] + self.cov[level + 1][c];
                self.cov[level][c] += weeks * gain;
            }
        }
        for row in &mut self.cov {
            for level in (PERSON..size).step_by(2) {
                row[level] += weeks * (row[GROWTH] + row[level + 1]);
            }
        }
    }

    fn drift(&mut self, weeks: f64) {
        let s = self.strength;
        let square = |sd: f64| sd * sd;
        self.cov[GROWTH][GROWTH] += square(s.growth_drift) * weeks;
        let rest = square(BREAK_SD) * (weeks - BREAK_WEEKS).max(0.0);
        for level in (PERSON..self.means.len()).step_by(2) {
            self.cov[level][level] += square(s.level_drift) * weeks + rest;
            self.cov[level + 1][level + 1] += square(s.growth_exercise_drift) * weeks;
        }
    }

    /// Takes in a session. `columns_of` gives the columns of a group after the first. Returns how surprising each
    /// group was, and the day's effect in its own spread, both by the first column.
    pub fn take(
        &mut self,
        meeting: &FilteredSession,
        mut columns_of: impl FnMut(&LiftInSession, &mut [f64]),
    ) -> (Vec<Surprise>, f64) {
        self.advance(meeting.at_h);
        let day = self.scales.day * self.scales.day * meeting.doubt;
        self.new_day(day);
        self.latest.clear();
        let mut surprises = Vec::with_capacity(meeting.groups.len());
        let mut seen = vec![0.0; self.columns];
        for group in &meeting.groups {
            seen.fill(0.0);
            columns_of(group, &mut seen);
            seen[0] += group.y;
            self.meet(group.lift, group.y);
            surprises.push(self.observe(group, &seen));
        }
        (surprises, self.means[DAY][0] / day.sqrt().max(1e-9))
    }

    fn new_day(&mut self, variance: f64) {
        self.means[DAY].fill(0.0);
        self.cov[DAY].fill(0.0);
        for row in &mut self.cov {
            row[DAY] = 0.0;
        }
        self.cov[DAY][DAY] = variance;
    }

    fn observe(&mut self, group: &LiftInSession, seen: &[f64]) -> Surprise {
        let touched = self.touched(group);
        let noise = self.noise(group);
        let size = self.means.len();
        let mut gain = vec![0.0; size];
        for (state, by) in touched {
            for (g, c) in gain.iter_mut().zip(&self.cov[state]) {
                *g += by * c;
            }
        }
        let variance = touched.iter().map(|(state, by)| by * gain[*state]).sum::<f64>() + noise;
        let mut innovation = seen.to_vec();
        for (state, by) in touched {
            for (v, m) in innovation.iter_mut().zip(&self.means[state]) {
                *v -= by * m;
            }
        }
        for (means, g) in self.means.iter_mut().zip(&gain) {
            let k = g / variance;
            for (m, v) in means.iter_mut().zip(&innovation) {
                *m += k * v;
            }
        }
        for (row, gi) in self.cov.iter_mut().zip(&gain) {
            let k = gi / variance;
            for (c, gj) in row.iter_mut().zip(&gain) {
                *c -= k * gj;
            }
        }
        self.gram.add(&innovation, variance);
        let surprise = Surprise { innovation: innovation[0], variance };
        self.latest.push((innovation, variance));
        surprise
    }

    fn noise(&self, group: &LiftInSession) -> f64 {
        let own = self.scales.exercise_day * self.scales.exercise_day;
        (own + self.scales.set * self.scales.set * group.noise) * group.doubt
    }

    /// States that an observation depends on, and by how much.
    fn touched(&self, group: &LiftInSession) -> [(usize, f64); PERSON] {
        [
            (self.levels.get(group.lift).copied().unwrap_or(0), 1.0),
            (DAY, 1.0),
            (ORDER, -group.order),
            (BEFORE, -group.before),
            (BIAS, -group.fall),
            (BEND, group.bend),
            (EASE, group.ease),
        ]
    }

    /// Mean by column and variance of a lift's rested strength; None when it was never observed.
    pub fn level(&self, lift: usize) -> Option<(&[f64], f64)> {
        let level = self.levels.get(lift).copied().filter(|l| *l > 0)?;
        Some((&self.means[level], self.cov[level][level]))
    }

    /// Mean by column and variance of a lift's growth in a week.
    pub fn growth_of(&self, lift: usize) -> Option<(Vec<f64>, f64)> {
        let own = self.levels.get(lift).copied().filter(|l| *l > 0)? + 1;
        let means = self.means[GROWTH].iter().zip(&self.means[own]).map(|(a, b)| a + b).collect();
        let variance = self.cov[GROWTH][GROWTH] + self.cov[own][own] + 2.0 * self.cov[GROWTH][own];
        Some((means, variance))
    }

    /// Mean by column and variance of the growth that all lifts share: the client's own and the mean of the lifts'.
    pub fn growth(&self) -> (Vec<f64>, f64) {
        let owns: Vec<usize> = self.levels.iter().filter(|l| **l > 0).map(|l| l + 1).collect();
        let share = if owns.is_empty() { 0.0 } else { 1.0 / owns.len() as f64 };
        let weights: Vec<(usize, f64)> =
            std::iter::once((GROWTH, 1.0)).chain(owns.iter().map(|o| (*o, share))).collect();
        let mut means = vec![0.0; self.columns];
        let mut variance = 0.0;
        for (i, a) in &weights {
            for (m, v) in means.iter_mut().zip(&self.means[*i]) {
                *m += a * v;
            }
            variance += weights.iter().map(|(j, b)| a * b * self.cov[*i][*j]).sum::<f64>();
        }
        (means, variance)
    }

    /// Mean by column and variance of what a group would show at the filter's time on a new day.
    pub fn forecast(&self, group: &LiftInSession) -> Option<(Vec<f64>, f64)> {
        self.level(group.lift)?;
        let touched = self.touched(group);
        let mut means = vec![0.0; self.columns];
        let mut variance = self.noise(group) + self.scales.day * self.scales.day;
        for (i, a) in touched.iter().filter(|(i, _)| *i != DAY) {
            for (m, v) in means.iter_mut().zip(&self.means[*i]) {
                *m += a * v;
            }
            variance +=
                touched.iter().filter(|(j, _)| *j != DAY).map(|(j, b)| a * b * self.cov[*i][*j]).sum::<f64>();
        }
        Some((means, variance))
    }

    /// Mean by column of the effect of the last day.
    pub fn day(&self) -> &[f64] {
        &self.means[DAY]
    }

    /// Mean and variance of the bias of reported reps in reserve, by the first column.
    pub fn bias(&self) -> (&[f64], f64) {
        (&self.means[BIAS], self.cov[BIAS][BIAS])
    }

    /// Mean by column and variance of the logarithm of the person factor of the load-rep curve.
    pub fn bend(&self) -> (&[f64], f64) {
        (&self.means[BEND], self.cov[BEND][BEND])
    }

    /// Hour of the last session.
    pub const fn at_h(&self) -> Option<f64> {
        self.at_h
    }

    /// Logarithm of the likelihood by the first column alone, up to a constant.
    pub fn log_likelihood(&self) -> f64 {
        -0.5 * (self.gram.sums.first().copied().unwrap_or(0.0) + self.gram.log_det)
    }
}

/// Mean and spread of the order effect given the contrasts.
pub fn order_effect(strength: &StrengthPrior, scales: Scales, contrasts: &Contrasts) -> (f64, f64) {
    let (mean, sd) = strength.order;
    let set = scales.set * scales.set;
    let precision = 1.0 / (sd * sd) + contrasts.order_order / set;
    ((mean / (sd * sd) - contrasts.order_y / set) / precision, 1.0 / precision.sqrt())
}
