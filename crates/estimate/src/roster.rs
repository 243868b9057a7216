//! What a coach's clients have in common, as the prior of the next one.
//!
//! Only one number for the time constants and one for the depths passes on: by how much this coach's clients differ
//! from the population. It is an average of people; no client's own values can be read from it once there are
//! several, and with fewer than [`CLIENTS_MIN`] nothing is passed on at all. Whether clients agree to that is for the
//! caller to ask.

use crate::posterior::Posterior;
use crate::prior::{Prior, Spread};
use crate::sample::Draw;
use setwright_model::{Hours, Muscle, Share};

/// Fewest clients from whom anything is passed on (judgement: an average of fewer can tell of one of them).
pub const CLIENTS_MIN: usize = 5;
/// How far a coach's clients may differ from the population, as a spread of the logarithm (judgement).
const SHIFT_SD: f64 = 0.15;

/// A prior moved by what was learned of a roster.
#[derive(Clone, Debug, PartialEq)]
pub struct RosterPrior {
    /// The prior for the next client.
    pub prior: Prior,
    /// Clients whose logs told something.
    pub clients: usize,
    /// Shift of all time constants: 0.1 is a tenth slower than the population.
    pub tau_shift: Share,
    /// Shift of all depths.
    pub depth_shift: Share,
}

/// The prior of the next client: `base`, moved by what the clients told beyond the prior that each was fitted from.
/// None when too few told anything.
pub fn prior_of_roster<'a>(
    base: &Prior,
    clients: impl IntoIterator<Item = &'a Posterior>,
) -> Option<RosterPrior> {
    let clients: Vec<&Posterior> = clients.into_iter().collect();
    let off_tau = |prior: &Prior, draw: &Draw, m: usize| draw.log_tau[m] - libm::log(prior.tau[m].get());
    let off_depth = |prior: &Prior, draw: &Draw, m: usize| libm::log(draw.depth[m] / prior.depth[m]);
    let tau = told(&clients, |prior| prior.tau_spread, &off_tau);
    let depth = told(&clients, |prior| prior.depth_spread, &off_depth);
    if tau.len() < CLIENTS_MIN {
        return None;
    }
    let (by_tau, by_depth) = (shift(&tau), shift(&depth));
    let mut prior = base.clone();
    for t in &mut prior.tau {
        *t = Hours(t.get() * libm::exp(by_tau));
    }
    for d in &mut prior.depth {
        *d *= libm::exp(by_depth);
    }
    let share = |log: f64| Share(libm::expm1(log));
    Some(RosterPrior { prior, clients: tau.len(), tau_shift: share(by_tau), depth_shift: share(by_depth) })
}

/// What each client tells of the shift, with its variance: the evidence of the log alone, the prior taken out again.
fn told(
    clients: &[&Posterior],
    spread: impl Fn(&Prior) -> Spread,
    off: &dyn Fn(&Prior, &Draw, usize) -> f64,
) -> Vec<(f64, f64)> {
    let one = |client: &&Posterior| {
        let (before, spread) = (client.prior(), spread(client.prior()));
        let mean_of = |draw: &Draw, muscles: &[Muscle]| {
            muscles.iter().map(|m| off(before, draw, m.index())).sum::<f64>() / muscles.len() as f64
        };
        let muscles: Vec<Muscle> = client.followed().collect();
        if muscles.is_empty() {
            return None;
        }
        let prior = spread.person * spread.person + spread.muscle * spread.muscle / muscles.len() as f64;
        let (mean, after) = moments(client.draws().map(|d| mean_of(d, &muscles)));
        let precision = 1.0 / after - 1.0 / prior;
        (precision > 0.0).then(|| (mean / after / precision, prior + 1.0 / precision))
    };
    clients
        .iter()
        .filter_map(one)
        .filter(|(mean, variance)| mean.is_finite() && variance.is_finite())
        .collect()
}

/// Mean of the shift given what clients tell and how far a roster may be from the population.
fn shift(told: &[(f64, f64)]) -> f64 {
    let precision = 1.0 / (SHIFT_SD * SHIFT_SD) + told.iter().map(|(_, v)| 1.0 / v).sum::<f64>();
    told.iter().map(|(mean, v)| mean / v).sum::<f64>() / precision
}

fn moments(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let values: Vec<f64> = values.collect();
    let count = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / count;
    (mean, values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / count)
}
