//! The audit of a pasted sheet or programme: as it came, what was understood, what was found, the smallest mend.

use super::app::App;
use super::fault::{self, Fault};
use super::{layout, programme};
use crate::files::cells::LoadUnit;
use crate::files::read;
use crate::service::audit::{self, AuditView};
use axum::Router;
use axum::extract::{Form, State};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use maud::{Markup, html};
use serde::Deserialize;
use setwright_science::catalogue::builtin;

const EXAMPLE: &str = "day,block,exercise,sets,reps,RIR,load,rest\n1,A,back squat,3,5-8,2,80 kg,3 min\n1,B1,bench press,3,8-12,2,60 kg,90 s\n\
                       1,B2,barbell row,3,8-12,2,55 kg,90 s\n4,A,deadlift,2,5,2,100 kg,3 min\n4,B,lat pulldown,3,10-12,1,50 kg,2 min\n";

pub fn routes() -> Router<App> {
    Router::new().route("/audit", get(blank).post(judge))
}

#[derive(Deserialize)]
struct Given {
    sheet: String,
}

async fn blank() -> Markup {
    page("", &html! {})
}

async fn judge(State(app): State<App>, Form(given): Form<Given>) -> Result<Response, Fault> {
    let text = given.sheet.clone();
    let done = app
        .at_desk(move |_, _| {
            let source = read::text("the sheet", text.as_bytes())?;
            Ok(audit::read(&source, builtin(), None, LoadUnit::Kg).map(|read| {
                let view = audit::audit("the sheet", &read, None, builtin());
                (read.programme, view)
            }))
        })
        .await?;
    Ok(match done {
        Ok((programme, view)) => page(&given.sheet, &result(&programme, &view)).into_response(),
        Err(problems) => {
            let list = html! { div role="alert" { @for p in &problems {
                (fault::sentence(p)) @if let Some(place) = &p.place { p class="soft" { (place) } }
            } } };
            (axum::http::StatusCode::UNPROCESSABLE_ENTITY, page(&given.sheet, &list)).into_response()
        }
    })
}

fn page(sheet: &str, result: &Markup) -> Markup {
    layout::page(
        "Audit",
        Some("/audit"),
        &html! {
            h1 { "Audit" }
            p { "Paste a programme: a sheet with a line for each exercise, or TOML. It is timed, counted and judged; nothing is kept." }
            form method="post" class="stack" {
                label for="sheet" { "The sheet" }
                textarea id="sheet" name="sheet" rows="10" spellcheck="false" required { (if sheet.is_empty() { EXAMPLE } else { sheet }) }
                button { "Judge it" }
            }
            (result)
        },
    )
}

fn result(programme: &setwright_model::Programme, view: &AuditView) -> Markup {
    html! {
        h2 { "What was understood" }
        @for note in &view.notes { p class="soft" { (note) } }
        @for row in &view.understood {
            @for assumed in &row.assumed { p class="soft" { "Line " (row.line) ", " (row.label) ": " (assumed) } }
        }
        (programme::whole(programme, &view.programme, None, &view.findings))
        @if let Some(mend) = &view.mend {
            section aria-labelledby="mend" {
                h2 id="mend" { "Smallest mend that was found" }
                ol { @for step in &mend.steps { li { (step) } } }
                p { @if mend.fit_after { "After it nothing stands against the programme." } @else { "After it something still stands against the programme." } }
            }
        }
    }
}
