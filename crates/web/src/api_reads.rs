//! What programs read of what the pages show: the same use cases, as JSON.

use super::fault::ApiFault;
use super::{programme, roster};
use crate::app::{App, Visit};
use crate::openapi::{self, InForce, Roster};
use crate::routes::{COACH, Pages};
use axum::Json;
use axum::extract::Path;
use schemars::Schema;
use setwright_coaching::judge;
use setwright_coaching::ledger::clients::{self, ClientSheet};
use setwright_present::review::{self, ReviewView};
use setwright_present::view;
use setwright_science::catalogue::builtin;

pub fn routes() -> Pages<App> {
    Pages::new()
        .get(COACH, "/api/v1/openapi.json", described)
        .get(COACH, "/api/v1/roster", roster_of)
        .get(COACH, "/api/v1/clients/{id}", client)
        .get(COACH, "/api/v1/clients/{id}/review", review)
        .get(COACH, "/api/v1/clients/{id}/programme", in_force)
}

async fn described() -> Json<Schema> {
    Json(openapi::schema())
}

async fn roster_of(visit: Visit) -> Result<Json<Roster>, ApiFault> {
    Ok(Json(visit.at_desk(roster::for_programs).await?))
}

async fn client(visit: Visit, Path(id): Path<String>) -> Result<Json<ClientSheet>, ApiFault> {
    Ok(Json(visit.at_desk(move |desk, _| clients::show(desk, &id)).await?))
}

async fn review(visit: Visit, Path(id): Path<String>) -> Result<Json<ReviewView>, ApiFault> {
    let review = visit.at_desk(move |desk, visit| {
        let client = desk.client(&id)?;
        Ok(review::review(&*visit.practice().known(desk, client)?, builtin()))
    });
    Ok(Json(review.await?))
}

async fn in_force(visit: Visit, Path(id): Path<String>) -> Result<Json<InForce>, ApiFault> {
    let in_force = visit.at_desk(move |desk, visit| {
        let client = desk.client(&id)?;
        let known = visit.practice().known(desk, client)?;
        let state = known.programme.as_ref().ok_or_else(|| programme::none_in_force(&known))?;
        let brief = known.brief.as_ref();
        let judged = judge::in_force(&known, builtin()).ok_or_else(|| programme::none_in_force(&known))?;
        let shown = view::programme(&judged, brief, builtin());
        let (since, programme) = (state.at, state.programme.clone());
        Ok(InForce { since, programme, shown, findings: judged.report().findings.clone() })
    });
    Ok(Json(in_force.await?))
}
