//! Clients: who they are, their brief, and what the ledger holds of them.

use super::{UnitOfWork, current, of_store};
use crate::refusals::name_taken;
use schemars::JsonSchema;
use serde::Serialize;
use setwright_model::Brief;
use setwright_model::code::Code;
use setwright_model::ledger::{ClientCard, ClientId, EventId, Moment, What};
use setwright_model::name::folded;
use setwright_model::refusal::Refusal;
use setwright_store::{ClientState, SetState, StateKind, Store};

/// A client in a list.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ClientView {
    /// Which client.
    pub id: ClientId,
    /// What the client is called.
    pub name: String,
    /// A sentence for people.
    pub about: String,
    /// Whether the client trains no more.
    pub away: bool,
    /// When the client was added.
    pub added: Moment,
    /// How many sessions are in the ledger.
    pub sessions: usize,
    /// How many sets.
    pub sets: usize,
    /// When the last set was done.
    pub last: Option<Moment>,
    /// Whether there is a brief.
    pub has_brief: bool,
    /// Whether a programme was published.
    pub has_programme: bool,
}

/// A client alone.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ClientSheet {
    /// As in the list.
    pub client: ClientView,
    /// The brief in force, in a sentence.
    pub brief: Option<String>,
    /// The programme in force, in a sentence.
    pub programme: Option<String>,
    /// The last sessions, the newest first.
    pub sessions: Vec<LoggedSessionView>,
    /// Body mass as last written.
    pub mass: Option<String>,
    /// The last notes, the newest first.
    pub notes: Vec<String>,
}

/// A session as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "LoggedSession")]
pub struct LoggedSessionView {
    /// Which session.
    pub id: EventId,
    /// When it began.
    pub at: Moment,
    /// Its sets in order.
    pub sets: Vec<SetView>,
}

/// A set as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "LoggedSet")]
pub struct SetView {
    /// Which set.
    pub id: EventId,
    /// When it was done.
    pub at: Moment,
    /// What was done.
    #[serde(flatten)]
    pub done: setwright_model::ledger::SetDone,
    /// Whether it was corrected.
    pub corrected: bool,
}

impl SetView {
    /// A set that stands.
    pub fn of(set: &SetState) -> Self {
        Self { id: set.id, at: set.at, done: set.done.clone(), corrected: set.corrected.is_some() }
    }
}

/// How many sessions and notes of a client are shown.
const SHOWN: usize = 5;

/// Adds a client.
pub fn add(
    uow: &mut UnitOfWork,
    name: &str,
    about: &str,
    brief: Option<Brief>,
) -> Result<ClientView, Refusal> {
    // The ledger asks again as it writes; but whoever adds must not be given a client who is then refused.
    if let Some(there) = uow.clients()?.iter().find(|c| folded(&c.card.name) == folded(name)) {
        return Err(name_taken(&there.card.name));
    }
    let id = uow.ids.client(uow.wall.device_ms());
    let batch = Some(uow.batch());
    let card = ClientCard { name: name.trim().to_owned(), about: about.to_owned(), away: false };
    let mut events = vec![uow.event(id, None, batch, What::Client(card))];
    if let Some(brief) = brief {
        events.extend(current::keeping(uow, id, &brief, batch)?);
    }
    uow.write(events)?;
    view_of(uow, id)
}

/// What is to change of a client.
#[derive(Clone, Debug, Default)]
pub struct ClientChange {
    /// Another name.
    pub name: Option<String>,
    /// Another sentence.
    pub about: Option<String>,
    /// Whether the client trains no more.
    pub away: Option<bool>,
    /// Another brief.
    pub brief: Option<Brief>,
    /// Why.
    pub reason: Option<String>,
}

/// Changes a client's card or brief.
pub fn change(uow: &mut UnitOfWork, wanted: &str, change: ClientChange) -> Result<ClientView, Refusal> {
    let client = uow.client(wanted)?;
    let old = client.card.clone();
    let card = ClientCard {
        name: change.name.map_or_else(|| old.name.clone(), |n| n.trim().to_owned()),
        about: change.about.unwrap_or_else(|| old.about.clone()),
        away: change.away.unwrap_or(old.away),
    };
    let batch = Some(uow.batch());
    let mut events = Vec::new();
    if card != old {
        events.push(uow.event(client.client, None, batch, What::Client(card)));
    }
    if let Some(brief) = change.brief {
        events.extend(current::keeping(uow, client.client, &brief, batch)?);
    }
    for event in &mut events {
        event.reason.clone_from(&change.reason);
    }
    if events.is_empty() {
        return Err(Refusal::new(
            Code::Usage,
            "Nothing would change.",
            "Say what: --name, --about, --away, --back or --brief FILE.",
        ));
    }
    uow.write(events)?;
    view_of(uow, client.client)
}

/// All clients, by name.
pub fn list(uow: &mut UnitOfWork) -> Result<Vec<ClientView>, Refusal> {
    let clients = uow.clients()?;
    let one = |client: &ClientState| {
        let counted = counted(uow, client.client)?;
        view(uow, client, counted)
    };
    clients.iter().map(one).collect()
}

fn view_of(uow: &mut UnitOfWork, id: ClientId) -> Result<ClientView, Refusal> {
    let client = uow.client(&id.to_string())?;
    let counted = counted(uow, id)?;
    view(uow, &client, counted)
}

/// How many sessions and sets there are of a client.
#[derive(Clone, Copy, Debug)]
pub struct ClientCounts {
    /// Sessions.
    pub sessions: usize,
    /// Sets, those of warm-ups included.
    pub sets: usize,
}

fn counted(uow: &mut UnitOfWork, id: ClientId) -> Result<ClientCounts, Refusal> {
    let mut count = |kind| uow.store.count(kind, id).map_err(|e| of_store(&e));
    Ok(ClientCounts { sessions: count(StateKind::Session)?, sets: count(StateKind::Set)? })
}

fn view(uow: &mut UnitOfWork, client: &ClientState, counted: ClientCounts) -> Result<ClientView, Refusal> {
    let broken = |e| of_store(&e);
    let id = client.client;
    let last = uow.store.last_set(id).map_err(broken)?;
    Ok(ClientView {
        id,
        name: client.card.name.clone(),
        about: client.card.about.clone(),
        away: client.card.away,
        added: client.added,
        sessions: counted.sessions,
        sets: counted.sets,
        last: last.map(|s| s.at),
        has_brief: uow.store.brief(id).map_err(broken)?.is_some(),
        has_programme: uow.store.programme(id).map_err(broken)?.is_some(),
    })
}

/// All about a client.
pub fn show(uow: &mut UnitOfWork, wanted: &str) -> Result<ClientSheet, Refusal> {
    let client = uow.client(wanted)?;
    let counted = counted(uow, client.client)?;
    sheet(uow, &client, counted)
}

/// The same of a client whose sessions and sets are counted already.
///
/// # Errors
/// A ledger that cannot be read.
pub fn sheet(
    uow: &mut UnitOfWork,
    client: &ClientState,
    counted: ClientCounts,
) -> Result<ClientSheet, Refusal> {
    let id = client.client;
    let broken = |e| of_store(&e);
    let mut newest = Vec::new();
    for session in uow.store.sessions_back(id, SHOWN).map_err(broken)? {
        let sets = uow.store.sets_of(id, session.id).map_err(broken)?;
        let sets = sets.iter().map(SetView::of).collect();
        newest.push(LoggedSessionView { id: session.id, at: session.at, sets });
    }
    let brief = uow.store.brief(id).map_err(broken)?;
    let programme = uow.store.programme(id).map_err(broken)?;
    let mass = uow.store.body_mass(id).map_err(broken)?.pop();
    Ok(ClientSheet {
        client: view(uow, client, counted)?,
        brief: brief.map(|b| {
            let time = &b.brief.time;
            format!("{} sessions in {} days, since {}", time.sessions, time.cycle_days, b.at.date())
        }),
        programme: programme.map(|p| {
            let sessions = p.programme.sessions.len();
            format!("{sessions} sessions in {} days, since {}", p.programme.cycle_days, p.at.date())
        }),
        sessions: newest,
        mass: mass.map(|m| format!("{} {} on {}", m.mass.value, m.mass.unit.symbol(), m.at.date())),
        notes: {
            let notes = uow.store.notes(id).map_err(broken)?;
            notes.iter().rev().take(SHOWN).map(|n| format!("{}: {}", n.at.date(), n.text)).collect()
        },
    })
}

#[cfg(test)]
mod tests;
