//! `import`: what was understood, and whether it was written.

use super::with_ledger;
use crate::ledger_args::{Dates, ImportArgs};
use crate::machine;
use crate::reply::{Look, Reply};
use crate::show::{count, json};
use crate::text::{Columns, LEFT, RIGHT, wrapped};
use setwright_coaching::ledger::import::{self, ImportView};
use setwright_coaching::ledger::{UnitOfWork, of_store};
use setwright_formats::logbook::{self, DateOrder, LogbookOptions};
use setwright_formats::{self as files, Source};
use setwright_gym::catalogue::builtin;
use setwright_model::limits::IMPORT_BYTES_MAX;
use setwright_model::refusal::Refusals;
use setwright_store::{Opening, SqliteStore, StoreError};
use std::fmt::Write as _;
use std::path::Path;

/// Runs `import`.
pub fn run(args: &ImportArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    let source = files::read_within(&args.file, IMPORT_BYTES_MAX).map_err(|p| vec![p])?;
    let work = |uow: &mut UnitOfWork| bring_in(args, look, uow, &source);
    let view = if args.yes { with_ledger(ledger, Opening::Create, work)? } else { at_a_look(ledger, work)? };
    if args.json {
        return Ok(Reply::data(json(&view)));
    }
    Ok(Reply { data: page(&view), talk: talk(&view), ..Reply::default() })
}

/// Looks at the ledger without beginning one: where there is none, an empty one that is gone afterwards stands in.
fn at_a_look<T>(
    ledger: &Path,
    work: impl FnOnce(&mut UnitOfWork) -> Result<T, Refusals>,
) -> Result<T, Refusals> {
    if ledger.exists() {
        return with_ledger(ledger, Opening::Existing, work);
    }
    let broken = |e: &StoreError| vec![of_store(e)];
    let store = SqliteStore::in_memory().map_err(|e| broken(&e))?;
    let mut uow = UnitOfWork::on(store, &machine::this());
    work(&mut uow)
}

fn bring_in(
    args: &ImportArgs,
    look: Look,
    uow: &mut UnitOfWork,
    source: &Source,
) -> Result<ImportView, Refusals> {
    if source.text.trim_start().starts_with('{') {
        return import::json_lines(uow, source, args.yes);
    }
    // A client who is there may be meant by the beginning of the name.
    let named = |wanted: &str| -> Result<String, Refusals> {
        let known = uow.known(wanted).map_err(|p| vec![p])?;
        Ok(known.map_or_else(|| wanted.trim().to_owned(), |known| known.card.name))
    };
    let client = args.client.as_deref().map(named).transpose()?;
    let options = LogbookOptions {
        client: client.as_deref(),
        dates: args.dates.map(|order| match order {
            Dates::DayFirst => DateOrder::DayFirst,
            Dates::MonthFirst => DateOrder::MonthFirst,
        }),
        unit: look.units,
        today: uow.wall.now().date(),
    };
    let book = logbook::parse(source, builtin(), options)?;
    import::logbook(uow, source, &book, args.yes)
}

/// How many exercises and clients are listed.
const LISTED: usize = 20;

fn page(view: &ImportView) -> String {
    let mut out = String::new();
    let thing = if view.exercises.is_empty() { "event" } else { "set" };
    let days = match (&view.first, &view.last) {
        (Some(first), Some(last)) if first == last => format!(" of {first}"),
        (Some(first), Some(last)) => format!(" from {first} to {last}"),
        _ => String::new(),
    };
    let _ = writeln!(out, "{}: {}{days}", view.file, count(view.found as usize, thing));
    let [kg, lb] = view.loads;
    if kg + lb > 0 {
        let _ = writeln!(out, "  loads: {kg} in kg, {lb} in lb, {} without", view.found - kg - lb);
    }
    let mut columns = Columns::new(&[LEFT, RIGHT, LEFT]);
    for client in view.clients.iter().take(LISTED) {
        let new = if client.new { "new" } else { "" };
        columns.row([client.name.clone(), count(client.sets as usize, "set"), new.to_owned()]);
    }
    for exercise in view.exercises.iter().take(LISTED) {
        let name =
            builtin().get(&exercise.id.as_str().into()).map_or(exercise.id.as_str(), |e| e.name.as_str());
        let same = exercise.written.to_lowercase() == name.to_lowercase();
        let said = if same { String::new() } else { format!("written \"{}\"", exercise.written) };
        columns.row([name.to_owned(), count(exercise.sets as usize, "set"), said]);
    }
    out.push_str(&columns.lines(2));
    let more = view.clients.len().saturating_sub(LISTED) + view.exercises.len().saturating_sub(LISTED);
    if more > 0 {
        let _ = writeln!(out, "  and {more} more");
    }
    for note in &view.notes {
        out.push_str(&wrapped(note, 2, 4));
    }
    out
}

fn talk(view: &ImportView) -> String {
    let there = if view.there > 0 { format!(" {} there already.", view.there) } else { String::new() };
    let sessions = count(view.sessions as usize, "session");
    if view.written {
        return format!("Kept: {} new in {sessions}.{there} setwright undo takes it back.\n", view.new);
    }
    format!("{} would be new, in {sessions}.{there} Nothing was written: add --yes to write it.\n", view.new)
}
