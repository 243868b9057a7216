//! What a client brings: name, brief, answers before training. The brief is edited as the text that a file of it has, so that
//! nothing it can say is out of reach; it is read by the same reader, and what is wrong comes back with its place.

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::{self, Fault};
use crate::page::formats;
use crate::page::frame;
use crate::page::screening::questions;
use axum::extract::{Form, Path};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::ledger::clients::{self, ClientChange};
use setwright_coaching::ledger::{UnitOfWork, current, of_store};
use setwright_coaching::screen;
use setwright_formats::{Source, brief};
use setwright_gym::catalogue::builtin;
use setwright_model::Brief;
use setwright_model::brief::{Goal, MinutesPerSession, Place, Screening, TrainingAge};
use setwright_model::ledger::{Date, EventId, Moment};
use setwright_model::refusal::Refusals;
use setwright_store::{ClientState, Store};

pub fn routes() -> Pages<App> {
    Pages::new()
        .get(COACH, "/clients/{id}/brief", show)
        .post(COACH, "/clients/{id}/brief", change)
        .post(COACH, "/clients/{id}/screening", answer)
        .post(COACH, "/clients/{id}/card", card)
}

struct Page {
    client: ClientState,
    brief: Option<Brief>,
    since: Option<Date>,
    screening: Screening,
    answered: Option<Date>,
}

fn page_of(uow: &mut UnitOfWork, id: &str) -> Result<Page, setwright_model::Refusal> {
    uow.may.coach_only()?;
    let client = uow.client(id)?;
    let kept = uow.store.brief(client.client).map_err(|e| of_store(&e))?;
    let answers = current::answers(uow, client.client)?;
    Ok(Page {
        since: kept.as_ref().map(|b| b.at.date()),
        answered: answers.at.map(Moment::date),
        screening: answers.screening,
        brief: kept.map(|b| current::alone(&b.brief)),
        client,
    })
}

async fn show(visit: Visit, Path(id): Path<String>) -> Result<Markup, Fault> {
    let page = visit.with_ledger(move |uow, _| page_of(uow, &id)).await?;
    let text = page.brief.as_ref().map(brief::write).unwrap_or_default();
    Ok(shown(&visit, &page, &text, &Vec::new()))
}

fn shown(visit: &Visit, page: &Page, text: &str, problems: &Refusals) -> Markup {
    let (id, name) = (page.client.client, &page.client.card.name);
    visit.page(
        &format!("Brief of {name}"),
        None,
        &html! {
            h1 { "Brief of " a href={ "/clients/" (id) } { (name) } }
            @if let (Some(brief), Some(since)) = (&page.brief, page.since) {
                p class="soft" { "Since " (formats::long_day(since)) "." }
                @for line in facts(brief) { p { (line) } }
            } @else { p { "There is no brief yet: nothing can be planned, and no programme judged." } }
            (asked(page))
            section aria-labelledby="text" {
                h2 id="text" { "All of it, as text" }
                p class="soft" { "What a file of a brief holds: lifts, muscles that matter, what must not be done, what is locked. The programme in force stays \
                     as it is until the next one is planned." }
                @if !problems.is_empty() { div role="alert" { @for problem in problems { (fault::sentence(problem)) } } }
                form method="post" action={ "/clients/" (id) "/brief" } {
                    label class="unseen" for="brief" { "The brief as text" }
                    textarea id="brief" name="text" rows="28" spellcheck="false" { (text) }
                    button { "Keep this brief" }
                }
            }
            (card_form(page))
        },
    )
}

/// The brief in sentences.
fn facts(brief: &Brief) -> Vec<String> {
    let goal = match brief.goal {
        Goal::General => "strength and muscle alike",
        Goal::Size => "muscle",
        Goal::Strength => "strength in the big lifts",
    };
    let age = match brief.training_age {
        TrainingAge::FirstWeeks => "in the first weeks of training",
        TrainingAge::Beginner => "trained for under half a year",
        TrainingAge::Intermediate => "trained for up to a few years",
        TrainingAge::Advanced => "trained for years, steadily",
    };
    let place = match brief.equipment.place {
        Place::Bare => "floor, chair and step",
        Place::HomeDumbbells => "home with dumbbells, bands and a bench",
        Place::Garage => "garage with rack, bar and bench",
        Place::FullGym => "gym with everything",
    };
    let minutes = match &brief.time.minutes {
        MinutesPerSession::Same(m) => format!("{} minutes each", formats::number(m.get(), 0)),
        MinutesPerSession::Each(each) => {
            let all: Vec<String> = each.iter().map(|m| formats::number(m.get(), 0)).collect();
            format!("{} minutes", all.join(", "))
        }
    };
    let sessions = formats::count(brief.time.sessions as usize, "session");
    let mut out = vec![
        format!("For {goal}; {age}."),
        format!("{sessions} in {} days, {minutes}; {place}.", brief.time.cycle_days),
    ];
    let wished: Vec<&str> = brief.muscles.keys().map(|m| m.name()).collect();
    if !wished.is_empty() {
        out.push(format!("Wishes for {}.", wished.join(", ")));
    }
    let name = |id| builtin().get(id).map_or_else(|| format!("{id}"), |e| e.name.clone());
    if !brief.locks.is_empty() {
        let locked: Vec<String> = brief.locks.iter().map(|l| name(&l.exercise)).collect();
        out.push(format!("Locked: {}.", locked.join(", ")));
    }
    if brief.exclude != setwright_model::brief::Exclude::default() {
        out.push("Some movements are left out: see the text below.".to_owned());
    }
    out
}

/// The answers before training, what they mean, and the form to give them anew.
fn asked(page: &Page) -> Markup {
    let view = screen::view(&page.screening);
    html! {
        section aria-labelledby="screening" {
            h2 id="screening" { "Before training" }
            p class=[(!view.may_train).then_some("clash")] { (view.meaning) " " (view.action) }
            @if let Some(day) = page.answered { p class="soft" { "Answered " (formats::long_day(day)) "." } }
            details open[!view.may_train] {
                summary { "Ask again" }
                (questions(page.client.client, &page.screening, None))
            }
            p class="soft" { (view.caution) }
        }
    }
}

fn card_form(page: &Page) -> Markup {
    let card = &page.client.card;
    html! {
        section aria-labelledby="card" {
            h2 id="card" { "Name" }
            form method="post" action={ "/clients/" (page.client.client) "/card" } class="sheet" {
                label { span { "Name" } input name="name" value=(card.name) required maxlength="80" autocomplete="off"; }
                label { span { "In a sentence" } input name="about" value=(card.about) maxlength="1000" autocomplete="off"; }
                label { span { "Trains no more" } span { input type="checkbox" name="away" value="yes" checked[card.away]; " leaves the roster; the ledger keeps everything" } }
                button { "Keep" }
            }
            p class="soft" { a href={ "/clients/" (page.client.client) "/forget" } { "Forget this client for good" } ", who asked for it." }
        }
    }
}

#[derive(Deserialize)]
struct Text {
    text: String,
}

async fn change(visit: Visit, Path(id): Path<String>, Form(given): Form<Text>) -> Result<Response, Fault> {
    let to = format!("/clients/{id}/brief");
    let refused = visit
        .with_ledger(move |uow, visit| {
            let page = page_of(uow, &id)?;
            let source = Source { name: "the brief".to_owned(), text: given.text.clone() };
            let brief = match brief::parse(&source, builtin()) {
                Ok(brief) => brief,
                Err(problems) => {
                    let again = shown(visit, &page, &given.text, &problems);
                    return Ok(Some((fault::status_of(&problems), again)));
                }
            };
            if page.brief.as_ref() != Some(&brief) {
                let change = ClientChange { brief: Some(brief), ..ClientChange::default() };
                if let Err(problem) = clients::change(uow, &id, change) {
                    let problems = vec![problem];
                    let again = shown(visit, &page, &given.text, &problems);
                    return Ok(Some((fault::status_of(&problems), again)));
                }
            }
            Ok(None)
        })
        .await?;
    Ok(match refused {
        None => Redirect::to(&to).into_response(),
        Some(again) => again.into_response(),
    })
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Answers {
    active: String,
    known_disease: String,
    signs: String,
    other: String,
    cleared: String,
    plan: String,
}

async fn answer(visit: Visit, Path(id): Path<String>, Form(given): Form<Answers>) -> Result<Redirect, Fault> {
    let to = match given.plan.parse::<EventId>() {
        Ok(plan) => format!("/clients/{id}/making/{plan}"),
        Err(_) => format!("/clients/{id}/brief#screening"),
    };
    let answers = Screening {
        active: frame::said(&given.active),
        known_disease: frame::said(&given.known_disease),
        signs: frame::said(&given.signs),
        other: frame::said(&given.other),
        cleared: frame::said(&given.cleared),
    };
    visit.with_ledger(move |uow, _| screen::keep(uow, &id, &answers)).await?;
    Ok(Redirect::to(&to))
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Card {
    name: String,
    about: String,
    away: String,
}

async fn card(visit: Visit, Path(id): Path<String>, Form(given): Form<Card>) -> Result<Redirect, Fault> {
    let to = format!("/clients/{id}/brief");
    visit
        .with_ledger(move |uow, _| {
            let card = uow.client(&id)?.card;
            let change = ClientChange {
                name: Some(given.name.trim().to_owned()),
                about: Some(given.about.trim().to_owned()),
                away: Some(given.away == "yes"),
                ..ClientChange::default()
            };
            let is_same = change.name.as_deref() == Some(&card.name)
                && change.about.as_deref() == Some(&card.about)
                && change.away == Some(card.away);
            if is_same { Ok(()) } else { clients::change(uow, &id, change).map(|_| ()) }
        })
        .await?;
    Ok(Redirect::to(&to))
}
