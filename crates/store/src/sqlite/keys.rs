//! The keys of clients, in a file of their own beside the ledger, each wrapped by the ledger's root key, which lies in a third file. The
//! ledger and its copies may live for years; of the keys there should be as few copies as may be, for to destroy a client's key is to forget
//! the client.
//!
//! Whoever writes this file has the ledger's write lock, so that nobody else does. A key is on the disk before anything sealed under it is.
//! Rows that were deleted are written over, and so is the journal that a deletion leaves; what a disk keeps of blocks that it no longer
//! shows nobody can reach from here.

use super::file::{beside, make_private};
use super::{Fail, Inner};
use crate::cipher::{KEY_BYTES, KEY_VERSION, SealingKey};
use crate::digest::{Digest, keyed};
use crate::error::{Result, StoreError};
use setwright_model::ledger::ClientId;
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqliteSynchronous};
use sqlx::{ConnectOptions, Connection, SqliteConnection};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, OpenOptions};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;
use zeroize::Zeroizing;

/// What the file of keys is: one row for each version of a client's key.
const TABLE: &str = "CREATE TABLE IF NOT EXISTS client_key (client BLOB NOT NULL CHECK (length(client) = 16), \
    version INTEGER NOT NULL, wrapped BLOB NOT NULL, PRIMARY KEY (client, version)) STRICT; \
    PRAGMA application_id = 0x53574b59; PRAGMA user_version = 1";

/// Where the keys of a ledger lie.
pub(super) fn keys_of(ledger: &Path) -> PathBuf {
    beside(ledger, ".keys")
}

/// Where the root key of a ledger lies.
pub(super) fn root_of(ledger: &Path) -> PathBuf {
    beside(ledger, ".root")
}

/// The keys of a ledger, as far as they were needed.
pub(crate) struct Keys {
    /// None for a ledger that is kept nowhere: its keys are not, either.
    ledger: Option<PathBuf>,
    root: Option<SealingKey>,
    held: BTreeMap<ClientId, SealingKey>,
    /// Whether they were read since the transaction began, which nobody else can have changed meanwhile.
    looked: bool,
    /// Drawn, and not yet kept.
    drawn: BTreeMap<ClientId, SealingKey>,
    /// Those of them that the open transaction uses.
    used: BTreeSet<ClientId>,
}

impl Keys {
    /// Those of the ledger at this path.
    pub(super) fn of(ledger: &Path) -> Self {
        Self { ledger: Some(ledger.to_owned()), ..Self::in_memory() }
    }

    /// Those of a ledger that is kept nowhere.
    pub(super) const fn in_memory() -> Self {
        Self {
            ledger: None,
            root: None,
            held: BTreeMap::new(),
            looked: false,
            drawn: BTreeMap::new(),
            used: BTreeSet::new(),
        }
    }

    /// Begins a transaction that writes.
    pub(super) fn begin(&mut self) {
        self.looked = false;
        self.used.clear();
    }

    /// Lets go of all keys; they are read again when they are needed.
    pub(super) fn let_go(&mut self) {
        let ledger = self.ledger.is_some();
        if ledger {
            self.held.clear();
        }
        self.drawn.clear();
        self.begin();
    }

    /// The key of a client; none when there is none, or no more.
    pub(super) async fn get(&mut self, client: ClientId) -> Inner<Option<&SealingKey>> {
        if !self.looked && !self.held.contains_key(&client) {
            self.load().await?;
        }
        Ok(self.held.get(&client).or_else(|| self.drawn.get(&client)))
    }

    /// The key of a client who has one.
    pub(super) async fn needed(&mut self, client: ClientId) -> Inner<&SealingKey> {
        if self.get(client).await?.is_none() {
            // Another program may have added the client meanwhile.
            self.looked = false;
        }
        self.get(client).await?.ok_or_else(|| Fail::Damaged(format!("the key of client {client} is missing")))
    }

    /// The key of a client, drawn if there is none: it is kept when a transaction is that used it.
    pub(super) async fn get_or_draw(&mut self, client: ClientId) -> Inner<&SealingKey> {
        if self.get(client).await?.is_none() {
            self.drawn.insert(client, SealingKey::draw().ok_or_else(no_chance)?);
        }
        if self.drawn.contains_key(&client) {
            self.used.insert(client);
        }
        self.needed(client).await
    }

    /// What a client is called in the list of erasures: without the root key nobody can tell who it is, not even by trying identifiers.
    pub(super) fn mark(&mut self, client: ClientId) -> Inner<Digest> {
        let key = self.root()?.keyed(&[b"setwright list of erasures"]);
        Ok(keyed(&key.0, &[&client.bytes()]))
    }

    /// The root key; begun where there are no keys yet.
    pub(super) fn root(&mut self) -> Inner<&SealingKey> {
        if self.root.is_none() {
            let root = match &self.ledger {
                None => SealingKey::draw().ok_or_else(no_chance)?,
                Some(ledger) => read_or_begin_root(ledger)?,
            };
            self.root = Some(root);
        }
        self.root.as_ref().ok_or_else(no_chance)
    }

    /// Reads all keys that are kept.
    async fn load(&mut self) -> Inner<()> {
        self.looked = true;
        let Some(path) = self.ledger.as_deref().map(keys_of).filter(|path| is_begun(path)) else {
            return Ok(());
        };
        let rows = rows(&path).await.map_err(|e| StoreError::sqlite(&path, &e))?;
        let root = self.root()?;
        let mut read = Vec::with_capacity(rows.len());
        for (client, wrapped) in rows {
            let client =
                id(&client).ok_or_else(|| StoreError::damaged(&path, "a client is no identifier"))?;
            let key = unwrap(root, client, &wrapped);
            read.push((client, key.ok_or_else(|| StoreError::damaged(&path, WRONG_ROOT))?));
        }
        self.held = read.into_iter().collect();
        // What is kept counts; another program may have been quicker.
        self.drawn.retain(|client, _| !self.held.contains_key(client));
        Ok(())
    }

    /// Keeps what was drawn, on the disk when this returns.
    pub(super) async fn keep(&mut self) -> Inner<()> {
        let used = std::mem::take(&mut self.used);
        let drawn: BTreeMap<_, _> = used.into_iter().filter_map(|id| self.drawn.remove_entry(&id)).collect();
        if drawn.is_empty() {
            return Ok(());
        }
        if let Some(ledger) = self.ledger.clone() {
            let root = self.root()?;
            let path = keys_of(&ledger);
            make_private(&path)?;
            let wrapped =
                drawn.iter().map(|(client, key)| Some((client.bytes().to_vec(), wrap(root, *client, key)?)));
            let wrapped: Option<Vec<_>> = wrapped.collect();
            let wrapped = wrapped.ok_or_else(|| Fail::Damaged("a key cannot be wrapped".to_owned()))?;
            put(&path, &wrapped).await.map_err(|e| StoreError::sqlite(&path, &e))?;
            write_over(&beside(&path, "-journal"))?;
        }
        self.held.extend(drawn);
        Ok(())
    }

    /// The clients who have a key.
    pub(super) async fn clients(&mut self) -> Inner<BTreeSet<ClientId>> {
        if self.ledger.is_some() {
            self.held.clear();
        }
        self.load().await?;
        Ok(self.held.keys().copied().collect())
    }

    /// Destroys keys, so that nothing of them is left in the file or beside it. Doing it again does no harm.
    pub(super) async fn destroy(&mut self, clients: &BTreeSet<ClientId>) -> Inner<()> {
        for client in clients {
            self.held.remove(client);
            self.drawn.remove(client);
        }
        let Some(path) = self.ledger.as_deref().map(keys_of).filter(|path| is_begun(path)) else {
            return Ok(());
        };
        delete(&path, clients).await.map_err(|e| StoreError::sqlite(&path, &e))?;
        Ok(write_over(&beside(&path, "-journal"))?)
    }
}

/// Whether there is anything in this file of keys.
fn is_begun(path: &Path) -> bool {
    path.metadata().is_ok_and(|m| m.len() > 0)
}

/// What is said when keys do not open with the root key beside them.
const WRONG_ROOT: &str = "a key does not open with the root key beside it";

fn no_chance() -> Fail {
    let what = "the system gives no chance, so that no key can be made".to_owned();
    Fail::Store(StoreError::Database { what })
}

fn id(bytes: &[u8]) -> Option<ClientId> {
    ClientId::from_bytes(bytes.try_into().ok()?).ok()
}

fn wrap(root: &SealingKey, client: ClientId, key: &SealingKey) -> Option<Vec<u8>> {
    let (id, version) = (client.bytes(), KEY_VERSION.to_be_bytes());
    root.seal(&id, &[WRAPPED, &id, &version], key.bytes())
}

fn unwrap(root: &SealingKey, client: ClientId, wrapped: &[u8]) -> Option<SealingKey> {
    let (id, version) = (client.bytes(), KEY_VERSION.to_be_bytes());
    let bytes = Zeroizing::new(root.open(&id, &[WRAPPED, &id, &version], wrapped)?);
    Some(SealingKey::of(<[u8; KEY_BYTES]>::try_from(bytes.as_slice()).ok()?))
}

/// What a wrapped key is sealed as.
const WRAPPED: &[u8] = b"key of a client";

fn options(path: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(path)
        .synchronous(SqliteSynchronous::Extra)
        .busy_timeout(Duration::from_secs(15))
        .disable_statement_logging()
}

/// A connection that only reads. One that may write is needed where a journal was left, for what it undoes counts for nothing.
async fn reading(path: &Path) -> sqlx::Result<SqliteConnection> {
    if beside(path, "-journal").exists() {
        writing(path).await
    } else {
        options(path).read_only(true).connect().await
    }
}

/// A connection that writes. The journal is kept when it is over, so that it can be written over.
async fn writing(path: &Path) -> sqlx::Result<SqliteConnection> {
    options(path).journal_mode(SqliteJournalMode::Persist).pragma("secure_delete", "ON").connect().await
}

async fn put(path: &Path, wrapped: &[Wrapped]) -> sqlx::Result<()> {
    let mut c = writing(path).await?;
    sqlx::raw_sql(TABLE).execute(&mut c).await?;
    let mut t = c.begin_with("BEGIN IMMEDIATE").await?;
    for (client, wrapped) in wrapped {
        let sql = "INSERT OR REPLACE INTO client_key (client, version, wrapped) VALUES (?1, ?2, ?3)";
        let query = sqlx::query(sql).bind(client).bind(KEY_VERSION).bind(wrapped);
        query.execute(&mut *t).await?;
    }
    t.commit().await?;
    c.close().await
}

/// Puts the keys of one file, as they are wrapped, into another; where both have a client's, the first one's count.
pub(super) fn merge(from: &Path, into: &Path) -> Result<()> {
    if !is_begun(from) {
        return Ok(());
    }
    make_private(into)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build();
    let runtime = runtime.map_err(|e| StoreError::file(from, &e))?;
    let rows = runtime.block_on(rows(from)).map_err(|e| StoreError::sqlite(from, &e))?;
    runtime.block_on(put(into, &rows)).map_err(|e| StoreError::sqlite(into, &e))?;
    write_over(&beside(into, "-journal"))
}

/// Client and wrapped key of each row.
type Wrapped = (Vec<u8>, Vec<u8>);

async fn rows(path: &Path) -> sqlx::Result<Vec<Wrapped>> {
    let mut c = reading(path).await?;
    let sql = "SELECT client, wrapped FROM client_key WHERE version = ?1";
    let rows = sqlx::query_as(sql).bind(KEY_VERSION).fetch_all(&mut c).await?;
    c.close().await?;
    Ok(rows)
}

async fn delete(path: &Path, clients: &BTreeSet<ClientId>) -> sqlx::Result<()> {
    let mut c = writing(path).await?;
    let mut t = c.begin_with("BEGIN IMMEDIATE").await?;
    for client in clients {
        let sql = "DELETE FROM client_key WHERE client = ?1";
        sqlx::query(sql).bind(client.bytes().to_vec()).execute(&mut *t).await?;
    }
    t.commit().await?;
    // Pages that were laid together may hold more than their rows.
    sqlx::raw_sql("PRAGMA temp_store = MEMORY; VACUUM").execute(&mut c).await?;
    c.close().await
}

/// Writes over a file and takes it away; where there is none, nothing is done.
///
/// # Errors
/// It cannot be written.
pub fn write_over(path: &Path) -> Result<()> {
    let broken = |e| StoreError::file(path, &e);
    let length = match fs::metadata(path) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(()),
        other => other.map_err(broken)?.len(),
    };
    let mut file = OpenOptions::new().write(true).open(path).map_err(broken)?;
    std::io::copy(&mut std::io::Read::take(std::io::repeat(0), length), &mut file).map_err(broken)?;
    file.sync_all().map_err(broken)?;
    fs::remove_file(path).map_err(broken)
}

/// The root key of a ledger. One is begun only where there are no keys: others would not open with it.
fn read_or_begin_root(ledger: &Path) -> Result<SealingKey> {
    let path = root_of(ledger);
    match read_root(&path)? {
        Some(root) => Ok(root),
        None if is_begun(&keys_of(ledger)) => Err(StoreError::KeyMissing { path }),
        None => begin_root(&path),
    }
}

/// The root key that is in this file; none where there is none.
pub(super) fn read_root(path: &Path) -> Result<Option<SealingKey>> {
    let text = match fs::read_to_string(path) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
        other => Zeroizing::new(other.map_err(|e| StoreError::file(path, &e))?),
    };
    match Digest::read(text.trim_end()) {
        Some(bytes) => Ok(Some(SealingKey::of(bytes.0))),
        None => Err(StoreError::damaged(path, "it is no key")),
    }
}

fn begin_root(path: &Path) -> Result<SealingKey> {
    let root = SealingKey::draw();
    let root = root.ok_or_else(|| StoreError::Database { what: "the system gives no chance".to_owned() })?;
    let part = beside(path, ".part");
    let broken = |e| StoreError::file(path, &e);
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(&part).map_err(broken)?;
    let text = Zeroizing::new(format!("{}\n", Digest(*root.bytes())));
    file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(broken)?;
    fs::rename(&part, path).map_err(broken)?;
    super::file::sync_folder(path);
    Ok(root)
}
