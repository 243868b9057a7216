//! A ledger in one SQLite file: one connection at a time, writes flushed to the disk before they are answered.
//!
//! The database is spoken to by asynchronous calls; a small runtime inside waits for them, so that the rest of the
//! program need not. Code that runs on an asynchronous runtime itself calls this from a thread of its own.

mod accounts;
mod append;
pub(crate) mod backup;
mod copies;
mod doctor;
mod erased;
mod file;
mod head;
mod keys;
mod names;
mod people;
mod read;
mod rebuild;
mod schema;
mod sealed;
mod sealing;
mod shed;

use crate::digest::Digest;
use crate::error::{Result, StoreError};
use crate::state::{SetState, State, StateKind};
use crate::store::{
    Backup, BatchOutcome, Erasure, EventFilter, Health, Rebuilt, Receipt, Seq, Store, StoredEvent,
};
use file::make_private;
use head::KeptBeside;
use keys::Keys;
use setwright_model::ledger::{ClientId, Event, EventId, Moment};
use sqlx::{Connection, SqliteConnection};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

pub use accounts::{
    Account, AccountRole, Accounts, Begin, Deed, Entry, Lifetimes, RecordFilter, SecondStep, SharedSecret,
    SignedIn, Trace,
};
pub use backup::Restored;
pub use copies::CopyMade;
pub use file::FileId;
pub(crate) use file::{OpenFile, Schema};
pub use keys::write_over;
pub use schema::SCHEMA_VERSION;

/// What to do when there is no ledger yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Opening {
    /// Refuse.
    Existing,
    /// Begin one.
    Create,
    /// Refuse as well. A ledger that lost its end, or lies in a folder that must not be written, is opened all the same, to be read
    /// alone and left as it is.
    Reading,
}

/// A ledger in an SQLite file.
pub struct SqliteStore {
    file: OpenFile<LedgerSchema>,
    keys: Keys,
}

/// The schema of a ledger.
struct LedgerSchema {
    /// Up to which version it is brought.
    version: i64,
    /// Whether the end of its log is kept beside it.
    keeps_end: bool,
}

impl Schema for LedgerSchema {
    fn may_begin(&self, path: &Path) -> Result<()> {
        match head::kept(path)? {
            Some(kept) if kept.seq > 0 => {
                Err(StoreError::EndLost { path: path.to_owned(), last: 0, acknowledged: kept.seq })
            }
            _ => Ok(()),
        }
    }

    fn is_known(&self, path: &Path) -> bool {
        head::beside(path).exists()
    }

    async fn look(&self, c: &mut SqliteConnection, path: &Path) -> Inner<()> {
        let Some(kept) = head::kept(path)? else { return Ok(()) };
        if schema::version(c, path).await? == 0 {
            return Ok(self.may_begin(path)?);
        }
        head::reaches(c, path, kept).await
    }

    async fn is_current(&self, c: &mut SqliteConnection, path: &Path) -> Inner<bool> {
        schema::is_current(c, path, self.version).await
    }

    async fn bring_up(&self, c: &mut SqliteConnection, path: &Path) -> Inner<()> {
        let mut keys = if self.keeps_end { Keys::of(path) } else { Keys::in_memory() };
        schema::bring_up(c, path, &mut keys, (self.version, self.keeps_end)).await?;
        if self.keeps_end && !self.is_known(path) {
            begin_end(c, path).await?;
        }
        Ok(())
    }
}

/// Begins to keep the end of a log, under the lock that writers take.
async fn begin_end(c: &mut SqliteConnection, path: &Path) -> Inner<()> {
    let mut lock = c.begin_with(append::BEGIN).await?;
    if head::kept(path)?.is_none() {
        head::begin(path, append::last(&mut lock).await?)?;
    }
    Ok(lock.rollback().await?)
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

impl SqliteStore {
    /// Opens the ledger at this path, brings its schema up to date, and rebuilds what stands if it was reckoned by
    /// another version.
    pub fn open(path: &Path, opening: Opening) -> Result<Self> {
        Self::open_up_to(path, opening, SCHEMA_VERSION)
    }

    /// The same with a schema as an older version of the program left it: for tests of upgrades.
    #[doc(hidden)]
    pub fn open_up_to(path: &Path, opening: Opening, schema: i64) -> Result<Self> {
        let file = OpenFile::open(path, opening, LedgerSchema { version: schema, keeps_end: true })?;
        Ok(Self { file, keys: Keys::of(path) })
    }

    /// Opens the ledger at this path if it is this file and no other: who has it open already does not go on with another one.
    pub fn open_same(path: &Path, id: FileId) -> Result<Self> {
        let schema = LedgerSchema { version: SCHEMA_VERSION, keeps_end: true };
        Ok(Self { file: OpenFile::open_same(path, id, schema)?, keys: Keys::of(path) })
    }

    /// An empty ledger that is kept nowhere: for looking at what would happen.
    pub fn in_memory() -> Result<Self> {
        let schema = LedgerSchema { version: SCHEMA_VERSION, keeps_end: false };
        Ok(Self { file: OpenFile::in_memory(schema)?, keys: Keys::in_memory() })
    }

    /// Where it is kept.
    pub fn path(&self) -> &Path {
        self.file.path()
    }

    /// Which file it is; none in memory.
    pub fn file_id(&self) -> Option<FileId> {
        self.file.id()
    }

    /// Puts everything into the file itself, as far as nobody else is at it: what rests there is no more at the mercy of one bit.
    pub fn checkpoint(&mut self) -> Result<()> {
        // Keys of clients who were forgotten meanwhile must not stay in memory either.
        self.keys.let_go();
        self.file.write(async |c| shed::settle(c).await.map(|_| ()))?;
        self.file.checkpoint()
    }

    /// Where the accounts beside it are; none where there are none.
    fn accounts(&self) -> Option<PathBuf> {
        let accounts = self.file.id().map(|_| Accounts::of(self.path()))?;
        accounts.exists().then_some(accounts)
    }

    /// Everybody of whom there is anything in the log, whether it stands or not.
    fn known_clients(&mut self) -> Result<BTreeSet<ClientId>> {
        self.wait(async |c| read::clients_of_log(c).await)
    }

    /// How many events were acknowledged and are missing.
    pub fn lost(&mut self) -> Result<u64> {
        let Some(end) = self.end() else { return Ok(0) };
        match self.wait(async |c| end.checked(c).await) {
            Err(StoreError::EndLost { last, acknowledged, .. }) => {
                Ok(u64::try_from(acknowledged - last).unwrap_or_default().max(1))
            }
            other => other.map(|()| 0),
        }
    }

    /// Where the end of the log is kept.
    fn end(&self) -> Option<KeptBeside> {
        self.file.id().map(|id| KeptBeside { ledger: self.path().to_owned(), id })
    }

    /// Closes the file in good order. Dropping the store loses nothing either, but leaves the clearing up to whoever
    /// opens it next.
    pub fn close(self) -> Result<()> {
        self.file.close()
    }

    fn wait<T>(&mut self, work: impl AsyncFnOnce(&mut SqliteConnection) -> Inner<T>) -> Result<T> {
        self.file.wait(work)
    }
}

impl Store for SqliteStore {
    fn append(&mut self, events: &[Event]) -> Result<Vec<Receipt>> {
        let end = self.end();
        let Self { file, keys } = self;
        file.write(async |c| append::each(c, keys, events, end.as_ref()).await)
    }

    fn append_all(&mut self, events: &mut dyn Iterator<Item = Event>) -> Result<BatchOutcome> {
        let end = self.end();
        let Self { file, keys } = self;
        file.write(async |c| append::all(c, keys, events, true, end.as_ref()).await)
    }

    fn append_all_named(
        &mut self,
        events: &[Event],
        seen: &dyn Fn(ClientId) -> bool,
    ) -> Result<BatchOutcome> {
        let end = self.end();
        let Self { file, keys } = self;
        file.write(async |c| append::all_named(c, keys, events, seen, end.as_ref()).await)
    }

    fn append_all_unless_after(
        &mut self,
        client: ClientId,
        place: Seq,
        events: &mut dyn Iterator<Item = Event>,
    ) -> Result<Option<BatchOutcome>> {
        let end = self.end();
        let Self { file, keys } = self;
        let since = (client, place);
        file.write(async |c| append::all_unless_after(c, keys, since, events, end.as_ref()).await)
    }

    fn rehearse(&mut self, events: &mut dyn Iterator<Item = Event>) -> Result<BatchOutcome> {
        let end = self.end();
        let Self { file, keys } = self;
        file.wait(async |c| append::all(c, keys, events, false, end.as_ref()).await)
    }

    fn there(&mut self, ids: &[EventId]) -> Result<BTreeSet<EventId>> {
        self.wait(async |c| append::there(c, ids).await)
    }

    fn event(&mut self, id: EventId) -> Result<Option<Event>> {
        let Self { file, keys } = self;
        file.wait(async |c| read::event(c, keys, id).await)
    }

    fn events(&mut self, filter: EventFilter, after: Seq, most: usize) -> Result<Vec<StoredEvent>> {
        let Self { file, keys } = self;
        file.wait(async |c| read::events(c, keys, filter, after, most).await)
    }

    fn events_back(
        &mut self,
        filter: EventFilter,
        before: Option<Seq>,
        most: usize,
    ) -> Result<Vec<StoredEvent>> {
        let Self { file, keys } = self;
        file.wait(async |c| read::events_back(c, keys, filter, before, most).await)
    }

    fn changed(&mut self, after: Seq) -> Result<Vec<(ClientId, Seq)>> {
        self.wait(async |c| read::changed(c, after).await)
    }

    fn link(&mut self, at: Option<Seq>) -> Result<Option<(Seq, Digest)>> {
        self.wait(async |c| append::link_at(c, at).await)
    }

    fn standing(&mut self, kind: StateKind, client: Option<ClientId>) -> Result<Vec<State>> {
        let Self { file, keys } = self;
        file.wait(async |c| read::standing(c, keys, kind, client).await)
    }

    fn latest(&mut self, kind: StateKind, client: ClientId, most: usize) -> Result<Vec<State>> {
        let Self { file, keys } = self;
        file.wait(async |c| read::latest(c, keys, kind, client, most).await)
    }

    fn count(&mut self, kind: StateKind, client: ClientId) -> Result<usize> {
        self.wait(async |c| read::count(c, kind, client).await)
    }

    fn thing(&mut self, kind: StateKind, client: ClientId, id: EventId) -> Result<Option<State>> {
        let Self { file, keys } = self;
        file.wait(async |c| read::thing(c, keys, kind, client, id).await)
    }

    fn sets_of(&mut self, client: ClientId, session: EventId) -> Result<Vec<SetState>> {
        let Self { file, keys } = self;
        file.wait(async |c| read::sets_of(c, keys, client, session).await)
    }

    fn rebuild(&mut self) -> Result<Rebuilt> {
        let Self { file, keys } = self;
        file.write(async |c| rebuild::rebuild(c, keys).await)
    }

    fn fingerprint(&mut self) -> Result<Digest> {
        let Self { file, keys } = self;
        file.wait(async |c| rebuild::fingerprint(c, keys).await)
    }

    fn doctor(&mut self) -> Result<Health> {
        let end = self.end();
        let accounts = self.accounts();
        let Self { file, keys } = self;
        let mut health = file.wait(async |c| doctor::examine(c, keys, end.as_ref()).await)?;
        if let Some(accounts) = accounts {
            let found = accounts::care::examine(&accounts, &self.known_clients()?);
            health.accounts = Some(found.accounts);
            health.faults.extend(found.faults);
        }
        Ok(health)
    }

    fn erase(&mut self, client: ClientId, at: Moment) -> Result<Option<Erasure>> {
        let ledger = self.file.id().map(|_| self.path().to_owned());
        let Self { file, keys } = self;
        file.write(async |c| erased::erase(c, keys, ledger.as_deref(), client, at).await)
    }

    fn forget_name(&mut self, name: &str) -> Result<bool> {
        let Self { file, keys } = self;
        file.write(async |c| people::forget(c, keys, name).await)
    }

    fn is_gone(&mut self, client: ClientId) -> Result<bool> {
        let Self { file, keys } = self;
        let gone = file.wait(async |c| erased::among(c, keys, std::iter::once(client)).await)?;
        Ok(!gone.is_empty())
    }

    fn forgotten(&mut self) -> Result<u64> {
        self.wait(async |c| erased::count(c).await)
    }

    fn derived(&mut self, client: ClientId, contents: &[Digest]) -> Result<Vec<EventId>> {
        let Self { file, keys } = self;
        file.wait(async |_| {
            let key = keys.get_or_draw(client).await?;
            let of = |content: &Digest| EventId::derived(key.keyed(&[b"event", &content.0]).half());
            Ok(contents.iter().map(of).collect())
        })
    }

    fn backup(&mut self, to: &Path) -> Result<Backup> {
        backup::make(self, to)
    }
}
