//! One-time codes of one's own account: a secret for the app on the phone, confirmed by a code before it is asked for; recovery codes; and off
//! again, where the role may be without.

use super::own::{nobody, proved};
use super::{CODE_LETTERS_MOST, refused};
use crate::app::{App, Visit};
use crate::http::routes::{CLIENT, Pages};
use crate::page::fault::{self, Fault};
use crate::sign_in::who::Signed;
use crate::sign_in::{SignIn, too_often};
use axum::extract::Form;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;
use setwright_coaching::ledger::of_store;
use setwright_coaching::people::second;
use setwright_coaching::people::secrets::LETTERS_MOST;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_paper::qr;
use setwright_store::{Deed, SecondStep};
use std::sync::Arc;

pub fn routes() -> Pages<App> {
    Pages::new()
        .get(CLIENT, "/account/codes", show)
        .post(CLIENT, "/account/codes", confirm)
        .post(CLIENT, "/account/codes/new", begin)
        .post(CLIENT, "/account/codes/recovery", renew)
        .post(CLIENT, "/account/codes/off", off)
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Given {
    password: String,
    code: String,
}

async fn show(visit: Visit) -> Result<Markup, Fault> {
    let (sign_in, signed) = visit.signed().ok_or_else(nobody)?;
    codes_page(&visit, sign_in, &signed, None).await
}

/// What the page shows of the account.
enum Shown {
    /// Nothing yet.
    Off,
    /// A secret that waits for its first code.
    Begun(Vec<u8>),
    /// Codes are asked for; so many recovery codes are left, and whether the role may be without.
    On(i64, bool),
}

async fn codes_page(
    visit: &Visit,
    sign_in: &SignIn,
    signed: &Arc<Signed>,
    problem: Option<&Refusal>,
) -> Result<Markup, Fault> {
    let (id, role, second) = (signed.account.id, signed.account.role, signed.account.second);
    let shown = sign_in.with_book(move |book| {
        let accounts = &mut book.accounts;
        let secret = accounts.secret(id).map_err(|e| of_store(&e))?;
        Ok(match secret {
            Some(secret) if secret.is_confirmed => {
                let left = accounts.recovery_left(id).map_err(|e| of_store(&e))?;
                let required = accounts.required().map_err(|e| of_store(&e))?;
                Shown::On(left, !required.contains(&role))
            }
            Some(secret) => Shown::Begun(secret.bytes),
            None => Shown::Off,
        })
    });
    let shown = shown.await?;
    Ok(visit.page(
        "One-time codes",
        Some("/account"),
        &html! {
            h1 { "One-time codes" }
            @if let Some(problem) = problem { div role="alert" { (fault::sentence(problem)) } }
            @if second == SecondStep::Wanted && problem.is_none() {
                p role="status" { "Whoever keeps the accounts asks for one-time codes of everybody in your role. Set them up to go on." }
            }
            @match &shown {
                Shown::Off => (start_form()),
                Shown::Begun(secret) => (secret_form(secret, &signed.account.name)),
                Shown::On(left, may_be_off) => (settings(*left, *may_be_off)),
            }
            p { a href="/account" { "Your account" } }
        },
    ))
}

fn password_field() -> Markup {
    html! {
        label { span { "Password" } input type="password" name="password" required maxlength=(LETTERS_MOST) autocomplete="current-password"; }
    }
}

fn code_field() -> Markup {
    html! {
        label { span { "Code" } input name="code" required maxlength=(CODE_LETTERS_MOST) autocomplete="one-time-code" autocapitalize="none" spellcheck="false"; }
    }
}

fn start_form() -> Markup {
    html! {
        p { "An app on your phone shows a code of six figures, another one every half minute. With one-time codes on, whoever knows your password still \
             needs your phone to sign in. Any app for such codes will do; it needs no reception." }
        form method="post" action="/account/codes/new" class="sheet" { (password_field()) button { "Set up one-time codes" } }
    }
}

fn secret_form(secret: &[u8], name: &str) -> Markup {
    let app = second::for_app(secret, name);
    html! {
        ol {
            li { "Have the app read this square, " a href=(app.link) { "open it on this phone" } ", or type the letters." }
            li { "Type the code that the app shows then." }
        }
        @if let Some(square) = qr::svg(&app.link, "The secret, for the camera of the app") { div class="narrow" { (PreEscaped(square)) } }
        p { "Letters: " code { (app.typed) } }
        form method="post" action="/account/codes" class="sheet" { (code_field()) button { "Turn on one-time codes" } }
        p class="soft" { "Nothing is asked for before this code was right. Then everywhere else you are signed out." }
        details {
            summary { "Begin with another secret" }
            form method="post" action="/account/codes/new" class="sheet" { (password_field()) button class="quiet" { "Make another secret" } }
        }
    }
}

fn settings(left: i64, may_be_off: bool) -> Markup {
    html! {
        p { "One-time codes are on. " @if left == 1 { "1 recovery code is left." } @else { (left) " recovery codes are left." } }
        section {
            h2 { "New recovery codes" }
            p { "Ten codes for when the phone is gone, each good once. Those from before are void then." }
            form method="post" action="/account/codes/recovery" class="sheet" { (password_field()) (code_field()) button { "Make new recovery codes" } }
        }
        section {
            h2 { "Turn them off" }
            @if may_be_off {
                p { "The password alone opens your account then, and everywhere else you are signed out. For another phone turn them off and set them up again." }
                form method="post" action="/account/codes/off" class="sheet" { (password_field()) (code_field()) button { "Turn off one-time codes" } }
            } @else {
                p { "Whoever keeps the accounts asks for them of everybody in your role. For another phone they are taken away by " code { "setwright account reset-codes" } "." }
            }
        }
    }
}

/// The recovery codes, which are shown once.
fn shown_once(visit: &Visit, codes: &[String]) -> Markup {
    visit.page(
        "Recovery codes",
        Some("/account"),
        &html! {
            h1 { "Recovery codes" }
            p role="status" { "One-time codes are on." }
            p { "Each of these signs you in once in the place of a code, for when the phone is gone. They are shown now and never again: write them down and \
                 keep them where your phone is not." }
            ol class="codes" { @for one in codes { li { code { (one) } } } }
            p { a href="/account" { "Written down" } }
        },
    )
}

async fn again(
    visit: &Visit,
    sign_in: &SignIn,
    signed: &Arc<Signed>,
    (wait_s, problem): (u64, Refusal),
) -> Result<Response, Fault> {
    let page = codes_page(visit, sign_in, signed, Some(&problem)).await?;
    Ok(refused(wait_s, &problem, |_| page))
}

async fn begin(visit: Visit, Form(given): Form<Given>) -> Result<Response, Fault> {
    let (sign_in, signed) = visit.signed().ok_or_else(nobody)?;
    if let Err(problem) = proved(&visit, sign_in, &signed, &given.password).await? {
        return again(&visit, sign_in, &signed, problem).await;
    }
    let id = signed.account.id;
    let begun = sign_in.with_book(move |book| {
        let secret = second::new_secret(&book.ids)?;
        book.accounts.propose_secret(id, &secret).map_err(|e| of_store(&e))
    });
    begun.await?;
    Ok(Redirect::to("/account/codes").into_response())
}

async fn confirm(visit: Visit, Form(given): Form<Given>) -> Result<Response, Fault> {
    let (sign_in, signed) = visit.signed().ok_or_else(nobody)?;
    let now_ms = visit.practice().wall().device_ms();
    if let Err(wait_s) = sign_in.throttle.charge_code(&signed.account.name, signed.from, now_ms) {
        return again(&visit, sign_in, &signed, (wait_s, too_often(wait_s))).await;
    }
    let who = Arc::clone(&signed);
    let confirmed = sign_in.with_book(move |book| {
        let trace = book.trace(&who.from.to_string());
        Ok(second::confirm(book, who.account.id, &given.code, who.session, &trace))
    });
    match confirmed.await? {
        Ok(codes) => {
            sign_in.throttle.forgive_code(&signed.account.name, signed.from);
            Ok(shown_once(&visit, &codes).into_response())
        }
        Err(problem) => again(&visit, sign_in, &signed, (0, problem)).await,
    }
}

/// Whether password and code are both right; the code is used up.
async fn both(
    visit: &Visit,
    sign_in: &SignIn,
    signed: &Signed,
    given: Given,
) -> Result<Result<(), (u64, Refusal)>, Fault> {
    if let Err(problem) = proved(visit, sign_in, signed, &given.password).await? {
        return Ok(Err(problem));
    }
    let (name, from, id) = (&signed.account.name, signed.from, signed.account.id);
    if let Err(wait_s) = sign_in.throttle.charge_code(name, from, visit.practice().wall().device_ms()) {
        return Ok(Err((wait_s, too_often(wait_s))));
    }
    let is_right = sign_in.with_book(move |book| {
        let trace = book.trace(&from.to_string());
        second::accept(&mut book.accounts, id, &given.code, &trace)
    });
    if is_right.await? {
        sign_in.throttle.forgive_code(name, from);
        return Ok(Ok(()));
    }
    sign_in.failed(Some(id), from, Deed::WrongCode).await;
    let Refusal { what, hint, .. } = second::wrong_code();
    Ok(Err((0, Refusal::new(Code::NoSuchAccount, what, hint))))
}

async fn renew(visit: Visit, Form(given): Form<Given>) -> Result<Response, Fault> {
    let (sign_in, signed) = visit.signed().ok_or_else(nobody)?;
    if let Err(problem) = both(&visit, sign_in, &signed, given).await? {
        return again(&visit, sign_in, &signed, problem).await;
    }
    let made = sign_in.with_book(move |book| {
        let (texts, kept) = second::new_codes(&book.ids)?;
        let trace = book.trace(&signed.from.to_string());
        book.accounts.renew_recovery(signed.account.id, &kept, &trace).map_err(|e| of_store(&e))?;
        Ok(texts)
    });
    Ok(shown_once(&visit, &made.await?).into_response())
}

async fn off(visit: Visit, Form(given): Form<Given>) -> Result<Response, Fault> {
    let (sign_in, signed) = visit.signed().ok_or_else(nobody)?;
    if let Err(problem) = both(&visit, sign_in, &signed, given).await? {
        return again(&visit, sign_in, &signed, problem).await;
    }
    let dropped = sign_in.with_book(move |book| {
        let (id, trace) = (signed.account.id, book.trace(&signed.from.to_string()));
        let required = book.accounts.required().map_err(|e| of_store(&e))?;
        if required.contains(&signed.account.role) {
            let what = "Your role has to have one-time codes.";
            return Err(Refusal::new(Code::SecondStepFirst, what, "Ask whoever keeps the accounts."));
        }
        book.accounts.drop_secret(id, Some(signed.session), &trace, Deed::CodesOff).map_err(|e| of_store(&e))
    });
    dropped.await?;
    Ok(Redirect::to("/account?after=off").into_response())
}
