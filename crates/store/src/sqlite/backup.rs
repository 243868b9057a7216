//! Copies of a ledger: made consistent while it is in use, with a checksum beside them, and restored only to an empty
//! place after they were verified.

use super::{Opening, SqliteStore, head, schema};
use crate::digest::{Digest, of_file};
use crate::error::{Result, StoreError};
use crate::store::{Backup, Health, Store};
use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

/// The path with this at its end.
fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name: OsString = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// Makes a backup.
pub(super) fn make(store: &mut SqliteStore, to: &Path) -> Result<Backup> {
    refuse_if_there(to)?;
    let part = beside(to, ".part");
    remove_if_there(&part)?;
    super::make_private(&part)?;
    let made = fill(store, to, &part);
    if made.is_err() {
        // What was begun is of no use; if it cannot be removed, the next backup does it.
        let _ = remove_if_there(&part);
    }
    made
}

fn fill(store: &mut SqliteStore, to: &Path, part: &Path) -> Result<Backup> {
    let lost = store.lost()?;
    let name = part.to_str().ok_or_else(|| StoreError::NotWritable {
        path: part.to_owned(),
        what: "its name is not Unicode".to_owned(),
    })?;
    let copied = store.wait(async |c| {
        sqlx::query("VACUUM INTO ?1").bind(name).execute(c).await?;
        Ok(())
    });
    copied.map_err(|e| elsewhere(e, part))?;
    sync(part)?;
    let health = verify(part)?;
    let sha256 = of_file(part)?;
    let bytes = fs::metadata(part).map_err(|e| StoreError::file(part, &e))?.len();
    let checksum_path = beside(to, ".sha256");
    write_checksum(&checksum_path, to, sha256)?;
    put_in_place(part, to)?;
    Ok(Backup { path: to.to_owned(), checksum_path, sha256, bytes, events: health.events, lost })
}

/// The same error about another file.
fn elsewhere(error: StoreError, at: &Path) -> StoreError {
    let path = at.to_owned();
    match error {
        StoreError::Full { .. } => StoreError::Full { path },
        StoreError::NotWritable { what, .. } => StoreError::NotWritable { path, what },
        StoreError::Database { what } if what.contains("unable to open") => {
            StoreError::NotWritable { path, what }
        }
        other => other,
    }
}

/// Opens a copy, examines it, and leaves nothing beside it.
fn verify(copy: &Path) -> Result<Health> {
    let mut opened = SqliteStore::open(copy, Opening::Reading)?;
    let health = opened.doctor()?;
    opened.close()?;
    // The end of a copy is kept when it has become a ledger.
    remove_if_there(&head::beside(copy))?;
    match health.faults.first() {
        None => Ok(health),
        Some(fault) => Err(StoreError::damaged(copy, fault.clone())),
    }
}

fn write_checksum(path: &Path, of: &Path, sum: Digest) -> Result<()> {
    let broken = |e| StoreError::file(path, &e);
    let name = of.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let part = beside(path, ".part");
    let mut file = File::create(&part).map_err(broken)?;
    writeln!(file, "{sum}  {name}").map_err(broken)?;
    file.sync_all().map_err(broken)?;
    fs::rename(&part, path).map_err(broken)
}

/// The checksum that stands beside a backup, if one does.
fn written_checksum(of: &Path) -> Result<Option<String>> {
    let path = beside(of, ".sha256");
    match fs::read_to_string(&path) {
        Ok(text) => Ok(Some(text.split_whitespace().next().unwrap_or_default().to_lowercase())),
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(None),
        Err(e) => Err(StoreError::file(&path, &e)),
    }
}

fn refuse_if_there(path: &Path) -> Result<()> {
    match path.symlink_metadata() {
        Ok(_) => Err(StoreError::NotEmpty { path: path.to_owned() }),
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(()),
        Err(e) => Err(StoreError::file(path, &e)),
    }
}

fn remove_if_there(path: &Path) -> Result<()> {
    let beside = ["-wal", "-shm", "-journal", ".head", ".head.part"].map(|ending| beside(path, ending));
    for leftover in [path.to_owned()].into_iter().chain(beside) {
        match fs::remove_file(&leftover) {
            Ok(()) => {}
            Err(e) if e.kind() == ErrorKind::NotFound => {}
            Err(e) => return Err(StoreError::file(&leftover, &e)),
        }
    }
    Ok(())
}

/// Flushes a file to the disk.
fn sync(path: &Path) -> Result<()> {
    File::open(path).and_then(|f| f.sync_all()).map_err(|e| StoreError::file(path, &e))
}

/// Gives a finished file its name, never over another one, and flushes the folder.
fn put_in_place(part: &Path, to: &Path) -> Result<()> {
    let broken = |e: std::io::Error| match e.kind() {
        ErrorKind::AlreadyExists => StoreError::NotEmpty { path: to.to_owned() },
        _ => StoreError::file(to, &e),
    };
    sync(part)?;
    match fs::hard_link(part, to) {
        Ok(()) => fs::remove_file(part).map_err(broken)?,
        Err(e) if e.kind() == ErrorKind::AlreadyExists => return Err(broken(e)),
        // Some file systems have no links; then the name is looked at once more and taken.
        Err(_) => {
            refuse_if_there(to)?;
            fs::rename(part, to).map_err(broken)?;
        }
    }
    let folder = to.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    // A folder cannot be flushed everywhere (Windows); the file itself was.
    let _ = File::open(folder).and_then(|f| f.sync_all());
    Ok(())
}

/// What a restore did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restored {
    /// Where the ledger now is.
    pub path: PathBuf,
    /// What the examination of the copy said.
    pub health: Health,
    /// Whether there was a checksum beside the backup; it held.
    pub had_checksum: bool,
}

impl SqliteStore {
    /// Restores a backup to a place where no ledger is: copies it, holds it against its checksum, examines it, and only
    /// then gives it its name. The backup itself is only read.
    pub fn restore(backup: &Path, to: &Path) -> Result<Restored> {
        if !backup.exists() {
            return Err(StoreError::NoLedger { path: backup.to_owned() });
        }
        for taken in [to.to_owned(), beside(to, "-wal"), beside(to, "-shm")] {
            refuse_if_there(&taken)?;
        }
        let part = beside(to, ".restoring");
        remove_if_there(&part)?;
        super::make_private(&part)?;
        let restored = restore_by(backup, to, &part);
        if restored.is_err() {
            let _ = remove_if_there(&part);
        }
        restored
    }
}

fn restore_by(backup: &Path, to: &Path, part: &Path) -> Result<Restored> {
    copy(backup, part)?;
    let written = written_checksum(backup)?;
    if let Some(written) = &written
        && *written != of_file(part)?.to_string()
    {
        return Err(StoreError::WrongChecksum { path: backup.to_owned() });
    }
    let health = verify(part).map_err(|e| about_backup(e, part, backup))?;
    // Whoever restores says that this is the ledger from now on; how far another one at this place had come no longer counts.
    remove_if_there(&head::beside(to))?;
    put_in_place(part, to)?;
    Ok(Restored { path: to.to_owned(), health, had_checksum: written.is_some() })
}

/// Copies the content alone: the rights of the copy are its own.
fn copy(from: &Path, to: &Path) -> Result<()> {
    let mut source = File::open(from).map_err(|e| StoreError::file(from, &e))?;
    let broken = |e| StoreError::file(to, &e);
    let mut target = File::options().write(true).truncate(true).open(to).map_err(broken)?;
    std::io::copy(&mut source, &mut target).map_err(broken)?;
    target.sync_all().map_err(broken)
}

/// What is wrong with the copy is wrong with the backup.
fn about_backup(error: StoreError, part: &Path, backup: &Path) -> StoreError {
    let swap = |path: PathBuf| if path == part { backup.to_owned() } else { path };
    match error {
        StoreError::Damaged { path, what } => StoreError::Damaged { path: swap(path), what },
        StoreError::NotALedger { path } => StoreError::NotALedger { path: swap(path) },
        StoreError::TooNew { path, have, .. } => {
            StoreError::TooNew { path: swap(path), have, know: schema::SCHEMA_VERSION }
        }
        other => other,
    }
}
