//! The programme editor. A draft is the programme in force with a list of changes, and the list stands in the page's address:
//! loading again, going back and a program that was killed in between lose nothing. Each change is checked at once and shown
//! beside what is in force, until it is handed out.

mod choose;
mod sheet;

use super::fault::Fault;
use super::making;
use crate::app::{App, Visit};
use crate::routes::{COACH, Pages};
use axum::extract::{Form, Path, Query};
use axum::response::{IntoResponse, Redirect, Response};
use maud::Markup;
use serde::Deserialize;
use setwright_coaching::edit::{self, Draft, Edit, Ground, Slot};
use setwright_coaching::insight::Known;
use setwright_coaching::jobs::plan_queue::{Kind, Order};
use setwright_coaching::ledger::{Desk, publish};
use setwright_model::Brief;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_science::catalogue::builtin;
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
struct Bench {
    id: String,
    known: Arc<Known>,
    edits: Vec<Edit>,
}

impl Bench {
    fn ground(&self) -> Result<Ground<'_>, Refusal> {
        Ground::of(&self.known, builtin())
    }

    fn draft(&self) -> Result<Draft, Refusal> {
        edit::draft(&self.ground()?, &self.edits)
    }
}

fn bench(desk: &mut Desk, visit: &Visit, id: &str, given: &Given) -> Result<Bench, Refusal> {
    desk.may.coach_only()?;
    let client = desk.client(id)?;
    let id = client.client.to_string();
    let known = visit.practice().known(desk, client)?;
    let bench = Bench { id, known, edits: edit::edits(&given.e)? };
    let in_force = bench.ground()?.id.to_string();
    if given.on.is_empty() || given.on == in_force {
        return Ok(bench);
    }
    Err(Refusal::new(
        Code::CannotEdit,
        "Another programme was handed out since these changes were begun.",
        "Begin anew from the programme that is in force now; the address still holds the old changes.",
    ))
}

async fn show(visit: Visit, Path(id): Path<String>, Query(given): Query<Given>) -> Result<Markup, Fault> {
    let (name, page) = visit
        .at_desk(move |desk, visit| {
            let bench = bench(desk, visit, &id, &given)?;
            let draft = bench.draft()?;
            let name = bench.known.client.card.name.clone();
            Ok((name, sheet::page(&bench.ground()?, &draft, &bench.edits, &bench.id, visit.unit())))
        })
        .await?;
    Ok(visit.page(&format!("Edit the programme of {name}"), None, &page))
}

/// One more change, or one less; the answer is the address of the draft after it.
async fn change(visit: Visit, Path(id): Path<String>, Form(given): Form<Given>) -> Result<Redirect, Fault> {
    let to = visit.at_desk(move |desk, visit| {
        let mut bench = bench(desk, visit, &id, &given)?;
        if given.make == "undo" {
            bench.edits.pop();
        } else if !given.make.is_empty() {
            bench.edits.extend(edit::edits(&given.make)?);
            // What does not fit is refused here, before it stands in an address.
            bench.draft()?;
        }
        let text = edit::text(&bench.edits);
        // Read again, so that a list that became too long is refused before it stands in an address.
        edit::edits(&text)?;
        let on = bench.ground()?.id.to_string();
        Ok(address(&bench.id, &on, &text))
    });
    Ok(Redirect::to(&to.await?))
}

async fn choices(visit: Visit, Path(id): Path<String>, Query(given): Query<Given>) -> Result<Markup, Fault> {
    let page = visit.at_desk(move |desk, visit| {
        let bench = bench(desk, visit, &id, &given)?;
        let draft = bench.draft()?;
        let at: Vec<usize> = given.at.split('.').filter_map(|n| n.parse().ok()).collect();
        choose::page(&bench.ground()?, &draft, &bench.edits, &bench.id, &at).ok_or_else(|| {
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
    let to = visit.at_desk(move |desk, visit| {
        let bench = bench(desk, visit, &id, &given)?;
        let draft = bench.draft()?;
        let ground = bench.ground()?;
        let mut brief = brief_of(&ground, &draft);
        brief.style.before = Some(draft.programme.clone());
        let order = Order {
            kind: Kind::Plan,
            client: bench.known.client.client,
            name: bench.known.client.card.name.clone(),
            brief,
            known: Some(Arc::clone(&bench.known)),
            before: Some(draft.programme),
            about: "around your locks".to_owned(),
        };
        Ok(making::path(&*visit.practice().begin(desk, order)?))
    });
    Ok(Redirect::to(&to.await?))
}

/// The brief with the draft's locks.
fn brief_of(ground: &Ground<'_>, draft: &Draft) -> Brief {
    let mut brief = Brief { locks: draft.locks.clone(), ..ground.brief.clone() };
    brief.body.mass_kg = ground.known.body_mass.or(brief.body.mass_kg);
    brief
}

/// The draft comes into force, if the check certifies it.
async fn hand_out(visit: Visit, Path(id): Path<String>, Form(given): Form<Given>) -> Result<Response, Fault> {
    let done = visit.at_desk(move |desk, visit| {
        let bench = bench(desk, visit, &id, &given)?;
        let draft = bench.draft()?;
        let ground = bench.ground()?;
        let brief = Brief { locks: draft.locks.clone(), ..ground.brief.clone() };
        let belief = Some(bench.known.belief.clone());
        let changed = (brief.locks != ground.brief.locks).then_some(&brief);
        Ok(publish::edited(desk, &bench.id, draft.programme, (&brief, changed), belief, builtin())
            .map(|_| format!("/clients/{}/programme", bench.id)))
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
