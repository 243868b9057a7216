//! What a coach's other clients have in common, as the belief that a client starts from: asked for, never by default,
//! and with what it means for privacy said each time.

use super::known_of;
use crate::ledger::{UnitOfWork, consent, of_store};
use serde::Serialize;
use setwright_estimate::{CLIENTS_MIN, Posterior, Prior, RosterPrior, prior_of_roster};
use setwright_model::Catalogue;
use setwright_model::code::Code;
use setwright_model::ledger::{ClientId, Purpose};
use setwright_model::refusal::Refusal;
use setwright_store::Store;
use std::sync::Arc;

/// What a belief starts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeliefStart {
    /// The population of the studies.
    Population,
    /// The population, moved by what this coach's other clients have in common.
    Roster,
}

impl BeliefStart {
    /// The roster's when asked for.
    pub const fn of(from_roster: bool) -> Self {
        if from_roster { Self::Roster } else { Self::Population }
    }
}

/// What the other clients have in common, compared with the population.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Common {
    /// Clients whose logs told something.
    pub clients: usize,
    /// By how many per cent their muscles recover slower; negative when faster.
    pub tau_percent: f64,
    /// By how many per cent the same work tires them more; negative when less.
    pub depth_percent: f64,
}

impl Common {
    fn of(found: &RosterPrior) -> Self {
        Self {
            clients: found.clients,
            tau_percent: 100.0 * found.tau_shift.get(),
            depth_percent: 100.0 * found.depth_shift.get(),
        }
    }

    /// What was taken over, and what that means for privacy.
    pub fn in_words(&self) -> String {
        let by = |percent: f64, more: &str, less: &str| {
            format!("{:.0} % {}", percent.abs(), if percent < 0.0 { less } else { more })
        };
        format!(
            "Starts from what {} other clients have in common: recovery {} than the population's, and the same work \
             tires them {}. Two averages pass from their logs into what is said here, and nothing of any one of them; \
             without --from-roster nothing passes. Who took that back (setwright consent) is left out; whether the others agree is for you to ask.",
            self.clients,
            by(self.tau_percent, "slower", "faster"),
            by(self.depth_percent, "more", "less"),
        )
    }
}

/// The prior of a client, moved by all other clients of the ledger.
pub(super) fn moved(
    uow: &mut UnitOfWork,
    client: ClientId,
    prior: &Prior,
    catalogue: &Catalogue,
) -> Result<(Prior, Common), Refusal> {
    let clients = uow.store.clients().map_err(|e| of_store(&e))?;
    let mut others: Vec<Posterior> = Vec::new();
    for other in clients.into_iter().filter(|c| c.client != client) {
        if consent::is_withdrawn(uow, other.client, Purpose::Averages)? {
            continue;
        }
        others.push(Arc::unwrap_or_clone(known_of(uow, other, catalogue)?.posterior));
    }
    let found = prior_of_roster(prior, &others).ok_or_else(too_few)?;
    let common = Common::of(&found);
    Ok((found.prior, common))
}

fn too_few() -> Refusal {
    let what = format!("Fewer than {CLIENTS_MIN} other clients have a log that tells of recovery.");
    let hint =
        "Leave --from-roster away until there are more: an average of fewer could be read as one of them.";
    Refusal::new(Code::TooFewClients, what, hint)
}
