//! The one interface of whatever keeps a ledger. All calls are synchronous; an implementation that waits for a
//! network or a disk waits inside.

use crate::digest::Digest;
use crate::error::Result;
use crate::state::{
    AdviceState, BodyMassState, BriefState, ClientState, ConsentState, NoteState, PainState, ProgrammeState,
    ScreeningState, SessionState, SetState, SorenessState, SpellState, State, StateKind,
};
use setwright_model::ledger::{ClientId, Event, EventFault, EventId, Moment, Retention, What};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The place of an event in the order of arrival, from 1.
pub type Seq = i64;

/// What became of an event.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Receipt {
    /// It is in the ledger now, and on the disk.
    Created,
    /// It was there already, to the letter.
    Exists,
    /// Another event has this identifier.
    Conflict,
    /// It may not stand, for this reason.
    Rejected(EventFault),
    /// The client was forgotten, and nothing of them is taken any more.
    Gone,
    /// After it a client would have the name of another one, who is called so.
    NameTaken(String),
}

/// An event that was not taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Its place among the events handed in, from 0.
    pub index: usize,
    /// Which event.
    pub id: EventId,
    /// Why.
    pub answer: Receipt,
}

/// What became of events that were to be written together or not at all.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BatchOutcome {
    /// How many are new.
    pub created: u64,
    /// How many were there already.
    pub exists: u64,
    /// The first of those that were not taken. If there is one, nothing was written.
    pub refused: Vec<Refused>,
}

/// An event with its place in the order of arrival.
#[derive(Clone, Debug, PartialEq)]
pub struct StoredEvent {
    /// Its place.
    pub seq: Seq,
    /// The event.
    pub event: Event,
}

/// Which events are asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct EventFilter {
    /// Only those of this client.
    pub client: Option<ClientId>,
}

/// A client who was forgotten: what was taken out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Erasure {
    /// When it was asked for.
    pub at: Moment,
    /// How many events nobody can read any more.
    pub events: u64,
}

/// What a rebuild did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rebuilt {
    /// Events that were read.
    pub events: u64,
    /// Things that stand.
    pub standing: u64,
    /// Checksum of all that stands.
    pub fingerprint: Digest,
}

/// A backup that was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Backup {
    /// The file.
    pub path: PathBuf,
    /// The file that holds its checksum, in the form that `sha256sum --check` reads.
    pub checksum_path: PathBuf,
    /// Its checksum.
    pub sha256: Digest,
    /// Its size in bytes.
    pub bytes: u64,
    /// Events in it.
    pub events: u64,
    /// Accounts in the file beside it, when there are any.
    pub accounts: Option<u64>,
    /// Events that were acknowledged and that the ledger, and so the copy, lacks.
    pub lost: u64,
}

/// What an examination found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Health {
    /// Version of the schema.
    pub schema: i64,
    /// Events in the log.
    pub events: u64,
    /// Things that stand.
    pub standing: u64,
    /// Checksum of all that stands.
    pub fingerprint: Digest,
    /// How many accounts are beside it; none where nobody comes over a network.
    pub accounts: Option<u64>,
    /// What is wrong, in sentences; empty when all is well.
    pub faults: Vec<String>,
}

impl Health {
    /// Whether all is well.
    pub const fn is_well(&self) -> bool {
        self.faults.is_empty()
    }
}

/// The content of a state of this kind.
macro_rules! pick {
    ($state:expr, $kind:ident) => {
        match $state {
            State::$kind(content) => Some(content),
            _ => None,
        }
    };
}

/// How many events are looked at in one go when looking back.
const PAGE: usize = 256;

/// Puts clients in the order of their names.
pub fn in_order(clients: &mut [ClientState]) {
    clients.sort_by_cached_key(|c| (c.card.name.to_lowercase(), c.client));
}

/// A place where a ledger is kept.
pub trait Store {
    /// Takes events, each on its own: what can be taken is on the disk when this returns, whatever became of the
    /// others. One answer for each, in their order.
    fn append(&mut self, events: &[Event]) -> Result<Vec<Receipt>>;

    /// Takes events together or not at all.
    fn append_all(&mut self, events: &mut dyn Iterator<Item = Event>) -> Result<BatchOutcome>;

    /// Takes events together or not at all. Not at all, too, if a client whom they add or rename, or whose old name they bring back, would
    /// then be called like another one among those whom the writer may see: people are told apart by their names.
    fn append_all_named(&mut self, events: &[Event], seen: &dyn Fn(ClientId) -> bool)
    -> Result<BatchOutcome>;

    /// Takes events together or not at all, unless anything of this client arrived after this place: then nothing is written, and
    /// nothing is answered. Whoever read before and writes now does not write over what came between.
    fn append_all_unless_after(
        &mut self,
        client: ClientId,
        place: Seq,
        events: &mut dyn Iterator<Item = Event>,
    ) -> Result<Option<BatchOutcome>>;

    /// What would become of events that are taken together; nothing is written.
    fn rehearse(&mut self, events: &mut dyn Iterator<Item = Event>) -> Result<BatchOutcome>;

    /// Which of these events are in the log, whether they stand or not.
    fn there(&mut self, ids: &[EventId]) -> Result<BTreeSet<EventId>>;

    /// The event with this identifier.
    fn event(&mut self, id: EventId) -> Result<Option<Event>>;

    /// Events in the order of arrival after this place (0 for the beginning), so many at most.
    fn events(&mut self, filter: EventFilter, after: Seq, most: usize) -> Result<Vec<StoredEvent>>;

    /// Events against the order of arrival before this place (none for the end), so many at most.
    fn events_back(
        &mut self,
        filter: EventFilter,
        before: Option<Seq>,
        most: usize,
    ) -> Result<Vec<StoredEvent>>;

    /// Clients of whom something arrived after this place (0 for the beginning), each with the place of the last.
    fn changed(&mut self, after: Seq) -> Result<Vec<(ClientId, Seq)>>;

    /// The checksum of the chain at this place; the place of the last event when none is named. None where nothing is.
    fn link(&mut self, at: Option<Seq>) -> Result<Option<(Seq, Digest)>>;

    /// What stands of this kind, by time; of one client or of all.
    fn standing(&mut self, kind: StateKind, client: Option<ClientId>) -> Result<Vec<State>>;

    /// What stands of this kind of a client, the latest first, so many at most.
    fn latest(&mut self, kind: StateKind, client: ClientId, most: usize) -> Result<Vec<State>>;

    /// What stands of this kind and goes back to this event of a client; for what there is once for each event.
    fn thing(&mut self, kind: StateKind, client: ClientId, id: EventId) -> Result<Option<State>>;

    /// How many things of this kind stand of a client.
    fn count(&mut self, kind: StateKind, client: ClientId) -> Result<usize>;

    /// Sets of a session as they now stand, by time: without reading all others of the client.
    fn sets_of(&mut self, client: ClientId, session: EventId) -> Result<Vec<SetState>>;

    /// Throws away what stands and reckons it again from the log.
    fn rebuild(&mut self) -> Result<Rebuilt>;

    /// Checksum of all that stands.
    fn fingerprint(&mut self) -> Result<Digest>;

    /// Examines everything, the accounts beside it as well, and changes nothing.
    fn doctor(&mut self) -> Result<Health>;

    /// Forgets a client: what is said of them nobody can read any more, and their events are answered `Gone` from now on. What was
    /// taken out, or nothing where there is no such client.
    fn erase(&mut self, client: ClientId, at: Moment) -> Result<Option<Erasure>>;

    /// Takes out what somebody is called who wrote events; their mark stays, and says nothing without the name. Whether anybody is called so.
    fn forget_name(&mut self, name: &str) -> Result<bool>;

    /// Whether this client was forgotten.
    fn is_gone(&mut self, client: ClientId) -> Result<bool>;

    /// How many clients were forgotten: whoever keeps something of clients in memory sees by it that somebody was, by whichever program.
    fn forgotten(&mut self) -> Result<u64>;

    /// Identifiers for events of a client that follow from their content and from the client's key: the same content gets the same, and
    /// who has not got the key can tell nothing by them. A client who is not in the ledger gets a key that is kept with their first event.
    fn derived(&mut self, client: ClientId, contents: &[Digest]) -> Result<Vec<EventId>>;

    /// Writes a copy of the whole ledger to a path where nothing is, with the accounts and the checksums beside it.
    fn backup(&mut self, to: &Path) -> Result<Backup>;

    /// All clients, by name.
    fn clients(&mut self) -> Result<Vec<ClientState>> {
        let states = self.standing(StateKind::Client, None)?.into_iter();
        let mut clients: Vec<ClientState> = states.filter_map(|s| pick!(s, Client)).collect();
        in_order(&mut clients);
        Ok(clients)
    }

    /// The client with this identifier.
    fn client(&mut self, client: ClientId) -> Result<Option<ClientState>> {
        Ok(self.standing(StateKind::Client, Some(client))?.pop().and_then(|s| pick!(s, Client)))
    }

    /// The brief in force.
    fn brief(&mut self, client: ClientId) -> Result<Option<BriefState>> {
        Ok(self.standing(StateKind::Brief, Some(client))?.pop().and_then(|s| pick!(s, Brief)).map(|b| *b))
    }

    /// The programme in force.
    fn programme(&mut self, client: ClientId) -> Result<Option<ProgrammeState>> {
        let last = self.standing(StateKind::Programme, Some(client))?.pop();
        Ok(last.and_then(|s| pick!(s, Programme)).map(|p| *p))
    }

    /// What a client agreed to and took back, by time.
    fn consents(&mut self, client: ClientId) -> Result<Vec<ConsentState>> {
        let states = self.standing(StateKind::Consent, Some(client))?.into_iter();
        Ok(states.filter_map(|s| pick!(s, Consent)).collect())
    }

    /// How long what is said of a client is kept; none when no rule was set.
    fn retention(&mut self, client: ClientId) -> Result<Option<Retention>> {
        let last = self.standing(StateKind::Retention, Some(client))?.pop();
        Ok(last.and_then(|s| pick!(s, Retention)).map(|state| state.rule))
    }

    /// Sessions by time.
    fn sessions(&mut self, client: ClientId) -> Result<Vec<SessionState>> {
        let states = self.standing(StateKind::Session, Some(client))?.into_iter();
        Ok(states.filter_map(|s| pick!(s, Session)).collect())
    }

    /// A session.
    fn session(&mut self, client: ClientId, session: EventId) -> Result<Option<SessionState>> {
        Ok(self.thing(StateKind::Session, client, session)?.and_then(|s| pick!(s, Session)))
    }

    /// The sessions begun last, the last one first.
    fn sessions_back(&mut self, client: ClientId, most: usize) -> Result<Vec<SessionState>> {
        let states = self.latest(StateKind::Session, client, most)?.into_iter();
        Ok(states.filter_map(|s| pick!(s, Session)).collect())
    }

    /// The set done last.
    fn last_set(&mut self, client: ClientId) -> Result<Option<SetState>> {
        Ok(self.latest(StateKind::Set, client, 1)?.pop().and_then(|s| pick!(s, Set)))
    }

    /// Sets as they now stand, by time.
    fn sets(&mut self, client: ClientId) -> Result<Vec<SetState>> {
        let states = self.standing(StateKind::Set, Some(client))?.into_iter();
        Ok(states.filter_map(|s| pick!(s, Set)).collect())
    }

    /// Soreness by time.
    fn soreness(&mut self, client: ClientId) -> Result<Vec<SorenessState>> {
        let states = self.standing(StateKind::Soreness, Some(client))?.into_iter();
        Ok(states.filter_map(|s| pick!(s, Soreness)).collect())
    }

    /// Body mass by time.
    fn body_mass(&mut self, client: ClientId) -> Result<Vec<BodyMassState>> {
        let states = self.standing(StateKind::BodyMass, Some(client))?.into_iter();
        Ok(states.filter_map(|s| pick!(s, BodyMass)).collect())
    }

    /// Notes by time.
    fn notes(&mut self, client: ClientId) -> Result<Vec<NoteState>> {
        let states = self.standing(StateKind::Note, Some(client))?.into_iter();
        Ok(states.filter_map(|s| pick!(s, Note)).collect())
    }

    /// Days that were not as usual, by time.
    fn spells(&mut self, client: ClientId) -> Result<Vec<SpellState>> {
        let states = self.standing(StateKind::Spell, Some(client))?.into_iter();
        Ok(states.filter_map(|s| pick!(s, Spell)).collect())
    }

    /// Answers before training as they last were.
    fn screening(&mut self, client: ClientId) -> Result<Option<ScreeningState>> {
        let last = self.standing(StateKind::Screening, Some(client))?.pop();
        Ok(last.and_then(|s| pick!(s, Screening)))
    }

    /// Answers to advice by time.
    fn advice(&mut self, client: ClientId) -> Result<Vec<AdviceState>> {
        let states = self.standing(StateKind::Advice, Some(client))?.into_iter();
        Ok(states.filter_map(|s| pick!(s, Advice)).collect())
    }

    /// Reports of pain by time, answered or not.
    fn pains(&mut self, client: ClientId) -> Result<Vec<PainState>> {
        let states = self.standing(StateKind::Pain, Some(client))?.into_iter();
        Ok(states.filter_map(|s| pick!(s, Pain)).collect())
    }

    /// What was last written in one go and still stands, in the order of arrival; empty when there is nothing to
    /// undo.
    fn last_batch(&mut self, filter: EventFilter) -> Result<Vec<Event>> {
        let mut voided = BTreeSet::new();
        let mut batch: Vec<Event> = Vec::new();
        let mut before = None;
        loop {
            let page = self.events_back(filter, before, PAGE)?;
            let Some(last) = page.last() else { break };
            before = Some(last.seq);
            for StoredEvent { event, .. } in page {
                if let What::Voided(v) = &event.what {
                    voided.insert(v.event);
                    continue;
                }
                if voided.contains(&event.id) {
                    continue;
                }
                match batch.first() {
                    None => batch.push(event),
                    Some(first) if first.batch.is_some() && first.batch == event.batch => batch.push(event),
                    Some(_) => {
                        batch.reverse();
                        return Ok(batch);
                    }
                }
            }
        }
        batch.reverse();
        Ok(batch)
    }
}
