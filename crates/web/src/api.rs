//! What programs ask: JSON under `/api/v1`. The floor page is the first of them.

use super::fault::{ApiFault, Fault};
use crate::app::{App, Visit};
use crate::routes::{CLIENT, Pages};
use axum::Json;
use axum::extract::Path;
use axum::extract::rejection::JsonRejection;
use axum::http::StatusCode;
use serde_json::Value;
use setwright_coaching::arrivals::{self, Arrivals, EVENTS_MAX};
use setwright_model::ledger::EventId;
use setwright_present::floor::{self, FloorView, SessionNow};
use setwright_science::catalogue::builtin;

pub fn routes() -> Pages<App> {
    Pages::new()
        .post(CLIENT, "/api/v1/events", events)
        .get(CLIENT, "/api/v1/clients/{id}/floor", floor_of)
        .get(CLIENT, "/api/v1/clients/{id}/sessions/{session}", session_now)
}

async fn events(
    visit: Visit,
    sent: Result<Json<Vec<Value>>, JsonRejection>,
) -> Result<Json<Arrivals>, ApiFault> {
    let Json(sent) = sent.map_err(|why| {
        Fault::refused(
            why.status(),
            "An array of events was expected.",
            "Send JSON: a list of events of the ledger.",
        )
    })?;
    if sent.len() > EVENTS_MAX {
        let status = StatusCode::PAYLOAD_TOO_LARGE;
        return Err(Fault::refused(status, "Too many events in one go.", "Send at most 500 at once.").into());
    }
    Ok(Json(visit.at_desk(move |desk, _| arrivals::take(desk, sent)).await?))
}

async fn floor_of(visit: Visit, Path(id): Path<String>) -> Result<Json<FloorView>, ApiFault> {
    Ok(Json(
        visit
            .at_desk(move |desk, visit| {
                let client = desk.client(&id)?;
                floor::floor(
                    desk,
                    client,
                    |desk, client, before| visit.practice().believed(desk, client, before),
                    builtin(),
                )
            })
            .await?,
    ))
}

async fn session_now(
    visit: Visit,
    Path((id, session)): Path<(String, String)>,
) -> Result<Json<SessionNow>, ApiFault> {
    let session: EventId = session.parse().map_err(|_| {
        Fault::refused(
            StatusCode::NOT_FOUND,
            "There is no such session.",
            "Ask with the identifier of a session.",
        )
    })?;
    let now = visit.at_desk(move |desk, _| {
        let client = desk.client(&id)?;
        floor::session_now(desk, client.client, session)
    });
    Ok(Json(now.await?))
}
