//! The order of a session: main lifts, what tires the whole body, what the client came for, legs, the rest, trunk and
//! carries last. What must come before what is kept by the lifts' bits; this says what comes to mind first.

use super::{Client, Rule};
use setwright_model::Pattern;
use setwright_model::brief::{Goal, Priority};
use setwright_model::exercise::{Exercise, LoadKind};
use setwright_model::pattern::{Region, Side};

/// The rule.
pub struct Order;

impl Rule for Order {
    fn name(&self) -> &'static str {
        "order"
    }

    fn parts(&self, a: &Exercise, b: &Exercise, c: &Client<'_>) -> bool {
        // A round waits for the later of its two: a lift with a bar that comes early has no small work of the upper body
        // beside it, which has to wait for other presses and pulls, nor a carry, which comes last.
        let waits = !b.pattern.is_compound() && b.pattern.region() == Region::Upper;
        is_heavy(a) && c.is_told(a) && (waits || b.pattern == Pattern::Carry)
    }
}

/// The place of an exercise in a session, the highest first (large before small, multi-joint before single-joint:
/// Ratamess 2009, MSSE 41:687 (A); what matters most first: Simao 2012, Sports Med 42:251 (m); the classes are
/// judgement). What the client came for that is of one joint only comes behind the other compounds; that it is met in the
/// first half of the session is seen to when the blocks are put in order.
pub fn class(e: &Exercise, c: &Client<'_>) -> u64 {
    // Of one class what is pressed overhead comes after the larger press.
    2 * whole_class(e, c) + u64::from(e.pattern != Pattern::VerticalPress)
}

fn whole_class(e: &Exercise, c: &Client<'_>) -> u64 {
    if e.pattern == Pattern::WholeBody && e.skill >= 3 && c.is_told(e) {
        // Lifts for power come before lifts for strength (Ratamess 2009, MSSE 41:687 (A)).
        return 21;
    }
    if e.pattern == Pattern::Jump {
        // So do jumps: few, fast and fresh.
        return 21;
    }
    let strength = c.brief.goal == Goal::Strength;
    let came_for = strength && c.is_wanted(e) && c.is_told(e) && e.pattern.is_compound();
    if came_for && c.priority(e) == Some(Priority::Top) {
        // A pull-up needs fresher lats than a row.
        return 19 + u64::from(e.pattern == Pattern::VerticalPull);
    }
    if c.is_main(e) {
        // What the client came for most, then squats, presses, what comes from the floor.
        return if c.is_wanted(e) { 18 } else { 16 - u64::from(super::main_lifts::turn(e)) };
    }
    if came_for {
        return 17;
    }
    if super::aims::is_skill(e, c) {
        return 13;
    }
    let low = e.direct.iter().any(|m| c.is_minor(*m));
    if low && !e.is_taxing() {
        return 1;
    }
    let wanted = c.priority(e) >= Some(Priority::High);
    match e.pattern {
        Pattern::Carry | Pattern::GripHold | Pattern::Wrist => 0,
        _ if super::trunk_and_arms::is_trunk(e) && !wanted => 1,
        p if p.is_compound() => class_of_compound(e, wanted, c),
        _ if wanted => 4,
        _ => 3,
    }
}

/// Compounds: what the client came for, what taxes the whole body, what they already do, legs, the rest.
fn class_of_compound(e: &Exercise, wanted: bool, c: &Client<'_>) -> u64 {
    let lower = e.pattern.region() == Region::Lower;
    let press = e.pattern.side() == Side::Push && e.pattern.region() == Region::Upper;
    let told = c.is_told(e);
    if press && super::spared_shoulder::presses_wait(c) {
        return 4;
    }
    match (wanted, told) {
        (true, true) if is_heavy(e) => 14,
        (true, _) if told || e.is_taxing() => 13,
        (true, _) => 12,
        _ if e.is_taxing() || e.skill >= 3 => 11,
        (_, true) if lower || is_heavy(e) => 10,
        (_, true) => 8,
        _ if lower && e.systemic >= 1 => 7,
        _ if is_heavy(e) => 6,
        _ => 5,
    }
}

/// Done with a bar or a belt.
const fn is_heavy(e: &Exercise) -> bool {
    matches!(e.load, LoadKind::Bar | LoadKind::BodyPlus) && e.systemic >= 2
}
