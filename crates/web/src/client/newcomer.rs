//! A new client: a brief by a form, then a certified programme.

use super::person;
use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::{self, Fault};
use crate::page::fields::{choice, line, number};
use crate::page::frame;
use crate::programme::making;
use axum::extract::Form;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use setwright_coaching::jobs::plan_queue::{JobKind, JobRequest};
use setwright_coaching::ledger::clients;
use setwright_coaching::ledger::current::Current;
use setwright_formats::form::BriefForm;
use setwright_gym::catalogue::builtin;
use setwright_model::MassUnit;
use setwright_model::refusal::Refusals;
use setwright_science::screening::{Question, WARNING_SIGNS};

pub fn routes() -> Pages<App> {
    Pages::new().get(COACH, "/clients/new", blank).post(COACH, "/clients/new", add)
}

async fn blank(visit: Visit) -> Markup {
    form_page(&visit, &BriefForm::usual(visit.unit()), &Vec::new())
}

async fn add(visit: Visit, Form(given): Form<BriefForm>) -> Result<Response, Fault> {
    let brief = match given.brief(builtin()) {
        Ok(brief) => brief,
        Err(problems) => return Ok(again(&visit, &given, &problems)),
    };
    let name = given.name.clone();
    let done = visit
        .with_ledger(move |uow, visit| {
            // A client whose plan is refused would be half made: asked for again, the name is taken.
            let room = match visit.practice().room(uow) {
                Ok(room) => room,
                Err(problem) => return Ok(Err(vec![problem])),
            };
            let client = match clients::add(uow, &name, &brief.about, Some(brief.clone())) {
                Ok(client) => client,
                Err(problem) => return Ok(Err(vec![problem])),
            };
            let request = JobRequest {
                kind: JobKind::First,
                client: client.id,
                name: name.trim().to_owned(),
                from: Current::of(uow, client.id)?.of_brief_alone(),
                brief,
                known: None,
                before: None,
                about: "a first programme".to_owned(),
            };
            Ok(Ok(making::path(&*visit.practice().begin_in(room, uow, request)?)))
        })
        .await?;
    Ok(match done {
        Err(problems) => again(&visit, &given, &problems),
        Ok(to) => Redirect::to(&to).into_response(),
    })
}

fn again(visit: &Visit, given: &BriefForm, problems: &Refusals) -> Response {
    (fault::status_of(problems), form_page(visit, given, problems)).into_response()
}

fn form_page(visit: &Visit, given: &BriefForm, problems: &Refusals) -> Markup {
    let unit = MassUnit::of(&given.unit).unwrap_or_default();
    visit.page(
        "New client",
        Some("/clients/new"),
        &html! {
            h1 { "New client" }
            @if !problems.is_empty() {
                div role="alert" { @for problem in problems { (fault::sentence(problem)) } }
            }
            form method="post" class="sheet" {
                input type="hidden" name="unit" value=(unit.symbol());
                fieldset {
                    legend { "Who" }
                    (line("name", "Name", &given.name, true))
                    (line("about", "In a sentence", &given.about, false))
                    (choice("goal", "What for", &given.goal, &[("general", "strength and muscle alike"), ("size", "muscle"), ("strength", "strength in the big lifts")]))
                    (choice("training_age", "Trained for", &given.training_age, &[("first_weeks", "the first weeks"), ("beginner", "under half a year"), ("intermediate", "up to a few years"), ("advanced", "years, steadily")]))
                    (number("age", "Age", &given.age, "years"))
                    (number("mass_kg", "Body mass", &given.mass_kg, unit.symbol()))
                }
                fieldset {
                    legend { "Time and place" }
                    (number("sessions", "Sessions", &given.sessions, "in a cycle"))
                    (number("cycle_days", "Cycle", &given.cycle_days, "days"))
                    (number("minutes", "Each session", &given.minutes, "minutes"))
                    (line("days", "Days of the cycle, when they are fixed (1, 3, 5)", &given.days, false))
                    (choice("place", "Place", &given.place, &[("full_gym", "gym with everything"), ("garage", "garage: rack, bar, bench"), ("home_dumbbells", "home: dumbbells, bands, a bench"), ("bare", "floor, chair and step")]))
                }
                fieldset {
                    legend { "Lifted lately, for eight with two left" }
                    (number("squat", "Back squat", &given.squat, unit.symbol()))
                    (number("press", "Bench press", &given.press, unit.symbol()))
                    (number("row", "Barbell row", &given.row, unit.symbol()))
                    p class="soft" { "What is left open is found by feel in the first sessions." }
                }
                (person::questions(given))
                fieldset {
                    legend { "Before training" }
                    (question(Question::Active, "active", &given.active))
                    (question(Question::KnownDisease, "known_disease", &given.known_disease))
                    (question(Question::Signs, "signs", &given.signs))
                    details { summary { "The signs" } ul { @for sign in WARNING_SIGNS { li { (sign) } } } }
                    (question(Question::Other, "other", &given.other))
                    (frame::yes_no("Has a clinician agreed to this training, knowing of it?", "cleared", frame::said(&given.cleared)))
                }
                button { "Plan and hand out" }
            }
        },
    )
}

fn question(question: Question, name: &str, value: &str) -> Markup {
    frame::yes_no(question.text(), name, frame::said(value))
}
