//! To forget a client: what is said of them is taken out of the rows, what stands of them is dropped, and their key is destroyed. Leaves and
//! links stay, so that the chains hold.
//!
//! The list of erasures comes first, in a file of its own beside the ledger, and whatever it names is forgotten before the ledger is used:
//! after a program was killed in the middle, and when an older copy is put in the ledger's place. It names nobody. A mark is made of an
//! identifier with the root key, and who has not got it cannot even try identifiers that are known or guessed.

use super::file::{beside, sync_folder};
use super::keys::Keys;
use super::sealed::client_of;
use super::{Fail, Inner, append, shed};
use crate::cipher::SealingKey;
use crate::digest::Digest;
use crate::error::{Result, StoreError};
use crate::store::Erasure;
use setwright_model::ledger::{ClientId, Moment};
use sqlx::{Connection, SqliteConnection};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, OpenOptions};
use std::io::{ErrorKind, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// Where the list of a ledger is.
pub(super) fn list_of(ledger: &Path) -> PathBuf {
    beside(ledger, ".erased")
}

/// Who was forgotten, and when, by their marks.
pub(super) type List = BTreeMap<Digest, Moment>;

/// The list in this file; empty where there is none. A last line that was cut short was never acknowledged.
pub(super) fn read_list(path: &Path) -> Result<List> {
    let text = match fs::read_to_string(path) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(List::new()),
        other => other.map_err(|e| StoreError::file(path, &e))?,
    };
    let whole = text.rsplit_once('\n').map_or("", |(whole, _)| whole);
    let read = |line: &str| {
        let (mark, at) = line.split_once(' ')?;
        Some((Digest::read(mark)?, at.parse().ok()?))
    };
    let lines =
        whole.lines().map(|line| read(line).ok_or_else(|| StoreError::damaged(path, "a line names nobody")));
    lines.collect()
}

/// Adds to the list, on the disk when this returns. Whoever calls has the ledger's write lock.
pub(super) fn add_to_list(path: &Path, lines: &List) -> Result<()> {
    let there = read_list(path)?;
    let new: Vec<_> = lines.iter().filter(|(mark, _)| !there.contains_key(mark)).collect();
    if new.is_empty() {
        return Ok(());
    }
    let broken = |e| StoreError::file(path, &e);
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(false);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path).map_err(broken)?;
    let whole: usize = there.iter().map(|(mark, at)| line(mark, at).len()).sum();
    file.set_len(whole as u64).and_then(|()| file.seek(SeekFrom::End(0))).map_err(broken)?;
    let text: String = new.into_iter().map(|(mark, at)| line(mark, at)).collect();
    file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(broken)?;
    sync_folder(path);
    Ok(())
}

fn line(mark: &Digest, at: &Moment) -> String {
    format!("{mark} {at}\n")
}

/// Forgets a client; nothing, where there is no such client. What was begun and cut short is taken up when the ledger is next opened.
pub(super) async fn erase(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    ledger: Option<&Path>,
    client: ClientId,
    at: Moment,
) -> Inner<Option<Erasure>> {
    sqlx::raw_sql("PRAGMA secure_delete = ON").execute(&mut *c).await?;
    let mut t = c.begin_with(append::BEGIN).await?;
    let there = "SELECT count(*) FROM heads WHERE client = ?1 AND erased = 0";
    let there: i64 = sqlx::query_scalar(there).bind(client.bytes().to_vec()).fetch_one(&mut *t).await?;
    if there == 0 {
        return Ok(None);
    }
    let mark = keys.mark(client)?;
    if let Some(ledger) = ledger {
        add_to_list(&list_of(ledger), &List::from([(mark, at)]))?;
    }
    let events = clear(&mut t, client, mark, at).await?;
    t.commit().await?;
    destroy(c, keys, &BTreeSet::from([client])).await?;
    Ok(Some(Erasure { at, events }))
}

/// Takes a client out of the rows.
async fn clear(c: &mut SqliteConnection, client: ClientId, mark: Digest, at: Moment) -> Inner<u64> {
    let (was, now) = (client.bytes().to_vec(), nobody()?);
    sqlx::query("DELETE FROM standing WHERE client = ?1").bind(&was).execute(&mut *c).await?;
    let sql = "UPDATE heads SET client = ?2, erased = 1 WHERE client = ?1";
    sqlx::query(sql).bind(&was).bind(&now).execute(&mut *c).await?;
    let sql = "UPDATE events SET client = ?2, id = NULL, kind = NULL, subject = NULL, subject_kind = NULL, \
               key_version = NULL, sealed = NULL WHERE client = ?1";
    let cleared = sqlx::query(sql).bind(&was).bind(&now).execute(&mut *c).await?.rows_affected();
    put(c, mark, &now, at, cleared).await?;
    shed::put_due(c).await?;
    Ok(cleared)
}

async fn put(c: &mut SqliteConnection, mark: Digest, now: &[u8], at: Moment, events: u64) -> Inner<()> {
    let sql = "INSERT INTO erasures (mark, client, at, events) VALUES (?1, ?2, ?3, ?4) \
               ON CONFLICT (mark) DO UPDATE SET events = events + excluded.events";
    let query = sqlx::query(sql).bind(mark.0.to_vec()).bind(now).bind(at.to_string());
    query.bind(i64::try_from(events).unwrap_or(i64::MAX)).execute(c).await?;
    Ok(())
}

/// An identifier that says nothing, not even when it was made.
fn nobody() -> Inner<Vec<u8>> {
    let drawn = SealingKey::draw();
    let drawn = drawn.ok_or_else(|| Fail::Damaged("the system gives no chance".to_owned()))?;
    Ok(ClientId::derived(Digest(*drawn.bytes()).half()).bytes().to_vec())
}

/// Destroys keys under the lock of whoever writes, and takes out of the file what the rows were.
async fn destroy(c: &mut SqliteConnection, keys: &mut Keys, clients: &BTreeSet<ClientId>) -> Inner<()> {
    let lock = c.begin_with(append::BEGIN).await?;
    keys.destroy(clients).await?;
    lock.rollback().await?;
    // Whoever reads meanwhile may be in the way; then it is done when the ledger rests or is next opened. What lies about till then is
    // sealed, under a key that is gone.
    shed::settle(c).await?;
    Ok(())
}

/// Forgets whoever is in the list and is still in the ledger or has a key; how many that were.
pub(super) async fn take_up(c: &mut SqliteConnection, keys: &mut Keys, ledger: &Path) -> Inner<u64> {
    let (list, done) = (read_list(&list_of(ledger))?, done(c).await?);
    if list.is_empty() && done.is_empty() {
        return Ok(0);
    }
    let all: List = list.iter().chain(&done).map(|(mark, at)| (*mark, *at)).collect();
    let known = keys_and_heads(c, keys).await?;
    let marked = marked(keys, known, &all)?;
    if marked.is_empty() && done.len() == all.len() && list.len() == all.len() {
        return Ok(0);
    }
    sqlx::raw_sql("PRAGMA secure_delete = ON").execute(&mut *c).await?;
    let mut t = c.begin_with(append::BEGIN).await?;
    add_to_list(&list_of(ledger), &all)?;
    for (client, (mark, at)) in &marked {
        clear(&mut t, *client, *mark, *at).await?;
    }
    for (mark, at) in all.iter().filter(|(mark, _)| !done.contains_key(mark)) {
        put(&mut t, *mark, &nobody()?, *at, 0).await?;
    }
    t.commit().await?;
    let clients: BTreeSet<ClientId> = marked.keys().copied().collect();
    destroy(c, keys, &clients).await?;
    Ok(clients.len() as u64)
}

/// Everybody who has a key or of whom there are rows.
async fn keys_and_heads(c: &mut SqliteConnection, keys: &mut Keys) -> Inner<BTreeSet<ClientId>> {
    let sql = "SELECT client FROM heads WHERE erased = 0";
    let rows: Vec<Vec<u8>> = sqlx::query_scalar(sql).fetch_all(c).await?;
    let mut clients = keys.clients().await?;
    clients.extend(rows.iter().filter_map(|row| client_of(row)));
    Ok(clients)
}

fn marked(
    keys: &mut Keys,
    clients: BTreeSet<ClientId>,
    all: &List,
) -> Inner<BTreeMap<ClientId, (Digest, Moment)>> {
    let mut marked = BTreeMap::new();
    for client in clients {
        let mark = keys.mark(client)?;
        if let Some(at) = all.get(&mark) {
            marked.insert(client, (mark, *at));
        }
    }
    Ok(marked)
}

/// Who was forgotten, as the ledger knows it.
pub(super) async fn done(c: &mut SqliteConnection) -> Inner<List> {
    let rows: Vec<(Vec<u8>, String)> = sqlx::query_as("SELECT mark, at FROM erasures").fetch_all(c).await?;
    let broken = || Fail::Damaged("a row of the list of erasures cannot be read".to_owned());
    let read =
        |(mark, at): (Vec<u8>, String)| Ok((append::digest(&mark)?, at.parse().map_err(|_| broken())?));
    rows.into_iter().map(read).collect()
}

/// Which of these were forgotten.
pub(super) async fn among(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    clients: impl Iterator<Item = ClientId>,
) -> Inner<BTreeSet<ClientId>> {
    let clients: BTreeSet<ClientId> = clients.collect();
    let mut gone = BTreeSet::new();
    if clients.is_empty() || !any(c).await? {
        return Ok(gone);
    }
    for client in clients {
        let sql = "SELECT count(*) FROM erasures WHERE mark = ?1";
        let mark = keys.mark(client)?;
        let count: i64 = sqlx::query_scalar(sql).bind(mark.0.to_vec()).fetch_one(&mut *c).await?;
        if count > 0 {
            gone.insert(client);
        }
    }
    Ok(gone)
}

/// How many were forgotten.
pub(super) async fn count(c: &mut SqliteConnection) -> Inner<u64> {
    let count: i64 = sqlx::query_scalar("SELECT count(*) FROM erasures").fetch_one(c).await?;
    Ok(u64::try_from(count).unwrap_or_default())
}

async fn any(c: &mut SqliteConnection) -> Inner<bool> {
    Ok(sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM erasures)").fetch_one(c).await?)
}
