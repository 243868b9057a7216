//! A plan with its sums kept up to date, so that a change costs only what it touches.
//!
//! Ceilings (time, budgets, strain, most sets, spine) are never passed. What must be reached (least sets,
//! sessions, balance, locks anywhere) is counted as a shortfall.

use crate::edit::SessionEdit;
use crate::frame::{Frame, SESSIONS};
use crate::lift::COUNTS;
use crate::plan::{Blocks, Plan, PlanBlock, Sums, orderable, within};
use crate::problem::Problem;
use crate::session_sums::{Delta, SummedSession};
use setwright_model::Muscle;
use setwright_model::brief::Lock;
use setwright_science::rules::BALANCE_SHARE;

const M: usize = Muscle::COUNT;

/// Units that a session without any exercise is short.
const EMPTY_SHORT: i64 = 4;

/// A plan with its sums.
#[derive(Clone, Debug)]
pub struct PlanState<'a> {
    problem: &'a Problem,
    frame: &'a Frame,
    /// The different sessions.
    parts: Vec<SummedSession>,
    /// What the rules count, over the cycle.
    counts: [i32; COUNTS],
    /// Sessions of the cycle that have each lift.
    sessions_of: Vec<u8>,
    raw: [i32; M],
    quality: [i32; M],
    trained: [i32; M],
    strain: [[i32; SESSIONS]; M],
    sides: [i32; 4],
    /// Benefit less strain price, by muscle.
    worth: [i64; M],
    /// Units short of what is asked, by muscle.
    short: [i32; M],
    value: i64,
    shortfall: i64,
}

impl<'a> PlanState<'a> {
    /// An empty plan.
    pub fn new(problem: &'a Problem, frame: &'a Frame) -> Self {
        let empty = SummedSession::new(problem, 0, Blocks::default());
        let mut state = Self {
            problem,
            frame,
            parts: vec![empty; frame.parts()],
            counts: [0; COUNTS],
            sessions_of: vec![0; problem.lifts.len()],
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
            + EMPTY_SHORT * frame.parts() as i64
            + (0..frame.parts()).map(|s| frame.counts_short(s, &[0; COUNTS])).sum::<i64>()
            + cycle_short(problem, &[0; COUNTS])
            + state.locks_missing(&[], &[]);
        state
    }

    /// Blocks of a session.
    #[inline]
    pub fn blocks(&self, session: usize) -> &Blocks {
        &self.parts[session].blocks
    }

    /// Sums of a session.
    #[inline]
    pub fn sums(&self, session: usize) -> &Sums {
        &self.parts[session].sums
    }

    /// The plan.
    pub fn plan(&self) -> Plan {
        Plan { sessions: self.parts.iter().map(|p| p.blocks).collect() }
    }

    /// Copies the plan over another of the same frame.
    pub fn copy_plan(&self, plan: &mut Plan) {
        plan.sessions.clear();
        plan.sessions.extend(self.parts.iter().map(|p| p.blocks));
    }

    /// Value in millionths of a point, shortfalls not counted.
    #[inline]
    pub fn value(&self) -> i64 {
        self.value
    }

    /// Units short of what must be reached; 0 when all is.
    #[inline]
    pub fn short(&self) -> i64 {
        self.shortfall
    }

    /// What the search maximises.
    #[inline]
    pub fn score(&self) -> i64 {
        self.value - self.problem.tables.shortfall_price * self.shortfall
    }

    /// Sessions of the cycle that have a lift.
    #[inline]
    pub fn sessions_of(&self, lift: usize) -> usize {
        usize::from(self.sessions_of[lift])
    }

    /// What the rules count, over the cycle.
    #[inline]
    pub fn counts(&self) -> &[i32; COUNTS] {
        &self.counts
    }

    /// Raw dose of a muscle over the cycle, in quarter-sets.
    #[inline]
    pub fn raw(&self, muscle: usize) -> i32 {
        self.raw[muscle]
    }

    /// Quality dose of a muscle over the cycle, in dose units.
    #[inline]
    pub fn quality(&self, muscle: usize) -> i32 {
        self.quality[muscle]
    }

    /// Strain of a muscle in a session, in strain units.
    #[inline]
    pub fn strain(&self, muscle: usize, session: usize) -> i64 {
        i64::from(self.strain[muscle][session])
    }

    /// What putting other blocks into one session or two would do, or `None` when a ceiling would be passed.
    pub fn with(&self, changes: &[(usize, Blocks)]) -> Option<PlanChange> {
        let mut change = PlanChange { len: changes.len(), ..PlanChange::default() };
        for (k, (session, blocks)) in changes.iter().enumerate() {
            let delta = Delta::between(self.problem, *session, &self.parts[*session].blocks, blocks);
            if !within(self.problem, *session, &delta.sums) {
                return None;
            }
            *change.deltas.get_mut(k)? = delta;
            change.blocks[k] = *blocks;
        }
        self.weigh(&mut change).then_some(change)
    }

    /// Weighs edits of one session or two, in different sessions; says whether every ceiling and every rule of a
    /// session but its order is kept. Only then does `change` hold the outcome, whose blocks are still to be set.
    pub fn weigh_edits(&self, edits: &[SessionEdit], change: &mut PlanChange) -> bool {
        change.len = edits.len().min(change.deltas.len());
        for (edit, delta) in edits.iter().zip(&mut change.deltas) {
            let session = edit.session();
            if !self.parts[session].edited(self.problem, &self.frame.eligible[session], edit, delta) {
                return false;
            }
        }
        // Locks are judged by the blocks themselves.
        let locked = change.deltas.iter().take(change.len).any(|d| d.locked);
        (!locked || change.lay_out(self, edits)) && self.weigh(change)
    }

    /// Takes a change over.
    pub fn apply(&mut self, change: &PlanChange) {
        for (delta, blocks) in change.deltas.iter().zip(&change.blocks).take(change.len) {
            let copies = self.problem.copies[delta.session];
            for m in bits(delta.touched) {
                self.raw[m] += copies * delta.raw[m];
                self.quality[m] += copies * delta.quality[m];
                let carry = &self.frame.carry[m][delta.session];
                for (strain, share) in self.strain[m].iter_mut().zip(carry) {
                    *strain += share * delta.raw[m];
                }
            }
            for (side, more) in self.sides.iter_mut().zip(delta.sides) {
                *side += copies * more;
            }
            let was = self.parts[delta.session].sums.counts;
            for ((sum, is), was) in self.counts.iter_mut().zip(delta.sums.counts).zip(was) {
                *sum += copies * i32::from(is - was);
            }
            for (lift, sign) in delta.moved() {
                let count = &mut self.sessions_of[usize::from(*lift)];
                *count = (i32::from(*count) + copies * i32::from(*sign)) as u8;
            }
            self.parts[delta.session].take(self.problem, *blocks, delta);
        }
        let after = &change.after;
        for m in bits(after.touched) {
            self.worth[m] = after.worth[m];
            self.short[m] = after.short[m];
            self.trained[m] = after.trained[m];
        }
        self.value = change.after.value;
        self.shortfall = change.after.shortfall;
    }

    fn spine_kept(&self, deltas: &[Delta]) -> bool {
        let more = |d: &Delta| d.sums.spine_heavy > 0 && self.parts[d.session].sums.spine_heavy == 0;
        if !deltas.iter().any(more) {
            return true;
        }
        let heavy = |s: usize| {
            let changed = deltas.iter().find(|d| d.session == s).map(|d| d.sums);
            changed.unwrap_or(self.parts[s].sums).spine_heavy
        };
        self.frame.spine_pairs.iter().all(|&(a, b)| heavy(a) == 0 || heavy(b) == 0)
    }

    /// Values the touched muscles anew; says whether every ceiling is kept.
    fn weigh(&self, change: &mut PlanChange) -> bool {
        let PlanChange { deltas, blocks, len, after } = change;
        let (deltas, blocks) = (&deltas[..*len], &blocks[..*len]);
        if !self.spine_kept(deltas) || !self.counts_kept(deltas, after) {
            return false;
        }
        after.touched = deltas.iter().fold(0, |bits, d| bits | d.touched);
        after.value = self.value - self.price_more(deltas);
        after.shortfall = self.shortfall + after.counts_short;
        // Rows of a length known beforehand, with sessions that are not there left at nothing.
        let kept = match self.frame.sessions() {
            0..=2 => self.weigh_muscles::<2>(deltas, after),
            3..=4 => self.weigh_muscles::<4>(deltas, after),
            5..=6 => self.weigh_muscles::<6>(deltas, after),
            _ => self.weigh_muscles::<SESSIONS>(deltas, after),
        };
        if !kept {
            return false;
        }
        after.shortfall += self.unbalanced_more(deltas);
        if deltas.iter().any(|d| d.locked) {
            after.shortfall += self.locks_missing(deltas, blocks) - self.locks_missing(&[], &[]);
        }
        after.score = after.value - self.problem.tables.shortfall_price * after.shortfall;
        true
    }

    /// Whether what the rules count stays under its most; notes by how much more it is short of its least.
    fn counts_kept(&self, deltas: &[Delta], after: &mut After) -> bool {
        let quotas = &self.problem.quotas;
        let mut totals = self.counts;
        let mut short = 0;
        for delta in deltas {
            let part = &self.parts[delta.session];
            if delta.sums.counts == part.sums.counts {
                continue;
            }
            let copies = self.problem.copies[delta.session];
            for ((total, is), was) in totals.iter_mut().zip(delta.sums.counts).zip(part.sums.counts) {
                *total += copies * i32::from(is - was);
            }
            let of = |counts: &[i16; COUNTS]| self.frame.counts_short(delta.session, counts);
            short += of(&delta.sums.counts) - of(&part.sums.counts);
        }
        after.counts_short = short;
        if totals == self.counts {
            return true;
        }
        after.counts_short += cycle_short(self.problem, &totals) - cycle_short(self.problem, &self.counts);
        totals.iter().zip(&quotas.cycle_most).all(|(n, most)| *n <= i32::from(*most))
    }

    /// Units by which balances and empty sessions are further short.
    fn unbalanced_more(&self, deltas: &[Delta]) -> i64 {
        let empty = |is: bool| EMPTY_SHORT * i64::from(is);
        let mut sides = self.sides;
        let mut more = 0;
        for delta in deltas {
            let part = &self.parts[delta.session];
            more += empty(delta.empty) - empty(part.blocks.is_empty());
            if delta.sides == [0; 4] {
                continue;
            }
            let copies = self.problem.copies[delta.session];
            let own = std::array::from_fn(|k| part.sides[k] + delta.sides[k]);
            sides = std::array::from_fn(|k| sides[k] + copies * delta.sides[k]);
            if self.frame.balanced(delta.session) {
                more += imbalances(self.problem, &own) - imbalances(self.problem, &part.sides);
            }
        }
        if sides == self.sides {
            return more;
        }
        more + imbalances(self.problem, &sides) - imbalances(self.problem, &self.sides)
    }

    /// What the changed sessions cost more in exercises, time and effort, less what their lifts bring more.
    fn price_more(&self, deltas: &[Delta]) -> i64 {
        let price = |d: &Delta| {
            let was = self.parts[d.session].sums.price(self.problem, d.session);
            i64::from(self.problem.copies[d.session]) * (d.sums.price(self.problem, d.session) - was)
        };
        deltas.iter().map(price).sum::<i64>() - self.lifts_more(deltas)
    }

    /// What lifts bring more over the cycle by coming or going.
    fn lifts_more(&self, deltas: &[Delta]) -> i64 {
        let entries = || {
            let of = |d: &'_ Delta| self.problem.copies[d.session];
            deltas
                .iter()
                .flat_map(move |d| d.moved().iter().map(move |(l, sign)| (*l, of(d) * i32::from(*sign))))
        };
        let mut sum = 0;
        for (at, (lift, _)) in entries().enumerate() {
            if entries().take(at).any(|(l, _)| l == lift) {
                continue;
            }
            let net: i32 = entries().filter(|(l, _)| *l == lift).map(|(_, n)| n).sum();
            if net != 0 {
                let was = usize::from(self.sessions_of[usize::from(lift)]);
                let values = &self.problem.tables.lift_value[usize::from(lift)];
                sum += values[(was as i32 + net) as usize] - values[was];
            }
        }
        sum
    }

    fn weigh_muscles<const S: usize>(&self, deltas: &[Delta], after: &mut After) -> bool {
        bits(after.touched).all(|m| self.weigh_muscle::<S>(m, deltas, after))
    }

    /// Values a muscle anew; says whether its ceilings are kept.
    #[inline]
    fn weigh_muscle<const S: usize>(&self, m: usize, deltas: &[Delta], out: &mut After) -> bool {
        let tables = &self.problem.tables;
        let (mut raw, mut quality, mut trained) = (self.raw[m], self.quality[m], self.trained[m]);
        let mut strain: [i32; S] = std::array::from_fn(|s| self.strain[m][s]);
        for delta in deltas {
            let (more, copies) = (delta.raw[m], self.problem.copies[delta.session]);
            quality += copies * delta.quality[m];
            raw += copies * more;
            let counts = |r: i32| i32::from(r >= self.problem.trained_quarters);
            let was = self.parts[delta.session].raw[m];
            trained += copies * (counts(was + more) - counts(was));
            let carry = &self.frame.carry[m][delta.session];
            strain = std::array::from_fn(|s| strain[s] + carry[s] * more);
        }
        let mut worth = tables.benefit(m, i64::from(quality));
        let mut most = 0;
        for strain in strain {
            most = most.max(strain);
            worth -= tables.strain_price(i64::from(strain));
        }
        if raw > tables.most[m] || i64::from(most) > tables.strain_max {
            return false;
        }
        out.worth[m] = worth;
        out.trained[m] = trained;
        out.short[m] = muscle_short(self.problem, m, raw, trained);
        out.value += worth - self.worth[m];
        out.shortfall += i64::from(out.short[m] - self.short[m]);
        true
    }

    fn locks_missing(&self, deltas: &[Delta], blocks: &[Blocks]) -> i64 {
        let blocks_of = |s: usize| {
            let changed = deltas.iter().zip(blocks).find(|(d, _)| d.session == s);
            changed.map_or(&self.parts[s].blocks, |(_, blocks)| blocks)
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

/// Units that what the rules count over the cycle is short of its least.
fn cycle_short(problem: &Problem, counts: &[i32; COUNTS]) -> i64 {
    let quotas = &problem.quotas;
    let of = |(k, count): (usize, &crate::rules::Count)| {
        count.weight * i64::from((i32::from(quotas.cycle_least[k]) - counts[k]).max(0))
    };
    quotas.counts.iter().enumerate().map(of).sum()
}

fn imbalances(problem: &Problem, sides: &[i32; 4]) -> i64 {
    let axis = |k: usize| {
        if problem.balances[k] { imbalance(sides[2 * k], sides[2 * k + 1], problem.balance_slack) } else { 0 }
    };
    axis(0) + axis(1)
}

/// Whether a session holds a locked lift as the coach fixed it.
pub fn lock_kept_in(problem: &Problem, blocks: &[PlanBlock], lift: u16, lock: &Lock) -> bool {
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

/// Most sessions that a change reaches.
pub const CHANGED: usize = 4;

/// A change that may be applied: room for a few sessions, used again and again by the search.
#[derive(Clone, Copy, Debug, Default)]
pub struct PlanChange {
    deltas: [Delta; CHANGED],
    blocks: [Blocks; CHANGED],
    len: usize,
    after: After,
}

/// What a change leads to.
#[derive(Clone, Copy, Debug, Default)]
struct After {
    touched: u32,
    worth: [i64; M],
    short: [i32; M],
    trained: [i32; M],
    value: i64,
    shortfall: i64,
    /// Units by which what the rules count is further short.
    counts_short: i64,
    score: i64,
}

impl PlanChange {
    /// What the search maximises, after the change.
    #[inline]
    pub fn score(&self) -> i64 {
        self.after.score
    }

    /// Value after the change, when nothing is short then.
    #[inline]
    pub fn value(&self) -> Option<i64> {
        (self.after.shortfall == 0).then_some(self.after.value)
    }

    /// Whether something holds of all changed sessions.
    #[inline]
    pub fn every(&self, holds: impl Fn(usize, &Blocks) -> bool) -> bool {
        self.deltas.iter().zip(&self.blocks).take(self.len).all(|(d, blocks)| holds(d.session, blocks))
    }

    fn lay_out(&mut self, state: &PlanState<'_>, edits: &[SessionEdit]) -> bool {
        edits.iter().zip(&mut self.blocks).all(|(edit, blocks)| {
            let applied = edit.applied(&state.parts[edit.session()].blocks);
            applied.map(|applied| *blocks = applied).is_some()
        })
    }

    /// Sets the blocks of the sessions that edits change; says whether all rules of order are kept.
    pub fn settle(&mut self, state: &PlanState<'_>, edits: &[SessionEdit]) -> bool {
        self.lay_out(state, edits) && self.every(|_, blocks| orderable(state.problem, blocks))
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
