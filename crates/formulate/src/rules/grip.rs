//! No two heavy grips in a block; no grip spent before the pulling that needs it is kept by order.

use super::{Client, Rule};
use setwright_model::exercise::Exercise;

/// The rule.
pub struct Grip;

impl Rule for Grip {
    fn name(&self) -> &'static str {
        "grip"
    }

    fn parts(&self, a: &Exercise, b: &Exercise, _c: &Client<'_>) -> bool {
        a.is_grip_heavy() && b.is_grip_heavy()
    }
}
