//! The floor page: today's session on a phone. The page brings everything with it; its script does the rest, and works
//! without reception.

use super::app::App;
use super::fault::Fault;
use super::{formats, layout};
use crate::service::floor::{self, Card, FloorBlock, FloorView};
use axum::Router;
use axum::extract::{Path, State};
use axum::routing::get;
use maud::{Markup, html};
use setwright_science::catalogue::builtin;

pub fn routes() -> Router<App> {
    Router::new().route("/clients/{id}/floor", get(show))
}

async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, Fault> {
    let view = app
        .at_desk(move |desk, app| {
            let client = desk.client(&id)?;
            floor::floor(desk, client, |desk, client, before| app.believed(desk, client, before), builtin())
        })
        .await?;
    let data = serde_json::to_string(&view).map_err(|_| Fault::internal())?;
    Ok(layout::bare(&view.name, &page(&view, &data)))
}

/// What is seen before the script runs, or without it: the session as a list.
fn page(view: &FloorView, data: &str) -> Markup {
    html! {
        main id="floor" data-floor=(data) {
            h1 { (view.name) ", session " (view.number) ", " (view.focus) }
            p { (formats::number(view.minutes, 0)) " minutes." }
            @for block in &view.blocks { (listed(block)) }
            p { (view.caution) }
            p { a href={ "/clients/" (view.client) } { "To the client's page" } }
        }
    }
}

fn listed(block: &FloorBlock) -> Markup {
    html! {
        h2 { "Block " (block.letter) }
        ul { @for lane in &block.lanes { li { (target(&lane.card)) } } }
    }
}

fn target(card: &Card) -> String {
    let load = card.rung.and_then(|r| card.ladder.get(r));
    let load = load.map_or_else(String::new, |r| {
        format!(" at {}", crate::units::load(setwright_model::Kilograms(r.kg)))
    });
    let [low, high] = card.reps;
    format!("{}: {} sets of {low} to {high}{load}, {} in reserve", card.name, card.sets, card.rir)
}
