//! The interface under `/api/v1` described as OpenAPI 3.1: what can be asked, drawn from the types that answer.
//!
//! A route that is not in `ASKS` fails a test.

use crate::gate::COOKIE;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Serialize;
use serde_json::{Map, Value, json};
use setwright_coaching::arrivals::{Arrivals, EVENTS_MAX};
use setwright_coaching::ledger::clients::ClientSheet;
use setwright_model::ledger::{ClientId, Event, Moment};
use setwright_model::{Finding, Programme};
use setwright_present::floor::{FloorView, SessionNow};
use setwright_present::review::ReviewView;
use setwright_present::roster::RosterLine;
use setwright_present::view::ProgrammeView;

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
    /// What the check finds in it today.
    pub findings: Vec<Finding>,
}

/// Why there is no answer (RFC 9457).
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[schemars(rename = "Refusal")]
pub struct ProblemDetails {
    /// The status of the answer.
    pub status: u16,
    /// Why the rule exists.
    pub title: String,
    /// What is wrong.
    pub detail: String,
    /// The code, as `setwright explain` takes it.
    pub code: Option<String>,
    /// What can be done.
    pub hint: Option<String>,
}

/// What can be asked.
struct Ask {
    method: &'static str,
    path: &'static str,
    id: &'static str,
    summary: &'static str,
    answer: fn(&mut SchemaGenerator) -> Schema,
    says: &'static str,
    takes_events: bool,
    refusals: &'static [u16],
}

const fn read(
    path: &'static str,
    id: &'static str,
    summary: &'static str,
    answer: fn(&mut SchemaGenerator) -> Schema,
    says: &'static str,
    refusals: &'static [u16],
) -> Ask {
    Ask { method: "get", path, id, summary, answer, says, takes_events: false, refusals }
}

/// Everything under `/api/v1`.
const ASKS: &[Ask] = &[
    read("/api/v1/openapi.json", "openapi", "This description", |_| Schema::from(true), "OpenAPI 3.1", &[]),
    read(
        "/api/v1/roster",
        "roster",
        "Who needs a decision, and why",
        SchemaGenerator::subschema_for::<Roster>,
        "At once, as far as it is known",
        &[],
    ),
    read(
        "/api/v1/clients/{id}",
        "client",
        "What the ledger holds of a client",
        SchemaGenerator::subschema_for::<ClientSheet>,
        "The client",
        &[400, 404],
    ),
    read(
        "/api/v1/clients/{id}/review",
        "review",
        "What the log tells of a client: strength and recovery with intervals",
        SchemaGenerator::subschema_for::<ReviewView>,
        "The review",
        &[400, 404],
    ),
    read(
        "/api/v1/clients/{id}/programme",
        "programme",
        "The programme in force, with what the check finds in it",
        SchemaGenerator::subschema_for::<InForce>,
        "The programme",
        &[400, 404, 422],
    ),
    read(
        "/api/v1/clients/{id}/floor",
        "floor",
        "Today's session with everything that a device needs without reception",
        SchemaGenerator::subschema_for::<FloorView>,
        "The session that goes on, or the coming one",
        &[400, 404, 422],
    ),
    read(
        "/api/v1/clients/{id}/sessions/{session}",
        "session",
        "A session as the ledger has it now",
        SchemaGenerator::subschema_for::<SessionNow>,
        "The session; without sets when it has not begun",
        &[400, 404],
    ),
    Ask {
        method: "post",
        path: "/api/v1/events",
        id: "events",
        summary: "What a device wrote: each event is answered by name, and may arrive twice",
        answer: SchemaGenerator::subschema_for::<Arrivals>,
        says: "One answer for each event; what is created or exists is on the disk",
        takes_events: true,
        refusals: &[400, 413, 415, 422, 507],
    },
];

/// Methods and paths that are described.
pub fn described() -> Vec<(&'static str, &'static str)> {
    ASKS.iter().map(|ask| (ask.method, ask.path)).collect()
}

/// The description.
pub fn schema() -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize().with(|s| {
        s.definitions_path = "/components/schemas".into();
        s.meta_schema = None;
    });
    let mut generator = settings.into_generator();
    let refusal = generator.subschema_for::<ProblemDetails>();
    let mut paths = Map::new();
    for ask in ASKS {
        let operation = operation(ask, &mut generator, &refusal);
        let path = paths.entry(ask.path).or_insert_with(|| json!({}));
        if let Some(path) = path.as_object_mut() {
            path.insert(ask.method.to_owned(), operation);
        }
    }
    let mut whole = Map::new();
    whole.insert("openapi".to_owned(), json!("3.1.0"));
    whole.insert(
        "info".to_owned(),
        json!({
            "title": "Setwright",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "What the pages of the workbench show, for other programs.",
        }),
    );
    let says =
        "Over a network: the session that signing in at /login begins. On this machine nothing is asked.";
    let session = json!({ "type": "apiKey", "in": "cookie", "name": COOKIE, "description": says });
    whole.insert("security".to_owned(), json!([{ "session": [] }, {}]));
    whole.insert("paths".to_owned(), Value::Object(paths));
    whole.insert(
        "components".to_owned(),
        json!({ "schemas": generator.take_definitions(true), "securitySchemes": { "session": session } }),
    );
    Schema::from(whole)
}

fn operation(ask: &Ask, generator: &mut SchemaGenerator, refusal: &Schema) -> Value {
    let mut answers = Map::new();
    let answer = (ask.answer)(generator);
    answers.insert(
        "200".to_owned(),
        json!({ "description": ask.says, "content": { "application/json": { "schema": answer } } }),
    );
    for status in ask.refusals.iter().chain(OF_ALL) {
        let content = json!({ "application/problem+json": { "schema": refusal } });
        let says = json!({ "description": said_of(*status), "content": content });
        answers.insert(status.to_string(), says);
    }
    let mut operation = json!({ "operationId": ask.id, "summary": ask.summary, "responses": answers });
    let parameters = parameters(ask.path);
    if !parameters.is_empty() {
        operation["parameters"] = Value::Array(parameters);
    }
    if ask.takes_events {
        let event = generator.subschema_for::<Event>();
        let says =
            "Each entry is answered on its own: one that is no event is rejected, and the others are taken.";
        let list = json!({
            "type": "array",
            "maxItems": EVENTS_MAX,
            "description": says,
            "items": { "anyOf": [event, true] },
        });
        let content = json!({ "application/json": { "schema": list } });
        operation["requestBody"] = json!({ "required": true, "content": content });
    }
    operation
}

/// What every question may be answered with: over a network it is asked who asks; a ledger may be busy, or its disk full.
const OF_ALL: &[u16] = &[401, 403, 500, 503];

const fn said_of(status: u16) -> &'static str {
    match status {
        400 => "It cannot be read",
        401 => "Over a network: nobody is signed in",
        403 => "Over a network: this is another role's to see or do",
        404 => "There is no such client or session",
        413 => "Too much in one go",
        415 => "It is not JSON",
        500 => "The ledger or the program is not as it must be",
        503 => "The ledger is in use, or it took too long; later it may be done",
        507 => "There is no room left on the disk",
        _ => "It is not as it must be, or there is nothing in force",
    }
}

/// What stands in braces in a path.
fn parameters(path: &str) -> Vec<Value> {
    let names = path.split('/').filter_map(|part| part.strip_prefix('{')?.strip_suffix('}'));
    let one = |name: &str| {
        let (says, schema) = if name == "id" {
            ("The client's identifier, or name", json!({ "type": "string", "minLength": 1 }))
        } else {
            ("The session's identifier", json!({ "type": "string", "format": "uuid" }))
        };
        json!({ "name": name, "in": "path", "required": true, "description": says, "schema": schema })
    };
    names.map(one).collect()
}
