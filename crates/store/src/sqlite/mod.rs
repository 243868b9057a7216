//! A ledger in one SQLite file: a single connection, writes flushed to the disk before they are answered.
//!
//! The database is spoken to by asynchronous calls; a small runtime inside waits for them, so that the rest of the
//! program need not. Code that runs on an asynchronous runtime itself calls this from a thread of its own.

mod append;
pub(crate) mod backup;
mod doctor;
mod read;
mod rebuild;
mod schema;

use crate::digest::Digest;
use crate::error::{Result, StoreError};
use crate::state::{SetState, State, StateKind};
use crate::store::{Answer, Backup, Filter, Health, Kept, Outcome, Rebuilt, Seq, Store};
use setwright_model::ledger::{ClientId, Event, EventId};
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqliteSynchronous};
use sqlx::{ConnectOptions, Connection, SqliteConnection};
use std::collections::BTreeSet;
use std::fs::OpenOptions;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Duration;
use tokio::runtime::{Builder, Runtime};

pub use backup::Restored;
pub use schema::SCHEMA_VERSION;

/// How long another writer is waited for.
const BUSY_S: u64 = 15;

/// Pages of the file that may be kept in memory, as the negative number of KiB that SQLite takes: enough for the inner pages of a
/// gym's ledger, and a server has several of these open (judgement).
const CACHE_KIB: &str = "-16384";

/// Rows that may wait to be taken: with few, two threads hand each other the processor row by row (numeric).
const ROWS: usize = 4_096;

/// What to do when there is no ledger yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Opening {
    /// Refuse.
    Existing,
    /// Begin one.
    Create,
}

/// A ledger in an SQLite file.
pub struct SqliteStore {
    path: PathBuf,
    runtime: Runtime,
    connection: SqliteConnection,
}

/// What an inner call fails with; the path is added on the way out.
#[derive(Debug)]
pub(crate) enum Fail {
    Sql(sqlx::Error),
    Damaged(String),
    Store(StoreError),
}

impl From<sqlx::Error> for Fail {
    fn from(error: sqlx::Error) -> Self {
        Self::Sql(error)
    }
}

impl From<StoreError> for Fail {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

impl Fail {
    pub(crate) fn at(self, path: &Path) -> StoreError {
        match self {
            Self::Sql(error) => StoreError::sqlite(path, &error),
            Self::Damaged(what) => StoreError::damaged(path, what),
            Self::Store(error) => error,
        }
    }
}

pub(crate) type Inner<T> = std::result::Result<T, Fail>;

/// A file that lies open, as `bring_up` leaves it, and the runtime that waits for it.
pub(crate) fn opened(
    path: &Path,
    opening: Opening,
    bring_up: impl AsyncFnOnce(&mut SqliteConnection, &Path) -> Inner<()>,
) -> Result<(Runtime, SqliteConnection)> {
    if !path.exists() {
        match opening {
            Opening::Existing => return Err(StoreError::NoLedger { path: path.to_owned() }),
            Opening::Create => make_private(path)?,
        }
    }
    let runtime = runtime(path)?;
    let opened = runtime.block_on(async {
        let mut connection = options(path, opening).connect().await?;
        bring_up(&mut connection, path).await?;
        Ok(connection)
    });
    let connection = opened.map_err(|fail: Fail| fail.at(path))?;
    Ok((runtime, connection))
}

impl SqliteStore {
    /// Opens the ledger at this path, brings its schema up to date, and rebuilds what stands if it was reckoned by
    /// another version.
    pub fn open(path: &Path, opening: Opening) -> Result<Self> {
        Self::open_up_to(path, opening, SCHEMA_VERSION)
    }

    /// The same with a schema as an older version of the program left it: for tests of upgrades.
    #[doc(hidden)]
    pub fn open_up_to(path: &Path, opening: Opening, schema: i64) -> Result<Self> {
        let (runtime, connection) =
            opened(path, opening, async |c, path| schema::bring_up(c, path, schema).await)?;
        Ok(Self { path: path.to_owned(), runtime, connection })
    }

    /// An empty ledger that is kept nowhere: for looking at what would happen.
    pub fn in_memory() -> Result<Self> {
        let path = PathBuf::from(":memory:");
        let runtime = runtime(&path)?;
        let opened = runtime.block_on(async {
            let options = SqliteConnectOptions::new().in_memory(true).foreign_keys(true);
            let mut connection = options.disable_statement_logging().connect().await?;
            schema::bring_up(&mut connection, &path, SCHEMA_VERSION).await?;
            Ok(connection)
        });
        let connection = opened.map_err(|fail: Fail| fail.at(&path))?;
        Ok(Self { path, runtime, connection })
    }

    /// Where it is kept.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Closes the file in good order. Dropping the store loses nothing either, but leaves the clearing up to whoever
    /// opens it next.
    pub fn close(self) -> Result<()> {
        let Self { path, runtime, connection } = self;
        runtime.block_on(connection.close()).map_err(|e| StoreError::sqlite(&path, &e))
    }

    fn wait<T>(&mut self, work: impl AsyncFnOnce(&mut SqliteConnection) -> Inner<T>) -> Result<T> {
        self.runtime.block_on(work(&mut self.connection)).map_err(|fail| fail.at(&self.path))
    }
}

fn options(path: &Path, opening: Opening) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(path)
        .create_if_missing(opening == Opening::Create)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(BUSY_S))
        .pragma("cache_size", CACHE_KIB)
        .row_buffer_size(ROWS)
        .disable_statement_logging()
}

fn runtime(path: &Path) -> Result<Runtime> {
    Builder::new_current_thread().enable_time().build().map_err(|e| StoreError::file(path, &e))
}

/// Makes an empty file that only its owner can read: a ledger holds what clients tell of their bodies. What SQLite keeps
/// beside it takes over its rights.
fn make_private(path: &Path) -> Result<()> {
    make_folder(path)?;
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    match options.open(path) {
        // Another program may have been quicker.
        Err(e) if e.kind() != ErrorKind::AlreadyExists => Err(StoreError::file(path, &e)),
        _ => Ok(()),
    }
}

fn make_folder(path: &Path) -> Result<()> {
    match path.parent().filter(|p| !p.as_os_str().is_empty()) {
        Some(folder) => std::fs::create_dir_all(folder).map_err(|e| StoreError::file(folder, &e)),
        None => Ok(()),
    }
}

impl Store for SqliteStore {
    fn append(&mut self, events: &[Event]) -> Result<Vec<Answer>> {
        self.wait(async |c| append::each(c, events).await)
    }

    fn append_all(&mut self, events: &mut dyn Iterator<Item = Event>) -> Result<Outcome> {
        self.wait(async |c| append::all(c, events, true).await)
    }

    fn append_all_unless_after(
        &mut self,
        client: ClientId,
        place: Seq,
        events: &mut dyn Iterator<Item = Event>,
    ) -> Result<Option<Outcome>> {
        self.wait(async |c| append::all_unless_after(c, client, place, events).await)
    }

    fn rehearse(&mut self, events: &mut dyn Iterator<Item = Event>) -> Result<Outcome> {
        self.wait(async |c| append::all(c, events, false).await)
    }

    fn there(&mut self, ids: &[EventId]) -> Result<BTreeSet<EventId>> {
        self.wait(async |c| append::there(c, ids).await)
    }

    fn event(&mut self, id: EventId) -> Result<Option<Event>> {
        self.wait(async |c| read::event(c, id).await)
    }

    fn events(&mut self, filter: Filter, after: Seq, most: usize) -> Result<Vec<Kept>> {
        self.wait(async |c| read::events(c, filter, after, most).await)
    }

    fn events_back(&mut self, filter: Filter, before: Option<Seq>, most: usize) -> Result<Vec<Kept>> {
        self.wait(async |c| read::events_back(c, filter, before, most).await)
    }

    fn changed(&mut self, after: Seq) -> Result<Vec<(ClientId, Seq)>> {
        self.wait(async |c| read::changed(c, after).await)
    }

    fn link(&mut self, at: Option<Seq>) -> Result<Option<(Seq, Digest)>> {
        self.wait(async |c| append::link_at(c, at).await)
    }

    fn standing(&mut self, kind: StateKind, client: Option<ClientId>) -> Result<Vec<State>> {
        self.wait(async |c| read::standing(c, kind, client).await)
    }

    fn latest(&mut self, kind: StateKind, client: ClientId, most: usize) -> Result<Vec<State>> {
        self.wait(async |c| read::latest(c, kind, client, most).await)
    }

    fn count(&mut self, kind: StateKind, client: ClientId) -> Result<usize> {
        self.wait(async |c| read::count(c, kind, client).await)
    }

    fn thing(&mut self, kind: StateKind, client: ClientId, id: EventId) -> Result<Option<State>> {
        self.wait(async |c| read::thing(c, kind, client, id).await)
    }

    fn sets_of(&mut self, client: ClientId, session: EventId) -> Result<Vec<SetState>> {
        self.wait(async |c| read::sets_of(c, client, session).await)
    }

    fn rebuild(&mut self) -> Result<Rebuilt> {
        self.wait(async |c| rebuild::rebuild(c).await)
    }

    fn fingerprint(&mut self) -> Result<Digest> {
        self.wait(async |c| rebuild::fingerprint(c).await)
    }

    fn doctor(&mut self) -> Result<Health> {
        self.wait(async |c| doctor::examine(c).await)
    }

    fn backup(&mut self, to: &Path) -> Result<Backup> {
        backup::make(self, to)
    }
}
