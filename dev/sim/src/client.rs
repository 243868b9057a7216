//! The truth about one client: recovery by muscle, strength and growth by exercise, habits of judging.

use crate::draws::Draws;
use crate::habits::{Kind, Misfit, Soreness};
use crate::plan::SLOTS;
use setwright_estimate::Prior;
use setwright_model::{Catalogue, Exercise, ExerciseId, Muscle};
use setwright_science::recovery;

/// Hours of a week; exact by definition.
pub const WEEK_H: f64 = 168.0;
/// Share and slowness of the second phase, where there is one (judgement).
const SECOND_SHARE: f64 = 0.3;
const SECOND_SLOWER: f64 = 3.0;
/// Power of the dose under the other dose law (judgement).
const OTHER_POWER: f64 = 0.6;
/// Sets at which both dose laws agree (judgement).
const SAME_AT_SETS: f64 = 5.0;

/// An exercise as this client does it.
#[derive(Clone, Debug)]
pub struct Lift {
    /// The catalogue's exercise.
    pub exercise: Exercise,
    /// Fractional sets to muscles, as they are for this client.
    pub contributions: Vec<(Muscle, f64)>,
    /// Share of the exercise's strength by muscle.
    pub weights: Vec<(Muscle, f64)>,
    /// Logarithm of the 1RM at the start of the log, rested.
    pub level: f64,
    /// Growth in a week beyond the client's.
    pub growth: f64,
}

/// What is true of a client.
#[derive(Clone, Debug)]
pub struct Truth {
    /// What kind of client it is.
    pub kind: Kind,
    /// Time constants in hours, in the order of [`Muscle::ALL`].
    pub tau_h: [f64; Muscle::COUNT],
    /// Depths of fatigue.
    pub depth: [f64; Muscle::COUNT],
    /// Time constants of soreness.
    pub soreness_tau_h: [f64; Muscle::COUNT],
    /// Gains of soreness.
    pub soreness_gain: [f64; Muscle::COUNT],
    /// Reps in reserve beyond those reported.
    pub rir_bias: f64,
    /// Person factor of the load-rep curve.
    pub curve: f64,
    /// Loss of strength from set to set, and by each fractional set done before.
    pub order: f64,
    /// The same for each fractional set of its muscles done before.
    pub before: f64,
    /// Growth in a week at the start, and the weeks in which it halves.
    pub growth: f64,
    /// Exercises of the first and of the second workout.
    pub lifts: Vec<Lift>,
}

impl Truth {
    /// A client of this kind.
    pub fn draw(kind: Kind, prior: &Prior, catalogue: &Catalogue, chance: &mut dyn Draws) -> Self {
        let (tau, depth) = (effects(prior.tau_spread, chance), effects(prior.depth_spread, chance));
        let (beyond, gain) = (effects(prior.soreness_spread, chance), effects(prior.gain_spread, chance));
        let tau_h = std::array::from_fn(|m| prior.tau[m].get() * libm::exp(tau[m]));
        let (longer, felt) = match kind.soreness {
            Soreness::Shifted => (1.5, 1.0),
            Soreness::Insensitive => (1.0, 0.2),
            Soreness::None | Soreness::Plain => (1.0, 1.0),
        };
        let s = prior.strength;
        let mut about = |(mean, sd): (f64, f64)| mean + sd * chance.normal();
        Self {
            kind,
            tau_h,
            depth: std::array::from_fn(|m| prior.depth[m] * libm::exp(depth[m])),
            soreness_tau_h: std::array::from_fn(|m| tau_h[m] * libm::exp(beyond[m]) * longer),
            soreness_gain: std::array::from_fn(|m| prior.soreness_gain * libm::exp(gain[m]) * felt),
            rir_bias: about(s.rir_bias),
            curve: libm::exp(about((0.0, s.curve))),
            order: about(s.order).max(0.0),
            before: about(s.before).max(0.0),
            growth: libm::exp(about((libm::log(0.0035), 0.5))),
            lifts: lifts(kind, catalogue, chance),
        }
    }

    /// Logarithm of the rested 1RM of a lift at an hour.
    pub fn level(&self, lift: &Lift, at_h: f64) -> f64 {
        let weeks = (at_h / WEEK_H).max(0.0);
        let weeks = self.kind.stall_week.map_or(weeks, |stall| weeks.min(f64::from(stall)));
        // Growth halves about every 28 weeks unless it stops at once.
        let slowed =
            if self.kind.stall_week.is_some() { weeks } else { 40.0 * (1.0 - libm::exp(-weeks / 40.0)) };
        lift.level + (self.growth + lift.growth) * slowed
    }

    /// Share of strength that a dose takes, with reserve as it truly was.
    pub fn drop(&self, muscle: Muscle, dose: f64, rir: f64) -> f64 {
        let to_failure = if self.kind.misfit == Misfit::DoseLaw {
            let scale = libm::pow(SAME_AT_SETS, recovery::DROP_POWER - OTHER_POWER);
            recovery::DROP_PER_SET * scale * libm::pow(dose, OTHER_POWER)
        } else {
            recovery::DROP_PER_SET * libm::pow(dose, recovery::DROP_POWER)
        };
        self.depth[muscle.index()] * to_failure * libm::exp(-rir.max(0.0) / recovery::RESERVE_SCALE_REPS)
    }

    /// Share of a drop that is left after so many hours.
    pub fn left(&self, muscle: Muscle, gap_h: f64) -> f64 {
        let tau = self.tau_h[muscle.index()];
        if self.kind.misfit == Misfit::TwoPhase {
            (1.0 - SECOND_SHARE) * libm::exp(-gap_h / tau)
                + SECOND_SHARE * libm::exp(-gap_h / (SECOND_SLOWER * tau))
        } else {
            libm::exp(-gap_h / tau)
        }
    }

    /// Strength that is missing so long after a dose of sets that the client reports with this reserve.
    pub fn missing(&self, muscle: Muscle, dose: f64, reported: f64, gap_h: f64) -> f64 {
        self.drop(muscle, dose, reported + self.rir_bias) * self.left(muscle, gap_h)
    }

    /// Hours until a muscle is ready after such a dose, by bisection.
    pub fn ready_h(&self, muscle: Muscle, dose: f64, reported: f64) -> f64 {
        let is_ready = |h: f64| self.missing(muscle, dose, reported, h) <= recovery::READY_DROP;
        if is_ready(0.0) {
            return 0.0;
        }
        let (mut low, mut high) = (0.0, 10_000.0);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if is_ready(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        high
    }

    /// A lift by its exercise.
    pub fn lift(&self, id: &ExerciseId) -> Option<&Lift> {
        self.lifts.iter().find(|l| l.exercise.id == *id)
    }
}

fn effects(spread: setwright_estimate::Spread, chance: &mut dyn Draws) -> [f64; Muscle::COUNT] {
    let person = spread.person * chance.normal();
    std::array::from_fn(|_| person + spread.muscle * chance.normal())
}

fn lifts(kind: Kind, catalogue: &Catalogue, chance: &mut dyn Draws) -> Vec<Lift> {
    let bench = libm::log(80.0) + 0.25 * chance.normal();
    let mut lifts = Vec::new();
    for slot in SLOTS {
        let Some(exercise) = catalogue.get(&slot.exercise.into()) else { continue };
        let mut contributions: Vec<(Muscle, f64)> = exercise.contributions().collect();
        if kind.misfit == Misfit::WrongMap {
            for (_, c) in &mut contributions {
                *c *= libm::exp(0.4 * chance.normal());
            }
        }
        let sum: f64 = contributions.iter().map(|(_, c)| c * c).sum();
        lifts.push(Lift {
            exercise: exercise.clone(),
            weights: contributions.iter().map(|(m, c)| (*m, c * c / sum)).collect(),
            contributions,
            level: bench + libm::log(slot.share_of_bench) + 0.15 * chance.normal(),
            growth: 0.0012 * chance.normal(),
        });
    }
    lifts
}
