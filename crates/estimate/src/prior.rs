//! What is believed of any client before the first set: time constants, depths of fatigue, growth, noise.
//!
//! Medians and spreads of the time constants are those of `science::recovery`; the rest is named here, each with
//! its source or "judgement". Nothing here is fitted to a log.

use setwright_model::{Hours, Muscle};
use setwright_science::recovery;

/// Spread of the logarithm of the depth of fatigue between persons (judgement).
const DEPTH_PERSON_SD: f64 = 0.25;
/// Spread of the same between muscles of one person (judgement).
const DEPTH_MUSCLE_SD: f64 = 0.30;
/// Spread between persons of what soreness lasts beyond the deficit (judgement; soreness and function agree badly:
/// Nosaka 2002, SJMSS 12:337 (A): r < 0.32).
const SORENESS_PERSON_SD: f64 = 0.3;
/// Spread of the same between muscles (judgement).
const SORENESS_MUSCLE_SD: f64 = 0.3;
/// Soreness score for a whole deficit of strength: about 4 of 10 right after a drop of 13 % (judgement).
const SORENESS_GAIN: f64 = 30.0;
/// Spread of the logarithm of the gain between persons: some report next to nothing (judgement).
const GAIN_PERSON_SD: f64 = 0.7;
/// Spread of the same between muscles (judgement).
const GAIN_MUSCLE_SD: f64 = 0.4;

/// A spread between persons and, within one, between muscles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Standard deviation between persons.
    pub person: f64,
    /// Standard deviation between muscles of one person.
    pub muscle: f64,
}

impl Spread {
    /// Both together.
    pub fn total(self) -> f64 {
        (self.person * self.person + self.muscle * self.muscle).sqrt()
    }
}

/// The belief before any log. All spreads are of natural logarithms.
#[derive(Clone, Debug, PartialEq)]
pub struct Prior {
    /// Median time constant of fatigue by muscle, in the order of [`Muscle::ALL`].
    pub tau: [Hours; Muscle::COUNT],
    /// Spread of the time constants.
    pub tau_spread: Spread,
    /// Median depth of fatigue by muscle, as a multiple of `science::recovery::drop`.
    pub depth: [f64; Muscle::COUNT],
    /// Spread of the depths.
    pub depth_spread: Spread,
    /// Spread of the time constant of soreness about that of the deficit.
    pub soreness_spread: Spread,
    /// Median soreness score for a whole deficit.
    pub soreness_gain: f64,
    /// Spread of that gain.
    pub gain_spread: Spread,
    /// Strength, its growth and the noise of what is logged.
    pub strength: StrengthPrior,
}

/// Strength, growth and noise. Shares of strength are natural logarithms: 0.02 is 2 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrengthPrior {
    /// Mean and spread of the client's growth in a week.
    pub growth: (f64, f64),
    /// Spread of how fast that growth changes, in a week.
    pub growth_drift: f64,
    /// Spread between exercises of growth in a week.
    pub growth_exercise: f64,
    /// Spread of how fast an exercise's own growth changes, in a week.
    pub growth_exercise_drift: f64,
    /// Spread of an exercise's strength beyond growth, in a week.
    pub level_drift: f64,
    /// Repetitions in reserve beyond those reported: mean and spread between persons.
    pub rir_bias: (f64, f64),
    /// Spread of the logarithm of the person factor of the load-rep curve.
    pub curve: f64,
    /// Spread of what a set tells more, for each rep that it is meant to be easier than usual.
    pub ease: f64,
    /// Loss of strength from one set of an exercise to the next: mean and spread.
    pub order: (f64, f64),
    /// Loss for each fractional set already done in the session: mean and spread.
    pub before: (f64, f64),
    /// Spread of the day.
    pub day: f64,
    /// Spread of an exercise on a day.
    pub exercise_day: f64,
    /// Spread of a set, mostly from reported reps in reserve.
    pub set: f64,
}

impl StrengthPrior {
    /// Growth: 0.25 % a week and twice as much for one in six (judgement). Bias of reported reps: under-predicted by
    /// 0.95 with 0.17 to 1.73 (Halperin 2022, Sports Med 52:377 (A)) and by none (Refalo 2023, JSCR (A)): half a rep,
    /// spread as much. Day 1.8 % and exercise 1.8 %: about 3 % of an estimated 1RM from day to day, with 4.2 % for
    /// tested ones (Grgic 2020, Sports Med Open 6:31 (A)) and no source for its parts (judgement). A set: one rep
    /// (Refalo 2023 (A)) at 3 % a rep. The others are judgement.
    pub const fn population() -> Self {
        Self {
            growth: (0.0025, 0.0025),
            growth_drift: 0.0004,
            growth_exercise: 0.0012,
            growth_exercise_drift: 0.0002,
            level_drift: 0.002,
            rir_bias: (0.5, 0.5),
            curve: 0.15,
            ease: 0.004,
            order: (0.010, 0.007),
            before: (0.004, 0.003),
            day: 0.018,
            exercise_day: 0.018,
            set: 0.030,
        }
    }
}

impl Prior {
    /// A trained adult of no particular age.
    pub fn population() -> Self {
        Self::of(Muscle::ALL.map(|muscle| Hours(recovery::median_tau_h(muscle))))
    }

    /// The population about these medians, such as `science::recovery::tau_priors` gives for a brief.
    pub fn of(tau: [Hours; Muscle::COUNT]) -> Self {
        Self {
            tau: tau.map(|t| Hours(t.get().clamp(recovery::TAU_H.0, recovery::TAU_H.1))),
            tau_spread: Spread { person: recovery::PERSON_LOG_SD, muscle: recovery::MUSCLE_LOG_SD },
            depth: [1.0; Muscle::COUNT],
            depth_spread: Spread { person: DEPTH_PERSON_SD, muscle: DEPTH_MUSCLE_SD },
            soreness_spread: Spread { person: SORENESS_PERSON_SD, muscle: SORENESS_MUSCLE_SD },
            soreness_gain: SORENESS_GAIN,
            gain_spread: Spread { person: GAIN_PERSON_SD, muscle: GAIN_MUSCLE_SD },
            strength: StrengthPrior::population(),
        }
    }

    /// The same without fatigue from earlier sessions: what a model that knows no recovery would believe. It is
    /// there to be compared with.
    #[must_use]
    pub fn without_fatigue(mut self) -> Self {
        self.depth = [0.0; Muscle::COUNT];
        self
    }
}
