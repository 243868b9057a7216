//! A plan inside a frame: blocks of lifts by session, and the rules of a single session.

use crate::lift::{COST_EFFORT, COST_SETS, COSTS, COUNTS};
use crate::problem::{ALTERNATING, MODES, NOTHING, Problem, SAME_FIRST, SAME_SECOND};
use crate::rules::same_muscle::MOST as SAME_MUSCLE_MOST;
use setwright_model::{BlockKind, Pattern};
use setwright_science::warmup::RampFamily;

/// No second lift.
pub const NONE: u16 = u16::MAX;

/// A block: one lift or two, their sets, and the mode.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PlanBlock {
    /// First lift.
    pub a: u16,
    /// Second lift, or [`NONE`].
    pub b: u16,
    /// Sets of each.
    pub sets: u8,
    /// Mode of the first lift.
    pub mode: u8,
}

impl PlanBlock {
    /// The lifts with their modes.
    #[inline]
    pub fn lifts(self) -> impl Iterator<Item = (usize, u8)> + Clone {
        let both = [(usize::from(self.a), self.mode), (usize::from(self.b), self.second_mode())];
        both.into_iter().take(if self.b == NONE { 1 } else { 2 })
    }

    /// Does something for each lift and its mode. The search calls it at every move, where an iterator costs more.
    #[inline]
    pub fn each(self, mut act: impl FnMut(usize, u8)) {
        act(usize::from(self.a), self.mode);
        if self.b != NONE {
            act(usize::from(self.b), self.second_mode());
        }
    }

    /// Whether something holds of each lift.
    #[inline]
    pub fn every(self, holds: impl Fn(usize) -> bool) -> bool {
        holds(usize::from(self.a)) && (self.b == NONE || holds(usize::from(self.b)))
    }

    /// Mode of the second lift.
    #[inline]
    pub fn second_mode(self) -> u8 {
        if SAME_FIRST.contains(&self.mode) { self.mode + SAME_SECOND } else { self.mode }
    }

    /// Whether a lift is in it.
    #[inline]
    pub fn has(self, lift: u16) -> bool {
        self.a == lift || self.b == lift
    }

    /// Kind of block.
    #[inline]
    pub fn kind(self) -> BlockKind {
        MODES[self.mode as usize].kind
    }
}

/// Most blocks of a session that the planner considers.
pub const BLOCKS: usize = 16;

/// The blocks of a session, in no particular order: a list of fixed room, cheap to copy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Blocks {
    len: u8,
    slots: [PlanBlock; BLOCKS],
}

impl Default for Blocks {
    fn default() -> Self {
        Self { len: 0, slots: [PlanBlock { a: NONE, b: NONE, sets: 0, mode: 0 }; BLOCKS] }
    }
}

impl std::ops::Deref for Blocks {
    type Target = [PlanBlock];
    #[inline]
    fn deref(&self) -> &[PlanBlock] {
        &self.slots[..usize::from(self.len)]
    }
}

impl std::ops::DerefMut for Blocks {
    #[inline]
    fn deref_mut(&mut self) -> &mut [PlanBlock] {
        &mut self.slots[..usize::from(self.len)]
    }
}

impl FromIterator<PlanBlock> for Blocks {
    #[inline]
    fn from_iter<I: IntoIterator<Item = PlanBlock>>(slots: I) -> Self {
        let mut out = Self::default();
        for slot in slots {
            out.push(slot);
        }
        out
    }
}

impl Blocks {
    /// Adds a block; says whether there was room.
    #[inline]
    pub fn push(&mut self, slot: PlanBlock) -> bool {
        let room = usize::from(self.len) < BLOCKS;
        if room {
            self.slots[usize::from(self.len)] = slot;
            self.len += 1;
        }
        room
    }

    /// Takes block `index` out; the last one takes its place.
    #[inline]
    pub fn take(&mut self, index: usize) -> PlanBlock {
        let slot = self[index];
        self.len -= 1;
        self.slots[index] = self.slots[usize::from(self.len)];
        slot
    }

    /// Whether a lift is in any block.
    #[inline]
    pub fn has(&self, lift: u16) -> bool {
        self.iter().any(|s| s.has(lift))
    }
}

/// Blocks by session.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// By session.
    pub sessions: Vec<Blocks>,
}

/// Sums over a session that its rules are judged by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sums {
    /// Time steps.
    pub time: u32,
    /// Systemic, spinal and grip cost, sets, effort.
    pub costs: [u32; COSTS],
    /// Spine-heavy exercises.
    pub spine_heavy: u32,
    /// Exercises.
    pub exercises: u32,
    /// Same-muscle blocks.
    pub same_muscle: u32,
    /// What the rules count.
    pub counts: [i16; COUNTS],
    /// What the lifts cost by being there, less the worth of what is kept, in millionths of a point.
    pub own: i64,
}

impl Sums {
    /// What the session costs in exercises, time and effort, in millionths of a point.
    #[inline]
    pub fn price(&self, problem: &Problem, session: usize) -> i64 {
        let tables = &problem.tables;
        self.own + tables.time_price * i64::from(self.time) + tables.effort(session, self.costs[COST_EFFORT])
    }

    /// Adds a block, without the longer first ramps.
    #[inline]
    pub fn add(&mut self, problem: &Problem, session: usize, slot: PlanBlock) {
        let sets = i16::from(slot.sets);
        self.same_muscle += u32::from(SAME_FIRST.contains(&slot.mode));
        slot.each(|index, mode| {
            let lift = &problem.hot[index];
            let choice = problem.choice(index, mode, slot.sets);
            self.time += u32::from(choice.time);
            self.exercises += 1;
            self.own += problem.own_price(session, index, choice);
            self.spine_heavy += u32::from(lift.spine_heavy);
            for (sum, cost) in self.costs.iter_mut().zip(lift.costs) {
                *sum += u32::from(cost) * u32::from(slot.sets);
            }
            for ((sum, once), each) in self.counts.iter_mut().zip(lift.once).zip(lift.each) {
                *sum += once + each * sets;
            }
        });
    }
}

/// Sums of a session. `time` includes the start and the ramps of the family leads.
pub fn sums(problem: &Problem, session: usize, blocks: &[PlanBlock]) -> Sums {
    let mut out = Sums::default();
    let mut leads = [(u16::MAX, 0u16); RampFamily::ALL.len()];
    for slot in blocks {
        out.add(problem, session, *slot);
        for (index, mode) in slot.lifts() {
            let lift = &problem.hot[index];
            if lift.family != NOTHING {
                let lead = &mut leads[usize::from(lift.family)];
                if lift.rank < lead.0 {
                    *lead = (lift.rank, problem.choice(index, mode, slot.sets).lead);
                }
            }
        }
    }
    let ramped = leads.iter().any(|l| l.0 != u16::MAX);
    out.time += leads.iter().map(|l| u32::from(l.1)).sum::<u32>();
    out.time += if ramped { problem.start_units } else { 0 };
    out
}

/// Whether the sums keep within the session's ceilings.
#[inline]
pub fn within(problem: &Problem, session: usize, sums: &Sums) -> bool {
    let rules = &problem.rules;
    sums.time <= problem.minutes_units[session]
        && sums.exercises <= problem.exercises_most[session]
        && sums.costs[COST_SETS] <= problem.sets_most[session]
        && sums.spine_heavy <= rules.spine_heavy
        && sums.costs[0] <= rules.systemic
        && sums.costs[1] <= rules.spinal
        && sums.costs[2] <= rules.grip
        && sums.same_muscle <= SAME_MUSCLE_MOST
        && sums.counts.iter().zip(&problem.quotas.session_most).all(|(n, most)| n <= most)
}

/// Whether a block is allowed by itself in a session.
pub fn slot_allowed(problem: &Problem, session: usize, slot: PlanBlock) -> bool {
    let (a, b) = (usize::from(slot.a), usize::from(slot.b));
    let allowed = |lift: usize, mode: u8| {
        let choice = problem.choice(lift, mode, slot.sets);
        choice.allowed && choice.sessions >> session & 1 == 1
    };
    if slot.b == NONE {
        return slot.kind() == BlockKind::Straight && allowed(a, slot.mode);
    }
    let pair = if ALTERNATING.contains(&slot.mode) {
        problem.alternates(a, b)
    } else {
        SAME_FIRST.contains(&slot.mode) && problem.shares_muscle(a, b)
    };
    pair && allowed(a, slot.mode) && allowed(b, slot.second_mode())
}

/// Whether a session uses each exercise once and no more variants of a pattern than allowed. Locked lifts do
/// not count against the variants.
pub fn variety_kept(problem: &Problem, blocks: &[PlanBlock]) -> bool {
    let mut counts = [0u8; Pattern::ALL.len()];
    for (k, slot) in blocks.iter().enumerate() {
        for (index, _) in slot.lifts() {
            if blocks[..k].iter().any(|earlier| earlier.has(index as u16)) {
                return false;
            }
            let lift = &problem.hot[index];
            let count = &mut counts[usize::from(lift.pattern)];
            *count += u8::from(!lift.locked);
            if u32::from(*count) > problem.variants[usize::from(lift.pattern)] {
                return false;
            }
        }
    }
    true
}

/// Bits of the blocks that must come before each block: compounds before single-joint lifts that would tire
/// them, pulls before what spends the grip, squats before pulls from the floor, main lifts before other loads on the back.
pub fn must_precede(problem: &Problem, blocks: &[PlanBlock]) -> [u32; BLOCKS] {
    let mut marks = [(0u32, 0u32); BLOCKS];
    for (mark, slot) in marks.iter_mut().zip(blocks) {
        slot.each(|index, _| {
            let lift = &problem.hot[index];
            *mark = (mark.0 | lift.before, mark.1 | lift.after);
        });
    }
    let marks = &marks[..blocks.len()];
    let mut out = [0; BLOCKS];
    for (late, before) in out.iter_mut().enumerate().take(marks.len()) {
        for (early, mark) in marks.iter().enumerate() {
            *before |= u32::from(early != late && mark.0 & marks[late].1 != 0) << early;
        }
    }
    out
}

/// Whether the blocks can be put in an order that keeps precedence and parts the spine-heavy ones.
pub fn orderable(problem: &Problem, blocks: &[PlanBlock]) -> bool {
    let before = must_precede(problem, blocks);
    let before = &before[..blocks.len()];
    let mut backs = [BackLoad::Free; BLOCKS];
    for (back, slot) in backs.iter_mut().zip(blocks) {
        *back = BackLoad::of(problem, *slot);
    }
    let spine = backs.iter().filter(|b| **b != BackLoad::Free).count();
    if spine <= 1 { acyclic(before) } else { reachable(before, &backs) }
}

/// What a block does to the back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BackLoad {
    /// Nothing heavy.
    Free,
    /// It loads the back heavily, in a main lift with long rests.
    Rested,
    /// It loads the back heavily.
    Heavy,
}

impl BackLoad {
    /// What a block does to the back.
    pub fn of(problem: &Problem, slot: PlanBlock) -> Self {
        slot.lifts().filter(|(l, _)| problem.hot[*l].spine_heavy == 1).fold(Self::Free, |worst, (l, _)| {
            if problem.lifts[l].rested && worst != Self::Heavy { Self::Rested } else { Self::Heavy }
        })
    }

    /// Whether one may not follow the other directly: of what loads the back only main lifts with their long rests may.
    pub fn parts(self, other: Self) -> bool {
        self != Self::Free && other != Self::Free && (self == Self::Heavy || other == Self::Heavy)
    }
}

fn acyclic(before: &[u32]) -> bool {
    let all = (1u32 << before.len()) - 1;
    let mut done = 0u32;
    while done != all {
        let next: u32 = (0..before.len())
            .filter(|&b| done & (1 << b) == 0 && before[b] & !done == 0)
            .map(|b| 1 << b)
            .sum();
        if next == 0 {
            return false;
        }
        done |= next;
    }
    true
}

/// Breadth-first over sets of done blocks with what the last did to the back.
fn reachable(before: &[u32], backs: &[BackLoad]) -> bool {
    let n = before.len();
    let all = (1usize << n) - 1;
    let mut seen = vec![[false; 3]; all + 1];
    seen[0][BackLoad::Free as usize] = true;
    for done in 0..=all {
        for last in [BackLoad::Free, BackLoad::Rested, BackLoad::Heavy] {
            if !seen[done][last as usize] {
                continue;
            }
            for b in 0..n {
                let free = done & (1 << b) == 0 && before[b] as usize & !done == 0;
                if free && !last.parts(backs[b]) {
                    seen[done | 1 << b][backs[b] as usize] = true;
                }
            }
        }
    }
    seen[all].contains(&true)
}
