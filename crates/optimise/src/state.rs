//! A plan with its sums kept up to date, so that a change costs only what it touches.
//!
//! Ceilings (time, budgets, strain, most sets, spine) are never passed. What must be reached (least sets,
//! sessions, balance, locks anywhere) is counted as a shortfall.

use crate::frame::{Frame, SESSIONS};
use crate::plan::{Blocks, Plan, Slot, Sums, sums, within};
use crate::problem::{NOTHING, Problem};
use setwright_model::Muscle;
use setwright_model::brief::Lock;
use setwright_science::rules::BALANCE_SHARE;

const M: usize = Muscle::COUNT;

/// Units that a session without any exercise is short.
const EMPTY_SHORT: i64 = 4;

/// Doses and counts of one session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Part {
    blocks: Blocks,
    sums: Sums,
    /// Raw dose by muscle, in quarter-sets.
    raw: [i32; M],
    /// Sets by side.
    sides: [i32; 4],
}

/// What a change does to the doses of one session.
#[derive(Clone, Copy, Debug)]
struct Delta {
    session: usize,
    blocks: Blocks,
    sums: Sums,
    raw: [i32; M],
    quality: [i32; M],
    sides: [i32; 4],
    /// Muscles whose dose changes (bits).
    touched: u32,
}

impl Delta {
    fn new(problem: &Problem, session: usize, old: &Blocks, new: Blocks) -> Self {
        let sums = sums(problem, &new);
        let mut delta =
            Self { session, blocks: new, sums, raw: [0; M], quality: [0; M], sides: [0; 4], touched: 0 };
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

    fn count(&mut self, problem: &Problem, slot: Slot, sign: i32) {
        for (index, mode) in slot.lifts() {
            let lift = &problem.hot[index];
            let worth = sign * i32::from(problem.choice(index, mode, slot.sets).worth);
            let sets = sign * i32::from(slot.sets);
            for &(muscle, quarters) in lift.reaches() {
                let (m, q) = (usize::from(muscle), i32::from(quarters));
                self.raw[m] += q * sets;
                self.quality[m] += q * worth;
                self.touched |= 1 << m;
            }
            if lift.side != NOTHING {
                self.sides[usize::from(lift.side)] += sets;
            }
        }
    }
}

/// A plan with its sums.
#[derive(Clone, Debug)]
pub struct State<'a> {
    problem: &'a Problem,
    frame: &'a Frame,
    parts: Vec<Part>,
    raw: [i32; M],
    quality: [i32; M],
    trained: [i32; M],
    strain: [[i64; SESSIONS]; M],
    sides: [i32; 4],
    /// Benefit less strain price, by muscle.
    worth: [i64; M],
    /// Units short of what is asked, by muscle.
    short: [i32; M],
    value: i64,
    shortfall: i64,
}

impl<'a> State<'a> {
    /// An empty plan.
    pub fn new(problem: &'a Problem, frame: &'a Frame) -> Self {
        let empty = Part { blocks: Blocks::default(), sums: Sums::default(), raw: [0; M], sides: [0; 4] };
        let mut state = Self {
            problem,
            frame,
            parts: vec![empty; frame.sessions()],
            raw: [0; M],
            quality: [0; M],
            trained: [0; M],
            strain: [[0; SESSIONS]; M],
            sides: [0; 4],
            worth: [0; M],
            short: std::array::from_fn(|m| muscle_short(problem, m, 0, 0)),
            value: 0,
            shortfall: 0,
        };
        state.shortfall = state.short.iter().map(|s| i64::from(*s)).sum::<i64>()
            + imbalances(problem, &[0; 4])
            + EMPTY_SHORT * frame.sessions() as i64
            + state.locks_missing(&[]);
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
        self.value
    }

    /// Units short of what must be reached; 0 when all is.
    pub fn short(&self) -> i64 {
        self.shortfall
    }

    /// What the search maximises.
    pub fn score(&self) -> i64 {
        self.value - self.problem.tables.shortfall_price * self.shortfall
    }

    /// Raw dose of a muscle over the cycle, in quarter-sets.
    pub fn raw(&self, muscle: usize) -> i32 {
        self.raw[muscle]
    }

    /// Quality dose of a muscle over the cycle, in dose units.
    pub fn quality(&self, muscle: usize) -> i32 {
        self.quality[muscle]
    }

    /// Strain of a muscle in a session, in strain units.
    pub fn strain(&self, muscle: usize, session: usize) -> i64 {
        self.strain[muscle][session]
    }

    /// What putting other blocks into one session or two would do, or `None` when a ceiling would be passed.
    pub fn with(&self, changes: &[(usize, Blocks)]) -> Option<Change> {
        let delta = |(session, blocks): &(usize, Blocks)| {
            let delta = Delta::new(self.problem, *session, &self.parts[*session].blocks, *blocks);
            within(self.problem, *session, &delta.sums).then_some(delta)
        };
        let deltas = match changes {
            [one] => [Some(delta(one)?), None],
            [one, other] => [Some(delta(one)?), Some(delta(other)?)],
            _ => return None,
        };
        if !self.spine_kept(&deltas) {
            return None;
        }
        self.weigh(&deltas, changes)
    }

    /// Takes a change over.
    pub fn apply(&mut self, change: &Change) {
        for delta in change.deltas.iter().flatten() {
            let part = &mut self.parts[delta.session];
            for m in bits(delta.touched) {
                part.raw[m] += delta.raw[m];
                self.raw[m] += delta.raw[m];
                self.quality[m] += delta.quality[m];
                let carry = &self.frame.carry[m][delta.session];
                for (strain, share) in self.strain[m].iter_mut().zip(carry) {
                    *strain += share * i64::from(delta.raw[m]);
                }
            }
            for (side, more) in self.sides.iter_mut().zip(delta.sides) {
                *side += more;
            }
            for (side, more) in part.sides.iter_mut().zip(delta.sides) {
                *side += more;
            }
            part.blocks = delta.blocks;
            part.sums = delta.sums;
        }
        for m in bits(change.touched) {
            self.worth[m] = change.worth[m];
            self.short[m] = change.short[m];
            self.trained[m] = change.trained[m];
        }
        self.value = change.value;
        self.shortfall = change.shortfall;
    }

    fn spine_kept(&self, deltas: &[Option<Delta>; 2]) -> bool {
        let heavy = |s: usize| {
            let changed = deltas.iter().flatten().find(|d| d.session == s).map(|d| d.sums);
            changed.unwrap_or(self.parts[s].sums).spine_heavy
        };
        self.frame.spine_pairs.iter().all(|&(a, b)| heavy(a) == 0 || heavy(b) == 0)
    }

    /// Values the touched muscles anew; `None` when a ceiling is passed.
    fn weigh(&self, deltas: &[Option<Delta>; 2], changes: &[(usize, Blocks)]) -> Option<Change> {
        let touched = deltas.iter().flatten().fold(0, |bits, d| bits | d.touched);
        let mut change = Change {
            deltas: *deltas,
            touched,
            worth: [0; M],
            short: [0; M],
            trained: [0; M],
            value: self.value - self.price_more(deltas),
            shortfall: self.shortfall,
            score: 0,
        };
        for m in bits(touched) {
            self.weigh_muscle(m, &mut change)?;
        }
        let mut sides = self.sides;
        for delta in deltas.iter().flatten() {
            let part = &self.parts[delta.session].sides;
            let mut own = *part;
            for (k, more) in delta.sides.iter().enumerate() {
                sides[k] += more;
                own[k] += more;
            }
            let empty = |blocks: &Blocks| EMPTY_SHORT * i64::from(blocks.is_empty());
            change.shortfall += empty(&delta.blocks) - empty(&self.parts[delta.session].blocks);
            if self.frame.balanced(delta.session) {
                change.shortfall += imbalances(self.problem, &own) - imbalances(self.problem, part);
            }
        }
        change.shortfall += imbalances(self.problem, &sides) - imbalances(self.problem, &self.sides);
        if !self.problem.locks.is_empty() {
            change.shortfall += self.locks_missing(changes) - self.locks_missing(&[]);
        }
        change.score = change.value - self.problem.tables.shortfall_price * change.shortfall;
        Some(change)
    }

    /// What the changed sessions cost more in exercises and time.
    fn price_more(&self, deltas: &[Option<Delta>; 2]) -> i64 {
        let tables = &self.problem.tables;
        let price = |sums: &Sums| {
            tables.exercise_price * i64::from(sums.exercises) + tables.time_price * i64::from(sums.time)
        };
        deltas.iter().flatten().map(|d| price(&d.sums) - price(&self.parts[d.session].sums)).sum()
    }

    fn weigh_muscle(&self, m: usize, change: &mut Change) -> Option<()> {
        let tables = &self.problem.tables;
        let (mut raw, mut quality, mut trained) = (self.raw[m], self.quality[m], self.trained[m]);
        let mut strain = self.strain[m];
        for delta in change.deltas.iter().flatten() {
            let more = delta.raw[m];
            raw += more;
            quality += delta.quality[m];
            let counts = |r: i32| i32::from(r >= self.problem.trained_quarters);
            let was = self.parts[delta.session].raw[m];
            trained += counts(was + more) - counts(was);
            for (strain, share) in strain.iter_mut().zip(&self.frame.carry[m][delta.session]) {
                *strain += share * i64::from(more);
            }
        }
        if raw > tables.most[m] {
            return None;
        }
        let mut worth = tables.benefit(m, i64::from(quality));
        for &strain in &strain[..self.frame.sessions()] {
            if strain > tables.strain_max {
                return None;
            }
            worth -= tables.strain_price(m, strain);
        }
        change.worth[m] = worth;
        change.trained[m] = trained;
        change.short[m] = muscle_short(self.problem, m, raw, trained);
        change.value += worth - self.worth[m];
        change.shortfall += i64::from(change.short[m] - self.short[m]);
        Some(())
    }

    fn locks_missing(&self, changes: &[(usize, Blocks)]) -> i64 {
        let blocks_of = |s: usize| {
            changes.iter().find(|(c, _)| *c == s).map_or(&self.parts[s].blocks, |(_, blocks)| blocks)
        };
        let kept = |lift: u16, lock: &Lock| match lock.session {
            Some(session) => lock_kept_in(self.problem, blocks_of(session as usize - 1), lift, lock),
            None => (0..self.parts.len()).any(|s| lock_kept_in(self.problem, blocks_of(s), lift, lock)),
        };
        4 * self.problem.locks.iter().filter(|(lift, lock)| !kept(*lift as u16, lock)).count() as i64
    }
}

/// The set bits of a word.
fn bits(mut word: u32) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (word != 0).then(|| {
            let bit = word.trailing_zeros() as usize;
            word &= word - 1;
            bit
        })
    })
}

/// Units that a muscle is short: quarter-sets under its least, and twice the sessions it lacks.
fn muscle_short(problem: &Problem, muscle: usize, raw: i32, trained: i32) -> i32 {
    (problem.tables.least[muscle] - raw).max(0) + 2 * (problem.sessions_least[muscle] as i32 - trained).max(0)
}

fn imbalances(problem: &Problem, sides: &[i32; 4]) -> i64 {
    let axis = |k: usize| {
        if problem.balances[k] { imbalance(sides[2 * k], sides[2 * k + 1], problem.balance_slack) } else { 0 }
    };
    axis(0) + axis(1)
}

/// Whether a session holds a locked lift as the coach fixed it.
pub fn lock_kept_in(problem: &Problem, blocks: &[Slot], lift: u16, lock: &Lock) -> bool {
    blocks.iter().filter(|slot| slot.has(lift)).any(|slot| {
        let partner = if slot.a == lift { slot.b } else { slot.a };
        let with_ok = lock.with.as_ref().is_none_or(|wanted| {
            problem.lifts.get(usize::from(partner)).is_some_and(|l| l.exercise.id == *wanted)
        });
        with_ok && lock.sets.is_none_or(|n| n == u32::from(slot.sets))
    })
}

/// Sets by which the lesser side of a balance is short, rounded up: the lesser is wanted to be at least
/// `BALANCE_SHARE` of the greater less the slack, reckoned in tenths of a set.
pub fn imbalance(one: i32, other: i32, slack_sets: i32) -> i64 {
    const SHARE_TENTHS: i32 = (BALANCE_SHARE * 10.0) as i32;
    let (less, more) = (one.min(other), one.max(other));
    let short_tenths = SHARE_TENTHS * more - 10 * slack_sets - 10 * less;
    i64::from((short_tenths + 9).max(0) / 10)
}

/// A change that may be applied.
#[derive(Clone, Copy, Debug)]
pub struct Change {
    deltas: [Option<Delta>; 2],
    touched: u32,
    worth: [i64; M],
    short: [i32; M],
    trained: [i32; M],
    value: i64,
    shortfall: i64,
    score: i64,
}

impl Change {
    /// What the search maximises, after the change.
    pub fn score(&self) -> i64 {
        self.score
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_balance_is_short_from_three_fifths_less_two_on() {
        // 0.6 * 10 - 2 = 4.
        assert_eq!(imbalance(10, 4, 2), 0);
        assert_eq!(imbalance(10, 3, 2), 1);
        assert_eq!(imbalance(3, 10, 2), 1);
        assert_eq!(imbalance(0, 0, 2), 0);
        // 0.6 * 11 - 2 = 4.6, so 4 is short by part of a set.
        assert_eq!(imbalance(11, 4, 2), 1);
        assert_eq!(imbalance(11, 5, 2), 0);
        // Without slack one set on a side asks for one on the other.
        assert_eq!(imbalance(1, 0, 0), 1);
    }

    #[test]
    fn bits_come_in_order() {
        assert_eq!(bits(0b1001_0010).collect::<Vec<_>>(), [1, 4, 7]);
        assert_eq!(bits(0).count(), 0);
    }
}
