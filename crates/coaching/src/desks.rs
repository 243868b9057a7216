//! A few desks at one ledger, kept open for whoever sits down next.

use crate::clock::Wall;
use crate::ledger::Desk;
use crate::locks::held;
use crate::machine::Machine;
use crate::people::May;
use setwright_model::ledger::Actor;
use setwright_model::refusal::Refusal;
use setwright_store::Opening;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// Desks that are kept open when nobody works at them (judgement: as many as cores of a small machine, twice).
const KEPT: usize = 4;

/// The desks at a ledger.
pub struct Desks {
    ledger: PathBuf,
    machine: Machine,
    free: Mutex<Vec<Desk>>,
}

impl Desks {
    /// Desks at a ledger that is opened, or begun, now.
    ///
    /// # Errors
    /// A ledger that cannot be opened.
    pub fn at(ledger: &Path, machine: Machine) -> Result<Self, Refusal> {
        let first = Desk::open(ledger, Opening::Create, &machine)?;
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

    /// Does something at a desk in somebody's name, on this thread, which may wait for the disk.
    ///
    /// # Errors
    /// A ledger that cannot be opened, and whatever the work refuses.
    pub fn in_hand<T>(
        &self,
        may: May,
        actor: Actor,
        work: impl FnOnce(&mut Desk) -> Result<T, Refusal>,
    ) -> Result<T, Refusal> {
        let mut desk = self.take()?;
        (desk.may, desk.actor) = (may, actor);
        let done = work(&mut desk);
        self.put_back(desk);
        done
    }

    /// Does the program's own work at a desk on this thread, which may wait for the disk. What it finds out is shown to nobody
    /// but through a desk that knows who asks.
    ///
    /// # Errors
    /// As for [`Desks::in_hand`].
    pub fn in_passing<T>(&self, work: impl FnOnce(&mut Desk) -> Result<T, Refusal>) -> Result<T, Refusal> {
        self.in_hand(May::everything(), Actor::COACH, work)
    }

    /// Closes those that are free, in good order.
    pub fn close(&self) {
        for desk in std::mem::take(&mut *held(&self.free)) {
            // Nothing is lost if it cannot be closed: everything that was answered is on the disk.
            let _ = desk.close();
        }
    }

    fn take(&self) -> Result<Desk, Refusal> {
        let free = held(&self.free).pop();
        match free {
            Some(desk) => Ok(desk),
            None => Desk::open(&self.ledger, Opening::Existing, &self.machine),
        }
    }

    fn put_back(&self, mut desk: Desk) {
        // Whoever sits down next says who they are.
        desk.may = May::nothing();
        let mut free = held(&self.free);
        if free.len() < KEPT {
            free.push(desk);
        }
    }
}
