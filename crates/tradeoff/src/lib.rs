//! The trade-off of minutes against benefit: the same brief with shorter and longer sessions.
//!
//! Invariant: more time never brings less. A programme that fits the shorter sessions fits the longer ones and is taken
//! over; what nothing passes in the longer sessions, nothing passes in the shorter ones. Every bound is one over
//! all frames. Nothing here judges what the curve means.

use setwright_formulate::frame::{Frame, frames};
use setwright_formulate::problem::{Problem, compile, minutes_units};
use setwright_formulate::tables::POINT;
use setwright_model::brief::MinutesPerSession;
use setwright_model::limits::{SESSION_MINUTES_MAX, SESSION_MINUTES_MIN};
use setwright_model::{Belief, Brief, Catalogue, Minutes, Programme};
use setwright_optimise::bounds::{BoundEffort, press};
use setwright_optimise::budget::Budget;
use setwright_optimise::conflict::is_disproven;
use setwright_optimise::cores::on_all;
use setwright_optimise::finder::{RunStart, SearchGround, anneal};
use setwright_optimise::found::{Found, Placed};
use setwright_optimise::moves::Pools;
use setwright_optimise::realise;
use setwright_optimise::rng::Rng;
use setwright_optimise::search::{Searched, search};
use setwright_optimise::solve::{USUAL_TOLERANCE, close};

/// Points of the curve, where the limits of a session leave room for them.
pub const POINTS: usize = 11;
/// Minutes by which neighbouring points may differ; the one nearest to a tenth of a session is taken.
const STEPS_MIN: [f64; 5] = [1.0, 2.0, 5.0, 10.0, 15.0];
/// Frames of the brief's own plans that the other points are also begun in.
const FRAMES_TRIED: usize = 4;
/// Effort of the bound at a point: there are many points, and a coach waits for all.
const EFFORT: BoundEffort = BoundEffort { rounds: 300, gap: 0.01 };
/// Number of the first stream of chance; far from those of a usual search.
const STREAMS: u64 = 1 << 20;

/// A point of the curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Minutes that every session has more than the brief gives it; less where negative.
    pub change: Minutes,
    /// Minutes of each session.
    pub minutes: Vec<Minutes>,
    /// Value of the best programme found, in points; absent where none was found that keeps every rule.
    pub value: Option<f64>,
    /// What no programme passes, in points; absent where it is proven that there is none.
    pub bound: Option<f64>,
    /// Whether it is proven that no programme keeps every rule.
    pub ruled_out: bool,
    /// The best programme found, not yet certified.
    pub programme: Option<Programme>,
}

/// The curve of a brief, from the shortest sessions to the longest.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TradeOffCurve {
    /// Its points.
    pub points: Vec<Point>,
    /// Index of the point that has the brief's own minutes.
    pub own: usize,
    /// Moves of the search and rounds of the bound.
    pub nodes: u64,
}

/// The curve of a brief. The brief's own minutes are searched and bounded as `solve` does with the same budget; what it finds in a further
/// search, where much is left, may be better by a little. Each other point is given half as many moves and begins from its neighbours. `told`
/// hears how many points are bounded.
pub fn curve(
    brief: &Brief,
    catalogue: &Catalogue,
    belief: &Belief,
    budget: &Budget<'_>,
    told: &mut dyn FnMut(usize),
) -> TradeOffCurve {
    let changes = changes(brief);
    let own = changes.iter().position(|c| *c == 0.0).unwrap_or(0);
    let mut problem = compile(brief, catalogue, belief, false);
    let mut sweep = searched(&problem, &changes, own, budget);
    // As the plan does: what a programme is better without than not at all is given up where there is none with it.
    while let Some(eased) = problem.eased().filter(|_| !sweep.is_met(own) && problem.broken_locks.is_empty())
    {
        problem = eased;
        sweep = searched(&problem, &changes, own, budget);
    }
    let bounds = sweep.bounds(own, told);
    let points = changes.iter().enumerate().map(|(i, change)| sweep.point(i, *change, bounds[i], belief));
    TradeOffCurve { points: points.collect(), own, nodes: sweep.nodes }
}

/// All points of a problem, searched and not yet bounded.
fn searched<'a>(problem: &Problem, changes: &[f64], own: usize, budget: &'a Budget<'a>) -> Sweep<'a> {
    let problems: Vec<Problem> = changes.iter().map(|c| with_change(problem, *c)).collect();
    let mut sweep = Sweep {
        frames: frames(problem),
        best: vec![None; problems.len()],
        closed: vec![false; problems.len()],
        problems,
        tried: Vec::new(),
        budget,
        nodes: 0,
        stream: STREAMS,
    };
    if problem.broken_locks.is_empty() {
        sweep.search(own);
    }
    sweep
}

/// What each session gains or loses at each point. Where the limits of a session cut one end off, the other end
/// is longer.
fn changes(brief: &Brief) -> Vec<f64> {
    let minutes: Vec<f64> =
        (0..brief.time.sessions as usize).map(|s| brief.time.minutes.of(s).get()).collect();
    let longest = minutes.iter().copied().fold(0.0, f64::max);
    let shortest = minutes.iter().copied().fold(f64::INFINITY, f64::min).min(longest);
    let wanted = minutes.iter().sum::<f64>() / minutes.len().max(1) as f64 / 10.0;
    let off = |step: f64| (step / wanted.max(0.1)).max(wanted / step);
    let step = STEPS_MIN.into_iter().min_by(|a, b| off(*a).total_cmp(&off(*b))).unwrap_or(1.0);
    let lowest = ((SESSION_MINUTES_MIN - longest) / step).ceil().min(0.0) as i32;
    let highest = ((SESSION_MINUTES_MAX - shortest) / step).floor().max(0.0) as i32;
    let half = (POINTS / 2) as i32;
    let last = highest.min((-half).max(lowest) + 2 * half);
    let first = lowest.max(last - 2 * half);
    (first..=last).map(|k| f64::from(k) * step).collect()
}

/// The problem with every session that much longer, within the limits of a session.
pub fn with_change(problem: &Problem, change: f64) -> Problem {
    let mut out = problem.clone();
    let time = &mut out.brief.time;
    let changed = |minutes: Minutes| {
        let own = minutes.get();
        Minutes((own + change).clamp(SESSION_MINUTES_MIN.min(own), SESSION_MINUTES_MAX.max(own)))
    };
    time.minutes = match &time.minutes {
        MinutesPerSession::Same(own) => MinutesPerSession::Same(changed(*own)),
        MinutesPerSession::Each(_) => MinutesPerSession::Each(
            (0..time.sessions as usize).map(|s| changed(time.minutes.of(s))).collect(),
        ),
    };
    // What the amounts and the rules of the brief's own minutes ask stays: only the time changes.
    out.minutes_units = minutes_units(&out.brief).into_iter().take(out.parts()).collect();
    out
}

/// All points at work.
struct Sweep<'a> {
    problems: Vec<Problem>,
    frames: Vec<Frame>,
    /// Best plan of each point; those that are short of something are only where to begin.
    best: Vec<Option<Placed>>,
    /// Whether the best is proven, or that there is none.
    closed: Vec<bool>,
    /// Frames in which new plans are begun.
    tried: Vec<usize>,
    budget: &'a Budget<'a>,
    nodes: u64,
    stream: u64,
}

impl Sweep<'_> {
    /// Whether a point has a programme.
    fn is_met(&self, i: usize) -> bool {
        self.best[i].as_ref().is_some_and(|best| best.found.short == 0)
    }

    /// The brief's own minutes and both ends by search; then all points from the longer, and all from the shorter.
    fn search(&mut self, own: usize) {
        let last = self.problems.len() - 1;
        self.whole_search(own, self.budget.moves);
        for end in [0, last].into_iter().filter(|e| *e != own) {
            self.whole_search(end, self.budget.moves / 4);
        }
        let moves = (self.budget.moves / 8).max(1);
        for i in (0..last).rev() {
            self.improve(i, i + 1, moves);
        }
        for i in 1..=last {
            self.take_over(i);
            self.improve(i, i - 1, moves);
        }
        for i in 0..=last {
            self.take_over(i);
            self.close(i);
        }
    }

    fn whole_search(&mut self, i: usize, moves: u64) {
        let budget = Budget { moves, ..*self.budget };
        let mut searched = search(&self.problems[i], &self.frames, &budget, &mut |_| {});
        self.nodes += searched.moves;
        searched.frames.sort_by_key(|p| (p.found.short, -p.found.value));
        for placed in searched.frames.iter().take(FRAMES_TRIED) {
            if !self.tried.contains(&placed.frame) {
                self.tried.push(placed.frame);
            }
        }
        self.keep(i, searched.best);
    }

    fn keep(&mut self, i: usize, found: Option<Placed>) {
        let better = match (&self.best[i], &found) {
            (Some(old), Some(new)) => new.found.beats(&old.found),
            (None, Some(_)) => true,
            (_, None) => false,
        };
        if better {
            self.best[i] = found;
        }
    }

    /// What fits shorter sessions fits these.
    fn take_over(&mut self, i: usize) {
        if let Some(shorter) = i.checked_sub(1).map(|s| self.best[s].clone()) {
            self.keep(i, shorter);
        }
    }

    /// Two runs on two threads: from the neighbour's plan as far as it fits, and anew in one of the frames tried.
    fn improve(&mut self, i: usize, neighbour: usize, moves: u64) {
        let warm = self.best[neighbour].clone();
        let anew = self.tried.get(self.stream as usize % self.tried.len().max(1)).copied().unwrap_or(0);
        let home = warm.as_ref().map_or(anew, |w| w.frame);
        let streams = [self.stream, self.stream + 1];
        self.stream += 2;
        let run = |(frame, warm, stream): &(usize, Option<&Found>, u64)| {
            let (problem, home) = (&self.problems[i], &self.frames[*frame]);
            let pools = Pools::new(problem, home);
            let mut rng = Rng::new(self.budget.seed, *stream);
            let over = || self.budget.out_of_time.is_some_and(|f| f());
            let ground = SearchGround { problem, frame: home, pools: &pools, any: false };
            let (found, made) = anneal(ground, RunStart::near(*warm), moves, &mut rng, &over);
            (Placed { frame: *frame, found }, made)
        };
        let starts = [(home, warm.as_ref().map(|w| &w.found), streams[0]), (anew, None, streams[1])];
        for (placed, made) in on_all(&starts, run) {
            self.nodes += made;
            self.keep(i, Some(placed));
        }
    }

    /// Small problems are closed exactly.
    fn close(&mut self, i: usize) {
        let mut searched = Searched { best: self.best[i].take(), ..Searched::default() };
        self.closed[i] = close(&self.problems[i], &self.frames, &mut searched);
        self.nodes += searched.moves;
        self.best[i] = searched.best;
    }

    /// The plan of a point, if it keeps every rule.
    fn kept(&self, i: usize) -> Option<&Placed> {
        self.best[i].as_ref().filter(|p| p.found.short == 0)
    }

    /// What nothing passes at each point, the richest first: a bound holds for all shorter sessions too.
    fn bounds(&mut self, own: usize, told: &mut dyn FnMut(usize)) -> Vec<Bound> {
        let count = self.problems.len();
        let mut out = vec![Bound::RuledOut; count];
        let mut ceiling = None;
        for i in (0..count).rev() {
            let (bound, rounds) = self.own_bound(i, i == own);
            self.nodes += rounds;
            if bound == Bound::RuledOut {
                // Longer sessions that hold nothing leave nothing for shorter ones.
                return out;
            }
            if let Bound::Value(own) = bound {
                ceiling = Some(ceiling.map_or(own, |c: i64| c.min(own)));
            }
            out[i] = ceiling.map_or(Bound::Unknown, Bound::Value);
            told(count - i);
        }
        // What was found on the way fits longer sessions too.
        (1..count).for_each(|i| self.take_over(i));
        out
    }

    /// What nothing passes at a point, over all frames, and the rounds it took; the brief's own minutes as hard as a plan does. What is found
    /// on the way and is better is kept.
    fn own_bound(&mut self, i: usize, own: bool) -> (Bound, u64) {
        match self.kept(i) {
            Some(placed) if self.closed[i] => (Bound::Value(placed.found.value), 0),
            Some(placed) => {
                let (problem, frames) = (&self.problems[i], &self.frames);
                let effort = if own {
                    BoundEffort { gap: USUAL_TOLERANCE, ..BoundEffort::usual(problem) }
                } else {
                    EFFORT
                };
                let pressed = press(problem, frames, placed, self.budget, effort, &mut |_| {});
                self.keep(i, pressed.better);
                (Bound::Value(pressed.bound), pressed.work)
            }
            None if self.closed[i] || is_disproven(&self.problems[i]) => (Bound::RuledOut, 0),
            None => (Bound::Unknown, 0),
        }
    }

    fn point(&self, i: usize, change: f64, bound: Bound, belief: &Belief) -> Point {
        let problem = &self.problems[i];
        let time = &problem.brief.time;
        let kept = self.kept(i);
        Point {
            change: Minutes(change),
            minutes: (0..time.sessions as usize).map(|s| time.minutes.of(s)).collect(),
            value: kept.map(|p| p.found.value as f64 / POINT),
            bound: if let Bound::Value(b) = bound { Some(b as f64 / POINT) } else { None },
            ruled_out: bound == Bound::RuledOut,
            programme: kept
                .map(|p| realise::programme(problem, &self.frames[p.frame], &p.found.plan, belief)),
        }
    }
}

/// What is known from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Bound {
    /// No programme passes this.
    Value(i64),
    /// Nothing is known.
    Unknown,
    /// There is no programme.
    RuledOut,
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_gym::catalogue::builtin;
    use setwright_science::strength;

    /// Minutes of both sessions at each point.
    fn minutes_of(minutes: MinutesPerSession) -> Vec<[f64; 2]> {
        let text = "name = \"A\"\ngoal = \"general\"\ntraining_age = \"beginner\"\ntime = { sessions = 2, minutes = 60 }";
        let mut brief: Brief = toml::from_str(text).unwrap();
        brief.time.minutes = minutes;
        let problem = compile(&brief, builtin(), &strength::belief(&brief, builtin()), false);
        let each = |p: &Problem| [0, 1].map(|s| p.brief.time.minutes.of(s).get());
        changes(&brief).iter().map(|c| each(&with_change(&problem, *c))).collect()
    }

    #[test]
    fn points_are_round_minutes_about_the_briefs_own() {
        let same = |m: f64| -> Vec<f64> {
            minutes_of(MinutesPerSession::Same(Minutes(m))).into_iter().map(|p| p[0]).collect()
        };
        let steps = |from: f64, step: f64| (0..11).map(|k| from + step * f64::from(k)).collect::<Vec<f64>>();
        assert_eq!(same(60.0), steps(35.0, 5.0));
        assert_eq!(same(90.0), steps(40.0, 10.0));
        assert_eq!(same(10.0), steps(10.0, 1.0), "none is shorter than the shortest session");
        assert_eq!(same(180.0), steps(30.0, 15.0), "none is longer than the longest");
        assert_eq!(same(12.5), [&[10.5][..], &steps(11.5, 1.0)[..10]].concat());
    }

    #[test]
    fn sessions_of_different_length_change_together_within_the_limits() {
        let each = MinutesPerSession::Each(vec![Minutes(20.0), Minutes(70.0)]);
        let points = minutes_of(each);
        assert_eq!(points.first(), Some(&[10.0, 45.0]));
        assert_eq!(points.last(), Some(&[45.0, 95.0]));
        assert!(points.contains(&[20.0, 70.0]));
    }
}
