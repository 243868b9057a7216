//! The bound over all frames: where its rounds are spent, so that the largest of the frames' bounds falls.
//!
//! Frames, and parts of frames once their prices have settled, wait in one list; those with the largest bound are
//! pressed next, two at a time. What falls under the best plan found is done with. It must not know how a bound is
//! reckoned (`dual` does), nor change what is found. The same work is done in the same order however many threads
//! there are.

use crate::budget::Budget;
use crate::cores::{on_all, on_each};
use crate::descent;
use crate::dual::{Dual, Prices, SessionLayouts, Workspace};
use crate::finder::{RunStart, SearchGround, anneal};
use crate::fixed::Left;
use crate::found::{Found, Placed, state_of};
use crate::layout::SolvedMeasure;
use crate::moves::Pools;
use crate::part::{Part, PartKnown};
use crate::rng::Rng;
use setwright_formulate::frame::Frame;
use setwright_formulate::problem::Problem;

/// How much work goes into a bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoundEffort {
    /// Rounds after a first look at every frame; a round solves every session of a frame once.
    pub rounds: u64,
    /// Share of the bound that the gap may be: then it is pressed no further.
    pub gap: f64,
}

/// Sessions of a lift that a usual bound goes through: a round costs about the lifts times the sessions.
const USUAL_WORK: usize = 1_600_000;
/// Least and most rounds of a usual bound.
const USUAL_ROUNDS: [usize; 2] = [1300, 4000];

impl BoundEffort {
    /// Effort of a usual bound: more rounds where a round is cheap.
    pub fn usual(problem: &Problem) -> Self {
        let round = (problem.lifts.len() * problem.minutes_units.len()).max(1);
        let rounds = (USUAL_WORK / round).clamp(USUAL_ROUNDS[0], USUAL_ROUNDS[1]);
        Self { rounds: rounds as u64, gap: 0.0 }
    }
}

/// What came of pressing.
#[derive(Clone, Debug)]
pub struct Pressed {
    /// The largest bound over all frames, in millionths.
    pub bound: i64,
    /// Rounds, and moves in looking for better plans.
    pub work: u64,
    /// A plan better than the one it began with, if one was met.
    pub better: Option<Placed>,
}

/// Lifts of all frames that are laid out together: some gigabyte at most.
const LIFTS_HELD: usize = 30_000;
/// Frames beyond them that hand their prices on, and the most rounds of such a frame.
const CHAIN: usize = 24;
const PASSING_ROUNDS: u32 = 100;
/// Rounds in the best plan's frame before the others are looked at.
const FIRST_ROUNDS: u64 = 160;
/// Parts split at which a better plan is looked for each time, later one in so many, and once as many times as many were split one
/// in so many of these: where each costs little there are thousands.
const TRIES: u32 = 24;
const RARELY: u32 = 8;
/// Moves of such a look.
const TRY_MOVES: u64 = 60_000;
/// Parts near which it is looked longer at the end, starts near each, and moves of each.
const LAST_TRIES: usize = 6;
const LAST_STARTS: usize = 2;
const LAST_MOVES: u64 = 240_000;
/// Rounds that splitting a part takes as long as (measured: one to two milliseconds each, where parts have many cuts).
const SPLIT_ROUNDS: u64 = 2;
/// Parts that are pressed, or split and pressed, before the largest bound is looked for again (measured on two cores). It is the same
/// number on any machine: with another, other parts would be pressed, and the answer would be another one.
const TOGETHER: usize = 2;

/// The largest bound over all frames, and the rounds it took.
pub fn bound_all(problem: &Problem, frames: &[Frame], best: &Placed, budget: &Budget<'_>) -> Pressed {
    press(problem, frames, best, budget, BoundEffort::usual(problem), &mut |_| {})
}

/// The same with a given effort; `news` is told the bound whenever it has fallen.
pub fn press(
    problem: &Problem,
    frames: &[Frame],
    best: &Placed,
    budget: &Budget<'_>,
    effort: BoundEffort,
    news: &mut dyn FnMut(i64),
) -> Pressed {
    let over = || budget.is_over();
    let (frames, rest) = frames.split_at(frames.len().min(frames_held(problem).max(best.frame + 1)));
    let home = &frames[best.frame];
    let state = state_of(problem, home, &best.found);
    let measures: Vec<SolvedMeasure> =
        (0..problem.parts()).map(|s| SolvedMeasure::of(problem, s, state.sums(s))).collect();
    let plots = SessionLayouts::new(problem, frames, &measures);
    let mut press = Press {
        duals: frames.iter().map(|f| Dual::new(problem, f, &plots)).collect(),
        known: PartKnown { value: best.found.value, over: &over },
        workspaces: vec![Workspace::default()],
        parts: Vec::new(),
        stuck: best.found.value,
        rounds: 0,
        seed: budget.seed,
        splits: 0,
        moves: 0,
        better: None,
        left: Vec::new(),
    };
    press.begin(best.frame, Prices::from_state(problem, home, &state));
    press.pass_over(problem, best.frame, rest, &measures);
    // The first look at every frame does not count: what follows goes where the largest bound is.
    let most = press.rounds + effort.rounds;
    let mut bound = i64::MAX;
    loop {
        let now = press.bound();
        if now < bound {
            bound = now;
            news(bound);
        }
        let open = (bound - press.known.value) as f64 > effort.gap * bound.abs() as f64;
        if !open || press.parts.is_empty() || press.rounds >= most || over() {
            if open {
                press.look_again();
            }
            return Pressed {
                bound: bound.max(press.known.value),
                work: press.rounds + press.moves,
                better: press.better,
            };
        }
        press.go_on();
    }
}

fn frames_held(problem: &Problem) -> usize {
    LIFTS_HELD / problem.lifts.len().max(1)
}

struct Press<'a> {
    duals: Vec<Dual<'a>>,
    known: PartKnown<'a>,
    /// One for each part that is pressed at once.
    workspaces: Vec<Workspace>,
    /// What may still hold something better than the best plan found, the largest bound first.
    parts: Vec<Part>,
    /// The largest bound of what can be pressed no further.
    stuck: i64,
    rounds: u64,
    seed: u64,
    /// Parts split.
    splits: u32,
    /// Moves made in looking for better plans.
    moves: u64,
    /// A better plan, once one was met.
    better: Option<Placed>,
    /// Parts that can be pressed no further.
    left: Vec<Part>,
}

/// Searches from a plan that is likely in a frame.
fn near(
    dual: &Dual<'_>,
    likely: &Found,
    moves: u64,
    mut rng: Rng,
    over: &(dyn Fn() -> bool + Sync),
) -> (Found, u64) {
    let pools = Pools::new(dual.problem, dual.frame);
    let ground = SearchGround { problem: dual.problem, frame: dual.frame, pools: &pools, any: false };
    anneal(ground, RunStart::Likely(&likely.plan), moves, &mut rng, over)
}

impl Press<'_> {
    /// Presses the best plan's frame for some rounds, and all others a little, from what was learnt there.
    fn begin(&mut self, home: usize, prices: Prices) {
        let mut first = Part::whole(home, &self.duals[home], prices, self.known.value);
        // Pressed once at least, also when time is up: nothing else gives a bound.
        loop {
            first.press(&self.duals[home], self.known, &mut self.workspaces[0]);
            let enough = !first.is_open(self.known.value)
                || u64::from(first.rounds()) >= FIRST_ROUNDS
                || first.is_settled();
            if enough || (self.known.over)() {
                break;
            }
        }
        self.rounds += u64::from(first.rounds());
        let mut others: Vec<Part> = (0..self.duals.len())
            .filter(|frame| *frame != home)
            .map(|frame| first.elsewhere(frame, &self.duals[home], &self.duals[frame], self.known.value))
            .collect();
        self.press_all(&mut others);
        self.parts = others;
        self.parts.push(first);
        self.sort();
    }

    /// Bounds frames one after another, each laid out and let go: there are too many to hold. None is pressed below
    /// what the best plan's frame keeps the bound at.
    fn pass_over(&mut self, problem: &Problem, home: usize, frames: &[Frame], measures: &[SolvedMeasure]) {
        let Some(first) = self.parts.iter().find(|p| p.frame() == home) else { return };
        let start = first.prices(&self.duals[home]);
        let target = first.bound().max(self.known.value);
        let over = || (self.known.over)();
        let chains: Vec<&[Frame]> = frames.chunks(CHAIN).collect();
        let plots = SessionLayouts::new(problem, frames, measures);
        let passed = on_all(&chains, |chain| {
            let mut prices = start.clone();
            let mut top = target;
            for frame in *chain {
                let dual = Dual::new(problem, frame, &plots);
                if let Some((bound, at)) = descent::bound_of(&dual, &prices, target, PASSING_ROUNDS, &over) {
                    top = top.max(bound);
                    prices = at;
                }
            }
            top
        });
        // Each was pressed no further than the target, so the bound stays there at least.
        self.stuck = passed.into_iter().fold(self.stuck, i64::max);
        self.rounds += frames.len() as u64;
    }

    fn bound(&self) -> i64 {
        self.parts.first().map_or(self.stuck, |p| p.bound().max(self.stuck))
    }

    /// Presses what has the largest bound; what has settled is first split in two.
    fn go_on(&mut self) {
        let rest = self.parts.split_off(TOGETHER.min(self.parts.len()));
        let mut now = Vec::new();
        for part in std::mem::replace(&mut self.parts, rest) {
            if !part.is_settled() {
                now.push(part);
                continue;
            }
            let bound = part.bound();
            self.improve(&part);
            self.rounds += SPLIT_ROUNDS;
            match part.split(&self.duals[part.frame()]) {
                Some(two) => now.extend(two),
                None => match part.left(&self.duals[part.frame()]) {
                    Left::Nothing => {}
                    Left::One(found) => {
                        self.stuck = self.stuck.max(found.value);
                        self.take(Placed { frame: part.frame(), found });
                    }
                    Left::Much => {
                        self.stuck = self.stuck.max(bound);
                        self.left.push(part);
                    }
                },
            }
        }
        self.press_all(&mut now);
        self.parts.extend(now);
        self.sort();
    }

    /// Looks for a better plan near what a part selects: the search meets what the bound has learnt.
    fn improve(&mut self, part: &Part) {
        self.splits += 1;
        let one_in = match self.splits {
            n if n <= TRIES => 1,
            n if n <= TRIES * RARELY => RARELY,
            _ => RARELY * RARELY,
        };
        if !self.splits.is_multiple_of(one_in) || (self.known.over)() {
            return;
        }
        let dual = &self.duals[part.frame()];
        let rng = Rng::new(self.seed, 50_000 + u64::from(self.splits));
        let (found, moves) = near(dual, &part.likely(dual), TRY_MOVES, rng, self.known.over);
        self.moves += moves;
        self.take(Placed { frame: part.frame(), found });
    }

    /// Looks longer near what the parts with the largest bounds select, once they can be pressed no further.
    fn look_again(&mut self) {
        let mut parts: Vec<&Part> = self.left.iter().chain(&self.parts).collect();
        parts.sort_by_key(|p| std::cmp::Reverse(p.bound()));
        parts.truncate(LAST_TRIES);
        let (duals, seed, over) = (&self.duals, self.seed, self.known.over);
        let likely: Vec<(usize, Found)> =
            parts.iter().map(|p| (p.frame(), p.likely(&duals[p.frame()]))).collect();
        let starts = likely.iter().cycle().take(LAST_STARTS * likely.len());
        let starts: Vec<(u64, &(usize, Found))> = (60_000..).zip(starts).collect();
        let found = on_all(&starts, |(stream, (frame, plan))| {
            near(&duals[*frame], plan, LAST_MOVES, Rng::new(seed, *stream), over)
        });
        for ((_, (frame, _)), (found, moves)) in starts.iter().zip(found) {
            self.moves += moves;
            self.take(Placed { frame: *frame, found });
        }
    }

    /// Takes a plan over if it is better.
    fn take(&mut self, placed: Placed) {
        if placed.found.short == 0 && placed.found.value > self.known.value {
            self.known.value = placed.found.value;
            self.better = Some(placed);
        }
    }

    fn sort(&mut self) {
        let value = self.known.value;
        self.parts.retain(|p| p.is_open(value));
        self.parts.sort_by_key(|p| std::cmp::Reverse(p.bound()));
    }

    /// Presses parts on as many cores as there are. None knows of another, so it does not matter who is first.
    fn press_all(&mut self, parts: &mut [Part]) {
        let (duals, known) = (&self.duals, self.known);
        let before: u64 = parts.iter().map(|p| u64::from(p.rounds())).sum();
        self.workspaces.resize_with(self.workspaces.len().max(parts.len()), Workspace::default);
        let mut pairs: Vec<(&mut Part, &mut Workspace)> =
            parts.iter_mut().zip(&mut self.workspaces).collect();
        on_each(&mut pairs, |(part, workspace)| part.press(&duals[part.frame()], known, workspace));
        self.rounds += parts.iter().map(|p| u64::from(p.rounds())).sum::<u64>() - before;
    }
}
