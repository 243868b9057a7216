//! What to change, with how sure that is and what it would bring. Decided by the expected benefit over everything
//! that is believed, never by a threshold on one value; under [`SAID_FROM`] nothing is said.
//!
//! It proposes and explains; the coach decides. It says nothing of pain or disease.

use crate::frequency::{steady, worth};
use crate::interval::Interval;
use crate::posterior::{LEARNED_MIN, Posterior};
use serde::{Deserialize, Serialize};
use setwright_model::{ExerciseId, FractionalSets, Hours, Kilograms, Muscle, Reps, Share};
use setwright_science::{dose, recovery};

/// Probability from which advice is given (the project's rule).
pub const SAID_FROM: f64 = 0.8;
/// Smallest gain that is worth a change, as a share of the benefit of the muscle (judgement).
const GAIN_MIN: f64 = 0.01;
/// Weekly fractional sets under which a muscle is trained in passing and nothing is advised (judgement).
const SETS_MIN: f64 = 3.0;
/// Share by which sets are raised or lowered when it is weighed (judgement: a set or two).
const SETS_STEP: f64 = 0.2;
/// Weekly sets from which more are not advised: what they bring is bought with time, and that is the planner's to
/// weigh (at least 10 weekly sets a muscle for size: position stand 2026 (B)).
const SETS_ENOUGH: f64 = 10.0;
/// Share of the trained muscles that must be tired for an easy week to be advised (judgement).
const TIRED_SHARE: f64 = 0.5;
/// Half the width of a 90 % interval in standard deviations: exact by definition of the normal distribution.
const Z_90: f64 = 1.644_853_626_951_472_2;

/// What is being done.
#[derive(Clone, Debug, Default)]
pub struct CurrentTraining {
    /// Muscles with weekly fractional sets, sessions a week and usual reps in reserve.
    pub muscles: Vec<CurrentMuscle>,
    /// Loads of the coming session.
    pub loads: Vec<CurrentLoad>,
    /// When the coming session is.
    pub at: Hours,
    /// Weekly sets that a muscle may have at most, where the brief says so.
    pub most: Vec<(Muscle, FractionalSets)>,
}

/// How a muscle is trained.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurrentMuscle {
    /// Muscle.
    pub muscle: Muscle,
    /// Fractional sets a week.
    pub weekly: FractionalSets,
    /// Sessions a week with at least one fractional set.
    pub per_week: f64,
    /// Reps in reserve, as planned.
    pub rir: Reps,
}

/// A load that is planned and the next ones that can be made, all as total loads.
#[derive(Clone, Debug, PartialEq)]
pub struct CurrentLoad {
    /// Exercise.
    pub exercise: ExerciseId,
    /// Planned.
    pub planned: Kilograms,
    /// The next heavier that can be made.
    pub above: Option<Kilograms>,
    /// The next lighter that can be made.
    pub below: Option<Kilograms>,
    /// What would leave the reserve that is asked for, by the log.
    pub right: Interval<Kilograms>,
}

/// What is advised.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Recommendation {
    /// Another number of sessions a week for a muscle, at the same weekly sets.
    Sessions {
        /// Muscle.
        muscle: Muscle,
        /// Sessions a week now.
        from: u32,
        /// Sessions a week that are worth more.
        to: u32,
    },
    /// More or fewer weekly sets for a muscle.
    Sets {
        /// Muscle.
        muscle: Muscle,
        /// Fractional sets a week now.
        from: FractionalSets,
        /// Fractional sets a week that are worth more.
        to: FractionalSets,
    },
    /// Another load in the coming session.
    Load {
        /// Exercise.
        exercise: ExerciseId,
        /// Planned total load.
        from: Kilograms,
        /// Total load that is nearer to what is right.
        to: Kilograms,
    },
    /// An easy week.
    Deload,
    /// The client as a whole stands still: change something.
    Stalled,
}

/// A piece of advice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Advice {
    /// What.
    pub what: Recommendation,
    /// Probability that it is right: that the change is worth more than leaving things as they are.
    pub probability: Share,
    /// What it would bring: of the benefit of the muscle, or of the load.
    pub effect: Share,
    /// What it rests on.
    pub evidence: AdviceBasis,
}

/// What a piece of advice rests on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum AdviceBasis {
    /// Strength missing at the start of the muscle's sessions.
    Missing {
        /// As it is.
        now: Interval<Share>,
        /// As it would be.
        then: Interval<Share>,
    },
    /// The load that leaves the reserve asked for.
    RightLoad(Interval<Kilograms>),
    /// How the client grows.
    Growth {
        /// Growth in a week.
        per_week: Interval<Share>,
        /// Trained muscles that are tired when the session comes.
        tired: usize,
        /// Trained muscles.
        of: usize,
    },
}

/// Everything there is to say, the surest first.
pub fn advise(posterior: &Posterior, doing: &CurrentTraining) -> Vec<Advice> {
    let mut out: Vec<Advice> = Vec::new();
    for muscle in doing.muscles.iter().filter(|m| m.weekly.get() >= SETS_MIN) {
        if !is_learned(posterior, muscle) {
            continue;
        }
        let by_days = sessions(posterior, muscle);
        out.extend(by_days.or_else(|| sets(posterior, muscle, doing)));
    }
    out.extend(doing.loads.iter().filter_map(load));
    out.extend(deload(posterior, doing));
    out.extend(stalled(posterior));
    out.retain(|a| a.probability.get() >= SAID_FROM);
    out.sort_by(|a, b| b.probability.get().total_cmp(&a.probability.get()));
    out
}

/// Whether the recovery of a muscle is the client's own by now.
fn is_learned(posterior: &Posterior, doing: &CurrentMuscle) -> bool {
    let a_session = FractionalSets(doing.weekly.get() / doing.per_week.max(1.0));
    let told = posterior.recovery(doing.muscle, a_session, doing.rir);
    told.learned.get() >= LEARNED_MIN && told.not_yet.is_empty()
}

/// Draws of what is missing at the start of a muscle's sessions when its weekly sets are spread so.
fn missing(posterior: &Posterior, doing: &CurrentMuscle, weekly: FractionalSets, per_week: u32) -> Vec<f64> {
    let drop = posterior.drop_of(FractionalSets(weekly.get() / f64::from(per_week)), doing.rir);
    let gap = Hours(crate::filter::WEEK_H / f64::from(per_week));
    let m = doing.muscle.index();
    let of =
        |d: &crate::sample::Draw| steady(Share(drop * d.depth[m]), gap, Hours(libm::exp(d.log_tau[m]))).get();
    posterior.draws().map(of).collect()
}

/// Mean of the differences, and the share of draws in which the second is worth more.
fn compare(now: &[f64], then: &[f64]) -> (f64, f64) {
    let n = now.len().max(1) as f64;
    let better = now.iter().zip(then).filter(|(a, b)| b > a).count() as f64;
    let gain: f64 = now.iter().zip(then).map(|(a, b)| b - a).sum();
    (gain / n, better / n)
}

fn interval(draws: &[f64]) -> Interval<Share> {
    crate::interval::of(draws.to_vec(), Share)
}

fn sessions(posterior: &Posterior, doing: &CurrentMuscle) -> Option<Advice> {
    let from = (doing.per_week.round() as u32).clamp(1, 3);
    let worths = |f: u32| -> Vec<f64> {
        missing(posterior, doing, doing.weekly, f).into_iter().map(|m| worth(f, Share(m)).get()).collect()
    };
    let now = worths(from);
    let others = [1, 2, 3].into_iter().filter(|f| *f != from);
    let weighed = others.map(|f| (compare(&now, &worths(f)), f));
    let ((gain, probability), to) = weighed.max_by(|a, b| a.0.0.total_cmp(&b.0.0))?;
    let evidence = AdviceBasis::Missing {
        now: interval(&missing(posterior, doing, doing.weekly, from)),
        then: interval(&missing(posterior, doing, doing.weekly, to)),
    };
    (gain >= GAIN_MIN).then_some(Advice {
        what: Recommendation::Sessions { muscle: doing.muscle, from, to },
        probability: Share(probability),
        effect: Share(gain),
        evidence,
    })
}

fn sets(posterior: &Posterior, doing: &CurrentMuscle, all: &CurrentTraining) -> Option<Advice> {
    let per_week = (doing.per_week.round() as u32).clamp(1, 3);
    let base = dose::benefit(doing.weekly);
    let worths = |weekly: FractionalSets| -> Vec<f64> {
        let of = |m: f64| dose::benefit(weekly) / base * (1.0 + worth(per_week, Share(m)).get());
        missing(posterior, doing, weekly, per_week).into_iter().map(of).collect()
    };
    let most = all.most.iter().find(|(m, _)| *m == doing.muscle).map(|(_, most)| most.get());
    let now = worths(doing.weekly);
    let steps = [1.0 - SETS_STEP, 1.0 + SETS_STEP].map(|s| FractionalSets(doing.weekly.get() * s));
    let allowed = steps.into_iter().filter(|to| {
        let more = to.get() > doing.weekly.get();
        most.is_none_or(|most| to.get() <= most) && (!more || to.get() <= SETS_ENOUGH)
    });
    let weighed = allowed.map(|to| (compare(&now, &worths(to)), to));
    let ((gain, probability), to) = weighed.max_by(|a, b| a.0.0.total_cmp(&b.0.0))?;
    let evidence = AdviceBasis::Missing {
        now: interval(&missing(posterior, doing, doing.weekly, per_week)),
        then: interval(&missing(posterior, doing, to, per_week)),
    };
    (gain >= GAIN_MIN).then_some(Advice {
        what: Recommendation::Sets { muscle: doing.muscle, from: doing.weekly, to },
        probability: Share(probability),
        effect: Share(gain),
        evidence,
    })
}

/// The load that can be made next when it is nearer to what is right than the planned one, as likely as said.
fn load(doing: &CurrentLoad) -> Option<Advice> {
    let over = |to: Kilograms| {
        let middle = libm::sqrt(doing.planned.get() * to.get());
        probability_above(&doing.right, Kilograms(middle))
    };
    let up = doing.above.map(|to| (over(to), to));
    let down = doing.below.map(|to| (1.0 - over(to), to));
    let (probability, to) = up.into_iter().chain(down).max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Advice {
        what: Recommendation::Load { exercise: doing.exercise.clone(), from: doing.planned, to },
        probability: Share(probability),
        effect: Share(to.get() / doing.planned.get() - 1.0),
        evidence: AdviceBasis::RightLoad(doing.right),
    })
}

/// Probability that a quantity is above a value, its logarithm taken to be normal with the interval given.
pub fn probability_above(of: &Interval<Kilograms>, value: Kilograms) -> f64 {
    let (low, high) = (libm::log(of.low.get()), libm::log(of.high.get()));
    let sd = (high - low) / (2.0 * Z_90);
    let z = (libm::log(value.get()) - libm::log(of.median.get())) / sd.max(1e-9);
    libm::erfc(z / std::f64::consts::SQRT_2) / 2.0
}

/// An easy week: strength falls, and most muscles come tired to the coming session.
fn deload(posterior: &Posterior, doing: &CurrentTraining) -> Option<Advice> {
    let stall = posterior.stall();
    let falls = posterior.falls().get();
    let trained: Vec<Muscle> =
        doing.muscles.iter().filter(|m| m.weekly.get() >= SETS_MIN).map(|m| m.muscle).collect();
    let lacks = |m: &Muscle| 1.0 - posterior.ready_probability(*m, doing.at).get();
    let tired: Vec<f64> = trained.iter().map(lacks).filter(|p| *p >= SAID_FROM).collect();
    if trained.is_empty() || (tired.len() as f64) < TIRED_SHARE * trained.len() as f64 {
        return None;
    }
    let tired_probability = tired.iter().sum::<f64>() / tired.len() as f64;
    let missing = trained.iter().filter_map(|m| posterior.missing_at(*m, doing.at));
    let most = missing.map(|m| m.median.get()).fold(0.0, f64::max);
    Some(Advice {
        what: Recommendation::Deload,
        probability: Share(falls.min(tired_probability)),
        effect: Share((most - recovery::READY_DROP).max(0.0)),
        evidence: AdviceBasis::Growth {
            per_week: stall.growth_per_week,
            tired: tired.len(),
            of: trained.len(),
        },
    })
}

fn stalled(posterior: &Posterior) -> Option<Advice> {
    let stall = posterior.stall();
    stall.not_yet.is_empty().then_some(Advice {
        what: Recommendation::Stalled,
        probability: stall.probability,
        effect: stall.growth_per_week.median,
        evidence: AdviceBasis::Growth { per_week: stall.growth_per_week, tired: 0, of: 0 },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn right(low: f64, median: f64, high: f64) -> Interval<Kilograms> {
        Interval { low: Kilograms(low), median: Kilograms(median), high: Kilograms(high) }
    }

    fn doing(planned: f64, right: Interval<Kilograms>) -> CurrentLoad {
        let (above, below) = (Some(Kilograms(planned + 2.5)), Some(Kilograms(planned - 2.5)));
        CurrentLoad { exercise: "bench_press".into(), planned: Kilograms(planned), above, below, right }
    }

    #[test]
    fn a_load_is_changed_when_the_next_one_is_nearer_to_what_is_right() {
        let advice = load(&doing(60.0, right(64.0, 66.0, 68.0))).unwrap();
        assert_eq!(
            advice.what,
            Recommendation::Load {
                exercise: "bench_press".into(),
                from: Kilograms(60.0),
                to: Kilograms(62.5)
            }
        );
        assert!(advice.probability.get() > 0.99);
        let advice = load(&doing(60.0, right(52.0, 54.0, 56.0))).unwrap();
        assert!(matches!(advice.what, Recommendation::Load { to, .. } if to == Kilograms(57.5)));
        let unsure = load(&doing(60.0, right(55.0, 60.5, 66.0))).unwrap();
        assert!(unsure.probability.get() < SAID_FROM, "{:?}", unsure.probability);
    }

    #[test]
    fn an_interval_gives_back_its_own_ends() {
        let of = right(50.0, 60.0, 72.0);
        assert!((probability_above(&of, Kilograms(50.0)) - 0.95).abs() < 1e-6);
        assert!((probability_above(&of, Kilograms(60.0)) - 0.5).abs() < 1e-9);
        assert!((probability_above(&of, Kilograms(72.0)) - 0.05).abs() < 1e-6);
    }

    #[test]
    fn draws_are_compared_one_by_one() {
        assert_eq!(compare(&[0.0, 1.0, 2.0, 3.0], &[1.0, 2.0, 1.0, 4.0]), (0.5, 0.75));
    }
}
