//! The page on which a set-up link chooses a password.

use super::refused;
use crate::app::{App, Visit};
use crate::http::routes::{ANYBODY, Pages};
use crate::page::fault::{self, Fault};
use axum::extract::{Form, Path, State};
use axum::http::{Extensions, HeaderMap};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::ledger::of_store;
use setwright_coaching::people::accounts::digest;
use setwright_coaching::people::common;
use setwright_coaching::people::secrets::{LETTERS_LEAST, LETTERS_MOST};
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;

pub fn routes() -> Pages<App> {
    Pages::new().get(ANYBODY, "/welcome/{link}", welcome).post(ANYBODY, "/welcome/{link}", choose)
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Chosen {
    password: String,
    again: String,
}

fn void() -> Fault {
    Fault::of(
        Code::LinkVoid,
        "This link was used, is over, or never was.",
        "Ask whoever keeps the accounts for a new one.",
    )
}

async fn welcome(State(app): State<App>, visit: Visit, Path(link): Path<String>) -> Result<Markup, Fault> {
    let Some(sign_in) = app.sign_in() else { return Err(void()) };
    let found = sign_in.with_book(move |book| {
        let now_ms = book.now_ms();
        book.accounts.link(digest(&link), now_ms).map_err(|e| of_store(&e))
    });
    let account = found.await?.ok_or_else(void)?;
    Ok(welcome_page(&visit, &account.name, None))
}

fn welcome_page(visit: &Visit, name: &str, problem: Option<&Refusal>) -> Markup {
    visit.page(
        "Choose a password",
        None,
        &html! {
            h1 { "Welcome, " (name) }
            p { "Choose a password of at least " (LETTERS_LEAST) " letters. Three or four words that do not belong together are easy to keep in mind. \
                 You sign in with it and the name " strong { (name) } "." }
            @if let Some(problem) = problem { div role="alert" { (fault::sentence(problem)) } }
            form method="post" class="sheet" {
                input type="hidden" name="name" value=(name) autocomplete="username";
                label { span { "Password" } input type="password" name="password" required minlength=(LETTERS_LEAST) maxlength=(LETTERS_MOST) autocomplete="new-password"; }
                label { span { "The same again" } input type="password" name="again" required maxlength=(LETTERS_MOST) autocomplete="new-password"; }
                button { "Set the password" }
            }
            p class="soft" { "The link works once. Whoever was signed in with this account is signed out." }
        },
    )
}

/// Whether a password can be chosen by this account, typed twice.
pub fn chosen(password: &str, again: &str, name: &str) -> Result<(), Refusal> {
    if password != again {
        let what = "The two are not the same.";
        return Err(Refusal::new(Code::NoSuchAccount, what, "Type the password again, twice."));
    }
    common::refuse(password, name)
}

async fn choose(
    State(app): State<App>,
    visit: Visit,
    Path(link): Path<String>,
    extensions: Extensions,
    headers: HeaderMap,
    Form(given): Form<Chosen>,
) -> Result<Response, Fault> {
    let Some(sign_in) = app.sign_in() else { return Err(void()) };
    let from = sign_in.from(&extensions, &headers);
    let digest = digest(&link);
    let found = sign_in.with_book(move |book| {
        let now_ms = book.now_ms();
        book.accounts.link(digest, now_ms).map_err(|e| of_store(&e))
    });
    let account = found.await?.ok_or_else(void)?;
    let again = |problem: &Refusal| {
        let page = |problem: &Refusal| welcome_page(&visit, &account.name, Some(problem));
        refused(0, problem, page)
    };
    if let Err(problem) = chosen(&given.password, &given.again, &account.name) {
        return Ok(again(&problem));
    }
    let hash = match sign_in.hashed(given.password).await? {
        Ok(hash) => hash,
        Err(problem) => return Ok(again(&problem)),
    };
    let used = sign_in.with_book(move |book| {
        let trace = book.trace(&from.to_string());
        book.accounts.use_link(digest, &hash, &trace).map_err(|e| of_store(&e))
    });
    used.await?.ok_or_else(void)?;
    Ok(Redirect::to("/login?after=set").into_response())
}
