//! What the rules count, as limits by number, so that the search need not know a rule.

use crate::rules::Count;
use crate::units::COUNTS;

/// What the rules count, as limits by number. What is not limited is at the ends of the numbers.
#[derive(Clone, Debug)]
pub struct Quotas {
    /// The counts, in their order.
    pub counts: Vec<Count>,
    /// Most of a session.
    pub session_most: [i16; COUNTS],
    /// Least of a cycle.
    pub cycle_least: [i16; COUNTS],
    /// Most of a cycle.
    pub cycle_most: [i16; COUNTS],
}

impl Quotas {
    /// The limits of these counts.
    pub fn of(counts: Vec<Count>) -> Self {
        let mut out = Self {
            counts,
            session_most: [i16::MAX; COUNTS],
            cycle_least: [i16::MIN; COUNTS],
            cycle_most: [i16::MAX; COUNTS],
        };
        // More than there are places for would be rules that nobody keeps.
        debug_assert!(out.counts.len() <= COUNTS, "{} counts, {COUNTS} places", out.counts.len());
        out.counts.truncate(COUNTS);
        for (k, count) in out.counts.iter().enumerate() {
            out.session_most[k] = count.session_most.unwrap_or(i16::MAX);
            out.cycle_least[k] = count.cycle_least.unwrap_or(i16::MIN);
            out.cycle_most[k] = count.cycle_most.unwrap_or(i16::MAX);
        }
        out
    }
}
