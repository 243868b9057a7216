//! Pain, as it is reported and answered. What follows from it for the coming sessions is for [`crate::insight`].

use super::{UnitOfWork, of_store, one_ending};
use setwright_formats::doc::printable;
use setwright_model::code::Code;
use setwright_model::ledger::{ClientId, EventId, PainAnswered, PainReply, PainReported, What};
use setwright_model::refusal::Refusal;
use setwright_store::{PainState, Store};

/// Writes down that something hurts; which report that is.
///
/// # Errors
/// An unknown client, or a ledger that cannot be written.
pub fn report(uow: &mut UnitOfWork, wanted: &str, report: PainReported) -> Result<EventId, Refusal> {
    let client = uow.client(wanted)?;
    let event = uow.event(client.client, None, None, What::Pain(report));
    let id = event.id;
    uow.write(vec![event])?;
    Ok(id)
}

/// Answers a report of pain, in the name of whoever asks.
///
/// # Errors
/// No such report, somebody who is no coach, or a ledger that cannot be written.
pub fn answer(
    uow: &mut UnitOfWork,
    wanted: &str,
    report: &str,
    reply: PainReply,
    reason: Option<String>,
) -> Result<PainState, Refusal> {
    uow.may.coach_only()?;
    let client = uow.client(wanted)?;
    let state = find(uow, client.client, report)?;
    let mut event =
        uow.event(client.client, None, None, What::PainAnswered(PainAnswered { report: state.id, reply }));
    event.reason = reason;
    uow.write(vec![event])?;
    find(uow, client.client, &state.id.to_string())
}

/// A report of a client, by the whole of its identifier or the last digits.
fn find(uow: &mut UnitOfWork, client: ClientId, wanted: &str) -> Result<PainState, Refusal> {
    let reports = uow.store.pains(client).map_err(|e| of_store(&e))?;
    one_ending(reports, |r| r.id, wanted).ok_or_else(|| {
        Refusal::new(
            Code::NoSuchEvent,
            format!("No one report of pain of this client ends in \"{}\".", printable(wanted)),
            "setwright pain NAME lists reports with the digits that tell them apart.",
        )
    })
}
