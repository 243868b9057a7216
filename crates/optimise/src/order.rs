//! The order of a session's blocks, exactly: among the orders that keep precedence and part the spine-heavy
//! blocks, the one that puts what matters first.

use crate::plan::{Slot, is_spine_heavy, must_precede};
use crate::problem::{Problem, lead_extra_units};
use setwright_model::BlockKind;
use setwright_model::brief::Priority;

/// Blocks in the best order. The same blocks come back unordered when no order keeps the rules; the finder
/// never accepts such a session.
pub fn ordered(problem: &Problem, blocks: &[Slot]) -> Vec<Slot> {
    let mut blocks = blocks.to_vec();
    blocks.sort_unstable();
    let before = must_precede(problem, &blocks);
    let heavy: Vec<bool> = blocks.iter().map(|s| is_spine_heavy(problem, *s)).collect();
    let weights: Vec<u64> = blocks.iter().map(|s| importance(problem, *s)).collect();
    let first: Vec<bool> = blocks.iter().map(|s| may_lead(problem, *s)).collect();
    let order = best_order(&before[..blocks.len()], &heavy, &weights, &first);
    let order = order.unwrap_or_else(|| (0..blocks.len()).collect());
    order.into_iter().map(|i| bigger_first(problem, blocks[i])).collect()
}

/// An alternating block begins with what matters more.
fn bigger_first(problem: &Problem, slot: Slot) -> Slot {
    let weight = |l: u16| lift_importance(problem, usize::from(l));
    if slot.kind() == BlockKind::Alternating && weight(slot.b) > weight(slot.a) {
        return Slot { a: slot.b, b: slot.a, ..slot };
    }
    slot
}

/// How much a block wants to come early: taxing and skilled lifts, compounds, priority muscles.
fn importance(problem: &Problem, slot: Slot) -> u64 {
    slot.lifts().map(|(l, _)| lift_importance(problem, l)).max().unwrap_or(0)
}

fn lift_importance(problem: &Problem, index: usize) -> u64 {
    let e = &problem.lifts[index].exercise;
    let priority = e.prime().and_then(|m| problem.brief.muscles.get(&m)).and_then(|w| w.priority);
    let wanted = match priority {
        Some(Priority::Top) => 6,
        Some(Priority::High) => 3,
        _ => 0,
    };
    let compound = if e.pattern.is_compound() { 6 } else { 0 };
    compound + 4 * u64::from(e.systemic) + 2 * u64::from(e.skill) + wanted
}

/// Whether the session's longer first ramp fits what was reserved when this block comes first.
fn may_lead(problem: &Problem, slot: Slot) -> bool {
    slot.lifts()
        .map(|(l, _)| &problem.lifts[l])
        .find(|l| l.family.is_some())
        .is_none_or(|l| lead_extra_units(l, &problem.brief) <= problem.start_units)
}

/// Dynamic programme over sets of done blocks and "the last was spine-heavy"; the cost of a block is its
/// importance times its place.
fn best_order(before: &[u32], heavy: &[bool], weights: &[u64], first: &[bool]) -> Option<Vec<usize>> {
    let n = before.len();
    let all = (1usize << n) - 1;
    let mut best = vec![[u64::MAX; 2]; all + 1];
    let mut from = vec![[(0u8, 0u8); 2]; all + 1];
    best[0][0] = 0;
    for done in 0..all {
        let place = u64::from(done.count_ones());
        for last in 0..2 {
            if best[done][last] == u64::MAX {
                continue;
            }
            for b in 0..n {
                let free = done & (1 << b) == 0 && before[b] as usize & !done == 0;
                if !free || last == 1 && heavy[b] || done == 0 && !first[b] && first.contains(&true) {
                    continue;
                }
                let (next, state) = (done | 1 << b, usize::from(heavy[b]));
                let cost = best[done][last] + place * weights[b];
                if cost < best[next][state] {
                    best[next][state] = cost;
                    from[next][state] = (b as u8, last as u8);
                }
            }
        }
    }
    let mut last = usize::from(best[all][0] > best[all][1]);
    if best[all][last] == u64::MAX {
        return None;
    }
    let (mut done, mut order) = (all, Vec::with_capacity(n));
    while done != 0 {
        let (b, earlier) = from[done][last];
        order.push(usize::from(b));
        done &= !(1 << b);
        last = usize::from(earlier);
    }
    order.reverse();
    Some(order)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All permutations that keep the rules, by cost.
    fn brute(before: &[u32], heavy: &[bool], weights: &[u64]) -> Option<u64> {
        fn go(done: u32, last: bool, place: u64, c: (&[u32], &[bool], &[u64])) -> Option<u64> {
            let (before, heavy, weights) = c;
            if done.count_ones() as usize == before.len() {
                return Some(0);
            }
            (0..before.len())
                .filter(|&b| done >> b & 1 == 0 && before[b] & !done == 0 && !(last && heavy[b]))
                .filter_map(|b| Some(place * weights[b] + go(done | 1 << b, heavy[b], place + 1, c)?))
                .min()
        }
        go(0, false, 0, (before, heavy, weights))
    }

    #[test]
    fn the_order_found_is_the_cheapest_that_keeps_the_rules() {
        let mut rng = crate::rng::Rng::new(3, 0);
        for _ in 0..300 {
            let n = 1 + rng.below(6);
            let before: Vec<u32> = (0..n)
                .map(|b| (0..n).filter(|o| *o != b && rng.below(5) == 0).map(|o| 1 << o).sum())
                .collect();
            let heavy: Vec<bool> = (0..n).map(|_| rng.below(3) == 0).collect();
            let weights: Vec<u64> = (0..n).map(|_| rng.below(20) as u64).collect();
            let found = best_order(&before, &heavy, &weights, &vec![true; n]);
            let cost = found.as_ref().map(|order| {
                order.iter().enumerate().map(|(place, &b)| place as u64 * weights[b]).sum::<u64>()
            });
            assert_eq!(cost, brute(&before, &heavy, &weights), "{before:?} {heavy:?} {weights:?}");
        }
    }
}
