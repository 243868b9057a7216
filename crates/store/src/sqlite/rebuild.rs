//! What stands, written row by row: after events were added, and anew from the whole log.

use super::append::{Subject, sixteen};
use super::keys::Keys;
use super::sealed::{client_of, open_state, opened, seal_state};
use super::{Fail, Inner, schema};
use crate::digest::{Digest, Sum};
use crate::fold::{FOLD_VERSION, Standing, fold};
use crate::state::{State, StateKind};
use crate::store::Rebuilt;
use setwright_model::ledger::Event;
use sqlx::{Connection, QueryBuilder, SqliteConnection};

/// How many rows are read or written at once.
const PAGE: usize = 1_000;

/// What stands of a thing as a row, or that nothing does.
pub(super) struct Row {
    subject: [u8; 16],
    kind: StateKind,
    /// What stands and its JSON form.
    pub(super) stands: Option<(Standing, String)>,
}

impl Row {
    /// The row for a thing with these events.
    pub(super) fn of(kind: StateKind, subject: [u8; 16], events: &[Event]) -> Inner<Self> {
        let stands = match fold(kind, subject, events) {
            None => None,
            Some(standing) => {
                let state = serde_json::to_string(&standing.state)
                    .map_err(|e| Fail::Damaged(format!("a state cannot be written: {e}")))?;
                Some((standing, state))
            }
        };
        Ok(Self { subject, kind, stands })
    }

    fn add_to(&self, sum: &mut Sum) {
        if let Some((standing, state)) = &self.stands {
            add(
                sum,
                &Columns {
                    subject: self.subject.to_vec(),
                    kind: self.kind.word().to_owned(),
                    client: standing.client.bytes().to_vec(),
                    at_ms: standing.at_ms,
                    id: standing.id.bytes().to_vec(),
                    session: None,
                    state: state.clone(),
                },
            );
        }
    }
}

/// Writes rows over what is there.
pub(super) async fn put(c: &mut SqliteConnection, keys: &mut Keys, rows: &[Row]) -> Inner<()> {
    let mut stands = Vec::with_capacity(rows.len());
    for row in rows {
        if let Some((standing, state)) = &row.stands {
            let key = keys.needed(standing.client).await?;
            let sealed = seal_state(key, standing.client, (row.subject, row.kind), state)?;
            stands.push((row, standing, sealed));
        }
    }
    if !stands.is_empty() {
        let mut query =
            QueryBuilder::new("INSERT INTO standing (subject, kind, client, at_ms, id, session, sealed) ");
        query.push_values(&stands, |mut row, (of, standing, sealed)| {
            row.push_bind(of.subject.to_vec())
                .push_bind(of.kind.word())
                .push_bind(standing.client.bytes().to_vec())
                .push_bind(standing.at_ms)
                .push_bind(standing.id.bytes().to_vec())
                .push_bind(session_of(standing))
                .push_bind(sealed.clone());
        });
        query.push(
            " ON CONFLICT (subject, kind) DO UPDATE SET client = excluded.client, at_ms = excluded.at_ms, \
             id = excluded.id, session = excluded.session, sealed = excluded.sealed",
        );
        query.build().persistent(false).execute(&mut *c).await?;
    }
    for gone in rows.iter().filter(|r| r.stands.is_none()) {
        let sql = "DELETE FROM standing WHERE subject = ?1 AND kind = ?2";
        sqlx::query(sql).bind(gone.subject.to_vec()).bind(gone.kind.word()).execute(&mut *c).await?;
    }
    Ok(())
}

/// The session of a set, by which it is found.
fn session_of(standing: &Standing) -> Option<Vec<u8>> {
    match &standing.state {
        State::Set(set) => Some(set.session.bytes().to_vec()),
        _ => None,
    }
}

/// Empties what stands and reckons it again.
pub(super) async fn rebuild(c: &mut SqliteConnection, keys: &mut Keys) -> Inner<Rebuilt> {
    let mut transaction = c.begin_with("BEGIN IMMEDIATE").await?;
    let rebuilt = rebuild_in(&mut transaction, keys).await?;
    transaction.commit().await?;
    Ok(rebuilt)
}

/// The same inside a transaction.
pub(super) async fn rebuild_in(c: &mut SqliteConnection, keys: &mut Keys) -> Inner<Rebuilt> {
    sqlx::query("DELETE FROM standing").execute(&mut *c).await?;
    let mut things = Things::default();
    let mut sum = Sum::default();
    let mut standing = 0;
    loop {
        let rows = things.next(c, keys, PAGE).await?;
        if rows.is_empty() {
            break;
        }
        standing += rows.iter().filter(|r| r.stands.is_some()).count() as u64;
        for row in &rows {
            row.add_to(&mut sum);
        }
        put(c, keys, &rows).await?;
    }
    schema::set_meta(c, "fold", &FOLD_VERSION.to_string()).await?;
    Ok(Rebuilt { events: things.events, standing, fingerprint: sum.done() })
}

/// A walk over the log, thing by thing.
#[derive(Default)]
pub(super) struct Things {
    /// Events that were passed.
    pub(super) events: u64,
    /// The place in the order of subject, kind and arrival.
    at: Option<(Vec<u8>, String, i64)>,
    /// Events of the thing that the last page broke off in.
    open: Option<(Subject, Vec<Event>)>,
    over: bool,
}

type Passed = (Vec<u8>, String, i64, Vec<u8>, Vec<u8>, String, Vec<u8>);

impl Things {
    /// Rows of the next things, about so many; none at the end.
    pub(super) async fn next(
        &mut self,
        c: &mut SqliteConnection,
        keys: &mut Keys,
        most: usize,
    ) -> Inner<Vec<Row>> {
        let mut rows = Vec::new();
        while rows.is_empty() && !self.over {
            let page = self.page(c, most).await?;
            self.over = page.is_empty();
            for (subject, kind, seq, client, id, of_event, sealed) in page {
                self.events += 1;
                let thing = thing(&subject, &kind)?;
                let event = opened(keys, &(client, id, of_event, sealed)).await?;
                match &mut self.open {
                    Some((open, events)) if *open == thing => events.push(event),
                    _ => {
                        rows.extend(self.close()?);
                        self.open = Some((thing, vec![event]));
                    }
                }
                self.at = Some((subject, kind, seq));
            }
            if self.over {
                rows.extend(self.close()?);
            }
        }
        Ok(rows)
    }

    fn close(&mut self) -> Inner<Option<Row>> {
        let done = self.open.take();
        done.map(|((subject, kind), events)| Row::of(kind, subject, &events)).transpose()
    }

    async fn page(&self, c: &mut SqliteConnection, most: usize) -> Inner<Vec<Passed>> {
        let limit = i64::try_from(most).unwrap_or(i64::MAX);
        let Some((subject, kind, seq)) = &self.at else {
            let sql = "SELECT subject, subject_kind, seq, client, id, kind, sealed FROM events \
                       WHERE sealed IS NOT NULL ORDER BY subject, subject_kind, seq LIMIT ?1";
            return Ok(sqlx::query_as(sql).bind(limit).fetch_all(c).await?);
        };
        let sql = "SELECT subject, subject_kind, seq, client, id, kind, sealed FROM events \
                   WHERE sealed IS NOT NULL AND (subject, subject_kind, seq) > (?1, ?2, ?3) \
                   ORDER BY subject, subject_kind, seq LIMIT ?4";
        Ok(sqlx::query_as(sql).bind(subject).bind(kind).bind(seq).bind(limit).fetch_all(c).await?)
    }
}

fn thing(subject: &[u8], kind: &str) -> Inner<Subject> {
    let broken = || Fail::Damaged("a row of the log is about nothing that is known".to_owned());
    Ok((sixteen(subject).ok_or_else(broken)?, StateKind::of_word(kind).ok_or_else(broken)?))
}

/// A row of what stands, as it is kept.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Columns {
    pub(super) subject: Vec<u8>,
    pub(super) kind: String,
    client: Vec<u8>,
    at_ms: i64,
    id: Vec<u8>,
    session: Option<Vec<u8>>,
    /// What stands in its JSON form; empty when it does not open with its key.
    state: String,
}

impl Columns {
    /// Whether this is the row that the log gives.
    pub(super) fn is(&self, row: &Row) -> bool {
        row.stands.as_ref().is_some_and(|(standing, state)| {
            self.subject == row.subject
                && self.kind == row.kind.word()
                && self.client == standing.client.bytes()
                && self.at_ms == standing.at_ms
                && self.id == standing.id.bytes()
                && self.session == session_of(standing)
                && self.state == *state
        })
    }
}

fn add(sum: &mut Sum, row: &Columns) {
    sum.field(&row.subject);
    sum.field(row.kind.as_bytes());
    sum.field(&row.client);
    sum.field(&row.at_ms.to_be_bytes());
    sum.field(&row.id);
    sum.field(row.state.as_bytes());
}

/// The fields of [`Columns`] in their order, what stands still sealed.
type Fields = (Vec<u8>, String, Vec<u8>, i64, Vec<u8>, Option<Vec<u8>>, Vec<u8>);

async fn columns(keys: &mut Keys, fields: Fields) -> Inner<Columns> {
    let (subject, kind, client, at_ms, id, session, sealed) = fields;
    let state = match (client_of(&client), thing(&subject, &kind)) {
        (Some(of), Ok(thing)) => {
            let key = keys.needed(of).await.ok();
            key.and_then(|key| open_state(key, of, thing, &sealed)).unwrap_or_default()
        }
        _ => String::new(),
    };
    Ok(Columns { subject, kind, client, at_ms, id, session, state })
}

/// A walk over what stands, in the order of [`Things`].
#[derive(Default)]
pub(super) struct Rows {
    at: Option<(Vec<u8>, String)>,
}

impl Rows {
    /// The next rows, so many at most; none at the end.
    pub(super) async fn next(
        &mut self,
        c: &mut SqliteConnection,
        keys: &mut Keys,
        most: usize,
    ) -> Inner<Vec<Columns>> {
        let limit = i64::try_from(most).unwrap_or(i64::MAX);
        let page: Vec<Fields> = match &self.at {
            None => {
                let sql = "SELECT subject, kind, client, at_ms, id, session, sealed FROM standing \
                           ORDER BY subject, kind LIMIT ?1";
                sqlx::query_as(sql).bind(limit).fetch_all(c).await?
            }
            Some((subject, kind)) => {
                let sql = "SELECT subject, kind, client, at_ms, id, session, sealed FROM standing \
                           WHERE (subject, kind) > (?1, ?2) ORDER BY subject, kind LIMIT ?3";
                sqlx::query_as(sql).bind(subject).bind(kind).bind(limit).fetch_all(c).await?
            }
        };
        let mut opened = Vec::with_capacity(page.len());
        for fields in page {
            opened.push(columns(keys, fields).await?);
        }
        if let Some(last) = opened.last() {
            self.at = Some((last.subject.clone(), last.kind.clone()));
        }
        Ok(opened)
    }
}

/// Checksum of what stands as it is kept.
pub(super) async fn fingerprint(c: &mut SqliteConnection, keys: &mut Keys) -> Inner<Digest> {
    let mut rows = Rows::default();
    let mut sum = Sum::default();
    loop {
        let page = rows.next(c, keys, PAGE).await?;
        if page.is_empty() {
            return Ok(sum.done());
        }
        for row in &page {
            add(&mut sum, row);
        }
    }
}
