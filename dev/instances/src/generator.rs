//! Seeded problems: tiny ones for brute force, sizes for benchmarks, all kinds for the check, and ones that cannot be met, with the cause.
//!
//! A seed gives the same problem on any machine.

mod broken;
mod sized;
mod tiny;
mod varied;

pub use broken::{Broken, Cause, broken};
pub use sized::{Size, sized};
pub use tiny::tiny;
pub use varied::varied;

use setwright_formulate::problem::{Problem, compile};
use setwright_model::brief::{Brief, Goal, Time, TrainingAge};
use setwright_model::{Belief, Catalogue, Minutes};
use setwright_science::recovery::tau_priors;
use std::collections::BTreeMap;

/// A problem with all that the planner is given.
#[derive(Clone, Debug)]
pub struct Instance {
    /// What it is called.
    pub name: String,
    /// The brief.
    pub brief: Brief,
    /// The exercises there are.
    pub catalogue: Catalogue,
    /// What is believed of the client.
    pub belief: Belief,
    /// Whether minutes are minimised.
    pub minutes_mode: bool,
}

impl Instance {
    /// Compiled as the planner does it.
    pub fn problem(&self) -> Problem {
        compile(&self.brief, &self.catalogue, &self.belief, self.minutes_mode)
    }

    fn new(name: String, brief: Brief, catalogue: Catalogue) -> Self {
        let belief = Belief { one_rm: BTreeMap::new(), tau: tau_priors(&brief) };
        Self { name, brief, catalogue, belief, minutes_mode: false }
    }
}

/// A brief that asks for nothing in particular.
fn plain_brief(goal: Goal, training_age: TrainingAge, sessions: u32, minutes: f64) -> Brief {
    Brief::new("Invented", goal, training_age, Time::weekly(sessions, Minutes(minutes)))
}
