//! `client`: who is in the ledger.

use super::with_ledger;
use crate::ledger_args::{ClientAction, ClientArgs};
use crate::reply::Reply;
use crate::show::{count, json};
use crate::text::{Columns, LEFT, RIGHT, wrapped};
use setwright_coaching::ledger::clients::{self, ClientChange, ClientSheet, ClientView, LoggedSessionView};
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::Brief;
use setwright_model::refusal::Refusals;
use setwright_store::Opening;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Runs `client`.
pub fn run(args: &ClientArgs, ledger: &Path) -> Result<Reply, Refusals> {
    match &args.action {
        ClientAction::Add(add) => {
            let brief = read_brief(add.brief.as_ref())?;
            let view = with_ledger(ledger, Opening::Create, |uow| {
                clients::add(uow, &add.name, &add.about, brief).map_err(|p| vec![p])
            })?;
            let talk = format!("Added {} ({}) to {}.\n", view.name, view.id.short(), ledger.display());
            Ok(reply(&view, add.json, String::new(), talk))
        }
        ClientAction::Change(to) => {
            let brief = read_brief(to.brief.as_ref())?;
            let away = if to.away { Some(true) } else { to.back.then_some(false) };
            let (name, about, reason) = (to.name.clone(), to.about.clone(), to.reason.clone());
            let change = ClientChange { name, about, away, brief, reason };
            let view = with_ledger(ledger, Opening::Existing, |uow| {
                clients::change(uow, &to.client, change).map_err(|p| vec![p])
            })?;
            let talk = format!("Changed {}.\n", view.name);
            Ok(reply(&view, to.json, String::new(), talk))
        }
        ClientAction::List(list) => {
            let all = with_ledger(ledger, Opening::Existing, |uow| clients::list(uow).map_err(|p| vec![p]))?;
            let talk = format!("{}.\n", count(all.len(), "client"));
            Ok(reply(&all, list.json, table(&all), talk))
        }
        ClientAction::Show(show) => {
            let sheet = with_ledger(ledger, Opening::Existing, |uow| {
                clients::show(uow, &show.client).map_err(|p| vec![p])
            })?;
            Ok(reply(&sheet, show.json, page(&sheet), String::new()))
        }
    }
}

fn reply<T: serde::Serialize>(view: &T, as_json: bool, data: String, talk: String) -> Reply {
    if as_json { Reply::data(json(view)) } else { Reply { data, talk, ..Reply::default() } }
}

fn read_brief(path: Option<&PathBuf>) -> Result<Option<Brief>, Refusals> {
    let Some(path) = path else { return Ok(None) };
    let source = files::read(path).map_err(|p| vec![p])?;
    files::brief::parse(&source, builtin()).map(Some)
}

fn table(all: &[ClientView]) -> String {
    if all.is_empty() {
        return String::new();
    }
    let mut columns = Columns::new(&[LEFT, LEFT, RIGHT, RIGHT, LEFT, LEFT]);
    columns.row(["client", "id", "sessions", "sets", "last set", "in force"]);
    for client in all {
        let force = match (client.has_brief, client.has_programme) {
            (true, true) => "brief, programme",
            (true, false) => "brief",
            (false, true) => "programme",
            (false, false) => "",
        };
        let away = if client.away { "away" } else { force };
        columns.row([
            client.name.clone(),
            client.id.short(),
            client.sessions.to_string(),
            client.sets.to_string(),
            client.last.map(|at| at.date().to_string()).unwrap_or_default(),
            away.to_owned(),
        ]);
    }
    columns.lines(0)
}

fn page(sheet: &ClientSheet) -> String {
    let client = &sheet.client;
    let away = if client.away { ", away" } else { "" };
    let mut out = format!("{} ({}), added {}{away}\n", client.name, client.id.short(), client.added.date());
    if !client.about.is_empty() {
        out.push_str(&wrapped(&client.about, 0, 0));
    }
    for (word, line) in [("brief", &sheet.brief), ("programme", &sheet.programme), ("weighs", &sheet.mass)] {
        let _ = writeln!(out, "  {word}: {}", line.as_deref().unwrap_or("none yet"));
    }
    let (sessions, sets) = (count(client.sessions, "session"), count(client.sets, "set"));
    let _ = writeln!(out, "  ledger: {sessions}, {sets}");
    for session in &sheet.sessions {
        out.push('\n');
        out.push_str(&session_lines(session));
    }
    if !sheet.notes.is_empty() {
        out.push_str("\nNotes\n");
        for note in &sheet.notes {
            out.push_str(&wrapped(note, 2, 4));
        }
    }
    out
}

/// A session: one line a set, with the digits by which it can be corrected.
pub fn session_lines(session: &LoggedSessionView) -> String {
    let mut out = format!("{} {}\n", session.at.date(), session.at.clock());
    let mut columns = Columns::new(&[LEFT, RIGHT, LEFT, LEFT]);
    let mut before = None;
    for set in &session.sets {
        let exercise = &set.done.exercise;
        let name = builtin().get(exercise).map_or(exercise.as_str(), |e| e.name.as_str());
        let name = if before == Some(exercise) { "" } else { name };
        before = Some(exercise);
        let load =
            set.done.load.map_or_else(|| "body".to_owned(), |l| format!("{} {}", l.value, l.unit.symbol()));
        let left = set.done.rir.map_or_else(String::new, |r| format!("+{r}"));
        let warm = set.done.kind == setwright_model::ledger::SetKind::WarmUp;
        let mut remarks = vec![set.id.short()];
        remarks.extend(warm.then(|| "warm-up".to_owned()));
        remarks.extend(set.corrected.then(|| "corrected".to_owned()));
        columns.row([name.to_owned(), load, format!("{}{left}", set.done.reps), remarks.join(", ")]);
    }
    out.push_str(&columns.lines(2));
    out
}
