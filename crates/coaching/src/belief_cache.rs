//! Beliefs that were calculated already: a fit takes a tenth of a second, a look here none. Each is kept with the last event that
//! it knows of, and it counts as long as nothing was written of the client since; `jobs/refit.rs` says what comes in its place.

use crate::insight::Known;
use crate::locks::held;
use setwright_model::ledger::{ClientId, EventId, Moment};
use setwright_store::Seq;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex};

/// Beliefs that are kept (judgement: one after two years of logs takes about five megabytes).
const KEPT: usize = 1_024;
/// Hours by which a belief may look at an earlier now (numeric: half a minute, and a belief is large to copy).
const NOW_H: f64 = 1.0 / 120.0;

/// Beliefs by client.
#[derive(Default)]
pub struct BeliefCache {
    entries: Mutex<Entries>,
}

#[derive(Default)]
struct Entries {
    uses: u64,
    all: BTreeMap<ClientId, CachedBelief>,
    before: BTreeMap<ClientId, (EventId, CachedBelief)>,
}

/// A belief.
#[derive(Clone)]
pub struct CachedBelief {
    /// The last event that it knows of.
    pub seq: Seq,
    used: u64,
    /// What is believed.
    pub known: Arc<Known>,
    /// Whether the whole log was read for it, and not a session alone.
    pub whole: bool,
}

impl CachedBelief {
    /// A belief as of an event.
    pub fn of(known: Arc<Known>, seq: Seq, whole: bool) -> Self {
        Self { seq, used: 0, known, whole }
    }

    /// What is kept, as of now.
    pub fn now(&mut self, now: Moment) -> Arc<Known> {
        self.at(now, 0)
    }

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

impl BeliefCache {
    /// What is believed as of this event, if it is here; `whole` when the whole log has to be read for it.
    pub fn get(&self, client: ClientId, seq: Seq, now: Moment, whole: bool) -> Option<Arc<Known>> {
        let mut entries = held(&self.entries);
        entries.uses += 1;
        let uses = entries.uses;
        let kept = entries.all.get_mut(&client).filter(|k| k.seq == seq && (k.whole || !whole));
        kept.map(|k| k.at(now, uses))
    }

    /// Keeps a belief; one that nobody looks at takes nobody's place.
    pub fn put(&self, client: ClientId, mut kept: CachedBelief, looked_at: bool) {
        let mut entries = held(&self.entries);
        kept.used = if looked_at { entries.uses } else { 0 };
        if !entries.all.contains_key(&client) {
            if entries.all.len() >= KEPT && !looked_at {
                return;
            }
            room(&mut entries.all, |k| k.used);
        }
        entries.all.insert(client, kept);
    }

    /// Keeps nothing of anybody else.
    pub fn keep_only(&self, there: &BTreeSet<ClientId>) {
        let mut entries = held(&self.entries);
        entries.all.retain(|id, _| there.contains(id));
        entries.before.retain(|id, _| there.contains(id));
    }

    /// What was believed last, however old.
    pub fn last(&self, client: ClientId) -> Option<CachedBelief> {
        held(&self.entries).all.get(&client).cloned()
    }

    /// What may be what was believed before a session, with the last event that it knows of.
    pub fn before(&self, client: ClientId, session: EventId) -> Option<CachedBelief> {
        let entries = held(&self.entries);
        let own = entries.before.get(&client).filter(|(of, _)| *of == session).map(|(_, kept)| kept);
        let whole = entries.all.get(&client).filter(|k| k.known.sessions.iter().all(|s| s.id != session));
        own.or(whole).cloned()
    }

    /// Keeps what was believed before a session.
    pub fn put_before(&self, client: ClientId, session: EventId, mut kept: CachedBelief) {
        let mut entries = held(&self.entries);
        kept.used = entries.uses;
        if !entries.before.contains_key(&client) {
            room(&mut entries.before, |(_, k)| k.used);
        }
        entries.before.insert(client, (session, kept));
    }
}
