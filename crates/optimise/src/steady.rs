//! Steadiness: a minute more or a little more search does not shuffle a programme.
//!
//! Many programmes are worth nearly the same, and the search would choose another of them after every small change of
//! what is asked. So a brief of odd minutes is first planned for the full five minutes below; what that gives is kept for
//! the minutes that were asked, unless the change is worth it. Moves go in preferred numbers.

use crate::budget::Budget;
use crate::finder::{RunStart, SearchGround, anneal};
use crate::found::{Found, Placed, state_of};
use crate::moves::Pools;
use crate::rng::Rng;
use setwright_formulate::frame::Frame;
use setwright_formulate::plan::{Blocks, NONE, Plan, PlanBlock, slot_allowed};
use setwright_formulate::problem::Problem;
use setwright_formulate::tables::POINT;
use setwright_model::brief::{Focus, MinutesPerSession};
use setwright_model::{Brief, ExerciseId, Minutes};
use setwright_science::rules::KEPT_WORTH;

/// What minutes are rounded down to (common practice, no source (T): sessions are booked by five minutes).
const STEP_MIN: f64 = 5.0;
/// Share of the moves that are spent on what the odd minutes bring (judgement).
const SHARE: u64 = 8;
/// Preferred numbers between 100 and 1000, ten a decade (ISO 3:1973, series R10 (m)).
const PREFERRED: [u64; 10] = [100, 125, 160, 200, 250, 315, 400, 500, 630, 800];
/// Fewer moves than this are taken as they are (numeric: there is nothing to be steady about).
const FEW: u64 = 1000;

/// The preferred number of moves that is no more than what was asked.
pub fn moves(asked: u64) -> u64 {
    if asked < FEW {
        return asked;
    }
    // Numeric: three leading digits are compared.
    let decade = 10_u64.pow(asked.ilog10() - 2);
    let below = PREFERRED.iter().rev().map(|p| p * decade).find(|p| *p <= asked);
    below.unwrap_or(asked)
}

/// The brief of full five minutes from which one of odd minutes starts; none where they are full already.
pub fn rounded(brief: &Brief) -> Option<Brief> {
    let down = |m: &Minutes| Minutes((m.get() / STEP_MIN).floor() * STEP_MIN);
    let all: Vec<Minutes> = match &brief.time.minutes {
        MinutesPerSession::Same(m) => vec![*m],
        MinutesPerSession::Each(list) => list.clone(),
    };
    let odd = all.iter().any(|m| down(m) < *m) && all.iter().all(|m| m.get() >= 2.0 * STEP_MIN);
    if !odd || brief.style.before.is_some() {
        return None;
    }
    let mut out = brief.clone();
    match &mut out.time.minutes {
        MinutesPerSession::Same(m) => *m = down(m),
        MinutesPerSession::Each(list) => list.iter_mut().for_each(|m| *m = down(m)),
    }
    Some(out)
}

/// A plan in the words of the catalogue, so that another problem can read it.
#[derive(Clone, Debug)]
pub struct Kept {
    days: Vec<u32>,
    focus: Vec<Focus>,
    sessions: Vec<Vec<(ExerciseId, Option<ExerciseId>, PlanBlock)>>,
}

impl Kept {
    /// What a plan holds.
    pub fn of(problem: &Problem, frame: &Frame, plan: &Plan) -> Self {
        let id = |l: u16| problem.lifts.get(usize::from(l)).map(|l| l.exercise.id.clone());
        let block = |s: &PlanBlock| Some((id(s.a)?, id(s.b), *s));
        let sessions = plan.sessions.iter().map(|blocks| blocks.iter().filter_map(block).collect()).collect();
        Self { days: frame.days.clone(), focus: frame.focus.clone(), sessions }
    }

    /// The same in another problem, where it keeps every rule of that.
    pub fn in_problem(&self, problem: &Problem, frames: &[Frame]) -> Option<Placed> {
        let frame = frames.iter().position(|f| f.days == self.days && f.focus == self.focus)?;
        let mut plan = Plan::default();
        for (session, slots) in self.sessions.iter().enumerate() {
            let mut blocks = Blocks::default();
            for (a, b, slot) in slots {
                let b = match b {
                    Some(id) => problem.place(id)? as u16,
                    None => NONE,
                };
                let slot = PlanBlock { a: problem.place(a)? as u16, b, ..*slot };
                let fits = slot_allowed(problem, session, slot) && blocks.push(slot);
                fits.then_some(())?;
            }
            plan.sessions.push(blocks);
        }
        let state = state_of(problem, &frames[frame], &Found { plan: plan.clone(), value: 0, short: 0 });
        let whole = state.short() == 0 && state.plan() == plan;
        whole.then(|| Placed { frame, found: Found { plan, value: state.value(), short: 0 } })
    }
}

/// What the moves make of a plan that is kept: something else only where every change is worth it.
pub fn improved(problem: &Problem, frames: &[Frame], kept: Placed, budget: &Budget<'_>) -> (Placed, u64) {
    let frame = &frames[kept.frame];
    let pools = Pools::new(problem, frame);
    let ground = SearchGround { problem, frame, pools: &pools, any: false };
    // Numeric: a stream of its own.
    let mut rng = Rng::new(budget.seed, 70_000);
    let (found, made) =
        anneal(ground, RunStart::Near(&kept.found.plan), budget.moves / SHARE, &mut rng, &|| {
            budget.is_over()
        });
    let better = Placed { frame: kept.frame, found };
    if is_worth_it(&kept, &better) { (better, made) } else { (kept, made) }
}

/// Whether what another plan brings is worth the exercises that change with it.
pub fn is_worth_it(kept: &Placed, other: &Placed) -> bool {
    let gain = other.found.value - kept.found.value;
    let asked = KEPT_WORTH * POINT * changed(&kept.found.plan, &other.found.plan) as f64;
    other.found.short == 0 && gain > 0 && gain as f64 >= asked
}

/// Exercises that are in a session of one plan and not of the other, of the plan that has more of them.
fn changed(a: &Plan, b: &Plan) -> usize {
    let lifts = |plan: &Plan| -> Vec<(usize, usize)> {
        let of = |(s, blocks): (usize, &Blocks)| -> Vec<(usize, usize)> {
            blocks.iter().flat_map(|slot| slot.lifts()).map(|(l, _)| (s, l)).collect()
        };
        plan.sessions.iter().enumerate().flat_map(of).collect()
    };
    let (a, b) = (lifts(a), lifts(b));
    let only = |x: &[(usize, usize)], y: &[(usize, usize)]| x.iter().filter(|p| !y.contains(p)).count();
    only(&a, &b).max(only(&b, &a))
}
