//! No two loaded spines in a block; the budget of a session, and neighbours in order and in days, are kept by the sums of
//! a session and by the frame.

use super::{Client, Rule};
use setwright_model::exercise::Exercise;

/// The rule.
pub struct Spine;

impl Rule for Spine {
    fn name(&self) -> &'static str {
        "spine"
    }

    fn parts(&self, a: &Exercise, b: &Exercise, _c: &Client<'_>) -> bool {
        a.is_spinal() && b.is_spinal()
    }
}
