//! What a coach's clients have in common, as the prior of the next one.
//!
//! Only one number for the time constants and one for the depths passes on: by how much this coach's clients differ
//! from the population. It is an average of people; no client's own values can be read from it once there are
//! several, and with fewer than [`CLIENTS_MIN`] nothing is passed on at all. Whether clients agree to that is for the
//! caller to ask.

use crate::posterior::Posterior;
use crate::prior::{Prior, Spread};
use crate::sample::Draw;
use setwright_model::{Hours, Share};

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
    let told: Vec<Told> = clients.into_iter().filter_map(Told::by).collect();
    let count = told.iter().filter(|t| t.information[0][0] > 0.0).count();
    if count < CLIENTS_MIN {
        return None;
    }
    let [by_tau, by_depth] = shift(&told);
    let mut prior = base.clone();
    for t in &mut prior.tau {
        *t = Hours(t.get() * libm::exp(by_tau));
    }
    for d in &mut prior.depth {
        *d *= libm::exp(by_depth);
    }
    let share = |log: f64| Share(libm::expm1(log));
    Some(RosterPrior { prior, clients: count, tau_shift: share(by_tau), depth_shift: share(by_depth) })
}

/// What a client's log tells of the shift of time constants and of depths. Both are asked for together: fatigue that lasts longer
/// and fatigue that is deeper look alike in a log, and what is taken for the one is missing in the other.
struct Told {
    /// By how much the likelihood of a shift grows from none, for either.
    score: [f64; 2],
    /// How sharply it is told: the prior's precision less what is left of it in the posterior.
    information: [[f64; 2]; 2],
}

impl Told {
    /// What a client tells; None when no muscle was followed, or nothing finite came of it.
    fn by(client: &Posterior) -> Option<Self> {
        let (before, muscles) = (client.prior(), client.followed().collect::<Vec<_>>());
        if muscles.is_empty() {
            return None;
        }
        let mean = |of: &dyn Fn(usize) -> f64| {
            muscles.iter().map(|m| of(m.index())).sum::<f64>() / muscles.len() as f64
        };
        let off = |draw: &Draw| {
            let tau = mean(&|m| draw.log_tau[m] - libm::log(before.tau[m].get()));
            [tau, mean(&|m| libm::log(draw.depth[m] / before.depth[m]))]
        };
        let precision = [before.tau_spread, before.depth_spread].map(|spread: Spread| {
            1.0 / (spread.person * spread.person + spread.muscle * spread.muscle / muscles.len() as f64)
        });
        let (mean, after) = moments(&client.draws().map(off).collect::<Vec<_>>());
        let score = [0, 1].map(|i| precision[i] * mean[i]);
        let information = [0, 1].map(|i| {
            [0, 1]
                .map(|j| if i == j { precision[i] } else { 0.0 } - precision[i] * after[i][j] * precision[j])
        });
        let finite = score.iter().chain(information.iter().flatten()).all(|v| v.is_finite());
        finite.then_some(Self { score, information })
    }
}

/// Mean of both shifts given what clients tell and how far a roster may be from the population.
fn shift(told: &[Told]) -> [f64; 2] {
    let sum = |of: &dyn Fn(&Told) -> f64| told.iter().map(of).sum::<f64>();
    let own = 1.0 / (SHIFT_SD * SHIFT_SD);
    let known = [0, 1].map(|i| own + sum(&|t| t.information[i][i]));
    let shared = sum(&|t| t.information[0][1]);
    let score = [0, 1].map(|i| sum(&|t| t.score[i]));
    let determinant = known[0] * known[1] - shared * shared;
    [0, 1].map(|i| (known[1 - i] * score[i] - shared * score[1 - i]) / determinant)
}

/// Means, and how they vary together.
fn moments(values: &[[f64; 2]]) -> ([f64; 2], [[f64; 2]; 2]) {
    let count = values.len().max(1) as f64;
    let mean = [0, 1].map(|i| values.iter().map(|v| v[i]).sum::<f64>() / count);
    let together =
        |i: usize, j: usize| values.iter().map(|v| (v[i] - mean[i]) * (v[j] - mean[j])).sum::<f64>() / count;
    (mean, [0, 1].map(|i| [0, 1].map(|j| together(i, j))))
}
