//! A plan with its sums kept up to date, so that a change costs only what it touches.
//!
//! Ceilings (time, budgets, strain, most sets, spine) are never passed. What must be reached (least sets,
//! sessions, balance, locks anywhere) is counted as a shortfall.

use crate::frame::{Frame, SESSIONS};
use crate::plan::{Blocks, Plan, Slot, Sums, sums, within};
use crate::problem::Problem;
use setwright_model::Muscle;

const M: usize = Muscle::COUNT;

/// Cost of a unit of shortfall in the search, in millionths of a point. A feasible plan has none.
const SHORTFALL_PRICE: i64 = 300_000;

/// Doses and counts of one session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Its blocks.
    pub blocks: Blocks,
    /// Its sums.
    pub sums: Sums,
    /// Raw dose by muscle, in quarter-sets.
    pub raw: [i32; M],
    /// Quality dose by muscle, in dose units.
    pub quality: [i32; M],
    /// Sets by side.
    pub sides: [i32; 4],
}

impl Part {
    /// A session's doses and counts.
    pub fn new(problem: &Problem, blocks: Blocks) -> Self {
        let mut part =
            Self { blocks, sums: sums(problem, &blocks), raw: [0; M], quality: [0; M], sides: [0; 4] };
        for slot in blocks.iter() {
            part.add_doses(problem, *slot);
        }
        part
    }

    fn add_doses(&mut self, problem: &Problem, slot: Slot) {
        for (index, mode) in slot.lifts() {
            let lift = &problem.lifts[index];
            let worth = lift.choice(mode, slot.sets).worth;
            for &(muscle, quarters) in &lift.quarters {
                self.raw[usize::from(muscle)] += quarters * i32::from(slot.sets);
                self.quality[usize::from(muscle)] += quarters * worth;
            }
            if let Some(side) = lift.side {
                self.sides[usize::from(side)] += i32::from(slot.sets);
            }
        }
    }
}

/// Totals over the cycle.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Totals {
    raw: [i32; M],
    quality: [i32; M],
    trained: [i32; M],
    strain: [[i64; SESSIONS]; M],
    sides: [i32; 4],
    /// Benefit less strain price, by muscle.
    worth: [i64; M],
    /// Exercises and time, priced.
    price: i64,
    shortfall: i64,
}

/// A plan with its sums.
#[derive(Clone, Debug)]
pub struct State<'a> {
    problem: &'a Problem,
    frame: &'a Frame,
    parts: Vec<Part>,
    totals: Totals,
}

impl<'a> State<'a> {
    /// An empty plan.
    pub fn new(problem: &'a Problem, frame: &'a Frame) -> Self {
        let parts = vec![Part::new(problem, Blocks::default()); frame.sessions()];
        let totals = Totals {
            raw: [0; M],
            quality: [0; M],
            trained: [0; M],
            strain: [[0; SESSIONS]; M],
            sides: [0; 4],
            worth: [0; M],
            price: 0,
            shortfall: 0,
        };
        let mut state = Self { problem, frame, parts, totals };
        state.totals.shortfall = state.shortfall(&state.totals, &[]);
        state
    }

    /// Blocks of a session.
    pub fn blocks(&self, session: usize) -> &Blocks {
        &self.parts[session].blocks
    }

    /// Sums of a session.
    pub fn sums(&self, session: usize) -> &Sums {
        &self.parts[session].sums
    }

    /// The plan.
    pub fn plan(&self) -> Plan {
        Plan { sessions: self.parts.iter().map(|p| p.blocks).collect() }
    }

    /// Value in millionths of a point, shortfalls not counted.
    pub fn value(&self) -> i64 {
        self.totals.worth.iter().sum::<i64>() - self.totals.price
    }

    /// Units short of what must be reached; 0 when all is.
    pub fn short(&self) -> i64 {
        self.totals.shortfall
    }

    /// What the search maximises.
    pub fn score(&self) -> i64 {
        self.value() - SHORTFALL_PRICE * self.totals.shortfall
    }

    /// Raw dose of a muscle over the cycle, in quarter-sets.
    pub fn raw(&self, muscle: usize) -> i32 {
        self.totals.raw[muscle]
    }

    /// Quality dose of a muscle over the cycle, in dose units.
    pub fn quality(&self, muscle: usize) -> i32 {
        self.totals.quality[muscle]
    }

    /// Strain of a muscle in a session, in strain units.
    pub fn strain(&self, muscle: usize, session: usize) -> i64 {
        self.totals.strain[muscle][session]
    }

    /// The state after putting other blocks into sessions, or `None` when a ceiling would be passed.
    pub fn with(&self, changes: &[(usize, Blocks)]) -> Option<Change> {
        let mut change = Change { parts: [None, None], totals: self.totals.clone() };
        for (slot, (session, blocks)) in change.parts.iter_mut().zip(changes) {
            let part = Part::new(self.problem, *blocks);
            if !within(self.problem, *session, &part.sums) {
                return None;
            }
            *slot = Some((*session, part));
        }
        if !self.spine_kept(&change) || !self.add_up(&mut change) {
            return None;
        }
        change.totals.shortfall = self.shortfall(&change.totals, changes);
        Some(change)
    }

    /// Takes a change over.
    pub fn apply(&mut self, change: &Change) {
        for (session, part) in change.parts.iter().flatten() {
            self.parts[*session] = *part;
        }
        self.totals.clone_from(&change.totals);
    }

    /// Score after a change.
    pub fn score_of(change: &Change) -> i64 {
        change.totals.worth.iter().sum::<i64>()
            - change.totals.price
            - SHORTFALL_PRICE * change.totals.shortfall
    }

    fn spine_kept(&self, change: &Change) -> bool {
        let heavy = |s: usize| {
            let changed = change.parts.iter().flatten().find(|(c, _)| *c == s).map(|(_, p)| p.sums);
            changed.unwrap_or(self.parts[s].sums).spine_heavy
        };
        self.frame.spine_pairs.iter().all(|&(a, b)| heavy(a) == 0 || heavy(b) == 0)
    }

    fn add_up(&self, change: &mut Change) -> bool {
        let tables = &self.problem.tables;
        let totals = &mut change.totals;
        let mut touched = [false; M];
        for (session, part) in change.parts.iter().flatten() {
            let old = &self.parts[*session];
            totals.price += tables.exercise_price
                * (i64::from(part.sums.exercises) - i64::from(old.sums.exercises))
                + tables.time_price * (i64::from(part.sums.time) - i64::from(old.sums.time));
            for side in 0..4 {
                totals.sides[side] += part.sides[side] - old.sides[side];
            }
            for (muscle, touched) in touched.iter_mut().enumerate() {
                let raw = part.raw[muscle] - old.raw[muscle];
                let quality = part.quality[muscle] - old.quality[muscle];
                if raw != 0 || quality != 0 {
                    *touched = true;
                    totals.raw[muscle] += raw;
                    totals.quality[muscle] += quality;
                    let trained = |r: i32| i32::from(r >= self.problem.trained_quarters);
                    totals.trained[muscle] += trained(part.raw[muscle]) - trained(old.raw[muscle]);
                    let carry = &self.frame.carry[muscle][*session];
                    for (strain, share) in totals.strain[muscle].iter_mut().zip(carry) {
                        *strain += share * i64::from(raw);
                    }
                }
            }
        }
        (0..M).filter(|&m| touched[m]).all(|m| self.revalue(totals, m))
    }

    /// Values a muscle anew; says whether its ceilings are kept.
    fn revalue(&self, totals: &mut Totals, muscle: usize) -> bool {
        let tables = &self.problem.tables;
        let mut worth = tables.benefit(muscle, i64::from(totals.quality[muscle]));
        for &strain in &totals.strain[muscle][..self.frame.sessions()] {
            if strain > tables.strain_max {
                return false;
            }
            worth -= tables.strain_price(muscle, strain);
        }
        totals.worth[muscle] = worth;
        totals.raw[muscle] <= tables.most[muscle]
    }

    fn shortfall(&self, totals: &Totals, changes: &[(usize, Blocks)]) -> i64 {
        let tables = &self.problem.tables;
        let mut short = 0;
        for muscle in 0..M {
            short += i64::from((tables.least[muscle] - totals.raw[muscle]).max(0));
            short +=
                2 * i64::from((self.problem.sessions_least[muscle] as i32 - totals.trained[muscle]).max(0));
        }
        for (axis, applies) in self.problem.balances.iter().enumerate() {
            if *applies {
                short += imbalance(totals.sides[2 * axis], totals.sides[2 * axis + 1]);
            }
        }
        short + self.locks_missing(changes)
    }

    fn locks_missing(&self, changes: &[(usize, Blocks)]) -> i64 {
        let blocks_of = |s: usize| {
            changes.iter().find(|(c, _)| *c == s).map_or(&self.parts[s].blocks, |(_, blocks)| blocks)
        };
        let kept = |lift: u16, lock: &setwright_model::brief::Lock| match lock.session {
            Some(session) => lock_kept_in(self.problem, blocks_of(session as usize - 1), lift, lock),
            None => (0..self.parts.len()).any(|s| lock_kept_in(self.problem, blocks_of(s), lift, lock)),
        };
        4 * self.problem.locks.iter().filter(|(lift, lock)| !kept(*lift as u16, lock)).count() as i64
    }
}

/// Whether a session holds a locked lift as the coach fixed it.
pub fn lock_kept_in(
    problem: &Problem,
    blocks: &[Slot],
    lift: u16,
    lock: &setwright_model::brief::Lock,
) -> bool {
    blocks.iter().filter(|slot| slot.has(lift)).any(|slot| {
        let partner = if slot.a == lift { slot.b } else { slot.a };
        let with_ok = lock.with.as_ref().is_none_or(|wanted| {
            problem.lifts.get(usize::from(partner)).is_some_and(|l| l.exercise.id == *wanted)
        });
        with_ok && lock.sets.is_none_or(|n| n == u32::from(slot.sets))
    })
}

/// Sets by which the lesser side of a balance is short, rounded up.
pub fn imbalance(one: i32, other: i32) -> i64 {
    use setwright_science::rules::{BALANCE_SHARE, BALANCE_SLACK_SETS};
    let (less, more) = (one.min(other), one.max(other));
    let wanted = BALANCE_SHARE * f64::from(more) - BALANCE_SLACK_SETS;
    (wanted - 1e-9 - f64::from(less)).ceil().max(0.0) as i64
}

/// A change that may be applied.
#[derive(Clone, Debug)]
pub struct Change {
    parts: [Option<(usize, Part)>; 2],
    totals: Totals,
}
