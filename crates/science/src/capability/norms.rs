//! What people can lift by sex, age, body mass and training age, before anything is known of the client.
//!
//! Strength is in body masses, spread as a lognormal. The groups that were measured are volunteers, fitter than the
//! public. Nothing here knows an exercise; which norm speaks for which exercise is the business of `measure`.

use setwright_model::Brief;
use setwright_model::brief::{Sex, TrainingAge};

/// What a norm is published for, or told of by a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Family {
    /// Bench press, 1RM.
    Bench,
    /// Press-up: the share of the body that could be pressed once.
    PressUp,
    /// Pull-up, the body included.
    PullUp,
    /// Lat pulldown, 1RM.
    Pulldown,
    /// Seated cable row, 1RM.
    Row,
    /// Leg press on a seat with a stack, 1RM.
    LegPress,
    /// Squat with a bar, 1RM, the body not included.
    Squat,
}

impl Family {
    /// How many there are (numeric).
    pub(crate) const COUNT: usize = 7;
    pub(crate) const ALL: [Self; Self::COUNT] =
        [Self::Bench, Self::PressUp, Self::PullUp, Self::Pulldown, Self::Row, Self::LegPress, Self::Squat];
}

/// Median at 25 years in body masses, fall in per cent a year from then on, spread of the logarithm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Norm {
    pub median: f64,
    pub fall: f64,
    pub sd: f64,
}

const fn norm(median: f64, fall: f64, sd: f64) -> Norm {
    Norm { median, fall, sd }
}

/// Norms of women and of men.
type BySex = [Norm; 2];

/// Bench press 1RM: Cooper Institute table, five ages by five cut points (B); the fit misses it by 3.1 % (women) and
/// 1.8 % (men) on average (D).
const BENCH: BySex = [norm(0.63, 0.90, 0.24), norm(1.07, 1.16, 0.21)];
/// Press-up: YMCA table of press-ups (B) through the upper load-rep curve (D), 0.64 of the body lifted and 0.49 from
/// the knees (Ebben 2011, JSCR 25:2891 (M)).
const PRESS_UP: BySex = [norm(0.75, 0.55, 0.26), norm(1.13, 0.76, 0.24)];
/// Pull-up: Johnson 2009, JSCR 23 (A), students 0.73 +- 0.09 and 1.16 +- 0.15 of body mass; men lowered, fall by age
/// and wider spread: judgement.
const PULL_UP: BySex = [norm(0.72, 0.9, 0.14), norm(1.08, 1.1, 0.16)];
/// Lat pulldown: Johnson 2009 (A); fall by age and spread as of the pull-up, the spread a little wider (judgement).
const PULLDOWN: BySex = [norm(0.55, 0.9, 0.18), norm(0.93, 1.1, 0.18)];
/// Seated cable row: no table was found; as the pulldown (judgement).
const ROW: BySex = [norm(0.55, 0.9, 0.20), norm(0.93, 1.1, 0.20)];
/// Leg press 1RM: table of one machine (B), spread judgement; other machines and sledges read far more.
const LEG_PRESS: BySex = [norm(1.44, 1.0, 0.12), norm(1.91, 0.8, 0.12)];
/// Squat 1RM: bench press times 1.67 and 1.45, the ratio of the 90th percentiles of drug-tested lifters (van den
/// Hoek 2024 (A); arithmetic (D)); falls as the bench press, spread a little wider (judgement).
const SQUAT: BySex = [norm(1.052, 0.90, 0.26), norm(1.552, 1.16, 0.24)];

/// Age at which the medians stand, in years (the tables' first column, (B)).
const AGE_BASE: f64 = 25.0;
/// Age beyond which no table goes, in years (B).
const AGE_TOP: f64 = 90.0;
/// Age that is reckoned with when it is not told, in years (judgement).
const AGE_UNTOLD: f64 = 40.0;
/// Further spread when the age is not told (judgement: 15 years either way at one per cent a year).
const AGE_UNTOLD_SD: f64 = 0.15;
/// Body mass of the people behind the tables, women and men, in kilograms (judgement).
const MASS_BASE_KG: [f64; 2] = [64.0, 80.0];
/// Strength grows with body mass to this power less one: per kilogram, heavier people are weaker (Jaric 2002, Sports
/// Med 32:615 (M): two thirds).
const MASS_POWER: f64 = -1.0 / 3.0;

/// Part of the spread of one family that it shares with every other, as a correlation (judgement: between 1RMs in
/// body masses 0.5 to 0.8 are usual).
pub(crate) const SHARED: f64 = 0.6;

/// By training age, in logarithm; the middle of the tables is 0 (judgement).
const fn by_training(age: TrainingAge) -> f64 {
    match age {
        TrainingAge::FirstWeeks => -0.22,
        TrainingAge::Beginner => -0.12,
        TrainingAge::Intermediate => 0.10,
        TrainingAge::Advanced => 0.35,
    }
}

/// An age as it is reckoned with, in years: the nearest full five, so that a birthday seldom changes a programme
/// (judgement: two years are two per cent of strength where its spread is twenty; the tables go by fives and tens).
pub(crate) fn in_fives(age: u32) -> f64 {
    f64::from((age + 2) / 5 * 5)
}

impl Family {
    const fn norm(self, sex: Sex) -> Norm {
        let of = match self {
            Self::Bench => &BENCH,
            Self::PressUp => &PRESS_UP,
            Self::PullUp => &PULL_UP,
            Self::Pulldown => &PULLDOWN,
            Self::Row => &ROW,
            Self::LegPress => &LEG_PRESS,
            Self::Squat => &SQUAT,
        };
        of[sex as usize]
    }

    /// Logarithm of the median strength in body masses, and its spread, for somebody like this client.
    pub(crate) fn prior(self, brief: &Brief, sex: Sex, mass_kg: f64) -> (f64, f64) {
        let norm = self.norm(sex);
        let years = brief.body.age.map_or(AGE_UNTOLD, in_fives).clamp(AGE_BASE, AGE_TOP) - AGE_BASE;
        let size = MASS_POWER * libm::log(mass_kg / MASS_BASE_KG[sex as usize]);
        let mean =
            libm::log(norm.median) - norm.fall / 100.0 * years + by_training(brief.training_age) + size;
        let more = if brief.body.age.is_none() { AGE_UNTOLD_SD } else { 0.0 };
        (mean, libm::sqrt(norm.sd * norm.sd + more * more))
    }
}
