//! `forget`: a client who asks for it is taken out for good.

use super::with_ledger;
use crate::Reply;
use crate::ledger_args::ForgetArgs;
use crate::machine;
use crate::show::{count, json};
use crate::text::wrapped;
use setwright_coaching::ledger::UnitOfWork;
use setwright_coaching::ledger::forget::{self, ForgetView, ForgottenBy};
use setwright_coaching::people::accounts::Book;
use setwright_formats::doc::printable;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_store::{Accounts, Opening};
use std::path::Path;

/// Runs `forget`.
pub fn run(args: &ForgetArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let view = with_ledger(ledger, Opening::Existing, |uow| asked(args, ledger, uow).map_err(|p| vec![p]))?;
    if args.json {
        return Ok(Reply::data(json(&view)));
    }
    Ok(Reply { data: page(&view), talk: talk(&view), ..Reply::default() })
}

fn asked(args: &ForgetArgs, ledger: &Path, uow: &mut UnitOfWork) -> Result<ForgetView, Refusal> {
    let has_accounts = Accounts::of(ledger).exists();
    let book = has_accounts.then(|| Book::open(ledger, Opening::Existing, &machine::this()));
    let mut book = book.transpose()?;
    if args.yes {
        forget::forget(uow, book.as_mut(), &args.client, ForgottenBy::default())
    } else {
        forget::look(uow, book.as_mut(), &args.client)
    }
}

fn page(view: &ForgetView) -> String {
    let would = if view.forgotten { "Forgotten" } else { "To be forgotten" };
    let name = printable(&view.name);
    let mut out = wrapped(
        &format!(
            "{would}: {name} ({}), {}, {}, and everything else that is said of {name}.",
            view.id.short(),
            count(view.sessions, "session"),
            count(view.sets, "set")
        ),
        0,
        2,
    );
    for account in &view.accounts {
        out.push_str(&wrapped(&format!("The account \"{}\" is emptied and shut.", printable(account)), 2, 4));
    }
    for other in &view.named_by {
        let line =
            format!("What is noted of {} may name {name}, and stays: look through it.", printable(other));
        out.push_str(&wrapped(&line, 2, 4));
    }
    out + &copies(view)
}

/// What copies of before hold, and until when.
fn copies(view: &ForgetView) -> String {
    let name = printable(&view.name);
    let mut out = String::new();
    for copy in &view.copies {
        let here = if copy.there { "holds" } else { "is not where it was put, and if it was moved it holds" };
        let line = format!(
            "The copy {} of {} {here} {name} until it is deleted; do that by {}, with the files of its name.",
            copy.path, copy.made, copy.delete_by
        );
        out.push_str(&wrapped(&line, 2, 4));
    }
    let rest = "Copies that were not made by setwright backup, exports, sheets and what was printed or sent are known to nobody here. \
                A copy that is restored to this place forgets again; restored elsewhere it does not.";
    out + &wrapped(rest, 2, 4)
}

fn talk(view: &ForgetView) -> String {
    let name = printable(&view.name);
    match view.events {
        Some(events) => format!("{} can be read by nobody any more.\n", count(events as usize, "event")),
        None => format!(
            "Nothing was done. To give {name} a copy first: setwright export --client \"{name}\" --format jsonl --out FILE. \
             Then: setwright forget \"{name}\" --yes. It cannot be undone.\n"
        ),
    }
}
