//! A file of SQLite that lies open: how it is opened, and opened again after the database refused something.

use super::{Fail, Inner, Opening};
use crate::error::{Result, StoreError};
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqliteSynchronous};
use sqlx::{ConnectOptions, Connection, SqliteConnection};
use std::fs::OpenOptions;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Duration;
use tokio::runtime::{Builder, Runtime};

/// How long another writer is waited for.
const BUSY_S: u64 = 15;

/// Pages of the file that may be kept in memory, as the negative number of KiB that SQLite takes: enough for the inner pages of a
/// gym's ledger, and a server has several of these open (judgement).
const CACHE_KIB: &str = "-16384";

/// Rows that may wait to be taken: with few, two threads hand each other the processor row by row (numeric).
const ROWS: usize = 4_096;

/// What is kept in a file, and how an older file becomes one of today.
pub(crate) trait Schema {
    /// Brings the schema up.
    async fn bring_up(&self, c: &mut SqliteConnection, path: &Path) -> Inner<()>;
}

/// A file that lies open, and the runtime that waits for it.
pub(crate) struct OpenFile<S> {
    path: PathBuf,
    schema: S,
    runtime: Runtime,
    /// None after the database refused something, until it is asked again.
    connection: Option<SqliteConnection>,
    /// Whether it is in memory alone, and gone with its connection.
    fleeting: bool,
}

impl<S: Schema> OpenFile<S> {
    /// Opens the file at this path, or begins it.
    pub(crate) fn open(path: &Path, opening: Opening, schema: S) -> Result<Self> {
        if !path.exists() {
            match opening {
                Opening::Existing => return Err(StoreError::NoLedger { path: path.to_owned() }),
                Opening::Create => make_private(path)?,
            }
        }
        Self::connected(path, schema, options(path, opening), false)
    }

    /// One that is kept nowhere.
    pub(crate) fn in_memory(schema: S) -> Result<Self> {
        let options = SqliteConnectOptions::new().in_memory(true).foreign_keys(true);
        Self::connected(Path::new(":memory:"), schema, options.disable_statement_logging(), true)
    }

    fn connected(path: &Path, schema: S, options: SqliteConnectOptions, fleeting: bool) -> Result<Self> {
        let runtime = Builder::new_current_thread().enable_time().build();
        let runtime = runtime.map_err(|e| StoreError::file(path, &e))?;
        let mut file = Self { path: path.to_owned(), schema, runtime, connection: None, fleeting };
        file.connect(&options)?;
        Ok(file)
    }

    fn connect(&mut self, options: &SqliteConnectOptions) -> Result<()> {
        let connected = self.runtime.block_on(async {
            let mut connection = options.connect().await?;
            self.schema.bring_up(&mut connection, &self.path).await?;
            Ok(connection)
        });
        self.connection = Some(connected.map_err(|fail: Fail| fail.at(&self.path))?);
        Ok(())
    }

    /// Where it is kept.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Does some work and waits for it.
    ///
    /// A connection to which the database refused anything is not used again. When a write fails for want of room, SQLite has ended the
    /// transaction by itself; the connection takes it for still open, and would refuse all that comes after, also when there is room.
    pub(crate) fn wait<T>(&mut self, work: impl AsyncFnOnce(&mut SqliteConnection) -> Inner<T>) -> Result<T> {
        if self.connection.is_none() {
            self.connect(&options(&self.path, Opening::Existing))?;
        }
        let Some(connection) = &mut self.connection else {
            return Err(StoreError::Database { what: "it is not open".to_owned() });
        };
        let done = self.runtime.block_on(work(connection));
        if matches!(done, Err(Fail::Sql(_))) && !self.fleeting {
            self.connection = None;
        }
        done.map_err(|fail| fail.at(&self.path))
    }

    /// Closes the file in good order.
    pub(crate) fn close(self) -> Result<()> {
        let Self { path, runtime, connection, .. } = self;
        let Some(connection) = connection else { return Ok(()) };
        runtime.block_on(connection.close()).map_err(|e| StoreError::sqlite(&path, &e))
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

/// Makes an empty file that only its owner can read: a ledger holds what clients tell of their bodies. What SQLite keeps
/// beside it takes over its rights.
pub(super) fn make_private(path: &Path) -> Result<()> {
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
