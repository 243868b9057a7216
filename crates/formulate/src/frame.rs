//! Frames: which days the sessions are on and what each is for. The search runs inside a frame; an outer loop
//! goes over frames.

use crate::focus::belongs;
use crate::lift::COUNTS;
use crate::problem::Problem;
use crate::rules::days::{all_day_sets, least_alike_gap};
use crate::rules::sport_days;
pub use crate::units::SESSIONS;
use setwright_model::brief::{Aim, Focus, Lock, Priority};
use setwright_model::pattern::Region;
use setwright_model::{Hours, Muscle, Pattern};
use setwright_science::rules::spine_neighbours;

/// Hour of the day that sessions are reckoned to start at; only differences matter.
const START_H: f64 = 18.0;
/// From this many sessions a week on, sessions are split so that each has a focus that can be named (judgement;
/// common practice, no source (T)).
const SPLIT_FROM: f64 = 3.5;
/// Muscles that are trained on any day where the client came for them and the brief says how much or how often: small ones
/// that cost the day's work nothing (judgement). Otherwise a session holds what its name says.
const ANYWHERE: [Muscle; 6] =
    [Muscle::Biceps, Muscle::Triceps, Muscle::SideDelts, Muscle::RearDelts, Muscle::Forearms, Muscle::Calves];

/// Days and foci of a cycle, and what follows from them.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    /// Day of each session, from 1, ascending.
    pub days: Vec<u32>,
    /// What each session is for.
    pub focus: Vec<Focus>,
    /// `carry[m][part][to]`: strain at the session `to` of a quarter-set given in every session that is `part`, its own
    /// dose included.
    pub carry: Vec<[[i32; SESSIONS]; SESSIONS]>,
    /// Pairs of different sessions so near somewhere in the cycle that only one may load the spine heavily; a session
    /// that is near itself makes a pair with itself.
    pub spine_pairs: Vec<(usize, usize)>,
    /// `eligible[part][lift]`.
    pub eligible: Vec<Vec<bool>>,
    /// `least[part]`: least of what the rules count in it; `i16::MIN` where nothing is asked.
    pub least: Vec<[i16; COUNTS]>,
    /// What a unit of each count weighs where it is short.
    weight: [i64; COUNTS],
}

impl Frame {
    /// The frame of these days and foci.
    pub fn new(problem: &Problem, days: &[u32], focus: &[Focus]) -> Self {
        let starts: Vec<Hours> = days.iter().map(|d| Hours(f64::from(d - 1) * 24.0 + START_H)).collect();
        let cycle = Hours(f64::from(problem.brief.time.cycle_days) * 24.0);
        let carry = (0..Muscle::COUNT).map(|m| carries(problem, m, &starts, cycle)).collect();
        let parts = problem.parts();
        let eligible: Vec<Vec<bool>> = (0..parts).map(|p| eligible(problem, p, days, focus)).collect();
        let mut weight = [0; COUNTS];
        weight.iter_mut().zip(&problem.quotas.counts).for_each(|(w, c)| *w = c.weight);
        Self {
            days: days.to_vec(),
            focus: focus.to_vec(),
            carry,
            spine_pairs: spine_pairs(problem, &starts, cycle),
            least: (0..parts).map(|p| least(problem, focus[p], &eligible[p])).collect(),
            eligible,
            weight,
        }
    }

    /// Units that what the rules count in a session is short of its least.
    #[inline]
    pub fn counts_short(&self, part: usize, counts: &[i16; COUNTS]) -> i64 {
        let mut short = 0;
        for ((least, count), weight) in self.least[part].iter().zip(counts).zip(self.weight) {
            short += weight * i64::from((i32::from(*least) - i32::from(*count)).max(0));
        }
        short
    }

    /// Number of different sessions.
    pub fn parts(&self) -> usize {
        self.eligible.len()
    }

    /// Whether a session must keep the balances by itself: a whole-body one.
    pub fn balanced(&self, session: usize) -> bool {
        self.focus[session] == Focus::WholeBody
    }

    /// Number of sessions of the cycle.
    pub fn sessions(&self) -> usize {
        self.days.len()
    }
}

fn carries(problem: &Problem, muscle: usize, starts: &[Hours], cycle: Hours) -> [[i32; SESSIONS]; SESSIONS] {
    let mut out = [[0; SESSIONS]; SESSIONS];
    for (from, &start) in starts.iter().enumerate() {
        let part = problem.part_of[from];
        for (to, &end) in starts.iter().enumerate() {
            out[part][to] += problem.tables.carry(muscle, start, end, cycle);
        }
        out[part][from] += (crate::tables::STRAIN_UNIT / 4.0) as i32;
    }
    out
}

fn spine_pairs(problem: &Problem, starts: &[Hours], cycle: Hours) -> Vec<(usize, usize)> {
    let n = starts.len();
    let mut pairs = Vec::new();
    for a in 0..n {
        for b in a + 1..n {
            let gap_h = starts[b].get() - starts[a].get();
            if spine_neighbours(Hours(gap_h)) || spine_neighbours(Hours(cycle.get() - gap_h)) {
                let (a, b) = (problem.part_of[a], problem.part_of[b]);
                pairs.push((a.min(b), a.max(b)));
            }
        }
    }
    pairs.sort_unstable();
    pairs.dedup();
    pairs
}

/// Least of what the rules count in a session, where something there can serve.
fn least(problem: &Problem, focus: Focus, eligible: &[bool]) -> [i16; COUNTS] {
    let mut out = [i16::MIN; COUNTS];
    for (k, count) in problem.quotas.counts.iter().enumerate() {
        let serves = || eligible.iter().zip(&problem.tables.signs).any(|(e, signs)| *e && signs[k] > 0);
        if let Some((least, _)) = count.session_least.filter(|(_, of)| of(focus) && serves()) {
            out[k] = least;
        }
    }
    out
}

/// Lifts of a session's focus, single joints for what the client came for, and those that the coach has locked into
/// it, or into no session where none is for them: something for the whole body, a throw.
fn eligible(problem: &Problem, session: usize, days: &[u32], foci: &[Focus]) -> Vec<bool> {
    let top = |e: &setwright_model::Exercise| {
        let small = e.prime().filter(|m| ANYWHERE.contains(m));
        let wish = small.and_then(|m| problem.brief.muscles.get(&m));
        !e.pattern.is_compound()
            && problem.brief.style.focus.is_empty()
            && wish.is_some_and(|w| {
                w.priority == Some(Priority::Top) && (w.least.is_some() || w.sessions.is_some())
            })
            && rests_between(problem, session, days, foci, e)
    };
    let mut out: Vec<bool> = problem
        .lifts
        .iter()
        .map(|l| {
            belongs(foci[session], l.exercise.pattern) || top(&l.exercise) || is_carried(problem, &l.exercise)
        })
        .collect();
    for (lift, lock) in &problem.locks {
        let pattern = problem.lifts[*lift].exercise.pattern;
        let nowhere = || !foci.iter().any(|f| belongs(*f, pattern));
        out[*lift] |= lock.session.map_or_else(nowhere, |s| s == session as u32 + 1);
    }
    if is_for_light_work(problem, session, days) {
        let spares_legs = is_on_an_eve(problem, session, days) && trains_arms(foci[session]);
        let fixed = |lift: usize| {
            let here = |lock: &Lock| lock.session.is_none_or(|s| s == session as u32 + 1);
            problem.locks.iter().any(|(l, lock)| *l == lift && here(lock))
        };
        for (lift, is_for) in out.iter_mut().enumerate() {
            let e = &problem.lifts[lift].exercise;
            let legs = spares_legs && e.pattern.region() == Region::Lower;
            *is_for &= !(legs || sport_days::is_heavy(e)) || fixed(lift);
        }
    }
    out
}

/// Whether something is carried because the client wants to carry better: in halves of the body it ends either of them.
fn is_carried(problem: &Problem, e: &setwright_model::Exercise) -> bool {
    let open = problem.brief.style.focus.is_empty();
    open && problem.brief.aims.contains(&Aim::Carrying) && e.pattern == Pattern::Carry
}

/// Whether a session falls on a match or beside one, in any of its turns, and another does not.
fn is_for_light_work(problem: &Problem, session: usize, days: &[u32]) -> bool {
    let beside =
        |part| falls_on(problem, part, days, |day| sport_days::is_beside_a_match(&problem.brief, day));
    beside(session) && (0..problem.parts()).any(|part| !beside(part))
}

/// Whether a session falls on the eve of a match, or on its day, in any of its turns.
fn is_on_an_eve(problem: &Problem, session: usize, days: &[u32]) -> bool {
    falls_on(problem, session, days, |day| sport_days::is_before_a_match(&problem.brief, day))
}

fn falls_on(problem: &Problem, session: usize, days: &[u32], is: impl Fn(u32) -> bool) -> bool {
    days.iter().zip(&problem.part_of).any(|(day, part)| *part == session && is(*day))
}

/// Whether a session of a focus is one without legs too.
const fn trains_arms(focus: Focus) -> bool {
    !matches!(focus, Focus::Lower | Focus::Legs)
}

/// Whether what comes in a session of another focus is a day away from the sessions of its own, or more sessions are asked than
/// those: a muscle that is worked to the end does not grow by being worked again the next day (common practice, no source (T)).
fn rests_between(
    problem: &Problem,
    session: usize,
    days: &[u32],
    foci: &[Focus],
    e: &setwright_model::Exercise,
) -> bool {
    let own: Vec<usize> = (0..foci.len()).filter(|s| belongs(foci[*s], e.pattern)).collect();
    let asked = e.prime().and_then(|m| problem.brief.muscles.get(&m)?.sessions);
    let cycle = problem.brief.time.cycle_days;
    let is_next = |other: &usize| {
        let gap = days[*other].abs_diff(days[session]);
        gap.min(cycle - gap) <= 1
    };
    asked.is_some_and(|n| n as usize > own.len()) || problem.parts() != days.len() || !own.iter().any(is_next)
}

/// Up to so many sessions may all be for the whole body, however near they are (common practice, no source (T)).
const FEW: usize = 3;

/// All frames of a problem, most evenly spread days first.
pub fn frames(problem: &Problem) -> Vec<Frame> {
    let mut out = Vec::new();
    let sets = day_sets(problem);
    for focus in foci(problem) {
        let apart = |days: &[u32]| least_alike_gap(days, &focus, problem.brief.time.cycle_days);
        let widest = sets.iter().map(|days| apart(days)).max().unwrap_or(0);
        for days in sets.iter().filter(|days| is_before(problem, days) || apart(days) >= widest) {
            out.push(Frame::new(problem, days, &focus));
        }
    }
    // The days of the programme before come first, so that they are among those searched.
    out.sort_by_key(|f| (!is_before(problem, &f.days), unevenness(&f.days, problem.brief.time.cycle_days)));
    out
}

/// Whether these are the days of the programme before.
fn is_before(problem: &Problem, days: &[u32]) -> bool {
    let before = problem.brief.style.before.as_ref();
    before.is_some_and(|b| b.sessions.iter().map(|s| s.day).eq(days.iter().copied()))
}

/// The foci to try: the brief's own, or what coaches use for this number of sessions (common practice, no
/// source (T)).
fn foci(problem: &Problem) -> Vec<Vec<Focus>> {
    let n = problem.brief.time.sessions as usize;
    let given = &problem.brief.style.focus;
    if !given.is_empty() {
        return vec![(0..n).map(|s| given[s % given.len()]).collect()];
    }
    let a_week = n as f64 * 7.0 / f64::from(problem.brief.time.cycle_days);
    if !problem.halves && (problem.rules.whole_body_only || a_week < SPLIT_FROM) {
        return vec![vec![Focus::WholeBody; n]];
    }
    let mut out = turns(problem, &[Focus::Upper, Focus::Lower]);
    if n.is_multiple_of(3) {
        out.extend(turns(problem, &[Focus::Push, Focus::Pull, Focus::Legs]));
    }
    if n <= FEW && !problem.halves {
        // Halves in turn would have one of them once a cycle.
        out.push(vec![Focus::WholeBody; n]);
    }
    out
}

/// A list of foci over and over, beginning with each of them where that makes another cycle: where it does not come out even,
/// so that one of them has a session more; where a lock or the programme before names a session; where sessions differ in
/// their minutes; and where days are not all alike.
fn turns(problem: &Problem, list: &[Focus]) -> Vec<Vec<Focus>> {
    let time = &problem.brief.time;
    let n = time.sessions as usize;
    let minutes_differ = problem.minutes_units.windows(2).any(|w| w[0] != w[1]);
    let all = !n.is_multiple_of(list.len())
        || sessions_are_named(problem)
        || minutes_differ
        || days_differ(problem);
    let starts = if all { list.len() } else { 1 };
    let mut out: Vec<Vec<Focus>> =
        (0..starts).map(|first| (0..n).map(|s| list[(first + s) % list.len()]).collect()).collect();
    if starts == 1 && list.len() == 2 {
        // Of two halves in turn the one that trains what matters most opens the cycle.
        let first = usize::from(!serves_a_priority(problem, list[0]) && serves_a_priority(problem, list[1]));
        return vec![(0..n).map(|s| list[(first + s) % 2]).collect()];
    }
    // The session more goes to what the client came for.
    let visits = |foci: &Vec<Focus>| foci.iter().filter(|f| serves_a_priority(problem, **f)).count();
    let most = out.iter().map(visits).max().unwrap_or(0);
    out.retain(|foci| visits(foci) >= most);
    out
}

/// Whether a session of a focus trains what matters most to the client.
fn serves_a_priority(problem: &Problem, focus: Focus) -> bool {
    let wishes = || problem.brief.muscles.iter().filter_map(|(m, w)| Some((*m, w.priority?)));
    let Some(top) = wishes().map(|(_, p)| p).filter(|p| *p >= Priority::High).max() else { return false };
    let serves = |m: Muscle| {
        problem.lifts.iter().any(|l| l.exercise.prime() == Some(m) && belongs(focus, l.exercise.pattern))
    };
    wishes().any(|(m, p)| p == top && serves(m))
}

/// The day sets to try. Where every day is possible, sets that are turns of one another count once: the cycle
/// repeats, so only the gaps matter.
pub fn day_sets(problem: &Problem) -> Vec<Vec<u32>> {
    let time = &problem.brief.time;
    let all = all_day_sets(&problem.brief);
    if days_differ(problem) {
        return all;
    }
    // A cycle may begin on any day: only the gaps count, and their turns only where sessions differ.
    let turns_matter = has_session_bound_parts(problem);
    let keep = |d: &Vec<u32>| {
        if turns_matter { d.first() == Some(&1) } else { is_first_turn(d, time.cycle_days) }
    };
    all.into_iter().filter(keep).collect()
}

/// Whether one day is not as good as another: some are named, or a sport has its hard ones.
fn days_differ(problem: &Problem) -> bool {
    let time = &problem.brief.time;
    let named = !time.days.is_empty() || !time.possible_days.is_empty();
    named || problem.brief.sport.has_days()
}

fn has_session_bound_parts(problem: &Problem) -> bool {
    let minutes = &problem.minutes_units;
    sessions_are_named(problem)
        || !problem.part_of.len().is_multiple_of(problem.parts().max(1))
        || minutes.windows(2).any(|w| w[0] != w[1])
        || problem.brief.style.focus.windows(2).any(|w| w[0] != w[1])
}

/// Whether a lock or the programme before speaks of sessions by their number.
fn sessions_are_named(problem: &Problem) -> bool {
    problem.brief.style.before.is_some() || problem.brief.locks.iter().any(|l| l.session.is_some())
}

/// Whether a set starts on day 1 and its gaps are the first of their turns in lexicographic order, largest
/// first, so that each necklace of gaps is taken once.
fn is_first_turn(days: &[u32], cycle: u32) -> bool {
    if days.first() != Some(&1) {
        return false;
    }
    let gaps = gaps(days, cycle);
    (1..gaps.len()).all(|t| {
        let turned = gaps[t..].iter().chain(&gaps[..t]);
        gaps.iter().le(turned)
    })
}

fn gaps(days: &[u32], cycle: u32) -> Vec<u32> {
    (0..days.len())
        .map(|i| if i + 1 < days.len() { days[i + 1] - days[i] } else { days[0] + cycle - days[i] })
        .collect()
}

/// How far the gaps are from even: the sum of their squares.
fn unevenness(days: &[u32], cycle: u32) -> u32 {
    gaps(days, cycle).iter().map(|g| g * g).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::days::combinations;

    #[test]
    fn sets_that_are_turns_of_one_another_count_once() {
        let turns = |k: usize, cycle: u32| {
            let all: Vec<u32> = (1..=cycle).collect();
            combinations(&all, k).into_iter().filter(|d| is_first_turn(d, cycle)).count()
        };
        // Necklaces of k beads in n places: C(7,3)/7 and C(7,4)/7, since 7 is prime.
        assert_eq!(turns(3, 7), 5);
        assert_eq!(turns(4, 7), 5);
        // Six places, two beads: gaps 1, 2 and 3.
        assert_eq!(turns(2, 6), 3);
        // Every class of nine places with five beads is one of 126 / 9.
        assert_eq!(turns(5, 9), 14);
    }

    #[test]
    fn every_turn_of_a_set_has_the_same_first_turn() {
        let (k, cycle) = (4, 10);
        let all: Vec<u32> = (1..=cycle).collect();
        for days in combinations(&all, k) {
            let firsts = (0..cycle)
                .map(|shift| {
                    let mut turned: Vec<u32> = days.iter().map(|d| (d - 1 + shift) % cycle + 1).collect();
                    turned.sort_unstable();
                    turned
                })
                .filter(|d| is_first_turn(d, cycle))
                .collect::<std::collections::BTreeSet<_>>();
            assert_eq!(firsts.len(), 1, "{days:?}");
        }
    }

    #[test]
    fn gaps_go_round_the_cycle() {
        assert_eq!(gaps(&[1, 3, 5], 7), [2, 2, 3]);
        assert_eq!(gaps(&[4], 9), [9]);
        assert!(unevenness(&[1, 3, 5], 7) < unevenness(&[1, 2, 3], 7));
    }
}
