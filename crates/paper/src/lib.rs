//! Draws and prints. View structs go in; SVG text comes out (session lanes, the recovery strip, strength, doses, the
//! trade-off curve, the roadmap), or PDF (session sheets, documents).
//!
//! The same drawing stands on a page, on a sheet and in a file. Meaning never rests on colour alone: bars are solid,
//! pale, hollow or hatched, lines whole or broken. Colours are those of Okabe and Ito (2008) and stand in attributes, so
//! that a page may restyle them by class for a dark ground. There is no style attribute and no script.
//!
//! Invariant: pure functions; the same view and width give the same bytes. It knows no equation and no catalogue: what is
//! drawn was reckoned elsewhere.

mod curve;
mod dose;
mod fonts;
mod lanes;
mod narrow;
pub mod pdf;
pub mod qr;
mod raster;
mod roadmap;
mod strength;
mod strip;
mod svg;

pub use curve::{CurvePoint, CurveView, curve};
pub use dose::{Dose, doses};
pub use lanes::{Bar, BarKind, BlockBand, Lane, Lanes, lanes, low_lanes};
pub use raster::{NotDrawn, png};
pub use roadmap::{RoadmapPanel, RoadmapView, roadmap};
pub use strength::{Logged, StrengthView, strength};
pub use strip::{Stem, Strip, StripRow, miniature, strip};
pub use svg::{BLACK, BLUE, COLOURS, GREEN, GREY, PAPER, PURPLE, VERMILION};
