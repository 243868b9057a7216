//! `account`: who may come over a network, where they are signed in, their one-time codes, and who came.

mod record;
mod sessions;

use crate::account_args::{
    AccountAction, AccountAddArgs, AccountArgs, AccountClientArgs, AccountRequireArgs, LinkTo,
};
use crate::ledger::with_ledger;
use crate::machine;
use crate::reply::Reply;
use crate::show::{count, json};
use crate::text::{CellAlign, Columns};
use serde::Serialize;
use setwright_coaching::ledger::of_store;
use setwright_coaching::people::accounts::Book;
use setwright_model::code::Code;
use setwright_model::ledger::ClientId;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_store::{Account, AccountRole, Deed, Opening, SecondStep, Store};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Runs `account`.
pub fn run(args: &AccountArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let done = match &args.action {
        AccountAction::Add(add) => added(add, ledger)?,
        AccountAction::Link(link) => {
            let mut book = open(ledger)?;
            let account = named(&mut book, &link.name)?;
            linked(&mut book, &account, &link.to)?
        }
        AccountAction::List(list) => listed(ledger, list.json)?,
        AccountAction::Disable(who) => shut(ledger, &who.name, true)?,
        AccountAction::Forget(who) => forgotten(ledger, &who.name)?,
        AccountAction::Enable(who) => shut(ledger, &who.name, false)?,
        AccountAction::Sessions(who) => sessions::listed(ledger, who)?,
        AccountAction::End(who) => sessions::ended(ledger, who)?,
        AccountAction::Require(role) => required(ledger, role)?,
        AccountAction::ResetCodes(who) => without_codes(ledger, &who.name)?,
        AccountAction::Record(asked) => record::listed(ledger, asked)?,
        AccountAction::Give(pair) => theirs(ledger, pair, true)?,
        AccountAction::Take(pair) => theirs(ledger, pair, false)?,
    };
    Ok(done)
}

fn open(ledger: &Path) -> Result<Book, Refusals> {
    Book::open(ledger, Opening::Existing, &machine::this()).map_err(|p| vec![p])
}

fn named(book: &mut Book, name: &str) -> Result<Account, Refusals> {
    book.named(name).map_err(|p| vec![p])
}

fn talk(talk: String) -> Reply {
    Reply { talk, ..Reply::default() }
}

fn clients(ledger: &Path, names: &[String]) -> Result<BTreeSet<ClientId>, Refusals> {
    if names.is_empty() {
        return Ok(BTreeSet::new());
    }
    with_ledger(ledger, Opening::Existing, |uow| {
        names.iter().map(|name| uow.client(name).map(|c| c.client).map_err(|p| vec![p])).collect()
    })
}

fn added(args: &AccountAddArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let role = AccountRole::from(args.role);
    let clients = clients(ledger, &args.client)?;
    let mut book = Book::open(ledger, Opening::Create, &machine::this()).map_err(|p| vec![p])?;
    let account = book.add(&args.name, role, &clients).map_err(|p| vec![p])?;
    linked(&mut book, &account, &args.to)
}

#[derive(Serialize)]
struct LinkView<'a> {
    name: &'a str,
    role: &'static str,
    link: String,
    hours: u32,
}

fn linked(book: &mut Book, account: &Account, to: &LinkTo) -> Result<Reply, Refusals> {
    let secret = book.link(account, to.hours).map_err(|p| vec![p])?;
    let link = format!("{}/welcome/{secret}", to.at.trim_end_matches('/'));
    if to.json {
        let view = LinkView { name: &account.name, role: word(account.role), link, hours: to.hours };
        return Ok(Reply::data(json(&view)));
    }
    let talk = format!(
        "{}, {}. Give this link to nobody else; it can be used once, within {}.\n",
        account.name,
        word(account.role),
        count(to.hours as usize, "hour")
    );
    Ok(Reply { data: format!("{link}\n"), talk, ..Reply::default() })
}

const fn word(role: AccountRole) -> &'static str {
    match role {
        AccountRole::Owner => "owner",
        AccountRole::Coach => "coach",
        AccountRole::Client => "client",
    }
}

const fn state(account: &Account) -> &'static str {
    match (account.disabled, account.hash.is_some()) {
        (true, _) => "shut",
        (false, true) => "in use",
        (false, false) => "waits for its link",
    }
}

const fn codes(account: &Account) -> &'static str {
    match account.second {
        SecondStep::Off => "off",
        SecondStep::Wanted => "wanted",
        SecondStep::On => "on",
    }
}

#[derive(Serialize)]
struct AccountView {
    name: String,
    role: &'static str,
    state: &'static str,
    codes: &'static str,
    clients: Vec<String>,
}

/// What clients are called.
fn client_names(ledger: &Path) -> Result<BTreeMap<ClientId, String>, Refusals> {
    if !ledger.exists() {
        return Ok(BTreeMap::new());
    }
    with_ledger(ledger, Opening::Existing, |uow| {
        let clients = uow.clients().map_err(|p| vec![p])?;
        Ok(clients.into_iter().map(|c| (c.client, c.card.name)).collect())
    })
}

fn listed(ledger: &Path, as_json: bool) -> Result<Reply, Refusals> {
    let all = open(ledger)?.accounts.all().map_err(|e| vec![of_store(&e)])?;
    let names = client_names(ledger)?;
    let view = |account: Account| AccountView {
        role: word(account.role),
        state: state(&account),
        codes: codes(&account),
        clients: account.clients.iter().map(|c| names.get(c).cloned().unwrap_or_else(|| c.short())).collect(),
        name: account.name,
    };
    let all: Vec<AccountView> = all.into_iter().map(view).collect();
    if as_json {
        return Ok(Reply::data(json(&all)));
    }
    let mut columns = Columns::new(&[CellAlign::Left; 5]);
    columns.row(["account", "role", "state", "codes", "clients"]);
    for account in &all {
        let clients = if account.role == "owner" { "all".to_owned() } else { account.clients.join(", ") };
        columns.row([
            account.name.clone(),
            account.role.to_owned(),
            account.state.to_owned(),
            account.codes.to_owned(),
            clients,
        ]);
    }
    let talk = format!("{}.\n", count(all.len(), "account"));
    Ok(Reply { data: columns.lines(0), talk, ..Reply::default() })
}

fn shut(ledger: &Path, name: &str, shut: bool) -> Result<Reply, Refusals> {
    let mut book = open(ledger)?;
    let account = named(&mut book, name)?;
    let trace = book.trace("");
    book.accounts.shut(account.id, shut, &trace).map_err(|e| vec![of_store(&e)])?;
    let what = if shut { "is shut, and signed out everywhere" } else { "is open" };
    Ok(talk(format!("{} {what}.\n", account.name)))
}

fn forgotten(ledger: &Path, name: &str) -> Result<Reply, Refusals> {
    let mut book = open(ledger)?;
    let account = named(&mut book, name)?;
    let refused = |what: &str, hint: &str| Err(vec![Refusal::new(Code::NoSuchAccount, what, hint)]);
    if account.role == AccountRole::Client {
        let hint = "setwright forget NAME forgets a client, and empties the account.";
        return refused("This is the account of a client.", hint);
    }
    if !account.disabled {
        let hint = "setwright account disable NAME shuts it. What is taken out then does not come back.";
        return refused("The account is not shut, and nothing was taken out.", hint);
    }
    // First in the ledger: as long as the account has the name it can be done again.
    with_ledger(ledger, Opening::Existing, |uow| {
        uow.store.forget_name(&account.name).map_err(|e| vec![of_store(&e)])
    })?;
    let trace = book.trace("");
    book.accounts.forget_account(account.id, &trace).map_err(|e| vec![of_store(&e)])?;
    Ok(talk(format!(
        "{} is named nowhere any more; what was written stays, by somebody unnamed.\n",
        account.name
    )))
}

fn required(ledger: &Path, args: &AccountRequireArgs) -> Result<Reply, Refusals> {
    let (mut book, role) = (open(ledger)?, AccountRole::from(args.role));
    let trace = book.trace("");
    book.accounts.require(role, !args.off, &trace).map_err(|e| vec![of_store(&e)])?;
    let role = word(role);
    Ok(talk(if args.off {
        format!("Accounts of the role {role} may be without one-time codes.\n")
    } else {
        format!("Whoever is {role} and has no one-time codes is asked to set them up before anything else.\n")
    }))
}

fn without_codes(ledger: &Path, name: &str) -> Result<Reply, Refusals> {
    let mut book = open(ledger)?;
    let account = named(&mut book, name)?;
    let trace = book.trace("");
    let dropped = book.accounts.drop_secret(account.id, None, &trace, Deed::CodesReset);
    let name = account.name;
    Ok(talk(if dropped.map_err(|e| vec![of_store(&e)])? {
        format!("{name} has no one-time codes any more, and is signed out everywhere. The password stands.\n")
    } else {
        format!("{name} has no one-time codes.\n")
    }))
}

fn theirs(ledger: &Path, pair: &AccountClientArgs, give: bool) -> Result<Reply, Refusals> {
    let mut book = open(ledger)?;
    let account = named(&mut book, &pair.name)?;
    if account.role != AccountRole::Coach {
        let what = "Only a coach has clients that come and go.";
        let hint = "An owner sees all; for another client add another account.";
        return Err(vec![Refusal::new(Code::NoSuchAccount, what, hint)]);
    }
    let wanted = pair.client.as_str();
    // Somebody of whom the ledger knows nothing can still be taken away, by the whole identifier.
    let unknown = wanted.trim().parse().ok().filter(|id| !give && account.clients.contains(id));
    let (client, name) = with_ledger(ledger, Opening::Existing, |uow| match unknown {
        Some(id) => {
            let known = uow.known(wanted).map_err(|p| vec![p])?;
            Ok((id, known.map_or_else(|| "somebody unknown".to_owned(), |c| c.card.name)))
        }
        None => uow.client(wanted).map(|c| (c.client, c.card.name)).map_err(|p| vec![p]),
    })?;
    let trace = book.trace("");
    let done = if give {
        book.accounts.give(account.id, client, &trace)
    } else {
        book.accounts.take(account.id, client, &trace)
    };
    done.map_err(|e| vec![of_store(&e)])?;
    // What was typed may be the beginning of a name: who it was understood as is said.
    let has = if give { "has" } else { "has no more" };
    Ok(talk(format!("{} {has} {name} ({}).\n", account.name, client.short())))
}
