//! What programs read of what a coach sees: the same use cases as behind the pages, as JSON.

use crate::app::{App, Visit};
use crate::gate::COOKIE;
use crate::http::openapi::{Operation, ask, document};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::ApiFault;
use crate::programme;
use crate::roster;
use axum::extract::Path;
use axum::{Extension, Json};
use schemars::{JsonSchema, Schema};
use serde::Serialize;
use setwright_coaching::jobs::roster_projection::Freshness;
use setwright_coaching::judge;
use setwright_coaching::ledger::UnitOfWork;
use setwright_coaching::ledger::clients::{self, ClientSheet};
use setwright_gym::catalogue::builtin;
use setwright_model::ledger::{ClientId, Moment};
use setwright_model::refusal::Refusal;
use setwright_model::{Finding, MassUnit, Programme};
use setwright_present::review::{self, ReviewView};
use setwright_present::roster::RosterLine;
use setwright_present::view::{self, ProgrammeView};
use setwright_science::screening::MayTrain;
use std::sync::Arc;

/// The roster as it is known.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Roster {
    /// When it was asked.
    pub now: Moment,
    /// Clients who train, the one who needs a decision first.
    pub clients: Vec<RosterClient>,
}

/// A client of the roster.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct RosterClient {
    /// Which client.
    pub id: ClientId,
    /// What the client is called.
    pub name: String,
    /// What is known; absent until it was reckoned.
    pub line: Option<RosterLine>,
    /// Whether it is being reckoned anew, so that it is worth asking again.
    pub being_reckoned: bool,
}

/// The programme in force.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct InForce {
    /// Since when.
    pub since: Moment,
    /// As it was handed out.
    pub programme: Programme,
    /// With names, minutes, loads and doses.
    pub shown: ProgrammeView,
    /// Why nobody is to train by it now; absent when nothing stands against it.
    pub withheld: Option<String>,
    /// What the check finds in it today.
    pub findings: Vec<Finding>,
}

pub fn routes() -> Pages<App> {
    let of_client = |id, summary, says| ask(id, summary, says).refuses(&[400, 404]);
    Pages::new()
        .read(COACH, "/api/v1/openapi.json", described, ask("openapi", "This description", "OpenAPI 3.1"))
        .read(
            COACH,
            "/api/v1/roster",
            roster_of,
            ask("roster", "Who needs a decision, and why", "At once, as far as it is known")
                .answers::<Roster>(),
        )
        .read(
            COACH,
            "/api/v1/clients/{id}",
            client,
            of_client("client", "What the ledger holds of a client", "The client").answers::<ClientSheet>(),
        )
        .read(
            COACH,
            "/api/v1/clients/{id}/review",
            review,
            of_client(
                "review",
                "What the log tells of a client: strength and recovery with intervals",
                "The review",
            )
            .answers::<ReviewView>(),
        )
        .read(
            COACH,
            "/api/v1/clients/{id}/programme",
            in_force,
            ask("programme", "The programme in force, with what the check finds in it", "The programme")
                .answers::<InForce>()
                .refuses(&[400, 404, 422]),
        )
}

async fn described(Extension(asks): Extension<Arc<[Operation]>>) -> Json<Schema> {
    Json(document(&asks, COOKIE))
}

async fn roster_of(visit: Visit) -> Result<Json<Roster>, ApiFault> {
    Ok(Json(visit.with_ledger(known).await?))
}

/// The roster as it is known, at once.
fn known(uow: &mut UnitOfWork, visit: &Visit) -> Result<Roster, Refusal> {
    let one = |line: roster::RosterRow| RosterClient {
        id: line.client,
        name: line.name,
        being_reckoned: line.standing == Freshness::Older,
        line: line.known,
    };
    let clients = roster::lines(uow, visit, MassUnit::Kg, false)?.into_iter().map(one).collect();
    Ok(Roster { now: uow.wall.now(), clients })
}

async fn client(visit: Visit, Path(id): Path<String>) -> Result<Json<ClientSheet>, ApiFault> {
    Ok(Json(visit.with_ledger(move |uow, _| clients::show(uow, &id)).await?))
}

async fn review(visit: Visit, Path(id): Path<String>) -> Result<Json<ReviewView>, ApiFault> {
    let review = visit.with_ledger(move |uow, visit| {
        let client = uow.client(&id)?;
        Ok(review::review(&*visit.practice().known(uow, client)?, builtin()))
    });
    Ok(Json(review.await?))
}

async fn in_force(visit: Visit, Path(id): Path<String>) -> Result<Json<InForce>, ApiFault> {
    let in_force = visit.with_ledger(move |uow, visit| {
        let client = uow.client(&id)?;
        let known = visit.practice().known(uow, client)?;
        let state = known.programme.as_ref().ok_or_else(|| programme::none_in_force(&known))?;
        let brief = known.brief.as_ref();
        let judged = judge::in_force(&known, builtin()).ok_or_else(|| programme::none_in_force(&known))?;
        let shown = view::programme(&judged, brief, builtin());
        let (since, programme) = (state.at, state.programme.clone());
        let withheld = MayTrain::of(&*known).err().map(|w| w.says());
        Ok(InForce { since, programme, shown, withheld, findings: judged.report().findings.clone() })
    });
    Ok(Json(in_force.await?))
}
