//! The file in which the roster's lines outlive the program, beside the ledger. It is a convenience and never a truth: it is
//! thrown away unless the same program wrote it of the same log, which the checksum of the log's chain tells.

use crate::insight::RosterEntry;
use crate::jobs::roster_projection::{KeptLine, Projector};
use crate::ledger::{UnitOfWork, of_store};
use crate::locks::held;
use crate::roster_lines::{beside, unfinished};
use serde::{Deserialize, Serialize};
use setwright_model::ledger::ClientId;
use setwright_model::refusal::Refusal;
use setwright_store::{Seq, Store};
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::Path;

/// Fewer lines than this are calculated again sooner than a file is worth (judgement).
const LEAST: usize = 41;
/// Most bytes that are read: some ten thousand lines (judgement).
const BYTES_MOST: u64 = 16 * 1024 * 1024;

#[derive(Serialize, Deserialize)]
struct Sheet {
    program: String,
    seq: Seq,
    chain: String,
    lines: Vec<(ClientId, f64, RosterEntry)>,
}

/// Lines that an earlier run left, with the last event that they know of.
pub type LeftLines = (Seq, BTreeMap<ClientId, KeptLine>);

/// The lines that an earlier run left, with the last event that they know of.
///
/// # Errors
/// A ledger that cannot be read. A file that cannot be read, or is not of this ledger, is no error: there are no lines.
pub fn read(uow: &mut UnitOfWork, build: &str) -> Result<Option<LeftLines>, Refusal> {
    let path = beside(uow.store.path());
    let small = std::fs::metadata(&path).is_ok_and(|m| m.len() <= BYTES_MOST);
    let text = if small { std::fs::read_to_string(&path).ok() } else { None };
    let Some(sheet) = text.and_then(|t| serde_json::from_str::<Sheet>(&t).ok()) else { return Ok(None) };
    let link = uow.store.link(Some(sheet.seq)).map_err(|e| of_store(&e))?;
    if sheet.program != build || link.is_none_or(|(_, chain)| chain.to_string() != sheet.chain) {
        return Ok(None);
    }
    let kept = |(client, at_h, line)| (client, KeptLine { seq: sheet.seq, at_h, line: Some(line) });
    Ok(Some((sheet.seq, sheet.lines.into_iter().map(kept).collect())))
}

/// Writes the lines that are true now.
///
/// # Errors
/// A ledger that cannot be read. A file that cannot be written is no error.
pub fn write(uow: &mut UnitOfWork, projector: &Projector, build: &str) -> Result<(), Refusal> {
    let there: BTreeSet<ClientId> =
        uow.store.clients().map_err(|e| of_store(&e))?.iter().map(|c| c.client).collect();
    let (seq, lines) = {
        let mut dashboard = held(&projector.dashboard);
        dashboard.unkept = false;
        let known = dashboard
            .lines
            .iter()
            .filter(|(id, kept)| kept.seq == dashboard.last_of(**id) && there.contains(*id));
        let lines = known.filter_map(|(id, kept)| Some((*id, kept.at_h, kept.line.clone()?)));
        (dashboard.seen, lines.collect::<Vec<_>>())
    };
    let link = uow.store.link(Some(seq)).map_err(|e| of_store(&e))?;
    if let Some((_, chain)) = link.filter(|_| lines.len() >= LEAST) {
        let sheet = Sheet { program: build.to_owned(), seq, chain: chain.to_string(), lines };
        // Without the file the lines are calculated again.
        let _ = put(&beside(uow.store.path()), &serde_json::to_vec(&sheet).unwrap_or_default());
    }
    Ok(())
}

/// Writes a file that only its owner can read, whole or not at all.
fn put(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let new = unfinished(path);
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(&new)?.write_all(bytes)?;
    std::fs::rename(&new, path)
}
