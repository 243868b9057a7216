//! A coach's practice while the program runs: desks at its ledger, beliefs that were reckoned already, and the work that goes on
//! behind. It puts these together and adds nothing of its own.

use crate::belief_cache::Beliefs;
use crate::clock::Wall;
use crate::desks::Desks;
use crate::insight::advice::{self, Suggestion};
use crate::insight::{self, Known, RosterEntry};
use crate::jobs::plan_queue::{Bench, Order, Work};
use crate::jobs::roster::{self, Kept, Reckoner};
use crate::ledger::Desk;
use crate::machine::Machine;
use setwright_model::ledger::{ClientId, EventId};
use setwright_model::refusal::Refusal;
use setwright_science::catalogue::builtin;
use setwright_store::ClientState;
use std::path::Path;
use std::sync::Arc;

/// A coach's practice; a copy is the same one.
#[derive(Clone)]
pub struct Practice {
    inner: Arc<Inner>,
}

struct Inner {
    desks: Arc<Desks>,
    beliefs: Arc<Beliefs>,
    reckoner: Arc<Reckoner>,
    bench: Arc<Bench>,
}

impl Practice {
    /// Opens a ledger, or begins one.
    ///
    /// # Errors
    /// A ledger that cannot be opened.
    pub fn open(ledger: &Path, machine: Machine) -> Result<Self, Refusal> {
        let (desks, beliefs) = (Arc::new(Desks::at(ledger, machine)?), Arc::new(Beliefs::default()));
        let reckoner = Arc::new(Reckoner::on(&desks, &beliefs)?);
        Ok(Self { inner: Arc::new(Inner { desks, beliefs, reckoner, bench: Arc::default() }) })
    }

    /// Closes the ledger in good order.
    pub fn close(&self) {
        self.inner.reckoner.close();
        self.inner.desks.close();
    }

    /// The clock.
    pub fn wall(&self) -> &Wall {
        self.inner.desks.wall()
    }

    /// The desks at the ledger.
    pub fn desks(&self) -> &Desks {
        &self.inner.desks
    }

    /// Begins a plan or a curve for whoever sits at the desk.
    ///
    /// # Errors
    /// Too much is in the making already.
    pub fn begin(&self, desk: &Desk, order: Order) -> Result<Arc<Work>, Refusal> {
        self.inner.bench.begin(&self.inner.desks, desk, order)
    }

    /// A client's plan or curve of this name.
    ///
    /// # Errors
    /// There is none.
    pub fn work(&self, client: ClientId, id: &str) -> Result<Arc<Work>, Refusal> {
        self.inner.bench.find(client, id)
    }

    /// Everything believed of a client, reckoned anew only when something was written since.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn known(&self, desk: &mut Desk, client: ClientState) -> Result<Arc<Known>, Refusal> {
        let (id, last) = (client.client, self.inner.reckoner.last_of(desk, client.client)?);
        let known = self.inner.beliefs.known(desk, client, last);
        self.inner.reckoner.looked_at(id, last);
        known
    }

    /// Everything believed of a client, or that was believed before a session that is going on.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn believed(
        &self,
        desk: &mut Desk,
        client: ClientState,
        before: Option<EventId>,
    ) -> Result<Arc<Known>, Refusal> {
        let Some(session) = before else { return self.known(desk, client) };
        let last = self.inner.reckoner.last_of(desk, client.client)?;
        self.inner.beliefs.known_before(desk, client, session, last)
    }

    /// What there is to advise a client, answered or not: as it was reckoned for the roster's line, if that is true.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn advised(&self, desk: &mut Desk, known: &Known) -> Result<Arc<[Suggestion]>, Refusal> {
        let id = known.client.client;
        let last = self.inner.reckoner.last_of(desk, id)?;
        let line = self.inner.reckoner.line(id, last, insight::hours(known.now).get());
        Ok(line.and_then(|line| line.advice).unwrap_or_else(|| advice::advise(known, builtin()).into()))
    }

    /// The clients whom whoever sits at a desk may see, by name.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn clients(&self, desk: &mut Desk) -> Result<Vec<ClientState>, Refusal> {
        self.inner.reckoner.clients(desk)
    }

    /// The roster's line of a client, reckoned here and now unless it is true already.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn line(&self, desk: &mut Desk, client: ClientState) -> Result<RosterEntry, Refusal> {
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

    /// Lines of these clients as they are known, at once; what is not true is reckoned from now on.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn lines(&self, desk: &mut Desk, clients: &[ClientState]) -> Result<Vec<roster::Known>, Refusal> {
        self.inner.reckoner.lines(desk, clients)
    }

    /// Puts everybody down whose line is not known, and sets to work: so begins a server.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn reckon_all(&self) -> Result<(), Refusal> {
        self.inner.desks.in_passing(|desk| self.inner.reckoner.reckon_all(desk))
    }
}

impl Drop for Inner {
    fn drop(&mut self) {
        // The thread holds no ledger open while it waits; it ends by itself.
        let _ = self.reckoner.end();
    }
}
