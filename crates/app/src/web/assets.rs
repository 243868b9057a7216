//! Files that pages load: built into the program, named by what is in them so that a browser may keep them for ever.

use super::app::App;
use axum::Router;
use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use std::sync::LazyLock;

const CSS: &str = include_str!("assets/page.css");
const JS: &str = include_str!("assets/page.js");

static CSS_PATH: LazyLock<String> = LazyLock::new(|| format!("/assets/{}.css", fingerprint(CSS)));
static JS_PATH: LazyLock<String> = LazyLock::new(|| format!("/assets/{}.js", fingerprint(JS)));

/// Where the style is.
pub fn css() -> &'static str {
    &CSS_PATH
}

/// Where the script is.
pub fn js() -> &'static str {
    &JS_PATH
}

fn fingerprint(text: &str) -> String {
    setwright_store::sha256(&[text.as_bytes()]).to_string().chars().take(16).collect()
}

pub fn routes() -> Router<App> {
    Router::new().route("/assets/{name}", get(file))
}

async fn file(Path(name): Path<String>) -> Response {
    let path = format!("/assets/{name}");
    let (kind, text) = match path.as_str() {
        p if p == css() => ("text/css; charset=utf-8", CSS),
        p if p == js() => ("text/javascript; charset=utf-8", JS),
        _ => return StatusCode::NOT_FOUND.into_response(),
    };
    ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "public, max-age=31536000, immutable")], text)
        .into_response()
}
