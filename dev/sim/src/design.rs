//! What designed intervals teach: the same clients on fixed days, on days that vary by chance, and on days that the
//! estimator chose week by week for what they teach, freely or within a day of the fixed ones.

use crate::calibrate::{DOSE, MUSCLES, RESERVE, each};
use crate::client::{Truth, WEEK_H};
use crate::habits::Kind;
use crate::plan::SLOTS;
use crate::stats;
use crate::training::Life;
use setwright_chance::Chance;
use setwright_estimate::design::{self, Schedule};
use setwright_estimate::{PlannedExercise, Prior, fit};
use setwright_gym::catalogue;
use setwright_model::{Catalogue, Hours, Reps};

/// Weeks at which clients are asked about.
pub const WEEKS: [u32; 3] = [8, 16, 26];
/// Hour of the day of a session, and least hours between two.
const HOUR: f64 = 18.0;
const APART_H: f64 = 23.0;
/// The fixed days of three sessions a week.
const FIXED: [u32; 3] = [0, 2, 4];

/// How days are chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Days {
    /// The same each week.
    Fixed,
    /// Three of seven by chance.
    Chance,
    /// Those that teach most, within so many days of the fixed ones.
    Designed(u32),
}

impl Days {
    /// All that are compared.
    pub const ALL: [Self; 4] = [Self::Fixed, Self::Chance, Self::Designed(1), Self::Designed(6)];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fixed => "fixed",
            Self::Chance => "by chance",
            Self::Designed(1) => "designed, a day to either side",
            Self::Designed(_) => "designed, any day",
        }
    }
}

/// Errors in days to be ready, by week asked about: after the log and before it, and the share of variance gone.
pub type Asked = Vec<(u32, Vec<(f64, f64, f64)>)>;

/// One client under one way of choosing days.
pub fn of_client(days: Days, seed: u64, nth: u64) -> Asked {
    let (prior, catalogue) = (Prior::population(), catalogue::builtin());
    let mut chance = Chance::new(seed, nth);
    let truth = Truth::draw(Kind { weeks: 26, ..Kind::PLAIN }, &prior, catalogue, &mut chance);
    let mut dice = Chance::new(seed + 1, nth);
    let mut life = Life::new(truth, &prior, chance);
    let mut done = 0;
    let mut asked = Vec::new();
    for week in 0..WEEKS.into_iter().max().unwrap_or(0) {
        let sessions: Vec<Vec<PlannedExercise>> =
            (0..FIXED.len()).map(|k| planned(done + k, catalogue)).collect();
        let hours = match days {
            Days::Fixed => at(week, &FIXED),
            Days::Chance => at(week, &by_chance(&mut dice)),
            Days::Designed(within) => designed(&life, week, within, &sessions, &prior, catalogue),
        };
        for at_h in hours {
            life.train(done, at_h);
            done += 1;
        }
        if WEEKS.contains(&(week + 1)) {
            let posterior = fit(&life.history, catalogue, &prior, nth);
            let of = |m| {
                let truly = life.truth.ready_h(m, DOSE.get(), RESERVE.get());
                let recovery = posterior.recovery(m, DOSE, RESERVE);
                let before = posterior.ready_before(m, DOSE, RESERVE).get();
                let days = |h: f64| (h - truly) / 24.0;
                (days(recovery.ready.median.get()), days(before), recovery.learned.get())
            };
            asked.push((week + 1, MUSCLES.map(of).to_vec()));
        }
    }
    asked
}

fn at(week: u32, days: &[u32]) -> Vec<f64> {
    days.iter().map(|day| f64::from(week) * WEEK_H + f64::from(*day) * 24.0 + HOUR).collect()
}

fn by_chance(dice: &mut Chance) -> Vec<u32> {
    let mut all: Vec<u32> = (0..7).collect();
    while all.len() > FIXED.len() {
        all.remove(dice.below(all.len()));
    }
    all
}

/// The session so many have gone before, as the client would be asked for it: reps in the middle, two left.
fn planned(nth: usize, catalogue: &Catalogue) -> Vec<PlannedExercise> {
    let slots = SLOTS.iter().filter(|s| s.workout == nth % 2 && catalogue.get(&s.exercise.into()).is_some());
    slots
        .map(|s| PlannedExercise {
            exercise: s.exercise.into(),
            sets: s.sets,
            reps: Reps(f64::from(s.reps.0 + s.reps.1) / 2.0),
            rir: RESERVE,
        })
        .collect()
}

fn designed(
    life: &Life,
    week: u32,
    within: u32,
    sessions: &[Vec<PlannedExercise>],
    prior: &Prior,
    catalogue: &Catalogue,
) -> Vec<f64> {
    if life.history.sessions.is_empty() {
        return at(week, &FIXED);
    }
    let last = life.history.sessions.last().map_or(0.0, |s| s.at.get());
    let posterior = fit(&life.history, catalogue, prior, 1);
    let mut offered: Vec<Schedule> = vec![schedule(&at(week, &FIXED))];
    for days in choices() {
        let near = days.iter().zip(FIXED).all(|(day, fixed)| day.abs_diff(fixed) <= within);
        let hours = at(week, &days);
        if near && hours.first().is_some_and(|first| first - last >= APART_H) {
            offered.push(schedule(&hours));
        }
    }
    let best = design::best(&posterior, sessions, &offered, catalogue);
    best.and_then(|(place, _)| offered.get(place))
        .map_or_else(|| at(week, &FIXED), |s| s.at.iter().map(|h| h.get()).collect())
}

fn schedule(hours: &[f64]) -> Schedule {
    Schedule { at: hours.iter().map(|h| Hours(*h)).collect() }
}

/// Every three days of a week, in order.
fn choices() -> Vec<[u32; 3]> {
    let mut all = Vec::new();
    for a in 0..5 {
        for b in a + 1..6 {
            all.extend((b + 1..7).map(|c| [a, b, c]));
        }
    }
    all
}

/// A row of the comparison.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// Weeks of log.
    pub weeks: u32,
    /// Root mean square error of days to be ready: after the log, before it, and the standard error of the first over
    /// clients.
    pub days: (f64, f64, f64),
    /// Mean share of the prior's variance that is gone.
    pub learned: f64,
}

/// What many clients come to under one way of choosing days.
pub fn rows(days: Days, clients: u64, seed: u64) -> Vec<Row> {
    let all = each(clients, |nth| of_client(days, seed, nth));
    let row = |weeks: u32| {
        let at = |client: &Asked| {
            client.iter().find(|(w, _)| *w == weeks).map_or_else(Vec::new, |(_, a)| a.clone())
        };
        let cases: Vec<Vec<(f64, f64, f64)>> = all.iter().map(at).collect();
        let flat: Vec<(f64, f64, f64)> = cases.concat();
        let after: Vec<f64> = flat.iter().map(|c| c.0).collect();
        let before: Vec<f64> = flat.iter().map(|c| c.1).collect();
        let rms = stats::rms(&after);
        // The error of a root of means of squares, by clients, for muscles of one client go together.
        let squares: Vec<f64> =
            cases.iter().map(|c| c.iter().map(|x| x.0 * x.0).sum::<f64>() / c.len().max(1) as f64).collect();
        let mean = squares.iter().sum::<f64>() / squares.len().max(1) as f64;
        let var = squares.iter().map(|s| (s - mean) * (s - mean)).sum::<f64>() / squares.len().max(1) as f64;
        let error = (var / squares.len().max(1) as f64).sqrt() / (2.0 * rms.max(1e-9));
        let learned = flat.iter().map(|c| c.2).sum::<f64>() / flat.len().max(1) as f64;
        Row { weeks, days: (rms, stats::rms(&before), error), learned }
    };
    WEEKS.map(row).into()
}
