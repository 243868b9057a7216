//! Open connections to one ledger, kept for the next unit of work.

use crate::clock::Wall;
use crate::ledger::UnitOfWork;
use crate::locks::held;
use crate::machine::Machine;
use crate::people::May;
use setwright_model::ledger::Actor;
use setwright_model::refusal::Refusal;
use setwright_store::Opening;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// Connections that are kept open when nobody uses them (judgement: as many as cores of a small machine, twice).
const KEPT: usize = 4;

/// Connections to a ledger.
pub struct LedgerPool {
    ledger: PathBuf,
    machine: Machine,
    free: Mutex<Vec<UnitOfWork>>,
}

impl LedgerPool {
    /// To a ledger that is opened, or begun, now.
    ///
    /// # Errors
    /// A ledger that cannot be opened.
    pub fn at(ledger: &Path, machine: Machine) -> Result<Self, Refusal> {
        let first = UnitOfWork::open(ledger, Opening::Create, &machine)?;
        Ok(Self { ledger: ledger.to_owned(), machine, free: Mutex::new(vec![first]) })
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
            None => UnitOfWork::open(&self.ledger, Opening::Existing, &self.machine),
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
