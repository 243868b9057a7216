//! Fatigue within a session, in seconds and minutes: what a set takes, what rest gives back.
//!
//! One mechanism stands behind rest length, the drop from set to set, order, alternating and same-muscle blocks:
//! a set taken to failure leaves its muscles just too weak for one more repetition, a set that stops short leaves
//! them part of the way there; some of that loss clears fast and some slowly; the body as a whole tires a little
//! with every set. It says nothing of the days after (that is `recovery`) and never decides what to do.

mod quality;
mod trace;

pub use quality::{Effort, WORTH_MIN, block_quality, same_muscle_quality, set_quality, worth};
pub use trace::{SessionTrace, SetTrace, simulate, simulate_from};

use crate::curve::Curve;
use setwright_model::exercise::{CurveFamily, Measure};
use setwright_model::{Exercise, Muscle, Reps, Seconds, Share};

/// The constants of the model: one set for everybody. `fit_acute` in `dev/evidence` reproduces the fitted ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Constants {
    /// Share of a set's loss that clears slowly, presses and pulls.
    pub slow_share_upper: f64,
    /// The same, leg and hip lifts with more than one joint.
    pub slow_share_lower: f64,
    /// The same, single-joint movements.
    pub slow_share_small: f64,
    /// Time constant of the fast part, in seconds.
    pub fast_tau_s: f64,
    /// Time constant of the slow part, in seconds.
    pub slow_tau_s: f64,
    /// Share of strength everywhere that a set of ten to failure of a big lift (whole-body rating 2) costs.
    pub systemic_per_set: f64,
    /// Time constant of the systemic part, in seconds.
    pub systemic_tau_s: f64,
    /// Power of the closeness to failure: how far short sets spare the muscle.
    pub closeness_power: f64,
}

/// Fitted to the rest tables, one set for all studies (arithmetic on them, D): the three slow shares, the two local
/// time constants and the systemic cost of a set. The systemic time constant (breath and pulse settle in a few
/// minutes) and the power of closeness are judgement: none of the tables holds sets that stop short of failure (Refalo 2023,
/// Sports Med Open 9:10 (A), which does, is missed: `docs/models.md`), and only one holds pairs. `fit_acute` in `dev/evidence` repeats
/// the fit.
pub const CONSTANTS: Constants = Constants {
    slow_share_upper: 0.22,
    slow_share_lower: 0.11,
    slow_share_small: 0.58,
    fast_tau_s: 29.0,
    slow_tau_s: 170.0,
    systemic_per_set: 0.047,
    systemic_tau_s: 180.0,
    closeness_power: 1.5,
};

/// Systemic cost of a set by the whole-body rating of the exercise, 0 to 3, against a big lift such as the bench
/// press (judgement; the steep last step stands for the trade's fact that little can be done after a heavy squat (T)).
pub const SYSTEMIC_WEIGHT: [f64; 4] = [0.3, 0.6, 1.0, 3.0];
/// Seconds of a hold or a carry that count as one repetition (judgement).
pub const SECONDS_PER_EQUAL_REP: f64 = 3.0;
/// No muscle and no body is reckoned more tired than this share of its strength (judgement; keeps sums sane).
const FATIGUE_MAX: f64 = 0.95;

impl Constants {
    const fn slow_share(&self, family: CurveFamily) -> f64 {
        match family {
            CurveFamily::Upper => self.slow_share_upper,
            CurveFamily::Lower => self.slow_share_lower,
            CurveFamily::Small => self.slow_share_small,
        }
    }
}

/// When a set ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Aim {
    /// When no further repetition is possible.
    Failure,
    /// At the target, or earlier when only the reserve is left; one repetition at least is tried.
    Target {
        /// Repetitions wanted.
        reps: Reps,
        /// Repetitions to be left.
        rir: Reps,
    },
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Local {
    fast: f64,
    slow: f64,
}

impl Local {
    fn total(self) -> f64 {
        (self.fast + self.slow).min(FATIGUE_MAX)
    }
}

/// How tired a client is at a moment of a session.
#[derive(Clone, Debug, PartialEq)]
pub struct FatigueState {
    constants: Constants,
    local: [Local; Muscle::COUNT],
    systemic: f64,
}

impl Default for FatigueState {
    fn default() -> Self {
        Self::new()
    }
}

impl FatigueState {
    /// A fresh client.
    pub const fn new() -> Self {
        Self::with(CONSTANTS)
    }

    /// A fresh client under other constants, for fitting.
    pub const fn with(constants: Constants) -> Self {
        Self { constants, local: [Local { fast: 0.0, slow: 0.0 }; Muscle::COUNT], systemic: 0.0 }
    }

    /// Rest of the whole body.
    pub fn rest(&mut self, time: Seconds) {
        self.clear(time, |_| true);
    }

    fn clear(&mut self, time: Seconds, which: impl Fn(Muscle) -> bool) {
        let time_s = time.get().max(0.0);
        let fast = libm::exp(-time_s / self.constants.fast_tau_s);
        let slow = libm::exp(-time_s / self.constants.slow_tau_s);
        for muscle in Muscle::ALL.into_iter().filter(|m| which(*m)) {
            let local = &mut self.local[muscle.index()];
            local.fast *= fast;
            local.slow *= slow;
        }
        self.systemic *= libm::exp(-time_s / self.constants.systemic_tau_s);
    }

    /// Share of a muscle's strength that is lost for now.
    pub fn fatigue(&self, muscle: Muscle) -> Share {
        Share(self.local[muscle.index()].total())
    }

    /// Share of all strength that the whole body's tiredness takes for now.
    pub const fn systemic(&self) -> Share {
        Share(self.systemic)
    }

    /// Share of the fresh 1RM of an exercise that is there now. The weakest link limits: the muscle whose
    /// fatigue, weighted by its part in the exercise, is greatest.
    pub fn usable(&self, exercise: &Exercise) -> Share {
        let weakest = exercise
            .contributions()
            .map(|(muscle, part)| part * self.local[muscle.index()].total())
            .fold(0.0, f64::max);
        Share((1.0 - weakest) * (1.0 - self.systemic))
    }

    /// Repetitions possible now with a load given as a share of the fresh 1RM.
    pub fn possible(&self, exercise: &Exercise, load: Share) -> Reps {
        Curve::of(exercise.curve).reps(Share(load.get() / self.usable(exercise).get()))
    }

    /// Does a set and returns the repetitions done. Muscles that have no part in it rest meanwhile.
    pub fn do_set(&mut self, exercise: &Exercise, load: Share, aim: Aim) -> Reps {
        let possible = self.possible(exercise, load).get();
        let done = match aim {
            Aim::Failure => possible,
            Aim::Target { reps, rir } => reps.get().min((possible - rir.get()).max(1.0)).min(possible),
        };
        self.clear(length(exercise, done), |m| exercise.contribution(m) <= 0.0);
        self.tire(exercise, load, done, possible);
        Reps(done)
    }

    fn tire(&mut self, exercise: &Exercise, load: Share, done: f64, possible: f64) {
        if possible <= 0.0 {
            return;
        }
        let closeness = libm::pow(done / possible, self.constants.closeness_power);
        let at_failure = load.get() / Curve::of(exercise.curve).share(Reps::ZERO).get();
        let loss = (self.usable(exercise).get() - at_failure).max(0.0) / (1.0 - self.systemic) * closeness;
        let slow_share = self.constants.slow_share(exercise.curve);
        for (muscle, part) in exercise.contributions() {
            let local = &mut self.local[muscle.index()];
            local.fast += part * loss * (1.0 - slow_share);
            local.slow += part * loss * slow_share;
        }
        let weight = SYSTEMIC_WEIGHT[usize::from(exercise.systemic.min(3))];
        let cost = self.constants.systemic_per_set * weight * closeness * done / 10.0;
        self.systemic = (self.systemic + cost * (1.0 - self.systemic)).min(FATIGUE_MAX);
    }
}

/// The load, as a share of the fresh 1RM, that can be lifted `reps` times with `rir` left.
pub fn load_for(exercise: &Exercise, reps: Reps, rir: Reps) -> Share {
    Curve::of(exercise.curve).share(reps + rir)
}

/// What a prescription counts (repetitions, seconds or metres) in repetitions of ordinary length.
pub fn equal_reps(exercise: &Exercise, counted: f64) -> Reps {
    match exercise.measure {
        Measure::Reps => Reps(counted),
        Measure::Seconds | Measure::Metres => {
            Reps((counted * exercise.seconds_per_rep.get() / SECONDS_PER_EQUAL_REP).max(1.0))
        }
    }
}

fn length(exercise: &Exercise, equal_reps: f64) -> Seconds {
    match exercise.measure {
        Measure::Reps => exercise.work(equal_reps),
        Measure::Seconds | Measure::Metres => Seconds(equal_reps * SECONDS_PER_EQUAL_REP),
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use setwright_model::exercise::LoadKind;
    use setwright_model::{ExerciseId, Kilograms, Pattern, Station};

    pub(crate) fn exercise(
        id: &str,
        curve: CurveFamily,
        direct: &[Muscle],
        half: &[Muscle],
        systemic: u8,
    ) -> Exercise {
        Exercise {
            id: ExerciseId::from(id),
            name: id.to_owned(),
            also: Vec::new(),
            pattern: Pattern::HorizontalRow,
            direct: direct.to_vec(),
            half: half.to_vec(),
            quarter: Vec::new(),
            stations: vec![Station::Cable],
            load: LoadKind::Stack,
            step_kg: Kilograms(2.5),
            body_share: Share::ZERO,
            unilateral: false,
            measure: Measure::Reps,
            seconds_per_rep: Seconds(3.0),
            setup_s: Seconds::ZERO,
            changeover_s: Seconds(10.0),
            rest_s: Seconds(120.0),
            curve,
            reps: [5, 30],
            systemic,
            spinal: 0,
            grip: 0,
            skill: 1,
            standing: setwright_model::exercise::Standing::Usual,
            asks: Vec::new(),
            easier: Vec::new(),
            harder: Vec::new(),
            anchor: None,
        }
    }

    pub(crate) fn bench() -> Exercise {
        let half = [Muscle::Triceps, Muscle::FrontDelts];
        exercise("bench", CurveFamily::Upper, &[Muscle::Chest], &half, 1)
    }

    pub(crate) fn curl() -> Exercise {
        exercise("curl", CurveFamily::Small, &[Muscle::Biceps], &[Muscle::Forearms], 0)
    }

    #[test]
    fn a_set_to_failure_leaves_no_repetition() {
        let mut state = FatigueState::new();
        let load = load_for(&bench(), Reps(10.0), Reps::ZERO);
        let done = state.do_set(&bench(), load, Aim::Failure);
        assert!((done.get() - 10.0).abs() < 1e-6);
        assert!(state.possible(&bench(), load).get() < 0.35, "{}", state.possible(&bench(), load));
    }

    #[test]
    fn a_set_that_stops_short_tires_less() {
        let load = load_for(&bench(), Reps(10.0), Reps::ZERO);
        let (mut hard, mut easy) = (FatigueState::new(), FatigueState::new());
        hard.do_set(&bench(), load, Aim::Failure);
        easy.do_set(&bench(), load, Aim::Target { reps: Reps(7.0), rir: Reps(3.0) });
        assert!(easy.fatigue(Muscle::Chest) < hard.fatigue(Muscle::Chest));
    }

    #[test]
    fn a_tired_helper_costs_the_compound_lift_and_a_stranger_costs_it_next_to_nothing() {
        let extension = exercise("extension", CurveFamily::Small, &[Muscle::Triceps], &[], 0);
        let load = load_for(&bench(), Reps(10.0), Reps::ZERO);
        let after = |first: &Exercise| {
            let mut state = FatigueState::new();
            state.do_set(first, load_for(first, Reps(10.0), Reps::ZERO), Aim::Failure);
            state.rest(Seconds(60.0));
            state.possible(&bench(), load).get()
        };
        assert!(after(&extension) < 9.6, "{}", after(&extension));
        assert!(after(&curl()) > 9.6, "{}", after(&curl()));
        assert!(after(&curl()) < 10.0);
    }

    #[test]
    fn long_rest_gives_everything_back() {
        let mut state = FatigueState::new();
        state.do_set(&bench(), Share(0.7), Aim::Failure);
        state.rest(Seconds(3600.0));
        assert!(state.usable(&bench()).get() > 0.999);
    }
}
