//! One's own account: where one is signed in and how that ends, and another password.

use super::{refused, welcome};
use crate::app::{App, Visit};
use crate::gate::LASTS;
use crate::http::routes::{CLIENT, Pages};
use crate::page::fault::{self, Fault};
use crate::page::formats;
use crate::sign_in::who::Signed;
use crate::sign_in::{SignIn, too_often};
use axum::extract::{Form, Query};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::ledger::of_store;
use setwright_coaching::people::secrets::{LETTERS_LEAST, LETTERS_MOST};
use setwright_model::code::Code;
use setwright_model::ledger::Moment;
use setwright_model::refusal::Refusal;
use setwright_store::{AccountRole, Deed, SecondStep, SignedIn};
use std::sync::Arc;

pub fn routes() -> Pages<App> {
    Pages::new().get(CLIENT, "/account", show).post(CLIENT, "/account/end", end).post(
        CLIENT,
        "/account/password",
        change,
    )
}

/// On the machine itself nobody has an account.
pub fn nobody() -> Fault {
    Fault::of(
        Code::NoSuchAccount,
        "On this machine nobody signs in, so there is no account to look after.",
        "setwright account --help says how accounts for a network are kept.",
    )
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Asked {
    after: String,
}

async fn show(visit: Visit, Query(asked): Query<Asked>) -> Result<Markup, Fault> {
    let (sign_in, signed) = visit.signed().ok_or_else(nobody)?;
    let told = match asked.after.as_str() {
        "ended" => Some("Ended. Whoever goes on there is asked to sign in."),
        "password" => Some("The password is changed, and everywhere else you are signed out."),
        "off" => Some("One-time codes are off."),
        _ => None,
    };
    own_page(&visit, sign_in, &signed, told, None).await
}

async fn own_page(
    visit: &Visit,
    sign_in: &SignIn,
    signed: &Arc<Signed>,
    told: Option<&str>,
    problem: Option<&Refusal>,
) -> Result<Markup, Fault> {
    let id = signed.account.id;
    let sessions = sign_in.with_book(move |book| {
        let now_ms = book.now_ms();
        book.accounts.signed_in(id, now_ms, LASTS).map_err(|e| of_store(&e))
    });
    let sessions = sessions.await?;
    let offset_min = visit.practice().wall().now().offset_min();
    Ok(visit.page(
        "Your account",
        Some("/account"),
        &html! {
            h1 { "Your account" }
            @if let Some(told) = told { p role="status" { (told) } }
            @if let Some(problem) = problem { div role="alert" { (fault::sentence(problem)) } }
            p { "You are " strong { (signed.account.name) } ", " (in_role(signed.account.role)) "." }
            @if signed.account.role == AccountRole::Owner { p { a href="/record" { "Who signed in, and who saw whom" } } }
            @if let (AccountRole::Client, Some(own)) = (signed.account.role, signed.account.clients.first()) {
                p {
                    a href={ "/clients/" (own) "/everything.json" } { "Everything that is kept of you, as a file" }
                    ". To be forgotten, ask your coach."
                }
            }
            (where_signed_in(&sessions, signed, offset_min))
            (password_form(&signed.account.name))
            (codes_section(signed.account.second))
        },
    ))
}

const fn in_role(role: AccountRole) -> &'static str {
    match role {
        AccountRole::Owner => "an owner",
        AccountRole::Coach => "a coach",
        AccountRole::Client => "a client",
    }
}

fn where_signed_in(sessions: &[SignedIn], signed: &Signed, offset_min: i32) -> Markup {
    let at = |ms: i64| Moment::new(ms, offset_min).map(formats::moment).unwrap_or_default();
    html! {
        section {
            h2 { "Where you are signed in" }
            div class="scroll" role="region" aria-label="Where you are signed in" tabindex="0" {
                table {
                    thead { tr { th { "Browser" } th { "Address" } th { "Since" } th { "Last used" } th { "" } } }
                    tbody {
                        @for session in sessions {
                            tr {
                                td { (known(&session.browser)) }
                                td { (known(&session.place)) }
                                td class="when" { (at(session.begun_ms)) }
                                td class="when" { (at(session.seen_ms)) }
                                td {
                                    @if session.session == signed.session { "here" }
                                    @else {
                                        form method="post" action="/account/end" {
                                            button class="quiet" name="session" value=(session.session)
                                                aria-label={ "End it: " (known(&session.browser)) " since " (at(session.begun_ms)) } { "End it" }
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
            @if sessions.len() > 1 {
                form method="post" action="/account/end" { button name="session" value="others" { "End all others" } }
            }
            p class="soft" { "The last use is written down every five minutes. A session ends after seven days without a visit, after thirty in any \
                              case, and when this browser signs in anew." }
        }
    }
}

/// A session of an older version says neither.
fn known(text: &str) -> &str {
    if text.is_empty() { "not known" } else { text }
}

fn password_form(name: &str) -> Markup {
    html! {
        section {
            h2 { "Another password" }
            form method="post" action="/account/password" class="sheet" {
                input type="hidden" name="name" value=(name) autocomplete="username";
                label { span { "Password now" } input type="password" name="password" required maxlength=(LETTERS_MOST) autocomplete="current-password"; }
                label { span { "New password" } input type="password" name="new" required minlength=(LETTERS_LEAST) maxlength=(LETTERS_MOST) autocomplete="new-password"; }
                label { span { "The new one again" } input type="password" name="again" required maxlength=(LETTERS_MOST) autocomplete="new-password"; }
                button { "Change the password" }
            }
            p class="soft" { "At least " (LETTERS_LEAST) " letters; three or four words that do not belong together are easy to keep in mind. Everywhere \
                              else you are signed out." }
        }
    }
}

fn codes_section(second: SecondStep) -> Markup {
    html! {
        section {
            h2 { "One-time codes" }
            @if second == SecondStep::On {
                p { "On: a code from your phone is asked for when you sign in." }
                p { a href="/account/codes" { "Recovery codes and off" } }
            } @else {
                p { "Off: the password alone opens your account." }
                p { a href="/account/codes" { "Set up one-time codes" } }
            }
        }
    }
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Ended {
    session: String,
}

async fn end(visit: Visit, Form(ended): Form<Ended>) -> Result<Response, Fault> {
    let (sign_in, signed) = visit.signed().ok_or_else(nobody)?;
    let done = sign_in.with_book(move |book| {
        let (id, trace) = (signed.account.id, book.trace(&signed.from.to_string()));
        if ended.session == "others" {
            let others = book.accounts.end_all(id, Some(signed.session), &trace);
            return others.map(|_| ()).map_err(|e| of_store(&e));
        }
        let all = book.accounts.signed_in(id, trace.at_ms, LASTS).map_err(|e| of_store(&e))?;
        // One that is gone already is ended.
        let Some(one) = all.iter().find(|s| s.session.to_string() == ended.session) else { return Ok(()) };
        book.accounts.end(id, one.session, &trace, Deed::Ended).map(|_| ()).map_err(|e| of_store(&e))
    });
    done.await?;
    Ok(Redirect::to("/account?after=ended").into_response())
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Change {
    password: String,
    new: String,
    again: String,
}

async fn change(visit: Visit, Form(given): Form<Change>) -> Result<Response, Fault> {
    let (sign_in, signed) = visit.signed().ok_or_else(nobody)?;
    let changed = match proved(&visit, sign_in, &signed, &given.password).await? {
        Err(refusal) => Err(refusal),
        Ok(kept) => match welcome::chosen(&given.new, &given.again, &signed.account.name) {
            Err(problem) => Err((0, problem)),
            Ok(()) => {
                sign_in.hashed(given.new).await?.map(|hash| (kept, hash)).map_err(|problem| (0, problem))
            }
        },
    };
    let (kept, hash) = match changed {
        Ok(both) => both,
        Err((wait_s, problem)) => {
            let page = own_page(&visit, sign_in, &signed, None, Some(&problem)).await?;
            return Ok(refused(wait_s, &problem, |_| page));
        }
    };
    let done = sign_in.with_book(move |book| {
        let (id, trace) = (signed.account.id, book.trace(&signed.from.to_string()));
        let done = book.accounts.change_password(id, (&kept, &hash), Some(signed.session), &trace);
        done.map_err(|e| of_store(&e))
    });
    if done.await? {
        return Ok(Redirect::to("/account?after=password").into_response());
    }
    let hint = "Load the page and do it again with the password that is in force.";
    Err(Fault::of(Code::NoSuchAccount, "The password was changed elsewhere in the meantime.", hint))
}

/// Asks for the password again before something about the account is changed: what is kept of it when it is right. Wrong ones make the next
/// try wait as at the door.
///
/// # Errors
/// The accounts cannot be used.
pub async fn proved(
    visit: &Visit,
    sign_in: &SignIn,
    signed: &Signed,
    password: &str,
) -> Result<Result<String, (u64, Refusal)>, Fault> {
    let (name, from) = (signed.account.name.as_str(), signed.from);
    if let Err(wait_s) = sign_in.throttle.charge(name, from, visit.practice().wall().device_ms()) {
        return Ok(Err((wait_s, too_often(wait_s))));
    }
    let kept = signed.account.hash.clone();
    if sign_in.fits(kept.clone(), password.to_owned()).await? {
        sign_in.throttle.forgive(name, from);
        return Ok(Ok(kept.unwrap_or_default()));
    }
    sign_in.failed(Some(signed.account.id), from, Deed::WrongPassword).await;
    let what = "The password that you have now is not right.";
    Ok(Err((0, Refusal::new(Code::NoSuchAccount, what, "Type it again."))))
}
