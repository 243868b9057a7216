//! The order of a session: main lifts, what tires the whole body, what the client came for, legs, the rest, trunk and
//! carries last. What must come before what is kept by the lifts' bits; this says what comes to mind first.

use super::{Client, Rule};
use setwright_model::Pattern;
use setwright_model::brief::Priority;
use setwright_model::exercise::Exercise;
use setwright_model::pattern::{Region, Side};

/// The rule.
pub struct Order;

impl Rule for Order {
    fn name(&self) -> &'static str {
        "order"
    }
}

/// The place of an exercise in a session, the highest first (large before small, multi-joint before single-joint:
/// Ratamess 2009, MSSE 41:687 (A); what matters most first: Simao 2012, Sports Med 42:251 (m); the classes are
/// judgement).
pub fn class(e: &Exercise, c: &Client<'_>) -> u64 {
    if c.is_main(e) {
        // Squats, presses, then what comes from the floor.
        return 14 - u64::from(super::main_lifts::turn(e));
    }
    let low =
        e.direct.iter().any(|m| c.priority_of(*m) <= Some(Priority::Low) && c.priority_of(*m).is_some());
    if low && !e.is_taxing() {
        return 1;
    }
    let wanted = c.priority(e);
    let lower = e.pattern.region() == Region::Lower;
    let press = e.pattern.side() == Side::Push && e.pattern.region() == Region::Upper;
    match e.pattern {
        Pattern::Carry | Pattern::GripHold | Pattern::Wrist => 0,
        _ if super::trunk_and_arms::is_trunk(e) && wanted < Some(Priority::High) => 1,
        _ if e.pattern.is_compound() && (e.is_taxing() || e.skill >= 3) => 11,
        _ if e.pattern.is_compound() && wanted >= Some(Priority::High) => 10,
        _ if wanted == Some(Priority::Top) => 9,
        _ if wanted == Some(Priority::High) => 8,
        _ if press && super::spared_shoulder::presses_wait(c) => 4,
        _ if e.pattern.is_compound() && lower && e.systemic >= 1 => 7,
        _ if e.pattern.is_compound() => 5,
        _ => 3,
    }
}
