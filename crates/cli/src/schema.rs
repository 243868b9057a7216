//! `schema`: the JSON Schema of a kind of file.

use super::args::SchemaArgs;
use crate::reply::Reply;
use crate::schemas as schema;

/// Prints the schema.
pub fn run(args: SchemaArgs) -> Reply {
    Reply::data(super::show::json(&schema::of(args.kind)))
}
