//! What a device wrote, as it arrives: perhaps late, perhaps twice, perhaps broken. Each event is answered by name.

use crate::ledger::{UnitOfWork, of_store};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;
use setwright_model::code::Kind;
use setwright_model::ledger::{Event, Moment, What};
use setwright_model::refusal::Refusal;
use setwright_store::{Receipt, Store};

/// Most events in one go (judgement: a long session has under a hundred).
pub const EVENTS_MAX: usize = 500;

/// What became of everything that arrived.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Arrivals {
    /// What the clock here says, so that a device can tell by how much its own is wrong.
    pub now: Moment,
    /// One for each event, in their order.
    pub answers: Vec<Arrival>,
}

/// What became of one event.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Arrival {
    /// Its identifier, as far as it could be read.
    pub id: Option<String>,
    /// `created`, `exists`, `conflict`, `gone` or `rejected`. The first two mean that it is on the disk; `gone`, that its client was forgotten
    /// and that whatever a device keeps of them is to be cleared.
    pub answer: &'static str,
    /// Why it was not taken.
    pub why: Option<String>,
}

/// Takes what arrived, each event on its own: what is answered with `created` is on the disk.
///
/// # Errors
/// A ledger that cannot be written; then a device keeps what it has and sends it again.
pub fn take(uow: &mut UnitOfWork, sent: Vec<Value>) -> Result<Arrivals, Refusal> {
    let read: Result<Vec<Result<Event, Arrival>>, Refusal> = sent
        .into_iter()
        .map(|value| read(uow, value).map_or_else(|a| Ok(Err(a)), |e| admitted(uow, e)))
        .collect();
    let read = read?;
    let events: Vec<Event> = read.iter().filter_map(|r| r.as_ref().ok().cloned()).collect();
    let mut answers = uow.store.append(&events).map_err(|e| of_store(&e))?.into_iter();
    let answered = read.into_iter().map(|r| match r {
        Err(arrival) => arrival,
        Ok(event) => of(&event, answers.next()),
    });
    Ok(Arrivals { now: uow.wall.now(), answers: answered.collect() })
}

fn read(uow: &UnitOfWork, value: Value) -> Result<Event, Arrival> {
    let id = value.get("id").and_then(Value::as_str).map(|id| id.chars().take(64).collect());
    match serde_json::from_value::<Event>(value) {
        Ok(event) if !is_of_the_floor(&event.what) => {
            let why = "A device writes what was done; cards, briefs, programmes and advice have pages of their own.";
            Err(Arrival { id, answer: "rejected", why: Some(why.to_owned()) })
        }
        // Who writes is known here and not for a device to say.
        Ok(event) => Ok(Event { actor: uow.actor.clone(), ..event }),
        Err(error) => {
            Err(Arrival { id, answer: "rejected", why: Some(format!("It cannot be read: {error}.")) })
        }
    }
}

/// The event, when whoever asks may write it.
///
/// # Errors
/// A ledger that cannot be read: that says nothing of the event, which a device would put aside for good if it were named.
fn admitted(uow: &mut UnitOfWork, event: Event) -> Result<Result<Event, Arrival>, Refusal> {
    if uow.is_forgotten(event.client)? {
        return Ok(Err(of(&event, Some(Receipt::Gone))));
    }
    if takes_back_more(uow, &event)? {
        let why = "A device takes back only what a device writes; anything else is undone on its page.";
        let why = Some(why.to_owned());
        return Ok(Err(Arrival { id: Some(event.id.to_string()), answer: "rejected", why }));
    }
    match uow.admit(&event) {
        Ok(()) => Ok(Ok(event)),
        Err(problem) if problem.code.kind() >= Kind::Busy => Err(problem),
        Err(problem) => {
            let why = Some(format!("{} {}", problem.what, problem.hint));
            Ok(Err(Arrival { id: Some(event.id.to_string()), answer: "rejected", why }))
        }
    }
}

/// Whether it takes back a card, a programme or the like of this client, which brings back what was before.
fn takes_back_more(uow: &mut UnitOfWork, event: &Event) -> Result<bool, Refusal> {
    let What::Voided(voided) = &event.what else { return Ok(false) };
    let target = uow.store.event(voided.event).map_err(|e| of_store(&e))?;
    Ok(target.is_some_and(|t| t.client == event.client && !is_of_the_floor(&t.what)))
}

/// Whether a device may write it: a programme, for one, leaves only after the check.
const fn is_of_the_floor(what: &What) -> bool {
    matches!(
        what,
        What::SessionStarted(_)
            | What::SessionFinished(_)
            | What::SessionResumed(_)
            | What::Set(_)
            | What::SetCorrected(_)
            | What::Voided(_)
            | What::Soreness(_)
            | What::BodyMass(_)
            | What::Note(_)
            | What::Spell(_)
            | What::Pain(_)
    )
}

/// What a device is told that still keeps something of a client who was forgotten.
const GONE: &str = "This client was forgotten; what is kept of them here is to be cleared.";

fn of(event: &Event, answer: Option<Receipt>) -> Arrival {
    let (answer, why) = match answer {
        Some(Receipt::Created) => ("created", None),
        Some(Receipt::Exists) => ("exists", None),
        Some(Receipt::Conflict) => ("conflict", Some("Another event has this identifier.".to_owned())),
        Some(Receipt::Gone) => ("gone", Some(GONE.to_owned())),
        // Nothing of a device's names anybody.
        Some(Receipt::NameTaken(_)) => ("rejected", Some("Somebody else is called so.".to_owned())),
        Some(Receipt::Rejected(fault)) => ("rejected", Some(format!("{}: {}", fault.field, fault.what))),
        None => ("rejected", Some("It was not answered.".to_owned())),
    };
    Arrival { id: Some(event.id.to_string()), answer, why }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::clients;
    use crate::machine::Machine;
    use crate::people::May;
    use setwright_model::ledger::{Note, Voided};
    use setwright_store::Opening;
    use std::fs::File;

    #[test]
    fn what_cannot_be_looked_up_is_not_refused_to_the_device() {
        let folder = tempfile::tempdir().unwrap();
        let ledger = folder.path().join("ledger.sqlite3");
        let machine = Machine::stopped("2026-11-27T09:00:00+01:00".parse().unwrap(), 1);
        let mut uow = UnitOfWork::open(&ledger, Opening::Create, &machine).unwrap();
        let mara = clients::add(&mut uow, "Mara", "", None).unwrap().id;
        let note =
            uow.event(mara, None, None, What::Note(Note { about: None, text: "slept badly".to_owned() }));
        uow.write(vec![note.clone()]).unwrap();
        uow.close().unwrap();
        let mut uow = UnitOfWork::open(&ledger, Opening::Existing, &machine).unwrap();
        uow.may = May::client(mara);
        // All but the first page of the file is gone, as when a disk fails.
        File::options().write(true).open(&ledger).unwrap().set_len(4_096).unwrap();
        let undone = uow.event(mara, None, None, What::Voided(Voided { event: note.id }));
        let refusal = take(&mut uow, vec![serde_json::to_value(undone).unwrap()]).unwrap_err();
        assert!(refusal.code.kind() >= Kind::Busy, "{refusal:?}");
    }
}
