//! `account record`: who signed in and from where, who failed, what was changed of accounts, and who saw which client.

use super::sessions::moment;
use super::{client_names, clients, named, open};
use crate::account_args::AccountRecordArgs;
use crate::reply::Reply;
use crate::show::{count, json};
use crate::text::{CellAlign, Columns};
use serde::Serialize;
use setwright_coaching::ledger::of_store;
use setwright_model::refusal::Refusals;
use setwright_store::{Entry, RecordFilter};
use std::path::Path;

#[derive(Serialize)]
struct EntryView {
    at: String,
    account: Option<String>,
    what: &'static str,
    client: Option<String>,
    /// None on the machine itself.
    address: Option<String>,
    #[serde(skip)]
    said: &'static str,
}

/// Lists what was written down, the newest first.
pub(super) fn listed(ledger: &Path, args: &AccountRecordArgs) -> Result<Reply, Refusals> {
    let mut book = open(ledger)?;
    let account = args.account.as_deref().map(|name| named(&mut book, name)).transpose()?;
    let client = clients(ledger, args.client.as_slice())?.first().copied();
    let filter =
        RecordFilter { account: account.map(|account| account.id), client, without_views: args.changes };
    let found = book.accounts.recorded(&filter, 0, args.most as usize).map_err(|e| vec![of_store(&e)])?;
    let names = client_names(ledger)?;
    let view = |entry: Entry| EntryView {
        at: moment(entry.trace.at_ms),
        account: entry.account,
        what: entry.deed.word(),
        client: entry.client.map(|id| names.get(&id).cloned().unwrap_or_else(|| id.short())),
        address: Some(entry.trace.place).filter(|place| !place.is_empty()),
        said: entry.deed.said(),
    };
    let all: Vec<EntryView> = found.into_iter().map(view).collect();
    if args.json {
        return Ok(Reply::data(json(&all)));
    }
    let mut columns = Columns::new(&[CellAlign::Left; 5]);
    columns.row(["when", "account", "what", "client", "from"]);
    for one in &all {
        let address = one.address.as_deref().unwrap_or("this machine");
        let (account, client) =
            (one.account.as_deref().unwrap_or("-"), one.client.as_deref().unwrap_or_default());
        columns.row([one.at.as_str(), account, one.said, client, address]);
    }
    let talk = format!("{}.\n", count(all.len(), "line"));
    Ok(Reply { data: columns.lines(0), talk, ..Reply::default() })
}
