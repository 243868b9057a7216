//! From a history to a posterior: two cheap passes that find outliers and the size of the noise, one pass with the columns of
//! fatigue, and the draws.

use crate::history::History;
use crate::learner::Learner;
use crate::posterior::Posterior;
use crate::prior::Prior;
use crate::reading::{Read, followed, read_all};
use crate::sample;
use setwright_chance::Chance;
use setwright_model::Catalogue;
use std::sync::Arc;

/// The stream of what is believed before any log.
const STREAM_PRIOR: u64 = 2;

/// What a history tells about a client, starting from a prior. The same arguments give the same answer.
///
/// Exercises that the catalogue does not have are left out; [`Posterior::unknown_exercises`] names them.
pub fn fit(history: &History, catalogue: &Catalogue, prior: &Prior, seed: u64) -> Posterior {
    let Read { ordered, intake, slips, meetings, scales } = read_all(history, catalogue, prior);
    let followed = followed(&intake, prior);
    let mut learner = Learner::new(prior, intake, followed, scales, &meetings);
    for (session, meeting) in ordered.sessions.iter().zip(&meetings) {
        learner.take(meeting);
        learner.seen.session(meeting, &learner.intake);
        learner.seen.unknown(session, catalogue);
    }
    learner.sore(&ordered, &meetings);
    learner.seen.slips = slips.list;
    let mut chance = Chance::new(seed, STREAM_PRIOR);
    let before = sample::prior_draws(prior, &mut chance);
    Posterior::new(learner, Arc::new(before), seed)
}
