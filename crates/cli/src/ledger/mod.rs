//! The commands that keep the ledger, as they look on a terminal.

pub mod care;
pub mod client;
pub mod export;
pub mod import;
pub mod insight;
mod learn;
pub mod log;
pub mod publish;

use crate::machine;
use setwright_coaching::ledger::Desk;
use setwright_model::refusal::Refusals;
use setwright_store::Opening;
use std::path::Path;

/// Opens the ledger, does the work, and closes it in good order.
pub fn at_desk<T>(
    ledger: &Path,
    opening: Opening,
    work: impl FnOnce(&mut Desk) -> Result<T, Refusals>,
) -> Result<T, Refusals> {
    let mut desk = Desk::open(ledger, opening, &machine::this()).map_err(|p| vec![p])?;
    let done = work(&mut desk);
    let closed = desk.close().map_err(|p| vec![p]);
    let done = done?;
    closed?;
    Ok(done)
}
