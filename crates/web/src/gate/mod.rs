//! Who comes. On the machine itself it is whoever sits at it; over a network, somebody who signed in, and nobody gets past here
//! who did not. What each may see and write is the service's to decide: this only says who asks.

mod csrf;
pub mod guard;

use self::csrf::CsrfToken;
use crate::app::App;
use crate::http::limits::BODY_MOST;
use crate::http::routes::{Least, RouteRules};
use crate::page::fault::{self, Fault};
use crate::page::frame::PageFrame;
use crate::page::units;
use crate::sign_in::SignIn;
use crate::sign_in::views::View;
use crate::sign_in::who::{Signed, Who};
use axum::extract::{MatchedPath, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, Uri, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use setwright_coaching::ledger::of_store;
use setwright_coaching::people::accounts;
use setwright_model::MassUnit;
use setwright_model::code::Code;
use setwright_store::{Account, AccountRole, Lifetimes, SecondStep};
use std::net::IpAddr;
use std::sync::Arc;

/// How long a session lasts: 30 days at most, as NIST SP 800-63B asks of the lowest level (M); seven days without a request
/// (judgement: from one week's session to the next).
pub const LASTS: Lifetimes = Lifetimes { idle_ms: 7 * DAY_MS, whole_ms: 30 * DAY_MS };
const DAY_MS: i64 = 86_400_000;
/// Every how often it is written down that a session is in use (judgement: the disk need not hear of every request).
const GRAIN_MS: i64 = 5 * 60_000;
/// The prefix has the browser insist on a safe connection, on this host alone and on the whole of it.
pub const COOKIE: &str = "__Host-session";
/// By this a page says whose it is.
const ACCOUNT: &str = "x-account";

/// Lets through who may pass, and has it known who that is.
pub async fn pass(
    State((app, rules)): State<(App, Arc<RouteRules>)>,
    request: Request,
    next: Next,
) -> Response {
    let unit = units::of(request.headers());
    let for_program = request.uri().path().starts_with("/api/");
    let Some(sign_in) = app.sign_in() else {
        return through(request, next, Who::at_the_machine(), unit).await;
    };
    match admitted(sign_in, &rules, request).await {
        Ok(Admitted { request, who, form_token, view }) => {
            let answer = through(request, next, who, unit).await;
            if let Some(view) = view.filter(|_| answer.status().is_success()) {
                sign_in.saw(view).await;
            }
            match form_token {
                Some(form_token) => csrf::put(answer, &form_token).await,
                None => answer,
            }
        }
        Err(Turned::Elsewhere(to)) => Redirect::to(&to).into_response(),
        Err(Turned::Forgotten) => forgotten(for_program, unit),
        Err(Turned::No(fault)) if for_program => fault::ApiFault::from(fault).into_response(),
        Err(Turned::No(fault)) => fault.page(PageFrame::nobody(unit)),
    }
}

/// The answer to who asks; a refusal comes in the frame of their pages.
async fn through(mut request: Request, next: Next, who: Who, unit: MassUnit) -> Response {
    let frame = who.frame(unit);
    request.extensions_mut().insert(who);
    fault::framed(next.run(request).await, frame)
}

struct Admitted {
    request: Request,
    who: Who,
    form_token: Option<CsrfToken>,
    /// What will have been seen when it is answered.
    view: Option<View>,
}

enum Turned {
    Elsewhere(String),
    /// The session is of a client who was forgotten.
    Forgotten,
    No(Fault),
}

impl From<Fault> for Turned {
    fn from(fault: Fault) -> Self {
        Self::No(fault)
    }
}

async fn admitted(sign_in: &SignIn, rules: &RouteRules, request: Request) -> Result<Admitted, Turned> {
    let route = request.extensions().get::<MatchedPath>().map(|m| m.as_str().to_owned());
    let method = request.method().clone();
    let least = rules.least(&method, route.as_deref());
    let token = cookie(request.headers());
    let signed = match token.clone() {
        Some(token) if least != Least::Anybody => who_of(sign_in, token).await?,
        _ => None,
    };
    let Least::Role(needed) = least else {
        return Ok(Admitted { request, who: Who::nobody(), form_token: None, view: None });
    };
    let (account, token) = match (signed, token) {
        (Some(account), Some(token)) => (account, token),
        (None, Some(token)) if is_of_forgotten(sign_in, token.clone()).await? => {
            return Err(Turned::Forgotten);
        }
        _ => return Err(unsigned(&method, request.uri())),
    };
    let from = sign_in.from(request.extensions(), request.headers());
    let (role, second, id) = (account.role, account.second, account.id);
    let who = Who::with(sign_in, Signed { account, session: accounts::digest(&token), from });
    // A page of somebody else, still open when this one signed in: what it has is not taken in their name, and stays where it is.
    let meant = request.headers().get(ACCOUNT);
    if meant.is_some_and(|meant| who.account.is_none_or(|is| meant.as_bytes() != is.to_string().as_bytes())) {
        return Err(unsigned(&method, request.uri()));
    }
    if role < needed {
        return Err(below(&method, route.as_deref(), &who));
    }
    if second == SecondStep::Wanted && !is_of_own_account(route.as_deref()) {
        return Err(second_first(&method, request.uri()));
    }
    let view = view_of(&request, route.as_deref(), id, from).filter(|_| role > AccountRole::Client);
    let form_token = CsrfToken::of(&token);
    let writes = !matches!(method, Method::GET | Method::HEAD | Method::OPTIONS);
    let request = if writes { csrf::checked(request, &form_token, BODY_MOST).await? } else { request };
    Ok(Admitted { request, who, form_token: Some(form_token), view })
}

async fn who_of(sign_in: &SignIn, token: String) -> Result<Option<Account>, Fault> {
    sign_in
        .with_book(move |book| {
            let (now_ms, digest) = (book.now_ms(), accounts::digest(&token));
            book.accounts.session(digest, now_ms, LASTS, GRAIN_MS).map_err(|e| of_store(&e))
        })
        .await
}

async fn is_of_forgotten(sign_in: &SignIn, token: String) -> Result<bool, Fault> {
    sign_in
        .with_book(move |book| {
            book.accounts.is_of_forgotten(accounts::digest(&token)).map_err(|e| of_store(&e))
        })
        .await
}

/// What a device is told whose client was forgotten: the browser takes away all that these pages kept on it.
const CLEARED: &str = "\"cache\", \"cookies\", \"storage\"";

fn forgotten(for_program: bool, unit: MassUnit) -> Response {
    let what = "You were forgotten here, as was asked.";
    let fault = Fault::of(
        Code::ClientForgotten,
        what,
        "What this device kept is cleared. There is nothing left to sign in to.",
    );
    let mut answer = if for_program {
        fault::ApiFault::from(fault).into_response()
    } else {
        fault.page(PageFrame::nobody(unit))
    };
    answer.headers_mut().insert("clear-site-data", HeaderValue::from_static(CLEARED));
    answer
}

/// Nobody is signed in: a page leads to where one does, anything else says so.
fn unsigned(method: &Method, uri: &Uri) -> Turned {
    let path = uri.path();
    if *method == Method::GET && !path.starts_with("/api/") && !path.ends_with("/news") {
        let to = if path == "/" { "/login".to_owned() } else { format!("/login?to={path}") };
        return Turned::Elsewhere(to);
    }
    Fault::of(
        Code::NotSignedIn,
        "You are not signed in, or the session is over.",
        "Sign in at /login and do it again. What the floor page holds stays on the device until then.",
    )
    .into()
}

/// What somebody does with their own account, which they may before all else is in order.
fn is_of_own_account(route: Option<&str>) -> bool {
    route.is_some_and(|route| route == "/logout" || route == "/account" || route.starts_with("/account/"))
}

/// Their role has to have one-time codes, and they have none yet.
fn second_first(method: &Method, uri: &Uri) -> Turned {
    if *method == Method::GET && !uri.path().starts_with("/api/") && !uri.path().ends_with("/news") {
        return Turned::Elsewhere("/account/codes".to_owned());
    }
    let what = "Your account has to have one-time codes first.";
    Fault::of(Code::SecondStepFirst, what, "Set them up at /account/codes, then do it again.").into()
}

/// What whoever has this account sees on a page: a client, or all of them; none where nobody is seen.
fn view_of(request: &Request, route: Option<&str>, account: i64, from: IpAddr) -> Option<View> {
    let route = route.filter(|_| *request.method() == Method::GET)?;
    if matches!(route, "/" | "/advice" | "/api/v1/roster") {
        return Some(View { account, from, client: None });
    }
    let (before, _) = route.split_once("/clients/{id}")?;
    let after = request.uri().path().strip_prefix(before)?.strip_prefix("/clients/")?;
    let client = after.split('/').next()?.parse().ok()?;
    Some(View { account, from, client: Some(client) })
}

/// Somebody asks for what is another role's. A client who comes in by the front goes to their session, and from a link to the
/// page about them to their programme.
fn below(method: &Method, route: Option<&str>, who: &Who) -> Turned {
    let own = who.own.filter(|_| *method == Method::GET);
    let instead = match route {
        Some("/") => Some("floor"),
        Some("/clients/{id}") => Some("programme"),
        _ => None,
    };
    if let (Some(own), Some(instead)) = (own, instead) {
        return Turned::Elsewhere(format!("/clients/{own}/{instead}"));
    }
    Fault::of(
        Code::NotForThisRole,
        "This is another role's to see or do.",
        "Ask your coach, or whoever keeps the accounts.",
    )
    .into()
}

/// The session that a browser shows.
pub fn cookie(headers: &HeaderMap) -> Option<String> {
    let texts = headers.get_all(header::COOKIE).into_iter().filter_map(|h| h.to_str().ok());
    let mut pairs = texts.flat_map(|text| text.split(';')).filter_map(|pair| pair.trim().split_once('='));
    pairs.find(|(name, _)| *name == COOKIE).map(|(_, value)| value.to_owned())
}
