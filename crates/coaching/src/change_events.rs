//! What changed, for whoever keeps something that is calculated from the ledger. A use case announces a change by the event that it
//! writes ([`UnitOfWork::write`]) and knows nobody who listens. The belief (`jobs/refit.rs`) and the roster's lines
//! (`jobs/roster_projection.rs`) ask here for what was written after the last event that they know of, and so also hear of what
//! another program wrote into the same ledger.

use crate::ledger::{UnitOfWork, of_store};
use setwright_model::ledger::{ClientId, Event, EventId, What};
use setwright_model::refusal::Refusal;
use setwright_store::{EventFilter, Seq, Store};

/// What changed of a client.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChangeEvent {
    /// The card: the name, the sentence, whether the client trains.
    Card,
    /// The brief.
    Brief,
    /// A programme was published.
    Programme,
    /// Answers before training.
    Screening,
    /// This session: it began or ended, or a set of it was written or corrected.
    Session(EventId),
    /// What was noticed of the body: soreness, mass, days that were not as usual.
    Body,
    /// Pain was reported or answered: other movements are out of the coming sessions.
    Pain,
    /// Something does not stand any more.
    Voided,
    /// A note, or an answer to advice: words, from which nothing is calculated.
    Words,
}

impl ChangeEvent {
    /// The change that an event makes.
    fn of(uow: &mut UnitOfWork, event: &Event) -> Result<Self, Refusal> {
        Ok(match &event.what {
            What::Client(_) => Self::Card,
            What::Brief(_) => Self::Brief,
            What::Programme(_) => Self::Programme,
            What::Screening(_) => Self::Screening,
            What::SessionStarted(_) => Self::Session(event.id),
            What::SessionFinished(finished) => Self::Session(finished.session),
            What::SessionResumed(resumed) => Self::Session(resumed.session),
            What::Set(set) => Self::Session(set.session),
            What::SetCorrected(corrected) => {
                match uow.store.event(corrected.set).map_err(|e| of_store(&e))? {
                    Some(Event { what: What::Set(set), .. }) => Self::Session(set.session),
                    _ => Self::Voided,
                }
            }
            What::Voided(_) => Self::Voided,
            What::Soreness(_) | What::BodyMass(_) | What::Spell(_) => Self::Body,
            What::Pain(_) | What::PainAnswered(_) => Self::Pain,
            What::Note(_) | What::Advice(_) | What::Consent(_) | What::Retention(_) => Self::Words,
        })
    }
}

/// What changed of a client after an event, in the order of arrival; nothing when so many events came that it is cheaper to read all.
///
/// # Errors
/// A ledger that cannot be read.
pub fn since(
    uow: &mut UnitOfWork,
    client: ClientId,
    after: Seq,
    most: usize,
) -> Result<Option<Vec<ChangeEvent>>, Refusal> {
    let filter = EventFilter { client: Some(client) };
    let later = uow.store.events(filter, after, most).map_err(|e| of_store(&e))?;
    if later.len() >= most {
        return Ok(None);
    }
    later.iter().map(|kept| ChangeEvent::of(uow, &kept.event)).collect::<Result<_, _>>().map(Some)
}

/// Clients of whom anything changed after an event, each with the last event.
///
/// # Errors
/// A ledger that cannot be read.
pub fn clients_since(uow: &mut UnitOfWork, after: Seq) -> Result<Vec<(ClientId, Seq)>, Refusal> {
    uow.store.changed(after).map_err(|e| of_store(&e))
}
