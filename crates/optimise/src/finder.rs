//! The finder: annealing inside a frame from several starts, and the outer loop over frames.
//!
//! The budget counts moves, never seconds, so a seed gives the same programme on any machine.

use crate::frame::Frame;
use crate::moves::{Pools, draw};
use crate::plan::{Blocks, NONE, Plan, Slot, orderable, slot_allowed};
use crate::problem::{ALTERNATING, Problem, SAME_FIRST, SETS, STRAIGHT};
use crate::rng::Rng;
use crate::solve::state_of;
use crate::state::{State, lock_kept_in};
use setwright_model::brief::Lock;

/// Temperature at a usual start, at a bold one (where whole blocks change places), and at the end, in millionths
/// of a point.
const HOT: f64 = 150_000.0;
const BOLD: f64 = 1_500_000.0;
const COLD: f64 = 400.0;
/// Moves between two looks at the outer time limit and two steps of cooling; fewer in short runs.
const LOOK: u64 = 4096;

/// A plan found in a frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// The plan.
    pub plan: Plan,
    /// Its value in millionths of a point.
    pub value: i64,
    /// Units short; 0 when it keeps every rule.
    pub short: i64,
}

impl Found {
    /// Better means less short, then more value.
    pub fn beats(&self, other: &Self) -> bool {
        (self.short, -self.value) < (other.short, -other.value)
    }
}

/// Anneals from one start. `warm` is a plan to start from, `bold` starts hotter. Returns the best plan met and the moves made.
#[allow(clippy::too_many_arguments, reason = "each is known to the caller and none belongs to another")]
pub fn anneal(
    problem: &Problem,
    frame: &Frame,
    pools: &Pools,
    warm: Option<&Plan>,
    bold: bool,
    moves: u64,
    rng: &mut Rng,
    out_of_time: &dyn Fn() -> bool,
) -> (Found, u64) {
    let mut state = start(problem, frame, pools, warm, rng);
    let mut best = found(&state);
    let mut done = 0;
    let hot = match (bold, warm) {
        (true, _) => BOLD,
        (false, Some(_)) => HOT / 8.0,
        (false, None) => HOT,
    };
    let look = LOOK.min(moves / 64).max(1);
    let cooling = libm::pow(COLD / hot, look as f64 / moves.max(1) as f64);

    let mut temperature = hot;
    let polish_from = moves - moves / 10;
    while done < moves {
        if done % look == 0 {
            if out_of_time() {
                break;
            }
            temperature *= if done == 0 { 1.0 } else { cooling };
        }
        if done == polish_from {
            // The last tenth goes uphill from the best plan met.
            state = state_of(problem, frame, &best);
            temperature = COLD;
        }
        done += 1;
        if step(problem, frame, pools, &mut state, temperature, rng) {
            keep_best(&state, &mut best);
        }
    }
    (best, done)
}

fn found(state: &State<'_>) -> Found {
    Found { plan: state.plan(), value: state.value(), short: state.short() }
}

fn keep_best(state: &State<'_>, best: &mut Found) {
    if (state.short(), -state.value()) < (best.short, -best.value) {
        *best = found(state);
    }
}

/// Tries one move; says whether the state changed.
fn step(
    problem: &Problem,
    frame: &Frame,
    pools: &Pools,
    state: &mut State<'_>,
    temperature: f64,
    rng: &mut Rng,
) -> bool {
    let Some((changes, count)) = draw(problem, frame, pools, state, rng) else { return false };
    let changes = &changes[..count];
    if !changes.iter().all(|(s, blocks)| locks_of_session_kept(problem, *s, blocks)) {
        return false;
    }
    let threshold = (temperature * libm::log(rng.unit())) as i64;
    let Some(change) = state.with(changes) else { return false };
    if change.score() - state.score() < threshold {
        return false;
    }
    if !changes.iter().all(|(_, blocks)| orderable(problem, blocks)) {
        return false;
    }
    state.apply(&change);
    true
}

fn locks_of_session_kept(problem: &Problem, session: usize, blocks: &Blocks) -> bool {
    problem
        .locks
        .iter()
        .filter(|(_, lock)| lock.session == Some(session as u32 + 1))
        .all(|(lift, lock)| lock_kept_in(problem, blocks, *lift as u16, lock))
}

/// The first state: a warm plan as far as it fits, else the locks.
fn start<'a>(
    problem: &'a Problem,
    frame: &'a Frame,
    pools: &Pools,
    warm: Option<&Plan>,
    rng: &mut Rng,
) -> State<'a> {
    let mut state = State::new(problem, frame);
    if let Some(plan) = warm {
        for (session, blocks) in plan.sessions.iter().enumerate().take(frame.sessions()) {
            for slot in blocks.iter() {
                try_add(problem, pools, &mut state, session, *slot);
            }
        }
    }
    for (lift, lock) in &problem.locks {
        place_lock(problem, pools, &mut state, *lift as u16, lock, rng);
    }
    state
}

fn try_add(problem: &Problem, pools: &Pools, state: &mut State<'_>, session: usize, slot: Slot) -> bool {
    let mut blocks = *state.blocks(session);
    let allowed = slot_allowed(problem, slot)
        && slot.lifts().all(|(l, _)| pools.eligible(session).binary_search(&(l as u16)).is_ok())
        && blocks.push(slot)
        && crate::plan::variety_kept(problem, &blocks)
        && orderable(problem, &blocks);
    let change = if allowed { state.with(&[(session, blocks)]) } else { None };
    change.map(|c| state.apply(&c)).is_some()
}

/// Puts a locked lift into its session, or into the first where it fits, as the coach fixed it.
fn place_lock(
    problem: &Problem,
    pools: &Pools,
    state: &mut State<'_>,
    lift: u16,
    lock: &Lock,
    rng: &mut Rng,
) {
    let n = problem.brief.time.sessions as usize;
    let sessions: Vec<usize> = if let Some(s) = lock.session {
        vec![s as usize - 1]
    } else {
        let first = rng.below(n);
        (0..n).map(|i| (first + i) % n).collect()
    };
    if sessions.iter().any(|&s| lock_kept_in(problem, state.blocks(s), lift, lock)) {
        return;
    }
    for session in sessions {
        if slots_for(problem, lift, lock)
            .into_iter()
            .any(|slot| try_add(problem, pools, state, session, slot))
        {
            return;
        }
    }
}

/// Blocks that keep a lock, fewest sets first.
fn slots_for(problem: &Problem, lift: u16, lock: &Lock) -> Vec<Slot> {
    let partner = lock.with.as_ref().map(|id| problem.lifts.iter().position(|l| l.exercise.id == *id));
    let b = match partner {
        None => NONE,
        Some(Some(index)) => index as u16,
        Some(None) => return Vec::new(),
    };
    let modes: Vec<u8> = if b == NONE { STRAIGHT.collect() } else { ALTERNATING.chain(SAME_FIRST).collect() };
    let sets: Vec<u8> = match lock.sets {
        Some(n) => vec![n as u8],
        None => (1..=SETS as u8).collect(),
    };
    let mut out = Vec::new();
    for &n in &sets {
        for &mode in &modes {
            out.push(Slot { a: lift, b, sets: n, mode });
            if b != NONE {
                out.push(Slot { a: b, b: lift, sets: n, mode });
            }
        }
    }
    out.retain(|s| usize::from(s.sets) <= SETS && s.sets > 0 && slot_allowed(problem, *s));
    out
}
