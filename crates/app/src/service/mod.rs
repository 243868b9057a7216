//! Use cases: what a coach asks for, from values to views. Nothing here prints, parses arguments or reads a
//! file; what is shown comes as view structs that the terminal and later the pages draw from.

pub mod audit;
pub mod belief;
pub mod calendar;
pub mod curve;
pub mod dates;
pub mod demo;
pub mod drawings;
pub mod edit;
pub mod explain;
pub mod figures;
pub mod floor;
pub mod hang;
pub mod insight;
pub mod ledger;
pub mod openapi;
pub mod people;
pub mod plan;
pub mod ramp;
pub mod reports;
pub mod roadmap;
pub mod schema;
pub mod screen;
pub mod search;
pub mod sheets;
pub mod view;
