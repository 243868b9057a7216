//! Views and their words: what a terminal, a page and a sheet of paper show of what [`setwright_coaching`] answers.
//!
//! A view has every name, number and disc resolved; whoever draws it adds nothing but the layout. Loads are shown in the
//! [`setwright_model::MassUnit`] that is handed in.
//!
//! Invariant: functions of their arguments. Nothing here asks a ledger for more than a use case does, prints, or knows HTTP.

pub mod advice;
pub mod annotated;
pub mod audit;
pub mod calendar;
pub mod compare;
pub mod dates;
pub mod drawings;
pub mod explain;
pub mod figures;
pub mod floor;
pub mod loads;
pub mod next;
pub mod pain;
pub mod ramp;
pub mod reports;
pub mod review;
pub mod roster;
pub mod sheets;
pub mod standing;
pub mod view;
pub mod zone;
