//! Signing in and out, and the page on which a set-up link chooses a password.

use crate::app::{App, Visit};
use crate::gate::{COOKIE, LASTS, cookie};
use crate::http::routes::{ANYBODY, CLIENT, Pages};
use crate::http::tls::Peer;
use crate::page::fault::{self, Fault};
use crate::sign_in::SignIn;
use axum::extract::{ConnectInfo, Form, Path, Query, State};
use axum::http::{Extensions, HeaderMap, header};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::ledger::of_store;
use setwright_coaching::people::accounts::digest;
use setwright_coaching::people::common;
use setwright_coaching::people::secrets::{self, LETTERS_LEAST, LETTERS_MOST};
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use std::net::{IpAddr, Ipv4Addr};

pub fn routes() -> Pages<App> {
    Pages::new()
        .get(ANYBODY, "/login", ask)
        .post(ANYBODY, "/login", enter)
        .post(CLIENT, "/logout", leave)
        .get(ANYBODY, "/welcome/{link}", welcome)
        .post(ANYBODY, "/welcome/{link}", choose)
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Asked {
    to: String,
    after: String,
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Given {
    name: String,
    password: String,
    to: String,
}

async fn ask(State(app): State<App>, visit: Visit, Query(asked): Query<Asked>) -> Response {
    if app.sign_in().is_none() {
        return Redirect::to("/").into_response();
    }
    let told = match asked.after.as_str() {
        "out" => Some("You are signed out."),
        "set" => Some("The password is set. Sign in with it."),
        _ => None,
    };
    login_page(&visit, &asked.to, "", told, None).into_response()
}

fn login_page(visit: &Visit, to: &str, name: &str, told: Option<&str>, problem: Option<&Refusal>) -> Markup {
    visit.page(
        "Sign in",
        None,
        &html! {
            h1 { "Sign in" }
            @if let Some(told) = told { p role="status" data-told=(told) { (told) } }
            @if let Some(problem) = problem { div role="alert" { (fault::sentence(problem)) } }
            form method="post" action="/login" class="sheet" {
                input type="hidden" name="to" value=(to);
                label { span { "Name" } input name="name" value=(name) required maxlength="80" autocomplete="username" autocapitalize="none" spellcheck="false"; }
                label { span { "Password" } input type="password" name="password" required maxlength=(LETTERS_MOST) autocomplete="current-password"; }
                button { "Sign in" }
            }
            p class="soft" { "Forgotten? Whoever keeps the accounts gives you a new link." }
        },
    )
}

/// Where to go on: a page of ours, whatever was asked for.
fn onward(to: &str) -> &str {
    let ours = to.strip_prefix('/').is_some_and(|rest| !rest.starts_with(['/', '\\']));
    if ours && to.chars().all(|c| c.is_ascii_graphic()) { to } else { "/" }
}

/// Where a request comes from: the other end of the connection, or whom a proxy there says that it asks for.
fn from(sign_in: &SignIn, extensions: &Extensions, headers: &HeaderMap) -> IpAddr {
    let peer = extensions.get::<ConnectInfo<Peer>>();
    let peer = peer.map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |ConnectInfo(Peer(address))| address.ip());
    sign_in.proxies.client(peer, headers)
}

async fn enter(
    State(app): State<App>,
    visit: Visit,
    extensions: Extensions,
    headers: HeaderMap,
    Form(given): Form<Given>,
) -> Result<Response, Fault> {
    let Some(sign_in) = app.sign_in() else { return Ok(Redirect::to("/").into_response()) };
    let from = from(sign_in, &extensions, &headers);
    if let Err(wait_s) = sign_in.throttle.charge(&given.name, from, app.practice().wall().device_ms()) {
        let what = format!("Too many wrong tries. The next can be made in {wait_s} s.");
        let problem = Refusal::new(Code::TooManyTries, what, "Wait, then type with care.");
        return Ok(refused(&visit, wait_s, &given, &problem));
    }
    let Ok(_permit) = sign_in.hashing.acquire().await else { return Err(Fault::internal()) };
    let (name, password) = (given.name.clone(), given.password.clone());
    let found = sign_in.with_book(move |book| book.accounts.named(&name).map_err(|e| of_store(&e))).await?;
    let open = found.filter(|account| !account.disabled);
    let kept = open.as_ref().and_then(|account| account.hash.clone());
    // Asked in any case: how long it takes must not tell whether there is such an account.
    let fits = tokio::task::spawn_blocking(move || secrets::fits(kept.as_deref(), &password));
    let fits = fits.await.map_err(|_| Fault::internal())?;
    let Some(account) = open.filter(|_| fits) else { return Ok(wrong(&visit, &given)) };
    sign_in.throttle.forgive(&given.name, from);
    let begun = sign_in.with_book(move |book| {
        let (token, now_ms) = (book.ids.secret()?, book.now_ms());
        book.accounts.begin(account.id, digest(&token), now_ms, LASTS).map_err(|e| of_store(&e))?;
        Ok(token)
    });
    let token = begun.await?;
    let seconds = LASTS.whole_ms / 1_000;
    let set = format!("{COOKIE}={token}; Path=/; Secure; HttpOnly; SameSite=Lax; Max-Age={seconds}");
    Ok(([(header::SET_COOKIE, set)], Redirect::to(onward(&given.to))).into_response())
}

fn wrong(visit: &Visit, given: &Given) -> Response {
    let what = "Name and password do not go together.";
    let problem = Refusal::new(Code::NotSignedIn, what, "Type both again.");
    refused(visit, 0, given, &problem)
}

fn refused(visit: &Visit, wait_s: u64, given: &Given, problem: &Refusal) -> Response {
    let page = login_page(visit, &given.to, &given.name, None, Some(problem));
    let mut answer = (fault::status(problem.code.kind()), page).into_response();
    if wait_s > 0 {
        answer.headers_mut().insert(header::RETRY_AFTER, wait_s.into());
    }
    fault::mark(&mut answer, problem.code);
    answer
}

async fn leave(State(app): State<App>, headers: HeaderMap) -> Result<Response, Fault> {
    if let Some((sign_in, token)) = app.sign_in().zip(cookie(&headers)) {
        sign_in.with_book(move |book| book.accounts.end(digest(&token)).map_err(|e| of_store(&e))).await?;
    }
    let gone = format!("{COOKIE}=; Path=/; Secure; HttpOnly; SameSite=Lax; Max-Age=0");
    Ok(([(header::SET_COOKIE, gone)], Redirect::to("/login?after=out")).into_response())
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

async fn choose(
    State(app): State<App>,
    visit: Visit,
    Path(link): Path<String>,
    Form(chosen): Form<Chosen>,
) -> Result<Response, Fault> {
    let Some(sign_in) = app.sign_in() else { return Err(void()) };
    let digest = digest(&link);
    let found = sign_in.with_book(move |book| {
        let now_ms = book.now_ms();
        book.accounts.link(digest, now_ms).map_err(|e| of_store(&e))
    });
    let account = found.await?.ok_or_else(void)?;
    let again = |problem: &Refusal| {
        (fault::status(problem.code.kind()), welcome_page(&visit, &account.name, Some(problem)))
            .into_response()
    };
    if chosen.password != chosen.again {
        let what = "The two are not the same.";
        return Ok(again(&Refusal::new(Code::NoSuchAccount, what, "Type the password again, twice.")));
    }
    if let Err(problem) = common::refuse(&chosen.password, &account.name) {
        return Ok(again(&problem));
    }
    let Ok(_permit) = sign_in.hashing.acquire().await else { return Err(Fault::internal()) };
    let salt = sign_in.with_book(|book| book.ids.secret()).await?;
    let hashed = tokio::task::spawn_blocking(move || secrets::hash(&chosen.password, &salt));
    let hash = match hashed.await.map_err(|_| Fault::internal())? {
        Ok(hash) => hash,
        Err(problem) => return Ok(again(&problem)),
    };
    let used = sign_in.with_book(move |book| {
        let now_ms = book.now_ms();
        book.accounts.use_link(digest, &hash, now_ms).map_err(|e| of_store(&e))
    });
    used.await?.ok_or_else(void)?;
    Ok(Redirect::to("/login?after=set").into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_goes_on_to_a_page_of_ours_or_to_the_front() {
        assert_eq!(onward("/clients/a/floor?x=1"), "/clients/a/floor?x=1");
        for elsewhere in
            ["", "//evil.example", "/\\evil.example", "https://evil.example", "/a\nb", "evil", "/\t/evil"]
        {
            assert_eq!(onward(elsewhere), "/", "{elsewhere:?}");
        }
    }
}
