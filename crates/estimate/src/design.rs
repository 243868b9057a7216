//! Which days of the coming sessions would teach most about how fast a client recovers.
//!
//! What a session tells of recovery depends on when it is done, and not on what will be seen: the columns of fatigue go
//! through the same pass as those of the log, and the sums they leave are the information. Draws of the belief say how
//! the recovery parameters go together; the information is averaged over them, and the gain is how much smaller the
//! spread of the time constants would be. It moves nothing by itself, and offers no day on which a muscle that is
//! trained hard would still lack much.

use crate::filter::Gram;
use crate::history::PlannedExercise;
use crate::landscape::{Landscape, Mix, Slope};
use crate::posterior::Posterior;
use crate::sample::{Draw, FollowedMuscle};
use setwright_model::{Catalogue, Hours, Muscle, Share};

/// Draws over which the information is averaged (numeric: twice as many changed no choice of forty).
const DRAWS: usize = 24;
/// Step of the logarithm of a time constant by which a slope is taken (numeric).
const STEP: f64 = 0.02;
/// Added to variances so that a spread that is all but known can be divided by (numeric).
const LEAST_VARIANCE: f64 = 1e-9;
/// Fractional sets from which a muscle counts as trained hard (judgement).
pub const HARD_SETS: f64 = 3.0;
/// Share of strength that a muscle which is trained hard may be expected to lack at the start (judgement: about a rep
/// and a half; a usual session takes 13 % and a day later about 5 % are left).
pub const LACKS_MOST: f64 = 0.06;

/// Sessions at hours, in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    /// When each session starts.
    pub at: Vec<Hours>,
}

/// What a schedule would teach.
#[derive(Clone, Debug, PartialEq)]
pub struct Lesson {
    /// Expected information about all time constants together, in nats.
    pub nats: f64,
    /// Of each muscle followed, the share of the prior's variance of its time constant that is gone: now, and as expected
    /// after the sessions.
    pub learned: Vec<(Muscle, Share, Share)>,
}

/// What sessions at these hours would teach.
pub fn lesson(
    posterior: &Posterior,
    sessions: &[Vec<PlannedExercise>],
    at: &[Hours],
    catalogue: &Catalogue,
) -> Lesson {
    Designer::of(posterior, sessions, catalogue).lesson(at)
}

/// The schedule that teaches most of those offered and allowed, with what it teaches; the first of equals. None when none
/// is allowed.
pub fn best(
    posterior: &Posterior,
    sessions: &[Vec<PlannedExercise>],
    offered: &[Schedule],
    catalogue: &Catalogue,
) -> Option<(usize, Lesson)> {
    let designer = Designer::of(posterior, sessions, catalogue);
    let mut found: Option<(usize, Lesson)> = None;
    for (place, schedule) in offered.iter().enumerate() {
        if !designer.is_allowed(&schedule.at) {
            continue;
        }
        let lesson = designer.lesson(&schedule.at);
        if found.as_ref().is_none_or(|(_, best)| lesson.nats > best.nats + 1e-9) {
            found = Some((place, lesson));
        }
    }
    found
}

/// Whether no muscle that a session trains hard is expected to lack more than [`LACKS_MOST`] when it starts.
pub fn is_allowed(
    posterior: &Posterior,
    sessions: &[Vec<PlannedExercise>],
    at: &[Hours],
    catalogue: &Catalogue,
) -> bool {
    Designer::of(posterior, sessions, catalogue).is_allowed(at)
}

/// Everything that does not depend on the hours.
struct Designer<'a> {
    posterior: &'a Posterior,
    sessions: &'a [Vec<PlannedExercise>],
    catalogue: &'a Catalogue,
    followed: &'a [FollowedMuscle],
    draws: Vec<&'a Draw>,
    /// Slopes of the coefficients by parameter, for each draw: the time constants, then the depths.
    slopes: Vec<Vec<Slope>>,
    /// Inverse of the covariance of the parameters as they are believed.
    precision: Square,
    /// Variances of the time constants: before the log, now.
    variances: Vec<(f64, f64)>,
}

impl<'a> Designer<'a> {
    fn of(posterior: &'a Posterior, sessions: &'a [Vec<PlannedExercise>], catalogue: &'a Catalogue) -> Self {
        let followed = posterior.columns();
        let all: Vec<&Draw> = posterior.draws().collect();
        let covariance = covariance(&all, followed);
        let prior: Vec<&Draw> = posterior.prior_draws().iter().collect();
        let before = self::covariance(&prior, followed);
        let variances = (0..followed.len()).map(|k| (before.at(k, k), covariance.at(k, k))).collect();
        let draws: Vec<&Draw> = all.iter().copied().step_by((all.len() / DRAWS).max(1)).take(DRAWS).collect();
        let slopes = draws.iter().map(|d| slopes(d, followed)).collect();
        let precision = covariance.inverse();
        Self { posterior, sessions, catalogue, followed, draws, slopes, precision, variances }
    }

    fn lesson(&self, at: &[Hours]) -> Lesson {
        let gram = self.posterior.foreseen(self.sessions, at, self.catalogue);
        let mut precision = self.precision.clone();
        self.inform(&gram, &mut precision);
        let after = precision.inverse();
        let count = self.followed.len();
        let now = self.precision.inverse();
        let nats = 0.5 * (now.log_det_of_first(count) - after.log_det_of_first(count));
        let gone = |before: f64, variance: f64| Share((1.0 - variance / before).clamp(0.0, 1.0));
        let learned = self.followed.iter().zip(&self.variances).enumerate();
        let learned = learned
            .map(|(k, (f, (before, now)))| (f.muscle, gone(*before, *now), gone(*before, after.at(k, k))));
        Lesson { nats: nats.max(0.0), learned: learned.collect() }
    }

    /// Adds the information of the sums, averaged over the draws.
    fn inform(&self, gram: &Gram, precision: &mut Square) {
        let landscape = Landscape::of(gram, self.followed.len());
        let share = 1.0 / self.draws.len().max(1) as f64;
        for slopes in &self.slopes {
            for (i, a) in slopes.iter().enumerate() {
                for (j, b) in slopes.iter().enumerate().take(i + 1) {
                    let information = share * landscape.product(a, b);
                    precision.add(i, j, information);
                    if i != j {
                        precision.add(j, i, information);
                    }
                }
            }
        }
    }

    fn is_allowed(&self, at: &[Hours]) -> bool {
        self.posterior
            .lacking(self.sessions, at, self.catalogue)
            .iter()
            .all(|session| session.iter().all(|(_, sets, lacks)| *sets < HARD_SETS || *lacks <= LACKS_MOST))
    }
}

/// How the coefficients of the columns change with each parameter: time constants, then depths, both in logarithms.
fn slopes(draw: &Draw, followed: &[FollowedMuscle]) -> Vec<Slope> {
    let by_tau = |f: &FollowedMuscle| {
        let m = f.muscle.index();
        Mix::slope(&f.grid, f.start, draw.log_tau[m], STEP, draw.depth[m])
    };
    followed.iter().map(by_tau).chain(followed.iter().map(|f| Slope::by_depth(f.mix(draw)))).collect()
}

/// Covariance of logarithms of time constants and depths over draws.
fn covariance(draws: &[&Draw], followed: &[FollowedMuscle]) -> Square {
    let row = |d: &Draw| -> Vec<f64> {
        let taus = followed.iter().map(|f| d.log_tau[f.muscle.index()]);
        taus.chain(followed.iter().map(|f| libm::log(d.depth[f.muscle.index()].max(1e-12)))).collect()
    };
    let rows: Vec<Vec<f64>> = draws.iter().map(|d| row(d)).collect();
    let (size, count) = (2 * followed.len(), rows.len().max(1) as f64);
    let means: Vec<f64> = (0..size).map(|i| rows.iter().map(|r| r[i]).sum::<f64>() / count).collect();
    let mut out = Square::new(size);
    for row in &rows {
        for i in 0..size {
            for j in 0..size {
                out.add(i, j, (row[i] - means[i]) * (row[j] - means[j]) / count);
            }
        }
    }
    for i in 0..size {
        out.add(i, i, LEAST_VARIANCE);
    }
    out
}

/// A small symmetric matrix.
#[derive(Clone, Debug)]
struct Square {
    size: usize,
    values: Vec<f64>,
}

impl Square {
    fn new(size: usize) -> Self {
        Self { size, values: vec![0.0; size * size] }
    }

    fn at(&self, i: usize, j: usize) -> f64 {
        self.values.get(i * self.size + j).copied().unwrap_or(0.0)
    }

    fn add(&mut self, i: usize, j: usize, by: f64) {
        if let Some(value) = self.values.get_mut(i * self.size + j) {
            *value += by;
        }
    }

    /// Lower triangle of Cholesky of the first rows and columns.
    fn factor(&self, size: usize) -> Self {
        let mut out = Self::new(size);
        for i in 0..size {
            for j in 0..=i {
                let sum: f64 = (0..j).map(|k| out.at(i, k) * out.at(j, k)).sum();
                let left = self.at(i, j) - sum;
                let value = if i == j {
                    left.max(LEAST_VARIANCE * LEAST_VARIANCE).sqrt()
                } else {
                    left / out.at(j, j)
                };
                out.add(i, j, value);
            }
        }
        out
    }

    fn log_det_of_first(&self, size: usize) -> f64 {
        let factor = self.factor(size);
        2.0 * (0..size).map(|i| libm::log(factor.at(i, i))).sum::<f64>()
    }

    /// The inverse of a positive matrix.
    fn inverse(&self) -> Self {
        let factor = self.factor(self.size);
        let mut out = Self::new(self.size);
        for column in 0..self.size {
            let mut x = vec![0.0; self.size];
            for i in 0..self.size {
                let unit = if i == column { 1.0 } else { 0.0 };
                let sum: f64 = (0..i).map(|k| factor.at(i, k) * x[k]).sum();
                x[i] = (unit - sum) / factor.at(i, i);
            }
            for i in (0..self.size).rev() {
                let sum: f64 = (i + 1..self.size).map(|k| factor.at(k, i) * x[k]).sum();
                x[i] = (x[i] - sum) / factor.at(i, i);
            }
            for (i, value) in x.into_iter().enumerate() {
                out.add(i, column, value);
            }
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_matrix_times_its_inverse_is_one() {
        let mut a = Square::new(3);
        for (i, row) in [[4.0, 1.0, 0.5], [1.0, 3.0, 0.2], [0.5, 0.2, 2.0]].iter().enumerate() {
            for (j, v) in row.iter().enumerate() {
                a.add(i, j, *v);
            }
        }
        let b = a.inverse();
        for i in 0..3 {
            for j in 0..3 {
                let product: f64 = (0..3).map(|k| a.at(i, k) * b.at(k, j)).sum();
                assert!((product - f64::from(u8::from(i == j))).abs() < 1e-12);
            }
        }
        assert!((a.log_det_of_first(3) + b.log_det_of_first(3)).abs() < 1e-12);
    }
}
