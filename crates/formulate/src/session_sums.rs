//! One session of a plan with its sums, and what an edit would make of them. Ceilings and the rules of what may
//! stand together are judged here; what a plan is worth is not.

use crate::edit::SessionEdit;
use crate::plan::{BLOCKS, Blocks, PlanBlock, Sums, slot_allowed, sums, within};
use crate::problem::{NOTHING, Problem};
use setwright_model::{Muscle, Pattern};
use setwright_science::warmup::RampFamily;

const M: usize = Muscle::COUNT;
const FAMILIES: usize = RampFamily::ALL.len();
const PATTERNS: usize = Pattern::ALL.len();
/// Words of a set of lifts.
const WORDS: usize = 8;

/// A ramped lift of a block, close at hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Ramped {
    block: u8,
    family: u8,
    rank: u16,
    lead: u16,
}

/// A session with its sums.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SummedSession {
    /// Blocks.
    pub blocks: Blocks,
    /// Sums of the session.
    pub sums: Sums,
    /// Raw dose by muscle, in quarter-sets.
    pub raw: [i32; M],
    /// Sets by side.
    pub sides: [i32; 4],
    /// Time of the longer first ramps and of the start, within the sums.
    ramp_time: u32,
    ramped: [Ramped; 2 * BLOCKS],
    ramped_len: u8,
    /// Exercises by pattern; locked ones do not count against the variants.
    patterns: [u8; PATTERNS],
    /// Lifts that may be here (bits; lifts beyond the words share them).
    present: [u64; WORDS],
}

/// Most lifts that come and go in one change of a session.
pub const MOVED: usize = 4 * BLOCKS;

/// What a change does to a session.
#[derive(Clone, Copy, Debug, Default)]
pub struct Delta {
    /// Which session.
    pub session: usize,
    /// Sums afterwards.
    pub sums: Sums,
    /// More raw dose, in quarter-sets.
    pub raw: [i32; M],
    /// More quality dose, in dose units.
    pub quality: [i32; M],
    /// More sets by side.
    pub sides: [i32; 4],
    /// Muscles whose dose changes (bits).
    pub touched: u32,
    /// Whether a lift that a lock names comes or goes.
    pub locked: bool,
    /// Whether the session is empty afterwards.
    pub empty: bool,
    /// Lifts that come (1) and go (-1).
    moved: Moved,
}

/// Lifts that come and go.
#[derive(Clone, Copy, Debug)]
struct Moved {
    lifts: [(u16, i8); MOVED],
    len: usize,
}

impl Default for Moved {
    fn default() -> Self {
        Self { lifts: [(0, 0); MOVED], len: 0 }
    }
}

impl Delta {
    /// Lifts that come (1) and go (-1). One that only changes its sets does both.
    #[inline]
    pub fn moved(&self) -> &[(u16, i8)] {
        &self.moved.lifts[..self.moved.len]
    }

    /// From one list of blocks to another.
    pub fn between(problem: &Problem, session: usize, old: &Blocks, new: &Blocks) -> Self {
        let mut delta = Self {
            session,
            sums: sums(problem, session, new),
            empty: new.is_empty(),
            locked: !problem.locks.is_empty(),
            ..Self::default()
        };
        for index in 0..old.len().max(new.len()) {
            let (was, is) = (old.get(index), new.get(index));
            if was != is {
                if let Some(slot) = was {
                    delta.count(problem, *slot, -1);
                }
                if let Some(slot) = is {
                    delta.count(problem, *slot, 1);
                }
            }
        }
        delta
    }

    fn count(&mut self, problem: &Problem, slot: PlanBlock, sign: i32) {
        let sets = sign * i32::from(slot.sets);
        slot.each(|index, mode| {
            let lift = &problem.hot[index];
            let worth = sign * i32::from(problem.choice(index, mode, slot.sets).worth);
            for &(muscle, quarters) in lift.reaches() {
                let (m, q) = (usize::from(muscle), i32::from(quarters));
                self.raw[m] += q * sets;
                self.quality[m] += q * worth;
            }
            self.touched |= lift.muscles;
            self.moved.lifts[self.moved.len] = (index as u16, sign as i8);
            self.moved.len += 1;
            if let Some(side) = self.sides.get_mut(usize::from(lift.side)) {
                *side += sets;
            }
        });
    }
}

/// Sums of the blocks of one side of an edit, without the longer first ramps.
#[derive(Clone, Copy, Default)]
struct Load {
    sums: Sums,
    /// Families that have a part in them (bits).
    families: u32,
    locked: bool,
}

impl Load {
    #[inline]
    fn add(&mut self, problem: &Problem, session: usize, slot: PlanBlock) {
        self.sums.add(problem, session, slot);
        slot.each(|index, _| {
            let lift = &problem.hot[index];
            self.families |= lift.family_bit;
            self.locked |= lift.locked;
        });
    }
}

impl SummedSession {
    /// A session of these blocks.
    pub fn new(problem: &Problem, session: usize, blocks: Blocks) -> Self {
        let mut part = Self {
            blocks,
            sums: sums(problem, session, &blocks),
            raw: [0; M],
            sides: [0; 4],
            ramp_time: 0,
            ramped: [Ramped::default(); 2 * BLOCKS],
            ramped_len: 0,
            patterns: [0; PATTERNS],
            present: [0; WORDS],
        };
        let empty = Blocks::default();
        let all = Delta::between(problem, session, &empty, &blocks);
        part.raw = all.raw;
        part.sides = all.sides;
        part.look_again(problem);
        part
    }

    /// Takes a change over, once its sums are known.
    pub fn take(&mut self, problem: &Problem, blocks: Blocks, delta: &Delta) {
        self.blocks = blocks;
        self.sums = delta.sums;
        for (raw, more) in self.raw.iter_mut().zip(delta.raw) {
            *raw += more;
        }
        for (side, more) in self.sides.iter_mut().zip(delta.sides) {
            *side += more;
        }
        self.look_again(problem);
    }

    /// Lists anew what follows from the blocks alone.
    fn look_again(&mut self, problem: &Problem) {
        self.ramped_len = 0;
        self.patterns = [0; PATTERNS];
        self.present = [0; WORDS];
        let blocks = self.blocks;
        for (block, slot) in blocks.iter().enumerate() {
            slot.each(|index, mode| {
                let lift = &problem.hot[index];
                self.present[index / 64 % WORDS] |= 1 << (index % 64);
                self.patterns[usize::from(lift.pattern)] += u8::from(!lift.locked);
                if lift.family != NOTHING {
                    let lead = problem.choice(index, mode, slot.sets).lead;
                    self.ramped[usize::from(self.ramped_len)] =
                        Ramped { block: block as u8, family: lift.family, rank: lift.rank, lead };
                    self.ramped_len += 1;
                }
            });
        }
        self.ramp_time = self.ramp_time_after(problem, &SessionEdit::new(0));
    }

    /// What an edit would do; says whether every ceiling and every rule of a session but its order is kept.
    pub fn edited(&self, problem: &Problem, eligible: &[bool], edit: &SessionEdit, out: &mut Delta) -> bool {
        self.sums_after(problem, edit, out) && self.variety_after(problem, eligible, edit) && {
            self.doses_after(problem, edit, out);
            true
        }
    }

    fn sums_after(&self, problem: &Problem, edit: &SessionEdit, out: &mut Delta) -> bool {
        let (mut less, mut more) = (Load::default(), Load::default());
        let (session, sums) = (edit.session(), &self.sums);
        edit.gone().iter().for_each(|g| less.add(problem, session, self.blocks[usize::from(*g)]));
        edit.come().iter().for_each(|slot| more.add(problem, session, *slot));
        let time = sums.time + more.sums.time - less.sums.time;
        // Who leads a family may change only where the family has a part in the change.
        let flat = time - self.ramp_time;
        let minutes = problem.minutes_units[session];
        if flat > minutes || self.blocks.len() + edit.come().len() > BLOCKS + edit.gone().len() {
            return false;
        }
        out.sums.costs = std::array::from_fn(|k| sums.costs[k] + more.sums.costs[k] - less.sums.costs[k]);
        out.sums.spine_heavy = sums.spine_heavy + more.sums.spine_heavy - less.sums.spine_heavy;
        out.sums.exercises = sums.exercises + more.sums.exercises - less.sums.exercises;
        out.sums.same_muscle = sums.same_muscle + more.sums.same_muscle - less.sums.same_muscle;
        out.sums.own = sums.own + more.sums.own - less.sums.own;
        for (k, count) in out.sums.counts.iter_mut().enumerate() {
            *count = sums.counts[k] + more.sums.counts[k] - less.sums.counts[k];
        }
        let touched = less.families | more.families != 0;
        out.sums.time = if touched { flat + self.ramp_time_after(problem, edit) } else { time };
        out.session = session;
        out.locked = less.locked || more.locked;
        out.empty = self.blocks.len() + edit.come().len() == edit.gone().len();
        within(problem, session, &out.sums)
    }

    /// Time of the family leads' longer ramps and of the start, after an edit.
    fn ramp_time_after(&self, problem: &Problem, edit: &SessionEdit) -> u32 {
        // Rank above lead in one number: the smallest leads.
        const NOBODY: u32 = u32::MAX;
        let mut leads = [NOBODY; FAMILIES];
        let mut see = |family: u8, rank: u16, lead: u16| {
            let best = &mut leads[usize::from(family)];
            *best = (*best).min(u32::from(rank) << 16 | u32::from(lead));
        };
        for r in &self.ramped[..usize::from(self.ramped_len)] {
            if !edit.leaves(usize::from(r.block)) {
                see(r.family, r.rank, r.lead);
            }
        }
        for slot in edit.come() {
            slot.each(|index, mode| {
                let lift = &problem.hot[index];
                if lift.family != NOTHING {
                    see(lift.family, lift.rank, problem.choice(index, mode, slot.sets).lead);
                }
            });
        }
        let (mut time, mut any) = (0, false);
        for lead in leads {
            if lead != NOBODY {
                time += lead & 0xFFFF;
                any = true;
            }
        }
        time + if any { problem.start_units } else { 0 }
    }

    /// Whether what comes may be there at all, once, and with no more of its pattern than allowed.
    fn variety_after(&self, problem: &Problem, eligible: &[bool], edit: &SessionEdit) -> bool {
        let come = edit.come();
        come.iter().enumerate().all(|(k, slot)| {
            slot_allowed(problem, edit.session(), *slot)
                && slot.every(|index| {
                    eligible[index]
                        && !self.has_after(index, edit)
                        && !come[..k].iter().any(|earlier| earlier.has(index as u16))
                        && self.pattern_fits(problem, index, edit)
                })
        })
    }

    fn has_after(&self, index: usize, edit: &SessionEdit) -> bool {
        // The bit says where to look: lifts beyond the words share bits.
        let maybe = self.present[index / 64 % WORDS] >> (index % 64) & 1 == 1;
        let has = |(i, slot): (usize, &PlanBlock)| slot.has(index as u16) && !edit.leaves(i);
        maybe && self.blocks.iter().enumerate().any(has)
    }

    fn pattern_fits(&self, problem: &Problem, index: usize, edit: &SessionEdit) -> bool {
        let lift = &problem.hot[index];
        if lift.locked {
            return true;
        }
        let counts = |slot: PlanBlock| -> u32 {
            let mut count = 0;
            slot.each(|l, _| {
                let other = &problem.hot[l];
                count += u32::from(other.pattern == lift.pattern && !other.locked);
            });
            count
        };
        let here = u32::from(self.patterns[usize::from(lift.pattern)]);
        let come: u32 = edit.come().iter().map(|slot| counts(*slot)).sum();
        let most = problem.variants[usize::from(lift.pattern)];
        here + come <= most
            || here + come
                <= most + edit.gone().iter().map(|g| counts(self.blocks[usize::from(*g)])).sum::<u32>()
    }

    fn doses_after(&self, problem: &Problem, edit: &SessionEdit, out: &mut Delta) {
        out.raw = [0; M];
        out.quality = [0; M];
        out.sides = [0; 4];
        out.touched = 0;
        out.moved.len = 0;
        edit.gone().iter().for_each(|g| out.count(problem, self.blocks[usize::from(*g)], -1));
        edit.come().iter().for_each(|slot| out.count(problem, *slot, 1));
    }
}
