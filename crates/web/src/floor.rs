//! The floor page: today's session on a phone. The page brings everything with it; its script does the rest, and works
//! without reception.

use crate::app::{App, Visit};
use crate::http::routes::{CLIENT, Pages};
use crate::page::fault::Fault;
use crate::page::formats;
use axum::extract::Path;
use maud::{Markup, html};
use setwright_gym::catalogue::builtin;
use setwright_model::MassUnit;
use setwright_present::floor::{self, Card, FloorBlock, FloorView};

pub fn routes() -> Pages<App> {
    Pages::new().get(CLIENT, "/clients/{id}/floor", show)
}

/// Today's session of a client, for the page and for a device that asks again.
pub async fn view(visit: &Visit, id: String) -> Result<FloorView, Fault> {
    visit
        .with_ledger(move |uow, visit| {
            let client = uow.client(&id)?;
            floor::floor(
                uow,
                client,
                |uow, client, before| visit.practice().believed(uow, client, before),
                builtin(),
            )
        })
        .await
}

async fn show(visit: Visit, Path(id): Path<String>) -> Result<Markup, Fault> {
    let view = view(&visit, id).await?;
    let data = serde_json::to_string(&view).map_err(|_| Fault::internal())?;
    Ok(visit.frame().bare(&view.name, &page(&view, &data, visit.unit())))
}

/// What is seen before the script runs, or without it: the session as a list.
fn page(view: &FloorView, data: &str, unit: MassUnit) -> Markup {
    html! {
        main id="floor" data-floor=(data) {
            h1 { (view.name) ", session " (view.number) ", " (view.focus) }
            p { (formats::number(view.minutes, 0)) " minutes." }
            @for line in &view.left_out { p { (line) } }
            @for block in &view.blocks { (listed(block, unit)) }
            p { (view.caution) }
            p { a href={ "/clients/" (view.client) } { "To the client's page" } }
        }
    }
}

fn listed(block: &FloorBlock, unit: MassUnit) -> Markup {
    html! {
        h2 { "Block " (block.letter) }
        ul { @for lane in &block.lanes { li { (target(&lane.card, unit)) } } }
    }
}

fn target(card: &Card, unit: MassUnit) -> String {
    let load = card.rung.and_then(|r| card.ladder.get(r));
    let load =
        load.map_or_else(String::new, |r| format!(" at {}", unit.load(setwright_model::Kilograms(r.kg))));
    let [low, high] = card.reps;
    format!("{}: {} sets of {low} to {high}{load}, {} in reserve", card.name, card.sets, card.rir)
}
