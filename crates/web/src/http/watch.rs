//! What is refused is told in one line: when, status, code, method and the pattern of the page. Never a name, an identifier or
//! anything that was sent.

use axum::Router;
use axum::extract::{MatchedPath, Request, State};
use axum::middleware::{self, Next};
use axum::response::Response;
use setwright_coaching::clock::Wall;
use setwright_model::code::Code;
use std::sync::Arc;

/// Hears every line.
pub type Tell = Arc<dyn Fn(&str) + Send + Sync>;

#[derive(Clone)]
struct Book {
    wall: Wall,
    tell: Tell,
}

/// Pages whose refusals are told.
pub fn told(pages: Router, wall: Wall, tell: Tell) -> Router {
    pages.layer(middleware::from_fn_with_state(Book { wall, tell }, listen))
}

async fn listen(State(book): State<Book>, request: Request, next: Next) -> Response {
    // A method of somebody's own making is text that was sent.
    let method = match request.method().as_str() {
        known @ ("GET" | "HEAD" | "POST" | "PUT" | "DELETE" | "OPTIONS" | "PATCH") => known.to_owned(),
        _ => "other".to_owned(),
    };
    let page = request.extensions().get::<MatchedPath>().map(|p| p.as_str().to_owned());
    let answer = next.run(request).await;
    let status = answer.status();
    if status.is_client_error() || status.is_server_error() {
        let code = answer.extensions().get::<Code>().map_or("-", |code| code.as_str());
        let page = page.as_deref().unwrap_or("(no page)");
        (book.tell)(&format!("{} refused {} {code} {method} {page}", book.wall.now(), status.as_u16()));
    }
    answer
}
