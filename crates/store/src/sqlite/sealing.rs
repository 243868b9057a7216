//! Sealing a ledger of before: each event of the old log, held against the old chain, goes sealed into the new one, in one transaction. What
//! was readable is then written over in the file, and the file is written anew without it.

use super::head::{self, Head};
use super::keys::Keys;
use super::sealed::{ClientHead, chained, leaf, seal_event};
use super::{Fail, Inner, append, people, read, rebuild, schema, shed};
use crate::cipher::KEY_VERSION;
use crate::digest::{Digest, link};
use setwright_model::ledger::ClientId;
use sqlx::{Connection, QueryBuilder, SqliteConnection};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;

/// The word under which the ledger keeps the end that was kept of it before it was sealed.
const END_BEFORE: &str = "end before sealing";

/// Tables of a ledger that is sealed.
const TABLES: &str = include_str!("../../migrations/6_sealed_tables.sql");

/// What makes room for them.
const ASIDE: &str = "DROP TABLE standing; DROP TRIGGER events_never_change; DROP TRIGGER events_never_go; \
    DROP INDEX events_by_subject; DROP INDEX events_by_client; ALTER TABLE events RENAME TO events_before";

/// Rows that are read and written at once.
const PAGE: usize = 500;

/// Whether the log is one of before.
pub(super) async fn is_due(c: &mut SqliteConnection) -> Inner<bool> {
    let sql = "SELECT count(*) FROM pragma_table_info('events') WHERE name = 'body'";
    Ok(sqlx::query_scalar::<_, i64>(sql).fetch_one(c).await? > 0)
}

/// Seals the log if it is one of before. A program that is killed meanwhile leaves it as it was.
pub(super) async fn seal(
    c: &mut SqliteConnection,
    path: &Path,
    keys: &mut Keys,
    keeps_end: bool,
) -> Inner<()> {
    if !is_due(c).await? {
        return Ok(());
    }
    sqlx::raw_sql("PRAGMA secure_delete = ON").execute(&mut *c).await?;
    let mut t = c.begin_with(append::BEGIN).await?;
    // Another program may have been quicker.
    if is_due(&mut t).await? {
        keys.begin();
        sqlx::raw_sql(ASIDE).execute(&mut *t).await?;
        sqlx::raw_sql(TABLES).execute(&mut *t).await?;
        let head = move_over(&mut t, keys).await?;
        sqlx::raw_sql("DROP TABLE events_before").execute(&mut *t).await?;
        let kept = if keeps_end { head::kept(path)? } else { None };
        if let Some(kept) = kept {
            schema::set_meta(&mut t, END_BEFORE, &format!("{} {}", kept.seq, kept.chain)).await?;
        }
        if keeps_end && head.seq > 0 {
            shed::put_due(&mut t).await?;
        }
        rebuild::rebuild_in(&mut t, keys).await?;
        keys.keep().await?;
    }
    Ok(t.commit().await?)
}

/// After the log was sealed: keeps its end anew, and takes what was readable out of the file. Either may have been cut short.
pub(super) async fn settle(c: &mut SqliteConnection, path: &Path) -> Inner<()> {
    if let Some(before) = end_before(c).await? {
        let mut lock = c.begin_with(append::BEGIN).await?;
        if head::kept(path)? == Some(before) {
            head::begin(path, append::last(&mut lock).await?)?;
        }
        lock.rollback().await?;
    }
    // Whoever reads meanwhile may be in the way; then it is done when the ledger rests or is next opened.
    shed::settle(c).await?;
    Ok(())
}

/// The end that was kept of the log before it was sealed.
pub(super) async fn end_before(c: &mut SqliteConnection) -> Inner<Option<Head>> {
    let text = schema::meta(c, END_BEFORE).await?;
    let read = |text: String| {
        let (seq, chain) = text.split_once(' ')?;
        Some(Head { seq: seq.parse().ok()?, chain: Digest::read(chain)? })
    };
    Ok(text.and_then(read))
}

/// Place, body and checksum of a row of before, with what it is about.
type Before = (i64, String, Vec<u8>, Vec<u8>, String);

/// Where all chains have come to.
struct Ends {
    head: Head,
    clients: BTreeMap<ClientId, ClientHead>,
}

async fn move_over(c: &mut SqliteConnection, keys: &mut Keys) -> Inner<Head> {
    let mut ends = Ends { head: Head::NONE, clients: BTreeMap::new() };
    let mut old = Digest::NONE;
    loop {
        let sql = "SELECT seq, body, chain, subject, subject_kind FROM events_before WHERE seq > ?1 ORDER BY seq LIMIT ?2";
        let query = sqlx::query_as(sql).bind(ends.head.seq).bind(PAGE as i64);
        let page: Vec<Before> = query.fetch_all(&mut *c).await?;
        if page.is_empty() {
            break;
        }
        for (at, (seq, body, chain, _, _)) in (ends.head.seq + 1..).zip(&page) {
            old = link(old, body);
            if *seq != at || append::digest(chain)? != old {
                return Err(Fail::Damaged(format!(
                    "event {at} is not what was written: its checksum does not hold"
                )));
            }
        }
        write(c, keys, &page, &mut ends).await?;
    }
    let heads: Vec<_> = ends.clients.into_iter().collect();
    append::put_heads(c, &heads).await?;
    Ok(ends.head)
}

async fn write(c: &mut SqliteConnection, keys: &mut Keys, page: &[Before], ends: &mut Ends) -> Inner<()> {
    let mut rows = Vec::with_capacity(page.len());
    for (seq, body, _, subject, subject_kind) in page {
        let mut event = read::decoded(body)?;
        let mut body = Cow::Borrowed(body.as_str());
        if let Some((person, name)) = people::replace(keys, &mut event.actor)? {
            people::put(c, keys, person, &name).await?;
            body = serde_json::to_string(&event).unwrap_or_default().into();
        }
        let sealed = seal_event(keys.get_or_draw(event.client).await?, &event, &body)?;
        let leaf = leaf(&event.client.bytes(), &event.id.bytes(), event.what.kind(), &sealed);
        let own = ends.clients.entry(event.client).or_insert(ClientHead::NONE);
        *own = own.after(leaf);
        ends.head = Head { seq: *seq, chain: chained(ends.head.chain, own.own) };
        rows.push((ends.head, event, sealed, leaf, *own, subject, subject_kind));
    }
    let mut query = QueryBuilder::new(append::INSERT);
    query.push_values(&rows, |mut row, (head, event, sealed, leaf, own, subject, subject_kind)| {
        row.push_bind(head.seq)
            .push_bind(event.client.bytes().to_vec())
            .push_bind(own.nth)
            .push_bind(event.id.bytes().to_vec())
            .push_bind(event.what.kind())
            .push_bind((*subject).clone())
            .push_bind((*subject_kind).clone())
            .push_bind(KEY_VERSION)
            .push_bind(sealed.clone())
            .push_bind(leaf.0.to_vec())
            .push_bind(own.own.0.to_vec())
            .push_bind(head.chain.0.to_vec());
    });
    query.build().persistent(rows.len() == PAGE).execute(&mut *c).await?;
    Ok(())
}
