//! Reading the log and what stands.

use super::{Fail, Inner};
use crate::state::{SetState, State, StateKind};
use crate::store::{EventFilter, Seq, StoredEvent};
use setwright_model::ledger::{ClientId, Event, EventId};
use sqlx::SqliteConnection;
use std::collections::BTreeSet;

/// An event from its JSON form.
pub(super) fn decoded(body: &str) -> Inner<Event> {
    serde_json::from_str(body).map_err(|e| Fail::Damaged(format!("an event cannot be read: {e}")))
}

pub(super) async fn event(c: &mut SqliteConnection, id: EventId) -> Inner<Option<Event>> {
    let sql = "SELECT body FROM events WHERE id = ?1";
    let body: Option<String> = sqlx::query_scalar(sql).bind(id.bytes().to_vec()).fetch_optional(c).await?;
    body.map(|b| decoded(&b)).transpose()
}

pub(super) async fn events(
    c: &mut SqliteConnection,
    filter: EventFilter,
    after: Seq,
    most: usize,
) -> Inner<Vec<StoredEvent>> {
    let sql = match filter.client {
        Some(_) => "SELECT seq, body FROM events WHERE client = ?3 AND seq > ?1 ORDER BY seq LIMIT ?2",
        None => "SELECT seq, body FROM events WHERE seq > ?1 ORDER BY seq LIMIT ?2",
    };
    page(c, sql, filter, after, most).await
}

pub(super) async fn events_back(
    c: &mut SqliteConnection,
    filter: EventFilter,
    before: Option<Seq>,
    most: usize,
) -> Inner<Vec<StoredEvent>> {
    let sql = match filter.client {
        Some(_) => "SELECT seq, body FROM events WHERE client = ?3 AND seq < ?1 ORDER BY seq DESC LIMIT ?2",
        None => "SELECT seq, body FROM events WHERE seq < ?1 ORDER BY seq DESC LIMIT ?2",
    };
    page(c, sql, filter, before.unwrap_or(Seq::MAX), most).await
}

async fn page(
    c: &mut SqliteConnection,
    sql: &'static str,
    filter: EventFilter,
    from: Seq,
    most: usize,
) -> Inner<Vec<StoredEvent>> {
    let query = sqlx::query_as(sql).bind(from).bind(i64::try_from(most).unwrap_or(i64::MAX));
    let query = match filter.client {
        Some(client) => query.bind(client.bytes().to_vec()),
        None => query,
    };
    let rows: Vec<(i64, String)> = query.fetch_all(c).await?;
    rows.into_iter().map(|(seq, body)| Ok(StoredEvent { seq, event: decoded(&body)? })).collect()
}

pub(super) async fn changed(c: &mut SqliteConnection, after: Seq) -> Inner<Vec<(ClientId, Seq)>> {
    let sql = "SELECT client, max(seq) FROM events WHERE seq > ?1 GROUP BY +client";
    let rows: Vec<(Vec<u8>, Seq)> = sqlx::query_as(sql).bind(after).fetch_all(c).await?;
    let client = |bytes: &[u8]| {
        <[u8; 16]>::try_from(bytes)
            .ok()
            .and_then(|b| ClientId::from_bytes(b).ok())
            .ok_or_else(|| Fail::Damaged("a client is no identifier".to_owned()))
    };
    rows.iter().map(|(bytes, seq)| Ok((client(bytes)?, *seq))).collect()
}

pub(super) async fn standing(
    c: &mut SqliteConnection,
    kind: StateKind,
    client: Option<ClientId>,
) -> Inner<Vec<State>> {
    let sql = match client {
        Some(_) => "SELECT state FROM standing WHERE kind = ?1 AND client = ?2 ORDER BY at_ms, id",
        None => "SELECT state FROM standing WHERE kind = ?1 ORDER BY at_ms, id",
    };
    let query = sqlx::query_scalar(sql).bind(kind.word());
    let query = match client {
        Some(client) => query.bind(client.bytes().to_vec()),
        None => query,
    };
    states(&query.fetch_all(c).await?)
}

fn states(rows: &[String]) -> Inner<Vec<State>> {
    let broken = |e| Fail::Damaged(format!("what stands cannot be read: {e}"));
    rows.iter().map(|row| serde_json::from_str(row).map_err(broken)).collect()
}

pub(super) async fn latest(
    c: &mut SqliteConnection,
    kind: StateKind,
    client: ClientId,
    most: usize,
) -> Inner<Vec<State>> {
    let sql =
        "SELECT state FROM standing WHERE kind = ?1 AND client = ?2 ORDER BY at_ms DESC, id DESC LIMIT ?3";
    let query = sqlx::query_scalar(sql).bind(kind.word()).bind(client.bytes().to_vec());
    let rows: Vec<String> = query.bind(i64::try_from(most).unwrap_or(i64::MAX)).fetch_all(c).await?;
    states(&rows)
}

pub(super) async fn count(c: &mut SqliteConnection, kind: StateKind, client: ClientId) -> Inner<usize> {
    let sql = "SELECT count(*) FROM standing WHERE kind = ?1 AND client = ?2";
    let query = sqlx::query_scalar(sql).bind(kind.word()).bind(client.bytes().to_vec());
    let count: i64 = query.fetch_one(c).await?;
    Ok(usize::try_from(count).unwrap_or(0))
}

pub(super) async fn thing(
    c: &mut SqliteConnection,
    kind: StateKind,
    client: ClientId,
    id: EventId,
) -> Inner<Option<State>> {
    let sql = "SELECT state FROM standing WHERE subject = ?1 AND kind = ?2 AND client = ?3";
    let query = sqlx::query_scalar(sql).bind(id.bytes().to_vec()).bind(kind.word());
    let row: Option<String> = query.bind(client.bytes().to_vec()).fetch_optional(c).await?;
    Ok(states(row.as_slice())?.pop())
}

/// SQLite would rather read all sets of the client than trust an index that it has no figures of.
pub(super) async fn sets_of(
    c: &mut SqliteConnection,
    client: ClientId,
    session: EventId,
) -> Inner<Vec<SetState>> {
    let sql = "SELECT state FROM standing INDEXED BY standing_sets_by_session \
               WHERE json_extract(state, '$.set.session') = ?1 AND kind = 'set' AND client = ?2 \
               ORDER BY at_ms, id";
    let query = sqlx::query_scalar(sql).bind(session.to_string()).bind(client.bytes().to_vec());
    let set = |state| match state {
        State::Set(set) => Some(set),
        _ => None,
    };
    Ok(states(&query.fetch_all(c).await?)?.into_iter().filter_map(set).collect())
}

/// Everybody of whom there is anything in the log.
pub(super) async fn clients_of_log(c: &mut SqliteConnection) -> Inner<BTreeSet<ClientId>> {
    let rows: Vec<Vec<u8>> = sqlx::query_scalar("SELECT DISTINCT client FROM events").fetch_all(c).await?;
    Ok(rows.iter().filter_map(|row| ClientId::from_bytes(super::append::sixteen(row)?).ok()).collect())
}
