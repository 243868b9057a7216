//! A coach's practice while the program runs: the ledger with a few desks at it, beliefs that were reckoned already, and the work
//! that goes on behind. Whoever asks is known at the desk; the program's own work is done in nobody's name and shown to nobody but
//! through a desk that knows who asks.

use crate::belief_cache::Beliefs;
use crate::clock::Wall;
use crate::insight::advice::{self, Suggestion};
use crate::insight::{self, Known, RosterEntry};
use crate::jobs::plan_queue::Bench;
use crate::jobs::roster::{Kept, Reckoner};
use crate::ledger::Desk;
use crate::locks::held;
use crate::people::May;
use setwright_formats::Problem;
use setwright_model::ledger::Actor;
use setwright_science::catalogue::builtin;
use setwright_store::{ClientState, Opening};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, Weak};

/// Desks that are kept open when nobody works at them (judgement: as many as cores of a small machine, twice).
const DESKS_KEPT: usize = 4;

/// A coach's practice; a copy is the same one.
#[derive(Clone)]
pub struct Practice {
    inner: Arc<Inner>,
}

/// What all copies share.
pub struct Inner {
    ledger: PathBuf,
    wall: Wall,
    desks: Mutex<Vec<Desk>>,
    beliefs: Beliefs,
    reckoner: Arc<Reckoner>,
    bench: Bench,
}

impl Practice {
    /// Opens a ledger, or begins one.
    ///
    /// # Errors
    /// A ledger that cannot be opened.
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
        };
        Ok(Self { inner: Arc::new(inner) })
    }

    /// Closes the ledger in good order.
    pub fn close(&self) {
        self.end_reckoning();
        for desk in std::mem::take(&mut *held(&self.inner.desks)) {
            // Nothing is lost if it cannot be closed: everything that was answered is on the disk.
            let _ = desk.close();
        }
    }

    /// The clock.
    pub fn wall(&self) -> &Wall {
        &self.inner.wall
    }

    /// Plans and curves in the making.
    pub fn bench(&self) -> &Bench {
        &self.inner.bench
    }

    /// Does something at a desk in somebody's name, on this thread, which may wait for the disk.
    ///
    /// # Errors
    /// A ledger that cannot be opened, and whatever the work refuses.
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
    ///
    /// # Errors
    /// As for [`Practice::in_hand`].
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

    /// What there is to advise a client, answered or not: as it was reckoned for the roster's line, if that is true.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn advised(&self, desk: &mut Desk, known: &Known) -> Result<Arc<[Suggestion]>, Problem> {
        let id = known.client.client;
        let last = self.inner.reckoner.last_of(desk, id)?;
        let line = self.inner.reckoner.line(id, last, insight::hours(known.now).get());
        Ok(line.and_then(|line| line.advice).unwrap_or_else(|| advice::advise(known, builtin()).into()))
    }

    /// The roster's line of a client, reckoned here and now unless it is true already.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn line(&self, desk: &mut Desk, client: ClientState) -> Result<RosterEntry, Problem> {
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
