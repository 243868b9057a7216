//! A shoulder that is spared: pulls are no fewer than presses, and the back of the shoulder is trained.

use super::{Client, Count, Rule, Unit};
use setwright_model::Pattern;
use setwright_model::exercise::{Ask, Exercise};
use setwright_model::pattern::{Region, Side};

/// The rule.
pub struct SparedShoulder;

impl Rule for SparedShoulder {
    fn name(&self) -> &'static str {
        "spared_shoulder"
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        if !applies(c) {
            return Vec::new();
        }
        let pulls = Count::new("spared_shoulder", "rows no fewer than presses", Unit::Set, |e, _| rows_less_presses(e));
        let rear = |e: &Exercise, _: &Client<'_>| i16::from(e.pattern == Pattern::RearFly);
        let behind = Count::new("spared_shoulder", "work for the back of the shoulder", Unit::Exercise, rear);
        vec![
            Count { cycle_least: Some(0), counts_locked: true, ..pulls },
            Count { cycle_least: Some(1), weight: 3, counts_locked: true, ..behind },
        ]
    }
}

/// Whether the brief spares a shoulder.
pub fn applies(c: &Client<'_>) -> bool {
    c.spares(Ask::ShoulderExtreme)
}

fn rows_less_presses(e: &Exercise) -> i16 {
    let upper = e.pattern.region() == Region::Upper && e.pattern.is_compound();
    match e.pattern {
        Pattern::HorizontalRow => 1,
        _ if upper && e.pattern.side() == Side::Push => -1,
        _ => 0,
    }
}
