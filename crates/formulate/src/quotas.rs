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
    /// How much was given up.
    pub given_up: u8,
    /// By number what was given up, with its limits, where all of it together left no programme.
    pub eased: Vec<(usize, Count)>,
}

impl Quotas {
    /// The limits of these counts.
    pub fn of(counts: Vec<Count>) -> Self {
        let mut out = Self {
            counts,
            session_most: [i16::MAX; COUNTS],
            cycle_least: [i16::MIN; COUNTS],
            cycle_most: [i16::MAX; COUNTS],
            given_up: 0,
            eased: Vec::new(),
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

    /// Lets a session and a cycle come to this, and a cycle to no more than this.
    pub fn widen(&mut self, k: usize, session: i16, cycle: i16) {
        let count = &mut self.counts[k];
        count.session_most = count.session_most.map(|most| most.max(session));
        count.cycle_most = count.cycle_most.map(|most| most.max(cycle));
        self.session_most[k] = self.session_most[k].max(session);
        self.cycle_most[k] = self.cycle_most[k].max(cycle);
        // What is locked may lie on the side that counts against; a least that asks for something stays.
        if cycle < 0 && !count.is_firm {
            count.cycle_least = count.cycle_least.map(|least| least.min(cycle));
            self.cycle_least[k] = self.cycle_least[k].min(cycle);
        }
    }

    /// Gives up one thing more of what a programme is better without than not at all.
    pub fn ease(&mut self) {
        self.given_up += 1;
        let level = self.given_up;
        for (k, count) in self.counts.iter_mut().enumerate().filter(|(_, c)| c.soft == level) {
            self.eased.push((k, count.clone()));
            count.session_least = None;
            self.session_most[k] = i16::MAX;
            self.cycle_least[k] = i16::MIN;
            self.cycle_most[k] = i16::MAX;
        }
    }
}
