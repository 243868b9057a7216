//! `consent` and `retention`: what a client agreed to, and how long what is said of them is kept.

use super::with_ledger;
use crate::Reply;
use crate::ledger_args::{ConsentArgs, RetentionArgs};
use crate::show::json;
use crate::text::{Columns, LEFT};
use setwright_coaching::ledger::consent::{self, ConsentView, RetentionView};
use setwright_formats::doc::printable;
use setwright_model::ledger::{Consent, Retention};
use setwright_model::refusal::Refusals;
use setwright_store::Opening;
use std::path::Path;

/// Runs `consent`.
pub fn say(args: &ConsentArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let said = args.give.map(|purpose| (purpose, true)).or(args.withdraw.map(|purpose| (purpose, false)));
    let views = with_ledger(ledger, Opening::Existing, |uow| {
        let views = match said {
            Some((purpose, given)) => {
                consent::say(uow, &args.client, Consent { purpose, given, wording: args.wording.clone() })
            }
            None => consent::list(uow, &args.client),
        };
        views.map_err(|p| vec![p])
    })?;
    let data = if args.json { json(&views) } else { said_page(&views) };
    Ok(Reply::data(data))
}

fn said_page(views: &[ConsentView]) -> String {
    let mut columns = Columns::new(&[LEFT; 4]);
    columns.row(["purpose", "said", "since", "asked in these words"]);
    for view in views {
        let said = match view.given {
            Some(true) => "agreed",
            Some(false) => "took back",
            None => "not asked",
        };
        let since = view.since.map_or_else(String::new, |at| at.date().to_string());
        columns.row([view.purpose.id().to_owned(), said.to_owned(), since, printable(&view.wording)]);
    }
    columns.lines(0)
}

/// Runs `retention`.
pub fn rule(args: &RetentionArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let views = with_ledger(ledger, Opening::Existing, |uow| {
        let Some(client) = &args.client else { return consent::rules(uow).map_err(|p| vec![p]) };
        let client = uow.client(client).map_err(|p| vec![p])?;
        let now = consent::rule(uow, &client).map_err(|p| vec![p])?;
        let Some(to) = wanted(args, now.rule) else { return Ok(vec![now]) };
        let id = client.client.to_string();
        consent::set_rule(uow, &id, to, args.reason.as_deref()).map(|view| vec![view]).map_err(|p| vec![p])
    })?;
    if args.json {
        return Ok(Reply::data(json(&views)));
    }
    let due = views.iter().filter(|view| view.is_due).count();
    let talk = if due == 0 {
        String::new()
    } else {
        "Nobody is forgotten by a rule: setwright forget NAME shows what that would be.\n".to_owned()
    };
    Ok(Reply { data: rules_page(&views), talk, ..Reply::default() })
}

/// The rule that was asked for; none when nothing was.
fn wanted(args: &RetentionArgs, now: Option<Retention>) -> Option<Retention> {
    let is_change = args.months.is_some() || args.hold || args.release;
    let now = now.unwrap_or(Retention { months: None, hold: false });
    let hold = !args.release && (args.hold || now.hold);
    is_change.then_some(Retention { months: args.months.or(now.months), hold })
}

fn rules_page(views: &[RetentionView]) -> String {
    let mut columns = Columns::new(&[LEFT; 4]);
    columns.row(["client", "last session", "to be forgotten from", "now"]);
    for view in views {
        let now = match (view.is_due, view.rule.is_some_and(|rule| rule.hold)) {
            (true, _) => "due",
            (false, true) => "held",
            (false, false) => "",
        };
        let due = view.due.clone().unwrap_or_else(|| "no rule".to_owned());
        columns.row([printable(&view.name), view.last.clone(), due, now.to_owned()]);
    }
    columns.lines(0)
}
