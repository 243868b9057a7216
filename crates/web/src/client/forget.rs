//! What a client may ask of whoever keeps things of them: all of it, as a file; and to be forgotten. First what that would be, and where else something of them is; it is done when the whole name was typed.

use crate::app::{App, Visit};
use crate::http::routes::{CLIENT, COACH, Pages};
use crate::page::fault::Fault;
use crate::page::formats;
use axum::extract::{Form, Path};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::ledger::forget::{self, ForgetView, ForgottenBy};
use setwright_coaching::ledger::{UnitOfWork, everything};
use setwright_coaching::people::accounts::Book;
use setwright_model::code::Code;
use setwright_model::name::folded;
use setwright_model::refusal::Refusal;

pub fn routes() -> Pages<App> {
    Pages::new().get(COACH, "/clients/{id}/forget", ask).post(COACH, "/clients/{id}/forget", done).get(
        CLIENT,
        "/clients/{id}/everything.json",
        all,
    )
}

#[derive(Deserialize)]
struct Sure {
    #[serde(default)]
    whole: String,
}

async fn ask(visit: Visit, Path(id): Path<String>) -> Result<Markup, Fault> {
    let view =
        visit.with_ledger(move |uow, visit| in_book(visit, |book| forget::look(uow, book, &id))).await?;
    Ok(visit.page("Forget a client", None, &asked(&view)))
}

async fn all(visit: Visit, Path(id): Path<String>) -> Result<Response, Fault> {
    let bytes = visit.with_ledger(move |uow, visit| {
        let mut bytes = Vec::new();
        in_book(visit, |book| everything::export(uow, book, &id, &mut bytes))?;
        Ok(bytes)
    });
    let headers = [
        (header::CONTENT_TYPE, "application/json"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"everything.json\""),
    ];
    Ok((headers, bytes.await?).into_response())
}

async fn done(visit: Visit, Path(id): Path<String>, Form(sure): Form<Sure>) -> Result<Markup, Fault> {
    let view = visit.with_ledger(move |uow, visit| forgotten(uow, visit, &id, &sure.whole)).await?;
    Ok(visit.page("Forgotten", None, &told(&view)))
}

fn forgotten(uow: &mut UnitOfWork, visit: &Visit, id: &str, whole: &str) -> Result<ForgetView, Refusal> {
    let client = uow.client(id)?;
    if folded(whole) != folded(&client.card.name) {
        let what = "That is not the whole name, and nobody was forgotten.";
        return Err(Refusal::new(Code::Usage, what, "Go back and type the name as it stands there."));
    }
    let (account, place) = match visit.signed() {
        Some((_, signed)) => (Some(signed.account.id), signed.from.to_string()),
        None => (None, String::new()),
    };
    let by = ForgottenBy { account, place: &place };
    in_book(visit, |book| forget::forget(uow, book, &client.client.to_string(), by))
}

/// Does something with the accounts; on the machine itself with none.
fn in_book<T>(visit: &Visit, work: impl FnOnce(Option<&mut Book>) -> T) -> T {
    match visit.signed() {
        Some((sign_in, _)) => sign_in.in_book(|book| work(Some(book))),
        None => work(None),
    }
}

fn asked(view: &ForgetView) -> Markup {
    html! {
        h1 { "Forget " (view.name) "?" }
        p {
            (formats::count(view.sessions, "session")) ", " (formats::count(view.sets, "set"))
            ", brief, programme, answers before training, notes: nobody can read any of it afterwards. It cannot be undone."
        }
        @for account in &view.accounts { p { "The account \u{201c}" (account) "\u{201d} is emptied and shut." } }
        (elsewhere(view))
        p { a href={ "/clients/" (view.id) "/everything.json" } { "Everything that is kept, as a file" } ", to be given to " (view.name) " first." }
        form method="post" action={ "/clients/" (view.id) "/forget" } class="sheet" {
            label { span { "The whole name" } input name="whole" required maxlength="80" autocomplete="off"; }
            button { "Forget " (view.name) " for good" }
        }
        p { a href={ "/clients/" (view.id) } { "Back, and keep everything" } }
    }
}

fn told(view: &ForgetView) -> Markup {
    html! {
        h1 { (view.name) " is forgotten" }
        p { "Nobody can read any more what was said. Phones that still keep something clear it when they next reach this place." }
        (elsewhere(view))
        p { a href="/" { "Back to the roster" } }
    }
}

/// Where something still is, and until when.
fn elsewhere(view: &ForgetView) -> Markup {
    html! {
        @for other in &view.named_by { p { "What is noted of " (other) " may name " (view.name) ", and stays: look through it." } }
        @for copy in &view.copies {
            p {
                "The copy " code { (copy.path) } " of " (copy.made)
                @if copy.there { " holds " } @else { " is not where it was put, and if it was moved it holds " }
                (view.name) " until it is deleted. Have that done by " (copy.delete_by) ", with the files of its name."
            }
        }
        p class="soft" {
            "Copies made by other means, exports, and what was printed or sent are known to nobody here."
        }
    }
}
