//! What the floor page asks from a phone: today's session, how it stands, and events that were written without reception.

use crate::app::{App, Visit};
use crate::http::openapi::ask;
use crate::http::routes::{CLIENT, Pages};
use crate::page::fault::{ApiFault, Fault};
use axum::Json;
use axum::extract::Path;
use axum::extract::rejection::JsonRejection;
use axum::http::StatusCode;
use serde_json::Value;
use setwright_coaching::arrivals::{self, Arrivals, EVENTS_MAX};
use setwright_model::code::Code;
use setwright_model::ledger::EventId;
use setwright_present::floor::{self, FloorView, SessionNow};

pub fn routes() -> Pages<App> {
    Pages::new()
        .read(
            CLIENT,
            "/api/v1/clients/{id}/floor",
            floor_of,
            ask(
                "floor",
                "Today's session with everything that a device needs without reception",
                "The session that goes on, or the coming one",
            )
            .answers::<FloorView>()
            .refuses(&[400, 404, 422]),
        )
        .read(
            CLIENT,
            "/api/v1/clients/{id}/sessions/{session}",
            session_now,
            ask(
                "session",
                "A session as the ledger has it now",
                "The session; without sets when it has not begun",
            )
            .answers::<SessionNow>()
            .refuses(&[400, 404]),
        )
        .take(
            CLIENT,
            "/api/v1/events",
            events,
            ask(
                "events",
                "What a device wrote: each event is answered by name, and may arrive twice",
                "One answer for each event; what is created or exists is on the disk",
            )
            .answers::<Arrivals>()
            .takes_events()
            .refuses(&[400, 413, 415, 422, 429, 507]),
        )
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
    if let Err(wait_s) = visit.charge(sent.len()) {
        let what = format!("This account sent more than is taken in a minute. It may go on in {wait_s} s.");
        let hint = "Nothing of this was written: keep it, wait, and send it again.";
        return Err(ApiFault::later(Fault::of(Code::TooManyEvents, &what, hint), wait_s));
    }
    Ok(Json(visit.with_ledger(move |uow, _| arrivals::take(uow, sent)).await?))
}

async fn floor_of(visit: Visit, Path(id): Path<String>) -> Result<Json<FloorView>, ApiFault> {
    Ok(Json(crate::floor::view(&visit, id).await?))
}

async fn session_now(
    visit: Visit,
    Path((id, session)): Path<(String, String)>,
) -> Result<Json<SessionNow>, ApiFault> {
    let session: EventId = session.parse().map_err(|_| {
        Fault::of(Code::NoMatch, "There is no such session.", "Ask with the identifier of a session.")
    })?;
    let now = visit.with_ledger(move |uow, _| {
        let client = uow.client(&id)?;
        floor::session_now(uow, client.client, session)
    });
    Ok(Json(now.await?))
}
