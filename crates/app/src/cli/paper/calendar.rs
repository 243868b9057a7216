//! `calendar`: the sessions of a programme as an iCalendar file.

use super::{Subject as Of, is_file, known, subject};
use crate::cli::paper_args::CalendarArgs;
use crate::cli::{Look, Reply};
use crate::clock::Wall;
use crate::files::{self, Problem, Problems, problem};
use crate::service::calendar::{self, Plan};
use crate::service::insight::coming;
use crate::service::sheets::{Print, Subject};
use setwright_model::ledger::Date;
use setwright_paper::pdf::Paper;
use setwright_science::catalogue::builtin;
use std::path::Path;

/// Writes the calendar.
pub fn run(args: &CalendarArgs, look: Look, ledger: &Path) -> Result<Reply, Problems> {
    let now = Wall::system().now();
    let zone = calendar::zone(args.zone.as_deref()).map_err(|p| vec![p])?;
    let of = subject(&args.of, look.units.into(), ledger)?;
    let (first, from, whose) = start(args, &of, now.date(), ledger)?;
    let plan = Plan { first, from, at_s: args.at, weeks: args.weeks, zone, whose, now };
    // The size of paper is of no matter here.
    let print = Print { paper: Paper::A4, unit: look.units.into(), today: now.date(), catalogue: builtin() };
    let subject = Subject { programme: &of.programme, brief: of.brief.as_ref(), belief: &of.belief };
    let text = calendar::calendar(subject, &plan, print).map_err(|p| vec![p])?;
    let Some(path) = &args.out else { return Ok(Reply::data(text)) };
    files::write(path, &text).map_err(|p| vec![p])?;
    Ok(Reply { talk: format!("Wrote {}.\n", path.display()), ..Reply::default() })
}

/// The first session's place in the cycle, its day, and whose it is.
fn start(
    args: &CalendarArgs,
    of: &Of,
    today: Date,
    ledger: &Path,
) -> Result<(usize, Date, String), Problems> {
    if is_file(&args.of.whom) {
        let Some(from) = args.from else {
            let what = "A programme in a file does not say when it begins.";
            let hint = "Give the day of its first session: --from 2026-12-01.";
            return Err(vec![Problem::new(problem::USAGE, what, hint)]);
        };
        let named = of.brief.as_ref().map_or(of.programme.client.as_str(), |b| b.name.as_str());
        let whose = if named.is_empty() { args.of.whom.as_str() } else { named };
        return Ok((0, from, whose.to_owned()));
    }
    let known = known(&args.of.whom, ledger)?;
    let coming = coming(&known);
    let due = coming.map_or(today, |c| c.due.date()).max(today);
    Ok((coming.map_or(0, |c| c.index), args.from.unwrap_or(due), known.client.client.to_string()))
}
