//! Clients whose posterior is held against one that was sampled by other means from the same statistical model. What
//! the model is made of is written out, so that the other side shares neither the filter nor the sampler.

use crate::draws::AsOfTheReference;
use crate::habits::Kind;
use crate::training::{client, client_of};
use serde_json::{Value, json};
use setwright_estimate::evidence::{Evidence, log_likelihood};
use setwright_estimate::{History, Posterior, Prior, fit};
use setwright_model::{Catalogue, FractionalSets, Reps};
use setwright_science::recovery;
use std::collections::BTreeMap;

/// Weeks of the logs that are held against the reference.
pub const WEEKS: u32 = 16;
/// Seed of the clients.
pub const SEED: u64 = 31;
/// Draws at which the log-likelihoods are compared.
const POINTS: usize = 8;

/// The log of a client of the reference: three sessions a week on varied days, no soreness.
pub fn history(nth: u64, catalogue: &Catalogue) -> History {
    let kind = Kind { weeks: WEEKS, ..Kind::PLAIN };
    client_of(kind, &Prior::population(), catalogue, AsOfTheReference::new(SEED, nth)).history
}

/// A log of about ten thousand sets, two years and more.
pub fn long_history(catalogue: &Catalogue) -> History {
    let kind = Kind { weeks: 121, sessions: 4, ..Kind::PLAIN };
    client(kind, &Prior::population(), catalogue, SEED, 1).history
}

/// Draws of every quantity that is compared, by name: logarithms of time constant and depth, and hours to be ready after
/// a usual session.
pub fn quantities(posterior: &Posterior) -> BTreeMap<String, Vec<f64>> {
    let drop = posterior.drop_of(FractionalSets(recovery::USUAL_SETS), Reps(recovery::USUAL_RIR));
    let mut all = BTreeMap::new();
    for muscle in posterior.followed() {
        let m = muscle.index();
        let of = |value: &dyn Fn(f64, f64) -> f64| -> Vec<f64> {
            posterior.draws().map(|d| value(d.log_tau[m], libm::log(d.depth[m]))).collect()
        };
        all.insert(format!("tau {}", muscle.id()), of(&|tau, _| tau));
        all.insert(format!("depth {}", muscle.id()), of(&|_, depth| depth));
        let ready =
            |tau: f64, depth: f64| libm::exp(tau) * (depth + libm::log(drop / recovery::READY_DROP)).max(0.0);
        all.insert(format!("ready {}", muscle.id()), of(&ready));
    }
    all
}

/// The model of a history, with log-likelihoods of ours at some points.
pub fn model(history: &History, catalogue: &Catalogue) -> Value {
    let prior = Prior::population();
    let evidence = Evidence::of(history, catalogue, &prior);
    let posterior = fit(history, catalogue, &prior, 1);
    let step = posterior.draws().len() / POINTS;
    let points = posterior.draws().step_by(step.max(1)).take(POINTS).map(|d| {
        json!({ "log_tau": d.log_tau, "depth": d.depth, "log_likelihood": log_likelihood(&posterior, &d.log_tau, &d.depth) })
    });
    let s = prior.strength;
    json!({
        "sets": history.sessions.iter().map(|s| s.sets.len()).sum::<usize>(),
        "muscles": posterior.followed().map(|m| json!([m.index(), m.id()])).collect::<Vec<_>>(),
        "tau_median_h": prior.tau.map(setwright_model::Hours::get),
        "tau_spread": [prior.tau_spread.person, prior.tau_spread.muscle],
        "depth_spread": [prior.depth_spread.person, prior.depth_spread.muscle],
        "usual_drop": posterior.drop_of(FractionalSets(recovery::USUAL_SETS), Reps(recovery::USUAL_RIR)),
        "ready_drop": recovery::READY_DROP,
        "start": evidence.start,
        "strength": {
            "growth": s.growth, "growth_drift": s.growth_drift, "growth_exercise": s.growth_exercise,
            "growth_exercise_drift": s.growth_exercise_drift, "level_drift": s.level_drift,
            "rir_bias": s.rir_bias, "curve": s.curve, "ease": s.ease, "order": evidence.order, "before": s.before,
        },
        "sessions": evidence.sessions.iter()
            .map(|s| json!({ "at_h": s.at_h, "day_variance": s.day_variance, "drops": s.drops })).collect::<Vec<_>>(),
        "lifts": evidence.lifts.iter().map(|(id, weights)| json!({
            "id": id.as_str(), "weights": weights.iter().map(|(m, w)| json!([m.index(), w])).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "observations": evidence.observations.iter().map(|o| json!([
            o.session, o.lift, o.log_one_rm, o.variance, o.fall, o.bend, o.ease, o.order, o.before,
        ])).collect::<Vec<_>>(),
        "points": points.collect::<Vec<_>>(),
    })
}
