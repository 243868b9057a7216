//! Copies of a ledger and of the accounts beside it: made consistent while it is in use, with checksums beside them, and restored only to an empty
//! place after they were verified. With a ledger go its keys, the root key that opens them, and the list of erasures ([`Companion`]).

use super::file::{beside, sync_folder};
use super::{Accounts, FileId, Opening, SqliteStore, erased, head, keys, schema};
use crate::digest::{Digest, of_file};
use crate::error::{Result, StoreError};
use crate::store::{Backup, Health, Store};
use setwright_model::ledger::ClientId;
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

/// A file without which a ledger is not whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Companion {
    Root,
    Keys,
    Erased,
}

impl Companion {
    /// In the order in which they get their names.
    const ALL: [Self; 3] = [Self::Root, Self::Keys, Self::Erased];

    /// Where it lies beside a ledger.
    fn of(self, ledger: &Path) -> PathBuf {
        match self {
            Self::Root => keys::root_of(ledger),
            Self::Keys => keys::keys_of(ledger),
            Self::Erased => erased::list_of(ledger),
        }
    }
}

/// A copy in the making: under names of its own until both files are whole.
struct Parts {
    ledger: PathBuf,
    accounts: PathBuf,
    /// Where the accounts come to lie beside the finished ledger.
    accounts_to: PathBuf,
}

impl Parts {
    /// Begins anew at a place where nothing is; accounts may be there if none come with the copy. What a copy that was cut short left
    /// under these names is taken away.
    fn begin(to: &Path, ending: &str, with_accounts: bool) -> Result<Self> {
        refuse_if_there(to)?;
        let accounts_to = Accounts::beside(to);
        let parts = Self { ledger: beside(to, ending), accounts: beside(&accounts_to, ending), accounts_to };
        if is_same(&parts.accounts, &parts.accounts_to) {
            // Accounts got their name and the ledger did not: then they are still the file that was in the making.
            remove_if_there(&parts.accounts_to)?;
        } else if with_accounts {
            refuse_if_there(&parts.accounts_to)?;
        }
        for companion in Companion::ALL.into_iter().filter(|_| ending == BACKING_UP) {
            let (part, named) = (companion.of(&parts.ledger), companion.of(to));
            if is_same(&part, &named) {
                remove_if_there(&named)?;
            } else {
                refuse_if_there(&named)?;
            }
        }
        parts.remove()?;
        super::make_private(&parts.ledger)?;
        Ok(parts)
    }

    fn remove(&self) -> Result<()> {
        remove_if_there(&self.accounts)?;
        for companion in Companion::ALL {
            remove_if_there(&companion.of(&self.ledger))?;
        }
        remove_if_there(&self.ledger)
    }

    /// Gives what belongs to a copy its names: over nothing that is there.
    fn put_companions(&self, to: &Path) -> Result<()> {
        for companion in Companion::ALL {
            let part = companion.of(&self.ledger);
            if part.exists() {
                give_name(&part, &companion.of(to))?;
            }
        }
        Ok(())
    }

    /// The same for a ledger that comes back: what was there of it is in what is put over it.
    fn put_companions_over(&self, to: &Path) -> Result<()> {
        for companion in Companion::ALL {
            let (part, named) = (companion.of(&self.ledger), companion.of(to));
            if part.exists() {
                sync(&part)?;
                fs::rename(&part, &named).map_err(|e| StoreError::file(&named, &e))?;
                sync_folder(&named);
            }
        }
        Ok(())
    }

    /// Gives both files their names, the ledger last: where it is, the accounts are.
    fn put_in_place(&self, to: &Path, with_accounts: bool) -> Result<()> {
        if with_accounts {
            give_name(&self.accounts, &self.accounts_to)?;
        }
        let put = put_in_place(&self.ledger, to);
        if put.is_err() && with_accounts {
            // They are of no use without the ledger.
            let _ = remove_if_there(&self.accounts_to);
        }
        put.and_then(|()| self.remove())
    }
}

/// Whether both are names of one file, as far as that can be seen.
fn is_same(part: &Path, named: &Path) -> bool {
    cfg!(unix) && matches!((FileId::at(part), FileId::at(named)), (Ok(part), Ok(named)) if part == named)
}

const BACKING_UP: &str = ".part";
const RESTORING: &str = ".restoring";

/// Makes a backup.
pub(super) fn make(store: &mut SqliteStore, to: &Path) -> Result<Backup> {
    let parts = Parts::begin(to, BACKING_UP, true)?;
    let made = fill(store, to, &parts);
    if made.is_err() {
        // What was begun is of no use; if it cannot be removed, the next backup does it.
        let _ = parts.remove();
    }
    made
}

fn fill(store: &mut SqliteStore, to: &Path, parts: &Parts) -> Result<Backup> {
    let part = parts.ledger.as_path();
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
    copy_companions(store, part)?;
    let Verified { health, clients } = verify(part)?;
    let accounts = copy_accounts(store, parts, &clients)?;
    let sha256 = of_file(part)?;
    let bytes = fs::metadata(part).map_err(|e| StoreError::file(part, &e))?.len();
    let checksum_path = beside(to, ".sha256");
    let mut sums = vec![(to, sha256)];
    if accounts.is_some() {
        sums.push((&parts.accounts_to, of_file(&parts.accounts)?));
    }
    let companions = Companion::ALL.map(|companion| (companion.of(part), companion.of(to)));
    for (part, named) in companions.iter().filter(|(part, _)| part.exists()) {
        sums.push((named, of_file(part)?));
    }
    write_checksums(&checksum_path, &sums)?;
    parts.put_companions(to)?;
    parts.put_in_place(to, accounts.is_some())?;
    Ok(Backup { path: to.to_owned(), checksum_path, sha256, bytes, events: health.events, accounts, lost })
}

/// Copies keys, root key and list of erasures, after the ledger: whoever adds a client has the key first, and who is forgotten since is
/// found to be when the copy is examined.
fn copy_companions(store: &SqliteStore, part: &Path) -> Result<()> {
    let Some(ledger) = store.file.id().map(|_| store.path()) else { return Ok(()) };
    for companion in [Companion::Root, Companion::Erased] {
        copy_if_there(&companion.of(ledger), &companion.of(part))?;
    }
    keys::merge(&Companion::Keys.of(ledger), &Companion::Keys.of(part))
}

fn copy_if_there(from: &Path, to: &Path) -> Result<()> {
    if !from.exists() {
        return Ok(());
    }
    super::make_private(to)?;
    copy(from, to)
}

/// Copies the accounts, after the ledger: whoever adds a client has them before the ledger knows of them, so that nobody in the copy of
/// the ledger is without their coach in that of the accounts.
fn copy_accounts(store: &SqliteStore, parts: &Parts, clients: &BTreeSet<ClientId>) -> Result<Option<u64>> {
    let Some(from) = store.accounts() else { return Ok(None) };
    super::make_private(&parts.accounts)?;
    let mut accounts = Accounts::open(&from, Opening::Reading)?;
    accounts.copy_to(&parts.accounts).map_err(|e| elsewhere(e, &parts.accounts))?;
    let count = Accounts::settle(&parts.accounts, clients)?;
    sync(&parts.accounts)?;
    Ok(Some(count))
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

/// A copy that was examined.
struct Verified {
    health: Health,
    /// Everybody of whom it knows.
    clients: BTreeSet<ClientId>,
}

/// Opens a copy, examines it, and leaves nothing beside it.
fn verify(copy: &Path) -> Result<Verified> {
    let mut opened = SqliteStore::open(copy, Opening::Reading)?;
    let health = opened.doctor()?;
    let clients = opened.known_clients()?;
    opened.close()?;
    // The end of a copy is kept when it has become a ledger.
    remove_if_there(&head::beside(copy))?;
    match health.faults.first() {
        None => Ok(Verified { health, clients }),
        Some(fault) => Err(StoreError::damaged(copy, fault.clone())),
    }
}

/// The name of a file without its folder.
fn name_of(path: &Path) -> String {
    path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default()
}

fn write_checksums(path: &Path, sums: &[(&Path, Digest)]) -> Result<()> {
    let broken = |e| StoreError::file(path, &e);
    let part = beside(path, ".part");
    let mut file = File::create(&part).map_err(broken)?;
    for (of, sum) in sums {
        writeln!(file, "{sum}  {}", name_of(of)).map_err(broken)?;
    }
    file.sync_all().map_err(broken)?;
    fs::rename(&part, path).map_err(broken)
}

/// The checksums that stand beside a backup. None where there are none.
#[derive(Default)]
struct Checksums {
    ledger: Option<String>,
    accounts: Option<String>,
    companions: Vec<(Companion, String)>,
}

/// A copy may have been given another name; what belongs to it is told by the ends of the names.
fn written_checksums(of: &Path) -> Result<Option<Checksums>> {
    let path = beside(of, ".sha256");
    let text = match fs::read_to_string(&path) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
        other => other.map_err(|e| StoreError::file(&path, &e))?,
    };
    let mut sums = Checksums::default();
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        let (sum, name) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        let sum = sum.to_lowercase();
        let ends = |c: &Companion| name.ends_with(&c.of(Path::new("")).to_string_lossy().into_owned());
        match Companion::ALL.into_iter().find(ends) {
            _ if sums.ledger.is_none() => sums.ledger = Some(sum),
            Some(companion) => sums.companions.push((companion, sum)),
            None => sums.accounts = Some(sum),
        }
    }
    Ok(Some(sums))
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

/// Gives a finished file its name alone.
fn put_in_place(part: &Path, to: &Path) -> Result<()> {
    give_name(part, to)?;
    match fs::remove_file(part) {
        Err(e) if e.kind() != ErrorKind::NotFound => Err(StoreError::file(to, &e)),
        _ => Ok(()),
    }
}

/// Gives a finished file its name, never over another one, and flushes the folder. It may still have the old one.
fn give_name(part: &Path, to: &Path) -> Result<()> {
    let broken = |e: std::io::Error| match e.kind() {
        ErrorKind::AlreadyExists => StoreError::NotEmpty { path: to.to_owned() },
        _ => StoreError::file(to, &e),
    };
    sync(part)?;
    match fs::hard_link(part, to) {
        Ok(()) => {}
        Err(e) if e.kind() == ErrorKind::AlreadyExists => return Err(broken(e)),
        // Some file systems have no links; then the name is looked at once more and taken.
        Err(_) => {
            refuse_if_there(to)?;
            fs::rename(part, to).map_err(broken)?;
        }
    }
    sync_folder(to);
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
    /// Restores a backup to a place where no ledger is: copies it and the accounts beside it, holds both against their checksums, examines
    /// them, and only then gives them their names. The backup itself is only read.
    pub fn restore(backup: &Path, to: &Path) -> Result<Restored> {
        if !backup.exists() {
            return Err(StoreError::NoLedger { path: backup.to_owned() });
        }
        for taken in [beside(to, "-wal"), beside(to, "-shm")] {
            refuse_if_there(&taken)?;
        }
        let accounts = Accounts::beside(backup);
        let parts = Parts::begin(to, RESTORING, accounts.exists())?;
        let restored = restore_by(backup, &accounts, to, &parts);
        if restored.is_err() {
            let _ = parts.remove();
        }
        restored
    }
}

fn restore_by(backup: &Path, accounts: &Path, to: &Path, parts: &Parts) -> Result<Restored> {
    let part = parts.ledger.as_path();
    let written = written_checksums(backup)?;
    let had_checksum = written.is_some();
    let Checksums { ledger: sum, accounts: sum_of_accounts, companions } = written.unwrap_or_default();
    copy(backup, part)?;
    hold_against(sum.as_deref(), part, backup)?;
    for (companion, sum) in &companions {
        let of_backup = companion.of(backup);
        if of_backup.exists() {
            hold_against(Some(sum), &of_backup, &of_backup)?;
        }
    }
    gather_companions(backup, to, part)?;
    let Verified { mut health, clients } = verify(part).map_err(|e| about_backup(e, part, backup))?;
    if sum_of_accounts.is_some() || accounts.exists() {
        super::make_private(&parts.accounts)?;
        copy(accounts, &parts.accounts)?;
        hold_against(sum_of_accounts.as_deref(), &parts.accounts, accounts)?;
        let settled = Accounts::settle(&parts.accounts, &clients);
        health.accounts = Some(settled.map_err(|e| about_backup(e, &parts.accounts, accounts))?);
        sync(&parts.accounts)?;
    }
    // Whoever restores says that this is the ledger from now on; how far another one at this place had come no longer counts.
    remove_if_there(&head::beside(to))?;
    parts.put_companions_over(to)?;
    parts.put_in_place(to, health.accounts.is_some())?;
    Ok(Restored { path: to.to_owned(), health, had_checksum })
}

/// Puts together what belongs to a ledger that comes back: the keys of the copy and those that are at the place, whose ledger may still be
/// found; and both lists of erasures, so that whoever was forgotten since the copy was made is forgotten again before it is opened.
fn gather_companions(backup: &Path, to: &Path, part: &Path) -> Result<()> {
    let (of_backup, of_place) = (Companion::Root.of(backup), Companion::Root.of(to));
    match (keys::read_root(&of_backup)?, keys::read_root(&of_place)?) {
        // The list of another ledger says nothing of this one, and its keys do not open with this root key.
        (Some(one), Some(other)) if one.bytes() != other.bytes() => {
            return Err(StoreError::NotEmpty { path: of_place });
        }
        (Some(_), _) => copy_if_there(&of_backup, &Companion::Root.of(part))?,
        _ => copy_if_there(&of_place, &Companion::Root.of(part))?,
    }
    for from in [to, backup] {
        keys::merge(&Companion::Keys.of(from), &Companion::Keys.of(part))?;
        let list = erased::read_list(&Companion::Erased.of(from))?;
        erased::add_to_list(&Companion::Erased.of(part), &list)?;
    }
    Ok(())
}

/// Refuses a copy that is not what the checksum of the backup says.
fn hold_against(sum: Option<&str>, part: &Path, backup: &Path) -> Result<()> {
    match sum {
        Some(sum) if *sum != of_file(part)?.to_string() => {
            Err(StoreError::WrongChecksum { path: backup.to_owned() })
        }
        _ => Ok(()),
    }
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
