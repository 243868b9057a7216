//! Open connections to one ledger, kept for the next unit of work.

use crate::clock::Wall;
use crate::ledger::{UnitOfWork, of_store};
use crate::locks::held;
use crate::machine::Machine;
use crate::people::May;
use setwright_model::ledger::Actor;
use setwright_model::refusal::Refusal;
use setwright_store::{FileId, Opening, Seq, Store};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// Connections that are kept open when nobody uses them (judgement: as many as cores of a small machine, twice).
const KEPT: usize = 4;

/// Connections to a ledger.
pub struct LedgerPool {
    ledger: PathBuf,
    /// Which file it is. One that takes its place while the program runs is not gone on with.
    id: Option<FileId>,
    machine: Machine,
    free: Mutex<Vec<UnitOfWork>>,
    rest: Mutex<Rest>,
}

/// Whether the ledger rests.
#[derive(Default)]
struct Rest {
    /// The last event, when it was last looked at.
    last: Option<Seq>,
    /// Whether everything up to it is in the file itself.
    settled: bool,
}

impl LedgerPool {
    /// To a ledger that is opened, or begun, now.
    ///
    /// # Errors
    /// A ledger that cannot be opened.
    pub fn at(ledger: &Path, machine: Machine) -> Result<Self, Refusal> {
        let first = UnitOfWork::open(ledger, Opening::Create, &machine)?;
        let id = first.store.file_id();
        Ok(Self {
            ledger: ledger.to_owned(),
            id,
            machine,
            free: Mutex::new(vec![first]),
            rest: Mutex::default(),
        })
    }

    /// The clock.
    pub fn wall(&self) -> &Wall {
        &self.machine.wall
    }

    /// What tells this build of the program from another.
    pub fn build(&self) -> &str {
        &self.machine.build
    }

    /// Does a unit of work in somebody's name, on this thread, which may wait for the disk.
    ///
    /// # Errors
    /// A ledger that cannot be opened, and whatever the work refuses.
    pub fn run_as<T>(
        &self,
        may: May,
        actor: Actor,
        work: impl FnOnce(&mut UnitOfWork) -> Result<T, Refusal>,
    ) -> Result<T, Refusal> {
        let mut uow = self.take()?;
        (uow.may, uow.actor) = (may, actor);
        let done = work(&mut uow);
        self.put_back(uow);
        done
    }

    /// Does the program's own work on this thread, which may wait for the disk. What it finds out is shown to nobody
    /// but through a unit of work that knows who asks.
    ///
    /// # Errors
    /// As for [`LedgerPool::run_as`].
    pub fn run_as_program<T>(
        &self,
        work: impl FnOnce(&mut UnitOfWork) -> Result<T, Refusal>,
    ) -> Result<T, Refusal> {
        self.run_as(May::everything(), Actor::COACH, work)
    }

    /// Is called every now and then: when nothing was written since the last time, what lies in the write-ahead file is put into the
    /// ledger itself.
    ///
    /// # Errors
    /// A ledger that cannot be read or written.
    pub fn settle(&self) -> Result<(), Refusal> {
        let last =
            self.run_as_program(|uow| uow.store.link(None).map_err(|e| of_store(&e)))?.map(|(seq, _)| seq);
        let mut rest = held(&self.rest);
        if rest.last != last {
            *rest = Rest { last, settled: false };
        } else if !rest.settled {
            self.checkpoint()?;
            rest.settled = true;
        }
        Ok(())
    }

    /// Puts what lies in the write-ahead file into the ledger itself, as far as nobody is at it.
    ///
    /// # Errors
    /// A ledger that cannot be written.
    pub fn checkpoint(&self) -> Result<(), Refusal> {
        self.run_as_program(|uow| uow.store.checkpoint().map_err(|e| of_store(&e)))
    }

    /// Closes those that are free, in good order.
    pub fn close(&self) {
        for uow in std::mem::take(&mut *held(&self.free)) {
            // Nothing is lost if it cannot be closed: everything that was answered is on the disk.
            let _ = uow.close();
        }
    }

    fn take(&self) -> Result<UnitOfWork, Refusal> {
        let free = held(&self.free).pop();
        match free {
            Some(uow) => Ok(uow),
            None => match self.id {
                Some(id) => UnitOfWork::open_same(&self.ledger, id, &self.machine),
                None => UnitOfWork::open(&self.ledger, Opening::Existing, &self.machine),
            },
        }
    }

    fn put_back(&self, mut uow: UnitOfWork) {
        // Whoever sits down next says who they are.
        uow.may = May::nothing();
        let mut free = held(&self.free);
        if free.len() < KEPT {
            free.push(uow);
        }
    }
}
