//! The interface under `/api/v1` described as OpenAPI 3.1, drawn from what is said of each question beside its route and from the
//! types that answer. It knows no route itself.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Serialize;
use serde_json::{Map, Value, json};
use setwright_coaching::arrivals::EVENTS_MAX;
use setwright_model::ledger::Event;

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

/// What is said of a question beside its route and its handler.
#[derive(Clone, Copy)]
pub struct Described {
    id: &'static str,
    summary: &'static str,
    answer: fn(&mut SchemaGenerator) -> Schema,
    says: &'static str,
    takes_events: bool,
    refusals: &'static [u16],
}

/// A question by name, what it is for, and what its answer is.
pub const fn ask(id: &'static str, summary: &'static str, says: &'static str) -> Described {
    Described { id, summary, answer: |_| Schema::from(true), says, takes_events: false, refusals: &[] }
}

impl Described {
    /// The type that answers.
    #[must_use]
    pub fn answers<T: JsonSchema>(self) -> Self {
        Self { answer: SchemaGenerator::subschema_for::<T>, ..self }
    }

    /// What it is refused with, beside what every question may be refused with.
    #[must_use]
    pub const fn refuses(self, refusals: &'static [u16]) -> Self {
        Self { refusals, ..self }
    }

    /// Events are sent with it.
    #[must_use]
    pub const fn takes_events(self) -> Self {
        Self { takes_events: true, ..self }
    }
}

/// A question where it is asked.
#[derive(Clone, Copy)]
pub struct Operation {
    /// How, in small letters.
    pub method: &'static str,
    /// Where.
    pub path: &'static str,
    /// What is said of it.
    pub described: Described,
}

/// The description of all that can be asked by whoever shows the session in this cookie.
pub fn document(asks: &[Operation], cookie: &str) -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize().with(|s| {
        s.definitions_path = "/components/schemas".into();
        s.meta_schema = None;
    });
    let mut generator = settings.into_generator();
    let refusal = generator.subschema_for::<ProblemDetails>();
    let mut paths = Map::new();
    for ask in asks {
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
    let session = json!({ "type": "apiKey", "in": "cookie", "name": cookie, "description": says });
    whole.insert("security".to_owned(), json!([{ "session": [] }, {}]));
    whole.insert("paths".to_owned(), Value::Object(paths));
    whole.insert(
        "components".to_owned(),
        json!({ "schemas": generator.take_definitions(true), "securitySchemes": { "session": session } }),
    );
    Schema::from(whole)
}

fn operation(ask: &Operation, generator: &mut SchemaGenerator, refusal: &Schema) -> Value {
    let (path, ask) = (ask.path, ask.described);
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
    let parameters = parameters(path);
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
        429 => "Too many events of this account in a minute; Retry-After says how many seconds to wait",
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
