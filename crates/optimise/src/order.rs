//! The order of a session's blocks, exactly: among the orders that keep precedence and part the spine-heavy
//! blocks those that have what the client came for in the first half, of these those that put big before small, and of
//! these the one in which tired muscles cost least.
//!
//! What a block loses is reckoned by the acute model from the block directly before it and from the set of those
//! before that, whatever their order; so a dynamic programme over sets of blocks and the last of them is exact.

use setwright_formulate::plan::{BackLoad, PlanBlock, must_precede};
use setwright_formulate::problem::{MODES, Problem, TIME_STEP_S};
use setwright_formulate::rules::grip::is_held_pull;
use setwright_formulate::rules::main_lifts::{FROM_THE_FLOOR, turn};
use setwright_model::brief::Priority;
use setwright_model::pattern::Region;
use setwright_model::{BlockKind, Exercise, Muscle, Seconds};
use setwright_science::acute::{Effort, FatigueState, block_quality};
use setwright_science::{clock, rules};

/// Parts of a weighted set that losses are counted in.
const LOSS_UNIT: f64 = 1e6;
/// What one place of one class weighs against losses: more than a session can lose.
const CLASS: u64 = 1 << 34;
/// Classes of a lift, and what the higher one of a block weighs against the lower.
const CLASSES: u64 = 64;
/// What a single joint that follows another for the same muscle weighs: as three classes for a place.
const SAME_AGAIN: u64 = 3 * CLASSES * CLASS;
/// What a new lift that comes before a told one with a bar for its muscle weighs, and a round of single joints before any
/// told lift with a bar: more than anything else.
const NEW_FIRST: u64 = 1 << 57;
/// From what it gives to a muscle a lift of several joints needs it fresh (judgement).
const NEEDED: f64 = 0.5;
/// What a muscle that the client came for and that is not met in the first half weighs against places: more than all of
/// them, and less than the big lifts.
const LATE: u64 = 1 << 52;
/// What weighs small work that comes before a lift which needs its muscle, or a pull before the one from the floor that needs the grip:
/// more than places, less than what comes late.
const TIRED: u64 = 1 << 51;

/// Blocks in the best order. The same blocks come back unordered when no order keeps the rules; the finder
/// never accepts such a session.
pub fn ordered(problem: &Problem, blocks: &[PlanBlock]) -> Vec<PlanBlock> {
    let mut blocks: Vec<PlanBlock> = blocks.iter().map(|s| bigger_first(problem, *s)).collect();
    blocks.sort_unstable_by_key(|s| (s.a.min(s.b), s.a));
    let before = must_precede(problem, &blocks);
    let legs = is_for_the_legs(problem, &blocks);
    let session = Session {
        before: &before[..blocks.len()],
        wanted: &blocks.iter().map(|s| if legs { [0; 2] } else { wanted(problem, *s) }).collect::<Vec<_>>(),
        known: &known(problem, &blocks),
        needing: &needing(problem, &blocks),
        lanes: &blocks.iter().map(|s| s.lifts().count() as u32).collect::<Vec<_>>(),
        backs: &blocks.iter().map(|s| BackLoad::of(problem, *s)).collect::<Vec<_>>(),
        class: &blocks.iter().map(|s| class(problem, *s)).collect::<Vec<_>>(),
        losses: &Losses::of(problem, &blocks),
    };
    let order = session.best_order().unwrap_or_else(|| (0..blocks.len()).collect());
    order.into_iter().map(|i| blocks[i]).collect()
}

/// An alternating block begins with what comes first by the order of a session, and of equals with what is larger.
fn bigger_first(problem: &Problem, slot: PlanBlock) -> PlanBlock {
    let weight = |l: u16| {
        let e = &problem.lifts[usize::from(l)].exercise;
        (problem.class[usize::from(l)], 4 * e.systemic + 2 * e.skill)
    };
    if slot.kind() == BlockKind::Alternating && weight(slot.b) > weight(slot.a) {
        return PlanBlock { a: slot.b, b: slot.a, ..slot };
    }
    slot
}

/// The class of a block, the highest first: that of the lift of its that comes earliest, and then that of the other.
fn class(problem: &Problem, slot: PlanBlock) -> u64 {
    let classes = slot.lifts().map(|(l, _)| problem.class[l]);
    let (most, all) = classes.fold((0, 0), |(most, all), c| (c.max(most), all + c));
    CLASSES * most + (all - most)
}

/// Muscles that the client came for and that a block's first and second lift are for (bits).
fn wanted(problem: &Problem, slot: PlanBlock) -> [u32; 2] {
    let mut out = [0; 2];
    out.iter_mut().zip(slot.lifts()).for_each(|(bit, (l, _))| *bit = came_for(problem, l));
    out
}

/// Muscles that the client came for and that a lift is for (bits).
fn came_for(problem: &Problem, lift: usize) -> u32 {
    let wanted = |m: &&Muscle| wish(problem, **m) >= Some(Priority::High);
    let direct = problem.lifts[lift].exercise.direct.iter().filter(wanted);
    direct.fold(0, |bits, m| bits | 1 << m.index())
}

/// Bits of the blocks with a told lift with a bar: for each block those for the muscle of a new compound in it, all for a block of
/// single joints, and the first where the client came for one of these.
fn known(problem: &Problem, blocks: &[PlanBlock]) -> Vec<u32> {
    let all = || blocks.iter().enumerate().flat_map(|(at, s)| s.lifts().map(move |(l, _)| (at, l)));
    let prime = |l: usize| problem.lifts[l].exercise.prime();
    let mut out = vec![0; blocks.len()];
    for (at, l) in all().filter(|(_, l)| problem.lifts[*l].new) {
        let told = all().filter(|(b, t)| *b != at && problem.lifts[*t].told_bar && prime(*t) == prime(l));
        out[at] |= told.fold(0, |bits, (b, _)| bits | 1 << b);
    }
    // Before a main lift comes nothing but another, and what the client came for above all.
    let is_main = |block: &PlanBlock| block.lifts().any(|(l, _)| problem.lifts[l].main);
    let mains: Vec<usize> = (0..blocks.len()).filter(|b| is_main(&blocks[*b])).collect();
    let least = mains.iter().map(|b| class(problem, blocks[*b])).min().unwrap_or(0);
    // A main lift itself is never under the least of them.
    for at in (0..blocks.len()).filter(|at| class(problem, blocks[*at]) < least) {
        out[at] |= mains.iter().fold(0, |bits, b| bits | 1 << b);
    }
    let is_big = |block: &PlanBlock| block.lifts().any(|(l, _)| problem.lifts[l].told_bar);
    let big: Vec<usize> = (0..blocks.len()).filter(|b| is_big(&blocks[*b])).collect();
    let first = big.iter().copied().max_by_key(|b| class(problem, blocks[*b]));
    for (at, block) in blocks.iter().enumerate() {
        let mut lifts = block.lifts().map(|(l, _)| l);
        if lifts.clone().any(|l| problem.lifts[l].exercise.pattern.is_compound()) {
            continue;
        }
        let waits_for = if lifts.any(|l| came_for(problem, l) > 0) { first.as_slice() } else { &big };
        out[at] |= waits_for.iter().fold(0, |bits, b| bits | 1 << b);
    }
    out
}

/// Bits of the blocks that small work, or a pull, in each should not precede.
fn needing(problem: &Problem, blocks: &[PlanBlock]) -> Vec<u32> {
    let waits =
        |l: usize, late: usize| tires_what_matters(problem, l, late) || spends_the_grip(problem, l, late);
    let pair = |one: &PlanBlock, other: &PlanBlock| {
        one.lifts().any(|(l, _)| other.lifts().any(|(late, _)| waits(l, late)))
    };
    let of = |(at, one): (usize, &PlanBlock)| {
        let others = blocks.iter().enumerate().filter(|(b, other)| *b != at && pair(one, other));
        others.fold(0, |bits, (b, _)| bits | 1 << b)
    };
    blocks.iter().enumerate().map(of).collect()
}

/// Whether a lift of one joint that the client came for tires a muscle which a lift of several joints needs that they came for no
/// less: bench and incline before what is for the triceps (common practice, no source (T)).
fn tires_what_matters(problem: &Problem, small: usize, big: usize) -> bool {
    let [small, big] = [small, big].map(|l| &problem.lifts[l].exercise);
    let most = |e: &Exercise| came_for_most(problem, e);
    let needs = small.direct.iter().any(|m| big.contribution(*m) >= NEEDED);
    let matters = most(big) >= Some(Priority::High) && most(big) >= most(small);
    !small.pattern.is_compound() && big.pattern.is_compound() && needs && matters
}

/// Whether a pull takes the grip that a main lift from the floor needs, and is not for what the client came for above all (common
/// practice, no source (T)).
fn spends_the_grip(problem: &Problem, pull: usize, floor: usize) -> bool {
    let (e, main) = (&problem.lifts[pull].exercise, &problem.lifts[floor]);
    let top = came_for_most(problem, e) == Some(Priority::Top);
    is_held_pull(e) && !top && main.main && turn(&main.exercise) == FROM_THE_FLOOR
}

/// How much what a lift is for matters.
fn came_for_most(problem: &Problem, e: &Exercise) -> Option<Priority> {
    e.direct.iter().filter_map(|m| wish(problem, *m)).max()
}

fn wish(problem: &Problem, muscle: Muscle) -> Option<Priority> {
    problem.brief.muscles.get(&muscle).and_then(|w| w.priority)
}

/// Whether most of a session is for the legs: there they come first, whatever else is wanted.
fn is_for_the_legs(problem: &Problem, blocks: &[PlanBlock]) -> bool {
    let all = || blocks.iter().flat_map(|s| s.lifts());
    let lower = all().filter(|(l, _)| problem.lifts[*l].exercise.pattern.region() == Region::Lower).count();
    2 * lower > all().count()
}

/// Whether a block ends and the next begins or goes on with single joints for one muscle.
fn same_again(problem: &Problem, a: PlanBlock, b: PlanBlock) -> bool {
    let primes = |s: PlanBlock| {
        let lifts = s.lifts().map(|(l, _)| &problem.lifts[l].exercise);
        lifts.filter(|e| !e.pattern.is_compound()).filter_map(setwright_model::Exercise::prime)
    };
    primes(a).any(|m| primes(b).any(|n| n == m))
}

/// What blocks lose to one another, in millionths of a weighted set.
struct Losses {
    /// `near[a][b]`: what b loses when a was done directly before it.
    near: Vec<Vec<u64>>,
    /// `far[a][b]`: what b loses when another block of ordinary length lay between.
    far: Vec<Vec<u64>>,
}

impl Losses {
    fn of(problem: &Problem, blocks: &[PlanBlock]) -> Self {
        let weights = rules::weights(&problem.brief);
        let works: Vec<Work<'_>> = blocks.iter().map(|s| Work::of(problem, *s, &weights)).collect();
        let between_s = works.iter().map(|w| w.length_s).sum::<f64>() / works.len().max(1) as f64;
        let table = |between_s: f64| -> Vec<Vec<u64>> {
            works.iter().map(|a| works.iter().map(|b| a.costs(b, between_s)).collect()).collect()
        };
        let mut near = table(0.0);
        for (a, row) in near.iter_mut().enumerate() {
            for (b, cost) in row.iter_mut().enumerate() {
                *cost += if same_again(problem, blocks[a], blocks[b]) { SAME_AGAIN } else { 0 };
            }
        }
        Self { near, far: table(between_s) }
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
    fn of(problem: &'a Problem, slot: PlanBlock, weights: &[f64; Muscle::COUNT]) -> Self {
        let effort = |index: usize| {
            let (exercise, scheme) = (&problem.lifts[index].exercise, problem.lifts[index].scheme);
            let mid_reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0;
            Effort { exercise, sets: u32::from(slot.sets), mid_reps, rir: f64::from(scheme.rir) }
        };
        let efforts: Vec<Effort<'a>> = slot.lifts().map(|(l, _)| effort(l)).collect();
        let weight = |e: &Effort<'_>| e.exercise.contributions().map(|(m, c)| c * weights[m.index()]).sum();
        let time: u32 = slot.lifts().map(|(l, m)| u32::from(problem.choice(l, m, slot.sets).time)).sum();
        let rest = Seconds(f64::from(MODES[usize::from(slot.mode)].rest_s));
        Self {
            set_weights: efforts.iter().map(weight).collect(),
            fresh: worths(&mut FatigueState::new(), &efforts, rest),
            length_s: f64::from(time) * TIME_STEP_S,
            setup_s: efforts.iter().map(|e| e.exercise.setup_s.get()).sum(),
            efforts,
            rest,
        }
    }

    /// What another block loses when it is done after this one, the change of block and `between_s` later.
    fn costs(&self, later: &Self, between_s: f64) -> u64 {
        let mut state = FatigueState::new();
        worths(&mut state, &self.efforts, self.rest);
        let change_s = later.setup_s.max(self.rest.get().min(clock::CHANGE_OF_BLOCK_MAX_S));
        state.rest(Seconds(change_s + between_s));
        let met = worths(&mut state, &later.efforts, later.rest);
        let lost = later.fresh.iter().zip(met).map(|(fresh, met)| (fresh - met).max(0.0));
        let sets = later.efforts.iter().zip(&later.set_weights).map(|(e, w)| f64::from(e.sets) * w);
        (LOSS_UNIT * lost.zip(sets).map(|(lost, sets)| lost * sets).sum::<f64>()).round() as u64
    }
}

fn worths(state: &mut FatigueState, efforts: &[Effort<'_>], rest: Seconds) -> Vec<f64> {
    block_quality(state, efforts, rest).into_iter().map(setwright_model::Share::get).collect()
}

/// What an order is judged by.
struct Session<'a> {
    /// Bits of the blocks that must come before each.
    before: &'a [u32],
    /// Muscles that the client came for, by block and lift (bits).
    wanted: &'a [[u32; 2]],
    /// Bits of the blocks with told lifts that a new one in each block should not precede.
    known: &'a [u32],
    /// Bits of the blocks that small work, or a pull, in each should not precede.
    needing: &'a [u32],
    /// Lifts of each block.
    lanes: &'a [u32],
    /// What each does to the back: not all may stand side by side.
    backs: &'a [BackLoad],
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
                    let Some(cost) = cost.filter(|_| !self.backs[last].parts(self.backs[b])) else {
                        continue;
                    };
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
        let new_first = u64::from((self.known[b] as usize & !done).count_ones());
        let tired = u64::from((self.needing[b] as usize & !done).count_ones());
        self.is_free(done, b).then(|| {
            LATE * self.late(done, b)
                + TIRED * tired
                + NEW_FIRST * new_first
                + CLASS * place * self.class[b]
                + (0..self.before.len()).map(far).sum::<u64>()
        })
    }

    /// Muscles that the client came for and that are met only in the second half, in block b after these.
    fn late(&self, done: usize, b: usize) -> u64 {
        let (mut seen, mut at) = (0, 0);
        for a in (0..self.lanes.len()).filter(|a| done >> a & 1 == 1) {
            seen |= self.wanted[a][0] | self.wanted[a][1];
            at += self.lanes[a];
        }
        let half = self.lanes.iter().sum::<u32>().div_ceil(2);
        let mut late = 0;
        for (lane, bits) in self.wanted[b].iter().enumerate() {
            late += if at + lane as u32 >= half { (bits & !seen).count_ones() } else { 0 };
            seen |= bits;
        }
        u64::from(late)
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
    use crate::rng::Rng;
    use setwright_formulate::plan::NONE;
    use setwright_formulate::problem::{STRAIGHT, compile};
    use setwright_gym::catalogue::builtin;
    use setwright_model::Brief;
    use setwright_science::strength;

    impl Session<'_> {
        /// The cost of an order, from the words of the rule; `None` when it may not be.
        fn cost(&self, order: &[usize]) -> Option<u64> {
            let mut cost = 0;
            for (place, &b) in order.iter().enumerate() {
                let earlier = &order[..place];
                let missing = (0..order.len()).any(|o| self.before[b] >> o & 1 == 1 && !earlier.contains(&o));
                let beside = earlier.last().is_some_and(|&a| self.backs[a].parts(self.backs[b]));
                if missing || beside {
                    return None;
                }
                let waits = |o: &usize| self.known[b] >> o & 1 == 1 && !earlier.contains(o);
                cost += NEW_FIRST * (0..order.len()).filter(waits).count() as u64;
                let needs = |o: &usize| self.needing[b] >> o & 1 == 1 && !earlier.contains(o);
                cost += TIRED * (0..order.len()).filter(needs).count() as u64;
                cost += LATE * self.late(earlier.iter().map(|a| 1usize << a).sum(), b);
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
                known: &(0..n).map(|b| rng.below(1 << n) as u32 & !(1 << b)).collect::<Vec<_>>(),
                needing: &(0..n).map(|b| rng.below(1 << n) as u32 & !(1 << b)).collect::<Vec<_>>(),
                wanted: &(0..n).map(|_| [rng.below(4) as u32, 0]).collect::<Vec<_>>(),
                lanes: &(0..n).map(|_| 1 + rng.below(2) as u32).collect::<Vec<_>>(),
                backs: &(0..n)
                    .map(|_| {
                        [BackLoad::Free, BackLoad::Free, BackLoad::Rested, BackLoad::Heavy][rng.below(4)]
                    })
                    .collect::<Vec<_>>(),
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
        order_for("size", ids, more)
    }

    fn order_for(goal: &str, ids: &[&str], more: &str) -> Vec<String> {
        let text = format!(
            "name = \"A\"\ngoal = \"{goal}\"\ntraining_age = \"advanced\"\ntime = {{ sessions = 2, minutes = 90 }}\n{more}"
        );
        let brief: Brief = toml::from_str(&text).unwrap();
        let problem = compile(&brief, builtin(), &strength::belief(&brief, builtin()), false);
        let slot = |id: &&str| {
            let place = problem.lifts.iter().position(|l| l.exercise.id.as_str() == *id).expect(id);
            let mode = STRAIGHT.rev().find(|m| problem.choice(place, *m, 3).allowed).expect("a rest");
            PlanBlock { a: place as u16, b: NONE, sets: 3, mode }
        };
        let slots: Vec<PlanBlock> = ids.iter().map(slot).collect();
        let name = |s: PlanBlock| problem.lifts[usize::from(s.a)].exercise.id.to_string();
        ordered(&problem, &slots).into_iter().map(name).collect()
    }

    #[test]
    fn nothing_small_comes_between_main_lifts_however_much_it_matters() {
        let lift = |id: &str| format!("{{ exercise = \"{id}\", load_kg = 100.0, reps = 3, rir = 2 }}");
        let told = ["back_squat", "bench_press", "deadlift"].map(lift).join(", ");
        let more = format!(
            "muscles = {{ side_delts = {{ priority = \"high\" }} }}\nlift = [{told}]\nequipment = {{ place = \"full_gym\" }}"
        );
        let ids = ["dumbbell_lateral_raise", "deadlift", "dumbbell_row", "bench_press", "back_squat"];
        let order = order_for("strength", &ids, &more);
        assert_eq!(order[..3], ["back_squat", "bench_press", "deadlift"], "{order:?}");
    }

    #[test]
    fn between_a_main_lift_and_a_heavy_hinge_that_is_none_something_spares_the_back() {
        let lift = |id: &str| format!("{{ exercise = \"{id}\", load_kg = 100.0, reps = 5, rir = 2 }}");
        let told = ["back_squat", "romanian_deadlift", "deadlift"].map(lift).join(", ");
        let more = format!("lift = [{told}]\nequipment = {{ place = \"full_gym\" }}");
        let order = order_for("strength", &["seated_cable_row", "romanian_deadlift", "back_squat"], &more);
        assert_eq!(order, ["back_squat", "seated_cable_row", "romanian_deadlift"]);
        let order = order_for("strength", &["seated_cable_row", "deadlift", "back_squat"], &more);
        assert_eq!(
            order,
            ["back_squat", "deadlift", "seated_cable_row"],
            "both are main lifts with long rests"
        );
    }

    #[test]
    fn what_tires_the_triceps_comes_after_the_press() {
        let order = order_of(&["triceps_pushdown", "bench_press"], "");
        assert_eq!(order, ["bench_press", "triceps_pushdown"]);
    }

    #[test]
    fn what_is_for_the_triceps_waits_for_the_presses_that_matter_as_much_where_both_come_early() {
        let ids = [
            "triceps_pushdown",
            "incline_dumbbell_press",
            "lat_pulldown",
            "seated_cable_row",
            "face_pull",
            "dumbbell_curl",
        ];
        let of = |chest: &str| {
            let wish = |muscle: &str, p: &str| format!("{muscle} = {{ priority = \"{p}\" }}");
            order_of(&ids, &format!("muscles = {{ {}, {} }}", wish("chest", chest), wish("triceps", "high")))
        };
        let both = of("high");
        assert_eq!(both[0], "incline_dumbbell_press", "{both:?}");
        assert!(both[..3].contains(&"triceps_pushdown".to_owned()), "{both:?}");
    }

    #[test]
    fn no_pull_takes_the_grip_before_the_deadlift_unless_it_matters_most() {
        let lift = |id: &str| format!("{{ exercise = \"{id}\", load_kg = 100.0, reps = 3, rir = 2 }}");
        let told =
            format!("{}, {{ exercise = \"pull_up\", load_kg = 5.0, reps = 5, rir = 1 }}", lift("deadlift"));
        let of = |priority: &str| {
            let more = format!(
                "muscles = {{ lats = {{ priority = \"{priority}\" }} }}\nlift = [{told}]\n\
                 equipment = {{ place = \"full_gym\" }}"
            );
            order_for("strength", &["pull_up", "deadlift", "dumbbell_bench_press"], &more)
        };
        assert_eq!(of("high")[0], "deadlift");
        assert_eq!(of("top")[0], "pull_up");
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
    fn what_the_client_came_for_and_then_what_taxes_comes_first_whatever_it_costs() {
        let ids = ["lat_pulldown", "leg_press", "deadlift", "seated_cable_row"];
        let told = "lift = [{ exercise = \"deadlift\", load_kg = 100.0, reps = 5, rir = 2 }]";
        let more = format!("muscles = {{ quads = {{ priority = \"high\" }} }}\n{told}");
        assert_eq!(order_of(&ids, &more)[..2], ["leg_press", "deadlift"]);
        assert_eq!(order_of(&ids, told)[..2], ["deadlift", "leg_press"]);
    }

    #[test]
    fn a_told_lift_with_a_bar_comes_before_other_work_for_its_muscles() {
        let ids = ["machine_incline_press", "lat_pulldown", "bench_press"];
        let told = "lift = [{ exercise = \"bench_press\", load_kg = 80.0, reps = 8, rir = 2 }]";
        assert_eq!(order_of(&ids, told)[0], "bench_press");
    }

    #[test]
    fn a_wanted_single_joint_stands_in_the_first_half_and_behind_the_big_lifts_of_it() {
        let ids = [
            "cable_curl",
            "bench_press",
            "seated_cable_row",
            "machine_incline_press",
            "lat_pulldown",
            "face_pull",
        ];
        let order = order_of(&ids, "muscles = { biceps = { priority = \"top\" } }");
        assert_eq!(order.iter().position(|id| id == "cable_curl"), Some(2), "{order:?}");
    }

    #[test]
    fn two_single_joints_of_one_muscle_are_parted() {
        let ids = ["seated_leg_curl", "lying_leg_curl", "standing_calf_machine_raise"];
        let order = order_of(&ids, "muscles = { hamstrings = { priority = \"top\" } }");
        assert_eq!(order[1], "standing_calf_machine_raise", "{order:?}");
    }

    #[test]
    fn of_two_small_lifts_the_one_that_the_press_did_not_tire_follows_it() {
        let order = order_of(&["triceps_pushdown", "dumbbell_curl", "bench_press"], "");
        assert_eq!(order, ["bench_press", "dumbbell_curl", "triceps_pushdown"]);
        let order = order_of(&["triceps_pushdown", "dumbbell_curl", "seated_cable_row"], "");
        assert_eq!(order, ["seated_cable_row", "triceps_pushdown", "dumbbell_curl"]);
    }
}
