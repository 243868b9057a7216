//! The workbench: pages served to a browser, on this machine or over a network.
//!
//! A request passes `gate`, which keeps strangers out and says who asks; a handler takes an `app::Visit` and asks a use case of
//! `setwright_coaching` in a unit of work. Pages are in modules as a coach meets them: `account`, `roster`, `client`, `programme`, `edit`,
//! `floor`, `audit`, `exercises`, `help`; what programs ask is in `api`. Modules know each other in one direction: `http` knows none of
//! them, `page` (frame, files, refusals in words) and `sign_in` know `http`, `app` knows these, and a page knows `app`.
//!
//! Invariant: HTTP and nothing else. It adds no rule of its own and reads no clock.

mod account;
mod api;
mod app;
mod audit;
mod client;
mod edit;
mod exercises;
mod floor;
mod gate;
mod help;
mod http;
mod page;
mod programme;
mod roster;
mod sign_in;

use axum::extract::DefaultBodyLimit;
use axum::middleware;
use axum::{Extension, Router};
use http::limits::{ANSWER_S, BODY_MOST, CONNECTION};
use http::routes::Pages;
use http::timeouts::ConnectionTimeouts;
use page::{assets, units};
use schemars::Schema;
use setwright_coaching::ledger::of_store;
use setwright_coaching::machine::Machine;
use setwright_coaching::people::accounts::Book;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_store::Opening;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::TimeoutLayer;
use tracing::warn;

pub use app::App;
pub use gate::LASTS;
pub use http::proxy::{AddressHeader, Proxies};
pub use http::tls::Listen;
pub use http::{log, timeouts, tls};
pub use page::fault;
pub use sign_in::SignIn;

/// Every how many seconds it is seen whether the ledger rests (judgement: soon after a session, and seldom enough not to be felt).
const SETTLE_S: u64 = 5;

/// Every page behind its guards.
pub fn router(app: App) -> Router {
    let pages = pages();
    let asks = pages.asks();
    let (pages, rules) = pages.parts();
    pages
        .fallback(fault::not_found)
        .method_not_allowed_fallback(fault::not_allowed)
        .layer(Extension(asks))
        .layer(DefaultBodyLimit::max(BODY_MOST))
        .layer(middleware::from_fn_with_state((app.clone(), Arc::new(rules)), gate::pass))
        .layer(TimeoutLayer::with_status_code(
            axum::http::StatusCode::SERVICE_UNAVAILABLE,
            Duration::from_secs(ANSWER_S),
        ))
        .layer(middleware::from_fn(fault::clear))
        .layer(middleware::from_fn_with_state(app.clone(), gate::guard::keep))
        .layer(CompressionLayer::new())
        .with_state(app)
}

/// Methods and paths under `/api/v1` that are described.
pub fn described() -> Vec<(&'static str, &'static str)> {
    pages().asks().iter().map(|ask| (ask.method, ask.path)).collect()
}

/// The interface under `/api/v1` as OpenAPI 3.1, made of what stands beside the handlers.
pub fn api_description() -> Schema {
    http::openapi::document(&pages().asks(), gate::COOKIE)
}

/// Every page with who may ask for it, in the order in which a coach meets them.
fn pages() -> Pages<App> {
    Pages::new()
        .merge(account::routes())
        .merge(roster::routes())
        .merge(roster::advice::routes())
        .merge(client::routes())
        .merge(programme::routes())
        .merge(programme::making::routes())
        .merge(edit::routes())
        .merge(floor::routes())
        .merge(audit::routes())
        .merge(exercises::routes())
        .merge(help::routes())
        .merge(api::routes())
        .merge(units::routes())
        .merge(assets::routes())
}

/// Serves the ledger on this machine until it is told to stop. `begun` hears the address once it answers.
///
/// # Errors
/// A ledger that cannot be opened, or a port that is taken.
pub fn serve(ledger: &Path, port: u16, machine: Machine, begun: impl FnOnce(&str)) -> Result<(), Refusal> {
    let app = App::open(ledger, machine)?;
    app.practice().project_all()?;
    runtime(port)?.block_on(async {
        let at = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
        let listener = TcpListener::bind(at).await.map_err(|e| cannot_serve(port, &e))?;
        let bound = listener.local_addr().map_err(|e| cannot_serve(port, &e))?;
        begun(&format!("http://{bound}/"));
        let pages = log::refusals(router(app.clone()));
        tokio::spawn(settling(app.clone()));
        axum::serve(ConnectionTimeouts::new(listener, CONNECTION), pages)
            .with_graceful_shutdown(told_to_stop(app.clone()))
            .await
            .map_err(|e| cannot_serve(port, &e))
    })?;
    app.close();
    Ok(())
}

/// Serves the ledger to a network, over safe connections and to those who have an account, until it is told to stop.
///
/// # Errors
/// As for [`serve`]; or there is no account, or no certificate that can be used.
pub fn serve_network(
    ledger: &Path,
    how: &Listen,
    machine: Machine,
    begun: impl FnOnce(&str),
) -> Result<(), Refusal> {
    let mut book = Book::open(ledger, Opening::Existing, &machine)?;
    if book.accounts.all().map_err(|e| of_store(&e))?.iter().all(|account| account.disabled) {
        let hint = "setwright account add NAME --role owner adds the first.";
        return Err(Refusal::new(Code::CannotServe, "There is no account that is open.", hint));
    }
    let app = App::open(ledger, machine)?.with_sign_in(SignIn::new(book)?.behind(how.proxies.clone()));
    app.practice().project_all()?;
    runtime(how.at.port())?.block_on(async {
        let listener = tls::listen(how).await?;
        let bound =
            axum::serve::Listener::local_addr(&listener).map_err(|e| cannot_serve(how.at.port(), &e))?;
        begun(&format!("https://{bound}/"));
        let pages = log::refusals(router(app.clone()));
        let pages = pages.into_make_service_with_connect_info::<tls::Peer>();
        let listener = ConnectionTimeouts::new(listener, CONNECTION).behind(how.proxies.clone());
        tokio::spawn(settling(app.clone()));
        let served = axum::serve(listener, pages).with_graceful_shutdown(told_to_stop(app.clone()));
        served.await.map_err(|e| cannot_serve(how.at.port(), &e))
    })?;
    app.close();
    Ok(())
}

fn runtime(port: u16) -> Result<tokio::runtime::Runtime, Refusal> {
    let mut builder = tokio::runtime::Builder::new_multi_thread();
    builder.worker_threads(2).enable_all().build().map_err(|e| cannot_serve(port, &e))
}

fn cannot_serve(port: u16, error: &std::io::Error) -> Refusal {
    Refusal::new(
        Code::CannotServe,
        format!("Pages cannot be served on port {port}: {error}."),
        "Give another port with --port, or 0 for any that is free.",
    )
}

/// Puts what rests into the files themselves, for as long as the program runs. Says once that it cannot be done, not at every look.
async fn settling(app: App) {
    let mut is_failing = false;
    loop {
        tokio::time::sleep(Duration::from_secs(SETTLE_S)).await;
        let app = app.clone();
        let Ok(done) = tokio::task::spawn_blocking(move || app.settle()).await else { continue };
        if let Err(refusal) = &done
            && !is_failing
        {
            warn!(code = %refusal.code, "ledger or accounts cannot be written; tried again every few seconds");
        }
        is_failing = done.is_err();
    }
}

/// Waits for Ctrl-C, or for the system's word to end. What was written is put into the files before answers that are under way are waited
/// for: whoever sent the word may not wait that long.
async fn told_to_stop(app: App) {
    let (told, mut heard) = tokio::sync::mpsc::channel(1);
    let of_the_system = told.clone();
    tokio::spawn(async move {
        let _ = tokio::signal::ctrl_c().await;
        let _ = told.send(()).await;
    });
    #[cfg(unix)]
    tokio::spawn(async move {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut end) = signal(SignalKind::terminate()) {
            let _ = end.recv().await;
            let _ = of_the_system.send(()).await;
        }
    });
    #[cfg(not(unix))]
    drop(of_the_system);
    let _ = heard.recv().await;
    let _ = tokio::task::spawn_blocking(move || app.checkpoint()).await;
}
