//! The order of a session's blocks, exactly: among the orders that keep precedence and part the spine-heavy
//! blocks those that begin each family with its ramped lift, of these those that put what matters first, and of
//! these the one in which tired muscles cost least.
//!
//! What a block loses is reckoned by the acute model from the block directly before it and from the set of those
//! before that, whatever their order; so a dynamic programme over sets of blocks and the last of them is exact.

use crate::plan::{Slot, is_spine_heavy, must_precede};
use crate::problem::{MODES, NOTHING, Problem, TIME_STEP_S};
use setwright_model::{BlockKind, Muscle, Seconds};
use setwright_science::acute::{Effort, State, block_quality};
use setwright_science::warmup::RampFamily;
use setwright_science::{clock, prescribe, rules};

/// Parts of a weighted set that losses are counted in.
const LOSS_UNIT: f64 = 1e6;
/// What one place of one class weighs against losses: more than a session can lose.
const CLASS: u64 = 1 << 40;
/// What a lift done before the ramped one of its family weighs against places: more than all of them.
const COLD: u64 = 1 << 54;

/// Blocks in the best order. The same blocks come back unordered when no order keeps the rules; the finder
/// never accepts such a session.
pub fn ordered(problem: &Problem, blocks: &[Slot]) -> Vec<Slot> {
    let mut blocks: Vec<Slot> = blocks.iter().map(|s| bigger_first(problem, *s)).collect();
    blocks.sort_unstable_by_key(|s| (s.a.min(s.b), s.a));
    let before = must_precede(problem, &blocks);
    let session = Session {
        before: &before[..blocks.len()],
        leads: &leads(problem, &blocks),
        heavy: &blocks.iter().map(|s| is_spine_heavy(problem, *s)).collect::<Vec<_>>(),
        class: &blocks.iter().map(|s| class(problem, *s)).collect::<Vec<_>>(),
        losses: &Losses::of(problem, &blocks),
    };
    let order = session.best_order().unwrap_or_else(|| (0..blocks.len()).collect());
    order.into_iter().map(|i| blocks[i]).collect()
}

/// An alternating block begins with what comes first by the order of a session, and of equals with what is larger.
fn bigger_first(problem: &Problem, slot: Slot) -> Slot {
    let weight = |l: u16| {
        let e = &problem.lifts[usize::from(l)].exercise;
        (problem.class[usize::from(l)], 4 * e.systemic + 2 * e.skill)
    };
    if slot.kind() == BlockKind::Alternating && weight(slot.b) > weight(slot.a) {
        return Slot { a: slot.b, b: slot.a, ..slot };
    }
    slot
}

/// The class of a block, the highest first: that of the lift of its that comes earliest.
fn class(problem: &Problem, slot: Slot) -> u64 {
    slot.lifts().map(|(l, _)| problem.class[l]).max().unwrap_or(0)
}

/// Bits of the blocks that hold the ramped lift of a family that a block has another lift of. That one finds its
/// muscles warm only afterwards.
fn leads(problem: &Problem, blocks: &[Slot]) -> Vec<u32> {
    let mut lead = [(u16::MAX, 0); RampFamily::ALL.len()];
    for (at, (l, _)) in blocks.iter().enumerate().flat_map(|(i, s)| s.lifts().map(move |l| (i, l))) {
        let lift = &problem.hot[l];
        if lift.family != NOTHING && lift.rank < lead[usize::from(lift.family)].0 {
            lead[usize::from(lift.family)] = (lift.rank, at);
        }
    }
    let families = |s: &Slot| s.lifts().map(|(l, _)| problem.hot[l].family).filter(|f| *f != NOTHING);
    let others = |(at, s): (usize, &Slot)| -> u32 {
        let away = families(s).map(|f| lead[usize::from(f)].1).filter(|l| *l != at);
        away.fold(0, |bits, l| bits | 1 << l)
    };
    blocks.iter().enumerate().map(others).collect()
}

/// What blocks lose to one another, in millionths of a weighted set.
struct Losses {
    /// `near[a][b]`: what b loses when a was done directly before it.
    near: Vec<Vec<u64>>,
    /// `far[a][b]`: what b loses when another block of ordinary length lay between.
    far: Vec<Vec<u64>>,
}

impl Losses {
    fn of(problem: &Problem, blocks: &[Slot]) -> Self {
        let weights = rules::weights(&problem.brief);
        let works: Vec<Work<'_>> = blocks.iter().map(|s| Work::of(problem, *s, &weights)).collect();
        let between_s = works.iter().map(|w| w.length_s).sum::<f64>() / works.len().max(1) as f64;
        let table = |between_s: f64| -> Vec<Vec<u64>> {
            works.iter().map(|a| works.iter().map(|b| a.costs(b, between_s)).collect()).collect()
        };
        Self { near: table(0.0), far: table(between_s) }
    }
}

/// A block as the acute model sees it.
struct Work<'a> {
    efforts: Vec<Effort<'a>>,
    /// Weight of a set of each exercise: contributions weighed by what the muscles matter.
    set_weights: Vec<f64>,
    rest: Seconds,
    length_s: f64,
    setup_s: f64,
    /// Worth of the sets of each exercise when nothing came before.
    fresh: Vec<f64>,
}

impl<'a> Work<'a> {
    fn of(problem: &'a Problem, slot: Slot, weights: &[f64; Muscle::COUNT]) -> Self {
        let brief = &problem.brief;
        let effort = |index: usize| {
            let exercise = &problem.lifts[index].exercise;
            let scheme = prescribe::for_client(exercise, brief);
            let mid_reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0;
            Effort { exercise, sets: u32::from(slot.sets), mid_reps, rir: f64::from(scheme.rir) }
        };
        let efforts: Vec<Effort<'a>> = slot.lifts().map(|(l, _)| effort(l)).collect();
        let weight = |e: &Effort<'_>| e.exercise.contributions().map(|(m, c)| c * weights[m.index()]).sum();
        let time: u32 = slot.lifts().map(|(l, m)| u32::from(problem.choice(l, m, slot.sets).time)).sum();
        let rest = Seconds(f64::from(MODES[usize::from(slot.mode)].rest_s));
        Self {
            set_weights: efforts.iter().map(weight).collect(),
            fresh: worths(&mut State::new(), &efforts, rest),
            length_s: f64::from(time) * TIME_STEP_S,
            setup_s: efforts.iter().map(|e| e.exercise.setup_s.get()).sum(),
            efforts,
            rest,
        }
    }

    /// What another block loses when it is done after this one, the change of block and `between_s` later.
    fn costs(&self, later: &Self, between_s: f64) -> u64 {
        let mut state = State::new();
        worths(&mut state, &self.efforts, self.rest);
        let change_s = later.setup_s.max(self.rest.get().min(clock::CHANGE_OF_BLOCK_MAX_S));
        state.rest(Seconds(change_s + between_s));
        let met = worths(&mut state, &later.efforts, later.rest);
        let lost = later.fresh.iter().zip(met).map(|(fresh, met)| (fresh - met).max(0.0));
        let sets = later.efforts.iter().zip(&later.set_weights).map(|(e, w)| f64::from(e.sets) * w);
        (LOSS_UNIT * lost.zip(sets).map(|(lost, sets)| lost * sets).sum::<f64>()).round() as u64
    }
}

fn worths(state: &mut State, efforts: &[Effort<'_>], rest: Seconds) -> Vec<f64> {
    block_quality(state, efforts, rest).into_iter().map(setwright_model::Share::get).collect()
}

/// What an order is judged by.
struct Session<'a> {
    /// Bits of the blocks that must come before each.
    before: &'a [u32],
    /// Bits of the blocks that warm each.
    leads: &'a [u32],
    /// Heavy on the spine: not side by side.
    heavy: &'a [bool],
    /// The higher, the earlier.
    class: &'a [u64],
    losses: &'a Losses,
}

impl Session<'_> {
    /// Dynamic programme over sets of done blocks and the last of them.
    fn best_order(&self) -> Option<Vec<usize>> {
        let n = self.before.len();
        if n == 0 {
            return Some(Vec::new());
        }
        let all = (1usize << n) - 1;
        let mut best = vec![u64::MAX; (all + 1) * n];
        let mut from = vec![u8::MAX; (all + 1) * n];
        for (b, cost) in (0..n).filter_map(|b| Some((b, self.cost_after(0, b)?))) {
            best[(1 << b) * n + b] = cost;
        }
        for done in 1..all {
            let costs: Vec<Option<u64>> = (0..n).map(|b| self.cost_after(done, b)).collect();
            for last in 0..n {
                let so_far = best[done * n + last];
                if so_far == u64::MAX {
                    continue;
                }
                for (b, cost) in costs.iter().enumerate() {
                    let Some(cost) = cost.filter(|_| !(self.heavy[last] && self.heavy[b])) else { continue };
                    let next = (done | 1 << b) * n + b;
                    let cost = so_far + cost + self.losses.near[last][b] - self.losses.far[last][b];
                    if cost < best[next] {
                        best[next] = cost;
                        from[next] = last as u8;
                    }
                }
            }
        }
        let last = (0..n).min_by_key(|&b| best[all * n + b])?;
        (best[all * n + last] < u64::MAX).then(|| walk_back(&from, n, last))
    }

    fn is_free(&self, done: usize, b: usize) -> bool {
        done & (1 << b) == 0 && self.before[b] as usize & !done == 0
    }

    /// What block b costs after these, all of them far; `None` when it may not come yet.
    fn cost_after(&self, done: usize, b: usize) -> Option<u64> {
        let far = |a: usize| if done >> a & 1 == 1 { self.losses.far[a][b] } else { 0 };
        let place = u64::from(done.count_ones());
        let cold = u64::from((self.leads[b] as usize & !done).count_ones());
        self.is_free(done, b).then(|| {
            COLD * cold + CLASS * place * self.class[b] + (0..self.before.len()).map(far).sum::<u64>()
        })
    }
}

fn walk_back(from: &[u8], n: usize, last: usize) -> Vec<usize> {
    let (mut done, mut last) = ((1usize << n) - 1, last);
    let mut order = vec![last];
    while done.count_ones() > 1 {
        let earlier = usize::from(from[done * n + last]);
        done &= !(1 << last);
        last = earlier;
        order.push(last);
    }
    order.reverse();
    order
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::NONE;
    use crate::problem::{STRAIGHT, compile};
    use crate::rng::Rng;
    use setwright_model::Brief;
    use setwright_science::catalogue::builtin;
    use setwright_science::strength;

    impl Session<'_> {
        /// The cost of an order, from the words of the rule; `None` when it may not be.
        fn cost(&self, order: &[usize]) -> Option<u64> {
            let mut cost = 0;
            for (place, &b) in order.iter().enumerate() {
                let earlier = &order[..place];
                let missing = (0..order.len()).any(|o| self.before[b] >> o & 1 == 1 && !earlier.contains(&o));
                let beside = earlier.last().is_some_and(|&a| self.heavy[a] && self.heavy[b]);
                if missing || beside {
                    return None;
                }
                let warms = |o: &usize| self.leads[b] >> o & 1 == 1 && !earlier.contains(o);
                cost += COLD * (0..order.len()).filter(warms).count() as u64;
                cost += CLASS * place as u64 * self.class[b];
                for (i, &a) in earlier.iter().enumerate() {
                    let table = if i + 1 == place { &self.losses.near } else { &self.losses.far };
                    cost += table[a][b];
                }
            }
            Some(cost)
        }
    }

    fn permutations(n: usize) -> Vec<Vec<usize>> {
        if n == 0 {
            return vec![Vec::new()];
        }
        let shorter = permutations(n - 1);
        shorter.iter().flat_map(|p| (0..n).map(move |at| [&p[..at], &[n - 1], &p[at..]].concat())).collect()
    }

    #[test]
    fn the_order_found_is_the_cheapest_of_all_that_keep_the_rules() {
        let mut rng = Rng::new(3, 0);
        let mut possible = 0;
        for _ in 0..400 {
            let n = 1 + rng.below(6);
            let before: Vec<u32> = (0..n)
                .map(|b| (0..n).filter(|o| *o != b && rng.below(6) == 0).map(|o| 1 << o).sum())
                .collect();
            let mut table = |least: u64| -> Vec<Vec<u64>> {
                (0..n).map(|_| (0..n).map(|_| least + rng.below(900) as u64).collect()).collect()
            };
            let losses = Losses { near: table(1000), far: table(0) };
            let session = Session {
                before: &before,
                leads: &(0..n).map(|b| rng.below(1 << n) as u32 & !(1 << b)).collect::<Vec<_>>(),
                heavy: &(0..n).map(|_| rng.below(3) == 0).collect::<Vec<_>>(),
                class: &(0..n).map(|_| rng.below(3) as u64).collect::<Vec<_>>(),
                losses: &losses,
            };
            let wanted = permutations(n).iter().filter_map(|order| session.cost(order)).min();
            let found = session.best_order().map(|order| session.cost(&order).expect("it keeps the rules"));
            assert_eq!(found, wanted, "{before:?}");
            possible += u32::from(wanted.is_some());
        }
        assert!(possible > 100, "only {possible} could be ordered");
    }

    /// The order of straight blocks of three sets, by identifier.
    fn order_of(ids: &[&str], more: &str) -> Vec<String> {
        let text = format!(
            "name = \"A\"\ngoal = \"size\"\ntraining_age = \"advanced\"\ntime = {{ sessions = 2, minutes = 90 }}\n{more}"
        );
        let brief: Brief = toml::from_str(&text).unwrap();
        let problem = compile(&brief, builtin(), &strength::belief(&brief, builtin()), false);
        let slot = |id: &&str| {
            let place = problem.lifts.iter().position(|l| l.exercise.id.as_str() == *id).expect(id);
            let mode = STRAIGHT.rev().find(|m| problem.choice(place, *m, 3).allowed).expect("a rest");
            Slot { a: place as u16, b: NONE, sets: 3, mode }
        };
        let slots: Vec<Slot> = ids.iter().map(slot).collect();
        let name = |s: Slot| problem.lifts[usize::from(s.a)].exercise.id.to_string();
        ordered(&problem, &slots).into_iter().map(name).collect()
    }

    #[test]
    fn what_tires_the_triceps_comes_after_the_press() {
        let order = order_of(&["triceps_pushdown", "bench_press"], "");
        assert_eq!(order, ["bench_press", "triceps_pushdown"]);
    }

    #[test]
    fn two_presses_are_parted_by_what_tires_neither() {
        // A row stands in one class with presses; legs come before both.
        for middle in ["seated_cable_row", "lat_pulldown"] {
            let order = order_of(&["dumbbell_bench_press", "seated_dumbbell_press", middle], "");
            assert_eq!(order[1], middle, "{order:?}");
        }
        let order = order_of(&["dumbbell_bench_press", "seated_dumbbell_press", "leg_press"], "");
        assert_eq!(order[0], "leg_press", "{order:?}");
    }

    #[test]
    fn a_taxing_lift_and_a_priority_come_first_whatever_it_costs() {
        let ids = ["lat_pulldown", "leg_press", "deadlift", "seated_cable_row"];
        let more = "muscles = { quads = { priority = \"high\" } }\nlift = [{ exercise = \"deadlift\", load_kg = 100.0, reps = 5, rir = 2 }]";
        let order = order_of(&ids, more);
        assert_eq!(order[..2], ["deadlift", "leg_press"], "{order:?}");
    }

    #[test]
    fn a_family_begins_with_the_lift_that_is_ramped() {
        let ids = ["dumbbell_bench_press", "bench_press", "seated_dumbbell_press"];
        let order = order_of(&ids, "muscles = { front_delts = { priority = \"high\" } }");
        assert_eq!(order[0], "bench_press", "{order:?}");
    }

    #[test]
    fn of_two_small_lifts_the_one_that_the_press_did_not_tire_follows_it() {
        let order = order_of(&["triceps_pushdown", "dumbbell_curl", "bench_press"], "");
        assert_eq!(order, ["bench_press", "dumbbell_curl", "triceps_pushdown"]);
        let order = order_of(&["triceps_pushdown", "dumbbell_curl", "seated_cable_row"], "");
        assert_eq!(order, ["seated_cable_row", "triceps_pushdown", "dumbbell_curl"]);
    }
}
