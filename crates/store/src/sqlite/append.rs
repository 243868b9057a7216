//! Adding to the log: what may be added, what is there already, and what stands then, all in one transaction.

use super::head::{Head, KeptBeside};
use super::rebuild::{self, Row};
use super::{Fail, Inner, names, read};
use crate::digest::{Digest, link};
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
    events: &[Event],
    end: Option<&KeptBeside>,
) -> Inner<Vec<Receipt>> {
    let mut transaction = c.begin_with(BEGIN).await?;
    let mut head = head(&mut transaction, end).await?;
    let mut answers = Vec::with_capacity(events.len());
    for chunk in events.chunks(CHUNK) {
        answers.extend(take(&mut transaction, chunk, &mut head).await?);
    }
    transaction.commit().await?;
    acknowledge(end, head)?;
    Ok(answers)
}

/// All events or none; none in any case if `keep` is false.
pub(super) async fn all(
    c: &mut SqliteConnection,
    events: &mut dyn Iterator<Item = Event>,
    keep: bool,
    end: Option<&KeptBeside>,
) -> Inner<BatchOutcome> {
    let transaction = c.begin_with(BEGIN).await?;
    all_in(transaction, events, keep, end).await
}

/// All events or none; none as well if one among those who are seen would be called like another.
pub(super) async fn all_named(
    c: &mut SqliteConnection,
    events: &[Event],
    seen: &dyn Fn(ClientId) -> bool,
    end: Option<&KeptBeside>,
) -> Inner<BatchOutcome> {
    let mut transaction = c.begin_with(BEGIN).await?;
    let before = if names::may_change(events) { Some(names::all(&mut transaction).await?) } else { None };
    let mut head = head(&mut transaction, end).await?;
    let mut outcome = add(&mut transaction, &mut events.iter().cloned(), &mut head).await?;
    if let Some(before) = before.filter(|_| outcome.refused.is_empty()) {
        let after = names::all(&mut transaction).await?;
        outcome.refused.extend(names::taken(events, &before, &after, seen));
    }
    finish(transaction, outcome, true, end, head).await
}

/// All events or none; none, and no answer, if anything of this client arrived after this place.
pub(super) async fn all_unless_after(
    c: &mut SqliteConnection,
    client: ClientId,
    place: Seq,
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
    all_in(transaction, events, true, end).await.map(Some)
}

async fn all_in(
    mut transaction: Transaction<'_, Sqlite>,
    events: &mut dyn Iterator<Item = Event>,
    keep: bool,
    end: Option<&KeptBeside>,
) -> Inner<BatchOutcome> {
    let mut head = head(&mut transaction, end).await?;
    let outcome = add(&mut transaction, events, &mut head).await?;
    finish(transaction, outcome, keep, end, head).await
}

/// Adds events inside a transaction, until so many were refused that more would not be read.
async fn add(
    c: &mut SqliteConnection,
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
        let answers = take(c, &chunk, head).await?;
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
    mut outcome: BatchOutcome,
    keep: bool,
    end: Option<&KeptBeside>,
    head: Head,
) -> Inner<BatchOutcome> {
    if keep && outcome.refused.is_empty() {
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
    body: String,
}

/// What an event is about.
pub(super) type Subject = ([u8; 16], StateKind);

/// An event that is to be written.
struct Entry<'e> {
    event: &'e Event,
    subject: Subject,
    body: String,
}

/// Takes a chunk inside a transaction.
async fn take(c: &mut SqliteConnection, events: &[Event], head: &mut Head) -> Inner<Vec<Receipt>> {
    let mut known = known(c, events).await?;
    let mut clients = clients(c, events).await?;
    let mut answers = Vec::with_capacity(events.len());
    let mut entries: Vec<Entry<'_>> = Vec::new();
    for event in events {
        let body = serde_json::to_string(event).unwrap_or_default();
        let judged = judge(event, &body, &known, &clients);
        if let Ok(subject) = &judged {
            let kind = event.what.kind().to_owned();
            let about = KnownEvent { client: event.client, kind, subject: *subject, body: body.clone() };
            known.insert(event.id, about);
            clients.insert(event.client);
            entries.push(Entry { event, subject: *subject, body });
        }
        answers.push(judged.err().unwrap_or(Receipt::Created));
    }
    write(c, &entries, head).await?;
    stand(c, &entries).await?;
    Ok(answers)
}

/// What the event is about if it may be written; otherwise the answer.
fn judge(
    event: &Event,
    body: &str,
    known: &BTreeMap<EventId, KnownEvent>,
    clients: &BTreeSet<ClientId>,
) -> std::result::Result<Subject, Receipt> {
    let rejected = |field, what: &str| Receipt::Rejected(EventFault { field, what: what.to_owned() });
    if let Some(there) = known.get(&event.id) {
        return Err(if there.body == body { Receipt::Exists } else { Receipt::Conflict });
    }
    if let Some(fault) = faults(event).into_iter().next() {
        return Err(Receipt::Rejected(fault));
    }
    if body.is_empty() || body.len() > EVENT_BYTES_MAX {
        return Err(rejected("what", "It is too large."));
    }
    if !clients.contains(&event.client) && !matches!(event.what, What::Client(_)) {
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

/// Identifier, client, kind, what it is about with its kind, and body.
type Columns = (Vec<u8>, Vec<u8>, String, Vec<u8>, String, String);

/// The events of the log that these are or refer to.
async fn known(c: &mut SqliteConnection, events: &[Event]) -> Inner<BTreeMap<EventId, KnownEvent>> {
    let ids = events.iter().flat_map(|e| [Some(e.id), e.what.refers_to()]).flatten();
    let ids: BTreeSet<EventId> = ids.collect();
    let mut query =
        QueryBuilder::new("SELECT id, client, kind, subject, subject_kind, body FROM events WHERE id IN (");
    list(&mut query, ids.iter().map(|id| id.bytes()));
    let rows: Vec<Columns> = query.build_query_as().fetch_all(c).await?;
    let read = |(id, client, kind, subject, subject_kind, body): Columns| {
        let id = sixteen(&id).and_then(|b| EventId::from_bytes(b).ok())?;
        let client = sixteen(&client).and_then(|b| ClientId::from_bytes(b).ok())?;
        let subject = (sixteen(&subject)?, StateKind::of_word(&subject_kind)?);
        Some((id, KnownEvent { client, kind, subject, body }))
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

/// Which of the clients that these events concern are in the log.
async fn clients(c: &mut SqliteConnection, events: &[Event]) -> Inner<BTreeSet<ClientId>> {
    let ids: BTreeSet<ClientId> = events.iter().map(|e| e.client).collect();
    let mut query = QueryBuilder::new("SELECT DISTINCT client FROM events WHERE client IN (");
    list(&mut query, ids.iter().map(|id| id.bytes()));
    let rows: Vec<Vec<u8>> = query.build_query_scalar().fetch_all(c).await?;
    Ok(rows.iter().filter_map(|row| ClientId::from_bytes(sixteen(row)?).ok()).collect())
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

/// Adds rows to the log.
async fn write(c: &mut SqliteConnection, entries: &[Entry<'_>], head: &mut Head) -> Inner<()> {
    if entries.is_empty() {
        return Ok(());
    }
    let mut query =
        QueryBuilder::new("INSERT INTO events (seq, id, client, kind, subject, subject_kind, body, chain) ");
    query.push_values(entries, |mut row, entry| {
        head.seq += 1;
        head.chain = link(head.chain, &entry.body);
        row.push_bind(head.seq)
            .push_bind(entry.event.id.bytes().to_vec())
            .push_bind(entry.event.client.bytes().to_vec())
            .push_bind(entry.event.what.kind())
            .push_bind(entry.subject.0.to_vec())
            .push_bind(entry.subject.1.word())
            .push_bind(entry.body.clone())
            .push_bind(head.chain.0.to_vec());
    });
    query.build().persistent(entries.len() == CHUNK).execute(c).await?;
    Ok(())
}

/// Brings what stands up to date for everything that these entries are about.
async fn stand(c: &mut SqliteConnection, entries: &[Entry<'_>]) -> Inner<()> {
    let mut touched: BTreeMap<Subject, Vec<Event>> = BTreeMap::new();
    for entry in entries {
        touched.entry(entry.subject).or_default().push(entry.event.clone());
    }
    let mut rows = Vec::with_capacity(touched.len());
    for ((subject, kind), new) in touched {
        let is_new = !kind.is_of_client() && new.iter().any(|e| e.id.bytes() == subject);
        let events = if is_new { new } else { about(c, (subject, kind)).await? };
        rows.push(Row::of(kind, subject, &events)?);
    }
    for chunk in rows.chunks(CHUNK) {
        rebuild::put(c, chunk).await?;
    }
    Ok(())
}

/// All events about one thing, in the order of arrival.
async fn about(c: &mut SqliteConnection, (subject, kind): Subject) -> Inner<Vec<Event>> {
    let sql = "SELECT body FROM events WHERE subject = ?1 AND subject_kind = ?2 ORDER BY seq";
    let query = sqlx::query_scalar(sql).bind(subject.to_vec()).bind(kind.word());
    let bodies: Vec<String> = query.fetch_all(c).await?;
    bodies.iter().map(|body| read::decoded(body)).collect()
}
