//! The whole answer: frames, search, bound, reasons, or the clash that forbids any programme.

use crate::bounds::{BoundEffort, Pressed, press};
use crate::budget::Budget;
use crate::conflict;
use crate::exact::{self, Proof};
use crate::found::Placed;
use crate::progress::{Progress, news, shown};
use crate::realise;
use crate::reasons::{self, Case};
use crate::search::{Searched, search};
use crate::steady::{self, Kept};
use setwright_formulate::frame::{Frame, frames};
use setwright_formulate::problem::{Problem, compile};
use setwright_model::answer::gap;
use setwright_model::{Belief, Brief, Catalogue, Programme, Status};

/// Value below which a gap is nothing but the rounding of whole numbers, in millionths of a point.
const ROUNDING: i64 = 200;
/// Gap at which the bound stops being pressed when the brief names none.
pub const USUAL_TOLERANCE: f64 = 0.01;

/// What is sought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Objective {
    /// The most benefit in the time there is.
    Benefit,
    /// The fewest minutes for the doses that are asked.
    Minutes,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// What is known.
    pub status: Status,
    /// The programme, not yet certified.
    pub programme: Option<Programme>,
    /// Its value: points, or minutes over the cycle in [`Objective::Minutes`].
    pub value: Option<f64>,
    /// What nothing passes: from above for points, from below for minutes.
    pub bound: Option<f64>,
    /// Moves of the search and rounds of the bound.
    pub nodes: u64,
    /// Why it is as it is.
    pub reasons: Vec<String>,
    /// The clash and the ways out, when there is no programme.
    pub conflict: Vec<String>,
}

/// Solves a brief. One of odd minutes keeps what the full five minutes below give, where that is nearly as good.
pub fn solve(
    brief: &Brief,
    catalogue: &Catalogue,
    belief: &Belief,
    mode: Objective,
    budget: &Budget<'_>,
    progress: &mut dyn FnMut(Progress),
) -> Solved {
    let budget = &Budget { moves: steady::moves(budget.moves), ..*budget };
    let ask = Ask { catalogue, belief, mode, budget };
    let first = steady::rounded(brief).filter(|_| mode == Objective::Benefit);
    let (kept, nodes) = match first.map(|round| ask.planned(&round, None, progress)) {
        Some((outcome, kept)) => (kept, outcome.nodes),
        None => (None, 0),
    };
    let (outcome, _) = ask.planned(brief, kept.as_ref(), progress);
    Solved { nodes: outcome.nodes + nodes, ..outcome }
}

/// What a brief is solved with.
struct Ask<'a> {
    catalogue: &'a Catalogue,
    belief: &'a Belief,
    mode: Objective,
    budget: &'a Budget<'a>,
}

impl Ask<'_> {
    /// The answer for a brief, and its plan, to start another from.
    fn planned(
        &self,
        brief: &Brief,
        kept: Option<&Kept>,
        progress: &mut dyn FnMut(Progress),
    ) -> (Solved, Option<Kept>) {
        let Self { catalogue, belief, mode, budget } = *self;
        let problem = compile(brief, catalogue, belief, mode == Objective::Minutes);
        if !problem.broken_locks.is_empty() {
            let lines = conflict::broken_locks(&problem, catalogue, belief, budget);
            return (no_programme(Status::Infeasible, lines, 0), None);
        }
        // What a programme is better without than not at all is given up only where there is none with it.
        let (mut problem, mut moves) = (problem, 0);
        let none = loop {
            let none = match self.tried(&problem, kept, progress) {
                Ok((outcome, kept)) => return (Solved { nodes: outcome.nodes + moves, ..outcome }, kept),
                Err(none) => none,
            };
            moves += none.moves;
            match problem.eased() {
                Some(eased) => problem = eased,
                None => break none,
            }
        };
        let clash = conflict::explain(&problem, none.disproven, catalogue, belief, budget);
        let proven = none.disproven || clash.proven || none.closed;
        let status = if proven { Status::Infeasible } else { Status::Unknown };
        (no_programme(status, clash.lines, moves), None)
    }

    /// The answer for a problem where a programme is found.
    fn tried(
        &self,
        problem: &Problem,
        kept: Option<&Kept>,
        progress: &mut dyn FnMut(Progress),
    ) -> Result<(Solved, Option<Kept>), Without> {
        let budget = self.budget;
        let frames = frames(problem);
        if conflict::is_soon_disproven(problem, &frames, budget) {
            return Err(Without { moves: 0, disproven: true, closed: false });
        }
        let kept = kept.and_then(|kept| kept.in_problem(problem, &frames));
        let mut searched = match kept.clone() {
            Some(kept) => {
                let (best, moves) = steady::improved(problem, &frames, kept, budget);
                Searched { frames: vec![best.clone()], best: Some(best), moves }
            }
            None => search(problem, &frames, budget, progress),
        };
        if !searched.is_met() && !budget.is_over() {
            searched = again(problem, &frames, budget, searched, progress);
        }
        let closed = close(problem, &frames, &mut searched);
        if searched.is_met() {
            let ground = Searching { problem, frames: &frames, searched: &searched, closed };
            return Ok(ground.answer(kept.is_some(), self.belief, budget, progress));
        }
        Err(Without { moves: searched.moves, disproven: false, closed })
    }
}

/// A second search, which begins elsewhere: one in ten ends in a corner where only a step back would help.
fn again(
    problem: &Problem,
    frames: &[Frame],
    budget: &Budget<'_>,
    first: Searched,
    progress: &mut dyn FnMut(Progress),
) -> Searched {
    let seed = budget.seed.wrapping_add(SECOND_SEED);
    let second = search(problem, frames, &Budget { seed, moves: budget.moves / 2, ..*budget }, progress);
    let moves = first.moves + second.moves;
    let better = if second.is_met() { second } else { first };
    Searched { moves, ..better }
}

/// What the seed of a second search is further on (numeric).
const SECOND_SEED: u64 = 1 << 32;

/// A search without a programme.
struct Without {
    moves: u64,
    /// Whether it is known that there is none.
    disproven: bool,
    /// Whether every frame was gone through.
    closed: bool,
}

fn no_programme(status: Status, conflict: Vec<String>, nodes: u64) -> Solved {
    Solved { status, programme: None, value: None, bound: None, nodes, reasons: Vec::new(), conflict }
}

/// A problem with what the search has found.
struct Searching<'a> {
    problem: &'a Problem,
    frames: &'a [Frame],
    searched: &'a Searched,
    /// Whether nothing better is left.
    closed: bool,
}

impl Searching<'_> {
    /// The answer, with a bound; what is kept makes way only to what is worth the change.
    fn answer(
        &self,
        keeps: bool,
        belief: &Belief,
        budget: &Budget<'_>,
        progress: &mut dyn FnMut(Progress),
    ) -> (Solved, Option<Kept>) {
        let Self { problem, frames, searched, closed } = *self;
        let moves = searched.moves;
        let Some(best) = &searched.best else {
            return (no_programme(Status::Unknown, Vec::new(), moves), None);
        };
        let value = best.found.value;
        progress(news(problem, Some(value), None, moves));
        let tolerance = problem.brief.style.tolerance.map_or(USUAL_TOLERANCE, setwright_model::Share::get);
        let pressed = if closed {
            Pressed { bound: value, work: 0, better: None }
        } else {
            let effort = BoundEffort { gap: tolerance, ..BoundEffort::usual(problem) };
            let mut tell = |bound| progress(news(problem, Some(value), Some(bound), moves));
            press(problem, frames, best, budget, effort, &mut tell)
        };
        let better = pressed.better.as_ref().filter(|better| !keeps || steady::is_worth_it(best, better));
        let best = better.unwrap_or(best);
        let bound = pressed.bound;
        let wide = WIDE.max(tolerance);
        let (others, more) = if keeps { (Vec::new(), 0) } else { self.elsewhere(best, bound, wide, budget) };
        let moves = moves + more;
        let best =
            others.iter().fold(best, |best, o| if o.found.value > best.found.value { o } else { best });
        let value = best.found.value;
        progress(news(problem, Some(value), Some(bound), moves));
        let frame = &frames[best.frame];
        let outcome = Solved {
            status: status(value, bound, tolerance),
            programme: Some(realise::programme(problem, frame, &best.found.plan, belief)),
            value: Some(shown(problem, value)),
            bound: Some(shown(problem, bound)),
            nodes: moves + pressed.work,
            reasons: reasons::of(&Case { problem, belief, frames, best, others: &searched.frames, budget }),
            conflict: Vec::new(),
        };
        (outcome, Some(Kept::of(problem, frame, &best.found.plan)))
    }
}

impl Searching<'_> {
    /// The best of further searches, each begun elsewhere, as long as much is left under the bound: one in four of such problems has
    /// a corner that takes long to leave. And the moves they took.
    fn elsewhere(&self, best: &Placed, bound: i64, wide: f64, budget: &Budget<'_>) -> (Vec<Placed>, u64) {
        let (mut found, mut moves, mut value) = (Vec::new(), 0, best.found.value);
        for more in 1..=MORE_SEARCHES {
            let left = gap(Some(value as f64), Some(bound as f64));
            if left.is_none_or(|left| left.get() <= wide) || budget.is_over() {
                break;
            }
            let seed = budget.seed.wrapping_add((more + 1) * SECOND_SEED);
            let searched =
                search(self.problem, self.frames, &Budget { seed, ..*budget }, &mut |_: Progress| {});
            moves += searched.moves;
            if let Some(other) = searched.best.filter(|o| o.found.short == 0) {
                value = value.max(other.found.value);
                found.push(other);
            }
        }
        (found, moves)
    }
}

/// Gap from which a search is begun again (judgement: what is left under the bound is seldom more), and how often at most.
const WIDE: f64 = 0.025;
const MORE_SEARCHES: u64 = 2;

/// What a value and a bound say, in millionths.
fn status(value: i64, bound: i64, tolerance: f64) -> Status {
    let gap = gap(Some(value as f64), Some(bound as f64));
    if bound - value <= ROUNDING {
        Status::Optimal
    } else if gap.is_some_and(|gap| gap.get() <= tolerance) {
        Status::WithinTolerance
    } else {
        Status::Feasible
    }
}

/// Closes small problems exactly: takes over what is better, and says whether nothing better is left in any frame.
pub fn close(problem: &Problem, frames: &[Frame], searched: &mut Searched) -> bool {
    let mut closed = true;
    for (index, frame) in frames.iter().enumerate() {
        let known = searched.best.as_ref().filter(|b| b.found.short == 0).map(|b| b.found.value);
        let (proof, nodes) = exact::best(problem, frame, known);
        searched.moves += nodes;
        match proof {
            Proof::Best(found) => searched.best = Some(Placed { frame: index, found }),
            Proof::NothingBetter => {}
            Proof::TooLarge(met) => {
                closed = false;
                searched.best =
                    met.map(|found| Placed { frame: index, found }).or_else(|| searched.best.take());
            }
        }
    }
    closed
}
