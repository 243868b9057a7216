//! `account sessions` and `account end`: where somebody is signed in, and how that ends.

use super::{named, open, talk};
use crate::account_args::{AccountEndArgs, AccountSessionsArgs};
use crate::machine;
use crate::reply::Reply;
use crate::show::{count, json};
use crate::text::{CellAlign, Columns};
use serde::Serialize;
use setwright_coaching::ledger::of_store;
use setwright_model::code::Code;
use setwright_model::ledger::Moment;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_store::{Deed, SignedIn};
use setwright_web::LASTS;
use std::path::Path;

/// Digits by which a session is told from others.
const DIGITS: usize = 8;

#[derive(Serialize)]
struct SessionView {
    session: String,
    browser: String,
    address: String,
    begun: String,
    last_used: String,
}

/// The moment of a clock in the coach's zone, as it is shown.
pub(super) fn moment(at_ms: i64) -> String {
    let offset_min = machine::this().wall.now().offset_min();
    Moment::new(at_ms, offset_min).map(|at| at.to_string()).unwrap_or_default()
}

/// Lists where an account is signed in.
pub(super) fn listed(ledger: &Path, args: &AccountSessionsArgs) -> Result<Reply, Refusals> {
    let mut book = open(ledger)?;
    let account = named(&mut book, &args.name)?;
    let now_ms = book.now_ms();
    let found = book.accounts.signed_in(account.id, now_ms, LASTS).map_err(|e| vec![of_store(&e)])?;
    let view = |session: SignedIn| SessionView {
        session: session.session.to_string().chars().take(DIGITS).collect(),
        browser: session.browser,
        address: session.place,
        begun: moment(session.begun_ms),
        last_used: moment(session.seen_ms),
    };
    let all: Vec<SessionView> = found.into_iter().map(view).collect();
    if args.json {
        return Ok(Reply::data(json(&all)));
    }
    let mut columns = Columns::new(&[CellAlign::Left; 5]);
    columns.row(["session", "browser", "address", "since", "last used"]);
    for one in &all {
        columns
            .row([&one.session, &one.browser, &one.address, &one.begun, &one.last_used].map(String::as_str));
    }
    let talk = format!("{}: {}.\n", account.name, count(all.len(), "session"));
    Ok(Reply { data: columns.lines(0), talk, ..Reply::default() })
}

/// Ends every session of an account, or one.
pub(super) fn ended(ledger: &Path, args: &AccountEndArgs) -> Result<Reply, Refusals> {
    let mut book = open(ledger)?;
    let account = named(&mut book, &args.name)?;
    let trace = book.trace("");
    let Some(digits) = &args.session else {
        let ended = book.accounts.end_all(account.id, None, &trace).map_err(|e| vec![of_store(&e)])?;
        return Ok(talk(format!("{}: {} ended.\n", account.name, count(ended as usize, "session"))));
    };
    let found = book.accounts.signed_in(account.id, trace.at_ms, LASTS).map_err(|e| vec![of_store(&e)])?;
    let meant = |session: &&SignedIn| session.session.to_string().starts_with(digits.as_str());
    let mut meant = found.iter().filter(meant).filter(|_| digits.len() >= DIGITS);
    let (Some(one), None) = (meant.next(), meant.next()) else {
        let what = format!("{} has no session that begins with {digits}.", account.name);
        let hint = "setwright account sessions NAME shows them.";
        return Err(vec![Refusal::new(Code::NoSuchAccount, what, hint)]);
    };
    let ended = book.accounts.end(account.id, one.session, &trace, Deed::Ended);
    ended.map_err(|e| vec![of_store(&e)])?;
    Ok(talk(format!("{}: the session on {} ended.\n", account.name, one.browser)))
}
