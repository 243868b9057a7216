//! Every session that keeps the rules of a session.

use super::{Cuts, M};
use setwright_formulate::problem::{Candidate, Choice, MODES, Problem, SETS};
use setwright_formulate::rules::{Count, Unit};
use setwright_model::BlockKind;
use setwright_model::brief::{Lock, Priority};
use setwright_model::pattern::{Region, Side};
use setwright_model::{ExerciseId, Muscle, Pattern};
use std::collections::BTreeMap;

/// A block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Block {
    /// First lift.
    pub first: usize,
    /// Second lift of a pair.
    pub second: Option<usize>,
    /// Sets of each.
    pub sets: u8,
    /// Mode of the first.
    pub mode: u8,
}

/// A session that keeps every rule of a session, and what it brings.
#[derive(Clone, Debug, PartialEq)]
pub struct Session {
    /// Its blocks, in an order that keeps the rules of order.
    pub blocks: Vec<Block>,
    /// Time steps.
    pub time: u32,
    /// Lifts in it.
    pub lifts: Vec<usize>,
    /// Quarters of effort.
    pub effort: u32,
    /// What its lifts cost by being there, less what is kept.
    pub own: i64,
    /// What the rules count.
    pub counts: Vec<i32>,
    /// Whether it loads the spine heavily.
    pub spine_heavy: bool,
    /// Quarter-sets by muscle.
    pub raw: [i32; M],
    /// Dose units by muscle.
    pub quality: [i32; M],
    /// Sets of push, pull, knee and hip.
    pub sides: [i32; 4],
    /// Which locks it keeps.
    pub locks_kept: Vec<bool>,
}

/// A lift as it stands in a session: its mode and sets.
type Done<'a> = (&'a Candidate, usize, Choice, u32);

/// All of them for session `index` (from 0).
pub fn all(problem: &Problem, index: usize, eligible: &[bool], cuts: Cuts) -> Vec<Session> {
    let mut found = Vec::new();
    let mut used = vec![false; problem.lifts.len()];
    extend(problem, index, eligible, 0, &mut used, &mut Vec::new(), &mut found);
    if cuts == Cuts::Proven { undominated(found) } else { found }
}

/// Decides on lift `from` and those after it: out, alone, or with a later one.
fn extend(
    problem: &Problem,
    index: usize,
    eligible: &[bool],
    from: usize,
    used: &mut Vec<bool>,
    blocks: &mut Vec<Block>,
    found: &mut Vec<Session>,
) {
    let body: u32 = blocks.iter().flat_map(|b| done(problem, b)).map(|(_, _, c, _)| u32::from(c.time)).sum();
    if body > problem.minutes_units[index] {
        return;
    }
    if from == problem.lifts.len() {
        found.extend(judge(problem, index, blocks));
        return;
    }
    extend(problem, index, eligible, from + 1, used, blocks, found);
    if used[from] || !eligible[from] {
        return;
    }
    for second in std::iter::once(None).chain((from + 1..problem.lifts.len()).map(Some)) {
        if second.is_some_and(|b| used[b] || !eligible[b]) {
            continue;
        }
        for block in blocks_of(problem, index, from, second) {
            set_used(used, from, second, true);
            blocks.push(block);
            extend(problem, index, eligible, from + 1, used, blocks, found);
            blocks.pop();
            set_used(used, from, second, false);
        }
    }
}

fn set_used(used: &mut [bool], a: usize, b: Option<usize>, to: bool) {
    used[a] = to;
    if let Some(b) = b {
        used[b] = to;
    }
}

/// Every block of a lift, or of two.
fn blocks_of(problem: &Problem, session: usize, a: usize, b: Option<usize>) -> Vec<Block> {
    let mut out = Vec::new();
    for (mode, kind) in MODES.iter().enumerate().filter(|(_, m)| !m.second).map(|(i, m)| (i as u8, m.kind)) {
        for sets in 1..=SETS as u8 {
            let block = |first, second| Block { first, second, sets, mode };
            match (kind, b) {
                (BlockKind::Straight, None) => out.push(block(a, None)),
                (BlockKind::Alternating, Some(b)) if problem.may_alternate[a][b] => {
                    out.push(block(a, Some(b)));
                }
                (BlockKind::SameMuscle, Some(b)) => {
                    if problem.may_share_muscle[a][b] {
                        out.push(block(a, Some(b)));
                    }
                    if problem.may_share_muscle[b][a] {
                        out.push(block(b, Some(a)));
                    }
                }
                _ => {}
            }
        }
    }
    let here = |c: Choice| c.allowed && c.sessions >> session & 1 == 1;
    out.retain(|b| done(problem, b).iter().all(|(_, _, choice, _)| here(*choice)));
    out
}

/// The lifts of a block with what each takes and gives.
fn done<'a>(problem: &'a Problem, block: &Block) -> Vec<Done<'a>> {
    let first = (block.first, usize::from(block.mode));
    let second = block.second.map(|l| (l, second_mode(usize::from(block.mode))));
    let of = |(lift, mode): (usize, usize)| {
        let choice = problem.lifts[lift].choices[mode][usize::from(block.sets) - 1];
        (&problem.lifts[lift], lift, choice, u32::from(block.sets))
    };
    std::iter::once(first).chain(second).map(of).collect()
}

/// The mode of a pair's second lift: of the same kind and rest, and second where that makes a difference.
fn second_mode(mode: usize) -> usize {
    let first = MODES[mode];
    let second = first.kind == BlockKind::SameMuscle;
    MODES
        .iter()
        .position(|m| m.kind == first.kind && m.rest_s == first.rest_s && m.second == second)
        .unwrap_or(mode)
}

/// The session of these blocks, when it keeps the rules.
fn judge(problem: &Problem, index: usize, blocks: &[Block]) -> Option<Session> {
    let lifts: Vec<Done<'_>> = blocks.iter().flat_map(|b| done(problem, b)).collect();
    let rules = &problem.rules;
    let cost = |k: usize| lifts.iter().map(|(l, _, _, n)| l.costs[k] * n).sum::<u32>();
    let spinal = lifts.iter().filter(|(l, ..)| l.exercise.is_heavy_on_the_back()).count() as u32;
    let time = time(problem, &lifts);
    let same = blocks.iter().filter(|b| MODES[usize::from(b.mode)].kind == BlockKind::SameMuscle).count();
    let counts = counts(problem, &lifts);
    let fits = time <= problem.minutes_units[index]
        && lifts.len() as u32 <= problem.exercises_most[index]
        && lifts.iter().map(|(.., n)| n).sum::<u32>() <= problem.sets_most[index]
        && same <= 1
        && within_session(problem, &counts)
        && spinal <= rules.spine_heavy
        && cost(0) <= rules.systemic
        && cost(1) <= rules.spinal
        && cost(2) <= rules.grip
        && keeps_variety(problem, &lifts);
    let locks_kept: Vec<bool> =
        problem.locks.iter().map(|(l, lock)| keeps(problem, blocks, *l, lock)).collect();
    let own = |(_, lock): &(usize, Lock)| lock.session == Some(index as u32 + 1);
    let locks_ok = problem.locks.iter().zip(&locks_kept).all(|(lock, kept)| *kept || !own(lock));
    if !fits || !locks_ok {
        return None;
    }
    let order = order(problem, blocks)?;
    Some(Session {
        blocks: order,
        time,
        effort: lifts.iter().map(|(l, _, _, n)| (3 + u32::from(l.exercise.systemic)) * n).sum(),
        own: lifts.iter().map(|done| own_price(problem, index, done)).sum(),
        lifts: lifts.iter().map(|(_, index, ..)| *index).collect(),
        counts,
        spine_heavy: spinal > 0,
        raw: dose(&lifts, |_, sets| sets as i32),
        quality: dose(&lifts, |choice, _| i32::from(choice.worth)),
        sides: [Side::Push, Side::Pull, Side::Knee, Side::Hip].map(|side| sets_of(&lifts, side)),
        locks_kept,
    })
}

/// What a lift costs by being there, less the worth of its having been there before.
fn own_price(problem: &Problem, index: usize, (lift, _, choice, _): &Done<'_>) -> i64 {
    let kept = if was_there(problem, index, &lift.exercise.id) { problem.tables.kept_worth } else { 0 };
    i64::from(choice.price) * problem.tables.scale - kept
}

/// What the rules count: by exercise or by set.
fn counts(problem: &Problem, lifts: &[Done<'_>]) -> Vec<i32> {
    let of = |(k, count): (usize, &Count)| {
        let one = |(_, index, _, sets): &Done<'_>| {
            let units = if count.unit == Unit::Set { *sets as i32 } else { 1 };
            i32::from(problem.tables.signs[*index][k]) * units
        };
        lifts.iter().map(one).sum()
    };
    problem.quotas.counts.iter().enumerate().map(of).collect()
}

fn within_session(problem: &Problem, counts: &[i32]) -> bool {
    let most = |count: &Count| count.session_most.map_or(i32::MAX, i32::from);
    problem.quotas.counts.iter().zip(counts).all(|(count, n)| *n <= most(count))
}

/// Whether the programme before had an exercise in the session of that number.
fn was_there(problem: &Problem, index: usize, id: &ExerciseId) -> bool {
    let before = problem.brief.style.before.as_ref().and_then(|b| b.sessions.get(index));
    before.is_some_and(|s| s.blocks.iter().any(|b| b.exercises.iter().any(|p| p.id == *id)))
}

/// Blocks, longer ramps of the first lift of each family, and the start when anything is ramped at all.
fn time(problem: &Problem, lifts: &[Done<'_>]) -> u32 {
    let mut leads: BTreeMap<u8, (u32, u32)> = BTreeMap::new();
    for (lift, _, choice, _) in lifts {
        if let Some(family) = lift.family {
            let own = (lift.rank, u32::from(choice.lead));
            let lead = leads.entry(family).or_insert(own);
            if lift.rank < lead.0 {
                *lead = own;
            }
        }
    }
    let start = if leads.is_empty() { 0 } else { problem.start_units };
    let body: u32 = lifts.iter().map(|(_, _, c, _)| u32::from(c.time)).sum();
    body + leads.values().map(|(_, lead)| lead).sum::<u32>() + start
}

/// One exercise of a pattern, or as many as the problem says; what the coach locked does not count.
fn keeps_variety(problem: &Problem, lifts: &[Done<'_>]) -> bool {
    Pattern::ALL.iter().enumerate().all(|(p, pattern)| {
        let free = |index: &usize| problem.locks.iter().all(|(l, _)| l != index);
        let n = lifts.iter().filter(|(l, index, ..)| l.exercise.pattern == *pattern && free(index)).count();
        n as u32 <= problem.variants[p]
    })
}

/// Whether a block is as the lock wants it.
fn keeps(problem: &Problem, blocks: &[Block], lift: usize, lock: &Lock) -> bool {
    blocks.iter().any(|block| {
        let partner = if block.first == lift { block.second } else { Some(block.first) };
        let with = partner.map(|l| &problem.lifts[l].exercise.id);
        (block.first == lift || block.second == Some(lift))
            && lock.sets.is_none_or(|n| n == u32::from(block.sets))
            && (lock.with.is_none() || lock.with.as_ref() == with)
    })
}

fn dose(lifts: &[Done<'_>], worth: impl Fn(&Choice, u32) -> i32) -> [i32; M] {
    Muscle::ALL.map(|muscle| {
        lifts
            .iter()
            .map(|(lift, _, choice, sets)| {
                (4.0 * lift.exercise.contribution(muscle)) as i32 * worth(choice, *sets)
            })
            .sum()
    })
}

fn sets_of(lifts: &[Done<'_>], side: Side) -> i32 {
    // Of the upper body only what moves more than one joint counts.
    let counts = |l: &Candidate| {
        let pattern = l.exercise.pattern;
        pattern.side() == side && (pattern.region() != Region::Upper || pattern.is_compound())
    };
    lifts.iter().filter(|(l, ..)| counts(l)).map(|(.., n)| *n as i32).sum()
}

/// The first order of blocks that is allowed, trying all.
fn order(problem: &Problem, blocks: &[Block]) -> Option<Vec<Block>> {
    let mut placed = Vec::new();
    place(problem, &mut placed, blocks).then_some(placed)
}

fn place(problem: &Problem, placed: &mut Vec<Block>, left: &[Block]) -> bool {
    if left.is_empty() {
        return true;
    }
    for next in 0..left.len() {
        let others: Vec<Block> =
            left.iter().enumerate().filter(|(i, _)| *i != next).map(|(_, b)| *b).collect();
        let too_early = others.iter().any(|other| must_come_before(problem, other, &left[next]));
        let piled = placed.last().is_some_and(|last| is_piled(problem, last, &left[next]));
        if too_early || piled {
            continue;
        }
        placed.push(left[next]);
        if place(problem, placed, &others) {
            return true;
        }
        placed.pop();
    }
    false
}

/// Two blocks that load the back, unless both do it in nothing but main lifts with long rests.
fn is_piled(problem: &Problem, first: &Block, then: &Block) -> bool {
    let back = |block: &Block| -> Vec<bool> {
        let heavy = done(problem, block).into_iter().filter(|(l, ..)| l.exercise.is_heavy_on_the_back());
        heavy.map(|(l, ..)| l.rested).collect()
    };
    let (first, then) = (back(first), back(then));
    !first.is_empty() && !then.is_empty() && first.iter().chain(&then).any(|rested| !rested)
}

/// A compound comes before a single-joint lift that tires a muscle it needs, a pull before what spends the grip.
fn must_come_before(problem: &Problem, early: &Block, late: &Block) -> bool {
    let spoilt = |e: &Candidate| done(problem, late).iter().any(|(l, ..)| is_spoilt(problem, e, l));
    done(problem, early).iter().any(|(e, ..)| spoilt(e))
}

/// A single joint of what the client came for may come first all the same; a squat comes before a pull from the floor.
fn is_spoilt(problem: &Problem, early: &Candidate, late: &Candidate) -> bool {
    let back = |l: &Candidate| l.exercise.is_heavy_on_the_back();
    if early.rested && back(early) && !late.rested && back(late) && late.exercise.pattern != Pattern::Squat {
        // A main lift comes before another load on the back.
        return true;
    }
    let (early, late) = (&early.exercise, &late.exercise);
    let wish = late.direct.first().and_then(|m| problem.brief.muscles.get(m)).and_then(|w| w.priority);
    let wanted = matches!(wish, Some(Priority::High | Priority::Top));
    let squat = early.pattern == Pattern::Squat && early.is_spinal();
    let from_floor = late.pattern == Pattern::Hinge && late.systemic >= 3;
    let compound = early.pattern.is_compound();
    let tired = Muscle::ALL.into_iter().any(|m| early.contribution(m) >= 0.5 && late.contribution(m) >= 1.0);
    let pull = compound && early.pattern.side() == Side::Pull;
    let grip = matches!(late.pattern, Pattern::Wrist | Pattern::GripHold | Pattern::Carry) && late.grip >= 2;
    compound && !late.pattern.is_compound() && tired && !wanted || pull && grip || squat && from_floor
}

/// Of sessions with the same lifts, sets and locks, those that no other beats in time and in every muscle.
fn undominated(sessions: Vec<Session>) -> Vec<Session> {
    let mut groups: BTreeMap<Vec<(usize, u8)>, Vec<Session>> = BTreeMap::new();
    for session in sessions {
        let mut key: Vec<(usize, u8)> = session
            .blocks
            .iter()
            .flat_map(|b| std::iter::once(b.first).chain(b.second).map(|l| (l, b.sets)))
            .collect();
        key.sort_unstable();
        let kept = groups.entry(key).or_default();
        if kept.iter().any(|k| is_as_good(k, &session)) {
            continue;
        }
        kept.retain(|k| !is_as_good(&session, k));
        kept.push(session);
    }
    groups.into_values().flatten().collect()
}

fn is_as_good(one: &Session, other: &Session) -> bool {
    one.time <= other.time
        && one.own <= other.own
        && one.quality.iter().zip(&other.quality).all(|(a, b)| a >= b)
        && one.locks_kept.iter().zip(&other.locks_kept).all(|(a, b)| a >= b)
}
