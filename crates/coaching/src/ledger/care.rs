//! Care of the ledger: undo, examination, rebuild, backup, restore.

use super::{UnitOfWork, of_store};
use serde::Serialize;
use setwright_formats::doc::printable;
use setwright_model::code::Code;
use setwright_model::ledger::{ClientId, Event, EventId, Voided, What};
use setwright_model::refusal::Refusal;
use setwright_store::{Backup, EventFilter, Health, Store};
use std::path::Path;

/// What was undone.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Undone {
    /// Events that stand no more, in the order they were written.
    pub events: Vec<UndoneEvent>,
    /// The void events, which undo the undoing if they are exported and left out.
    pub batch: EventId,
}

/// An event that stands no more.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UndoneEvent {
    /// Which event.
    pub id: EventId,
    /// Its kind.
    pub kind: &'static str,
    /// What it said, in words.
    pub said: String,
}

/// Undoes what was last written in one go, of one client or of all, or one event alone.
pub fn undo(
    uow: &mut UnitOfWork,
    client: Option<&str>,
    event: Option<&str>,
    reason: Option<&str>,
) -> Result<Undone, Refusal> {
    let client = client.map(|name| uow.client(name)).transpose()?.map(|c| c.client);
    let events = match event {
        Some(id) => vec![find_event(uow, id, client)?],
        None => uow.store.last_batch(EventFilter { client }).map_err(|e| of_store(&e))?,
    };
    if events.is_empty() {
        return Err(Refusal::new(
            Code::NothingToUndo,
            "There is nothing to undo.",
            "Everything that was written has been undone.",
        ));
    }
    let batch = uow.batch();
    let void = |event: &Event| {
        let what = What::Voided(Voided { event: event.id });
        let mut void = uow.event(event.client, None, Some(batch), what);
        void.reason = reason.map(str::to_owned);
        void
    };
    let voids: Vec<Event> = events.iter().rev().map(void).collect();
    uow.write(voids)?;
    let view = |e: &Event| UndoneEvent { id: e.id, kind: e.what.kind(), said: said(&e.what) };
    Ok(Undone { events: events.iter().map(view).collect(), batch })
}

fn find_event(uow: &mut UnitOfWork, wanted: &str, client: Option<ClientId>) -> Result<Event, Refusal> {
    let missing = || {
        Refusal::new(
            Code::NoSuchEvent,
            format!("There is no event \"{}\".", printable(wanted)),
            "An event is named by its whole identifier; setwright export --format jsonl shows all.",
        )
    };
    let id = wanted.trim().parse().map_err(|_| missing())?;
    let event = uow.store.event(id).map_err(|e| of_store(&e))?;
    let is_theirs = |event: &Event| uow.may.see(event.client) && client.is_none_or(|c| c == event.client);
    event.filter(is_theirs).ok_or_else(missing)
}

/// An event in a few words.
fn said(what: &What) -> String {
    match what {
        What::Client(card) => format!("client {}", card.name),
        What::Brief(set) => format!("brief of {}", set.brief.name),
        What::Programme(p) => format!("programme of {} sessions", p.programme.sessions.len()),
        What::SessionStarted(_) => "session".to_owned(),
        What::SessionFinished(_) => "end of a session".to_owned(),
        What::SessionResumed(_) => "a session taken up again".to_owned(),
        What::Set(set) => super::log::set_in_words(&set.done),
        What::SetCorrected(corrected) => format!("correction: {}", super::log::set_in_words(&corrected.done)),
        What::Voided(_) => "undoing".to_owned(),
        What::Soreness(sore) => format!("{} sore {} of 10", sore.muscle, sore.level),
        What::BodyMass(body) => format!("weighs {} {}", body.mass.value, body.mass.unit.symbol()),
        What::Note(note) => format!("note: {}", note.text),
        What::Spell(spell) => super::log::spell_in_words(*spell),
        What::Screening(_) => "answers before training".to_owned(),
        What::Pain(report) => format!("pain: {}", report.place.name()),
        What::PainAnswered(_) => "answer to a report of pain".to_owned(),
        What::Consent(said) if said.given => format!("agreed to {}", said.purpose.id()),
        What::Consent(said) => format!("took back {}", said.purpose.id()),
        What::Retention(_) => "rule of how long all is kept".to_owned(),
        What::Advice(answered) => format!("answer to advice: {}", answered.advice),
    }
}

/// What an examination found, as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HealthView {
    /// The file.
    pub ledger: String,
    /// Version of the schema.
    pub schema: i64,
    /// Events in the log.
    pub events: u64,
    /// Things that stand.
    pub standing: u64,
    /// Checksum of all that stands.
    pub fingerprint: String,
    /// How many accounts are beside it; none where nobody comes over a network.
    pub accounts: Option<u64>,
    /// What is wrong; empty when all is well.
    pub faults: Vec<String>,
}

impl HealthView {
    /// An examination of this file.
    pub fn of(ledger: String, health: &Health) -> Self {
        Self {
            ledger,
            schema: health.schema,
            events: health.events,
            standing: health.standing,
            fingerprint: health.fingerprint.to_string(),
            accounts: health.accounts,
            faults: health.faults.clone(),
        }
    }
}

/// Copies the ledger to a path where nothing is, and remembers that. On a folder that must not be written it is not remembered.
///
/// # Errors
/// A ledger that cannot be read, or a place that cannot be written.
pub fn backup(uow: &mut UnitOfWork, to: &Path) -> Result<Backup, Refusal> {
    let made = uow.store.backup(to).map_err(|e| of_store(&e))?;
    let now = uow.wall.now();
    // The copy is whole; only who is forgotten later is not told of it.
    let _ = uow.store.remember_copy(&made, now);
    Ok(made)
}

/// Examines the ledger.
pub fn doctor(uow: &mut UnitOfWork) -> Result<HealthView, Refusal> {
    let health = uow.store.doctor().map_err(|e| of_store(&e))?;
    Ok(HealthView::of(uow.store.path().display().to_string(), &health))
}
