//! A coach's practice while the program runs: its open ledger, beliefs that were calculated already, and the work that goes on
//! behind. It puts these together and adds nothing of its own.

use crate::belief_cache::BeliefCache;
use crate::clock::Wall;
use crate::insight::advice::{self, Suggestion};
use crate::insight::{self, Known, RosterEntry};
use crate::jobs::plan_queue::{Job, JobQueue, JobRequest, Reservation};
use crate::jobs::refit;
use crate::jobs::roster_projection::{KeptLine, KnownLine, Projector};
use crate::ledger::UnitOfWork;
use crate::ledger_pool::LedgerPool;
use crate::machine::Machine;
use setwright_gym::catalogue::builtin;
use setwright_model::ledger::{ClientId, EventId};
use setwright_model::refusal::Refusal;
use setwright_store::ClientState;
use std::path::Path;
use std::sync::Arc;

/// A coach's practice; a copy is the same one.
#[derive(Clone)]
pub struct Practice {
    inner: Arc<Inner>,
}

struct Inner {
    pool: Arc<LedgerPool>,
    beliefs: Arc<BeliefCache>,
    projector: Arc<Projector>,
    queue: Arc<JobQueue>,
}

impl Practice {
    /// Opens a ledger, or begins one.
    ///
    /// # Errors
    /// A ledger that cannot be opened.
    pub fn open(ledger: &Path, machine: Machine) -> Result<Self, Refusal> {
        let (pool, beliefs) = (Arc::new(LedgerPool::at(ledger, machine)?), Arc::new(BeliefCache::default()));
        let queue = Arc::new(JobQueue::default());
        let projector = Arc::new(Projector::on(&pool, &beliefs, &queue)?);
        Ok(Self { inner: Arc::new(Inner { pool, beliefs, projector, queue }) })
    }

    /// Closes the ledger in good order.
    pub fn close(&self) {
        self.inner.projector.close();
        self.inner.pool.close();
    }

    /// The clock.
    pub fn wall(&self) -> &Wall {
        self.inner.pool.wall()
    }

    /// Open connections to the ledger.
    pub fn ledger_pool(&self) -> &LedgerPool {
        &self.inner.pool
    }

    /// Begins a plan or a curve for whoever asks.
    ///
    /// # Errors
    /// Too much is in the making already.
    pub fn begin(&self, uow: &UnitOfWork, request: JobRequest) -> Result<Arc<Job>, Refusal> {
        self.inner.queue.begin(&self.inner.pool, uow, request)
    }

    /// Keeps room for a plan of whoever asks, for what must not be written when there is none.
    ///
    /// # Errors
    /// Too much is in the making already.
    pub fn room(&self, uow: &UnitOfWork) -> Result<Reservation, Refusal> {
        self.inner.queue.room(uow)
    }

    /// Begins a plan or a curve in room that was kept.
    ///
    /// # Errors
    /// The machine gives no more threads.
    pub fn begin_in(
        &self,
        room: Reservation,
        uow: &UnitOfWork,
        request: JobRequest,
    ) -> Result<Arc<Job>, Refusal> {
        self.inner.queue.begin_in(room, &self.inner.pool, uow, request)
    }

    /// A client's plan or curve of this name.
    ///
    /// # Errors
    /// There is none.
    pub fn job(&self, client: ClientId, id: &str) -> Result<Arc<Job>, Refusal> {
        self.inner.queue.find(client, id)
    }

    /// Everything believed of a client, calculated anew only when something was written since.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn known(&self, uow: &mut UnitOfWork, client: ClientState) -> Result<Arc<Known>, Refusal> {
        let (id, last) = (client.client, self.inner.projector.last_of(uow, client.client)?);
        let known = refit::known(&self.inner.beliefs, uow, client, last);
        self.inner.projector.looked_at(id, last);
        known
    }

    /// Everything believed of a client, or that was believed before a session that is going on.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn believed(
        &self,
        uow: &mut UnitOfWork,
        client: ClientState,
        before: Option<EventId>,
    ) -> Result<Arc<Known>, Refusal> {
        let Some(session) = before else { return self.known(uow, client) };
        let last = self.inner.projector.last_of(uow, client.client)?;
        refit::known_before(&self.inner.beliefs, uow, client, session, last)
    }

    /// What there is to advise a client, answered or not: as it was calculated for the roster's line, if that is true.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn advised(&self, uow: &mut UnitOfWork, known: &Known) -> Result<Arc<[Suggestion]>, Refusal> {
        let id = known.client.client;
        let last = self.inner.projector.last_of(uow, id)?;
        let line = self.inner.projector.line(id, last, insight::hours(known.now).get());
        Ok(line.and_then(|line| line.advice).unwrap_or_else(|| advice::advise(known, builtin()).into()))
    }

    /// The clients whom whoever asks may see, by name.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn clients(&self, uow: &mut UnitOfWork) -> Result<Vec<ClientState>, Refusal> {
        self.inner.projector.clients(uow)
    }

    /// The roster's line of a client, calculated here and now unless it is true already.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn line(&self, uow: &mut UnitOfWork, client: ClientState) -> Result<RosterEntry, Refusal> {
        let (id, last) = (client.client, self.inner.projector.last_of(uow, client.client)?);
        let at_h = insight::hours(uow.wall.now()).get();
        if let Some(line) = self.inner.projector.line(id, last, at_h) {
            return Ok(line);
        }
        let known = self.known(uow, client)?;
        let line = insight::line(&known, builtin());
        self.inner.projector.keep(id, KeptLine { seq: last, at_h, line: Some(line.clone()) });
        Ok(line)
    }

    /// Lines of these clients as they are known, at once; what is not true is calculated from now on.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn lines(&self, uow: &mut UnitOfWork, clients: &[ClientState]) -> Result<Vec<KnownLine>, Refusal> {
        self.inner.projector.lines(uow, clients)
    }

    /// Puts everybody down whose line is not known, and sets to work: so begins a server.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn project_all(&self) -> Result<(), Refusal> {
        self.inner.pool.run_as_program(|uow| self.inner.projector.project_all(uow))
    }
}

impl Drop for Inner {
    fn drop(&mut self) {
        // The thread holds no ledger open while it waits; it ends by itself.
        let _ = self.projector.end();
    }
}
