//! The programme editor. A draft is the programme in force with a list of changes, and the list stands in the page's address:
//! loading again, going back and a program that was killed in between lose nothing. Each change is checked at once and shown
//! beside what is in force, until it is handed out.

mod choose;
mod sheet;

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::Fault;
use crate::programme::making;
use axum::extract::{Form, Path, Query};
use axum::response::{IntoResponse, Redirect, Response};
use maud::Markup;
use serde::Deserialize;
use setwright_coaching::edit::{self, Draft, Edit, Ground, Slot};
use setwright_coaching::insight::Known;
use setwright_coaching::jobs::plan_queue::{JobKind, JobRequest};
use setwright_coaching::ledger::UnitOfWork;
use setwright_coaching::publish;
use setwright_gym::catalogue::builtin;
use setwright_model::Brief;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use std::sync::Arc;

pub fn routes() -> Pages<App> {
    Pages::new()
        .get(COACH, "/clients/{id}/edit", show)
        .post(COACH, "/clients/{id}/edit", change)
        .get(COACH, "/clients/{id}/edit/choose", choices)
        .post(COACH, "/clients/{id}/edit/solve", solve)
        .post(COACH, "/clients/{id}/edit/hand-out", hand_out)
}

/// The draft as an address carries it.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Given {
    /// The programme it is laid on; the one in force when empty.
    on: String,
    /// The changes.
    e: String,
    /// One more.
    make: String,
    /// Where an exercise is to be chosen for: a place, or a session.
    at: String,
}

/// The address of a draft.
fn address(id: &str, on: &str, edits: &str) -> String {
    format!("/clients/{id}/edit?on={on}&e={edits}")
}

/// What a page of the editor is made from.
struct EditContext {
    id: String,
    known: Arc<Known>,
    edits: Vec<Edit>,
}

impl EditContext {
    fn ground(&self) -> Result<Ground<'_>, Refusal> {
        Ground::of(&self.known, builtin())
    }

    fn draft(&self) -> Result<Draft, Refusal> {
        edit::draft(&self.ground()?, &self.edits)
    }
}

fn context(uow: &mut UnitOfWork, visit: &Visit, id: &str, given: &Given) -> Result<EditContext, Refusal> {
    uow.may.coach_only()?;
    let client = uow.client(id)?;
    let id = client.client.to_string();
    let known = visit.practice().known(uow, client)?;
    let context = EditContext { id, known, edits: edit::edits(&given.e)? };
    let in_force = context.ground()?.id.to_string();
    if given.on.is_empty() || given.on == in_force {
        return Ok(context);
    }
    Err(Refusal::new(
        Code::CannotEdit,
        "Another programme was handed out since these changes were begun.",
        "Begin anew from the programme that is in force now; the address still holds the old changes.",
    ))
}

async fn show(visit: Visit, Path(id): Path<String>, Query(given): Query<Given>) -> Result<Markup, Fault> {
    let (name, page) = visit
        .with_ledger(move |uow, visit| {
            let context = context(uow, visit, &id, &given)?;
            let draft = context.draft()?;
            let name = context.known.client.card.name.clone();
            Ok((name, sheet::page(&context.ground()?, &draft, &context.edits, &context.id, visit.unit())))
        })
        .await?;
    Ok(visit.page(&format!("Edit the programme of {name}"), None, &page))
}

/// One more change, or one less; the answer is the address of the draft after it.
async fn change(visit: Visit, Path(id): Path<String>, Form(given): Form<Given>) -> Result<Redirect, Fault> {
    let to = visit.with_ledger(move |uow, visit| {
        let mut context = context(uow, visit, &id, &given)?;
        if given.make == "undo" {
            context.edits.pop();
        } else if !given.make.is_empty() {
            context.edits.extend(edit::edits(&given.make)?);
            // What does not fit is refused here, before it stands in an address.
            context.draft()?;
        }
        let text = edit::text(&context.edits);
        // Read again, so that a list that became too long is refused before it stands in an address.
        edit::edits(&text)?;
        let on = context.ground()?.id.to_string();
        Ok(address(&context.id, &on, &text))
    });
    Ok(Redirect::to(&to.await?))
}

async fn choices(visit: Visit, Path(id): Path<String>, Query(given): Query<Given>) -> Result<Markup, Fault> {
    let page = visit.with_ledger(move |uow, visit| {
        let context = context(uow, visit, &id, &given)?;
        let draft = context.draft()?;
        let at: Vec<usize> = given.at.split('.').filter_map(|n| n.parse().ok()).collect();
        choose::page(&context.ground()?, &draft, &context.edits, &context.id, &at).ok_or_else(|| {
            Refusal::new(
                Code::CannotEdit,
                "There is no such place in this programme.",
                "Go back to the programme and use its buttons.",
            )
        })
    });
    Ok(visit.page("Choose an exercise", None, &page.await?))
}

/// A new plan that keeps what is locked in the draft, and what need not change of the rest.
async fn solve(visit: Visit, Path(id): Path<String>, Form(given): Form<Given>) -> Result<Redirect, Fault> {
    let to = visit.with_ledger(move |uow, visit| {
        let context = context(uow, visit, &id, &given)?;
        let draft = context.draft()?;
        let ground = context.ground()?;
        let mut brief = brief_of(&ground, &draft)?;
        brief.style.before = Some(draft.programme.clone());
        let request = JobRequest {
            kind: JobKind::Plan,
            client: context.known.client.client,
            name: context.known.client.card.name.clone(),
            brief,
            known: Some(Arc::clone(&context.known)),
            from: context.known.current,
            before: Some(draft.programme),
            about: "around your locks".to_owned(),
        };
        Ok(making::path(&*visit.practice().begin(uow, request)?))
    });
    Ok(Redirect::to(&to.await?))
}

/// The brief with the draft's locks, planned and judged for what the client weighs by the log.
fn brief_of(ground: &Ground<'_>, draft: &Draft) -> Result<Brief, Refusal> {
    ground.known.brief_to_plan(Some(Brief { locks: draft.locks.clone(), ..ground.brief.clone() }))
}

/// The draft comes into force, if the check certifies it.
async fn hand_out(visit: Visit, Path(id): Path<String>, Form(given): Form<Given>) -> Result<Response, Fault> {
    let done = visit.with_ledger(move |uow, visit| {
        let context = context(uow, visit, &id, &given)?;
        let draft = context.draft()?;
        let ground = context.ground()?;
        let brief = brief_of(&ground, &draft)?;
        Ok(publish::edited(uow, &context.known, draft.programme, &brief, visit.unit(), builtin())
            .map(|_| format!("/clients/{}/programme", context.id)))
    });
    match done.await? {
        Ok(to) => Ok(Redirect::to(&to).into_response()),
        Err(problems) => Ok(Fault::from(problems).into_response()),
    }
}

/// The place as a change writes it.
fn dotted(at: Slot) -> String {
    format!("{}.{}.{}", at.session, at.block, at.lane)
}
