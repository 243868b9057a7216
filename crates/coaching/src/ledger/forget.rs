//! Forgetting a client who asks for it: first what that would be and where else something of them is, then the deed. It is done in the
//! accounts, in the ledger, and in what was calculated and lies beside it. Copies that were made before are named, with the day by which they
//! are to be deleted: nothing here reaches them.

use super::{UnitOfWork, of_store};
use crate::people::accounts::Book;
use crate::roster_lines;
use serde::Serialize;
use setwright_formats::doc::printable;
use setwright_model::code::Code;
use setwright_model::ledger::ClientId;
use setwright_model::name::folded;
use setwright_model::refusal::Refusal;
use setwright_store::{ClientState, EventFilter, NoteState, State, StateKind, Store};
use std::collections::BTreeSet;

/// Days that a copy is kept in which a client is who was forgotten since (judgement: a month, as backups are kept by many).
pub const COPY_DAYS: i64 = 30;
/// Letters from which on a name is looked for in what is said of others (judgement: shorter ones are in every other sentence).
const LETTERS_LEAST: usize = 3;

/// What is forgotten of a client, or would be.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ForgetView {
    /// Which client.
    pub id: ClientId,
    /// What the client is called.
    pub name: String,
    /// Whether it was done.
    pub forgotten: bool,
    /// How many sessions are in the ledger.
    pub sessions: usize,
    /// How many sets.
    pub sets: usize,
    /// How many events nobody can read any more; none before it is done.
    pub events: Option<u64>,
    /// Accounts of their own, which are emptied and shut.
    pub accounts: Vec<String>,
    /// Clients of whom something is written that may name this one, and that stays.
    pub named_by: Vec<String>,
    /// Copies of the ledger in which the client still is.
    pub copies: Vec<CopyLeft>,
}

/// A copy of the ledger from before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CopyLeft {
    /// Where it was put.
    pub path: String,
    /// The day it was made.
    pub made: String,
    /// The day by which it is to be deleted.
    pub delete_by: String,
    /// Whether it is there.
    pub there: bool,
}

/// Who forgets, for the record.
#[derive(Clone, Copy, Debug, Default)]
pub struct ForgottenBy<'a> {
    /// The account; none on the machine itself.
    pub account: Option<i64>,
    /// The address; empty on the machine itself.
    pub place: &'a str,
}

/// Says what would be forgotten, and does nothing.
///
/// # Errors
/// Whoever asks is no coach, or has no such client.
pub fn look(uow: &mut UnitOfWork, book: Option<&mut Book>, wanted: &str) -> Result<ForgetView, Refusal> {
    uow.may.coach_only()?;
    let client = uow.client(wanted)?;
    let own = match book {
        Some(book) => book.accounts.own_of(client.client).map_err(|e| of_store(&e))?,
        None => Vec::new(),
    };
    let id = client.client;
    let mut count = |kind| uow.store.count(kind, id).map_err(|e| of_store(&e));
    let (sessions, sets) = (count(StateKind::Session)?, count(StateKind::Set)?);
    Ok(ForgetView {
        id,
        forgotten: false,
        sessions,
        sets,
        events: None,
        accounts: own.into_iter().map(|account| account.name).collect(),
        named_by: named_by(uow, &client)?,
        copies: copies(uow, id)?,
        name: client.card.name,
    })
}

/// Forgets a client, who is named whole. When it is cut short it is done again.
///
/// # Errors
/// Whoever asks is no coach, has no such client, or named only the beginning; the accounts or the ledger cannot be written.
pub fn forget(
    uow: &mut UnitOfWork,
    mut book: Option<&mut Book>,
    wanted: &str,
    by: ForgottenBy<'_>,
) -> Result<ForgetView, Refusal> {
    let view = look(uow, book.as_deref_mut(), wanted)?;
    let is_whole = folded(wanted) == folded(&view.name)
        || [view.id.to_string(), view.id.short()].contains(&wanted.trim().to_lowercase());
    if !is_whole {
        let what = format!("\"{}\" is only the beginning of a name.", printable(wanted));
        let hint = "What is forgotten does not come back: write the whole name, or the eight digits that client list shows.";
        return Err(Refusal::new(Code::Usage, what, hint));
    }
    // First here: a client who is in the ledger can be asked for once more, when this alone was done.
    if let Some(book) = book {
        let trace = book.trace(by.place);
        book.accounts.forget(view.id, by.account, &trace).map_err(|e| of_store(&e))?;
    }
    roster_lines::clear(uow.store.path()).map_err(|e| of_store(&e))?;
    let erased = uow.store.erase(view.id, uow.wall.now()).map_err(|e| of_store(&e))?;
    // It is done; what is left is tried again when the ledger rests.
    let _ = uow.store.checkpoint();
    Ok(ForgetView { forgotten: true, events: erased.map(|e| e.events), ..view })
}

/// Copies that were made since something was written of the client.
fn copies(uow: &mut UnitOfWork, client: ClientId) -> Result<Vec<CopyLeft>, Refusal> {
    let first = uow.store.events(EventFilter { client: Some(client) }, 0, 1).map_err(|e| of_store(&e))?;
    let first = first.first().map_or(i64::MAX, |kept| kept.seq);
    let today = uow.wall.now().date();
    let mut made = uow.store.copies().map_err(|e| of_store(&e))?;
    made.retain(|copy| i64::try_from(copy.events).is_ok_and(|events| events >= first));
    let left = |copy: setwright_store::CopyMade| CopyLeft {
        made: copy.at.date().to_string(),
        delete_by: copy.at.date().plus(COPY_DAYS).max(today).to_string(),
        there: copy.path.exists(),
        path: copy.path.display().to_string(),
    };
    Ok(made.into_iter().map(left).collect())
}

/// Other clients whom whoever asks may see, and of whom something is written that may name this one.
fn named_by(uow: &mut UnitOfWork, client: &ClientState) -> Result<Vec<String>, Refusal> {
    let name = folded(&client.card.name);
    let words: Vec<&str> = name.split(' ').filter(|w| w.chars().count() >= LETTERS_LEAST).collect();
    let names = |text: &str| {
        let text = folded(text);
        text.split(|c: char| !c.is_alphanumeric()).any(|word| words.contains(&word))
    };
    let others: Vec<ClientState> =
        uow.clients()?.into_iter().filter(|other| other.client != client.client).collect();
    let mut named: BTreeSet<String> = BTreeSet::new();
    for other in others {
        let notes = uow.store.standing(StateKind::Note, Some(other.client)).map_err(|e| of_store(&e))?;
        let in_notes =
            notes.iter().any(|state| matches!(state, State::Note(NoteState { text, .. }) if names(text)));
        if in_notes || names(&other.card.about) {
            named.insert(other.card.name);
        }
    }
    Ok(named.into_iter().collect())
}

#[cfg(test)]
mod tests;
