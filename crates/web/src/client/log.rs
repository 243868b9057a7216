//! What was done, written by the coach: lines as the command line takes them, corrections, undo; and one session by itself.

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::{self, Fault};
use crate::page::formats;
use axum::extract::{Form, Path};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::ledger::log::{self, LogView, When, set_as_typed, set_in_words};
use setwright_coaching::ledger::session::{self, DoneLine, SessionSheet};
use setwright_coaching::ledger::{UnitOfWork, care};
use setwright_formats::Source;
use setwright_formats::lines::{self, LineOptions};
use setwright_gym::catalogue::builtin;
use setwright_model::MassUnit;
use setwright_model::ledger::SetDone;
use setwright_model::refusal::Refusals;
use setwright_store::SetState;

pub fn routes() -> Pages<App> {
    Pages::new()
        .get(COACH, "/clients/{id}/log", blank)
        .post(COACH, "/clients/{id}/log", write)
        .post(COACH, "/clients/{id}/undo", undo)
        .get(COACH, "/clients/{id}/sessions/{session}", show)
        .post(COACH, "/clients/{id}/sets/{set}", correct)
}

/// How a line is typed.
const EXAMPLE: &str = "day: yesterday 18:05\nback squat: warm 60 kg for 5; 100 kg for 5+3 5+3\npull-up: body+5 kg for 6+1 5+1\nplank: 45 40\nsore: quads 4\nweighs: 71.5 kg\neffort: 7\nnote: slept badly";

#[derive(Default, Deserialize)]
#[serde(default)]
struct Given {
    lines: String,
    what: String,
}

async fn blank(visit: Visit, Path(id): Path<String>) -> Result<Markup, Fault> {
    let client = visit.with_ledger(move |uow, _| uow.client(&id)).await?;
    Ok(page(&visit, (&client.client.to_string(), &client.card.name), "", &Vec::new(), None))
}

/// Writes the lines, or shows what would be written.
async fn write(visit: Visit, Path(id): Path<String>, Form(given): Form<Given>) -> Result<Response, Fault> {
    let done = visit
        .with_ledger(move |uow, visit| {
            let client = uow.client(&id)?;
            let (id, name) = (client.client.to_string(), client.card.name);
            let again = |problems: &Refusals, view: Option<&LogView>| {
                page(visit, (&id, &name), &given.lines, problems, view)
            };
            let written = match read(uow, &given.lines, visit.unit()) {
                Ok(written) => written,
                Err(problems) => return Ok(Err((fault::status_of(&problems), again(&problems, None)))),
            };
            let keeps = given.what == "keep";
            match log::log(uow, &id, &written, When::default(), keeps) {
                Ok(_) if keeps => Ok(Ok(format!("/clients/{id}#ledger"))),
                Ok(view) => Ok(Err((StatusCode::OK, again(&Vec::new(), Some(&view))))),
                Err(problem) => Ok(Err((fault::status(problem.code.kind()), again(&vec![problem], None)))),
            }
        })
        .await?;
    Ok(match done {
        Ok(to) => Redirect::to(&to).into_response(),
        Err(page) => page.into_response(),
    })
}

fn read(uow: &UnitOfWork, text: &str, unit: MassUnit) -> Result<Vec<lines::Written>, Refusals> {
    let source = Source { name: "the lines".to_owned(), text: text.to_owned() };
    let options = LineOptions { unit, today: uow.wall.now().date() };
    lines::parse(&source, builtin(), options)
}

fn page(
    visit: &Visit,
    (id, name): (&str, &str),
    text: &str,
    problems: &Refusals,
    view: Option<&LogView>,
) -> Markup {
    visit.page(
        &format!("Log for {name}"),
        None,
        &html! {
            h1 { "Log for " a href={ "/clients/" (id) } { (name) } }
            @if !problems.is_empty() { div role="alert" { @for problem in problems { (fault::sentence(problem)) } } }
            @if let Some(view) = view { (understood(view)) }
            (form(id, text))
            details open[text.is_empty()] { summary { "How lines are typed" } pre { (EXAMPLE) }
                p class="soft" { "One exercise a line; 8+2 is eight reps with two left; a semicolon goes on with another load. Without a day it is now. \
                     All words: day, sore, weighs, effort, note, deload, ill." }
            }
        },
    )
}

fn understood(view: &LogView) -> Markup {
    html! {
        section aria-labelledby="understood" {
            h2 id="understood" { "Understood, and not written yet" }
            @for session in &view.sessions {
                p { (formats::moment(session.at)) ":" }
                ul { @for set in &session.sets { li { (set_as_typed(&set.done, builtin())) } } }
            }
            @for line in &view.also { p { (line) "." } }
        }
    }
}

/// The form to write lines with.
pub fn form(id: &str, text: &str) -> Markup {
    html! {
        form method="post" action={ "/clients/" (id) "/log" } {
            label { span { "What was done, a line for each exercise" } textarea name="lines" rows="6" spellcheck="false" placeholder="bench press: 80 kg for 8+2 8+1" { (text) } }
            button name="what" value="keep" { "Keep" }
            button name="what" value="look" { "See what is understood" }
        }
    }
}

async fn undo(visit: Visit, Path(id): Path<String>) -> Result<Redirect, Fault> {
    let to = format!("/clients/{id}#ledger");
    visit.with_ledger(move |uow, _| care::undo(uow, Some(&id), None, None)).await?;
    Ok(Redirect::to(&to))
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Correction {
    line: String,
    reason: String,
    what: String,
}

/// A set as it was, or struck out.
async fn correct(
    visit: Visit,
    Path((id, set)): Path<(String, String)>,
    Form(given): Form<Correction>,
) -> Result<Redirect, Fault> {
    let done = visit.with_ledger(move |uow, visit| {
        let own = log::own_set(uow, &id, &set)?;
        let reason = Some(given.reason.trim().to_owned()).filter(|r| !r.is_empty());
        let to = format!("/clients/{id}/sessions/{}", own.session);
        if given.what == "strike" {
            care::undo(uow, Some(&id), Some(&own.id.to_string()), reason.as_deref())?;
            return Ok(Ok(to));
        }
        let done = match read(uow, &given.line, visit.unit()).and_then(|w| log::one_set(&w)) {
            Ok(done) => SetDone { rest_s: own.done.rest_s, ..done },
            Err(problems) => return Ok(Err(problems)),
        };
        if done != own.done {
            log::correct(uow, &id, &own.id.to_string(), done, reason)?;
        }
        Ok(Ok(to))
    });
    Ok(Redirect::to(&done.await??))
}

async fn show(visit: Visit, Path((id, session)): Path<(String, String)>) -> Result<Markup, Fault> {
    let sheet = visit.with_ledger(move |uow, _| session::sheet(uow, &id, &session, builtin())).await?;
    let title = format!("{}, {}", sheet.client.card.name, formats::moment(sheet.state.at));
    Ok(visit.page(&title, None, &session_page(&sheet, visit.unit())))
}

fn session_page(s: &SessionSheet, unit: MassUnit) -> Markup {
    let id = s.client.client;
    html! {
        h1 { a href={ "/clients/" (id) } { (s.client.card.name) } ", " (formats::moment(s.state.at)) }
        p class="soft" { (long(s)) }
        section aria-labelledby="done" {
            h2 id="done" { "Planned and done" }
            @if s.planned.is_none() { p class="soft" { "It followed no programme that is known: what was done stands alone." } }
            div class="scroll" { table class="two" {
                thead { tr { th scope="col" { "Exercise" } th scope="col" { "Planned" } th class="tie" scope="col" { span class="unseen" { "changes" } } th scope="col" { "Done" } } }
                tbody { @for line in &s.lines { (row(line, unit)) } }
            } }
        }
        @if !s.sore.is_empty() { section aria-labelledby="sore" { h2 id="sore" { "Sore that day" } p { (s.sore.join(", ")) "." } } }
        @if !s.notes.is_empty() { section aria-labelledby="notes" { h2 id="notes" { "Notes" } @for note in &s.notes { p { (note) } } } }
        section aria-labelledby="sets" {
            h2 id="sets" { "Set by set" }
            p class="soft" { "A correction leaves in the ledger what was written first. A set that is struck out counts no more." }
            ol class="sets" { @for set in &s.sets { (one(set, &id.to_string())) } }
        }
    }
}

/// "52 minutes, 18 sets, effort 7 of 10".
fn long(s: &SessionSheet) -> String {
    let mut parts = Vec::new();
    let end = s.state.finished.or_else(|| s.sets.last().map(|set| set.at));
    let minutes = end.map(|end| end.hours_since(s.state.at).get() * 60.0).filter(|m| *m >= 1.0);
    parts.extend(minutes.map(|m| format!("{} minutes", formats::number(m, 0))));
    parts.push(formats::count(s.sets.len(), "set"));
    parts.extend(s.state.effort.map(|e| format!("effort {e} of 10")));
    parts.extend(s.state.early.then(|| "ended early, not counted as done".to_owned()));
    parts.join(", ") + "."
}

fn row(line: &DoneLine, unit: MassUnit) -> Markup {
    let (class, sign) = match (&line.planned, line.done.is_empty()) {
        (Some(p), false) if p.sets as usize == line.done.len() => ("tie", "="),
        (Some(_), false) => ("tie moved", "→"),
        (Some(_), true) => ("tie gone", "−"),
        (None, _) => ("tie come", "+"),
    };
    html! {
        tr {
            td { (line.name) }
            td { @if let Some(p) = &line.planned { (planned(p, unit)) } }
            td class=(class) { (sign) }
            td { (done(&line.done, unit)) }
        }
    }
}

fn planned(p: &setwright_model::Prescription, unit: MassUnit) -> String {
    let reps = formats::range(p.reps);
    let load = p.load_kg.map_or_else(String::new, |kg| format!(", {}", unit.load(kg)));
    format!("{} x {reps}{load}, {} in reserve", p.sets, p.rir)
}

/// "60 kg for 8+2 8+1; 62.5 kg for 6+1".
fn done(sets: &[SetState], unit: MassUnit) -> String {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for set in sets {
        let load = set.done.load.map_or_else(String::new, |l| format!("{} for ", l.shown_in(unit)));
        let left = set.done.rir.map_or_else(String::new, |r| format!("+{r}"));
        let reps = format!("{}{left}", set.done.reps);
        match groups.last_mut() {
            Some((same, all)) if *same == load => all.push(reps),
            _ => groups.push((load, vec![reps])),
        }
    }
    groups.into_iter().map(|(load, reps)| format!("{load}{}", reps.join(" "))).collect::<Vec<_>>().join("; ")
}

fn one(set: &SetState, client: &str) -> Markup {
    let line = set_as_typed(&set.done, builtin());
    html! {
        li {
            details {
                summary { (line) @if set.corrected.is_some() { span class="soft" { " (corrected)" } } }
                form method="post" action={ "/clients/" (client) "/sets/" (set.id) } {
                    label { span { "As it was " } input name="line" value=(line) size="36" autocomplete="off"; }
                    label { span { " Reason " } input name="reason" maxlength="200" autocomplete="off"; }
                    button name="what" value="correct" { "Correct" }
                    button name="what" value="strike" aria-label={ "Strike out: " (set_in_words(&set.done)) } { "Strike out" }
                }
            }
        }
    }
}
