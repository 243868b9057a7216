//! Where the roster's lines lie beside a ledger while the program does not run. What they say of clients can be read there by the owner of the
//! file, so that they are written over when somebody is forgotten; they are calculated anew.

use setwright_store::{Result, write_over};
use std::path::{Path, PathBuf};

/// The file beside this ledger.
pub fn beside(ledger: &Path) -> PathBuf {
    let mut name = ledger.as_os_str().to_owned();
    name.push(".lines");
    PathBuf::from(name)
}

/// What a writing that was cut short left of it.
pub fn unfinished(lines: &Path) -> PathBuf {
    lines.with_extension("new")
}

/// Writes over the file, and takes it away.
///
/// # Errors
/// It cannot be written.
pub fn clear(ledger: &Path) -> Result<()> {
    let lines = beside(ledger);
    write_over(&unfinished(&lines))?;
    write_over(&lines)
}
