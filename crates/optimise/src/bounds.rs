//! The bound over all frames: where its rounds are spent, so that the largest of the frames' bounds falls.
//!
//! Frames, and parts of frames once their prices have settled, wait in one list; those with the largest bound are
//! pressed next, two at a time. What falls under the best plan found is done with. It must not know how a bound is
//! reckoned (`dual` does), nor change what is found. The same work is done in the same order however many threads
//! there are.

use crate::cores::on_two;
use crate::dual::{self, Desk, Dual, Prices};
use crate::frame::Frame;
use crate::part::{Known, Part};
use crate::problem::Problem;
use crate::solve::{Budget, Placed, state_of};

/// How much work goes into a bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// Rounds of all frames together; a round solves every session of a frame once.
    pub rounds: u64,
    /// Share of the bound that the gap may be: then it is pressed no further.
    pub gap: f64,
}

/// Effort of a usual bound.
pub const USUAL_EFFORT: Effort = Effort { rounds: 2000, gap: 0.0 };
/// Frames that are laid out together; a frame takes some megabytes.
const FRAMES_HELD: usize = 96;
/// Rounds of a frame beyond them.
const PASSING_ROUNDS: u32 = 30;
/// Rounds in the best plan's frame before the others are looked at.
const FIRST_ROUNDS: u64 = 80;
/// Parts that are pressed before the largest bound is looked for again.
const TOGETHER: usize = 2;

/// The largest bound over all frames, and the rounds it took.
pub fn bound_all(problem: &Problem, frames: &[Frame], best: &Placed, budget: &Budget<'_>) -> (i64, u64) {
    press(problem, frames, best, budget, USUAL_EFFORT, &mut |_| {})
}

/// The same with a given effort; `news` is told the bound whenever it has fallen.
pub fn press(
    problem: &Problem,
    frames: &[Frame],
    best: &Placed,
    budget: &Budget<'_>,
    effort: Effort,
    news: &mut dyn FnMut(i64),
) -> (i64, u64) {
    let over = || budget.is_over();
    let (frames, rest) = frames.split_at(frames.len().min(FRAMES_HELD.max(best.frame + 1)));
    let mut press = Press {
        duals: frames.iter().map(|f| Dual::new(problem, f)).collect(),
        known: Known { value: best.found.value, over: &over },
        desks: Default::default(),
        parts: Vec::new(),
        stuck: best.found.value,
        rounds: 0,
    };
    let home = &frames[best.frame];
    press.begin(best.frame, Prices::from_state(problem, home, &state_of(problem, home, &best.found)));
    press.pass_over(problem, rest);
    let mut bound = i64::MAX;
    loop {
        let now = press.bound();
        if now < bound {
            bound = now;
            news(bound);
        }
        let gap = (bound - best.found.value) as f64;
        let enough = gap <= effort.gap * bound.abs() as f64 || press.parts.is_empty();
        if enough || press.rounds >= effort.rounds || over() {
            return (bound, press.rounds);
        }
        press.go_on();
    }
}

struct Press<'a> {
    duals: Vec<Dual<'a>>,
    known: Known<'a>,
    desks: [Desk; TOGETHER],
    /// What may still hold something better than the best plan found, the largest bound first.
    parts: Vec<Part>,
    /// The largest bound of what can be pressed no further.
    stuck: i64,
    rounds: u64,
}

impl Press<'_> {
    /// Presses the best plan's frame for some rounds, and all others a little, from what was learnt there.
    fn begin(&mut self, home: usize, prices: Prices) {
        let mut first = Part::whole(home, &self.duals[home], prices, self.known.value);
        while first.is_open(self.known.value)
            && u64::from(first.rounds()) < FIRST_ROUNDS
            && !first.is_settled()
        {
            first.press(&self.duals[home], self.known, &mut self.desks[0]);
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

    /// Bounds frames one after another, each laid out and let go: there are too many to hold.
    fn pass_over(&mut self, problem: &Problem, frames: &[Frame]) {
        let Some(prices) = self.parts.first().map(|p| p.prices(&self.duals[0])) else { return };
        let value = self.known.value;
        for bound in on_two(frames, |frame| {
            dual::bound(problem, frame, &prices, value, PASSING_ROUNDS, &|| (self.known.over)())
        }) {
            self.stuck = self.stuck.max(bound.map_or(value, |(bound, _)| bound));
            self.rounds += u64::from(PASSING_ROUNDS);
        }
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
            match part.split(&self.duals[part.frame()]) {
                Some(two) => now.extend(two),
                None => self.stuck = self.stuck.max(bound),
            }
        }
        self.press_all(&mut now);
        self.parts.extend(now);
        self.sort();
    }

    fn sort(&mut self) {
        let value = self.known.value;
        self.parts.retain(|p| p.is_open(value));
        self.parts.sort_by_key(|p| std::cmp::Reverse(p.bound()));
    }

    /// Presses parts on two threads. None knows of another, so it does not matter who is first.
    fn press_all(&mut self, parts: &mut [Part]) {
        let (duals, known) = (&self.duals, self.known);
        let before: u64 = parts.iter().map(|p| u64::from(p.rounds())).sum();
        let [mine, other] = &mut self.desks;
        let (evens, odds): (Vec<_>, Vec<_>) = parts.iter_mut().enumerate().partition(|(i, _)| i % 2 == 0);
        let work = |parts: Vec<(usize, &mut Part)>, desk: &mut Desk| {
            for (_, part) in parts {
                part.press(&duals[part.frame()], known, desk);
            }
        };
        std::thread::scope(|scope| {
            scope.spawn(|| work(odds, other));
            work(evens, mine);
        });
        self.rounds += parts.iter().map(|p| u64::from(p.rounds())).sum::<u64>() - before;
    }
}
