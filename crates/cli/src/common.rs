//! What a belief took from the roster, as it is told beside the data. It asks nothing.

use crate::text::wrapped;
use setwright_coaching::insight::Known;

/// What other clients passed on, as it is told.
pub fn common(known: &Known) -> String {
    known.common.map_or_else(String::new, |common| wrapped(&common.in_words(), 0, 0))
}
