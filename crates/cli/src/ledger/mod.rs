//! The commands that keep the ledger, as they look on a terminal.

pub mod care;
pub mod client;
pub mod consent;
pub mod export;
pub mod forget;
pub mod import;
pub mod insight;
mod learn;
pub mod log;
pub mod pain;
pub mod publish;

use crate::machine;
use setwright_coaching::ledger::UnitOfWork;
use setwright_model::refusal::Refusals;
use setwright_store::Opening;
use std::path::Path;

/// Opens the ledger, does the work, and closes it in good order.
pub fn with_ledger<T>(
    ledger: &Path,
    opening: Opening,
    work: impl FnOnce(&mut UnitOfWork) -> Result<T, Refusals>,
) -> Result<T, Refusals> {
    let mut uow = UnitOfWork::open(ledger, opening, &machine::this()).map_err(|p| vec![p])?;
    let done = work(&mut uow);
    let closed = uow.close().map_err(|p| vec![p]);
    let done = done?;
    closed?;
    Ok(done)
}
