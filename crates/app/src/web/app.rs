//! What all pages share: the ledger, the clock, and beliefs that were reckoned already.

use super::beliefs::Beliefs;
use super::fault::Fault;
use super::gate::{self, Door};
use super::reckoned;
use super::reckoner::{Kept, Reckoner};
use super::work::Bench;
use crate::clock::Wall;
use crate::files::Problem;
use crate::service::insight::advice::{self, AdviceLine};
use crate::service::insight::{self, Known, RosterLine};
use crate::service::ledger::Desk;
use crate::service::people::May;
use crate::units;
use setwright_model::ledger::{Actor, MassUnit};
use setwright_science::catalogue::builtin;
use setwright_store::{ClientState, Opening};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError, Weak};

/// Desks that are kept open when nobody works at them (judgement: as many as cores of a small machine, twice).
const DESKS_KEPT: usize = 4;

/// What all pages share.
#[derive(Clone)]
pub struct App {
    inner: Arc<Inner>,
}

pub struct Inner {
    ledger: PathBuf,
    wall: Wall,
    desks: Mutex<Vec<Desk>>,
    beliefs: Beliefs,
    reckoner: Arc<Reckoner>,
    bench: Bench,
    door: OnceLock<Door>,
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
            beliefs: Beliefs::default(),
            reckoner,
            bench: Bench::default(),
            door: OnceLock::new(),
        };
        Ok(Self { inner: Arc::new(inner) })
    }

    /// The same for a network: only who has an account passes. It stays so.
    #[must_use]
    pub fn with_door(self, door: Door) -> Self {
        let _ = self.inner.door.set(door);
        self
    }

    /// The way in from a network; none on the machine itself.
    pub fn door(&self) -> Option<&Door> {
        self.inner.door.get()
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

    /// Does a use case at a desk for whoever asks, on a thread that may wait for the disk.
    pub async fn at_desk<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Desk, &Self) -> Result<T, Problem> + Send + 'static,
    ) -> Result<T, Fault> {
        let (app, who, unit) = (self.clone(), gate::here(), units::shown());
        let done = tokio::task::spawn_blocking(move || {
            let mut desk = app.desk()?;
            (desk.may, desk.actor) = (who.may.clone(), who.actor.clone());
            let done = units::within(unit, || gate::within(who, || work(&mut desk, &app)));
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
        (desk.may, desk.actor) = (may, actor);
        let done = work(&mut desk);
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

    fn put_back(&self, mut desk: Desk) {
        // Whoever sits down next says who they are.
        desk.may = May::nothing();
        let mut desks = held(&self.inner.desks);
        if desks.len() < DESKS_KEPT {
            desks.push(desk);
        }
    }

    /// Does the program's own work at a desk on this thread, which may wait for the disk. What it finds out is shown to nobody
    /// but through a desk that knows who asks.
    pub fn in_passing<T>(&self, work: impl FnOnce(&mut Desk) -> Result<T, Problem>) -> Result<T, Problem> {
        self.in_hand(May::everything(), Actor::COACH, work)
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

    /// Beliefs that were reckoned already.
    pub fn beliefs(&self) -> &Beliefs {
        &self.inner.beliefs
    }

    /// What there is to advise a client, answered or not: as it was reckoned for the roster's line, if that is true and its loads
    /// are in the unit that is shown.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn advised(&self, desk: &mut Desk, known: &Known) -> Result<Arc<[AdviceLine]>, Problem> {
        let id = known.client.client;
        let last = self.inner.reckoner.last_of(desk, id)?;
        let line = self.inner.reckoner.line(id, last, insight::hours(known.now).get());
        let kept = line.and_then(|line| line.advice).filter(|_| units::shown() == MassUnit::Kg);
        Ok(kept.unwrap_or_else(|| advice::advise(known, builtin()).into()))
    }

    /// The roster's line of a client, reckoned here and now unless it is true already.
    pub fn line(&self, desk: &mut Desk, client: ClientState) -> Result<RosterLine, Problem> {
        let (id, last) = (client.client, self.inner.reckoner.last_of(desk, client.client)?);
        let at_h = insight::hours(desk.wall.now()).get();
        if let Some(line) = self.inner.reckoner.line(id, last, at_h) {
            return Ok(line);
        }
        let known = self.known(desk, client)?;
        // What is kept is for everybody.
        let line = units::within(MassUnit::Kg, || insight::line(&known, builtin()));
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
