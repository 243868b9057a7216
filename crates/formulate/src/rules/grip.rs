//! No two heavy grips in a block, nor a hinge in turn with a pull; no grip spent before the pulling that needs it is kept by order.

use super::{Client, Rule};
use setwright_model::Pattern;
use setwright_model::exercise::Exercise;
use setwright_model::pattern::Side;
use setwright_science::rules::SHORT_SESSION_MIN;

/// The rule.
pub struct Grip;

impl Rule for Grip {
    fn name(&self) -> &'static str {
        "grip"
    }

    fn parts(&self, a: &Exercise, b: &Exercise, c: &Client<'_>) -> bool {
        let roomy = c.shortest_minutes() >= SHORT_SESSION_MIN;
        a.is_grip_heavy() && b.is_grip_heavy() || roomy && hangs_from_the_hands(a) && is_held_pull(b)
    }
}

/// A hinge whose load hangs from the hands: back and grip are spent when the row or pulldown in turn with it needs them (common
/// practice, no source (T)).
fn hangs_from_the_hands(e: &Exercise) -> bool {
    e.pattern == Pattern::Hinge && e.grip >= 1
}

/// A pull of several joints that is held in the hands.
pub fn is_held_pull(e: &Exercise) -> bool {
    e.pattern.is_compound() && e.pattern.side() == Side::Pull && e.grip >= 1
}
