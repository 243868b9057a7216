//! What all pages share: the ledger, the clock, and beliefs that were reckoned already.

use super::fault::Fault;
use super::reckoned;
use super::reckoner::{Kept, Reckoner};
use super::work::Bench;
use crate::clock::Wall;
use crate::files::Problem;
use crate::service::insight::{self, Known, RosterLine};
use crate::service::ledger::Desk;
use crate::service::people::May;
use crate::units;
use setwright_model::ledger::{Actor, ClientId};
use setwright_science::catalogue::builtin;
use setwright_store::{ClientState, Opening, Seq};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, Weak};

/// Desks that are kept open when nobody works at them (judgement: as many as cores of a small machine, twice).
const DESKS_KEPT: usize = 4;
/// Beliefs that are kept (judgement: one is about half a megabyte).
const BELIEFS_KEPT: usize = 64;

/// Hours by which a belief may look at an earlier now (numeric: half a minute, and a belief is large to copy).
const NOW_H: f64 = 1.0 / 120.0;

/// What all pages share.
#[derive(Clone)]
pub struct App {
    inner: Arc<Inner>,
}

pub struct Inner {
    ledger: PathBuf,
    wall: Wall,
    desks: Mutex<Vec<Desk>>,
    beliefs: Mutex<BTreeMap<ClientId, (Seq, Arc<Known>)>>,
    reckoner: Arc<Reckoner>,
    bench: Bench,
}

impl App {
    /// Opens a ledger, or begins one.
    pub fn open(ledger: &Path, wall: Wall) -> Result<Self, Problem> {
        let mut desk = Desk::open(ledger, Opening::Create, wall.clone())?;
        let reckoner = Arc::new(Reckoner::on(&mut desk)?);
        let inner = Inner {
            ledger: ledger.to_owned(),
            wall,
            desks: Mutex::new(vec![desk]),
            beliefs: Mutex::default(),
            reckoner,
            bench: Bench::default(),
        };
        Ok(Self { inner: Arc::new(inner) })
    }

    /// Closes the ledger in good order.
    pub fn close(&self) {
        if let Some(thread) = self.inner.reckoner.end() {
            let _ = thread.join();
            let _ = self.in_passing(|desk| reckoned::write(desk, &self.inner.reckoner));
        }
        for desk in std::mem::take(&mut *held(&self.inner.desks)) {
            // Nothing is lost if it cannot be closed: everything that was answered is on the disk.
            let _ = desk.close();
        }
    }

    /// The clock.
    pub fn wall(&self) -> &Wall {
        &self.inner.wall
    }

    /// Does a use case at a desk, on a thread that may wait for the disk.
    pub async fn at_desk<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Desk, &Self) -> Result<T, Problem> + Send + 'static,
    ) -> Result<T, Fault> {
        let (app, unit) = (self.clone(), units::shown());
        let done = tokio::task::spawn_blocking(move || {
            let mut desk = app.desk()?;
            let done = units::within(unit, || work(&mut desk, &app));
            app.put_back(desk);
            done
        });
        match done.await {
            Ok(done) => done.map_err(Fault::from),
            Err(_) => Err(Fault::internal()),
        }
    }

    /// Plans and curves in the making.
    pub fn bench(&self) -> &Bench {
        &self.inner.bench
    }

    /// Does something at a desk in the name of somebody who sat at one, on a thread that may wait for the disk.
    pub fn in_hand<T>(
        &self,
        may: May,
        actor: Actor,
        work: impl FnOnce(&mut Desk) -> Result<T, Problem>,
    ) -> Result<T, Problem> {
        let mut desk = self.desk()?;
        let own = (std::mem::replace(&mut desk.may, may), std::mem::replace(&mut desk.actor, actor));
        let done = work(&mut desk);
        (desk.may, desk.actor) = own;
        self.put_back(desk);
        done
    }

    fn desk(&self) -> Result<Desk, Problem> {
        let kept = held(&self.inner.desks).pop();
        match kept {
            Some(desk) => Ok(desk),
            None => Desk::open(&self.inner.ledger, Opening::Existing, self.inner.wall.clone()),
        }
    }

    fn put_back(&self, desk: Desk) {
        let mut desks = held(&self.inner.desks);
        if desks.len() < DESKS_KEPT {
            desks.push(desk);
        }
    }

    /// Does something at a desk on this thread, which may wait for the disk.
    pub fn in_passing<T>(&self, work: impl FnOnce(&mut Desk) -> Result<T, Problem>) -> Result<T, Problem> {
        let mut desk = self.desk()?;
        let done = work(&mut desk);
        self.put_back(desk);
        done
    }

    /// What reckons lines behind the pages.
    pub fn reckoner(&self) -> &Arc<Reckoner> {
        &self.inner.reckoner
    }

    /// The same for a thread that must not keep the ledger open by itself.
    pub fn weak(&self) -> Weak<Inner> {
        Arc::downgrade(&self.inner)
    }

    /// What a thread was given, if it is still there.
    pub fn of(inner: &Weak<Inner>) -> Option<Self> {
        inner.upgrade().map(|inner| Self { inner })
    }

    /// Everything believed of a client, reckoned anew only when something was written since.
    pub fn known(&self, desk: &mut Desk, client: ClientState) -> Result<Arc<Known>, Problem> {
        let (id, last) = (client.client, self.inner.reckoner.last_of(desk, client.client)?);
        self.inner.reckoner.looked_at(id, last);
        if let Some(known) = self.kept(desk, id, last) {
            return Ok(known);
        }
        let known = Arc::new(insight::known_of(desk, client, builtin())?);
        let mut beliefs = held(&self.inner.beliefs);
        if beliefs.len() >= BELIEFS_KEPT && !beliefs.contains_key(&id) {
            beliefs.pop_first();
        }
        beliefs.insert(id, (last, Arc::clone(&known)));
        Ok(known)
    }

    /// The same behind the pages: it drives out nobody who is being looked at.
    pub fn known_behind(
        &self,
        desk: &mut Desk,
        client: ClientState,
        last: Seq,
    ) -> Result<Arc<Known>, Problem> {
        let id = client.client;
        if let Some(known) = self.kept(desk, id, last) {
            return Ok(known);
        }
        let known = Arc::new(insight::known_of(desk, client, builtin())?);
        let mut beliefs = held(&self.inner.beliefs);
        if beliefs.len() < BELIEFS_KEPT || beliefs.contains_key(&id) {
            beliefs.insert(id, (last, Arc::clone(&known)));
        }
        Ok(known)
    }

    fn kept(&self, desk: &Desk, id: ClientId, last: Seq) -> Option<Arc<Known>> {
        let now = desk.wall.now();
        let kept = held(&self.inner.beliefs).get(&id).filter(|(seq, _)| *seq == last).cloned()?.1;
        if now.hours_since(kept.now).get().abs() < NOW_H {
            return Some(kept);
        }
        let known = Arc::new(Known { now, ..(*kept).clone() });
        held(&self.inner.beliefs).insert(id, (last, Arc::clone(&known)));
        Some(known)
    }

    /// The roster's line of a client, reckoned here and now unless it is true already.
    pub fn line(&self, desk: &mut Desk, client: ClientState) -> Result<RosterLine, Problem> {
        let (id, last) = (client.client, self.inner.reckoner.last_of(desk, client.client)?);
        let at_h = insight::hours(desk.wall.now()).get();
        if let Some(line) = self.inner.reckoner.line(id, last, at_h) {
            return Ok(line);
        }
        let known = self.known(desk, client)?;
        let line = insight::line(&known, builtin());
        self.inner.reckoner.keep(id, Kept { seq: last, at_h, line: Some(line.clone()) });
        Ok(line)
    }
}

impl Drop for Inner {
    fn drop(&mut self) {
        // The thread holds no ledger open while it waits; it ends by itself.
        let _ = self.reckoner.end();
    }
}

/// A lock, also when a thread fell while it held it: what it guards is a cache or a pool, and whole at any moment.
pub fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
