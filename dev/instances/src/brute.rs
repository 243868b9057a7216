//! The best programme of a tiny problem by going through all of them, written from the rules.
//!
//! Must not use the planner's sums, checks, moves, state, session solver or bound. Two cuts keep it quick, both
//! proven and both switched off by [`Cuts::None`]: of sessions with the same lifts and sets one that takes no
//! less time and brings no more to any muscle is left out; and a benefit that is concave brings no more
//! together than apart, which closes branches.

mod session;
mod whole;

pub use session::{Block, Session};

use setwright_formulate::frame::Frame;
use setwright_formulate::plan::{Blocks, NONE, Plan, PlanBlock};
use setwright_formulate::problem::Problem;
use setwright_model::brief::{Focus, Priority, TrainingAge};
use setwright_model::{Exercise, Muscle};

pub(crate) const M: usize = Muscle::COUNT;

/// Whether branches that cannot win are cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cuts {
    /// Everything is gone through.
    None,
    /// What is proven not to win is left out.
    Proven,
}

/// There are more combinations of sessions than were allowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooMany(pub u64);

/// The best value of a frame, and sessions that reach it.
#[derive(Clone, Debug, PartialEq)]
pub struct Best {
    /// Value in millionths of a point.
    pub value: i64,
    /// The sessions.
    pub sessions: Vec<Session>,
}

impl Best {
    /// The same as the planner writes it.
    pub fn plan(&self) -> Plan {
        let slot = |b: &Block| PlanBlock {
            a: b.first as u16,
            b: b.second.map_or(NONE, |l| l as u16),
            sets: b.sets,
            mode: b.mode,
        };
        Plan {
            sessions: self.sessions.iter().map(|s| s.blocks.iter().map(slot).collect::<Blocks>()).collect(),
        }
    }
}

/// A frame and its best value; `None` when nothing in it keeps every rule.
pub type InFrame = (Frame, Option<Best>);

/// Goes through every frame of a problem with fewer than four sessions. `most` limits the combinations.
///
/// # Errors
/// When there are more combinations.
pub fn solve(problem: &Problem, cuts: Cuts, most: u64) -> Result<Vec<InFrame>, TooMany> {
    let frames = frames(problem);
    let possible = problem.broken_locks.is_empty();
    let mut lists: Vec<(Vec<bool>, usize, Vec<Session>)> = Vec::new();
    let mut left = most;
    let mut out = Vec::new();
    for frame in frames {
        let mut of_frame = Vec::new();
        for (s, eligible) in frame.eligible.iter().enumerate() {
            let at = lists.iter().position(|(e, session, _)| e == eligible && *session == s);
            of_frame.push(at.unwrap_or_else(|| {
                lists.push((eligible.clone(), s, session::all(problem, s, eligible, cuts)));
                lists.len() - 1
            }));
        }
        let sessions: Vec<&[Session]> = of_frame.iter().map(|&i| lists[i].2.as_slice()).collect();
        let combinations = sessions.iter().map(|l| l.len() as u64).product();
        left = left.checked_sub(combinations).ok_or(TooMany(most))?;
        let best = if possible { whole::best(problem, &frame, &sessions, cuts) } else { None };
        out.push((frame, best));
    }
    Ok(out)
}

/// The best over all frames.
pub fn best(frames: &[InFrame]) -> Option<&Best> {
    frames.iter().filter_map(|(_, best)| best.as_ref()).max_by_key(|best| best.value)
}

/// All day sets and foci, whatever turns into whatever; those with the same effects are taken once.
fn frames(problem: &Problem) -> Vec<Frame> {
    let mut out: Vec<Frame> = Vec::new();
    let sets = day_sets(problem);
    let cycle = problem.brief.time.cycle_days;
    let widest = sets.iter().map(|d| closest(d, cycle)).max().unwrap_or(0);
    for focus in foci(problem, widest) {
        // Sessions of the whole body lie as far apart as they can.
        let whole = focus.iter().all(|f| *f == Focus::WholeBody);
        for days in sets.iter().filter(|d| !whole || closest(d, cycle) == widest) {
            let frame = Frame::new(problem, days, &focus);
            let same =
                |f: &Frame| f.carry == frame.carry && f.spine_pairs == frame.spine_pairs && f.focus == focus;
            if !out.iter().any(same) {
                out.push(frame);
            }
        }
    }
    out
}

/// Days from a session to the next at least, round the end of the cycle.
fn closest(days: &[u32], cycle: u32) -> u32 {
    let next = |i: usize| if i + 1 < days.len() { days[i + 1] } else { days[0] + cycle };
    (0..days.len()).map(|i| next(i) - days[i]).min().unwrap_or(cycle)
}

fn day_sets(problem: &Problem) -> Vec<Vec<u32>> {
    let time = &problem.brief.time;
    let k = time.sessions as usize;
    let free: Vec<u32> = (1..=time.cycle_days).collect();
    let possible = match (time.days.is_empty(), time.possible_days.is_empty()) {
        (false, _) => &time.days,
        (true, false) => &time.possible_days,
        (true, true) => &free,
    };
    (0..1u32 << time.cycle_days)
        .map(|mask| (1..=time.cycle_days).filter(|d| mask >> (d - 1) & 1 == 1).collect::<Vec<u32>>())
        .filter(|days| days.len() == k && days.iter().all(|d| possible.contains(d)))
        .collect()
}

/// The brief's foci; else whole-body sessions, or, from three and a half sessions a week on and once the client
/// may split, upper and lower in turn, and push, pull and legs where they come out even; from any of them on where
/// a lock names a session. Up to three may be whole-body sessions all the same.
fn foci(problem: &Problem, widest: u32) -> Vec<Vec<Focus>> {
    let time = &problem.brief.time;
    let in_turn = |list: &[Focus]| (0..time.sessions as usize).map(|s| list[s % list.len()]).collect();
    let given = &problem.brief.style.focus;
    if !given.is_empty() {
        return vec![in_turn(given)];
    }
    // Where they would meet on neighbouring days, they become halves; for a beginner from four on, never in the first weeks.
    let from = match problem.brief.training_age {
        TrainingAge::FirstWeeks => u32::MAX,
        TrainingAge::Beginner => 4,
        TrainingAge::Intermediate | TrainingAge::Advanced => 2,
    };
    let halves = widest <= 1 && time.sessions >= from;
    if !halves && (problem.rules.whole_body_only || 2 * time.sessions < time.cycle_days) {
        return vec![in_turn(&[Focus::WholeBody])];
    }
    let (upper, lower) = (Focus::Upper, Focus::Lower);
    let (push, pull, legs) = (Focus::Push, Focus::Pull, Focus::Legs);
    let mut lists = vec![vec![upper, lower], vec![lower, upper]];
    if time.sessions.is_multiple_of(3) {
        lists.extend([vec![push, pull, legs], vec![pull, legs, push], vec![legs, push, pull]]);
    }
    // Where no lock names a session, sessions are as long as each other and the days are free, the days alone tell them apart,
    // unless one comes once more than another.
    let named = problem.brief.locks.iter().any(|l| l.session.is_some())
        || !time.days.is_empty()
        || !time.possible_days.is_empty()
        || problem.brief.sport.has_days()
        || (1..time.sessions as usize).any(|s| time.minutes.of(s) != time.minutes.of(0));
    let kept = |l: &&Vec<Focus>| {
        named || !(time.sessions as usize).is_multiple_of(l.len()) || l[0] == upper || l[0] == push
    };
    let of_length = |n: usize| -> Vec<Vec<Focus>> {
        let all: Vec<_> = lists.iter().filter(|l| l.len() == n).filter(kept).map(|l| in_turn(l)).collect();
        for_the_priority(problem, all)
    };
    let mut out: Vec<Vec<Focus>> = of_length(2).into_iter().chain(of_length(3)).collect();
    if !halves && time.sessions <= 3 {
        out.push(in_turn(&[Focus::WholeBody]));
    }
    out
}

/// Of foci in turn, those that give most sessions to the muscles that matter most, where some matter more than others.
fn for_the_priority(problem: &Problem, all: Vec<Vec<Focus>>) -> Vec<Vec<Focus>> {
    let high = |p: Option<Priority>| p.filter(|p| matches!(p, Priority::High | Priority::Top));
    let top = problem.brief.muscles.values().filter_map(|w| high(w.priority)).max();
    let matters = |m: Muscle| top.is_some() && problem.brief.muscles.get(&m).and_then(|w| w.priority) == top;
    let trains = |focus: Focus| {
        let is_for = |e: &Exercise| setwright_formulate::focus::belongs(focus, e.pattern);
        let mut lifts = problem.lifts.iter().map(|l| &l.exercise);
        lifts.any(|e| e.prime().is_some_and(matters) && is_for(e))
    };
    let visits = |foci: &Vec<Focus>| foci.iter().filter(|f| trains(**f)).count();
    let most = all.iter().map(visits).max().unwrap_or(0);
    all.into_iter().filter(|foci| visits(foci) == most).collect()
}
