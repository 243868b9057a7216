//! Adding to the log: what may be added, what is there already, and what stands then, all in one transaction.

use super::head::{Head, KeptBeside};
use super::keys::Keys;
use super::rebuild::{self, Row};
use super::sealed::{ClientHead, SealedRow, chained, client_of, leaf, opened, seal_event};
use super::{Fail, Inner, erased, names, people};
use crate::cipher::KEY_VERSION;
use crate::digest::Digest;
use crate::state::StateKind;
use crate::store::{BatchOutcome, Receipt, Refused, Seq};
use setwright_model::ledger::{ClientId, Event, EventFault, EventId, What, faults};
use setwright_model::limits::EVENT_BYTES_MAX;
use sqlx::{Connection, QueryBuilder, Sqlite, SqliteConnection, Transaction};
use std::collections::{BTreeMap, BTreeSet};

/// How many events go to the database at once.
const CHUNK: usize = 500;
/// Pages kept in memory once an import turns out to be long. Identifiers that follow from content come in no order, so a large
/// import touches pages all over; with too few in memory each would be written many times.
const ROOM: &str = "PRAGMA cache_size = -131072";
/// How many refusals are told; more would not be read.
const REFUSALS_TOLD: usize = 50;
/// A write takes the lock at once, so that it need not give up in the middle.
pub(super) const BEGIN: &str = "BEGIN IMMEDIATE";

/// Each event on its own.
pub(super) async fn each(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    events: &[Event],
    end: Option<&KeptBeside>,
) -> Inner<Vec<Receipt>> {
    let mut transaction = c.begin_with(BEGIN).await?;
    keys.begin();
    let mut head = head(&mut transaction, end).await?;
    let mut answers = Vec::with_capacity(events.len());
    for chunk in events.chunks(CHUNK) {
        answers.extend(take(&mut transaction, keys, chunk, &mut head).await?);
    }
    keys.keep().await?;
    transaction.commit().await?;
    acknowledge(end, head)?;
    Ok(answers)
}

/// All events or none; none in any case if `keep` is false.
pub(super) async fn all(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    events: &mut dyn Iterator<Item = Event>,
    keep: bool,
    end: Option<&KeptBeside>,
) -> Inner<BatchOutcome> {
    let transaction = c.begin_with(BEGIN).await?;
    all_in(transaction, keys, events, keep, end).await
}

/// All events or none; none as well if one among those who are seen would be called like another.
pub(super) async fn all_named(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    events: &[Event],
    seen: &dyn Fn(ClientId) -> bool,
    end: Option<&KeptBeside>,
) -> Inner<BatchOutcome> {
    let mut transaction = c.begin_with(BEGIN).await?;
    let before =
        if names::may_change(events) { Some(names::all(&mut transaction, keys).await?) } else { None };
    keys.begin();
    let mut head = head(&mut transaction, end).await?;
    let mut outcome = add(&mut transaction, keys, &mut events.iter().cloned(), &mut head).await?;
    if let Some(before) = before.filter(|_| outcome.refused.is_empty()) {
        let after = names::all(&mut transaction, keys).await?;
        outcome.refused.extend(names::taken(events, &before, &after, seen));
    }
    finish(transaction, keys, outcome, true, end, head).await
}

/// All events or none; none, and no answer, if anything of this client arrived after this place.
pub(super) async fn all_unless_after(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    (client, place): (ClientId, Seq),
    events: &mut dyn Iterator<Item = Event>,
    end: Option<&KeptBeside>,
) -> Inner<Option<BatchOutcome>> {
    let mut transaction = c.begin_with(BEGIN).await?;
    let sql = "SELECT EXISTS (SELECT 1 FROM events WHERE client = ?1 AND seq > ?2)";
    let query = sqlx::query_scalar(sql).bind(client.bytes().to_vec()).bind(place);
    let later: bool = query.fetch_one(&mut *transaction).await?;
    if later {
        transaction.rollback().await?;
        return Ok(None);
    }
    all_in(transaction, keys, events, true, end).await.map(Some)
}

async fn all_in(
    mut transaction: Transaction<'_, Sqlite>,
    keys: &mut Keys,
    events: &mut dyn Iterator<Item = Event>,
    keep: bool,
    end: Option<&KeptBeside>,
) -> Inner<BatchOutcome> {
    keys.begin();
    let mut head = head(&mut transaction, end).await?;
    let outcome = add(&mut transaction, keys, events, &mut head).await?;
    finish(transaction, keys, outcome, keep, end, head).await
}

/// Adds events inside a transaction, until so many were refused that more would not be read.
async fn add(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    events: &mut dyn Iterator<Item = Event>,
    head: &mut Head,
) -> Inner<BatchOutcome> {
    let mut outcome = BatchOutcome::default();
    let mut before = 0;
    loop {
        let chunk: Vec<Event> = events.take(CHUNK).collect();
        if chunk.is_empty() {
            break;
        }
        if before == CHUNK {
            sqlx::query(ROOM).execute(&mut *c).await?;
        }
        let answers = take(c, keys, &chunk, head).await?;
        for (i, (event, answer)) in chunk.iter().zip(answers).enumerate() {
            match answer {
                Receipt::Created => outcome.created += 1,
                Receipt::Exists => outcome.exists += 1,
                answer => outcome.refused.push(Refused { index: before + i, id: event.id, answer }),
            }
        }
        before += chunk.len();
        if outcome.refused.len() >= REFUSALS_TOLD {
            break;
        }
    }
    Ok(outcome)
}

/// Ends a transaction: what it did is kept if that is wanted and nothing was refused.
async fn finish(
    transaction: Transaction<'_, Sqlite>,
    keys: &mut Keys,
    mut outcome: BatchOutcome,
    keep: bool,
    end: Option<&KeptBeside>,
    head: Head,
) -> Inner<BatchOutcome> {
    if keep && outcome.refused.is_empty() {
        keys.keep().await?;
        transaction.commit().await?;
        acknowledge(end, head)?;
    } else {
        transaction.rollback().await?;
        outcome.refused.truncate(REFUSALS_TOLD);
    }
    Ok(outcome)
}

/// Keeps the end of what was committed. What was there already is acknowledged as well, perhaps for the first time.
fn acknowledge(end: Option<&KeptBeside>, head: Head) -> Inner<()> {
    Ok(end.map_or(Ok(()), |end| end.acknowledge(head))?)
}

/// The chain at a place, or at the end of the log.
pub(super) async fn link_at(c: &mut SqliteConnection, at: Option<Seq>) -> Inner<Option<(Seq, Digest)>> {
    let sql = "SELECT seq, chain FROM events WHERE seq <= ?1 ORDER BY seq DESC LIMIT 1";
    let query = sqlx::query_as(sql).bind(at.unwrap_or(Seq::MAX));
    let row: Option<(i64, Vec<u8>)> = query.fetch_optional(c).await?;
    let row = row.filter(|(seq, _)| at.is_none_or(|at| at == *seq));
    row.map(|(seq, chain)| Ok((seq, digest(&chain)?))).transpose()
}

/// The end of the log, which nothing is added to unless it reaches what was acknowledged.
async fn head(c: &mut SqliteConnection, end: Option<&KeptBeside>) -> Inner<Head> {
    if let Some(end) = end {
        end.checked(c).await?;
    }
    last(c).await
}

/// The end of the log as it is.
pub(super) async fn last(c: &mut SqliteConnection) -> Inner<Head> {
    Ok(link_at(c, None).await?.map_or(Head::NONE, |(seq, chain)| Head { seq, chain }))
}

pub(super) fn digest(bytes: &[u8]) -> Inner<Digest> {
    let bytes = bytes.try_into().map_err(|_| Fail::Damaged("a checksum has the wrong length".to_owned()))?;
    Ok(Digest(bytes))
}

/// What is known of an event that is in the log, as far as others may refer to it.
#[derive(Clone, Debug)]
struct KnownEvent {
    client: ClientId,
    kind: String,
    subject: Subject,
    sealed: Vec<u8>,
}

/// What an event is about.
pub(super) type Subject = ([u8; 16], StateKind);

/// An event that is to be written.
struct Entry<'e> {
    event: &'e Event,
    subject: Subject,
    sealed: Vec<u8>,
}

/// Takes a chunk inside a transaction.
async fn take(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    events: &[Event],
    head: &mut Head,
) -> Inner<Vec<Receipt>> {
    let events = people::marked(c, keys, events).await?;
    let events = &*events;
    let mut known = known(c, events).await?;
    let mut clients = heads(c, events).await?;
    let gone = erased::among(c, keys, events.iter().map(|e| e.client).filter(|id| !clients.contains_key(id)))
        .await?;
    let mut answers = Vec::with_capacity(events.len());
    let mut entries: Vec<Entry<'_>> = Vec::new();
    for event in events {
        let body = serde_json::to_string(event).unwrap_or_default();
        let judged = if gone.contains(&event.client) {
            Err(Receipt::Gone)
        } else if let Some(there) = known.get(&event.id) {
            let is_same = there.client == event.client && {
                seal_event(keys.needed(event.client).await?, event, &body)? == there.sealed
            };
            Err(if is_same { Receipt::Exists } else { Receipt::Conflict })
        } else {
            judge(event, &body, &known, &clients)
        };
        if let Ok(subject) = &judged {
            let sealed = seal_event(keys.get_or_draw(event.client).await?, event, &body)?;
            let kind = event.what.kind().to_owned();
            let about = KnownEvent { client: event.client, kind, subject: *subject, sealed: sealed.clone() };
            known.insert(event.id, about);
            clients.entry(event.client).or_insert(ClientHead::NONE);
            entries.push(Entry { event, subject: *subject, sealed });
        }
        answers.push(judged.err().unwrap_or(Receipt::Created));
    }
    write(c, &entries, head, &mut clients).await?;
    stand(c, keys, &entries).await?;
    Ok(answers)
}

/// What the event is about if it may be written; otherwise the answer.
fn judge(
    event: &Event,
    body: &str,
    known: &BTreeMap<EventId, KnownEvent>,
    clients: &BTreeMap<ClientId, ClientHead>,
) -> std::result::Result<Subject, Receipt> {
    let rejected = |field, what: &str| Receipt::Rejected(EventFault { field, what: what.to_owned() });
    if let Some(fault) = faults(event).into_iter().next() {
        return Err(Receipt::Rejected(fault));
    }
    if body.is_empty() || body.len() > EVENT_BYTES_MAX {
        return Err(rejected("what", "It is too large."));
    }
    if !clients.contains_key(&event.client) && !matches!(event.what, What::Client(_)) {
        return Err(rejected("client", "There is no such client in the ledger."));
    }
    let target = match event.what.refers_to() {
        None => None,
        Some(id) => {
            let target = known.get(&id).filter(|t| t.client == event.client);
            Some(
                target
                    .ok_or_else(|| rejected(field(&event.what), "There is no such event of this client."))?,
            )
        }
    };
    if let Some(target) = target
        && !fits(&event.what, &target.kind)
    {
        return Err(rejected(field(&event.what), "That event is of another kind."));
    }
    match (StateKind::of(&event.what), target) {
        (Some(kind), _) if kind.is_of_client() => Ok((event.client.bytes(), kind)),
        (Some(kind), _) => Ok((event.id.bytes(), kind)),
        (None, Some(target)) => Ok(target.subject),
        (None, None) => Err(rejected("what", "It speaks of no event.")),
    }
}

/// The field by which an event refers to another.
const fn field(what: &What) -> &'static str {
    match what {
        What::SessionFinished(_) | What::SessionResumed(_) | What::Set(_) => "session",
        What::PainAnswered(_) => "report",
        What::SetCorrected(_) => "set",
        _ => "event",
    }
}

/// Whether an event may refer to one of this kind.
fn fits(what: &What, kind: &str) -> bool {
    match what {
        What::SessionFinished(_) | What::SessionResumed(_) | What::Set(_) => kind == "session_started",
        What::PainAnswered(_) => kind == "pain",
        What::SetCorrected(_) => kind == "set",
        What::Voided(_) => kind != "voided",
        _ => true,
    }
}

/// Identifier, client, kind, what it is about with its kind, and what is sealed.
type Columns = (Vec<u8>, Vec<u8>, String, Vec<u8>, String, Vec<u8>);

/// The events of the log that these are or refer to.
async fn known(c: &mut SqliteConnection, events: &[Event]) -> Inner<BTreeMap<EventId, KnownEvent>> {
    let ids = events.iter().flat_map(|e| [Some(e.id), e.what.refers_to()]).flatten();
    let ids: BTreeSet<EventId> = ids.collect();
    let mut query =
        QueryBuilder::new("SELECT id, client, kind, subject, subject_kind, sealed FROM events WHERE id IN (");
    list(&mut query, ids.iter().map(|id| id.bytes()));
    let rows: Vec<Columns> = query.build_query_as().fetch_all(c).await?;
    let read = |(id, client, kind, subject, subject_kind, sealed): Columns| {
        let id = sixteen(&id).and_then(|b| EventId::from_bytes(b).ok())?;
        let client = client_of(&client)?;
        let subject = (sixteen(&subject)?, StateKind::of_word(&subject_kind)?);
        Some((id, KnownEvent { client, kind, subject, sealed }))
    };
    let broken = || Fail::Damaged("a row of the log has a field that cannot be".to_owned());
    rows.into_iter().map(|row| read(row).ok_or_else(broken)).collect()
}

/// Which of these events are in the log.
pub(super) async fn there(c: &mut SqliteConnection, ids: &[EventId]) -> Inner<BTreeSet<EventId>> {
    let mut found = BTreeSet::new();
    for chunk in ids.chunks(CHUNK) {
        let mut query = QueryBuilder::new("SELECT id FROM events WHERE id IN (");
        list(&mut query, chunk.iter().map(|id| id.bytes()));
        let rows: Vec<Vec<u8>> =
            query.build_query_scalar().persistent(chunk.len() == CHUNK).fetch_all(&mut *c).await?;
        found.extend(rows.iter().filter_map(|row| EventId::from_bytes(sixteen(row)?).ok()));
    }
    Ok(found)
}

/// Which of the clients that these events concern are in the log, and where their chains have come to.
async fn heads(c: &mut SqliteConnection, events: &[Event]) -> Inner<BTreeMap<ClientId, ClientHead>> {
    let ids: BTreeSet<ClientId> = events.iter().map(|e| e.client).collect();
    let mut query = QueryBuilder::new("SELECT client, nth, own FROM heads WHERE erased = 0 AND client IN (");
    list(&mut query, ids.iter().map(|id| id.bytes()));
    let rows: Vec<(Vec<u8>, i64, Vec<u8>)> = query.build_query_as().fetch_all(c).await?;
    let broken = || Fail::Damaged("a client is no identifier".to_owned());
    let read = |(client, nth, own): (Vec<u8>, i64, Vec<u8>)| {
        Ok((client_of(&client).ok_or_else(broken)?, ClientHead { nth, own: digest(&own)? }))
    };
    rows.into_iter().map(read).collect()
}

/// Writes where chains of clients have come to.
pub(super) async fn put_heads(c: &mut SqliteConnection, heads: &[(ClientId, ClientHead)]) -> Inner<()> {
    for chunk in heads.chunks(CHUNK) {
        let mut query = QueryBuilder::new("INSERT INTO heads (client, nth, own) ");
        query.push_values(chunk, |mut row, (client, head)| {
            row.push_bind(client.bytes().to_vec()).push_bind(head.nth).push_bind(head.own.0.to_vec());
        });
        query.push(" ON CONFLICT (client) DO UPDATE SET nth = excluded.nth, own = excluded.own");
        query.build().persistent(chunk.len() == 1).execute(&mut *c).await?;
    }
    Ok(())
}

fn list(query: &mut QueryBuilder<Sqlite>, ids: impl Iterator<Item = [u8; 16]>) {
    let mut separated = query.separated(", ");
    for id in ids {
        separated.push_bind(id.to_vec());
    }
    query.push(")");
}

pub(super) fn sixteen(bytes: &[u8]) -> Option<[u8; 16]> {
    bytes.try_into().ok()
}

/// How a row is added to the log.
pub(super) const INSERT: &str = "INSERT INTO events \
    (seq, client, nth, id, kind, subject, subject_kind, key_version, sealed, leaf, own, chain) ";

/// Adds rows to the log.
async fn write(
    c: &mut SqliteConnection,
    entries: &[Entry<'_>],
    head: &mut Head,
    clients: &mut BTreeMap<ClientId, ClientHead>,
) -> Inner<()> {
    if entries.is_empty() {
        return Ok(());
    }
    let mut touched: BTreeSet<ClientId> = BTreeSet::new();
    let mut query = QueryBuilder::new(INSERT);
    query.push_values(entries, |mut row, entry| {
        let Event { id, client, what, .. } = entry.event;
        let leaf = leaf(&client.bytes(), &id.bytes(), what.kind(), &entry.sealed);
        let own = clients.entry(*client).or_insert(ClientHead::NONE);
        *own = own.after(leaf);
        touched.insert(*client);
        *head = Head { seq: head.seq + 1, chain: chained(head.chain, own.own) };
        row.push_bind(head.seq)
            .push_bind(client.bytes().to_vec())
            .push_bind(own.nth)
            .push_bind(id.bytes().to_vec())
            .push_bind(what.kind())
            .push_bind(entry.subject.0.to_vec())
            .push_bind(entry.subject.1.word())
            .push_bind(KEY_VERSION)
            .push_bind(entry.sealed.clone())
            .push_bind(leaf.0.to_vec())
            .push_bind(own.own.0.to_vec())
            .push_bind(head.chain.0.to_vec());
    });
    query.build().persistent(entries.len() == CHUNK).execute(&mut *c).await?;
    let moved = touched.into_iter().filter_map(|client| Some((client, *clients.get(&client)?)));
    put_heads(c, &moved.collect::<Vec<_>>()).await
}

/// Brings what stands up to date for everything that these entries are about.
async fn stand(c: &mut SqliteConnection, keys: &mut Keys, entries: &[Entry<'_>]) -> Inner<()> {
    let mut touched: BTreeMap<Subject, Vec<Event>> = BTreeMap::new();
    for entry in entries {
        touched.entry(entry.subject).or_default().push(entry.event.clone());
    }
    let mut rows = Vec::with_capacity(touched.len());
    for ((subject, kind), new) in touched {
        let is_new = !kind.is_of_client() && new.iter().any(|e| e.id.bytes() == subject);
        let events = if is_new { new } else { about(c, keys, (subject, kind)).await? };
        rows.push(Row::of(kind, subject, &events)?);
    }
    for chunk in rows.chunks(CHUNK) {
        rebuild::put(c, keys, chunk).await?;
    }
    Ok(())
}

/// All events about one thing, in the order of arrival.
async fn about(c: &mut SqliteConnection, keys: &mut Keys, (subject, kind): Subject) -> Inner<Vec<Event>> {
    let sql =
        "SELECT client, id, kind, sealed FROM events WHERE subject = ?1 AND subject_kind = ?2 ORDER BY seq";
    let query = sqlx::query_as(sql).bind(subject.to_vec()).bind(kind.word());
    let rows: Vec<SealedRow> = query.fetch_all(c).await?;
    let mut events = Vec::with_capacity(rows.len());
    for row in &rows {
        events.push(opened(keys, row).await?);
    }
    Ok(events)
}
