//! `report`: documents as PDF.

use super::{brief, is_file, keep, known, print, subject};
use crate::paper_args::{ReportArgs, ReportKind};
use crate::reply::{Look, Reply};
use setwright_coaching::judge;
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_present::sheets::Print;
use setwright_present::{audit, reports};
use std::path::Path;

/// Prints.
pub fn run(args: &ReportArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    let how = print(&args.print, look);
    let whom = &args.of.whom;
    let bytes = match args.kind {
        ReportKind::Block if is_file(whom) => {
            let what = format!("{whom} is a file, and this report is made of what was logged.");
            let hint = "Name a client of the ledger; setwright client list shows them.";
            return Err(vec![Refusal::new(Code::Usage, what, hint)]);
        }
        ReportKind::Block => reports::block(&known(whom, ledger)?, args.since, how).map_err(|p| vec![p])?,
        ReportKind::Programme => {
            let of = subject(&args.of, look.units, ledger)?;
            reports::programme(of.to_train()?, how).map_err(|p| vec![p])?
        }
        ReportKind::Audit => audited(args, look, how)?,
    };
    keep(&args.print.out, &bytes)
}

fn audited(args: &ReportArgs, look: Look, how: Print<'_>) -> Result<Vec<u8>, Refusals> {
    let whom = &args.of.whom;
    if !is_file(whom) {
        let what = format!("{whom} is no file, and an audit is of a programme in one.");
        let hint = "setwright report programme CLIENT prints a client's programme with what was found.";
        return Err(vec![Refusal::new(Code::Usage, what, hint)]);
    }
    let given = args.of.brief.as_deref().map(brief).transpose()?;
    let source = files::read(Path::new(whom)).map_err(|p| vec![p])?;
    let cycle_days = args.of.cycle_days.or(given.as_ref().map(|b| b.time.cycle_days));
    let read = files::either::read(&source, builtin(), cycle_days, look.units)?;
    let judged = judge::judge(&read.programme, given.as_ref(), builtin());
    let view = audit::view(&source.name, &read, &judged, given.as_ref(), builtin());
    reports::audit(&view, judged.programme.programme(), given.as_ref(), how).map_err(|p| vec![p])
}
