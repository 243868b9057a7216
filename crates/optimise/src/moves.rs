//! The moves of the search: small changes to one session or two.

use crate::frame::Frame;
use crate::plan::{BLOCKS, Blocks, NONE, Slot, slot_allowed, variety_kept};
use crate::problem::{ALTERNATING, Problem, SAME_FIRST, SETS, STRAIGHT};
use crate::rng::Rng;
use crate::state::State;
use setwright_model::BlockKind;

/// What the moves draw from, by session and lift.
#[derive(Clone, Debug)]
pub struct Pools {
    /// Lifts that may be in each session.
    eligible: Vec<Vec<u16>>,
    /// Lifts that each lift may alternate with.
    partners: Vec<Vec<u16>>,
    /// Lifts that each lift may share a muscle with.
    same: Vec<Vec<u16>>,
    /// Lifts of the same pattern.
    variants: Vec<Vec<u16>>,
    /// Numbers of sets that any lift may have.
    sets: Vec<u8>,
}

impl Pools {
    /// Pools for a frame.
    pub fn new(problem: &Problem, frame: &Frame) -> Self {
        let n = problem.lifts.len();
        let all = |keep: &dyn Fn(usize) -> bool| (0..n).filter(|&l| keep(l)).map(|l| l as u16).collect();
        Self {
            eligible: frame.eligible.iter().map(|e| all(&|l| e[l])).collect(),
            partners: (0..n).map(|a| all(&|b| problem.may_alternate[a][b])).collect(),
            same: (0..n).map(|a| all(&|b| problem.may_share_muscle[a][b])).collect(),
            variants: (0..n)
                .map(|a| all(&|b| b != a && problem.lifts[a].pattern == problem.lifts[b].pattern))
                .collect(),
            sets: (1..=SETS as u8)
                .filter(|s| problem.choices.iter().skip(usize::from(*s) - 1).step_by(SETS).any(|c| c.allowed))
                .collect(),
        }
    }

    /// Lifts that may be in a session.
    pub fn eligible(&self, session: usize) -> &[u16] {
        &self.eligible[session]
    }
}

/// Changed sessions of a move: one, or two.
pub type Changes = ([(usize, Blocks); 2], usize);

/// Draws a move. `None` when the draw makes no sense here; another draw follows.
pub fn draw(
    problem: &Problem,
    frame: &Frame,
    pools: &Pools,
    state: &State<'_>,
    rng: &mut Rng,
) -> Option<Changes> {
    let session = rng.below(frame.sessions());
    let blocks = *state.blocks(session);
    let kind = rng.below(100);
    if kind < 6 && frame.sessions() > 1 {
        return across(problem, frame, state, session, rng);
    }
    let changed = match kind {
        6..22 => add(pools, session, blocks, rng),
        22..30 => remove(blocks, rng),
        30..46 => resize(pools, blocks, rng),
        46..66 => exchange(pools, session, blocks, rng),
        66..74 => change_mode(pools, blocks, rng),
        74..82 => join(pools, session, blocks, rng),
        82..88 => swap_partners(blocks, rng),
        88..93 => rebuild(pools, session, blocks, rng),
        _ => replace_block(pools, session, blocks, rng),
    }?;
    keeps_rules(problem, &changed).then_some(([(session, changed), (session, changed)], 1))
}

fn keeps_rules(problem: &Problem, blocks: &Blocks) -> bool {
    blocks.iter().all(|s| slot_allowed(problem, *s)) && variety_kept(problem, blocks)
}

/// A random block with a lift that the session does not have.
fn random_slot(pools: &Pools, session: usize, blocks: &Blocks, rng: &mut Rng) -> Option<Slot> {
    let a = rng.pick(&pools.eligible[session]).filter(|l| !blocks.has(*l))?;
    let sets = random_sets(pools, rng);
    let pair = rng.below(4);
    if pair == 0 || pools.partners[usize::from(a)].is_empty() {
        let mode = STRAIGHT.start + rng.below(STRAIGHT.len()) as u8;
        return Some(Slot { a, b: NONE, sets, mode });
    }
    random_partner(pools, session, blocks, a, sets, rng)
}

fn random_partner(
    pools: &Pools,
    session: usize,
    blocks: &Blocks,
    a: u16,
    sets: u8,
    rng: &mut Rng,
) -> Option<Slot> {
    let same = &pools.same[usize::from(a)];
    let use_same = !same.is_empty() && rng.below(3) == 0;
    let (list, modes) =
        if use_same { (same, SAME_FIRST) } else { (&pools.partners[usize::from(a)], ALTERNATING) };
    let b = rng.pick(list).filter(|b| !blocks.has(*b) && pools.eligible[session].binary_search(b).is_ok())?;
    let mode = modes.start + rng.below(modes.len()) as u8;
    Some(Slot { a, b, sets, mode })
}

fn random_sets(pools: &Pools, rng: &mut Rng) -> u8 {
    rng.pick(&pools.sets).unwrap_or(1)
}

fn add(pools: &Pools, session: usize, mut blocks: Blocks, rng: &mut Rng) -> Option<Blocks> {
    if blocks.len() >= BLOCKS {
        return None;
    }
    let slot = random_slot(pools, session, &blocks, rng)?;
    blocks.push(slot).then_some(blocks)
}

fn remove(mut blocks: Blocks, rng: &mut Rng) -> Option<Blocks> {
    if blocks.is_empty() {
        return None;
    }
    blocks.take(rng.below(blocks.len()));
    Some(blocks)
}

fn replace_block(pools: &Pools, session: usize, blocks: Blocks, rng: &mut Rng) -> Option<Blocks> {
    let less = remove(blocks, rng)?;
    add(pools, session, less, rng)
}

/// One or two blocks make room for one or two others: what must be there may change its company.
fn rebuild(pools: &Pools, session: usize, mut blocks: Blocks, rng: &mut Rng) -> Option<Blocks> {
    for _ in 0..=rng.below(2) {
        blocks = remove(blocks, rng)?;
    }
    for _ in 0..=rng.below(2) {
        blocks = add(pools, session, blocks, rng)?;
    }
    Some(blocks)
}

fn resize(pools: &Pools, mut blocks: Blocks, rng: &mut Rng) -> Option<Blocks> {
    let index = (!blocks.is_empty()).then(|| rng.below(blocks.len()))?;
    let up = rng.below(2) == 0;
    let slot = &mut blocks[index];
    let sets = if up { slot.sets + 1 } else { slot.sets.checked_sub(1)? };
    if !pools.sets.contains(&sets) {
        return None;
    }
    slot.sets = sets;
    Some(blocks)
}

/// Another lift in a place, of the same pattern or any; sometimes sets change with it.
fn exchange(pools: &Pools, session: usize, mut blocks: Blocks, rng: &mut Rng) -> Option<Blocks> {
    let index = (!blocks.is_empty()).then(|| rng.below(blocks.len()))?;
    let second = blocks[index].b != NONE && rng.below(2) == 0;
    let old = if second { blocks[index].b } else { blocks[index].a };
    let pool = if rng.below(2) == 0 { &pools.variants[usize::from(old)] } else { &pools.eligible[session] };
    let new =
        rng.pick(pool).filter(|l| !blocks.has(*l) && pools.eligible[session].binary_search(l).is_ok())?;
    let slot = &mut blocks[index];
    if second {
        slot.b = new;
    } else {
        slot.a = new;
    }
    if rng.below(4) == 0 {
        slot.sets = random_sets(pools, rng);
    }
    if slot.b == NONE && rng.below(4) == 0 {
        slot.mode = STRAIGHT.start + rng.below(STRAIGHT.len()) as u8;
    }
    Some(blocks)
}

fn change_mode(pools: &Pools, mut blocks: Blocks, rng: &mut Rng) -> Option<Blocks> {
    let index = (!blocks.is_empty()).then(|| rng.below(blocks.len()))?;
    let slot = &mut blocks[index];
    let range = match slot.kind() {
        BlockKind::Straight => STRAIGHT,
        BlockKind::Alternating => ALTERNATING,
        BlockKind::SameMuscle => SAME_FIRST,
    };
    slot.mode = range.start + rng.below(range.len()) as u8;
    if rng.below(3) == 0 {
        slot.sets = random_sets(pools, rng);
    }
    Some(blocks)
}

/// Two straight blocks become an alternating one, a straight one gets a partner, or a pair is parted.
fn join(pools: &Pools, session: usize, mut blocks: Blocks, rng: &mut Rng) -> Option<Blocks> {
    let index = (!blocks.is_empty()).then(|| rng.below(blocks.len()))?;
    let slot = blocks[index];
    let straight = STRAIGHT.start + rng.below(STRAIGHT.len()) as u8;
    if slot.b != NONE {
        let (keep, leave) = if rng.below(2) == 0 { (slot.a, slot.b) } else { (slot.b, slot.a) };
        blocks[index] = Slot { a: keep, b: NONE, sets: slot.sets, mode: straight };
        if rng.below(2) == 0 && blocks.len() < BLOCKS {
            blocks.push(Slot { a: leave, b: NONE, sets: slot.sets, mode: straight });
        }
        return Some(blocks);
    }
    let other = blocks.iter().position(|s| s.b == NONE && s.a != slot.a);
    match other.filter(|_| rng.below(2) == 0) {
        Some(other) => {
            let mode = ALTERNATING.start + rng.below(ALTERNATING.len()) as u8;
            blocks[index] = Slot { a: slot.a, b: blocks[other].a, sets: slot.sets, mode };
            blocks.take(other);
        }
        None => blocks[index] = random_partner(pools, session, &blocks, slot.a, slot.sets, rng)?,
    }
    Some(blocks)
}

fn swap_partners(mut blocks: Blocks, rng: &mut Rng) -> Option<Blocks> {
    let n = blocks.len();
    let (i, j) = (n > 1).then(|| (rng.below(n), rng.below(n)))?;
    if i == j || blocks[i].b == NONE {
        return None;
    }
    let held = blocks[i].b;
    if rng.below(2) == 0 || blocks[j].b == NONE {
        blocks[i].b = blocks[j].a;
        blocks[j].a = held;
    } else {
        blocks[i].b = blocks[j].b;
        blocks[j].b = held;
    }
    Some(blocks)
}

/// A block goes to another session, or two blocks change places.
fn across(
    problem: &Problem,
    frame: &Frame,
    state: &State<'_>,
    session: usize,
    rng: &mut Rng,
) -> Option<Changes> {
    let other = (session + 1 + rng.below(frame.sessions() - 1)) % frame.sessions();
    let (mut here, mut there) = (*state.blocks(session), *state.blocks(other));
    if here.is_empty() {
        return None;
    }
    let index = rng.below(here.len());
    if rng.below(2) == 0 && !there.is_empty() {
        let back = rng.below(there.len());
        std::mem::swap(&mut here[index], &mut there[back]);
    } else {
        let slot = here.take(index);
        if !there.push(slot) {
            return None;
        }
    }
    let fits = |s: usize, blocks: &Blocks| {
        blocks.iter().all(|slot| slot.lifts().all(|(l, _)| frame.eligible[s][l]))
            && variety_kept(problem, blocks)
    };
    (fits(session, &here) && fits(other, &there)).then_some(([(session, here), (other, there)], 2))
}
