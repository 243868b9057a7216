//! `log`: what was done, as it is typed and as it was understood.

use super::client::session_lines;
use super::with_ledger;
use crate::ledger_args::{LogArgs, day};
use crate::reply::{Look, Reply};
use crate::show::json;
use setwright_coaching::ledger::UnitOfWork;
use setwright_coaching::ledger::log::{self, LogView, When};
use setwright_formats::lines::{self, LineOptions, Written, minute_of_day};
use setwright_formats::{self as files, Source};
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::ledger::{Actor, Date, Role};
use setwright_model::refusal::{Refusal, Refusals};
use setwright_store::Opening;
use std::path::Path;

/// Runs `log`.
pub fn run(args: &LogArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    with_ledger(ledger, Opening::Existing, |uow| {
        if args.by_client {
            uow.actor = Actor::named(Role::Client, String::new());
        }
        let view = write(args, look, uow)?;
        if args.json {
            return Ok(Reply::data(json(&view)));
        }
        Ok(Reply { data: page(&view), talk: talk(&view), ..Reply::default() })
    })
}

fn write(args: &LogArgs, look: Look, uow: &mut UnitOfWork) -> Result<LogView, Refusals> {
    let today = uow.wall.now().date();
    let when = when(args, today).map_err(|p| vec![p])?;
    let written = read(args, LineOptions { unit: look.units, today })?;
    match &args.correct {
        None => log::log(uow, &args.client, &written, when, !args.dry_run),
        Some(set) => log::correct(uow, &args.client, set, log::one_set(&written)?, args.reason.clone()),
    }
    .map_err(|p| vec![p])
}

fn when(args: &LogArgs, today: Date) -> Result<When, Refusal> {
    let not_understood = |option: &str, text: &str, hint: &str| {
        Refusal::new(Code::Usage, format!("{option} {text} was not understood."), hint)
    };
    let day = match &args.day {
        None => None,
        Some(text) => match day(text, today) {
            Some(date) if date <= today.plus(1) => Some(date),
            _ => return Err(not_understood("--day", text, "A day reads 2026-11-25, today or yesterday.")),
        },
    };
    let minute = match &args.at {
        None => None,
        Some(text) => Some(
            minute_of_day(text).ok_or_else(|| not_understood("--at", text, "A time of day reads 18:05."))?,
        ),
    };
    Ok(When { day, minute })
}

/// Lines of the command, then lines of the file.
fn read(args: &LogArgs, options: LineOptions) -> Result<Vec<Written>, Refusals> {
    let mut written = Vec::new();
    if !args.lines.is_empty() || args.file.is_none() {
        let source = Source { name: "log".to_owned(), text: args.lines.join("\n") };
        written.extend(lines::parse(&source, builtin(), options)?);
    }
    if let Some(path) = &args.file {
        let source = files::read(path).map_err(|p| vec![p])?;
        written.extend(lines::parse(&source, builtin(), options)?);
    }
    Ok(written)
}

fn page(view: &LogView) -> String {
    let mut out = String::new();
    for session in &view.sessions {
        out.push_str(&session_lines(session));
    }
    for line in &view.also {
        out.push_str(line);
        out.push('\n');
    }
    out
}

fn talk(view: &LogView) -> String {
    match view.batch {
        Some(_) => format!("Kept for {}. setwright undo takes it back.\n", view.client),
        None => format!("Nothing was written for {}: this is what was understood.\n", view.client),
    }
}
