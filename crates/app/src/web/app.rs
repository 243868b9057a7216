//! What all pages share: the ledger, the clock, and beliefs that were reckoned already.

use super::fault::Fault;
use super::work::Bench;
use crate::clock::Wall;
use crate::files::Problem;
use crate::service::insight::{self, Known, RosterLine};
use crate::service::ledger::{Desk, of_store};
use crate::service::people::May;
use setwright_model::ledger::{Actor, ClientId};
use setwright_science::catalogue::builtin;
use setwright_store::{ClientState, Filter, Opening, Seq, Store};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Desks that are kept open when nobody works at them (judgement: as many as cores of a small machine, twice).
const DESKS_KEPT: usize = 4;
/// Beliefs that are kept (judgement: one is about half a megabyte).
const BELIEFS_KEPT: usize = 64;
/// Hours after which a line of the roster is reckoned anew although nothing was logged.
const LINE_H: f64 = 0.5;

/// What all pages share.
#[derive(Clone)]
pub struct App {
    inner: Arc<Inner>,
}

struct Inner {
    ledger: PathBuf,
    wall: Wall,
    desks: Mutex<Vec<Desk>>,
    beliefs: Mutex<BTreeMap<ClientId, (Seq, Arc<Known>)>>,
    lines: Mutex<BTreeMap<ClientId, (Seq, f64, RosterLine)>>,
    bench: Bench,
}

impl App {
    /// Opens a ledger, or begins one.
    pub fn open(ledger: &Path, wall: Wall) -> Result<Self, Problem> {
        let desk = Desk::open(ledger, Opening::Create, wall.clone())?;
        let inner = Inner {
            ledger: ledger.to_owned(),
            wall,
            desks: Mutex::new(vec![desk]),
            beliefs: Mutex::default(),
            lines: Mutex::default(),
            bench: Bench::default(),
        };
        Ok(Self { inner: Arc::new(inner) })
    }

    /// Closes the ledger in good order.
    pub fn close(&self) {
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
        let app = self.clone();
        let done = tokio::task::spawn_blocking(move || {
            let mut desk = app.desk()?;
            let done = work(&mut desk, &app);
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

    /// Everything believed of a client, reckoned anew only when something was written since.
    pub fn known(&self, desk: &mut Desk, client: ClientState) -> Result<Arc<Known>, Problem> {
        let id = client.client;
        let last = last_of(desk, id)?;
        let kept = held(&self.inner.beliefs).get(&id).filter(|(seq, _)| *seq == last).cloned();
        if let Some((_, known)) = kept {
            return Ok(Arc::new(Known { now: desk.wall.now(), ..(*known).clone() }));
        }
        let known = Arc::new(insight::known_of(desk, client, builtin())?);
        let mut beliefs = held(&self.inner.beliefs);
        if beliefs.len() >= BELIEFS_KEPT {
            beliefs.pop_first();
        }
        beliefs.insert(id, (last, Arc::clone(&known)));
        Ok(known)
    }

    /// The roster's line of a client.
    pub fn line(&self, desk: &mut Desk, client: ClientState) -> Result<RosterLine, Problem> {
        let (id, last) = (client.client, last_of(desk, client.client)?);
        let now = insight::hours(desk.wall.now()).get();
        let kept = held(&self.inner.lines).get(&id).cloned();
        if let Some((_, _, line)) = kept.filter(|(seq, at, _)| *seq == last && (now - at).abs() < LINE_H) {
            return Ok(line);
        }
        let known = self.known(desk, client)?;
        let line = insight::line(&known, builtin());
        held(&self.inner.lines).insert(id, (last, now, line.clone()));
        Ok(line)
    }
}

fn last_of(desk: &mut Desk, client: ClientId) -> Result<Seq, Problem> {
    let filter = Filter { client: Some(client) };
    let last = desk.store.events_back(filter, None, 1).map_err(|e| of_store(&e))?;
    Ok(last.first().map_or(0, |kept| kept.seq))
}

/// A lock, also when a thread fell while it held it: what it guards is a cache or a pool, and whole at any moment.
pub fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
