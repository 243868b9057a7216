//! How much a muscle gets in a week: benefit saturates at a target and falls gently beyond, and nobody gets more than a
//! coach would sign. What the coach has fixed always fits.

use super::{Client, Rule};
use setwright_model::{FractionalSets, Muscle};
use setwright_science::amounts;

/// The rule. Its target is in the tables of benefit and its most in the ranges of dose.
pub struct WeeklyAmount;

impl Rule for WeeklyAmount {
    fn name(&self) -> &'static str {
        "weekly_amount"
    }
}

/// Most weekly sets of a muscle: the brief's own, or what the amounts say.
pub fn most(c: &Client<'_>, muscle: Muscle) -> FractionalSets {
    let own = c.brief.muscles.get(&muscle).and_then(|w| w.most);
    own.unwrap_or_else(|| amounts::weekly_most(c.brief, muscle))
}

/// Quarter-sets of a muscle that the coach's locks come to.
pub fn locked_quarters(c: &Client<'_>, muscle: Muscle) -> i32 {
    let of = |lock: &setwright_model::brief::Lock| {
        let sets = lock.sets.unwrap_or(c.rules.sets.0);
        let part = c.locked_exercise(&lock.exercise).map_or(0.0, |e| e.contribution(muscle));
        (4.0 * part * f64::from(sets)).ceil() as i32
    };
    c.brief.locks.iter().map(of).sum()
}
