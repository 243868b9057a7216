//! `sheet`: session sheets as PDF.

use super::{is_file, keep, known, may_train, print, subject};
use crate::paper_args::SheetArgs;
use crate::reply::{Look, Reply};
use setwright_model::refusal::Refusals;
use setwright_present::sheets::{self, Which};
use std::path::Path;

/// Prints.
pub fn run(args: &SheetArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    let bytes = pages(args, look, ledger)?;
    keep(&args.print.out, &bytes)
}

fn pages(args: &SheetArgs, look: Look, ledger: &Path) -> Result<Vec<u8>, Refusals> {
    let how = print(&args.print, look);
    let one = |p| vec![p];
    let of_ledger = !is_file(&args.of.whom);
    let asked_coming = args.session.is_none() && !args.all && args.sessions.is_none();
    if of_ledger && asked_coming && args.of.brief.is_none() {
        let known = known(&args.of.whom, ledger)?;
        return sheets::of_coming(may_train(&known)?, how).map_err(one);
    }
    if let (true, Some(many), None) = (of_ledger, args.sessions, &args.of.brief) {
        let known = known(&args.of.whom, ledger)?;
        return sheets::following(may_train(&known)?, many as usize, args.from, how).map_err(one);
    }
    let which = match (args.session, args.sessions) {
        (Some(number), _) => Which::One(number),
        (None, Some(many)) => Which::Following(0, many as usize, args.from),
        (None, None) => Which::All,
    };
    let of = subject(&args.of, look.units, ledger)?;
    sheets::of_programme(of.to_train()?, which, how).map_err(one)
}
