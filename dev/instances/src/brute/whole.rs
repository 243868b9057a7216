//! Every combination of sessions in a frame: the rules of the cycle, and the value.

use super::{Best, Cuts, M, Session};
use setwright_formulate::frame::Frame;
use setwright_formulate::problem::Problem;
use setwright_formulate::tables::STRAIN_UNIT;
use setwright_model::brief::Focus;

/// Room for the rounding of whole numbers in the cut, in millionths of a point.
const ROUNDING: i64 = 500;

/// A session with the most it can add to the value of any plan.
type Rated<'a> = (i64, &'a Session);

struct Search<'a> {
    problem: &'a Problem,
    frame: &'a Frame,
    lists: Vec<Vec<Rated<'a>>>,
    cuts: Cuts,
    chosen: Vec<&'a Session>,
    best: Option<(i64, Vec<&'a Session>)>,
}

/// The best of a frame.
pub fn best(problem: &Problem, frame: &Frame, lists: &[&[Session]], cuts: Cuts) -> Option<Best> {
    let lists = lists
        .iter()
        .enumerate()
        .map(|(part, list)| {
            let copies = i64::from(problem.copies[part]);
            let most = |s: &Session| copies * most_alone(problem, part, s);
            let mut rated: Vec<Rated<'_>> = list.iter().map(|s| (most(s), s)).collect();
            rated.sort_by_key(|(most, _)| -most);
            rated
        })
        .collect();
    let mut search = Search { problem, frame, lists, cuts, chosen: Vec::new(), best: None };
    search.extend(ROUNDING);
    let (value, sessions) = search.best?;
    Some(Best { value, sessions: sessions.into_iter().cloned().collect() })
}

impl Search<'_> {
    fn extend(&mut self, most_so_far: i64) {
        let depth = self.chosen.len();
        if depth == self.lists.len() {
            self.judge();
            return;
        }
        let rest: i64 = self.lists[depth + 1..].iter().map(|l| l.first().map_or(0, |(most, _)| *most)).sum();
        for index in 0..self.lists[depth].len() {
            let (most, session) = self.lists[depth][index];
            let hopeless = self.best.as_ref().is_some_and(|(v, _)| most_so_far + most + rest <= *v);
            if hopeless && self.cuts == Cuts::Proven {
                return;
            }
            self.chosen.push(session);
            self.extend(most_so_far + most);
            self.chosen.pop();
        }
    }

    fn judge(&mut self) {
        if !is_allowed(self.problem, self.frame, &self.chosen) {
            return;
        }
        let value = value(self.problem, self.frame, &self.chosen);
        if self.best.as_ref().is_none_or(|(best, _)| value > *best) {
            self.best = Some((value, self.chosen.clone()));
        }
    }
}

/// Benefit as if the muscles had nothing else, less the strain of its own doses alone and its prices.
fn most_alone(problem: &Problem, part: usize, session: &Session) -> i64 {
    let brings: i64 = session.lifts.iter().map(|l| brings_most(problem, *l)).sum();
    let muscles = (0..M).map(|m| {
        let own = i64::from(session.raw[m]) * (STRAIN_UNIT as i64 / 4);
        benefit(problem, m, i64::from(session.quality[m])) - strain_price(problem, m, own)
    });
    muscles.sum::<i64>() - price(problem, part, session) + brings
}

/// The most that a lift can bring to one of the sessions that have it.
fn brings_most(problem: &Problem, lift: usize) -> i64 {
    let values = problem.tables.lift_value[lift].iter().enumerate().skip(1);
    values.map(|(n, v)| (*v as f64 / n as f64).ceil() as i64).max().unwrap_or(0)
}

/// The rules of the cycle.
fn is_allowed(problem: &Problem, frame: &Frame, sessions: &[&Session]) -> bool {
    let near_clash =
        frame.spine_pairs.iter().any(|&(a, b)| sessions[a].spine_heavy && sessions[b].spine_heavy);
    !near_clash
        && sessions.iter().all(|s| !s.lifts.is_empty())
        && are_counts_kept(problem, frame, sessions)
        && (0..problem.locks.len()).all(|k| is_lock_kept(problem, sessions, k))
        && are_sides_even(problem, sessions, &problem.copies)
        && (0..sessions.len())
            .filter(|s| frame.focus[*s] == Focus::WholeBody)
            .all(|s| are_sides_even(problem, &sessions[s..=s], &[1]))
        && (0..M).all(|m| is_muscle_well(problem, frame, sessions, m))
}

fn is_lock_kept(problem: &Problem, sessions: &[&Session], lock: usize) -> bool {
    match problem.locks[lock].1.session {
        Some(s) => sessions[s as usize - 1].locks_kept[lock],
        None => sessions.iter().any(|s| s.locks_kept[lock]),
    }
}

/// What the rules count: enough in each session and over the cycle, where anything that has a session can serve, and never
/// too much.
fn are_counts_kept(problem: &Problem, frame: &Frame, sessions: &[&Session]) -> bool {
    let serves = |lift: usize, k: usize| problem.tables.signs[lift][k] > 0;
    problem.quotas.counts.iter().enumerate().all(|(k, count)| {
        let whole: i32 = sessions.iter().zip(&problem.copies).map(|(s, n)| n * s.counts[k]).sum();
        let anything = (0..problem.lifts.len()).any(|l| serves(l, k) && frame.eligible.iter().any(|e| e[l]));
        let enough = count.cycle_least.is_none_or(|least| !anything || whole >= i32::from(least));
        let not_too_much = count.cycle_most.is_none_or(|most| whole <= i32::from(most));
        let each = (0..sessions.len()).all(|part| {
            let here = (0..problem.lifts.len()).any(|l| frame.eligible[part][l] && serves(l, k));
            count.session_least.is_none_or(|(least, of)| {
                !here || !of(frame.focus[part]) || sessions[part].counts[k] >= i32::from(least)
            })
        });
        enough && not_too_much && each
    })
}

/// The lesser side has at least three fifths of the greater, less two sets (none in the first weeks): over the cycle, and in a whole-body
/// session by itself.
fn are_sides_even(problem: &Problem, sessions: &[&Session], copies: &[i32]) -> bool {
    let sets = |side: usize| sessions.iter().zip(copies).map(|(s, n)| n * s.sides[side]).sum::<i32>();
    let even = |a: i32, b: i32| 5 * a.min(b) >= 3 * a.max(b) - 5 * problem.balance_slack;
    (!problem.balances[0] || even(sets(0), sets(1))) && (!problem.balances[1] || even(sets(2), sets(3)))
}

fn is_muscle_well(problem: &Problem, frame: &Frame, sessions: &[&Session], m: usize) -> bool {
    let tables = &problem.tables;
    let raw: i32 = sessions.iter().zip(&problem.copies).map(|(s, n)| n * s.raw[m]).sum();
    let trains = |s: &Session| s.raw[m] >= problem.trained_quarters;
    let trained: i32 = sessions.iter().zip(&problem.copies).filter(|(s, _)| trains(s)).map(|(_, n)| n).sum();
    raw >= tables.least[m]
        && raw <= tables.most[m]
        && trained >= problem.sessions_least[m] as i32
        && (0..frame.sessions()).all(|s| strain(frame, sessions, m, s) <= tables.strain_max)
}

fn strain(frame: &Frame, sessions: &[&Session], m: usize, to: usize) -> i64 {
    sessions
        .iter()
        .enumerate()
        .map(|(from, s)| i64::from(s.raw[m]) * i64::from(frame.carry[m][from][to]))
        .sum()
}

/// Value of a plan in millionths of a point.
fn value(problem: &Problem, frame: &Frame, sessions: &[&Session]) -> i64 {
    let muscle = |m: usize| {
        let dose: i64 =
            sessions.iter().zip(&problem.copies).map(|(s, n)| i64::from(*n) * i64::from(s.quality[m])).sum();
        let strains = (0..frame.sessions()).map(|s| strain_price(problem, m, strain(frame, sessions, m, s)));
        benefit(problem, m, dose) - strains.sum::<i64>()
    };
    let prices = sessions
        .iter()
        .enumerate()
        .map(|(part, s)| i64::from(problem.copies[part]) * price(problem, part, s));
    let brings = (0..problem.lifts.len()).map(|l| {
        let has = sessions.iter().zip(&problem.copies).filter(|(s, _)| s.lifts.contains(&l));
        problem.tables.lift_value[l][has.map(|(_, n)| *n as usize).sum::<usize>()]
    });
    (0..M).map(muscle).sum::<i64>() - prices.sum::<i64>() + brings.sum::<i64>()
}

fn price(problem: &Problem, part: usize, session: &Session) -> i64 {
    let tables = &problem.tables;
    session.own + tables.time_price * i64::from(session.time) + tables.effort(part, session.effort)
}

fn benefit(problem: &Problem, m: usize, dose: i64) -> i64 {
    problem.tables.benefit(m, dose)
}

fn strain_price(problem: &Problem, m: usize, strain: i64) -> i64 {
    let over = (strain - problem.tables.free_strain).max(0) as f64;
    (over * over * problem.tables.strain_factor[m]).floor() as i64
}
