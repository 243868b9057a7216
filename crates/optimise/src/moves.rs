//! The moves of the search: small changes to one session or two.

use crate::merits::Merits;
use crate::rng::Rng;
use setwright_formulate::edit::SessionEdit;
use setwright_formulate::frame::Frame;
use setwright_formulate::plan::{Blocks, NONE, PlanBlock};
use setwright_formulate::problem::{ALTERNATING, Problem, SAME_FIRST, SETS, STRAIGHT};
use setwright_formulate::state::{CHANGED, PlanState};
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

/// Lifts that are drawn to keep the one with the most merit.
const TRIES: u32 = 6;

/// A change to one session, or to a few different ones. It need not keep any rule: the state judges it.
#[derive(Clone, Copy, Debug)]
pub struct Move {
    edits: [SessionEdit; CHANGED],
    len: usize,
}

impl Move {
    const fn one(edit: SessionEdit) -> Self {
        Self { edits: [edit; CHANGED], len: 1 }
    }

    /// With an edit of one session more; without it where there is no room.
    const fn and(mut self, edit: SessionEdit) -> Self {
        if self.len < CHANGED {
            self.edits[self.len] = edit;
            self.len += 1;
        }
        self
    }

    /// The edits.
    pub fn edits(&self) -> &[SessionEdit] {
        &self.edits[..self.len]
    }
}

/// Where a move is drawn: a session with its blocks.
struct Here<'a> {
    pools: &'a Pools,
    merits: &'a Merits,
    session: usize,
    blocks: &'a Blocks,
}

/// Draws a move. `None` when the draw makes no sense here; another draw follows.
pub fn draw(
    frame: &Frame,
    pools: &Pools,
    merits: &Merits,
    state: &PlanState<'_>,
    rng: &mut Rng,
) -> Option<Move> {
    let session = rng.below(frame.parts());
    let here = Here { pools, merits, session, blocks: state.blocks(session) };
    let edit = match rng.below(100) {
        0..5 if frame.parts() > 1 => return across(frame, state, session, rng),
        5..8 if frame.parts() > 1 => return trade(frame, state, session, rng),
        8..11 if frame.parts() > 1 => return here.everywhere(frame, state, rng),
        0..22 => SessionEdit::new(session).with(here.random_slot(rng)?),
        22..30 => SessionEdit::new(session).without(here.index(rng)?),
        30..46 => here.resize(rng)?,
        46..66 => here.exchange(rng)?,
        66..74 => here.change_mode(rng)?,
        74..82 => here.join(rng)?,
        82..88 => here.swap_partners(rng)?,
        88..93 => here.rebuild(rng)?,
        _ => SessionEdit::instead(session, here.index(rng)?, here.random_slot(rng)?),
    };
    Some(Move::one(edit))
}

impl Here<'_> {
    fn index(&self, rng: &mut Rng) -> Option<usize> {
        (!self.blocks.is_empty()).then(|| rng.below(self.blocks.len()))
    }

    /// One of a list, mostly the best of a few by merit.
    fn pick(&self, list: &[u16], rng: &mut Rng) -> Option<u16> {
        let mut best = rng.pick(list)?;
        if rng.below(4) > 0 {
            for _ in 1..TRIES {
                let other = rng.pick(list)?;
                if self.merits.of(self.session, other) > self.merits.of(self.session, best) {
                    best = other;
                }
            }
        }
        Some(best)
    }

    /// A random block.
    fn random_slot(&self, rng: &mut Rng) -> Option<PlanBlock> {
        let a = self.pick(&self.pools.eligible[self.session], rng)?;
        let sets = self.random_sets(rng);
        if rng.below(4) == 0 || self.pools.partners[usize::from(a)].is_empty() {
            return Some(PlanBlock { a, b: NONE, sets, mode: one_of(STRAIGHT, rng) });
        }
        self.random_partner(a, sets, rng)
    }

    fn random_partner(&self, a: u16, sets: u8, rng: &mut Rng) -> Option<PlanBlock> {
        let same = &self.pools.same[usize::from(a)];
        let use_same = !same.is_empty() && rng.below(3) == 0;
        let (list, modes) =
            if use_same { (same, SAME_FIRST) } else { (&self.pools.partners[usize::from(a)], ALTERNATING) };
        Some(PlanBlock { a, b: self.pick(list, rng)?, sets, mode: one_of(modes, rng) })
    }

    fn random_sets(&self, rng: &mut Rng) -> u8 {
        rng.pick(&self.pools.sets).unwrap_or(1)
    }

    /// One or two blocks make room for one or two others: what must be there may change its company.
    fn rebuild(&self, rng: &mut Rng) -> Option<SessionEdit> {
        let mut edit = SessionEdit::new(self.session);
        for _ in 0..=rng.below(2) {
            edit = edit.without(self.index(rng)?);
        }
        for _ in 0..=rng.below(2) {
            edit = edit.with(self.random_slot(rng)?);
        }
        Some(edit)
    }

    /// Another lift in the place of one, in every session that has it: what comes back is worth more, so a step on the way
    /// would be a step down.
    fn everywhere(&self, frame: &Frame, state: &PlanState<'_>, rng: &mut Rng) -> Option<Move> {
        let index = self.index(rng)?;
        let slot = self.blocks[index];
        let old = if slot.b != NONE && rng.below(2) == 0 { slot.b } else { slot.a };
        let new = self.pick(&self.pools.variants[usize::from(old)], rng)?;
        let mut out = Move::one(SessionEdit::instead(self.session, index, with_instead(slot, old, new)));
        for session in (0..frame.parts()).filter(|s| *s != self.session) {
            let blocks = state.blocks(session);
            if let Some(at) = blocks.iter().position(|s| s.a == old || s.b == old) {
                out = out.and(SessionEdit::instead(session, at, with_instead(blocks[at], old, new)));
            }
        }
        Some(out)
    }

    fn resize(&self, rng: &mut Rng) -> Option<SessionEdit> {
        let index = self.index(rng)?;
        let slot = self.blocks[index];
        let sets = if rng.below(2) == 0 { slot.sets + 1 } else { slot.sets.checked_sub(1)? };
        let known = self.pools.sets.contains(&sets);
        known.then(|| SessionEdit::instead(self.session, index, PlanBlock { sets, ..slot }))
    }

    /// Another lift in a place, of the same pattern or any; sometimes sets change with it.
    fn exchange(&self, rng: &mut Rng) -> Option<SessionEdit> {
        let index = self.index(rng)?;
        let mut slot = self.blocks[index];
        let second = slot.b != NONE && rng.below(2) == 0;
        let place = if second { &mut slot.b } else { &mut slot.a };
        let variants = &self.pools.variants[usize::from(*place)];
        let pool = if rng.below(2) == 0 { variants } else { &self.pools.eligible[self.session] };
        *place = self.pick(pool, rng)?;
        if rng.below(4) == 0 {
            slot.sets = self.random_sets(rng);
        }
        if slot.b == NONE && rng.below(4) == 0 {
            slot.mode = one_of(STRAIGHT, rng);
        }
        Some(SessionEdit::instead(self.session, index, slot))
    }

    fn change_mode(&self, rng: &mut Rng) -> Option<SessionEdit> {
        let index = self.index(rng)?;
        let mut slot = self.blocks[index];
        let range = match slot.kind() {
            BlockKind::Straight => STRAIGHT,
            BlockKind::Alternating => ALTERNATING,
            BlockKind::SameMuscle => SAME_FIRST,
        };
        slot.mode = one_of(range, rng);
        if rng.below(3) == 0 {
            slot.sets = self.random_sets(rng);
        }
        Some(SessionEdit::instead(self.session, index, slot))
    }

    /// Two straight blocks become an alternating one, a straight one gets a partner, or a pair is parted.
    fn join(&self, rng: &mut Rng) -> Option<SessionEdit> {
        let index = self.index(rng)?;
        let slot = self.blocks[index];
        if slot.b != NONE {
            let mode = one_of(STRAIGHT, rng);
            let (keep, leave) = if rng.below(2) == 0 { (slot.a, slot.b) } else { (slot.b, slot.a) };
            let edit =
                SessionEdit::instead(self.session, index, PlanBlock { a: keep, b: NONE, mode, ..slot });
            let both = rng.below(2) == 0;
            return Some(if both { edit.with(PlanBlock { a: leave, b: NONE, mode, ..slot }) } else { edit });
        }
        let other = self.blocks.iter().position(|s| s.b == NONE && s.a != slot.a);
        if let Some(other) = other.filter(|_| rng.below(2) == 0) {
            let pair = PlanBlock { b: self.blocks[other].a, mode: one_of(ALTERNATING, rng), ..slot };
            return Some(SessionEdit::instead(self.session, index, pair).without(other));
        }
        Some(SessionEdit::instead(self.session, index, self.random_partner(slot.a, slot.sets, rng)?))
    }

    fn swap_partners(&self, rng: &mut Rng) -> Option<SessionEdit> {
        let (i, j) = (self.index(rng)?, self.index(rng)?);
        let (mut one, mut other) = (self.blocks[i], self.blocks[j]);
        if i == j || one.b == NONE {
            return None;
        }
        let place = if rng.below(2) == 0 || other.b == NONE { &mut other.a } else { &mut other.b };
        std::mem::swap(&mut one.b, place);
        Some(SessionEdit::instead(self.session, i, one).without(j).with(other))
    }
}

fn one_of(modes: std::ops::Range<u8>, rng: &mut Rng) -> u8 {
    modes.start + rng.below(modes.len()) as u8
}

const fn with_instead(slot: PlanBlock, old: u16, new: u16) -> PlanBlock {
    if slot.a == old { PlanBlock { a: new, ..slot } } else { PlanBlock { b: new, ..slot } }
}

/// Two lifts of two sessions change places, the rest of their blocks stays.
fn trade(frame: &Frame, state: &PlanState<'_>, session: usize, rng: &mut Rng) -> Option<Move> {
    let other = (session + 1 + rng.below(frame.parts() - 1)) % frame.parts();
    let (here, there) = (state.blocks(session), state.blocks(other));
    if here.is_empty() || there.is_empty() {
        return None;
    }
    let (i, j) = (rng.below(here.len()), rng.below(there.len()));
    let lift =
        |slot: PlanBlock, rng: &mut Rng| if slot.b != NONE && rng.below(2) == 0 { slot.b } else { slot.a };
    let (one, two) = (lift(here[i], rng), lift(there[j], rng));
    let first = SessionEdit::instead(session, i, with_instead(here[i], one, two));
    Some(Move::one(first).and(SessionEdit::instead(other, j, with_instead(there[j], two, one))))
}

/// A block goes to another session, or two blocks change places.
fn across(frame: &Frame, state: &PlanState<'_>, session: usize, rng: &mut Rng) -> Option<Move> {
    let other = (session + 1 + rng.below(frame.parts() - 1)) % frame.parts();
    let (here, there) = (state.blocks(session), state.blocks(other));
    if here.is_empty() {
        return None;
    }
    let index = rng.below(here.len());
    let mut edits = [SessionEdit::new(session).without(index), SessionEdit::new(other).with(here[index])];
    if rng.below(2) == 0 && !there.is_empty() {
        let back = rng.below(there.len());
        edits[0] = edits[0].with(there[back]);
        edits[1] = edits[1].without(back);
    }
    Some(Move::one(edits[0]).and(edits[1]))
}
