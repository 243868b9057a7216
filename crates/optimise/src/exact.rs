//! Small problems, solved exactly: every session that keeps its rules is listed, and lists are combined by branch
//! and bound. Where the lists grow too long it gives up, and the search and the bound speak alone.
//!
//! Two cuts, both proven. Of sessions with the same lifts, sets and locks, one that takes no less time, costs no less and
//! is worth no more to any muscle cannot do better. And since benefit is concave and strain dear, sessions together are
//! worth no more than each alone, if each is given the most that its lifts could bring it by being there.

use crate::found::Found;
use setwright_formulate::frame::Frame;
use setwright_formulate::plan::{
    Blocks, NONE, PlanBlock, orderable, slot_allowed, sums, variety_kept, within,
};
use setwright_formulate::problem::{ALTERNATING, Problem, SAME_FIRST, SETS, STRAIGHT};
use setwright_formulate::state::{PlanState, lock_kept_in};
use setwright_formulate::tables::STRAIN_UNIT;
use setwright_model::Muscle;
use std::collections::BTreeMap;

const M: usize = Muscle::COUNT;
/// Lifts of the largest problem that is tried.
const LIFTS_MAX: usize = 10;
/// Sessions of one list at most.
const LIST_MAX: usize = 4000;
/// Combinations looked at in a frame at most.
const NODES_MAX: u64 = 400_000;
/// Room for the rounding of whole numbers where worth apart is compared with worth together, in millionths.
const ROUNDING: i64 = 500;

/// What came of a frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Proof {
    /// The best plan there is.
    Best(Found),
    /// No plan keeps every rule, or none beats what was known.
    NothingBetter,
    /// Too large to go through; the best above what was known that was met on the way.
    TooLarge(Option<Found>),
}

/// A session of a list with what it could be worth at most.
#[derive(Clone, Copy)]
struct Listed {
    most: i64,
    blocks: Blocks,
}

/// The best plan of a frame above `known` (a value in millionths of a point), proven.
pub fn best(problem: &Problem, frame: &Frame, known: Option<i64>) -> (Proof, u64) {
    if problem.lifts.len() > LIFTS_MAX || frame.parts() > 3 {
        return (Proof::TooLarge(None), 0);
    }
    let mut lists = Vec::new();
    for session in 0..frame.parts() {
        let Some(list) = list(problem, frame, session) else { return (Proof::TooLarge(None), 0) };
        lists.push(list);
    }
    let mut search = Search { lists, nodes: 0, best: None, known: known.unwrap_or(i64::MIN / 2) };
    let empty = PlanState::new(problem, frame);
    search.extend(&empty, 0, ROUNDING);
    let proof = match search.best {
        met if search.nodes > NODES_MAX => Proof::TooLarge(met),
        Some(found) => Proof::Best(found),
        None => Proof::NothingBetter,
    };
    (proof, search.nodes)
}

struct Search {
    lists: Vec<Vec<Listed>>,
    nodes: u64,
    best: Option<Found>,
    known: i64,
}

impl Search {
    fn extend(&mut self, state: &PlanState<'_>, depth: usize, most_so_far: i64) {
        if depth == self.lists.len() {
            if state.short() == 0 && state.value() > self.known {
                self.known = state.value();
                self.best = Some(Found { plan: state.plan(), value: state.value(), short: 0 });
            }
            return;
        }
        let rest: i64 = self.lists[depth + 1..].iter().map(|l| l.first().map_or(0, |f| f.most)).sum();
        for index in 0..self.lists[depth].len() {
            let listed = self.lists[depth][index];
            self.nodes += 1;
            if most_so_far + listed.most + rest <= self.known || self.nodes > NODES_MAX {
                return;
            }
            if let Some(change) = state.with(&[(depth, listed.blocks)]) {
                let mut next = state.clone();
                next.apply(&change);
                self.extend(&next, depth + 1, most_so_far + listed.most);
            }
        }
    }
}

/// All sessions worth considering, the most promising first. `None` when there are too many.
fn list(problem: &Problem, frame: &Frame, session: usize) -> Option<Vec<Listed>> {
    let slots = slots(problem, frame, session);
    let mut kept: BTreeMap<Vec<(u16, u8)>, Vec<Rated>> = BTreeMap::new();
    let mut all = Lister { problem, session, slots: &slots, kept: &mut kept, count: 0 };
    if !all.extend(0, Blocks::default()) {
        return None;
    }
    let mut out: Vec<Listed> =
        kept.into_values().flatten().map(|r| Listed { most: r.most, blocks: r.blocks }).collect();
    out.sort_by_key(|l| -l.most);
    Some(out)
}

/// Every block that may stand in a session.
fn slots(problem: &Problem, frame: &Frame, session: usize) -> Vec<PlanBlock> {
    let lifts: Vec<u16> =
        (0..problem.lifts.len()).filter(|l| frame.eligible[session][*l]).map(|l| l as u16).collect();
    let mut out = Vec::new();
    for &a in &lifts {
        for sets in 1..=SETS as u8 {
            out.extend(STRAIGHT.map(|mode| PlanBlock { a, b: NONE, sets, mode }));
            for &b in &lifts {
                let alternating = ALTERNATING.filter(|_| a < b);
                out.extend(alternating.chain(SAME_FIRST).map(|mode| PlanBlock { a, b, sets, mode }));
            }
        }
    }
    out.retain(|s| slot_allowed(problem, session, *s));
    out
}

/// A session with what it gives, for comparing.
#[derive(Clone, Copy)]
struct Rated {
    most: i64,
    time: u32,
    own: i64,
    quality: [i32; M],
    blocks: Blocks,
}

struct Lister<'a> {
    problem: &'a Problem,
    session: usize,
    slots: &'a [PlanBlock],
    kept: &'a mut BTreeMap<Vec<(u16, u8)>, Vec<Rated>>,
    count: usize,
}

impl Lister<'_> {
    /// Adds blocks from `from` on; says whether the list kept its length. Time only grows with blocks, so a
    /// session that is too long ends its branch.
    fn extend(&mut self, from: usize, blocks: Blocks) -> bool {
        self.keep(&blocks);
        if self.count > LIST_MAX {
            return false;
        }
        for index in from..self.slots.len() {
            let slot = self.slots[index];
            let mut more = blocks;
            let fits = more.push(slot)
                && variety_kept(self.problem, &more)
                && within(self.problem, self.session, &sums(self.problem, self.session, &more));
            if fits && !self.extend(index + 1, more) {
                return false;
            }
        }
        true
    }

    fn keep(&mut self, blocks: &Blocks) {
        let own = |lock: &setwright_model::brief::Lock| lock.session == Some(self.session as u32 + 1);
        let locks_kept = self
            .problem
            .locks
            .iter()
            .all(|(lift, lock)| !own(lock) || lock_kept_in(self.problem, blocks, *lift as u16, lock));
        if !locks_kept || !orderable(self.problem, blocks) {
            return;
        }
        let rated = self.rate(blocks);
        let group = self.kept.entry(self.key(blocks)).or_default();
        if group.iter().any(|k| is_as_good(k, &rated)) {
            return;
        }
        let before = group.len();
        group.retain(|k| !is_as_good(&rated, k));
        group.push(rated);
        self.count = self.count + group.len() - before;
    }

    /// What must be the same for two sessions to be compared: lifts and sets, and the pairs that locks ask for.
    fn key(&self, blocks: &Blocks) -> Vec<(u16, u8)> {
        let mut key: Vec<(u16, u8)> =
            blocks.iter().flat_map(|s| s.lifts().map(|(l, _)| (l as u16, s.sets))).collect();
        key.sort_unstable();
        let kept = self
            .problem
            .locks
            .iter()
            .enumerate()
            .filter(|(_, (lift, lock))| lock_kept_in(self.problem, blocks, *lift as u16, lock));
        key.extend(kept.map(|(k, _)| (NONE, k as u8)));
        key
    }

    fn rate(&self, blocks: &Blocks) -> Rated {
        let problem = self.problem;
        let (mut raw, mut quality) = ([0i32; M], [0i32; M]);
        for slot in blocks.iter() {
            for (lift, mode) in slot.lifts() {
                let worth = i32::from(problem.choice(lift, mode, slot.sets).worth);
                for &(m, q) in problem.hot[lift].reaches() {
                    raw[usize::from(m)] += i32::from(q) * i32::from(slot.sets);
                    quality[usize::from(m)] += i32::from(q) * worth;
                }
            }
        }
        let sums = sums(problem, self.session, blocks);
        let tables = &problem.tables;
        let worth = |m: usize| {
            let strain = i64::from(raw[m]) * (STRAIN_UNIT as i64 / 4);
            tables.benefit(m, i64::from(quality[m])) - tables.strain_price(strain)
        };
        let brings: i64 = blocks.iter().flat_map(|s| s.lifts()).map(|(l, _)| brings_most(problem, l)).sum();
        let alone = (0..M).map(worth).sum::<i64>() - sums.price(problem, self.session) + brings;
        Rated {
            most: alone * i64::from(problem.copies[self.session]),
            time: sums.time,
            own: sums.own,
            quality,
            blocks: *blocks,
        }
    }
}

/// The most that a lift could bring to each of the sessions it is in, rounded up.
fn brings_most(problem: &Problem, lift: usize) -> i64 {
    let values = problem.tables.lift_value[lift].iter().enumerate().skip(1);
    // Rounded up, also below nought.
    values.map(|(n, v)| (v + n as i64 - 1).div_euclid(n as i64)).max().unwrap_or(0)
}

fn is_as_good(one: &Rated, other: &Rated) -> bool {
    one.time <= other.time
        && one.own <= other.own
        && one.quality.iter().zip(&other.quality).all(|(a, b)| a >= b)
}
