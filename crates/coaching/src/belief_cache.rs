//! Beliefs that were reckoned already: a fit takes a tenth of a second, a look at this shelf none. A belief counts as long as
//! nothing was written of the client since. While a session goes on, what was believed before it counts as long as nothing
//! but the session was written; what is believed after it is then one step of the estimator more, until the whole log is
//! read anew behind the pages.

use crate::insight::{self, Known};
use crate::ledger::{Desk, of_store};
use crate::locks::held;
use setwright_model::ledger::{ClientId, Event, EventId, Moment, What};
use setwright_model::refusal::Refusal;
use setwright_science::catalogue::builtin;
use setwright_store::{ClientState, Filter, Seq, Store};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

/// Beliefs that are kept (judgement: one after two years of logs takes about five megabytes).
const KEPT: usize = 1_024;
/// Hours by which a belief may look at an earlier now (numeric: half a minute, and a belief is large to copy).
const NOW_H: f64 = 1.0 / 120.0;
/// Events of a session that is going on: with more, it is reckoned anew (judgement: a long one has under a hundred).
const OF_SESSION: usize = 500;

/// The shelf.
#[derive(Default)]
pub struct Beliefs {
    shelf: Mutex<Shelf>,
}

#[derive(Default)]
struct Shelf {
    uses: u64,
    all: BTreeMap<ClientId, Kept>,
    before: BTreeMap<ClientId, (EventId, Kept)>,
}

#[derive(Clone)]
struct Kept {
    seq: Seq,
    used: u64,
    known: Arc<Known>,
    /// Whether the whole log was read for it, and not a session alone.
    whole: bool,
}

impl Kept {
    /// What is kept, as of now.
    fn at(&mut self, now: Moment, used: u64) -> Arc<Known> {
        self.used = used;
        if now.hours_since(self.known.now).get().abs() >= NOW_H {
            self.known = Arc::new(Known { now, ..(*self.known).clone() });
        }
        Arc::clone(&self.known)
    }
}

/// Makes room for one more, by what was not used for longest.
fn room<T>(all: &mut BTreeMap<ClientId, T>, used: impl Fn(&T) -> u64) {
    if all.len() >= KEPT {
        let oldest = all.iter().min_by_key(|(_, one)| used(one)).map(|(id, _)| *id);
        oldest.and_then(|id| all.remove(&id));
    }
}

impl Beliefs {
    fn get(&self, client: ClientId, seq: Seq, now: Moment, whole: bool) -> Option<Arc<Known>> {
        let mut shelf = held(&self.shelf);
        shelf.uses += 1;
        let uses = shelf.uses;
        let kept = shelf.all.get_mut(&client).filter(|k| k.seq == seq && (k.whole || !whole));
        kept.map(|k| k.at(now, uses))
    }

    /// Keeps a belief; one that nobody looks at takes nobody's place.
    fn put(&self, client: ClientId, mut kept: Kept, looked_at: bool) {
        let mut shelf = held(&self.shelf);
        kept.used = if looked_at { shelf.uses } else { 0 };
        if !shelf.all.contains_key(&client) {
            if shelf.all.len() >= KEPT && !looked_at {
                return;
            }
            room(&mut shelf.all, |k| k.used);
        }
        shelf.all.insert(client, kept);
    }

    /// What was believed last, however old.
    fn last(&self, client: ClientId) -> Option<Kept> {
        held(&self.shelf).all.get(&client).cloned()
    }

    /// What may be what was believed before a session, with the last event that it knows of.
    fn before(&self, client: ClientId, session: EventId) -> Option<Kept> {
        let shelf = held(&self.shelf);
        let own = shelf.before.get(&client).filter(|(of, _)| *of == session).map(|(_, kept)| kept);
        let whole = shelf.all.get(&client).filter(|k| k.known.sessions.iter().all(|s| s.id != session));
        own.or(whole).cloned()
    }

    fn put_before(&self, client: ClientId, session: EventId, mut kept: Kept) {
        let mut shelf = held(&self.shelf);
        kept.used = shelf.uses;
        if !shelf.before.contains_key(&client) {
            room(&mut shelf.before, |(_, k)| k.used);
        }
        shelf.before.insert(client, (session, kept));
    }
}

/// What was written of a client, as far as a belief is concerned.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Written {
    Nothing,
    /// Of this session alone.
    Of(EventId),
    More,
}

/// Whether nothing but a session was written.
fn is_of(written: Written, session: EventId) -> bool {
    written == Written::Nothing || written == Written::Of(session)
}

/// What was written of a client after an event.
fn written(desk: &mut Desk, client: ClientId, after: Seq) -> Result<Written, Refusal> {
    let broken = |e| of_store(&e);
    let later = desk.store.events(Filter { client: Some(client) }, after, OF_SESSION).map_err(broken)?;
    if later.len() >= OF_SESSION {
        return Ok(Written::More);
    }
    let mut only = Written::Nothing;
    for kept in &later {
        let session = match &kept.event.what {
            What::SessionStarted(_) => Some(kept.event.id),
            What::SessionFinished(finished) => Some(finished.session),
            What::Set(set) => Some(set.session),
            What::SetCorrected(corrected) => match desk.store.event(corrected.set).map_err(broken)? {
                Some(Event { what: What::Set(set), .. }) => Some(set.session),
                _ => None,
            },
            // What was answered is read anew.
            What::Note(_) | What::Advice(_) => continue,
            _ => None,
        };
        let now = session.map_or(Written::More, Written::Of);
        if now == Written::More || (only != Written::Nothing && only != now) {
            return Ok(Written::More);
        }
        only = now;
    }
    Ok(only)
}

impl Beliefs {
    /// Everything believed of a client as of the last event, reckoned anew only when something was written since.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn known(&self, desk: &mut Desk, client: ClientState, last: Seq) -> Result<Arc<Known>, Refusal> {
        self.kept_or_reckoned(desk, client, last, true)
    }

    /// The same behind the pages: it drives out nobody who is being looked at.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn known_behind(
        &self,
        desk: &mut Desk,
        client: ClientState,
        last: Seq,
    ) -> Result<Arc<Known>, Refusal> {
        self.kept_or_reckoned(desk, client, last, false)
    }

    fn kept_or_reckoned(
        &self,
        desk: &mut Desk,
        client: ClientState,
        last: Seq,
        looked_at: bool,
    ) -> Result<Arc<Known>, Refusal> {
        let id = client.client;
        if let Some(known) = self.get(id, last, desk.wall.now(), !looked_at) {
            return Ok(known);
        }
        let stepped = if looked_at { self.stepped(desk, &client, last)? } else { None };
        let (known, whole) = match stepped {
            Some(stepped) => stepped,
            None => (insight::known_of(desk, client, builtin())?, true),
        };
        let known = Arc::new(known);
        self.put(id, Kept { seq: last, used: 0, known: Arc::clone(&known), whole }, looked_at);
        Ok(known)
    }

    /// What is believed after the session that alone was written of since the last belief, and whether the whole log was read
    /// for it.
    fn stepped(
        &self,
        desk: &mut Desk,
        client: &ClientState,
        seq: Seq,
    ) -> Result<Option<(Known, bool)>, Refusal> {
        let Some(last) = self.last(client.client) else { return Ok(None) };
        match written(desk, client.client, last.seq)? {
            Written::Nothing => {
                let known = insight::answered_since(desk, (*last.known).clone())?;
                Ok(Some((known, last.whole)))
            }
            Written::Of(session) => {
                let before = self.known_before(desk, client.clone(), session, seq)?;
                let known = insight::known_after(desk, &before, session, builtin())?;
                Ok(known.map(|known| (known, false)))
            }
            Written::More => Ok(None),
        }
    }

    /// Everything that was believed of a client before a session that is going on.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn known_before(
        &self,
        desk: &mut Desk,
        client: ClientState,
        session: EventId,
        last: Seq,
    ) -> Result<Arc<Known>, Refusal> {
        let id = client.client;
        let kept = self.before(id, session);
        let mut kept = match kept {
            Some(kept) if kept.seq == last || is_of(written(desk, id, kept.seq)?, session) => kept,
            _ => {
                let known = insight::known_before(desk, client, session, builtin())?;
                Kept { seq: last, used: 0, known: Arc::new(known), whole: true }
            }
        };
        let known = kept.at(desk.wall.now(), 0);
        self.put_before(id, session, Kept { seq: last, ..kept });
        Ok(known)
    }
}
