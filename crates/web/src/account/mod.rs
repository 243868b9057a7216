//! Signing in and out; what somebody does with their own account is beside it: `welcome` chooses the first password by a link, `own` shows
//! where one is signed in and changes the password, `codes` sets up one-time codes, `record` says who came.

mod codes;
mod own;
mod record;
mod welcome;

use crate::app::{App, Visit};
use crate::gate::{COOKIE, LASTS, cookie};
use crate::http::routes::{ANYBODY, CLIENT, Pages};
use crate::page::fault::{self, Fault};
use crate::sign_in::{SignIn, too_often};
use axum::extract::{Form, Query, State};
use axum::http::{Extensions, HeaderMap, HeaderName, HeaderValue, header};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::ledger::of_store;
use setwright_coaching::people::accounts::digest;
use setwright_coaching::people::second;
use setwright_coaching::people::secrets::LETTERS_MOST;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_store::{Begin, Deed, SecondStep};
use std::net::IpAddr;

/// Letters of a code, with room for blanks (judgement).
const CODE_LETTERS_MOST: u32 = 40;

pub fn routes() -> Pages<App> {
    Pages::new()
        .get(ANYBODY, "/login", ask)
        .post(ANYBODY, "/login", enter)
        .post(ANYBODY, "/login/code", enter_code)
        .post(CLIENT, "/logout", leave)
        .merge(welcome::routes())
        .merge(own::routes())
        .merge(codes::routes())
        .merge(record::routes())
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

async fn enter(
    State(app): State<App>,
    visit: Visit,
    extensions: Extensions,
    headers: HeaderMap,
    Form(given): Form<Given>,
) -> Result<Response, Fault> {
    let Some(sign_in) = app.sign_in() else { return Ok(Redirect::to("/").into_response()) };
    let from = sign_in.from(&extensions, &headers);
    if let Err(wait_s) = sign_in.throttle.charge(&given.name, from, app.practice().wall().device_ms()) {
        let page = |problem: &Refusal| login_page(&visit, &given.to, &given.name, None, Some(problem));
        return Ok(refused(wait_s, &too_often(wait_s), page));
    }
    let name = given.name.clone();
    let found = sign_in.with_book(move |book| book.accounts.named(&name).map_err(|e| of_store(&e))).await?;
    let known = found.as_ref().map(|account| account.id);
    let open = found.filter(|account| !account.disabled);
    let kept = open.as_ref().and_then(|account| account.hash.clone());
    // Asked in any case: how long it takes must not tell whether there is such an account.
    let fits = sign_in.fits(kept, given.password.clone()).await?;
    let Some(account) = open.filter(|_| fits) else {
        sign_in.failed(known, from, Deed::WrongPassword).await;
        let what = "Name and password do not go together.";
        let problem = Refusal::new(Code::NotSignedIn, what, "Type both again.");
        let page = |problem: &Refusal| login_page(&visit, &given.to, &given.name, None, Some(problem));
        return Ok(refused(0, &problem, page));
    };
    sign_in.throttle.forgive(&given.name, from);
    if account.second == SecondStep::On {
        let pending = sign_in.with_book(move |book| {
            let (token, now_ms) = (book.ids.secret()?, book.now_ms());
            book.accounts.put_pending(account.id, digest(&token), now_ms).map_err(|e| of_store(&e))?;
            Ok(token)
        });
        return Ok(code_page(&visit, &pending.await?, &given.to, None).into_response());
    }
    begun(sign_in, account.id, from, &headers, &given.to).await
}

/// Begins a session in the place of the one that this browser had.
async fn begun(
    sign_in: &SignIn,
    id: i64,
    from: IpAddr,
    headers: &HeaderMap,
    to: &str,
) -> Result<Response, Fault> {
    let (instead, browser) = (cookie(headers).map(|token| digest(&token)), browser(headers));
    let begun = sign_in.with_book(move |book| {
        let (token, trace) = (book.ids.secret()?, book.trace(&from.to_string()));
        let begin = Begin { session: digest(&token), browser: &browser, instead };
        book.accounts.begin(id, begin, &trace, LASTS).map_err(|e| of_store(&e))?;
        Ok(token)
    });
    let token = begun.await?;
    let seconds = LASTS.whole_ms / 1_000;
    let set = format!("{COOKIE}={token}; Path=/; Secure; HttpOnly; SameSite=Lax; Max-Age={seconds}");
    Ok(([(header::SET_COOKIE, set)], Redirect::to(onward(to))).into_response())
}

/// What a browser says of itself, in a few words; nothing of it but these words is kept.
fn browser(headers: &HeaderMap) -> String {
    let said = headers.get(header::USER_AGENT).and_then(|h| h.to_str().ok()).unwrap_or_default();
    let first = |names: &[(&str, &'static str)]| {
        names.iter().find(|(mark, _)| said.contains(mark)).map(|(_, name)| *name)
    };
    let browser =
        first(&[("Edg", "Edge"), ("Firefox", "Firefox"), ("Chrom", "Chrome"), ("Safari", "Safari")]);
    let system = first(&[
        ("Android", "Android"),
        ("iPhone", "iPhone"),
        ("iPad", "iPad"),
        ("Windows", "Windows"),
        ("Mac OS", "Mac"),
        ("Linux", "Linux"),
    ]);
    match (browser, system) {
        (Some(browser), Some(system)) => format!("{browser}, {system}"),
        (Some(one), None) | (None, Some(one)) => one.to_owned(),
        (None, None) => "unknown browser".to_owned(),
    }
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct CodeGiven {
    step: String,
    code: String,
    to: String,
}

fn code_page(visit: &Visit, step: &str, to: &str, problem: Option<&Refusal>) -> Markup {
    visit.page(
        "One-time code",
        None,
        &html! {
            h1 { "One-time code" }
            p { "The password is right. Type the code of six figures that the app on your phone shows now." }
            @if let Some(problem) = problem { div role="alert" { (fault::sentence(problem)) } }
            form method="post" action="/login/code" class="sheet" {
                input type="hidden" name="step" value=(step);
                input type="hidden" name="to" value=(to);
                label { span { "Code" } input name="code" required maxlength=(CODE_LETTERS_MOST) autocomplete="one-time-code" autocapitalize="none" spellcheck="false"; }
                button { "Sign in" }
            }
            p class="soft" { "Phone gone? Type one of your recovery codes. None left? Whoever keeps the accounts takes the codes away." }
        },
    )
}

/// The second step: a code, by whoever gave the password a moment ago.
async fn enter_code(
    State(app): State<App>,
    visit: Visit,
    extensions: Extensions,
    headers: HeaderMap,
    Form(given): Form<CodeGiven>,
) -> Result<Response, Fault> {
    let Some(sign_in) = app.sign_in() else { return Ok(Redirect::to("/").into_response()) };
    let from = sign_in.from(&extensions, &headers);
    let pending = digest(&given.step);
    let found = sign_in.with_book(move |book| {
        let now_ms = book.now_ms();
        book.accounts.pending(pending, now_ms).map_err(|e| of_store(&e))
    });
    let Some(account) = found.await? else {
        let what = "The password was given too long ago, or not at all.";
        let problem = Refusal::new(Code::NotSignedIn, what, "Begin with name and password again.");
        return Ok(refused(0, &problem, |problem| login_page(&visit, &given.to, "", None, Some(problem))));
    };
    let again = |problem: &Refusal| code_page(&visit, &given.step, &given.to, Some(problem));
    let now_ms = app.practice().wall().device_ms();
    if let Err(wait_s) = sign_in.throttle.charge_code(&account.name, from, now_ms) {
        return Ok(refused(wait_s, &too_often(wait_s), again));
    }
    let (id, code) = (account.id, given.code.clone());
    let is_right = sign_in.with_book(move |book| {
        let trace = book.trace(&from.to_string());
        second::accept(&mut book.accounts, id, &code, &trace)
    });
    if !is_right.await? {
        sign_in.failed(Some(id), from, Deed::WrongCode).await;
        return Ok(refused(0, &second::wrong_code(), again));
    }
    sign_in.throttle.forgive_code(&account.name, from);
    begun(sign_in, id, from, &headers, &given.to).await
}

/// A form that comes back with what was wrong.
fn refused(wait_s: u64, problem: &Refusal, page: impl FnOnce(&Refusal) -> Markup) -> Response {
    let mut answer = (fault::status(problem.code.kind()), page(problem)).into_response();
    if wait_s > 0 {
        answer.headers_mut().insert(header::RETRY_AFTER, wait_s.into());
    }
    fault::mark(&mut answer, problem.code);
    answer
}

/// Of what a browser keeps of these pages the part that scripts do not see goes with the session. The rest `page.js` clears, but for
/// what was logged and is not sent yet: "storage" here would take that too, and "cookies" those of other pages of this house.
const CLEARED: &str = "\"cache\"";

async fn leave(visit: Visit) -> Result<Response, Fault> {
    if let Some((sign_in, signed)) = visit.signed() {
        let ended = sign_in.with_book(move |book| {
            let trace = book.trace(&signed.from.to_string());
            let ended = book.accounts.end(signed.account.id, signed.session, &trace, Deed::SignedOut);
            ended.map_err(|e| of_store(&e))
        });
        ended.await?;
    }
    let gone = format!("{COOKIE}=; Path=/; Secure; HttpOnly; SameSite=Lax; Max-Age=0");
    let headers =
        [(header::SET_COOKIE, gone.as_str()), (HeaderName::from_static("clear-site-data"), CLEARED)];
    let mut answer = Redirect::to("/login?after=out").into_response();
    for (name, value) in headers {
        answer.headers_mut().insert(name, HeaderValue::from_str(value).map_err(|_| Fault::internal())?);
    }
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_browser_is_told_by_a_few_words_and_nothing_else_of_it_is_kept() {
        let told = |said: &'static str| {
            browser(&HeaderMap::from_iter([(header::USER_AGENT, HeaderValue::from_static(said))]))
        };
        let phone = "Mozilla/5.0 (Linux; Android 14; Pixel 8) AppleWebKit/537.36 Chrome/131.0.0.0 Mobile Safari/537.36";
        assert_eq!(told(phone), "Chrome, Android");
        assert_eq!(
            told("Mozilla/5.0 (X11; Linux x86_64; rv:132.0) Gecko/20100101 Firefox/132.0"),
            "Firefox, Linux"
        );
        assert_eq!(told("<script>"), "unknown browser");
        assert_eq!(browser(&HeaderMap::new()), "unknown browser");
    }

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
