//! What a server says to its log: a message that reads alone, and named fields. `docs/log-lines.md` has the conventions, and what is never
//! in it: a name, an identifier, or anything that was sent. Where lines go is decided by whoever makes a [`Dispatch`].

use axum::Router;
use axum::extract::{MatchedPath, Request};
use axum::http::{Method, StatusCode};
use axum::middleware::{self, Next};
use axum::response::Response;
use setwright_coaching::clock::Wall;
use setwright_model::code::Code;
use std::fmt;
use tracing::level_filters::LevelFilter;
use tracing::{Dispatch, error, info};
use tracing_subscriber::filter::Targets;
use tracing_subscriber::fmt::format::Writer;
use tracing_subscriber::fmt::time::FormatTime;
use tracing_subscriber::fmt::{MakeWriter, layer};
use tracing_subscriber::layer::{Layer, SubscriberExt};

/// What the names of our crates begin with: lines of libraries would hold what we do not know.
const OURS: &str = "setwright";

/// The moment of a line, from the clock that was handed in.
struct Moments(Wall);

impl FormatTime for Moments {
    fn format_time(&self, to: &mut Writer<'_>) -> fmt::Result {
        write!(to, "{}", self.0.now())
    }
}

/// Writes our own lines, from `INFO` on: moment, level, message, fields.
pub fn lines<W>(wall: Wall, to: W) -> Dispatch
where
    W: for<'w> MakeWriter<'w> + Send + Sync + 'static,
{
    let ours = Targets::new().with_target(OURS, LevelFilter::INFO);
    // A reader that has gone away is no error.
    let lines =
        layer().with_timer(Moments(wall)).with_target(false).with_ansi(false).log_internal_errors(false);
    Dispatch::new(tracing_subscriber::registry().with(lines.with_writer(to).with_filter(ours)))
}

/// Pages that say what they refuse.
pub fn refusals(pages: Router) -> Router {
    pages.layer(middleware::from_fn(listen))
}

async fn listen(request: Request, next: Next) -> Response {
    let method = known(request.method());
    let page = request.extensions().get::<MatchedPath>().cloned();
    let answer = next.run(request).await;
    let page = page.as_ref().map_or("none", MatchedPath::as_str);
    let code = answer.extensions().get::<Code>().map_or("none", |code| code.as_str());
    say(answer.status(), code, method, page);
    answer
}

/// A method of somebody's own making is text that was sent.
fn known(method: &Method) -> &'static str {
    const KNOWN: [&str; 7] = ["GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PATCH"];
    KNOWN.into_iter().find(|known| *known == method.as_str()).unwrap_or("other")
}

fn say(status: StatusCode, code: &str, method: &str, page: &str) {
    let number = status.as_u16();
    if status.is_server_error() {
        error!(status = number, %code, %method, %page, "request failed");
    } else if status.is_client_error() {
        info!(status = number, %code, %method, %page, "request refused");
    }
}
