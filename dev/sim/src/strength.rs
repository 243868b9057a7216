//! Whether strength is forecast better than by simpler rules, and whether a stall is seen.

use crate::client::WEEK_H;
use crate::habits::Kind;
use crate::training::{self, Client};
use setwright_estimate::{LoggedSession, PlannedExercise, Posterior, Prior, fit};
use setwright_gym::catalogue;
use setwright_model::{Catalogue, ExerciseId, Hours, Kilograms};
use setwright_science::curve::{self, Curve};
use std::collections::BTreeMap;

/// Weights of the newest session in the moving averages that are tried; the best counts.
pub const WEIGHTS: [f64; 5] = [0.2, 0.3, 0.4, 0.5, 0.7];

/// Errors of the logarithm of what an exercise told in the next session.
#[derive(Clone, Debug, Default)]
pub struct Forecasts {
    /// Of the model.
    pub model: Vec<f64>,
    /// Of the same model without fatigue.
    pub rested: Vec<f64>,
    /// Of moving averages, by weight.
    pub averages: [Vec<f64>; WEIGHTS.len()],
    /// Of somebody who knows the truth, all but chance.
    pub oracle: Vec<f64>,
    /// Of the last session.
    pub last: Vec<f64>,
    /// Whether the model's interval held what was told.
    pub held: Vec<bool>,
    /// Whether the interval of the rested 1RM held the truth at the end.
    pub max_held: Vec<bool>,
    /// Error of the logarithm of the rested 1RM at the end.
    pub max_errors: Vec<f64>,
}

impl Forecasts {
    /// Takes over the cases of another.
    pub fn join(&mut self, other: Self) {
        self.model.extend(other.model);
        self.rested.extend(other.rested);
        self.last.extend(other.last);
        self.oracle.extend(other.oracle);
        self.held.extend(other.held);
        self.max_held.extend(other.max_held);
        self.max_errors.extend(other.max_errors);
        for (mine, theirs) in self.averages.iter_mut().zip(other.averages) {
            mine.extend(theirs);
        }
    }
}

/// What each exercise of a session told: the mean logarithm of the 1RM, the reps and the sets.
fn told(session: &LoggedSession, catalogue: &Catalogue) -> Vec<(PlannedExercise, f64)> {
    let mut found: Vec<(PlannedExercise, f64)> = Vec::new();
    for set in &session.sets {
        let (Some(load), Some(rir), Some(exercise)) = (set.load, set.rir, catalogue.get(&set.exercise))
        else {
            continue;
        };
        let log = libm::log(curve::one_rm(load, set.reps, rir, Curve::of(exercise.curve)).get());
        match found.last_mut().filter(|(p, _)| p.exercise == set.exercise) {
            Some((planned, sum)) => {
                planned.sets += 1;
                planned.reps += set.reps;
                *sum += log;
            }
            None => {
                found.push((
                    PlannedExercise { exercise: set.exercise.clone(), sets: 1, reps: set.reps, rir },
                    log,
                ));
            }
        }
    }
    for (planned, sum) in &mut found {
        let sets = f64::from(planned.sets);
        planned.reps = planned.reps * (1.0 / sets);
        *sum /= sets;
    }
    found
}

/// Forecasts of each session of a client from week `from` on, one session ahead.
pub fn forecasts(kind: Kind, from: u32, seed: u64, nth: u64) -> Forecasts {
    let (prior, catalogue) = (Prior::population(), catalogue::builtin());
    let client = training::client(kind, &prior, catalogue, seed, nth);
    let start = Hours(f64::from(from) * WEEK_H);
    let early = client.history.until(start);
    let mut model = fit(&early, catalogue, &prior, nth);
    let mut rested = fit(&early, catalogue, &prior.clone().without_fatigue(), nth);
    let mut rules = Rules::default();
    let mut found = Forecasts::default();
    for (nth, session) in client.history.sessions.iter().enumerate() {
        let told = told(session, catalogue);
        if session.at > start {
            let plan: Vec<PlannedExercise> = told.iter().map(|(p, _)| p.clone()).collect();
            compare(&model, &rested, &rules, session.at, &plan, &told, &mut found);
            for (planned, log) in &told {
                let foretold = client.foretold.get(&(nth, planned.exercise.clone()));
                found.oracle.extend(foretold.map(|f| log - f));
            }
            model = model.after(session, None, catalogue);
            rested = rested.after(session, None, catalogue);
        }
        for (planned, log) in &told {
            rules.see(&planned.exercise, *log);
        }
    }
    maxima(&client, &model, &mut found);
    found
}

fn compare(
    model: &Posterior,
    rested: &Posterior,
    rules: &Rules,
    at: Hours,
    plan: &[PlannedExercise],
    told: &[(PlannedExercise, f64)],
    found: &mut Forecasts,
) {
    let catalogue = catalogue::builtin();
    let with = model.forecast(at, plan, catalogue);
    let without = rested.forecast(at, plan, catalogue);
    for ((with, without), (planned, log)) in with.iter().zip(&without).zip(told) {
        let (Some(with), Some(without)) = (with, without) else { continue };
        let Some((averages, last)) = rules.now.get(&planned.exercise) else { continue };
        found.model.push(log - libm::log(with.shown.median.get()));
        found.rested.push(log - libm::log(without.shown.median.get()));
        found.last.push(log - last);
        found.held.push(with.shown.holds(&Kilograms(libm::exp(*log))));
        for (errors, average) in found.averages.iter_mut().zip(averages) {
            errors.push(log - average);
        }
    }
}

fn maxima(client: &Client, model: &Posterior, found: &mut Forecasts) {
    let end = client.history.sessions.last().map_or(0.0, |s| s.at.get());
    let ids: Vec<ExerciseId> = model.exercises().cloned().collect();
    for id in ids {
        let (Some(lift), Some(strength)) = (client.truth.lift(&id), model.strength(&id)) else { continue };
        let truth = client.truth.level(lift, end);
        found.max_held.push(strength.one_rm.holds(&Kilograms(libm::exp(truth))));
        found.max_errors.push(libm::log(strength.one_rm.median.get()) - truth);
    }
}

/// The simple rules that the model is held against.
#[derive(Default)]
struct Rules {
    now: BTreeMap<ExerciseId, ([f64; WEIGHTS.len()], f64)>,
}

impl Rules {
    fn see(&mut self, id: &ExerciseId, log: f64) {
        let (averages, last) = self.now.entry(id.clone()).or_insert(([log; WEIGHTS.len()], log));
        for (average, weight) in averages.iter_mut().zip(WEIGHTS) {
            *average += weight * (log - *average);
        }
        *last = log;
    }
}

/// Probability of a stall after so many weeks, by the model.
pub fn stall(kind: Kind, weeks: u32, seed: u64, nth: u64) -> f64 {
    let (prior, catalogue) = (Prior::population(), catalogue::builtin());
    let client = training::client(Kind { weeks, ..kind }, &prior, catalogue, seed, nth);
    fit(&client.history, catalogue, &prior, nth).stall().probability.get()
}
