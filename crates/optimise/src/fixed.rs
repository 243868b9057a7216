//! Plans of what the bound selects: what a part of a frame is worth when nothing in it is left to choose, and the plan that
//! a selection comes nearest to.
//!
//! It must not guess: where anything is still open, or a verdict hangs on the order in which sessions are laid, it says so.

use crate::dual::{Dual, OpenOffers};
use crate::found::Found;
use crate::layout::Layout;
use crate::session_shape::LiftOffer;
use setwright_formulate::plan::{Blocks, NONE, PlanBlock, orderable, slot_allowed};
use setwright_formulate::problem::{ALTERNATING, MODES, Problem, SAME_SECOND};
use setwright_formulate::state::PlanState;
use setwright_model::BlockKind;

/// What is left of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Left {
    /// More than one plan, as far as can be said.
    Much,
    /// One plan.
    One(Found),
    /// No plan at all.
    Nothing,
}

/// What these limits leave of a frame.
pub fn left_of(dual: &Dual<'_>, limits: &OpenOffers) -> Left {
    let mut state = PlanState::new(dual.problem, dual.frame);
    for layout in dual.layouts() {
        let Some(offers) = only(dual.problem, layout, limits) else { return Left::Much };
        let Some(blocks) = blocks_of(dual.problem, layout.session, &offers) else { return Left::Nothing };
        match state.with(&[(layout.session, blocks)]) {
            Some(change) => state.apply(&change),
            // What one session counts too much of, another may count off.
            None if dual.frame.parts() > 1 => return Left::Much,
            None => return Left::Nothing,
        }
    }
    if state.short() == 0 { Left::One(found(&state)) } else { Left::Nothing }
}

fn found(state: &PlanState<'_>) -> Found {
    Found { plan: state.plan(), value: state.value(), short: state.short() }
}

/// The plan of offers taken in each session. A session whose offers cannot stand in blocks, or pass a ceiling, is left
/// empty.
pub fn plan_of(dual: &Dual<'_>, taken: &[Vec<u32>]) -> Found {
    let mut state = PlanState::new(dual.problem, dual.frame);
    for (layout, taken) in dual.layouts().zip(taken) {
        let offers: Vec<LiftOffer> = taken.iter().map(|o| layout.shape.offers[*o as usize]).collect();
        let blocks = blocks_of(dual.problem, layout.session, &offers);
        if let Some(change) = blocks.and_then(|blocks| state.with(&[(layout.session, blocks)])) {
            state.apply(&change);
        }
    }
    found(&state)
}

/// The offers of a session, if every one of them has to be taken and no other can be.
fn only(problem: &Problem, layout: &Layout, limits: &OpenOffers) -> Option<Vec<LiftOffer>> {
    let s = layout.session;
    let open = |index: &usize| !limits.closed[s][*index];
    let mut taken = Vec::new();
    let mut fewest = u32::MAX;
    for (group, must) in layout.shape.groups.iter().zip(&limits.must[s]) {
        let mut left = group.clone().filter(open).map(|index| layout.shape.offers[index]);
        if *must {
            taken.push(left.next()?);
            if left.next().is_some() {
                return None;
            }
        } else {
            fewest = left.map(|o| u32::from(o.sets)).fold(fewest, u32::min);
        }
    }
    let sets: u32 = taken.iter().map(|o| u32::from(o.sets)).sum();
    let is_full = taken.len() as u32 >= problem.exercises_most[s]
        || fewest == u32::MAX
        || sets + fewest > problem.sets_most[s];
    is_full.then_some(taken)
}

/// Blocks that these offers can stand in together.
fn blocks_of(problem: &Problem, session: usize, offers: &[LiftOffer]) -> Option<Blocks> {
    let mut left = offers.to_vec();
    laid(problem, session, &mut left, Blocks::default())
}

fn laid(problem: &Problem, session: usize, left: &mut Vec<LiftOffer>, blocks: Blocks) -> Option<Blocks> {
    let Some(one) = left.pop() else { return orderable(problem, &blocks).then_some(blocks) };
    let with = |slot: PlanBlock, left: &mut Vec<LiftOffer>| {
        let mut more = blocks;
        if slot_allowed(problem, session, slot) && more.push(slot) {
            laid(problem, session, left, more)
        } else {
            None
        }
    };
    let mut found = None;
    if MODES[usize::from(one.mode)].kind == BlockKind::Straight {
        found = with(PlanBlock { a: one.lift, b: NONE, sets: one.sets, mode: one.mode }, left);
    } else {
        for at in 0..left.len() {
            let other = left.remove(at);
            found = slot_of(one, other).and_then(|slot| with(slot, left));
            left.insert(at, other);
            if found.is_some() {
                break;
            }
        }
    }
    left.push(one);
    found
}

/// The block of two offers, if their modes and sets are those of one.
fn slot_of(one: LiftOffer, other: LiftOffer) -> Option<PlanBlock> {
    let (a, b) = if MODES[usize::from(one.mode)].second { (other, one) } else { (one, other) };
    let alternate = ALTERNATING.contains(&a.mode) && b.mode == a.mode;
    let same = !alternate && b.mode == a.mode + SAME_SECOND;
    let (first, second) = if alternate && a.lift > b.lift { (b, a) } else { (a, b) };
    let slot = PlanBlock { a: first.lift, b: second.lift, sets: a.sets, mode: a.mode };
    (a.sets == b.sets && (alternate || same)).then_some(slot)
}
