//! The catalogue: found by words.

use crate::app::{App, Visit};
use crate::http::routes::{CLIENT, Pages};
use crate::page::formats;
use axum::extract::Query as Asked;
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::search::{self, Query, Sort};
use setwright_gym::catalogue::builtin;

/// Exercises on the page at once.
const SHOWN: usize = 60;

pub fn routes() -> Pages<App> {
    Pages::new().get(CLIENT, "/exercises", show)
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Words {
    words: String,
}

async fn show(visit: Visit, Asked(asked): Asked<Words>) -> Markup {
    let query = Query {
        words: asked.words.clone(),
        muscles: Vec::new(),
        stations: Vec::new(),
        patterns: Vec::new(),
        place: None,
        skill_most: None,
        sort: Sort::Value,
    };
    let found = search::search(builtin(), &query);
    let shown = found.exercises.iter().take(SHOWN);
    visit.page(
        "Exercises",
        Some("/exercises"),
        &html! {
            h1 { "Exercises" }
            form method="get" { label { "Words " input type="search" name="words" value=(asked.words) autocomplete="off"; } button { "Find" } }
            @if found.exercises.is_empty() {
                p { "Nothing in the catalogue fits." @if !found.near.is_empty() { " Did you mean " (found.near.join(", or ")) "?" } }
            } @else {
                p class="soft" { (formats::count(found.exercises.len(), "exercise")) ", the most sets a minute first." }
                div class="scroll" { table {
                    thead { tr { th { "Exercise" } th { "Trains" } th { "Half" } th { "With" } th class="n" { "Sets a minute" } } }
                    tbody { @for e in shown { tr {
                        td { (e.name) } td { (e.trains()) } td { (e.half.join(", ")) } td { (e.station_names.join(", ")) }
                        td class="n" { (formats::number(e.sets_per_minute, 2)) }
                    } } }
                } }
            }
        },
    )
}
