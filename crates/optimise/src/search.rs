//! The search over frames: each a little, the best ones longer, then from the best plans once more.

use crate::budget::Budget;
use crate::cores::on_all;
use crate::finder::{RunStart, SearchGround, anneal};
use crate::found::{Found, Placed};
use crate::moves::Pools;
use crate::progress::{Progress, news};
use crate::rng::Rng;
use setwright_formulate::frame::Frame;
use setwright_formulate::problem::Problem;

/// Frames that are searched; the rest are only bounded.
const FRAMES_SEARCHED: usize = 16;
/// Share of the moves for a first look at every frame, and for longer runs in the best; the rest goes on from the
/// best plans.
const SCOUTING: f64 = 0.35;
const RUNNING: f64 = 0.25;
/// Frames that are searched a second, longer time, and plans that are gone on from: of different frames where there are some.
const FINALISTS: usize = 4;
const GO_ON: usize = 2;
/// Share of the moves near the best plans, and most of those that begin with one session like another.
const RELATIVES: f64 = 0.25;
const RELATIVES_MOST: usize = 12;
/// Frames that are searched again when nothing keeps every rule.
const RESCUED: usize = 4;
/// Problems of so few lifts are small: many short runs find more than a few long ones.
const SMALL: usize = 12;
/// Starts of a small problem, and where there is only one frame, as against one.
const STARTS_SMALL: usize = 4;
const STARTS_ONE_FRAME: usize = 8;

/// A piece of search: frame, stream of chance, warm plan, moves.
struct Task {
    frame: usize,
    stream: u64,
    warm: Option<Found>,
    moves: u64,
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
    // What keeps no rule yet is not varied but gone on from.
    let near = if searched.is_met() { RELATIVES } else { 0.0 };
    if near > 0.0 {
        searched.spend(problem, frames, searched.relatives(frames), near, budget, progress);
    }
    let best = if some > 1 { searched.top(GO_ON) } else { searched.top_plans(GO_ON) };
    let again = best.into_iter().enumerate().map(|(k, placed)| Task {
        frame: placed.frame,
        stream: 9000 + k as u64,
        warm: Some(placed.found),
        moves: 0,
    });
    searched.spend(problem, frames, again.collect(), 1.0 - scouting - running - near, budget, progress);
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
    /// Whether a plan keeps every rule.
    pub fn is_met(&self) -> bool {
        self.best.as_ref().is_some_and(|best| best.found.short == 0)
    }

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

    /// Starts near the best plans: one session like another, which is worth more than its steps, and the best plan in other
    /// frames.
    fn relatives(&self, frames: &[Frame]) -> Vec<Task> {
        let best = self.top(FINALISTS);
        let mut near: Vec<(usize, Found)> = Vec::new();
        for Placed { frame, found } in best.iter().take(GO_ON) {
            let eligible = &frames[*frame].eligible;
            let parts = found.plan.sessions.len();
            for (i, j) in (0..parts).flat_map(|i| (0..parts).map(move |j| (i, j))) {
                if i != j && eligible[i] == eligible[j] {
                    let mut alike = found.clone();
                    alike.plan.sessions[j] = alike.plan.sessions[i];
                    near.push((*frame, alike));
                }
            }
        }
        near.truncate(RELATIVES_MOST);
        if let Some((first, others)) = best.split_first() {
            near.extend(others.iter().map(|other| (other.frame, first.found.clone())));
        }
        let task = |(k, (frame, found))| Task { frame, stream: 7000 + k as u64, warm: Some(found), moves: 0 };
        near.into_iter().enumerate().map(task).collect()
    }

    /// The best plans, of whatever frames.
    fn top_plans(&self, most: usize) -> Vec<Placed> {
        let mut sorted: Vec<&Placed> = self.frames.iter().collect();
        sorted.sort_by_key(|p| (p.found.short, -p.found.value));
        sorted.dedup_by_key(|p| p.found.value);
        sorted.into_iter().take(most).cloned().collect()
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
            let found = on_all(two, |task| one_task(problem, frames, task, budget, true).0);
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
    let met = on_all(&longer, |t| one_task(problem, frames, t, budget, true).0.short == 0);
    met.contains(&true)
}

/// Starts in a finalist: more where there is only one, and more where a run is short of room to wander.
fn starts(problem: &Problem, one_frame: bool) -> usize {
    let small = problem.lifts.len() <= SMALL;
    let more = [(small, STARTS_SMALL), (one_frame, STARTS_ONE_FRAME)];
    more.into_iter().filter(|(more, _)| *more).map(|(_, starts)| starts).product()
}

/// Runs tasks. Each has its own stream of chance, so the answer does not depend on who ran it or when.
fn run(problem: &Problem, frames: &[Frame], tasks: &[Task], budget: &Budget<'_>) -> (Vec<Placed>, u64) {
    let results = on_all(tasks, |task| one_task(problem, frames, task, budget, false));
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
    let ground = SearchGround { problem, frame, pools: &pools, any };
    anneal(ground, RunStart::near(task.warm.as_ref()), task.moves, &mut rng, &|| budget.is_over())
}
