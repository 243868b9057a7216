//! The examination: is the file whole, is the log as it was written, and is what stands what the log gives.

use super::append::digest;
use super::head::KeptBeside;
use super::rebuild::{self, Row, Rows, Things};
use super::{Fail, Inner, read, schema};
use crate::digest::{Digest, link};
use crate::error::StoreError;
use crate::store::{Health, Seq};
use sqlx::SqliteConnection;
use std::collections::VecDeque;
use std::path::Path;

/// How many rows are read at once.
const PAGE: usize = 1_000;
/// How many faults of one kind are told.
const TOLD: usize = 5;

/// Examines everything and changes nothing.
pub(super) async fn examine(c: &mut SqliteConnection, end: Option<&KeptBeside>) -> Inner<Health> {
    let schema = schema::version(c, Path::new("")).await?;
    let mut faults = whole(c).await?;
    faults.extend(lost(c, end).await?);
    let (events, broken) = log(c).await?;
    let log_is_sound = broken.is_empty();
    faults.extend(broken);
    let mut standing = 0;
    if log_is_sound {
        let (count, broken) = stands(c).await?;
        standing = count;
        faults.extend(broken);
    }
    let fingerprint = rebuild::fingerprint(c).await?;
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

/// Place, identifier, client, kind, body and checksum.
type Columns = (Seq, Vec<u8>, Vec<u8>, String, String, Vec<u8>);

/// How many events there are, and where the chain of checksums does not hold.
async fn log(c: &mut SqliteConnection) -> Inner<(u64, Vec<String>)> {
    let sql = "SELECT seq, id, client, kind, body, chain FROM events WHERE seq > ?1 ORDER BY seq LIMIT ?2";
    let (mut at, mut chain, mut count) = (0_i64, Digest::NONE, 0);
    let mut faults = Vec::new();
    loop {
        let query = sqlx::query_as(sql).bind(at).bind(PAGE as i64);
        let page: Vec<Columns> = query.fetch_all(&mut *c).await?;
        if page.is_empty() {
            return Ok((count, faults));
        }
        for (seq, id, client, kind, body, kept) in page {
            count += 1;
            let expected = link(chain, &body);
            let event = read::decoded(&body);
            let fault = if seq != at + 1 {
                Some(format!("Events {} to {} are missing.", at + 1, seq - 1))
            } else if digest(&kept)? != expected {
                Some(format!("Event {seq} is not what was written: its checksum does not hold."))
            } else {
                match event {
                    Err(Fail::Damaged(what)) => Some(format!("Event {seq}: {what}.")),
                    Ok(event)
                        if event.id.bytes() != id.as_slice()
                            || event.client.bytes() != client.as_slice()
                            || event.what.kind() != kind =>
                    {
                        Some(format!("Event {seq} is kept under another identifier, client or kind."))
                    }
                    _ => None,
                }
            };
            faults.extend(fault.filter(|_| faults.len() < TOLD));
            // One changed event is told once, not with all that come after it.
            (at, chain) = (seq, digest(&kept)?);
        }
    }
}

/// How many things stand, and where they are not what the log gives.
async fn stands(c: &mut SqliteConnection) -> Inner<(u64, Vec<String>)> {
    let (mut things, mut rows) = (Things::default(), Rows::default());
    let mut kept: VecDeque<rebuild::Columns> = VecDeque::new();
    let (mut count, mut wrong) = (0, 0_u64);
    loop {
        let reckoned = things.next(c, PAGE).await?;
        if reckoned.is_empty() {
            break;
        }
        for row in reckoned.iter().filter(|r| r.stands.is_some()) {
            if kept.is_empty() {
                kept.extend(rows.next(c, PAGE).await?);
            }
            wrong += u64::from(!matches(&mut kept, row));
        }
    }
    loop {
        let surplus = kept.len() as u64;
        count += surplus;
        wrong += surplus;
        kept = rows.next(c, PAGE).await?.into();
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
