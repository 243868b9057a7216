//! A lift that tires the whole body stands alone, or for some beside something light with a long rest.

use super::{Client, Rule};
use crate::modes::Mode;
use setwright_model::BlockKind;
use setwright_model::brief::{Goal, TrainingAge};
use setwright_model::exercise::{Exercise, LoadKind};

/// Least rest of a pair with such a lift (common practice, no source (T)).
const LEAST_REST_S: u32 = 90;

/// The rule.
pub struct TaxingPairs;

impl Rule for TaxingPairs {
    fn name(&self) -> &'static str {
        "taxing_pairs"
    }

    fn allows(&self, e: &Exercise, mode: Mode, _sets: u32, c: &Client<'_>) -> bool {
        match mode.kind {
            BlockKind::Straight => true,
            BlockKind::Alternating => {
                !e.is_taxing() || c.rules.taxing_may_share && mode.rest_s >= LEAST_REST_S
            }
            BlockKind::SameMuscle => !e.is_taxing(),
        }
    }

    fn parts(&self, a: &Exercise, b: &Exercise, c: &Client<'_>) -> bool {
        a.is_taxing() && !(c.rules.taxing_may_share && b.systemic == 0 && b.spinal == 0)
            || needs_all(a, c) && needs_all(b, c)
    }
}

/// A hard compound of a client whose sets are near the limit: two of them do not take turns (common practice, no source
/// (T): they need the rest of the harder one).
fn needs_all(e: &Exercise, c: &Client<'_>) -> bool {
    let near = c.brief.goal == Goal::Strength && !c.is_new() || c.brief.training_age == TrainingAge::Advanced;
    near && e.pattern.is_compound() && matches!(e.load, LoadKind::Bar | LoadKind::BodyPlus)
}
