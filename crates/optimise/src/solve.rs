//! The whole answer: frames, search, bound, reasons, or the clash that forbids any programme.

use crate::bounds::bound_all;
use crate::conflict;
use crate::exact::{self, Proof};
use crate::finder::{Found, anneal};
use crate::frame::{Frame, frames};
use crate::moves::Pools;
use crate::problem::{Problem, cold_start_s, compile};
use crate::realise;
use crate::reasons::{self, Case};
use crate::rng::Rng;
use crate::state::State;
use crate::tables::POINT;
use setwright_model::{Belief, Brief, Catalogue, Programme, Status};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Moves of a usual search.
pub const USUAL_MOVES: u64 = 2_000_000;
/// Value below which a gap is nothing but the rounding of whole numbers, in millionths of a point.
const ROUNDING: i64 = 200;
/// Gap at which the bound stops being pressed when the brief names none.
const USUAL_TOLERANCE: f64 = 0.01;
/// Frames that are searched; the rest are only bounded.
const FRAMES_SEARCHED: usize = 16;
/// Frames that are searched a second, longer time.
const FINALISTS: usize = 3;
/// Problems of so few lifts are small: many short runs find more than a few long ones.
const SMALL: usize = 12;
/// Starts in each of the finalists.
const STARTS: usize = 2;

/// How much work may be done. Moves decide where the search stops; `out_of_time` is only an outer limit, and an
/// answer that it cut short may differ from run to run.
#[derive(Clone, Copy)]
pub struct Budget<'a> {
    /// Moves of the search.
    pub moves: u64,
    /// Seed.
    pub seed: u64,
    /// Says when to stop, whatever is left.
    pub out_of_time: Option<&'a (dyn Fn() -> bool + Sync)>,
}

impl Budget<'_> {
    /// Whether time is up.
    pub fn is_over(&self) -> bool {
        self.out_of_time.is_some_and(|f| f())
    }
}

/// What is sought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// The most benefit in the time there is.
    Benefit,
    /// The fewest minutes for the doses that are asked.
    Minutes,
}

/// News of the search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Value of the best programme so far (points, or minutes in [`Mode::Minutes`]).
    pub value: Option<f64>,
    /// The bound so far.
    pub bound: Option<f64>,
    /// Moves made.
    pub moves: u64,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// What is known.
    pub status: Status,
    /// The programme, not yet certified.
    pub programme: Option<Programme>,
    /// Its value: points, or minutes over the cycle in [`Mode::Minutes`].
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

/// A plan in its frame.
#[derive(Clone, Debug)]
pub struct Placed {
    /// Index of the frame.
    pub frame: usize,
    /// What was found there.
    pub found: Found,
}

/// Solves a brief.
pub fn solve(
    brief: &Brief,
    catalogue: &Catalogue,
    belief: &Belief,
    mode: Mode,
    budget: &Budget<'_>,
    progress: &mut dyn FnMut(Progress),
) -> Outcome {
    let problem = compile(brief, catalogue, belief, mode == Mode::Minutes);
    if !problem.broken_locks.is_empty() {
        let lines = conflict::broken_locks(&problem, brief, catalogue, belief, budget);
        return no_programme(Status::Infeasible, lines, 0);
    }
    let frames = frames(&problem);
    let mut searched = search(&problem, &frames, budget, progress);
    let closed = close(&problem, &frames, &mut searched);
    let moves = searched.moves;
    if searched.best.as_ref().is_some_and(|b| b.found.short == 0) {
        return answer(&problem, &frames, &searched, closed, belief, budget, progress);
    }
    let clash = conflict::explain(brief, catalogue, belief, budget);
    let status = if clash.proven || closed { Status::Infeasible } else { Status::Unknown };
    no_programme(status, clash.lines, moves)
}

fn no_programme(status: Status, conflict: Vec<String>, nodes: u64) -> Outcome {
    Outcome { status, programme: None, value: None, bound: None, nodes, reasons: Vec::new(), conflict }
}

fn answer(
    problem: &Problem,
    frames: &[Frame],
    searched: &Searched,
    closed: bool,
    belief: &Belief,
    budget: &Budget<'_>,
    progress: &mut dyn FnMut(Progress),
) -> Outcome {
    let moves = searched.moves;
    let Some(best) = &searched.best else {
        return no_programme(Status::Unknown, Vec::new(), moves);
    };
    let value = best.found.value;
    progress(news(problem, Some(value), None, moves));
    let tolerance = problem.brief.style.tolerance.map_or(USUAL_TOLERANCE, setwright_model::Share::get);
    let (bound, rounds) = if closed { (value, 0) } else { bound_all(problem, frames, best, budget) };
    progress(news(problem, Some(value), Some(bound), moves));
    let gap = (bound - value) as f64 / (bound.abs().max(1)) as f64;
    let status = if bound - value <= ROUNDING {
        Status::Optimal
    } else if gap <= tolerance {
        Status::WithinTolerance
    } else {
        Status::Feasible
    };
    let frame = &frames[best.frame];
    Outcome {
        status,
        programme: Some(realise::programme(problem, frame, &best.found.plan, belief)),
        value: Some(shown(problem, value)),
        bound: Some(shown(problem, bound)),
        nodes: moves + rounds,
        reasons: reasons::of(&Case { problem, frames, best, others: &searched.frames, budget }),
        conflict: Vec::new(),
    }
}

/// Value as a person reads it: points, or minutes.
fn shown(problem: &Problem, value: i64) -> f64 {
    let points = value as f64 / POINT;
    let cold_min = cold_start_s(&problem.brief) / 60.0 * f64::from(problem.brief.time.sessions);
    if problem.tables.minutes_mode { cold_min - points } else { points }
}

fn news(problem: &Problem, value: Option<i64>, bound: Option<i64>, moves: u64) -> Progress {
    Progress { value: value.map(|v| shown(problem, v)), bound: bound.map(|b| shown(problem, b)), moves }
}

/// A piece of search: frame, stream of chance, warm plan, moves.
struct Task {
    frame: usize,
    stream: u64,
    warm: Option<Found>,
    bold: bool,
    moves: u64,
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

/// What the search found.
#[derive(Clone, Debug, Default)]
pub struct Searched {
    /// The best of all.
    pub best: Option<Placed>,
    /// Everything that was found, frame by frame.
    pub frames: Vec<Placed>,
    /// Moves made.
    pub moves: u64,
}

/// Searches the frames: each a little, then the best ones longer.
pub fn search(
    problem: &Problem,
    frames: &[Frame],
    budget: &Budget<'_>,
    progress: &mut dyn FnMut(Progress),
) -> Searched {
    let searched = frames.len().min(FRAMES_SEARCHED);
    let one = searched <= 1;
    let first_moves = if one { 0 } else { budget.moves / 2 / searched as u64 };
    let first: Vec<Task> = (0..if one { 0 } else { searched })
        .map(|frame| Task { frame, stream: frame as u64, warm: None, bold: false, moves: first_moves })
        .collect();
    let (mut placed, mut made) = run(problem, frames, &first, budget);
    placed.sort_by_key(|p| (p.found.short, -p.found.value));
    progress(news(problem, placed.first().filter(|p| p.found.short == 0).map(|p| p.found.value), None, made));
    let finalists: Vec<usize> =
        if one { (0..searched).collect() } else { placed.iter().take(FINALISTS).map(|p| p.frame).collect() };
    let starts = starts(problem, one);
    let share =
        (budget.moves - budget.moves / 2 * u64::from(!one)) / (finalists.len() * starts).max(1) as u64;
    let second: Vec<Task> = finalists
        .iter()
        .flat_map(|&frame| {
            let warm = placed.iter().find(|p| p.frame == frame).map(|p| p.found.clone());
            (0..starts).map(move |start| Task {
                frame,
                stream: 1000 + (frame * 64 + start) as u64,
                warm: if start == 0 { warm.clone() } else { None },
                bold: start % 2 == 1,
                moves: share,
            })
        })
        .collect();
    let (more, moved) = run(problem, frames, &second, budget);
    made += moved;
    placed.extend(more);
    let best = placed.iter().cloned().reduce(|a, b| if b.found.beats(&a.found) { b } else { a });
    Searched { best, frames: placed, moves: made }
}

/// Starts in a finalist: more where there is only one, and more where a run is short of room to wander.
fn starts(problem: &Problem, one_frame: bool) -> usize {
    let small = if problem.lifts.len() <= SMALL { 4 } else { 1 };
    STARTS * small * if one_frame { 2 } else { 1 }
}

/// Runs tasks on two threads. Each task has its own stream of chance, so the answer does not depend on who ran
/// it or when.
fn run(problem: &Problem, frames: &[Frame], tasks: &[Task], budget: &Budget<'_>) -> (Vec<Placed>, u64) {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(task) = tasks.get(index) else { return done };
            done.push((index, one_task(problem, frames, task, budget)));
        }
    };
    let mut results: Vec<(usize, (Found, u64))> = std::thread::scope(|scope| {
        let other = scope.spawn(work);
        let mut mine = work();
        mine.extend(other.join().unwrap_or_default());
        mine
    });
    results.sort_by_key(|(index, _)| *index);
    let moves = results.iter().map(|(_, (_, n))| n).sum();
    let placed = results.into_iter().map(|(i, (found, _))| Placed { frame: tasks[i].frame, found }).collect();
    (placed, moves)
}

fn one_task(problem: &Problem, frames: &[Frame], task: &Task, budget: &Budget<'_>) -> (Found, u64) {
    let frame = &frames[task.frame];
    let pools = Pools::new(problem, frame);
    let mut rng = Rng::new(budget.seed, task.stream);
    let warm = task.warm.as_ref().map(|f| &f.plan);
    anneal(problem, frame, &pools, warm, task.bold, task.moves, &mut rng, &|| budget.is_over())
}

/// The state of a found plan.
pub fn state_of<'a>(problem: &'a Problem, frame: &'a Frame, found: &Found) -> State<'a> {
    let mut state = State::new(problem, frame);
    for (session, blocks) in found.plan.sessions.iter().enumerate() {
        if let Some(change) = state.with(&[(session, *blocks)]) {
            state.apply(&change);
        }
    }
    state
}
