//! Files that pages load: built into the program, named by what is in them so that a browser may keep them for ever.

use crate::http::routes::{ANYBODY, Pages};
use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use std::sync::LazyLock;

/// A file of the pages.
struct Asset {
    name: &'static str,
    kind: &'static str,
    path: String,
    text: String,
}

/// Name and text. A script comes after those that it imports, so that their paths are known when its own is made.
const FILES: [(&str, &str); 14] = [
    ("page.css", include_str!("assets/page.css")),
    ("floor.css", include_str!("assets/floor.css")),
    ("editor.js", include_str!("assets/editor.js")),
    ("chosen.js", include_str!("assets/chosen.js")),
    ("node.js", include_str!("assets/node.js")),
    ("time.js", include_str!("assets/time.js")),
    ("outbox.js", include_str!("assets/outbox.js")),
    ("page.js", include_str!("assets/page.js")),
    ("course.js", include_str!("assets/course.js")),
    ("bar.js", include_str!("assets/bar.js")),
    ("dial.js", include_str!("assets/dial.js")),
    ("session.js", include_str!("assets/session.js")),
    ("sheets.js", include_str!("assets/sheets.js")),
    ("floor.js", include_str!("assets/floor.js")),
];
/// Files of the pages that are used with the network; a device on the floor keeps all others, so that a session goes on without reception.
const NEEDS_THE_NETWORK: [&str; 4] = ["page.css", "page.js", "editor.js", "chosen.js"];
const SCRIPT: &str = "text/javascript; charset=utf-8";
/// Keeps the floor page for when there is no reception. Its address must stay the same.
const WORKER: &str = include_str!("assets/worker.js");

static ASSETS: LazyLock<Vec<Asset>> = LazyLock::new(|| {
    let mut assets: Vec<Asset> = Vec::with_capacity(FILES.len());
    for (name, text) in FILES {
        let text = assets.iter().fold(text.to_owned(), |text, known| {
            text.replace(&format!("./{}\"", known.name), &format!("{}\"", known.path))
        });
        let (stem, ending) = name.split_once('.').unwrap_or((name, "txt"));
        let path = format!("/assets/{stem}-{}.{ending}", fingerprint(&text));
        let kind = if ending == "css" { "text/css; charset=utf-8" } else { SCRIPT };
        assets.push(Asset { name, kind, path, text });
    }
    assets
});

static WORKER_TEXT: LazyLock<String> = LazyLock::new(|| {
    let of_the_floor = ASSETS.iter().filter(|a| !NEEDS_THE_NETWORK.contains(&a.name));
    let kept: Vec<&str> = of_the_floor.map(|a| a.path.as_str()).collect();
    let names = serde_json::to_string(&kept).unwrap_or_default();
    WORKER.replace("\"KEPT\"", &names).replace("VERSION", &fingerprint(&names))
});

/// Where a file is.
pub fn path(name: &str) -> &'static str {
    ASSETS.iter().find(|a| a.name == name).map_or("", |a| a.path.as_str())
}

fn fingerprint(text: &str) -> String {
    setwright_store::sha256(&[text.as_bytes()]).to_string().chars().take(16).collect()
}

/// The routes of the files.
pub fn routes<S: Clone + Send + Sync + 'static>() -> Pages<S> {
    Pages::new().get(ANYBODY, "/assets/{name}", file).get(ANYBODY, "/worker.js", worker)
}

async fn file(Path(name): Path<String>) -> Response {
    let path = format!("/assets/{name}");
    let Some(asset) = ASSETS.iter().find(|a| a.path == path) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let for_ever = "public, max-age=31536000, immutable";
    ([(header::CONTENT_TYPE, asset.kind), (header::CACHE_CONTROL, for_ever)], asset.text.as_str())
        .into_response()
}

async fn worker() -> Response {
    ([(header::CONTENT_TYPE, SCRIPT), (header::CACHE_CONTROL, "no-cache")], WORKER_TEXT.as_str())
        .into_response()
}
