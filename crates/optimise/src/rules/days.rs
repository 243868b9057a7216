//! Days: sessions of the whole body are as far apart as they can be, or, where they would meet on neighbouring days,
//! become two halves.

use super::{Client, Rule};
use setwright_model::brief::{Focus, TrainingAge};

/// The rule. It is kept by which frames there are.
pub struct Days;

impl Rule for Days {
    fn name(&self) -> &'static str {
        "days"
    }
}

/// Least gap between sessions of a cycle, in days, round its end.
pub fn least_gap(days: &[u32], cycle_days: u32) -> u32 {
    let next = |i: usize| days.get(i + 1).copied().unwrap_or(days[0] + cycle_days);
    (0..days.len()).map(|i| next(i) - days[i]).min().unwrap_or(cycle_days)
}

/// Of day sets with their foci, those that are kept: whole-body ones only at the widest least gap there is.
pub fn is_wide(days: &[u32], focus: &[Focus], widest: u32, c: &Client<'_>) -> bool {
    focus.iter().any(|f| *f != Focus::WholeBody) || least_gap(days, c.brief.time.cycle_days) >= widest
}

/// Sessions from which a beginner's whole body becomes two halves too; with fewer there is too little of each (judgement).
const BEGINNER_HALVES: u32 = 4;

/// Whether the client's days force the whole body on neighbouring days, so that two halves serve better.
pub fn becomes_halves(widest: u32, c: &Client<'_>) -> bool {
    let least = match c.brief.training_age {
        TrainingAge::FirstWeeks => return false,
        TrainingAge::Beginner => BEGINNER_HALVES,
        TrainingAge::Intermediate | TrainingAge::Advanced => 2,
    };
    widest <= 1 && c.brief.time.sessions >= least
}
