//! Reading the log and what stands.

use super::append::sixteen;
use super::keys::Keys;
use super::sealed::{SealedRow, client_of, open_state, opened};
use super::{Fail, Inner, people};
use crate::state::{SetState, State, StateKind};
use crate::store::{EventFilter, Seq, StoredEvent};
use setwright_model::ledger::{ClientId, Event, EventId};
use sqlx::SqliteConnection;
use std::collections::BTreeSet;

/// An event from its JSON form.
pub(super) fn decoded(body: &str) -> Inner<Event> {
    serde_json::from_str(body).map_err(|e| Fail::Damaged(format!("an event cannot be read: {e}")))
}

pub(super) async fn event(c: &mut SqliteConnection, keys: &mut Keys, id: EventId) -> Inner<Option<Event>> {
    let sql = "SELECT client, id, kind, sealed FROM events WHERE id = ?1";
    let row: Option<SealedRow> =
        sqlx::query_as(sql).bind(id.bytes().to_vec()).fetch_optional(&mut *c).await?;
    let Some(row) = row else { return Ok(None) };
    let mut event = opened(keys, &row).await?;
    people::name(c, keys, std::iter::once(&mut event.actor)).await?;
    Ok(Some(event))
}

pub(super) async fn events(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    filter: EventFilter,
    after: Seq,
    most: usize,
) -> Inner<Vec<StoredEvent>> {
    let sql = match filter.client {
        Some(_) => {
            "SELECT seq, client, id, kind, sealed FROM events WHERE client = ?3 AND seq > ?1 AND sealed IS NOT NULL ORDER BY seq LIMIT ?2"
        }
        None => {
            "SELECT seq, client, id, kind, sealed FROM events WHERE seq > ?1 AND sealed IS NOT NULL ORDER BY seq LIMIT ?2"
        }
    };
    page(c, keys, sql, filter, (after, most)).await
}

pub(super) async fn events_back(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    filter: EventFilter,
    before: Option<Seq>,
    most: usize,
) -> Inner<Vec<StoredEvent>> {
    let sql = match filter.client {
        Some(_) => {
            "SELECT seq, client, id, kind, sealed FROM events WHERE client = ?3 AND seq < ?1 AND sealed IS NOT NULL ORDER BY seq DESC LIMIT ?2"
        }
        None => {
            "SELECT seq, client, id, kind, sealed FROM events WHERE seq < ?1 AND sealed IS NOT NULL ORDER BY seq DESC LIMIT ?2"
        }
    };
    page(c, keys, sql, filter, (before.unwrap_or(Seq::MAX), most)).await
}

/// A place, and the fields of [`SealedRow`].
type Placed = (i64, Vec<u8>, Vec<u8>, String, Vec<u8>);

async fn page(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    sql: &'static str,
    filter: EventFilter,
    (from, most): (Seq, usize),
) -> Inner<Vec<StoredEvent>> {
    let query = sqlx::query_as(sql).bind(from).bind(i64::try_from(most).unwrap_or(i64::MAX));
    let query = match filter.client {
        Some(client) => query.bind(client.bytes().to_vec()),
        None => query,
    };
    let rows: Vec<Placed> = query.fetch_all(&mut *c).await?;
    let mut events = Vec::with_capacity(rows.len());
    for (seq, client, id, kind, sealed) in rows {
        events.push(StoredEvent { seq, event: opened(keys, &(client, id, kind, sealed)).await? });
    }
    people::name(c, keys, events.iter_mut().map(|kept| &mut kept.event.actor)).await?;
    Ok(events)
}

pub(super) async fn changed(c: &mut SqliteConnection, after: Seq) -> Inner<Vec<(ClientId, Seq)>> {
    let sql = "SELECT client, max(seq) FROM events WHERE seq > ?1 AND sealed IS NOT NULL GROUP BY +client";
    let rows: Vec<(Vec<u8>, Seq)> = sqlx::query_as(sql).bind(after).fetch_all(c).await?;
    let client =
        |bytes: &[u8]| client_of(bytes).ok_or_else(|| Fail::Damaged("a client is no identifier".to_owned()));
    rows.iter().map(|(bytes, seq)| Ok((client(bytes)?, *seq))).collect()
}

pub(super) async fn standing(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    kind: StateKind,
    client: Option<ClientId>,
) -> Inner<Vec<State>> {
    let sql = match client {
        Some(_) => {
            "SELECT client, subject, sealed FROM standing WHERE kind = ?1 AND client = ?2 ORDER BY at_ms, id"
        }
        None => "SELECT client, subject, sealed FROM standing WHERE kind = ?1 ORDER BY at_ms, id",
    };
    let query = sqlx::query_as(sql).bind(kind.word());
    let query = match client {
        Some(client) => query.bind(client.bytes().to_vec()),
        None => query,
    };
    let rows = query.fetch_all(&mut *c).await?;
    states(c, keys, kind, rows).await
}

/// Client, subject, and what is sealed.
type SealedState = (Vec<u8>, Vec<u8>, Vec<u8>);

async fn states(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    kind: StateKind,
    rows: Vec<SealedState>,
) -> Inner<Vec<State>> {
    let broken = || Fail::Damaged("what stands does not open with its key".to_owned());
    let mut states = Vec::with_capacity(rows.len());
    for (client, subject, sealed) in rows {
        let (client, subject) = client_of(&client).zip(sixteen(&subject)).ok_or_else(broken)?;
        let state = open_state(keys.needed(client).await?, client, (subject, kind), &sealed);
        let state = state.ok_or_else(broken)?;
        let read = serde_json::from_str(&state);
        states.push(read.map_err(|e| Fail::Damaged(format!("what stands cannot be read: {e}")))?);
    }
    people::name(c, keys, states.iter_mut().filter_map(State::writer)).await?;
    Ok(states)
}

pub(super) async fn latest(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    kind: StateKind,
    client: ClientId,
    most: usize,
) -> Inner<Vec<State>> {
    let sql = "SELECT client, subject, sealed FROM standing WHERE kind = ?1 AND client = ?2 ORDER BY at_ms DESC, id DESC LIMIT ?3";
    let query = sqlx::query_as(sql).bind(kind.word()).bind(client.bytes().to_vec());
    let rows = query.bind(i64::try_from(most).unwrap_or(i64::MAX)).fetch_all(&mut *c).await?;
    states(c, keys, kind, rows).await
}

pub(super) async fn count(c: &mut SqliteConnection, kind: StateKind, client: ClientId) -> Inner<usize> {
    let sql = "SELECT count(*) FROM standing WHERE kind = ?1 AND client = ?2";
    let query = sqlx::query_scalar(sql).bind(kind.word()).bind(client.bytes().to_vec());
    let count: i64 = query.fetch_one(c).await?;
    Ok(usize::try_from(count).unwrap_or(0))
}

pub(super) async fn thing(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    kind: StateKind,
    client: ClientId,
    id: EventId,
) -> Inner<Option<State>> {
    let sql = "SELECT client, subject, sealed FROM standing WHERE subject = ?1 AND kind = ?2 AND client = ?3";
    let query = sqlx::query_as(sql).bind(id.bytes().to_vec()).bind(kind.word());
    let row: Option<SealedState> = query.bind(client.bytes().to_vec()).fetch_optional(&mut *c).await?;
    Ok(states(c, keys, kind, row.into_iter().collect()).await?.pop())
}

/// SQLite would rather read all sets of the client than trust an index that it has no figures of.
pub(super) async fn sets_of(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    client: ClientId,
    session: EventId,
) -> Inner<Vec<SetState>> {
    let sql = "SELECT client, subject, sealed FROM standing INDEXED BY standing_sets_by_session \
               WHERE session = ?1 AND kind = 'set' AND client = ?2 \
               ORDER BY at_ms, id";
    let query = sqlx::query_as(sql).bind(session.bytes().to_vec()).bind(client.bytes().to_vec());
    let set = |state| match state {
        State::Set(set) => Some(set),
        _ => None,
    };
    let rows = query.fetch_all(&mut *c).await?;
    Ok(states(c, keys, StateKind::Set, rows).await?.into_iter().filter_map(set).collect())
}

/// Everybody of whom there is anything in the log that can be read.
pub(super) async fn clients_of_log(c: &mut SqliteConnection) -> Inner<BTreeSet<ClientId>> {
    let rows: Vec<Vec<u8>> =
        sqlx::query_scalar("SELECT client FROM heads WHERE erased = 0").fetch_all(c).await?;
    Ok(rows.iter().filter_map(|row| client_of(row)).collect())
}
