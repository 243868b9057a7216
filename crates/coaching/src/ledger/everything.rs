//! Everything that is kept of one client, for that client: what was written of them, their accounts, and who saw them. One JSON object, so that
//! a person can read it and a program can.

use super::export::{Exported, not_written};
use super::{UnitOfWork, of_store};
use crate::people::accounts::Book;
use serde::Serialize;
use setwright_model::ledger::{ClientId, Event, Moment};
use setwright_model::refusal::Refusal;
use setwright_store::{Entry, EventFilter, RecordFilter, Store};
use std::io::Write;

/// What the object is, for whoever opens it.
const ABOUT: &str = "Everything that this ledger keeps of you: what was written, by whom and when; your accounts; and who looked at your \
                     pages, as far back as that is written down. Loads have their unit, moments their offset from UTC.";
/// Events read at once.
const PAGE: usize = 2_000;

#[derive(Serialize)]
struct Everything {
    about: &'static str,
    made: Moment,
    client: ClientId,
    name: String,
    events: Vec<Event>,
    accounts: Vec<OwnAccount>,
    seen: Vec<Seen>,
}

/// An account of the client's own, without what only it may know.
#[derive(Serialize)]
struct OwnAccount {
    name: String,
    has_password: bool,
    shut: bool,
}

/// A line of the record that is about the client, or of their own account.
#[derive(Serialize)]
struct Seen {
    at: Option<Moment>,
    what: &'static str,
    by: Option<String>,
    from: String,
}

/// Writes everything of a client; how many events.
///
/// # Errors
/// No such client, a ledger or accounts that cannot be read, a place that cannot be written.
pub fn export(
    uow: &mut UnitOfWork,
    book: Option<&mut Book>,
    wanted: &str,
    to: &mut dyn Write,
) -> Result<Exported, Refusal> {
    let client = uow.client(wanted)?;
    let (accounts, seen) = match book {
        Some(book) => of_accounts(book, client.client)?,
        None => (Vec::new(), Vec::new()),
    };
    let events = events(uow, client.client)?;
    let count = events.len() as u64;
    let made = uow.wall.now();
    let name = client.card.name;
    let all = Everything { about: ABOUT, made, client: client.client, name, events, accounts, seen };
    serde_json::to_writer_pretty(&mut *to, &all).map_err(|e| not_written(&e.into()))?;
    to.write_all(b"\n").and_then(|()| to.flush()).map_err(|e| not_written(&e))?;
    Ok(Exported { count })
}

fn events(uow: &mut UnitOfWork, client: ClientId) -> Result<Vec<Event>, Refusal> {
    let (mut all, mut after) = (Vec::new(), 0);
    loop {
        let filter = EventFilter { client: Some(client) };
        let page = uow.store.events(filter, after, PAGE).map_err(|e| of_store(&e))?;
        let Some(last) = page.last() else { return Ok(all) };
        after = last.seq;
        all.extend(page.into_iter().map(|kept| kept.event));
    }
}

fn of_accounts(book: &mut Book, client: ClientId) -> Result<(Vec<OwnAccount>, Vec<Seen>), Refusal> {
    let own = book.accounts.own_of(client).map_err(|e| of_store(&e))?;
    let about = RecordFilter { client: Some(client), ..RecordFilter::default() };
    let of = own.iter().map(|account| RecordFilter { account: Some(account.id), ..RecordFilter::default() });
    let filters: Vec<RecordFilter> = std::iter::once(about).chain(of).collect();
    let mut entries: Vec<Entry> = Vec::new();
    for filter in filters {
        entries.extend(book.accounts.recorded(&filter, 0, usize::MAX).map_err(|e| of_store(&e))?);
    }
    entries.sort_by_key(|entry| entry.trace.at_ms);
    let own_names: Vec<String> = own.iter().map(|account| account.name.clone()).collect();
    let seen = entries.into_iter().map(|entry| line(entry, &own_names)).collect();
    let account = |a: setwright_store::Account| OwnAccount {
        has_password: a.hash.is_some(),
        shut: a.disabled,
        name: a.name,
    };
    Ok((own.into_iter().map(account).collect(), seen))
}

/// Where somebody else came from is theirs, and not told.
fn line(entry: Entry, own: &[String]) -> Seen {
    let is_own = entry.account.as_ref().is_some_and(|name| own.contains(name));
    Seen {
        at: Moment::new(entry.trace.at_ms, 0).ok(),
        what: entry.deed.said(),
        by: entry.account,
        from: if is_own { entry.trace.place } else { String::new() },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::clients;
    use crate::machine::Machine;
    use setwright_store::{AccountRole, Deed, Opening, Trace};
    use std::collections::BTreeSet;

    #[test]
    fn a_client_is_given_all_that_is_kept_of_them_and_nothing_of_anybody_else() {
        let folder = tempfile::TempDir::new().unwrap();
        let ledger = folder.path().join("ledger.sqlite3");
        let machine = Machine::stopped("2026-11-27T10:00:00+01:00".parse().unwrap(), 1);
        let mut uow = UnitOfWork::open(&ledger, Opening::Create, &machine).unwrap();
        let mara = clients::add(&mut uow, "Mara", "left-handed", None).unwrap().id;
        let bo = clients::add(&mut uow, "Bo", "a secret of Bo's", None).unwrap().id;
        let mut book = Book::open(&ledger, Opening::Create, &machine).unwrap();
        book.add("mara", AccountRole::Client, &BTreeSet::from([mara])).unwrap();
        let coach = book.add("ada", AccountRole::Coach, &BTreeSet::from([mara, bo])).unwrap();
        let trace = Trace { at_ms: book.now_ms(), place: "198.51.100.9".to_owned() };
        for client in [mara, bo] {
            book.accounts.record(&trace, Deed::SawClient, Some(coach.id), Some(client)).unwrap();
        }
        let mut bytes = Vec::new();
        assert_eq!(export(&mut uow, Some(&mut book), "mara", &mut bytes).unwrap().count, 1);
        let text = String::from_utf8(bytes).unwrap();
        let all: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!((&all["name"], &all["accounts"][0]["name"]), (&"Mara".into(), &"mara".into()));
        assert_eq!(all["events"][0]["what"]["client"]["about"], "left-handed");
        assert!(
            all["seen"].as_array().unwrap().iter().any(|s| s["by"] == "ada" && s["what"] == "saw a client")
        );
        assert!(!text.contains("Bo") && !text.contains("secret of"), "{text}");
        assert!(!text.contains("198.51.100.9"), "where the coach came from is theirs: {text}");
    }
}
