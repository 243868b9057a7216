//! `calendar`: the sessions of a programme as an iCalendar file.

use super::{is_file, known, may_train, subject};
use crate::clock;
use crate::paper_args::CalendarArgs;
use crate::reply::{Look, Reply};
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::ledger::Moment;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_paper::pdf::Paper;
use setwright_present::calendar::{self, Timetable, TrainingTimes};
use setwright_present::sheets::Print;
use setwright_present::zone::Zone;
use std::path::Path;

/// Writes the calendar.
pub fn run(args: &CalendarArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    let wall = clock::wall();
    let now = wall.now();
    let zone = calendar::zone(args.zone.as_deref(), &wall).map_err(|p| vec![p])?;
    // The size of paper is of no matter here.
    let print = Print { paper: Paper::A4, unit: look.units, today: now.date(), catalogue: builtin() };
    let text = if is_file(&args.of.whom) {
        of_file(args, look, ledger, (zone, now), print)?
    } else {
        let when = TrainingTimes { from: args.from, at_s: args.at, weeks: args.weeks, zone, now };
        let known = known(&args.of.whom, ledger)?;
        calendar::of_client(may_train(&known)?, when, print).map_err(|p| vec![p])?
    };
    let Some(path) = &args.out else { return Ok(Reply::data(text)) };
    files::write(path, &text).map_err(|p| vec![p])?;
    Ok(Reply { talk: format!("Wrote {}.\n", path.display()), ..Reply::default() })
}

fn of_file(
    args: &CalendarArgs,
    look: Look,
    ledger: &Path,
    (zone, now): (Zone, Moment),
    print: Print<'_>,
) -> Result<String, Refusals> {
    let Some(from) = args.from else {
        let what = "A programme in a file does not say when it begins.";
        let hint = "Give the day of its first session: --from 2026-12-01.";
        return Err(vec![Refusal::new(Code::Usage, what, hint)]);
    };
    let of = subject(&args.of, look.units, ledger)?;
    let named = of.brief.as_ref().map_or(of.judged.programme().client.as_str(), |b| b.name.as_str());
    let whose = if named.is_empty() { args.of.whom.as_str() } else { named };
    let whose = whose.to_owned();
    let plan = Timetable { first: 0, from, at_s: args.at, weeks: args.weeks, zone, whose, now };
    Ok(calendar::calendar(of.to_train()?, &plan, print))
}
