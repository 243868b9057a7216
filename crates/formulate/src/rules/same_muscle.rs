//! For an advanced client's stubborn muscle one same-muscle superset a session: a single joint close to failure, and at
//! once a compound that the same muscle then ends (common practice, no source (T)).

use super::{Client, Rule};
use crate::modes::Mode;
use setwright_model::BlockKind;
use setwright_model::brief::Priority;
use setwright_model::exercise::Exercise;
use setwright_science::rules::COMPETING_CONTRIBUTION;

/// What such a block brings beyond its sets, in points (judgement: more than its second exercise
/// loses, so that there is one).
const BRINGS: f64 = 0.6;
/// Most such blocks of a session.
pub const MOST: u32 = 1;

/// The rule.
pub struct SameMuscle;

impl Rule for SameMuscle {
    fn name(&self) -> &'static str {
        "same_muscle"
    }

    fn allows(&self, e: &Exercise, mode: Mode, _sets: u32, c: &Client<'_>) -> bool {
        mode.kind != BlockKind::SameMuscle
            || c.rules.same_muscle && (if mode.second { is_second(e) } else { is_first(e, c) })
    }

    fn parts(&self, a: &Exercise, b: &Exercise, _c: &Client<'_>) -> bool {
        // An alternating block is of what does not compete.
        a.contributions()
            .any(|(m, of_a)| of_a >= COMPETING_CONTRIBUTION && b.contribution(m) >= COMPETING_CONTRIBUTION)
    }

    fn price(&self, e: &Exercise, mode: Mode, c: &Client<'_>) -> f64 {
        // Paid to the second, whose sets are worth less there: so nothing is paid for half of such a block.
        let for_top = e
            .contributions()
            .any(|(m, part)| part >= COMPETING_CONTRIBUTION && c.priority_of(m) == Some(Priority::Top));
        if mode.kind == BlockKind::SameMuscle && mode.second && for_top { -BRINGS } else { 0.0 }
    }
}

fn is_first(e: &Exercise, c: &Client<'_>) -> bool {
    !e.pattern.is_compound() && c.is_wanted(e)
}

fn is_second(e: &Exercise) -> bool {
    e.pattern.is_compound() && !e.is_taxing() && e.skill <= 2
}

/// Whether `b` may follow `a` at once: the muscle that `a` is for ends `b`.
pub fn may_follow(a: &Exercise, b: &Exercise, c: &Client<'_>) -> bool {
    let ends = |m| b.contribution(m) >= COMPETING_CONTRIBUTION;
    c.rules.same_muscle
        && is_first(a, c)
        && is_second(b)
        && a.prime().is_some_and(ends)
        && !(a.is_grip_heavy() && b.is_grip_heavy() || a.is_spinal() && b.is_spinal())
        && super::stations::can_hold_both(a, b, c.brief.time.busy)
}
