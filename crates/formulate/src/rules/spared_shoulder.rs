//! A shoulder that is spared: pulls are no fewer than presses, and the back of the shoulder is trained.

use super::{Client, Count, Rule, Unit};
use setwright_model::Pattern;
use setwright_model::exercise::{Ask, Exercise, LoadKind};
use setwright_model::pattern::{Region, Side};

/// The rule.
pub struct SparedShoulder;

impl Rule for SparedShoulder {
    fn name(&self) -> &'static str {
        "spared_shoulder"
    }

    fn keeps_out(&self, e: &Exercise, c: &Client<'_>) -> Option<String> {
        let own = c.is_told(e) || c.is_locked(e);
        (c.limits.pulls_lead && is_bar_on_the_back(e) && !own)
            .then(|| "a bar on the back turns a spared shoulder far out".to_owned())
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let mut out = Vec::new();
        if c.limits.pulls_lead {
            let lead = |e: &Exercise, _: &Client<'_>| rows_less_presses(e);
            let pulls = Count::new("spared_shoulder", "rows no fewer than presses", Unit::Set, lead);
            out.push(Count { cycle_least: Some(0), is_firm: true, ..pulls });
            // The same with pulls from above, for where there is nothing to row with.
            let lead = |e: &Exercise, _: &Client<'_>| {
                rows_less_presses(e) + i16::from(e.pattern == Pattern::VerticalPull)
            };
            let pulls = Count::new("spared_shoulder", "pulls no fewer than presses", Unit::Set, lead);
            out.push(Count { cycle_least: Some(0), is_firm: true, ..pulls });
        }
        if wants_rear(c) {
            let rear = |e: &Exercise, _: &Client<'_>| i16::from(e.pattern == Pattern::RearFly);
            let behind =
                Count::new("spared_shoulder", "work for the back of the shoulder", Unit::Exercise, rear);
            out.push(Count { cycle_least: Some(1), weight: 3, ..behind });
        }
        out
    }
}

/// A straight bar behind the neck (common practice, no source (T): it needs a shoulder that turns far out).
fn is_bar_on_the_back(e: &Exercise) -> bool {
    let standing = matches!(e.pattern, Pattern::Squat | Pattern::Lunge);
    standing && e.load == LoadKind::Bar && e.asks.contains(&Ask::SpineLoad)
}

/// Whether the back of the shoulder is to be trained.
pub fn wants_rear(c: &Client<'_>) -> bool {
    c.care.wanted().iter().any(|(p, _)| *p == Pattern::RearFly)
}

/// Whether a session may not open with a press.
pub fn presses_wait(c: &Client<'_>) -> bool {
    !c.limits.press_may_open
}

fn rows_less_presses(e: &Exercise) -> i16 {
    let upper = e.pattern.region() == Region::Upper && e.pattern.is_compound();
    match e.pattern {
        Pattern::HorizontalRow => 1,
        _ if upper && e.pattern.side() == Side::Push => -1,
        _ => 0,
    }
}
