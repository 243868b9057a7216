//! The workbench: pages served to a browser on this machine. One module a page; `app` holds what they share, `guard` keeps
//! strangers out, `layout` frames a page, `formats` writes dates and loads.
//!
//! It adds no rule of its own: a page asks a use case of `service` and shows what it answers. Code of the use cases waits for
//! the disk, so it runs on threads of its own.

mod advice;
mod api;
mod app;
mod assets;
mod audit;
mod brief;
mod client;
mod compare;
mod edit;
mod exercises;
mod fault;
mod floor;
mod formats;
mod guard;
mod help;
mod layout;
mod ledger;
mod making;
mod newcomer;
mod print;
mod programme;
mod reckoned;
mod reckoner;
mod review;
mod roster;
mod units;
mod work;

use crate::clock::Wall;
use crate::files::problem::{self, Problem};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::time::Duration;
use tokio::net::TcpListener;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::TimeoutLayer;

pub use app::App;

/// Most bytes of a request: a sheet of a few thousand lines (judgement).
const BODY_MOST: usize = 2 * 1024 * 1024;
/// Seconds after which a request is given up (judgement: planning takes a few).
const ANSWER_S: u64 = 60;

/// Every page behind its guards.
pub fn router(app: App) -> Router {
    let pages = Router::new()
        .merge(roster::routes())
        .merge(client::routes())
        .merge(advice::routes())
        .merge(newcomer::routes())
        .merge(programme::routes())
        .merge(print::routes())
        .merge(edit::routes())
        .merge(brief::routes())
        .merge(making::routes())
        .merge(ledger::routes())
        .merge(review::routes())
        .merge(audit::routes())
        .merge(floor::routes())
        .merge(api::routes())
        .merge(exercises::routes())
        .merge(help::routes())
        .merge(units::routes())
        .merge(assets::routes())
        .fallback(fault::not_found)
        .method_not_allowed_fallback(fault::not_allowed);
    pages
        .layer(DefaultBodyLimit::max(BODY_MOST))
        .layer(middleware::from_fn(units::answered))
        .layer(middleware::from_fn_with_state(app.clone(), guard::keep))
        .layer(TimeoutLayer::with_status_code(
            axum::http::StatusCode::SERVICE_UNAVAILABLE,
            Duration::from_secs(ANSWER_S),
        ))
        .layer(CompressionLayer::new())
        .with_state(app)
}

/// Serves the ledger on this machine until it is told to stop. `begun` hears the address once it answers.
///
/// # Errors
/// A ledger that cannot be opened, or a port that is taken.
pub fn serve(ledger: &Path, port: u16, wall: Wall, begun: impl FnOnce(&str)) -> Result<(), Problem> {
    let app = App::open(ledger, wall)?;
    app.reckon_all()?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|e| cannot_serve(port, &e))?;
    runtime.block_on(async {
        let at = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
        let listener = TcpListener::bind(at).await.map_err(|e| cannot_serve(port, &e))?;
        let bound = listener.local_addr().map_err(|e| cannot_serve(port, &e))?;
        begun(&format!("http://{bound}/"));
        axum::serve(listener, router(app.clone()))
            .with_graceful_shutdown(told_to_stop())
            .await
            .map_err(|e| cannot_serve(port, &e))
    })?;
    app.close();
    Ok(())
}

fn cannot_serve(port: u16, error: &std::io::Error) -> Problem {
    Problem::new(
        problem::CANNOT_SERVE,
        format!("Pages cannot be served on port {port}: {error}."),
        "Give another port with --port, or 0 for any that is free.",
    )
}

async fn told_to_stop() {
    let _ = tokio::signal::ctrl_c().await;
}
