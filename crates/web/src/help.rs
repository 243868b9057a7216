//! Help: how a day goes, and what codes and constants mean, each with its source.

use crate::app::{App, Visit};
use crate::http::routes::{CLIENT, Pages};
use axum::extract::Query;
use maud::{Markup, html};
use serde::Deserialize;
use setwright_present::explain;

pub fn routes() -> Pages<App> {
    Pages::new().get(CLIENT, "/help", show)
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Asked {
    topic: String,
}

async fn show(visit: Visit, Query(asked): Query<Asked>) -> Markup {
    let topic = (!asked.topic.trim().is_empty()).then(|| explain::find(&asked.topic));
    visit.page(
        "Help",
        Some("/help"),
        &html! {
            h1 { "Help" }
            @match &topic {
                Some(Ok(topic)) => section {
                    h2 { (topic.name) ": " (topic.title) }
                    @if let Some(value) = &topic.value { p { (value) } }
                    p { (topic.why) }
                    p class="soft" { "Source: " (topic.source) }
                },
                Some(Err(problem)) => { p { (problem.what) " " (problem.hint) } }
                None => {}
            }
            section {
                h2 { "A day" }
                ol {
                    li { "The roster says who needs a decision and why." }
                    li { "A new client takes one page: who, time and place, lifts, the questions before training. The programme is planned and checked at once." }
                    li { "A programme's lanes show each session in time: solid is work, hollow rest, pale warm-up; two lanes of a block are done in turn." }
                    li { "What was done goes into the ledger; the client's page then says what recovers how fast and how sure that is." }
                    li { "Advice is a letter: what, why, how sure. What you answer is kept." }
                }
            }
            section {
                h2 { "What a code or a number means" }
                form method="get" { label { "Code or constant " input name="topic" value=(asked.topic) autocomplete="off" list="topics"; } button { "Explain" } }
                datalist id="topics" { @for topic in explain::all() { option value=(topic.name) {} } }
            }
        },
    )
}
