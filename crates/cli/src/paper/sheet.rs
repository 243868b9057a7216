//! `sheet`: session sheets as PDF.

use super::{is_file, keep, known, print, subject};
use crate::paper_args::SheetArgs;
use crate::{Look, Reply};
use setwright_model::refusal::Refusals;
use setwright_present::sheets::{self, Subject, Which};
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
        return sheets::of_coming(&known(&args.of.whom, ledger)?, how).map_err(one);
    }
    if let (true, Some(many), None) = (of_ledger, args.sessions, &args.of.brief) {
        return sheets::following(&known(&args.of.whom, ledger)?, many as usize, args.from, how).map_err(one);
    }
    let which = match (args.session, args.sessions) {
        (Some(number), _) => Which::One(number),
        (None, Some(many)) => Which::Following(0, many as usize, args.from),
        (None, None) => Which::All,
    };
    let of = subject(&args.of, look.units.into(), ledger)?;
    let subject = Subject { judged: &of.judged, brief: of.brief.as_ref() };
    sheets::of_programme(subject, which, how).map_err(one)
}
