//! Who comes. On the machine itself it is whoever sits at it; over a network, somebody who signed in, and nobody gets past here
//! who did not. What each may see and write is the service's to decide: this only says who asks.

mod rules;
mod seal;
mod sign;
mod throttle;

use super::app::{App, held};
use super::fault::{self, Fault};
use super::{BODY_MOST, layout};
use crate::files::problem::{self, Problem};
use crate::ids;
use crate::service::ledger::of_store;
use crate::service::people::May;
use crate::service::people::accounts::{self, Book};
use axum::extract::{MatchedPath, Request, State};
use axum::http::{HeaderMap, Method, StatusCode, Uri, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use rules::Least;
use setwright_model::ledger::{Actor, ClientId};
use setwright_store::{Account, AccountRole, Lasts};
use std::sync::{Arc, Mutex};
use throttle::Throttle;
use tokio::sync::Semaphore;

pub use sign::routes;

/// How long a session lasts: 30 days at most, as NIST SP 800-63B asks of the lowest level (M); seven days without a request
/// (judgement: from one week's session to the next).
const LASTS: Lasts = Lasts { idle_ms: 7 * DAY_MS, whole_ms: 30 * DAY_MS };
const DAY_MS: i64 = 86_400_000;
/// Every how often it is written down that a session is in use (judgement: the disk need not hear of every request).
const GRAIN_MS: i64 = 5 * 60_000;
/// Passwords that are reckoned at once: each takes 19 MiB and a core (judgement).
const HASHES_AT_ONCE: usize = 2;
/// The prefix has the browser insist on a safe connection, on this host alone and on the whole of it.
const COOKIE: &str = "__Host-session";

tokio::task_local! {
    static WHO: Who;
}

/// Who asks.
#[derive(Clone)]
pub struct Who {
    /// What they may see and write.
    pub may: May,
    /// In what name they write.
    pub actor: Actor,
    /// Their role, when they signed in.
    pub role: Option<AccountRole>,
    /// The client, when that is who it is.
    own: Option<ClientId>,
}

impl Who {
    fn at_the_machine() -> Self {
        Self { may: May::everything(), actor: Actor::COACH, role: None, own: None }
    }

    fn nobody() -> Self {
        Self { may: May::nothing(), ..Self::at_the_machine() }
    }

    fn with(app: &App, account: &Account) -> Self {
        let (app, id) = (app.clone(), account.id);
        let adopt = Arc::new(move |client| match app.door() {
            Some(door) => held(&door.book).accounts.give(id, client).map_err(|e| of_store(&e)),
            None => Ok(()),
        });
        let (may, actor) = accounts::standing(account, adopt);
        let own = account.clients.first().copied().filter(|_| account.role == AccountRole::Client);
        Self { may, actor, role: Some(account.role), own }
    }
}

/// Who asks for what is being answered. Outside of any request it is nobody, who may nothing.
pub fn here() -> Who {
    WHO.try_with(Who::clone).unwrap_or_else(|_| Who::nobody())
}

/// Does something on another thread for who asks.
pub fn within<T>(who: Who, work: impl FnOnce() -> T) -> T {
    WHO.sync_scope(who, work)
}

/// The way in from a network.
pub struct Door {
    book: Mutex<Book>,
    throttle: Throttle,
    hashing: Semaphore,
}

impl Door {
    /// A way in for those who have an account.
    ///
    /// # Errors
    /// There is no chance to be had from the system.
    pub fn new(book: Book) -> Result<Self, Problem> {
        let throttle = Throttle::new(ids::secret()?);
        Ok(Self { book: Mutex::new(book), throttle, hashing: Semaphore::new(HASHES_AT_ONCE) })
    }
}

/// Does something with the accounts, on a thread that may wait for the disk.
async fn at_door<T: Send + 'static>(
    app: &App,
    work: impl FnOnce(&mut Book) -> Result<T, Problem> + Send + 'static,
) -> Result<T, Fault> {
    let app = app.clone();
    let done = tokio::task::spawn_blocking(move || match app.door() {
        Some(door) => work(&mut held(&door.book)),
        None => Err(Problem::new(problem::INTERNAL, "There are no accounts here.", "Nobody signs in here.")),
    });
    done.await.map_err(|_| Fault::internal())?.map_err(Fault::from)
}

/// Lets through whoever may pass, and says who it is to what answers.
pub async fn pass(State(app): State<App>, request: Request, next: Next) -> Response {
    if app.door().is_none() {
        return WHO.scope(Who::at_the_machine(), next.run(request)).await;
    }
    let for_program = request.uri().path().starts_with("/api/");
    match admitted(&app, request).await {
        Ok(Admitted { request, who, seal }) => {
            let answer = WHO.scope(who, next.run(request)).await;
            match seal {
                Some(seal) => seal::put(answer, &seal).await,
                None => answer,
            }
        }
        Err(refusal) => match refusal {
            Refusal::Elsewhere(to) => Redirect::to(&to).into_response(),
            Refusal::No(fault) if for_program => fault::ApiFault::from(fault).into_response(),
            Refusal::No(fault) => WHO.scope(Who::nobody(), async { fault.into_response() }).await,
        },
    }
}

struct Admitted {
    request: Request,
    who: Who,
    seal: Option<String>,
}

enum Refusal {
    Elsewhere(String),
    No(Fault),
}

impl From<Fault> for Refusal {
    fn from(fault: Fault) -> Self {
        Self::No(fault)
    }
}

async fn admitted(app: &App, request: Request) -> Result<Admitted, Refusal> {
    let route = request.extensions().get::<MatchedPath>().map(|m| m.as_str().to_owned());
    let method = request.method().clone();
    let least = rules::least(&method, route.as_deref());
    let token = cookie(request.headers());
    let signed = match token.clone() {
        Some(token) if least != Least::Anybody => who_of(app, token).await?,
        _ => None,
    };
    let Least::Role(needed) = least else {
        return Ok(Admitted { request, who: Who::nobody(), seal: None });
    };
    let (Some(account), Some(token)) = (signed, token) else {
        return Err(unsigned(&method, request.uri()));
    };
    let who = Who::with(app, &account);
    if account.role < needed {
        return Err(below(&method, route.as_deref(), &who));
    }
    let seal = seal::of(&token);
    let writes = !matches!(method, Method::GET | Method::HEAD | Method::OPTIONS);
    let request = if writes { seal::checked(request, &seal, BODY_MOST).await? } else { request };
    Ok(Admitted { request, who, seal: Some(seal) })
}

async fn who_of(app: &App, token: String) -> Result<Option<Account>, Fault> {
    at_door(app, move |book| {
        let (now_ms, digest) = (book.now_ms(), accounts::digest(&token));
        book.accounts.session(digest, now_ms, LASTS, GRAIN_MS).map_err(|e| of_store(&e))
    })
    .await
}

/// Nobody is signed in: a page leads to where one does, anything else says so.
fn unsigned(method: &Method, uri: &Uri) -> Refusal {
    let path = uri.path();
    if *method == Method::GET && !path.starts_with("/api/") && !path.ends_with("/news") {
        let to = if path == "/" { "/login".to_owned() } else { format!("/login?to={path}") };
        return Refusal::Elsewhere(to);
    }
    Fault::of(
        StatusCode::UNAUTHORIZED,
        problem::NOT_SIGNED_IN,
        "You are not signed in, or the session is over.",
        "Sign in at /login and do it again. What the floor page holds stays on the device until then.",
    )
    .into()
}

/// Somebody asks for what is another role's. A client who comes in by the front goes to their session, and from a link to the
/// page about them to their programme.
fn below(method: &Method, route: Option<&str>, who: &Who) -> Refusal {
    let own = who.own.filter(|_| *method == Method::GET);
    let instead = match route {
        Some("/") => Some("floor"),
        Some("/clients/{id}") => Some("programme"),
        _ => None,
    };
    if let (Some(own), Some(instead)) = (own, instead) {
        return Refusal::Elsewhere(format!("/clients/{own}/{instead}"));
    }
    Fault::of(
        StatusCode::FORBIDDEN,
        problem::NOT_FOR_THIS_ROLE,
        "This is another role's to see or do.",
        "Ask your coach, or whoever keeps the accounts.",
    )
    .into()
}

/// The session that a browser shows.
fn cookie(headers: &HeaderMap) -> Option<String> {
    let texts = headers.get_all(header::COOKIE).into_iter().filter_map(|h| h.to_str().ok());
    let mut pairs = texts.flat_map(|text| text.split(';')).filter_map(|pair| pair.trim().split_once('='));
    pairs.find(|(name, _)| *name == COOKIE).map(|(_, value)| value.to_owned())
}

/// A page for who is not signed in.
fn bare(title: &str, content: &maud::Markup) -> maud::Markup {
    layout::page(title, None, content)
}
