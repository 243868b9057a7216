//! A file of SQLite that lies open: how it is opened, to be written or only read, and opened again after the database refused
//! something; and whether it still is the file that has its name.

use super::{Fail, Inner, Opening};
use crate::error::{Result, StoreError};
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqliteSynchronous};
use sqlx::{ConnectOptions, Connection, SqliteConnection};
use std::fs::{Metadata, OpenOptions};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Duration;
use tokio::runtime::{Builder, Runtime};

/// How long another writer is waited for.
const BUSY_S: u64 = 15;

/// Between tries to open a file that others are opening too (judgement); as long as another writer is waited for in all.
const PAUSE: Duration = Duration::from_millis(50);
const TRIES: u64 = BUSY_S * 1_000 / 100;

/// Pages of the file that may be kept in memory, as the negative number of KiB that SQLite takes: enough for the inner pages of a
/// gym's ledger, and a server has several of these open (judgement).
const CACHE_KIB: &str = "-16384";

/// Rows that may wait to be taken: with few, two threads hand each other the processor row by row (numeric).
const ROWS: usize = 4_096;

/// What is kept in a file, and how an older file becomes one of today.
pub(crate) trait Schema {
    /// How what is being written is kept until it is whole.
    const JOURNAL: SqliteJournalMode = SqliteJournalMode::Wal;

    /// Refuses to begin a file where one is known to have been.
    fn may_begin(&self, _path: &Path) -> Result<()> {
        Ok(())
    }

    /// Whether something beside the file says what must be in it.
    fn is_known(&self, _path: &Path) -> bool {
        false
    }

    /// Refuses a file that lacks what must be in it; nothing was written to it yet.
    async fn look(&self, _c: &mut SqliteConnection, _path: &Path) -> Inner<()> {
        Ok(())
    }

    /// Whether nothing would have to be brought up.
    async fn is_current(&self, c: &mut SqliteConnection, path: &Path) -> Inner<bool>;

    /// Brings the schema up.
    async fn bring_up(&self, c: &mut SqliteConnection, path: &Path) -> Inner<()>;
}

/// Which file it is, whatever it is called: a name can be given to another one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FileId {
    #[cfg(unix)]
    device: u64,
    #[cfg(unix)]
    inode: u64,
}

impl FileId {
    /// The file that has this name now.
    ///
    /// # Errors
    /// [`StoreError::Moved`] when none has.
    pub(super) fn at(path: &Path) -> Result<Self> {
        match path.metadata() {
            Ok(found) => Ok(Self::of(&found)),
            Err(e) if e.kind() == ErrorKind::NotFound => Err(StoreError::Moved { path: path.to_owned() }),
            Err(e) => Err(StoreError::file(path, &e)),
        }
    }

    #[cfg(unix)]
    fn of(found: &Metadata) -> Self {
        use std::os::unix::fs::MetadataExt;
        Self { device: found.dev(), inode: found.ino() }
    }

    /// Elsewhere it is only seen whether there is a file.
    #[cfg(not(unix))]
    fn of(_: &Metadata) -> Self {
        Self {}
    }

    /// Refuses when another file has this name by now, or none.
    pub(crate) fn still_at(self, path: &Path) -> Result<()> {
        if Self::at(path)? == self { Ok(()) } else { Err(StoreError::Moved { path: path.to_owned() }) }
    }
}

/// A file that lies open, and the runtime that waits for it.
pub(crate) struct OpenFile<S> {
    path: PathBuf,
    opening: Opening,
    /// None in memory.
    id: Option<FileId>,
    schema: S,
    runtime: Runtime,
    /// None after the database refused something, until it is asked again.
    connection: Option<SqliteConnection>,
    /// The one that was refused something. It is not used, only held until another is open: with the last connection goes the index of
    /// the write-ahead file, and on a full disk there is no room to make it anew, not even to read.
    retired: Option<SqliteConnection>,
}

impl<S: Schema> OpenFile<S> {
    /// Opens the file at this path, or begins it.
    pub(crate) fn open(path: &Path, opening: Opening, schema: S) -> Result<Self> {
        if !path.exists() {
            if opening != Opening::Create {
                return Err(StoreError::NoLedger { path: path.to_owned() });
            }
            schema.may_begin(path)?;
            make_private(path)?;
        }
        let mut file = Self::shut(path, opening, Some(FileId::at(path)?), schema)?;
        file.connect()?;
        Ok(file)
    }

    /// Opens the file at this path if it is this one and no other.
    pub(crate) fn open_same(path: &Path, id: FileId, schema: S) -> Result<Self> {
        let mut file = Self::shut(path, Opening::Existing, Some(id), schema)?;
        file.connect()?;
        Ok(file)
    }

    /// One that is kept nowhere.
    pub(crate) fn in_memory(schema: S) -> Result<Self> {
        let mut file = Self::shut(Path::new(":memory:"), Opening::Create, None, schema)?;
        file.connect()?;
        Ok(file)
    }

    fn shut(path: &Path, opening: Opening, id: Option<FileId>, schema: S) -> Result<Self> {
        let runtime = Builder::new_current_thread().enable_time().build();
        let runtime = runtime.map_err(|e| StoreError::file(path, &e))?;
        Ok(Self { path: path.to_owned(), opening, id, schema, runtime, connection: None, retired: None })
    }

    fn connect(&mut self) -> Result<()> {
        // Another file under this name is not even looked at: what the old one left beside it would be taken for its own.
        self.unmoved()?;
        let connected = self.runtime.block_on(async {
            match (self.id, self.opening) {
                (None, _) => in_memory(&self.schema).await,
                (_, Opening::Reading) => to_read(&self.path, &self.schema).await,
                _ => to_write(&self.path, &self.schema).await,
            }
        });
        self.connection = Some(connected.map_err(|fail: Fail| fail.at(&self.path))?);
        self.retired = None;
        Ok(())
    }

    /// Which file it is; none in memory.
    pub(crate) fn id(&self) -> Option<FileId> {
        self.id
    }

    /// Refuses when the file was moved or replaced since it was opened.
    pub(crate) fn unmoved(&self) -> Result<()> {
        self.id.map_or(Ok(()), |id| id.still_at(&self.path))
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
            self.connect()?;
        }
        let Some(connection) = &mut self.connection else {
            return Err(StoreError::Database { what: "it is not open".to_owned() });
        };
        let done = self.runtime.block_on(work(connection));
        if matches!(done, Err(Fail::Sql(_))) && self.id.is_some() {
            let refused = self.connection.take();
            self.retired = self.retired.take().or(refused);
        }
        done.map_err(|fail| fail.at(&self.path))
    }

    /// Does some work that writes. What was written to a file that was moved meanwhile is not acknowledged.
    pub(crate) fn write<T>(
        &mut self,
        work: impl AsyncFnOnce(&mut SqliteConnection) -> Inner<T>,
    ) -> Result<T> {
        self.unmoved()?;
        let done = self.wait(work)?;
        self.unmoved()?;
        Ok(done)
    }

    /// Puts everything from the write-ahead file into the file itself and empties it, as far as nobody else is at it.
    pub(crate) fn checkpoint(&mut self) -> Result<()> {
        self.write(async |c| {
            sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)").execute(c).await?;
            Ok(())
        })
    }

    /// Closes the file in good order.
    pub(crate) fn close(self) -> Result<()> {
        let Self { path, runtime, connection, retired, .. } = self;
        drop(retired);
        let Some(connection) = connection else { return Ok(()) };
        runtime.block_on(connection.close()).map_err(|e| StoreError::sqlite(&path, &e))
    }
}

fn options(path: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(path)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(BUSY_S))
        .pragma("cache_size", CACHE_KIB)
        .row_buffer_size(ROWS)
        .disable_statement_logging()
}

async fn in_memory(schema: &impl Schema) -> Inner<SqliteConnection> {
    let options = SqliteConnectOptions::new().in_memory(true).foreign_keys(true);
    let mut connection = options.disable_statement_logging().connect().await?;
    schema.bring_up(&mut connection, Path::new(":memory:")).await?;
    Ok(connection)
}

/// A connection that may write, after the file was looked at by one that may not: closing the first would put what is left of a
/// write-ahead file into the file and remove it, and with it what could tell what was lost.
async fn to_write(path: &Path, schema: &impl Schema) -> Inner<SqliteConnection> {
    if schema.is_known(path) {
        let mut looking = options(path).read_only(true).connect().await?;
        schema.look(&mut looking, path).await?;
        looking.close().await?;
    }
    let mut connection = connected(options(path).journal_mode(journal(schema))).await?;
    schema.bring_up(&mut connection, path).await?;
    Ok(connection)
}

const fn journal<S: Schema>(_: &S) -> SqliteJournalMode {
    S::JOURNAL
}

/// A connection to a file whose way of keeping what is being written may have to change: that needs the file for itself, and SQLite does
/// not wait for it as it does for other writers.
async fn connected(options: SqliteConnectOptions) -> Inner<SqliteConnection> {
    let options = options.busy_timeout(PAUSE);
    let mut tries = 0;
    let mut connection = loop {
        match options.connect().await {
            Err(error) if tries < TRIES && is_busy(&error) => {
                tries += 1;
                tokio::time::sleep(PAUSE).await;
            }
            other => break other?,
        }
    };
    let patient = format!("PRAGMA busy_timeout = {}", BUSY_S * 1_000);
    sqlx::raw_sql(sqlx::AssertSqlSafe(patient)).execute(&mut connection).await?;
    Ok(connection)
}

/// A connection as to write; where that is refused and reading is not, one that only reads.
async fn to_read(path: &Path, schema: &impl Schema) -> Inner<SqliteConnection> {
    let refused = match to_write(path, schema).await {
        Err(fail) if can_be_read(&fail) => fail,
        other => return other,
    };
    let current = match reading(options(path).read_only(true), path, schema).await {
        // Beside a file in a folder that must not be written SQLite cannot lay its own. With no write-ahead file there nobody else
        // is at it, and the file alone is all there is.
        Err(Fail::Sql(error)) if cannot_open(&error) && !has_log(path) => {
            reading(options(path).read_only(true).immutable(true), path, schema).await?
        }
        other => other?,
    };
    current.ok_or(refused)
}

/// Whether a file that is not to be written for this reason may still be read: its place does not allow it, or it is not what it was, and
/// what is left of it must not change.
fn can_be_read(fail: &Fail) -> bool {
    match fail {
        Fail::Sql(error) => cannot_open(error),
        Fail::Store(error) => matches!(
            error,
            StoreError::EndLost { .. } | StoreError::NotWritable { .. } | StoreError::Damaged { .. }
        ),
        Fail::Damaged(_) => false,
    }
}

/// A connection with these options; none if something must be brought up first.
async fn reading(
    options: SqliteConnectOptions,
    path: &Path,
    schema: &impl Schema,
) -> Inner<Option<SqliteConnection>> {
    let mut connection = options.connect().await?;
    Ok(schema.is_current(&mut connection, path).await?.then_some(connection))
}

/// The primary result code: <https://www.sqlite.org/rescode.html>.
fn code(error: &sqlx::Error) -> Option<u32> {
    error.as_database_error().and_then(|e| e.code()?.parse::<u32>().ok()).map(|code| code & 0xff)
}

/// `SQLITE_READONLY` or `SQLITE_CANTOPEN`.
fn cannot_open(error: &sqlx::Error) -> bool {
    matches!(code(error), Some(8 | 14))
}

/// `SQLITE_BUSY` or `SQLITE_LOCKED`.
fn is_busy(error: &sqlx::Error) -> bool {
    matches!(code(error), Some(5 | 6))
}

/// Whether there is anything in a write-ahead file.
fn has_log(path: &Path) -> bool {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    Path::new(&name).metadata().is_ok_and(|log| log.len() > 0)
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

/// The path with this at its end.
pub(super) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// Flushes the folder of a file, so that its name is on the disk as well.
pub(super) fn sync_folder(path: &Path) {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    // A folder cannot be flushed everywhere (Windows); the file itself was.
    let _ = std::fs::File::open(folder).and_then(|f| f.sync_all());
}

fn make_folder(path: &Path) -> Result<()> {
    match path.parent().filter(|p| !p.as_os_str().is_empty()) {
        Some(folder) => std::fs::create_dir_all(folder).map_err(|e| StoreError::file(folder, &e)),
        None => Ok(()),
    }
}
