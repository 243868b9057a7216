//! The examination: is the file whole, is the log as it was written, and is what stands what the log gives.

use super::append::digest;
use super::head::KeptBeside;
use super::keys::Keys;
use super::rebuild::{self, Row, Rows, Things};
use super::sealed::{ClientHead, chained, client_of, leaf, opened};
use super::{Fail, Inner, schema};
use crate::digest::Digest;
use crate::error::StoreError;
use crate::store::{Health, Seq};
use sqlx::sqlite::SqliteRow;
use sqlx::{Row as _, SqliteConnection};
use std::collections::{BTreeMap, VecDeque};
use std::path::Path;

/// How many rows are read at once.
const PAGE: usize = 1_000;
/// How many faults of one kind are told.
const TOLD: usize = 5;

/// Examines everything and changes nothing.
pub(super) async fn examine(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    end: Option<&KeptBeside>,
) -> Inner<Health> {
    keys.let_go();
    let schema = schema::version(c, Path::new("")).await?;
    let mut faults = whole(c).await?;
    faults.extend(lost(c, end).await?);
    let (events, broken) = log(c, keys).await?;
    let log_is_sound = broken.is_empty();
    faults.extend(broken);
    let mut standing = 0;
    if log_is_sound {
        let (count, broken) = stands(c, keys).await?;
        standing = count;
        faults.extend(broken);
    }
    let fingerprint = rebuild::fingerprint(c, keys).await?;
    Ok(Health { schema, events, standing, fingerprint, accounts: None, faults })
}

/// What was acknowledged and is not there. What is kept is read before the log, which only grows meanwhile.
async fn lost(c: &mut SqliteConnection, end: Option<&KeptBeside>) -> Inner<Option<String>> {
    let Some(end) = end else { return Ok(None) };
    match end.checked(c).await {
        Ok(()) => Ok(None),
        Err(Fail::Store(StoreError::EndLost { last, acknowledged, .. })) if last < acknowledged => {
            let first = last + 1;
            Ok(Some(format!(
                "Events {first} to {acknowledged} were acknowledged and are missing: the end of the log is lost."
            )))
        }
        Err(Fail::Store(StoreError::EndLost { acknowledged, .. })) => {
            Ok(Some(format!("Event {acknowledged} is not the one that was acknowledged.")))
        }
        Err(Fail::Store(StoreError::Damaged { path, what })) => {
            Ok(Some(format!("{} keeps the end of the log and is damaged: {what}.", path.display())))
        }
        Err(fail) => Err(fail),
    }
}

/// What SQLite itself finds.
async fn whole(c: &mut SqliteConnection) -> Inner<Vec<String>> {
    let found: Vec<String> = sqlx::query_scalar("PRAGMA integrity_check(5)").fetch_all(&mut *c).await?;
    let mut faults: Vec<String> =
        found.into_iter().filter(|f| f != "ok").map(|f| format!("The file is damaged: {f}.")).collect();
    let astray: i64 =
        sqlx::query_scalar("SELECT count(*) FROM pragma_foreign_key_check").fetch_one(&mut *c).await?;
    if astray > 0 {
        faults.push(format!("{astray} rows refer to events that are not there."));
    }
    Ok(faults)
}

/// A row of the log as it is kept. What can be read is there or is not, all of it.
struct LogRow {
    seq: Seq,
    client: Vec<u8>,
    nth: Seq,
    id: Option<Vec<u8>>,
    kind: Option<String>,
    sealed: Option<Vec<u8>>,
    leaf: Vec<u8>,
    own: Vec<u8>,
    chain: Vec<u8>,
}

impl LogRow {
    fn of(row: &SqliteRow) -> Inner<Self> {
        Ok(Self {
            seq: row.try_get(0)?,
            client: row.try_get(1)?,
            nth: row.try_get(2)?,
            id: row.try_get(3)?,
            kind: row.try_get(4)?,
            sealed: row.try_get(5)?,
            leaf: row.try_get(6)?,
            own: row.try_get(7)?,
            chain: row.try_get(8)?,
        })
    }
}

/// Where the chains have come to, of each client and of all.
struct Walk {
    at: Seq,
    chain: Digest,
    clients: BTreeMap<Vec<u8>, ClientHead>,
}

/// How many events there are, and where the chains do not hold.
async fn log(c: &mut SqliteConnection, keys: &mut Keys) -> Inner<(u64, Vec<String>)> {
    let sql = "SELECT seq, client, nth, id, kind, sealed, leaf, own, chain FROM events WHERE seq > ?1 \
               ORDER BY seq LIMIT ?2";
    let kept = heads(c).await?;
    let mut walk = Walk { at: 0, chain: Digest::NONE, clients: BTreeMap::new() };
    let (mut count, mut faults) = (0, Vec::new());
    loop {
        let page = sqlx::query(sql).bind(walk.at).bind(PAGE as i64).fetch_all(&mut *c).await?;
        if page.is_empty() {
            break;
        }
        for row in page {
            let row = LogRow::of(&row)?;
            count += 1;
            let erased = kept.get(&row.client).is_some_and(|(_, erased)| *erased);
            let fault = fault(&row, &walk, keys, erased).await?;
            faults.extend(fault.filter(|_| faults.len() < TOLD));
            // One changed event is told once, not with all that come after it.
            let head = ClientHead { nth: row.nth, own: digest(&row.own)? };
            (walk.at, walk.chain) = (row.seq, digest(&row.chain)?);
            walk.clients.insert(row.client, head);
        }
    }
    let ends: BTreeMap<_, _> = kept.into_iter().map(|(client, (head, _))| (client, head)).collect();
    if faults.is_empty() && ends != walk.clients {
        faults.push("The end of a client's events is not the one that was kept of it.".to_owned());
    }
    Ok((count, faults))
}

/// What the ledger keeps of where the chain of each client has come to, and whether the client was forgotten.
async fn heads(c: &mut SqliteConnection) -> Inner<BTreeMap<Vec<u8>, (ClientHead, bool)>> {
    let sql = "SELECT client, nth, own, erased FROM heads";
    let rows: Vec<(Vec<u8>, Seq, Vec<u8>, bool)> = sqlx::query_as(sql).fetch_all(c).await?;
    let read = |(client, nth, own, erased): (_, _, Vec<u8>, _)| {
        Ok((client, (ClientHead { nth, own: digest(&own)? }, erased)))
    };
    rows.into_iter().map(read).collect()
}

/// What is wrong with a row.
async fn fault(row: &LogRow, walk: &Walk, keys: &mut Keys, erased: bool) -> Inner<Option<String>> {
    let (seq, at) = (row.seq, walk.at);
    if seq != at + 1 {
        return Ok(Some(format!("Events {} to {} are missing.", at + 1, seq - 1)));
    }
    let changed = || Some(format!("Event {seq} is not what was written: its checksum does not hold."));
    let before = walk.clients.get(&row.client).copied().unwrap_or(ClientHead::NONE);
    let after = before.after(digest(&row.leaf)?);
    let holds = after.nth == row.nth
        && digest(&row.own)? == after.own
        && digest(&row.chain)? == chained(walk.chain, after.own);
    if !holds {
        return Ok(changed());
    }
    let (Some(id), Some(kind), Some(sealed)) = (&row.id, &row.kind, &row.sealed) else {
        let taken = format!("Event {seq} was taken out, and its client was not forgotten.");
        return Ok(Some(taken).filter(|_| !erased));
    };
    if erased {
        return Ok(Some(format!("Event {seq} can still be read, and its client was forgotten.")));
    }
    if leaf(&row.client, id, kind, sealed) != digest(&row.leaf)? {
        return Ok(changed());
    }
    let opened = match client_of(&row.client) {
        Some(client) if keys.get(client).await?.is_none() => {
            return Ok(Some(format!("Event {seq} cannot be read: the key of its client is missing.")));
        }
        _ => opened(keys, &(row.client.clone(), id.clone(), kind.clone(), sealed.clone())).await,
    };
    match opened {
        Err(Fail::Damaged(what)) => Ok(Some(format!("Event {seq}: {what}."))),
        Err(fail) => Err(fail),
        Ok(event) => {
            let is_so = event.id.bytes() == id.as_slice()
                && event.client.bytes() == row.client.as_slice()
                && event.what.kind() == kind;
            let other = format!("Event {seq} is kept under another identifier, client or kind.");
            Ok(Some(other).filter(|_| !is_so))
        }
    }
}

/// How many things stand, and where they are not what the log gives.
async fn stands(c: &mut SqliteConnection, keys: &mut Keys) -> Inner<(u64, Vec<String>)> {
    let (mut things, mut rows) = (Things::default(), Rows::default());
    let mut kept: VecDeque<rebuild::Columns> = VecDeque::new();
    let (mut count, mut wrong) = (0, 0_u64);
    loop {
        let reckoned = things.next(c, keys, PAGE).await?;
        if reckoned.is_empty() {
            break;
        }
        for row in reckoned.iter().filter(|r| r.stands.is_some()) {
            if kept.is_empty() {
                kept.extend(rows.next(c, keys, PAGE).await?);
            }
            wrong += u64::from(!matches(&mut kept, row));
        }
    }
    loop {
        let surplus = kept.len() as u64;
        count += surplus;
        wrong += surplus;
        kept = rows.next(c, keys, PAGE).await?.into();
        if kept.is_empty() {
            break;
        }
    }
    let total: i64 = sqlx::query_scalar("SELECT count(*) FROM standing").fetch_one(&mut *c).await?;
    count = count.max(total as u64);
    let fault = "things stand otherwise than the log says";
    let faults = if wrong > 0 {
        vec![format!("{wrong} {fault}; setwright rebuild reckons them again.")]
    } else {
        vec![]
    };
    Ok((count, faults))
}

/// Whether the first row that is kept is this one; it is taken away.
fn matches(kept: &mut VecDeque<rebuild::Columns>, row: &Row) -> bool {
    kept.pop_front().is_some_and(|columns| columns.is(row))
}
