//! The whole answer: frames, search, bound, reasons, or the clash that forbids any programme.

use crate::bounds::{Effort, Pressed, press};
use crate::conflict;
use crate::cores::on_two;
use crate::exact::{self, Proof};
use crate::finder::{Found, Ground, anneal};
use crate::frame::{Frame, frames};
use crate::moves::Pools;
use crate::problem::{Problem, cold_start_s, compile};
use crate::realise;
use crate::reasons::{self, Case};
use crate::rng::Rng;
use crate::state::State;
use crate::tables::POINT;
use setwright_model::{Belief, Brief, Catalogue, Programme, Status};

/// Moves of a usual search.
pub const USUAL_MOVES: u64 = 1_000_000;
/// Value below which a gap is nothing but the rounding of whole numbers, in millionths of a point.
const ROUNDING: i64 = 200;
/// Gap at which the bound stops being pressed when the brief names none.
const USUAL_TOLERANCE: f64 = 0.01;
/// Frames that are searched; the rest are only bounded.
const FRAMES_SEARCHED: usize = 16;
/// Share of the moves for a first look at every frame, and for longer runs in the best; the rest goes on from the
/// best plans.
const SCOUTING: f64 = 0.25;
const RUNNING: f64 = 0.25;
/// Frames that are searched a second, longer time.
const FINALISTS: usize = 3;
/// Frames that are searched again when nothing keeps every rule.
const RESCUED: usize = 4;
/// Problems of so few lifts are small: many short runs find more than a few long ones.
const SMALL: usize = 12;
/// Starts in each of the finalists.
const STARTS: usize = 1;

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
        let lines = conflict::broken_locks(&problem, catalogue, belief, budget);
        return no_programme(Status::Infeasible, lines, 0);
    }
    let frames = frames(&problem);
    if conflict::is_soon_disproven(&problem, &frames, budget) {
        let clash = conflict::explain(&problem, true, catalogue, belief, budget);
        return no_programme(Status::Infeasible, clash.lines, 0);
    }
    let mut searched = search(&problem, &frames, budget, progress);
    let closed = close(&problem, &frames, &mut searched);
    let moves = searched.moves;
    if searched.best.as_ref().is_some_and(|b| b.found.short == 0) {
        return answer(&problem, &frames, &searched, closed, belief, budget, progress);
    }
    let clash = conflict::explain(&problem, false, catalogue, belief, budget);
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
    let pressed = if closed {
        Pressed { bound: value, work: 0, better: None }
    } else {
        let effort = Effort { gap: tolerance, ..Effort::usual(problem) };
        let mut tell = |bound| progress(news(problem, Some(value), Some(bound), moves));
        press(problem, frames, best, budget, effort, &mut tell)
    };
    let best = pressed.better.as_ref().unwrap_or(best);
    let (value, bound) = (best.found.value, pressed.bound);
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
        nodes: moves + pressed.work,
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

/// Searches the frames: each a little, then the best ones longer from new starts, then the best plans once more.
pub fn search(
    problem: &Problem,
    frames: &[Frame],
    budget: &Budget<'_>,
    progress: &mut dyn FnMut(Progress),
) -> Searched {
    let mut searched = Searched::default();
    let some = frames.len().min(FRAMES_SEARCHED);
    let (scouting, running) = if some > 1 { (SCOUTING, RUNNING) } else { (0.0, SCOUTING + RUNNING) };
    let cold = |stream: u64, frame: usize| Task { frame, stream, warm: None, moves: 0 };
    if some > 1 {
        let scouts = (0..some).map(|frame| cold(frame as u64, frame)).collect();
        searched.spend(problem, frames, scouts, scouting, budget, progress);
    }
    let finalists: Vec<usize> = if some > 1 {
        searched.top(FINALISTS).iter().map(|p| p.frame).collect()
    } else {
        (0..some).collect()
    };
    let starts = starts(problem, some <= 1);
    let runs = finalists
        .iter()
        .flat_map(|&frame| (0..starts).map(move |start| cold(1000 + (frame * 64 + start) as u64, frame)));
    searched.spend(problem, frames, runs.collect(), running, budget, progress);
    let again = searched.top(FINALISTS).into_iter().enumerate().map(|(k, placed)| Task {
        frame: placed.frame,
        stream: 9000 + k as u64,
        warm: Some(placed.found),
        moves: 0,
    });
    searched.spend(problem, frames, again.collect(), 1.0 - scouting - running, budget, progress);
    if searched.best.as_ref().is_some_and(|b| b.found.short > 0) {
        // Nothing keeps every rule yet: as many moves again from new starts where least is missing.
        let rescue = searched.top(RESCUED).into_iter().flat_map(|placed| {
            (0..2).map(move |start| cold(20_000 + (placed.frame * 2 + start) as u64, placed.frame))
        });
        searched.spend(problem, frames, rescue.collect(), 1.0, budget, progress);
    }
    searched
}

impl Searched {
    /// Spends a share of the moves on tasks.
    fn spend(
        &mut self,
        problem: &Problem,
        frames: &[Frame],
        mut tasks: Vec<Task>,
        share: f64,
        budget: &Budget<'_>,
        progress: &mut dyn FnMut(Progress),
    ) {
        let moves = (budget.moves as f64 * share) as u64 / tasks.len().max(1) as u64;
        for task in &mut tasks {
            task.moves = moves;
        }
        let (placed, made) = run(problem, frames, &tasks, budget);
        self.moves += made;
        self.frames.extend(placed);
        self.best = self.top(1).pop();
        let value = self.best.as_ref().filter(|p| p.found.short == 0).map(|p| p.found.value);
        progress(news(problem, value, None, self.moves));
    }

    /// The best plans of different frames.
    fn top(&self, most: usize) -> Vec<Placed> {
        let mut sorted: Vec<&Placed> = self.frames.iter().collect();
        sorted.sort_by_key(|p| (p.found.short, -p.found.value));
        let mut out: Vec<Placed> = Vec::new();
        for placed in sorted {
            if out.len() < most && out.iter().all(|p| p.frame != placed.frame) {
                out.push(placed.clone());
            }
        }
        out
    }
}

/// Whether a plan that keeps every rule is found within the moves of the budget: first a look at each frame, two at
/// a time, then longer where least is missing.
pub fn is_met(problem: &Problem, frames: &[Frame], budget: &Budget<'_>) -> bool {
    let some = frames.len().min(FRAMES_SEARCHED);
    let mut seen: Vec<Placed> = Vec::new();
    let mut spend = |tasks: &[Task]| -> bool {
        tasks.chunks(2).any(|two| {
            let found = on_two(two, |task| one_task(problem, frames, task, budget, true).0);
            seen.extend(two.iter().zip(found).map(|(t, found)| Placed { frame: t.frame, found }));
            seen.iter().any(|p| p.found.short == 0)
        })
    };
    let share = budget.moves / 2;
    let task = |frame: usize, stream: u64, moves: u64| Task { frame, stream, warm: None, moves };
    let looks: Vec<Task> =
        (0..some).map(|f| task(f, 30_000 + f as u64, share / some.max(1) as u64)).collect();
    if spend(&looks) {
        return true;
    }
    let nearest = Searched { frames: seen, ..Searched::default() }.top(RESCUED);
    let moves = share / nearest.len().max(1) as u64;
    let longer: Vec<Task> = nearest.iter().map(|p| task(p.frame, 31_000 + p.frame as u64, moves)).collect();
    let met = on_two(&longer, |t| one_task(problem, frames, t, budget, true).0.short == 0);
    met.contains(&true)
}

/// Starts in a finalist: more where there is only one, and more where a run is short of room to wander.
fn starts(problem: &Problem, one_frame: bool) -> usize {
    let small = if problem.lifts.len() <= SMALL { 4 } else { 1 };
    STARTS * small * if one_frame { 2 } else { 1 }
}

/// Runs tasks. Each has its own stream of chance, so the answer does not depend on who ran it or when.
fn run(problem: &Problem, frames: &[Frame], tasks: &[Task], budget: &Budget<'_>) -> (Vec<Placed>, u64) {
    let results = on_two(tasks, |task| one_task(problem, frames, task, budget, false));
    let moves = results.iter().map(|(_, n)| n).sum();
    let placed = tasks.iter().zip(results).map(|(t, (found, _))| Placed { frame: t.frame, found });
    (placed.collect(), moves)
}

fn one_task(
    problem: &Problem,
    frames: &[Frame],
    task: &Task,
    budget: &Budget<'_>,
    any: bool,
) -> (Found, u64) {
    let frame = &frames[task.frame];
    let pools = Pools::new(problem, frame);
    let mut rng = Rng::new(budget.seed, task.stream);
    let warm = task.warm.as_ref().map(|f| &f.plan);
    let ground = Ground { problem, frame, pools: &pools, any };
    anneal(ground, warm, task.moves, &mut rng, &|| budget.is_over())
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
