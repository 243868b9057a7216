//! What a coach does with the ledger. A [`UnitOfWork`] is an open ledger, with a clock, a maker of identifiers and
//! who is writing.

pub mod ahead;
pub mod care;
pub mod clients;
pub mod consent;
pub mod current;
pub mod everything;
pub mod export;
pub mod forget;
pub mod import;
pub mod log;
pub mod pain;
pub mod session;

use crate::clock::Wall;
use crate::ids::Ids;
use crate::machine::Machine;
use crate::people::May;
use setwright_formats::doc::printable;
use setwright_formats::near::nearest;
use setwright_model::code::Code;
use setwright_model::ledger::{Actor, ClientId, Event, EventId, Moment, What};
use setwright_model::name::folded;
use setwright_model::refusal::Refusal;
use setwright_store::{BatchOutcome, ClientState, FileId, Opening, Seq, SqliteStore, Store};
use std::path::Path;

pub use crate::refusals::{of_store, refused};

/// An open ledger, and in whose name it is read and written.
pub struct UnitOfWork {
    /// The ledger.
    pub store: SqliteStore,
    /// The clock.
    pub wall: Wall,
    /// The maker of identifiers.
    pub ids: Ids,
    /// Who is writing.
    pub actor: Actor,
    /// What whoever asks may see and write.
    pub may: May,
}

impl UnitOfWork {
    /// Opens a ledger.
    pub fn open(path: &Path, opening: Opening, machine: &Machine) -> Result<Self, Refusal> {
        let store = SqliteStore::open(path, opening).map_err(|e| of_store(&e))?;
        Ok(Self::on(store, machine))
    }

    /// Opens a ledger that lies open already: this file and no other.
    pub fn open_same(path: &Path, id: FileId, machine: &Machine) -> Result<Self, Refusal> {
        let store = SqliteStore::open_same(path, id).map_err(|e| of_store(&e))?;
        Ok(Self::on(store, machine))
    }

    /// With a ledger that was opened already.
    pub fn on(store: SqliteStore, machine: &Machine) -> Self {
        let (wall, ids) = (machine.wall.clone(), Ids::with(machine.entropy.clone()));
        Self { store, wall, ids, actor: Actor::COACH, may: May::everything() }
    }

    /// Closes it in good order.
    pub fn close(self) -> Result<(), Refusal> {
        self.store.close().map_err(|e| of_store(&e))
    }

    /// The client of this name: in any case, or the beginning of one name alone, or the last digits of the identifier.
    ///
    /// # Errors
    /// A client that is not there, or not for whoever asks: both answer alike.
    pub fn client(&mut self, wanted: &str) -> Result<ClientState, Refusal> {
        match self.known(wanted)? {
            Some(client) => Ok(client),
            None => Err(match wanted.trim().parse() {
                Ok(id) if self.is_forgotten(id)? => forgotten(),
                _ => nobody(&self.clients()?, wanted),
            }),
        }
    }

    /// Whether this client was forgotten, as far as whoever asks may hear it: one who is or was theirs, or whose identifier nobody can have
    /// guessed. An identifier of before that followed from the name tells it to nobody else.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn is_forgotten(&mut self, client: ClientId) -> Result<bool, Refusal> {
        let may_hear = self.may.see(client) || client.made_ms().is_some();
        Ok(may_hear && self.store.is_gone(client).map_err(|e| of_store(&e))?)
    }

    /// The same; none when it is nobody.
    ///
    /// # Errors
    /// One of several is meant.
    pub fn known(&mut self, wanted: &str) -> Result<Option<ClientState>, Refusal> {
        // A whole identifier is nobody's name. Pages ask by it: there is no need to go through all names.
        if let Ok(id) = wanted.trim().parse() {
            let seen = self.may.see(id);
            return if seen { self.store.client(id).map_err(|e| of_store(&e)) } else { Ok(None) };
        }
        Ok(find(&self.clients()?, wanted)?.cloned())
    }

    /// The clients whom whoever asks may see, by name.
    pub fn clients(&mut self) -> Result<Vec<ClientState>, Refusal> {
        let mut clients = self.store.clients().map_err(|e| of_store(&e))?;
        clients.retain(|c| self.may.see(c.client));
        Ok(clients)
    }

    /// An event that happens now unless `at` says when.
    pub fn event(&self, client: ClientId, at: Option<Moment>, batch: Option<EventId>, what: What) -> Event {
        let now = self.wall.now();
        Event {
            id: self.ids.event(self.wall.device_ms()),
            at: at.unwrap_or(now),
            client,
            actor: self.actor.clone(),
            batch,
            reason: None,
            what,
        }
    }

    /// An identifier for what is written in one go.
    pub fn batch(&self) -> EventId {
        self.ids.event(self.wall.device_ms())
    }

    /// Lets an event through that whoever asks may write, and that can have happened.
    ///
    /// # Errors
    /// A client who is not theirs, work of another role, or a day that is still to come.
    pub fn admit(&mut self, event: &Event) -> Result<(), Refusal> {
        self.may.admit(&mut self.store, event)?;
        let now = self.wall.now();
        if !ahead::is_ahead(event.at, now) {
            return Ok(());
        }
        // One that was taken once is answered as such.
        let there = self.store.there(&[event.id]).map_err(|e| of_store(&e))?;
        if there.is_empty() { Err(ahead::refusal(event.at, now)) } else { Ok(()) }
    }

    /// Writes events, all of them or none.
    ///
    /// # Errors
    /// An event that whoever asks may not write, or that the ledger refuses.
    #[expect(clippy::needless_pass_by_value, reason = "who writes events has no use for them afterwards")]
    pub fn write(&mut self, events: Vec<Event>) -> Result<BatchOutcome, Refusal> {
        for event in &events {
            self.admit(event)?;
        }
        let may = &self.may;
        let outcome = self.store.append_all_named(&events, &|client| may.see(client));
        all_taken(outcome.map_err(|e| of_store(&e))?)
    }

    /// Writes events of a client, all of them or none; nothing, and no answer, when anything of the client arrived after this place.
    ///
    /// # Errors
    /// An event that whoever asks may not write, or that the ledger refuses.
    pub fn write_unless_after(
        &mut self,
        client: ClientId,
        place: Seq,
        events: Vec<Event>,
    ) -> Result<Option<BatchOutcome>, Refusal> {
        for event in &events {
            self.admit(event)?;
        }
        let taken = self.store.append_all_unless_after(client, place, &mut events.into_iter());
        taken.map_err(|e| of_store(&e))?.map(all_taken).transpose()
    }
}

fn all_taken(outcome: BatchOutcome) -> Result<BatchOutcome, Refusal> {
    match outcome.refused.first() {
        None => Ok(outcome),
        Some(first) => Err(refused(first)),
    }
}

/// The one client that is meant by a name or the end of an identifier. Who is called like the end of another's identifier is told apart
/// from them by neither.
fn find<'c>(clients: &'c [ClientState], wanted: &str) -> Result<Option<&'c ClientState>, Refusal> {
    let plain = folded(wanted);
    let of = |fits: &dyn Fn(&ClientState) -> bool| clients.iter().filter(|c| fits(c)).collect::<Vec<_>>();
    let by_id = of(&|c| plain.len() >= SHORT && c.client.to_string().ends_with(&plain));
    let by_name = of(&|c| folded(&c.card.name) == plain);
    let by_start = of(&|c| !plain.is_empty() && folded(&c.card.name).starts_with(&plain));
    let mut found = if by_name.is_empty() { by_start } else { by_name };
    let is_told_by_end = by_id.is_empty() || found.is_empty();
    found.extend(by_id);
    found.sort_by_key(|c| c.client);
    found.dedup_by_key(|c| c.client);
    match found[..] {
        [] => Ok(None),
        [client] => Ok(Some(client)),
        _ => Err(several(&found, wanted, is_told_by_end)),
    }
}

/// So many digits of an identifier tell one from all others.
const SHORT: usize = 8;

fn several(found: &[&ClientState], wanted: &str, is_told_by_end: bool) -> Refusal {
    let id = |c: &ClientState| if is_told_by_end { c.client.short() } else { c.client.to_string() };
    let names: Vec<String> =
        found.iter().map(|c| format!("{} ({})", printable(&c.card.name), id(c))).collect();
    let hint = if is_told_by_end {
        "Write the whole name, or the eight digits beside it."
    } else {
        "Write the whole identifier beside the name."
    };
    let what = format!("\"{}\" may be {}.", printable(wanted), names.join(", or "));
    Refusal::new(Code::NoSuchClient, what, hint)
}

fn forgotten() -> Refusal {
    let what = "This client was forgotten.";
    Refusal::new(
        Code::ClientForgotten,
        what,
        "Nothing is kept of them, and what is kept of them elsewhere is to be cleared.",
    )
}

fn nobody(clients: &[ClientState], wanted: &str) -> Refusal {
    let near = nearest(wanted, clients.iter().map(|c| c.card.name.as_str()));
    let hint = match near {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None if clients.is_empty() => "The ledger is empty. Begin with setwright client add NAME.".to_owned(),
        None => "setwright client list shows all; setwright client add NAME adds one.".to_owned(),
    };
    let what = format!("There is no client \"{}\" in the ledger.", printable(wanted));
    Refusal::new(Code::NoSuchClient, what, hint)
}

/// The one of a kind whose identifier ends in what was written, if that is long enough to tell it apart.
fn one_ending<T>(all: Vec<T>, id: impl Fn(&T) -> EventId, wanted: &str) -> Option<T> {
    let plain = wanted.trim().to_lowercase();
    let mut found = all.into_iter().filter(|t| plain.len() >= 6 && id(t).to_string().ends_with(&plain));
    found.next().filter(|_| found.next().is_none())
}
