//! What programs read of what the pages show: the same use cases, as JSON.

use super::app::App;
use super::fault::ApiFault;
use super::{programme, roster};
use crate::service::insight::{self, ReviewView};
use crate::service::ledger::clients::{self, ClientSheet};
use crate::service::openapi::{self, InForce, Roster};
use crate::service::view;
use axum::extract::{Path, State};
use axum::routing::get;
use axum::{Json, Router};
use schemars::Schema;
use setwright_science::catalogue::builtin;

pub fn routes() -> Router<App> {
    Router::new()
        .route("/api/v1/openapi.json", get(described))
        .route("/api/v1/roster", get(roster_of))
        .route("/api/v1/clients/{id}", get(client))
        .route("/api/v1/clients/{id}/review", get(review))
        .route("/api/v1/clients/{id}/programme", get(in_force))
}

async fn described() -> Json<Schema> {
    Json(openapi::schema())
}

async fn roster_of(State(app): State<App>) -> Result<Json<Roster>, ApiFault> {
    Ok(Json(app.at_desk(roster::for_programs).await?))
}

async fn client(State(app): State<App>, Path(id): Path<String>) -> Result<Json<ClientSheet>, ApiFault> {
    Ok(Json(app.at_desk(move |desk, _| clients::show(desk, &id)).await?))
}

async fn review(State(app): State<App>, Path(id): Path<String>) -> Result<Json<ReviewView>, ApiFault> {
    let review = app.at_desk(move |desk, app| {
        let client = desk.client(&id)?;
        Ok(insight::review(&*app.known(desk, client)?, builtin()))
    });
    Ok(Json(review.await?))
}

async fn in_force(State(app): State<App>, Path(id): Path<String>) -> Result<Json<InForce>, ApiFault> {
    let in_force = app.at_desk(move |desk, app| {
        let client = desk.client(&id)?;
        let known = app.known(desk, client)?;
        let state = known.programme.as_ref().ok_or_else(|| programme::none_in_force(&known))?;
        let brief = known.brief.as_ref();
        let report = setwright_check::audit(&state.programme, brief, builtin(), &known.belief);
        let shown = view::programme(&state.programme, brief, builtin(), &report);
        let (since, programme) = (state.at, state.programme.clone());
        Ok(InForce { since, programme, shown, findings: report.findings })
    });
    Ok(Json(in_force.await?))
}
