//! Who wrote: an event is kept with the mark of a person and never with a name, which stands once, beside the log. So a coach's name can be
//! taken out without touching what is said of any client, and comes back with what is read as long as it is there.
//!
//! A mark is made of the name with the root key: the same name has the same one in this ledger, and nobody without the key can try names.

use super::keys::Keys;
use super::{Fail, Inner, append, shed};
use crate::cipher::SealingKey;
use setwright_model::ledger::{Actor, Event, PersonId, faults};
use setwright_model::name::folded;
use sqlx::{Connection, SqliteConnection};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// What a name is sealed as.
const NAME: &[u8] = b"name of a person";

/// The mark of whoever has this name.
fn mark(root: &SealingKey, name: &str) -> PersonId {
    PersonId::derived(root.keyed(&[b"person", folded(name).as_bytes()]).half())
}

/// Events as they are kept: with marks in the place of names, which are put beside the log. A name that no event may hold stays, to be refused.
pub(super) async fn marked<'e>(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    events: &'e [Event],
) -> Inner<Cow<'e, [Event]>> {
    if events.iter().all(|event| event.actor.name.is_empty()) {
        return Ok(Cow::Borrowed(events));
    }
    let mut kept = events.to_vec();
    let mut names = BTreeMap::new();
    for event in &mut kept {
        let is_fit = faults(event).iter().all(|fault| fault.field != "actor");
        if let Some((person, name)) = is_fit.then(|| replace(keys, &mut event.actor)).transpose()?.flatten() {
            names.insert(person, name);
        }
    }
    for (person, name) in names {
        put(c, keys, person, &name).await?;
    }
    Ok(Cow::Owned(kept))
}

/// Puts a mark in the place of a name; both, where there was one.
pub(super) fn replace(keys: &mut Keys, actor: &mut Actor) -> Inner<Option<(PersonId, String)>> {
    if actor.name.is_empty() {
        return Ok(None);
    }
    let name = std::mem::take(&mut actor.name);
    let person = mark(keys.root()?, &name);
    actor.person = Some(person);
    Ok(Some((person, name)))
}

/// Keeps what a person is called.
pub(super) async fn put(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    person: PersonId,
    name: &str,
) -> Inner<()> {
    let id = person.bytes();
    let sealed = keys.root()?.seal(&id, &[NAME, &id], name.as_bytes());
    let sealed = sealed.ok_or_else(|| Fail::Damaged("a name cannot be sealed".to_owned()))?;
    let sql = "INSERT INTO people (person, name) VALUES (?1, ?2) ON CONFLICT (person) DO UPDATE SET name = excluded.name \
               WHERE name <> excluded.name";
    sqlx::query(sql).bind(id.to_vec()).bind(sealed).execute(c).await?;
    Ok(())
}

/// Puts names back where marks are, as far as they are still there.
pub(super) async fn name<'a>(
    c: &mut SqliteConnection,
    keys: &mut Keys,
    actors: impl Iterator<Item = &'a mut Actor>,
) -> Inner<()> {
    let mut known: BTreeMap<PersonId, String> = BTreeMap::new();
    for actor in actors {
        let Some(person) = actor.person else { continue };
        if let Some(name) = known.get(&person) {
            actor.name.clone_from(name);
            continue;
        }
        actor.name = called(c, keys, person).await?.unwrap_or_default();
        known.insert(person, actor.name.clone());
    }
    Ok(())
}

async fn called(c: &mut SqliteConnection, keys: &mut Keys, person: PersonId) -> Inner<Option<String>> {
    let id = person.bytes();
    let sql = "SELECT name FROM people WHERE person = ?1";
    let sealed: Option<Vec<u8>> = sqlx::query_scalar(sql).bind(id.to_vec()).fetch_optional(c).await?;
    let Some(sealed) = sealed else { return Ok(None) };
    let opened = keys.root()?.open(&id, &[NAME, &id], &sealed);
    let name = opened.and_then(|bytes| String::from_utf8(bytes).ok());
    name.map(Some)
        .ok_or_else(|| Fail::Damaged(format!("the name of person {person} does not open with the root key")))
}

/// Takes the name of whoever is called so out of the ledger; whether there was one.
pub(super) async fn forget(c: &mut SqliteConnection, keys: &mut Keys, name: &str) -> Inner<bool> {
    let person = mark(keys.root()?, name);
    let mut t = c.begin_with(append::BEGIN).await?;
    let sql = "DELETE FROM people WHERE person = ?1";
    let gone = sqlx::query(sql).bind(person.bytes().to_vec()).execute(&mut *t).await?.rows_affected();
    shed::put_due(&mut t).await?;
    t.commit().await?;
    shed::settle(c).await?;
    Ok(gone > 0)
}
