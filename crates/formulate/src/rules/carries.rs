//! Carries are no filler: one of them in a session, and few sets in a week.

use super::{Client, Count, Rule, Unit};
use setwright_model::Pattern;
use setwright_model::exercise::Exercise;

/// Sets a week (common practice, no source (T)).
const SETS: f64 = 6.0;

/// The rule.
pub struct Carries;

impl Rule for Carries {
    fn name(&self) -> &'static str {
        "carries"
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let sign = |e: &Exercise, _: &Client<'_>| i16::from(e.pattern == Pattern::Carry);
        let sets = Count::new("carries", "carries", Unit::Set, sign);
        let exercises = Count::new("carries", "carries", Unit::Exercise, sign);
        vec![
            Count { cycle_most: Some((SETS * c.weeks()).round() as i16), ..sets },
            Count { session_most: Some(1), ..exercises },
        ]
    }
}
