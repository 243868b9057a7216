//! Which discs hang on a bar, in which order, from step to step of a ramp: the fewest are moved, and none hangs
//! outside a lighter one (common practice, no source (T): a small disc inside a large one is a trap for fingers).
//!
//! Discs come off in the reverse order they went on. So the steps during which one disc stays on are a run,
//! and the runs of any two discs are either apart or one within the other. The search goes over all such
//! nestings: for every run of steps and every set of discs on the bar throughout it, the least number of
//! discs that must still be moved. That is exact, and small: a few thousand sets of discs times a few runs.
//! It does not choose loads; it hangs those it is given.

use crate::loads::{Disc, Loadable, Rack};
use setwright_model::{Kilograms, MassUnit};
use std::collections::BTreeMap;

/// Most sets of discs times runs of steps that are searched; beyond it each load is hung with the fewest
/// discs, heaviest first (numeric).
const SEARCH_MAX: usize = 400_000;
/// A disc moved, in the currency of the search; a disc carried through a step is 1. Fewest discs moved comes
/// first, then fewest discs on the bar (numeric).
const MOVED: u32 = 10_000;
/// What cannot be hung (numeric).
const NEVER: u32 = u32::MAX;

/// A disc that hangs, known to whoever loads the bar by the number that is cast on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// Mass.
    pub mass: Kilograms,
    /// What the number cast on it is in.
    pub marked: MassUnit,
}

impl Plate {
    /// The number that is cast on it, in the unit it is marked in, to a hundredth.
    pub fn number(&self) -> f64 {
        let marked = match self.marked {
            MassUnit::Kg => self.mass.get(),
            MassUnit::Lb => self.mass.to_lb(),
        };
        (100.0 * marked).round() / 100.0
    }
}

/// What to do on each side before a step.
#[derive(Clone, Debug, PartialEq)]
pub struct DiscStep {
    /// Load that hangs then, bar included.
    pub load: Kilograms,
    /// Discs to take off each side, the outermost first.
    pub off: Vec<Plate>,
    /// Discs to put on each side, in this order.
    pub on: Vec<Plate>,
    /// Discs on each side then, from the inside out.
    pub stack: Vec<Plate>,
}

impl DiscStep {
    /// Discs moved on each side.
    pub fn moved(&self) -> usize {
        self.off.len() + self.on.len()
    }
}

impl Loadable {
    /// The fewest discs for each side that make a load, heaviest first; none when it cannot be made or is not
    /// made of discs.
    pub fn discs_for(&self, load: Kilograms) -> Option<Vec<Plate>> {
        let rack = self.rack()?;
        let counts = fewest(rack, rack.side(load)?)?;
        Some(plates(rack, &flatten(&counts)))
    }

    /// Discs for a sequence of loads, beginning with nothing on the bar, so that the fewest are moved in
    /// total; none when a load cannot be made or is not made of discs.
    pub fn ramp_discs(&self, loads: &[Kilograms]) -> Option<Vec<DiscStep>> {
        let rack = self.rack()?;
        let sides: Option<Vec<u32>> = loads.iter().map(|l| rack.side(*l)).collect();
        let sides = sides?;
        let stacks = match Search::new(rack, &sides) {
            Some(mut search) => search.stacks()?,
            None => plain_stacks(rack, &sides)?,
        };
        Some(steps(rack, loads, &stacks))
    }
}

/// Fewest discs of each kind for a side, more of the heavier where there is a choice.
fn fewest(rack: &Rack, side: u32) -> Option<Vec<u32>> {
    let step = rack.step();
    if !side.is_multiple_of(step) {
        return None;
    }
    let size = (side / step) as usize + 1;
    let mut least = vec![NEVER; size];
    least[0] = 0;
    let mut chosen: Vec<Vec<u32>> = Vec::new();
    for disc in rack.discs.iter().rev() {
        let (next, choice) = with_disc(&least, (disc.mass / step) as usize, disc.count);
        least = next;
        chosen.push(choice);
    }
    (least[size - 1] != NEVER).then(|| read_back(rack, step, size - 1, &chosen))
}

fn with_disc(least: &[u32], mass: usize, count: u32) -> (Vec<u32>, Vec<u32>) {
    let mut next = least.to_vec();
    let mut choice = vec![0; least.len()];
    for sum in 0..least.len() {
        for n in 1..=count {
            let Some(rest) = sum.checked_sub(mass * n as usize) else { break };
            let discs = least[rest].saturating_add(n);
            if least[rest] != NEVER && discs <= next[sum] {
                next[sum] = discs;
                choice[sum] = n;
            }
        }
    }
    (next, choice)
}

/// Counts in the order of the rack, heaviest first.
fn read_back(rack: &Rack, step: u32, mut sum: usize, chosen: &[Vec<u32>]) -> Vec<u32> {
    let mut counts = Vec::with_capacity(rack.discs.len());
    for (disc, choice) in rack.discs.iter().zip(chosen.iter().rev()) {
        let n = choice[sum];
        counts.push(n);
        sum -= (disc.mass / step) as usize * n as usize;
    }
    counts
}

fn flatten(counts: &[u32]) -> Vec<usize> {
    counts.iter().enumerate().flat_map(|(kind, n)| std::iter::repeat_n(kind, *n as usize)).collect()
}

fn plates(rack: &Rack, stack: &[usize]) -> Vec<Plate> {
    let plate = |disc: &Disc| Plate { mass: Kilograms(rack.unit.kg(disc.mass)), marked: disc.marked };
    stack.iter().map(|kind| plate(&rack.discs[*kind])).collect()
}

fn plain_stacks(rack: &Rack, sides: &[u32]) -> Option<Vec<Vec<usize>>> {
    sides.iter().map(|side| fewest(rack, *side).map(|counts| flatten(&counts))).collect()
}

fn steps(rack: &Rack, loads: &[Kilograms], stacks: &[Vec<usize>]) -> Vec<DiscStep> {
    let mut before: &[usize] = &[];
    let mut list = Vec::with_capacity(loads.len());
    for (load, stack) in loads.iter().zip(stacks) {
        let kept = before.iter().zip(stack).take_while(|(a, b)| a == b).count();
        let off: Vec<usize> = before[kept..].iter().rev().copied().collect();
        list.push(DiscStep {
            load: *load,
            off: plates(rack, &off),
            on: plates(rack, &stack[kept..]),
            stack: plates(rack, stack),
        });
        before = stack;
    }
    list
}

/// What to do with a set of discs that is on the bar throughout a run of steps.
#[derive(Clone, Copy)]
enum Choice {
    /// One more disc of this kind stays on throughout the run.
    Add(usize),
    /// The run parts after this step; within a run of one step, the set is complete.
    Part(usize),
}

/// The least cost of a run of steps for every set of discs that is on the bar throughout.
struct Run {
    cost: Vec<u32>,
    choice: Vec<Choice>,
}

struct Search<'a> {
    sides: &'a [u32],
    /// Side sums of the sets of discs, and the set with one more of each kind.
    sums: Vec<u32>,
    more: Vec<Vec<Option<usize>>>,
    /// Sets by falling sum, so that a set comes after those with one disc more.
    order: Vec<usize>,
    runs: BTreeMap<(usize, usize), Run>,
}

impl<'a> Search<'a> {
    /// None when there are too many sets of discs.
    fn new(rack: &Rack, sides: &'a [u32]) -> Option<Self> {
        let most = sides.iter().copied().max().unwrap_or(0);
        let runs = sides.len() * (sides.len() + 1) / 2;
        let sets = sets(&rack.discs, most, SEARCH_MAX / runs.max(1))?;
        let sums: Vec<u32> = sets.keys().map(|counts| side_of(&rack.discs, counts)).collect();
        let more = sets.keys().map(|counts| one_more(&sets, counts)).collect();
        let mut order: Vec<usize> = (0..sums.len()).collect();
        order.sort_by_key(|i| std::cmp::Reverse(sums[*i]));
        Some(Self { sides, sums, more, order, runs: BTreeMap::new() })
    }

    /// Stacks of the whole sequence, from the inside out.
    fn stacks(&mut self) -> Option<Vec<Vec<usize>>> {
        let steps = self.sides.len();
        if steps == 0 {
            return Some(Vec::new());
        }
        for length in 1..=steps {
            for first in 0..=steps - length {
                let run = self.run(first, first + length - 1);
                self.runs.insert((first, first + length - 1), run);
            }
        }
        // The empty set is the first by its counts.
        let empty = 0;
        if self.runs.get(&(0, steps - 1))?.cost[empty] == NEVER {
            return None;
        }
        let mut stacks = Vec::with_capacity(steps);
        self.hang(0, steps - 1, empty, &[], &mut stacks)?;
        Some(stacks)
    }

    fn run(&self, first: usize, last: usize) -> Run {
        let sets = self.sums.len();
        let mut run = Run { cost: vec![NEVER; sets], choice: vec![Choice::Part(first); sets] };
        let price = self.price(first, last);
        for &set in &self.order {
            let (mut best, mut choice) = self.parted(first, last, set);
            for (kind, more) in self.more[set].iter().enumerate() {
                let cost = more.map_or(NEVER, |m| run.cost[m].saturating_add(price));
                if cost < best {
                    (best, choice) = (cost, Choice::Add(kind));
                }
            }
            run.cost[set] = best;
            run.choice[set] = choice;
        }
        run
    }

    /// Putting a disc on before `first` and taking it off after `last`; after the end it may stay.
    fn price(&self, first: usize, last: usize) -> u32 {
        let moves = if last + 1 == self.sides.len() { 1 } else { 2 };
        moves * MOVED + (last - first + 1) as u32
    }

    /// The cost when nothing more stays on throughout the run.
    fn parted(&self, first: usize, last: usize, set: usize) -> (u32, Choice) {
        if first == last {
            let done = self.sums[set] == self.sides[first];
            return (if done { 0 } else { NEVER }, Choice::Part(first));
        }
        (first..last)
            .map(|k| (self.cost(first, k, set).saturating_add(self.cost(k + 1, last, set)), Choice::Part(k)))
            .min_by_key(|(cost, _)| *cost)
            .unwrap_or((NEVER, Choice::Part(first)))
    }

    fn cost(&self, first: usize, last: usize, set: usize) -> u32 {
        self.runs.get(&(first, last)).map_or(NEVER, |run| run.cost[set])
    }

    fn hang(
        &self,
        first: usize,
        last: usize,
        mut set: usize,
        below: &[usize],
        stacks: &mut Vec<Vec<usize>>,
    ) -> Option<()> {
        let mut added = Vec::new();
        let part = loop {
            match self.runs.get(&(first, last))?.choice[set] {
                Choice::Add(kind) => {
                    added.push(kind);
                    set = self.more[set][kind]?;
                }
                Choice::Part(k) => break k,
            }
        };
        added.sort_unstable();
        let stack = [below, &added].concat();
        if first == last {
            stacks.push(stack);
            return Some(());
        }
        self.hang(first, part, set, &stack, stacks)?;
        self.hang(part + 1, last, set, &stack, stacks)
    }
}

fn side_of(discs: &[Disc], counts: &[u32]) -> u32 {
    discs.iter().zip(counts).map(|(disc, n)| disc.mass * n).sum()
}

/// Every set of discs that is not heavier than `most`, by its counts, with its position; none when there
/// are more than `limit`.
fn sets(discs: &[Disc], most: u32, limit: usize) -> Option<BTreeMap<Vec<u32>, usize>> {
    let mut sets: Vec<(Vec<u32>, u32)> = vec![(Vec::new(), 0)];
    for disc in discs {
        let mut longer = Vec::with_capacity(sets.len());
        for (counts, sum) in &sets {
            let room = (most - sum) / disc.mass;
            for n in 0..=disc.count.min(room) {
                longer.push(([counts.as_slice(), &[n]].concat(), sum + n * disc.mass));
            }
            if longer.len() > limit {
                return None;
            }
        }
        sets = longer;
    }
    let ordered: BTreeMap<Vec<u32>, u32> = sets.into_iter().collect();
    Some(ordered.into_keys().zip(0..).collect())
}

/// The set with one more disc of each kind outside; none where it would hang outside a lighter one.
fn one_more(sets: &BTreeMap<Vec<u32>, usize>, counts: &[u32]) -> Vec<Option<usize>> {
    let lightest = counts.iter().rposition(|n| *n > 0).unwrap_or(0);
    (0..counts.len())
        .map(|kind| {
            if kind < lightest {
                return None;
            }
            let mut more = counts.to_vec();
            more[kind] += 1;
            sets.get(&more).copied()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bar(pairs: &[(f64, u32)]) -> Loadable {
        let pairs: Vec<_> = pairs.iter().map(|(kg, n)| (Kilograms(*kg), *n)).collect();
        Loadable::bar(Kilograms(20.0), &pairs).unwrap()
    }

    fn kg(list: &[f64]) -> Vec<Kilograms> {
        list.iter().copied().map(Kilograms).collect()
    }

    fn cast(list: &[f64]) -> Vec<Plate> {
        list.iter().map(|kg| Plate { mass: Kilograms(*kg), marked: MassUnit::Kg }).collect()
    }

    fn moved(steps: &[DiscStep]) -> usize {
        steps.iter().map(DiscStep::moved).sum()
    }

    #[test]
    fn a_load_takes_the_fewest_discs_heaviest_first() {
        let gym = bar(&[(25.0, 1), (20.0, 4), (15.0, 1), (10.0, 2), (5.0, 2), (2.5, 2), (1.25, 1)]);
        assert_eq!(gym.discs_for(Kilograms(100.0)), Some(cast(&[25.0, 15.0])));
        assert_eq!(gym.discs_for(Kilograms(102.5)), Some(cast(&[25.0, 15.0, 1.25])));
        assert_eq!(gym.discs_for(Kilograms(20.0)), Some(Vec::new()));
        assert_eq!(gym.discs_for(Kilograms(21.0)), None);
        assert_eq!(gym.discs_for(Kilograms(10.0)), None);
    }

    #[test]
    fn counts_are_kept() {
        assert_eq!(bar(&[(20.0, 1), (10.0, 1)]).discs_for(Kilograms(100.0)), None);
        let four = bar(&[(10.0, 4)]).discs_for(Kilograms(100.0));
        assert_eq!(four, Some(cast(&[10.0, 10.0, 10.0, 10.0])));
    }

    #[test]
    fn discs_that_stay_go_on_first() {
        // A 25 alone makes the last load with fewest discs, but the 15 is already there and can stay.
        let gym = bar(&[(25.0, 1), (15.0, 1), (10.0, 1)]);
        let steps = gym.ramp_discs(&kg(&[50.0, 70.0])).unwrap();
        assert_eq!(steps[0].on, cast(&[15.0]));
        assert_eq!(steps[1].off, Vec::new());
        assert_eq!(steps[1].on, cast(&[10.0]));
        assert_eq!(moved(&steps), 2);
    }

    #[test]
    fn no_disc_hangs_outside_a_lighter_one() {
        // Leaving the 1.25 on would save two moves.
        let gym = bar(&[(20.0, 2), (1.25, 1)]);
        let steps = gym.ramp_discs(&kg(&[62.5, 102.5])).unwrap();
        assert_eq!(steps[1].off, cast(&[1.25]));
        assert_eq!(steps[1].on, cast(&[20.0, 1.25]));
    }

    #[test]
    fn a_load_that_cannot_be_made_gives_no_plan() {
        assert_eq!(bar(&[(10.0, 2)]).ramp_discs(&kg(&[40.0, 45.0])), None);
        assert_eq!(Loadable::list(&kg(&[10.0])).unwrap().ramp_discs(&kg(&[10.0])), None);
        assert_eq!(bar(&[(10.0, 2)]).ramp_discs(&[]), Some(Vec::new()));
    }

    #[test]
    fn a_huge_store_of_discs_is_still_hung() {
        let pairs: Vec<(f64, u32)> = (1..=20).map(|n| (f64::from(n) * 1.25, 40)).collect();
        let loads = kg(&[120.0, 180.0, 240.0, 300.0]);
        let steps = bar(&pairs).ramp_discs(&loads).unwrap();
        for (step, load) in steps.iter().zip(&loads) {
            let hung: f64 = step.stack.iter().map(|d| d.mass.get()).sum();
            assert_eq!(Kilograms(20.0 + 2.0 * hung), *load);
        }
    }

    /// Every stack of discs that makes a side, none outside a lighter one.
    fn all_stacks(left: &mut Vec<(u32, u32)>, side_g: u32, stack: &mut Vec<u32>, out: &mut Vec<Vec<u32>>) {
        if side_g == 0 {
            out.push(stack.clone());
            return;
        }
        for i in 0..left.len() {
            let (mass_g, count) = left[i];
            let lighter = stack.last().is_some_and(|inner| *inner < mass_g);
            if count > 0 && mass_g <= side_g && !lighter {
                left[i].1 -= 1;
                stack.push(mass_g);
                all_stacks(left, side_g - mass_g, stack, out);
                stack.pop();
                left[i].1 += 1;
            }
        }
    }

    /// Fewest moves by trying every stack at every step.
    fn fewest_moves_by_trial(discs: &[(u32, u32)], sides_g: &[u32]) -> Option<usize> {
        let mut reached: Vec<(Vec<u32>, usize)> = vec![(Vec::new(), 0)];
        for side_g in sides_g {
            let mut stacks = Vec::new();
            all_stacks(&mut discs.to_vec(), *side_g, &mut Vec::new(), &mut stacks);
            reached = stacks
                .into_iter()
                .filter_map(|to| {
                    let best = reached.iter().map(|(from, cost)| {
                        let kept = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
                        cost + from.len() + to.len() - 2 * kept
                    });
                    best.min().map(|cost| (to, cost))
                })
                .collect();
        }
        reached.into_iter().map(|(_, cost)| cost).min()
    }

    fn follow(steps: &[DiscStep]) {
        let mut on: Vec<Plate> = Vec::new();
        for step in steps {
            for disc in &step.off {
                assert_eq!(on.pop(), Some(*disc));
            }
            on.extend(&step.on);
            assert_eq!(on, step.stack);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        #[test]
        fn no_other_order_of_discs_moves_fewer(
            discs in prop::collection::btree_map(1_u32..9, 0_u32..3, 1..5),
            picks in prop::collection::vec(0_usize..1000, 1..6),
        ) {
            let pairs: Vec<(f64, u32)> = discs.iter().map(|(m, n)| (f64::from(*m) * 1.25, *n)).collect();
            let bar = bar(&pairs);
            let can: Vec<Kilograms> = bar.all().filter(|l| l.get() <= 45.0).collect();
            let loads: Vec<Kilograms> = picks.iter().map(|p| can[p % can.len()]).collect();
            let steps = bar.ramp_discs(&loads).unwrap();
            follow(&steps);
            for step in &steps {
                prop_assert!(step.stack.windows(2).all(|w| w[0].mass >= w[1].mass));
            }
            for (step, load) in steps.iter().zip(&loads) {
                let hung: f64 = step.stack.iter().map(|d| d.mass.get()).sum();
                prop_assert_eq!(Kilograms(20.0 + 2.0 * hung), *load);
                for (kg, n) in &pairs {
                    let used = step.stack.iter().filter(|d| d.mass == Kilograms(*kg)).count();
                    prop_assert!(used <= *n as usize);
                }
            }
            let plain: Vec<(u32, u32)> = discs.iter().map(|(m, n)| (m * 1250, *n)).collect();
            let sides: Vec<u32> = loads.iter().map(|l| ((l.get() - 20.0) * 500.0).round() as u32).collect();
            prop_assert_eq!(Some(moved(&steps)), fewest_moves_by_trial(&plain, &sides));
        }

        #[test]
        fn discs_for_a_load_sum_to_it(pick in 0_usize..1000) {
            let gym = bar(&[(25.0, 2), (20.0, 4), (15.0, 1), (10.0, 2), (5.0, 2), (2.5, 2), (1.25, 1)]);
            let all: Vec<Kilograms> = gym.all().collect();
            let load = all[pick % all.len()];
            let hung: f64 = gym.discs_for(load).unwrap().iter().map(|d| d.mass.get()).sum();
            prop_assert_eq!(Kilograms(20.0 + 2.0 * hung), load);
        }
    }
}
