//! Names of clients in a transaction that may change them: whether two who are seen by whoever writes would be called alike. It changes
//! nothing.

use super::keys::Keys;
use super::{Inner, read};
use crate::state::{State, StateKind};
use crate::store::{Receipt, Refused};
use setwright_model::ledger::{ClientId, Event, What};
use setwright_model::name::folded;
use sqlx::SqliteConnection;
use std::collections::BTreeMap;

/// What each client is called.
type Names = BTreeMap<ClientId, String>;

/// Whether a name may be another one after these events; what is taken back may be a card.
pub(super) fn may_change(events: &[Event]) -> bool {
    events.iter().any(is_of_name)
}

const fn is_of_name(event: &Event) -> bool {
    matches!(event.what, What::Client(_) | What::Voided(_))
}

/// The names of all clients as they stand.
pub(super) async fn all(c: &mut SqliteConnection, keys: &mut Keys) -> Inner<Names> {
    let states = read::standing(c, keys, StateKind::Client, None).await?;
    let name = |state| match state {
        State::Client(client) => Some((client.client, client.card.name)),
        _ => None,
    };
    Ok(states.into_iter().filter_map(name).collect())
}

/// The events by which one who is seen came to be called like another. Who was called so before is no matter of these events.
pub(super) fn taken(
    events: &[Event],
    before: &Names,
    after: &Names,
    seen: &dyn Fn(ClientId) -> bool,
) -> Vec<Refused> {
    let mut called: BTreeMap<String, Vec<ClientId>> = BTreeMap::new();
    for (client, name) in after.iter().filter(|(client, _)| seen(**client)) {
        called.entry(folded(name)).or_default().push(*client);
    }
    let changed = after.iter().filter(|(client, name)| {
        seen(**client) && before.get(client).is_none_or(|old| folded(old) != folded(name))
    });
    let refused = |(client, name): (&ClientId, &String)| {
        let other = called.get(&folded(name))?.iter().find(|other| *other != client)?;
        let named = after.get(other)?.clone();
        let mut own = events.iter().enumerate().filter(|(_, e)| e.client == *client && is_of_name(e));
        let (index, event) = own.next_back()?;
        Some(Refused { index, id: event.id, answer: Receipt::NameTaken(named) })
    };
    changed.filter_map(refused).collect()
}
