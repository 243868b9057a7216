//! The published form of every kind of file, as JSON Schema drawn from the types themselves.

use schemars::{JsonSchema, Schema, schema_for};
use setwright_model::ledger::Event;
use setwright_model::{Answer, Brief, Exercise, Programme, Roadmap, TradeOff};

/// A kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Kind {
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
pub fn of(kind: Kind) -> Schema {
    match kind {
        Kind::Brief => schema_for!(Brief),
        Kind::Programme => schema_for!(Programme),
        Kind::Catalogue => schema_for!(CatalogueFile),
        Kind::Answer => schema_for!(Answer),
        Kind::Curve => schema_for!(TradeOff),
        Kind::Roadmap => schema_for!(Roadmap),
        Kind::Event => schema_for!(Event),
        Kind::Api => setwright_web::api_description(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn property(kind: Kind, name: &str) -> bool {
        of(kind).get("properties").and_then(|p| p.get(name)).is_some()
    }

    #[test]
    fn a_schema_names_the_fields_as_files_write_them() {
        assert!(property(Kind::Brief, "lift") && property(Kind::Brief, "lock"));
        assert!(!property(Kind::Brief, "lifts"));
        assert!(property(Kind::Programme, "sessions"));
        assert!(property(Kind::Catalogue, "exercise"));
        assert!(property(Kind::Answer, "gap"));
        assert!(property(Kind::Curve, "points"));
        assert!(property(Kind::Roadmap, "steps"));
    }
}
