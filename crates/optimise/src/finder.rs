//! The finder: annealing inside a frame from several starts, and the outer loop over frames.
//!
//! The budget counts moves, never seconds, so a seed gives the same programme on any machine.

use crate::found::{Found, state_of};
use crate::merits::Merits;
use crate::moves::{Pools, draw};
use crate::rng::Rng;
use setwright_formulate::frame::Frame;
use setwright_formulate::plan::{Blocks, NONE, Plan, PlanBlock, orderable, slot_allowed};
use setwright_formulate::problem::{ALTERNATING, Problem, SAME_FIRST, SETS, STRAIGHT};
use setwright_formulate::state::{PlanChange, PlanState, lock_kept_in};
use setwright_model::brief::Lock;
use std::sync::LazyLock;

/// Temperature at a cold start and at the end, in millionths of a point.
const HOT: f64 = 200_000.0;
const COLD: f64 = 3_000.0;
/// Temperature at a start from a plan that is good, and from one that is only likely, with gaps to be filled.
const NEAR: f64 = 20_000.0;
const LIKELY: f64 = 50_000.0;
/// Temperature of the last climb.
const POLISH: f64 = 400.0;
/// Moves between two looks at the outer time limit and two steps of cooling; fewer in short runs.
const LOOK: u64 = 4096;

/// Logarithms of evenly spread numbers between 0 and 1, for the chance of a loss to be taken.
const LOGS_LEN: usize = 4096;
static LOGS: LazyLock<[f64; LOGS_LEN]> =
    LazyLock::new(|| std::array::from_fn(|k| libm::log((k as f64 + 0.5) / LOGS_LEN as f64)));

/// Changes after which merits are reckoned anew.
const REFRESH: u32 = 64;

/// Where a run searches and what it is given: the problem, a frame, and the pools of that frame.
#[derive(Clone, Copy)]
pub struct SearchGround<'a> {
    /// The problem.
    pub problem: &'a Problem,
    /// The frame.
    pub frame: &'a Frame,
    /// Pools of the frame.
    pub pools: &'a Pools,
    /// Whether any plan that keeps every rule will do: the run ends with the first.
    pub any: bool,
}

/// Where a run begins.
#[derive(Clone, Copy)]
pub enum RunStart<'a> {
    /// With what the coach has locked.
    Cold,
    /// Near a good plan.
    Near(&'a Plan),
    /// From a plan that is likely and need not keep any rule.
    Likely(&'a Plan),
}

impl<'a> RunStart<'a> {
    /// Near what was found, or cold where nothing was.
    pub fn near(found: Option<&'a Found>) -> Self {
        found.map_or(Self::Cold, |found| Self::Near(&found.plan))
    }

    const fn plan(self) -> Option<&'a Plan> {
        match self {
            Self::Cold => None,
            Self::Near(plan) | Self::Likely(plan) => Some(plan),
        }
    }

    const fn temperature(self) -> f64 {
        match self {
            Self::Cold => HOT,
            Self::Near(_) => NEAR,
            Self::Likely(_) => LIKELY,
        }
    }
}

/// Anneals from one start. Returns the best plan met and the moves made.
pub fn anneal(
    ground: SearchGround<'_>,
    from: RunStart<'_>,
    moves: u64,
    rng: &mut Rng,
    out_of_time: &dyn Fn() -> bool,
) -> (Found, u64) {
    let mut walk = Walk::new(ground, start(ground, from.plan(), rng));
    let mut best = found(&walk.state);
    let hot = from.temperature();
    let look = LOOK.min(moves / 64).max(1);
    let cooling = libm::pow(COLD / hot, look as f64 / moves.max(1) as f64);
    let mut temperature = hot;
    let polish_from = moves - moves / 10;
    let mut done = 0;
    while done < moves {
        if ground.any && best.short == 0 {
            break;
        }
        if done % look == 0 {
            if out_of_time() {
                break;
            }
            temperature *= if done == 0 { 1.0 } else { cooling };
        }
        if done == polish_from {
            // The last tenth goes uphill from the best plan met.
            walk = Walk::new(ground, state_of(ground.problem, ground.frame, &best));
            temperature = POLISH;
        }
        done += 1;
        if walk.step(temperature, rng) {
            keep_best(&walk.state, &mut best);
        }
    }
    (best, done)
}

fn found(state: &PlanState<'_>) -> Found {
    Found { plan: state.plan(), value: state.value(), short: state.short() }
}

fn keep_best(state: &PlanState<'_>, best: &mut Found) {
    if (state.short(), -state.value()) < (best.short, -best.value) {
        (best.value, best.short) = (state.value(), state.short());
        state.copy_plan(&mut best.plan);
    }
}

/// A state on its way, with room for the change that is weighed and with the merits that guide the draws.
struct Walk<'a> {
    ground: SearchGround<'a>,
    state: PlanState<'a>,
    change: PlanChange,
    merits: Merits,
    /// Changes since the merits were reckoned.
    stale: u32,
}

impl<'a> Walk<'a> {
    fn new(ground: SearchGround<'a>, state: PlanState<'a>) -> Self {
        let mut merits = Merits::default();
        merits.refresh(ground.problem, ground.frame, &state);
        Self { ground, state, change: PlanChange::default(), merits, stale: 0 }
    }

    /// Tries one move; says whether the state changed.
    fn step(&mut self, temperature: f64, rng: &mut Rng) -> bool {
        let SearchGround { problem, frame, pools, .. } = self.ground;
        let Some(drawn) = draw(frame, pools, &self.merits, &self.state, rng) else { return false };
        let edits = drawn.edits();
        let threshold = (temperature * LOGS[rng.below(LOGS_LEN)]) as i64;
        let taken = self.state.weigh_edits(edits, &mut self.change)
            && self.change.score() - self.state.score() >= threshold
            && self.change.settle(&self.state, edits)
            && self.change.every(|session, blocks| locks_of_session_kept(problem, session, blocks));
        if taken {
            self.state.apply(&self.change);
            self.stale += 1;
            if self.stale == REFRESH {
                self.merits.refresh(problem, frame, &self.state);
                self.stale = 0;
            }
        }
        taken
    }
}

fn locks_of_session_kept(problem: &Problem, session: usize, blocks: &Blocks) -> bool {
    problem
        .locks
        .iter()
        .filter(|(_, lock)| lock.session == Some(session as u32 + 1))
        .all(|(lift, lock)| lock_kept_in(problem, blocks, *lift as u16, lock))
}

/// The first state: a warm plan as far as it fits, else the locks.
fn start<'a>(ground: SearchGround<'a>, warm: Option<&Plan>, rng: &mut Rng) -> PlanState<'a> {
    let SearchGround { problem, frame, pools, .. } = ground;
    let mut state = PlanState::new(problem, frame);
    if let Some(plan) = warm {
        for (session, blocks) in plan.sessions.iter().enumerate().take(frame.parts()) {
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

fn try_add(
    problem: &Problem,
    pools: &Pools,
    state: &mut PlanState<'_>,
    session: usize,
    slot: PlanBlock,
) -> bool {
    let mut blocks = *state.blocks(session);
    let allowed = slot_allowed(problem, session, slot)
        && slot.lifts().all(|(l, _)| pools.eligible(session).binary_search(&(l as u16)).is_ok())
        && blocks.push(slot)
        && setwright_formulate::plan::variety_kept(problem, &blocks)
        && orderable(problem, &blocks);
    let change = if allowed { state.with(&[(session, blocks)]) } else { None };
    change.map(|c| state.apply(&c)).is_some()
}

/// Puts a locked lift into its session, or into the first where it fits, as the coach fixed it.
fn place_lock(
    problem: &Problem,
    pools: &Pools,
    state: &mut PlanState<'_>,
    lift: u16,
    lock: &Lock,
    rng: &mut Rng,
) {
    let n = problem.parts();
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
fn slots_for(problem: &Problem, lift: u16, lock: &Lock) -> Vec<PlanBlock> {
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
            out.push(PlanBlock { a: lift, b, sets: n, mode });
            if b != NONE {
                out.push(PlanBlock { a: b, b: lift, sets: n, mode });
            }
        }
    }
    let somewhere = |slot| (0..problem.minutes_units.len()).any(|s| slot_allowed(problem, s, slot));
    out.retain(|s| usize::from(s.sets) <= SETS && s.sets > 0 && somewhere(*s));
    out
}
