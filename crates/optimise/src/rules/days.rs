//! Days: sessions of the whole body are as far apart as they can be, or, where they would meet on neighbouring days,
//! become two halves.

use super::{Client, Rule};
use setwright_model::brief::Focus;

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

/// Whether the client's days force the whole body on neighbouring days, so that two halves serve better. Newer clients
/// keep the whole body: they have too little of each for a half.
pub fn becomes_halves(widest: u32, c: &Client<'_>) -> bool {
    widest <= 1 && c.brief.time.sessions >= 2 && !c.is_new()
}
