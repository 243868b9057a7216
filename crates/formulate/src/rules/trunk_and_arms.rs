//! Trunk and arm work is limited where nobody came for it, and trunk work does not stand between heavy sets that need the
//! trunk.

use super::{Client, Count, Rule, Unit};
use setwright_model::Pattern;
use setwright_model::brief::Priority;
use setwright_model::exercise::Exercise;

/// Trunk sets a week, and exercises of a session (common practice, no source (T)).
const TRUNK_SETS: f64 = 8.0;
const TRUNK_EXERCISES: i16 = 2;
/// Single-joint arm exercises of a session (common practice, no source (T): one for the biceps, one for the triceps).
const ARM_EXERCISES: i16 = 2;

/// The rule.
pub struct TrunkAndArms;

impl Rule for TrunkAndArms {
    fn name(&self) -> &'static str {
        "trunk_and_arms"
    }

    fn parts(&self, a: &Exercise, b: &Exercise, _c: &Client<'_>) -> bool {
        is_trunk(a) && b.is_spinal()
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let most = (TRUNK_SETS * c.weeks()).round() as i16;
        let trunk = |e: &Exercise, c: &Client<'_>| i16::from(is_trunk(e) && !is_priority(e, c));
        let arms = |e: &Exercise, c: &Client<'_>| i16::from(is_arm(e) && !is_priority(e, c));
        let sets = Count::new("trunk_and_arms", "trunk work", Unit::Set, trunk);
        let exercises = Count::new("trunk_and_arms", "trunk exercises", Unit::Exercise, trunk);
        let arm = Count::new("trunk_and_arms", "single-joint arm exercises", Unit::Exercise, arms);
        vec![
            Count { cycle_most: Some(most), ..sets },
            Count { session_most: Some(TRUNK_EXERCISES), ..exercises },
            Count { session_most: Some(ARM_EXERCISES), ..arm },
        ]
    }
}

fn is_priority(e: &Exercise, c: &Client<'_>) -> bool {
    c.priority(e) >= Some(Priority::High)
}

/// Whether an exercise is for the trunk.
pub fn is_trunk(e: &Exercise) -> bool {
    matches!(
        e.pattern,
        Pattern::TrunkFlexion | Pattern::TrunkBrace | Pattern::TrunkRotation | Pattern::SideBend
    )
}

fn is_arm(e: &Exercise) -> bool {
    matches!(e.pattern, Pattern::ElbowFlexion | Pattern::ElbowExtension | Pattern::Wrist)
}
