//! The published form of every kind of file, as JSON Schema drawn from the types themselves.

use schemars::{JsonSchema, Schema, schema_for};
use setwright_model::ledger::Event;
use setwright_model::{Answer, Brief, Exercise, Programme, Roadmap, TradeOff};

/// A kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum SchemaKind {
    /// What a client brings.
    Brief,
    /// Sessions, blocks, sets.
    Programme,
    /// A list of exercises.
    Catalogue,
    /// What plan --json prints.
    Answer,
    /// What curve --json prints.
    Curve,
    /// What roadmap --json prints.
    Roadmap,
    /// A line of export --format jsonl.
    Event,
    /// The interface under /api/v1, as OpenAPI 3.1.
    Api,
}

/// A file of exercises.
#[derive(JsonSchema)]
#[schemars(rename = "Catalogue", deny_unknown_fields)]
#[allow(dead_code, reason = "only its schema is used; the reader of catalogues is in science")]
struct CatalogueFile {
    /// One entry for each exercise.
    #[serde(default)]
    exercise: Vec<Exercise>,
}

/// The schema of a kind of file.
pub fn of(kind: SchemaKind) -> Schema {
    match kind {
        SchemaKind::Brief => schema_for!(Brief),
        SchemaKind::Programme => schema_for!(Programme),
        SchemaKind::Catalogue => schema_for!(CatalogueFile),
        SchemaKind::Answer => schema_for!(Answer),
        SchemaKind::Curve => schema_for!(TradeOff),
        SchemaKind::Roadmap => schema_for!(Roadmap),
        SchemaKind::Event => schema_for!(Event),
        SchemaKind::Api => setwright_web::api_description(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn property(kind: SchemaKind, name: &str) -> bool {
        of(kind).get("properties").and_then(|p| p.get(name)).is_some()
    }

    #[test]
    fn a_schema_names_the_fields_as_files_write_them() {
        assert!(property(SchemaKind::Brief, "lift") && property(SchemaKind::Brief, "lock"));
        assert!(!property(SchemaKind::Brief, "lifts"));
        assert!(property(SchemaKind::Programme, "sessions"));
        assert!(property(SchemaKind::Catalogue, "exercise"));
        assert!(property(SchemaKind::Answer, "gap"));
        assert!(property(SchemaKind::Curve, "points"));
        assert!(property(SchemaKind::Roadmap, "steps"));
    }
}
