//! Days of the coming sessions that would teach more of how fast a client recovers. Asked for, never by default; it
//! offers and moves nothing.

use super::history::planned;
use super::{Known, coming, hours, later};
use serde::Serialize;
use setwright_estimate::PlannedExercise;
use setwright_estimate::design::{self, LACKS_MOST, Schedule};
use setwright_model::code::Code;
use setwright_model::ledger::Moment;
use setwright_model::refusal::Refusal;
use setwright_model::{Catalogue, Hours, Session};

/// Schedules that are weighed at most (numeric: a second's work).
const OFFERED_MOST: usize = 400;
/// Hours between two sessions at least (judgement: not twice on a day).
const APART_H: f64 = 20.0;
const DAY_H: f64 = 24.0;
/// Muscles that are named, and from what change on (judgement).
const NAMED: usize = 8;

/// Other days, and what they would teach.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LearnView {
    /// By how many days a session may move.
    pub within_days: u32,
    /// Sessions to come, in order.
    pub sessions: Vec<LearnSession>,
    /// Muscles of which most more would be known, the one with most first.
    pub muscles: Vec<LearnMuscle>,
    /// Per cent of strength that no muscle which is trained hard is expected to lack more than when a session begins.
    pub lacks_most_percent: f64,
}

impl LearnView {
    /// Whether any session would move.
    pub fn moves(&self) -> bool {
        self.sessions.iter().any(|s| s.proposed != s.usual)
    }
}

/// A session and its day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct LearnSession {
    /// Its number in the programme, from 1.
    pub number: usize,
    /// When the programme has it.
    pub usual: Moment,
    /// When it would teach most.
    pub proposed: Moment,
}

/// How much of a muscle's recovery is known: the share of the population's variance that is gone.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LearnMuscle {
    /// Plain name.
    pub name: &'static str,
    /// Per cent known now.
    pub now_percent: f64,
    /// As expected after the sessions on their usual days.
    pub usual_percent: f64,
    /// As expected after them on the proposed days.
    pub proposed_percent: f64,
}

/// What other days within so many of the usual ones would teach.
///
/// # Errors
/// A client without a programme or without a log.
pub fn learn(known: &Known, within_days: u32, catalogue: &Catalogue) -> Result<LearnView, Refusal> {
    let ahead = ahead(known)?;
    let usual: Vec<Moment> = ahead.iter().map(|(_, _, at)| *at).collect();
    let plans: Vec<Vec<PlannedExercise>> = ahead.iter().map(|(_, session, _)| planned(session)).collect();
    let offered = offered(known, &ahead, within_days);
    let schedules: Vec<Schedule> =
        offered.iter().map(|at| Schedule { at: at.iter().map(|m| hours(*m)).collect() }).collect();
    let usual_h: Vec<Hours> = usual.iter().map(|m| hours(*m)).collect();
    let on_usual = design::lesson(&known.posterior, &plans, &usual_h, catalogue);
    let best = design::best(&known.posterior, &plans, &schedules, catalogue)
        .filter(|(_, lesson)| lesson.nats > on_usual.nats);
    let (at, lesson) = match best {
        Some((place, lesson)) => (offered.get(place).cloned().unwrap_or_else(|| usual.clone()), lesson),
        None => (usual.clone(), on_usual.clone()),
    };
    let sessions = ahead.iter().zip(at);
    let sessions = sessions.map(|((number, _, usual), proposed)| LearnSession {
        number: *number,
        usual: *usual,
        proposed,
    });
    let mut muscles: Vec<LearnMuscle> = on_usual
        .learned
        .iter()
        .zip(&lesson.learned)
        .map(|((muscle, now, usual), (_, _, proposed))| LearnMuscle {
            name: muscle.name(),
            now_percent: 100.0 * now.get(),
            usual_percent: 100.0 * usual.get(),
            proposed_percent: 100.0 * proposed.get(),
        })
        .collect();
    muscles.sort_by(|a, b| {
        (b.proposed_percent - b.now_percent).total_cmp(&(a.proposed_percent - a.now_percent))
    });
    muscles.truncate(NAMED);
    let lacks_most_percent = 100.0 * LACKS_MOST;
    Ok(LearnView { within_days, sessions: sessions.collect(), muscles, lacks_most_percent })
}

/// The sessions of the coming cycle with their numbers and usual times.
fn ahead(known: &Known) -> Result<Vec<(usize, &Session, Moment)>, Refusal> {
    let nothing = |what: &str, hint: &str| {
        let name = &known.client.card.name;
        Refusal::new(Code::NothingInForce, format!("{name} has no {what}, so no day can be weighed."), hint)
    };
    let programme = known.programme.as_ref().map(|p| &p.programme);
    let programme =
        programme.ok_or_else(|| nothing("programme", "setwright plan --publish CLIENT hands one out."))?;
    if known.history.sessions.is_empty() {
        return Err(nothing("log", "setwright log CLIENT writes down what was done."));
    }
    let next = coming(known).ok_or_else(|| nothing("session to come", "Publish a programme."))?;
    let first = if next.due.unix_ms() < known.now.unix_ms() { known.now } else { next.due };
    let count = programme.sessions.len();
    let mut all = Vec::new();
    for k in 0..count {
        let index = (next.index + k) % count;
        let Some(session) = programme.sessions.get(index) else { continue };
        let days = (session.day + programme.cycle_days - next.day) % programme.cycle_days.max(1);
        all.push((index + 1, session, later(first, Hours(DAY_H * f64::from(days)))));
    }
    Ok(all)
}

/// Every way to move the sessions that keeps their order, the coach's days and the hours between; the first sessions
/// alone where there would be too many ways.
fn offered(known: &Known, ahead: &[(usize, &Session, Moment)], within: u32) -> Vec<Vec<Moment>> {
    let cycle = known.programme.as_ref().map_or(7, |p| p.programme.cycle_days).max(1);
    let possible = known.brief.as_ref().map_or(&[][..], |b| &b.time.possible_days);
    let within = i64::from(within);
    let earliest = hours(known.now);
    let last = known.history.sessions.last().map_or(f64::NEG_INFINITY, |s| s.at.get());
    let mut all: Vec<Vec<Moment>> = vec![Vec::new()];
    for (_, session, usual) in ahead {
        let ways = if all.len() * (2 * within as usize + 1) > OFFERED_MOST { 0 } else { within };
        let mut more = Vec::new();
        for begun in &all {
            for move_days in -ways..=ways {
                let day = (i64::from(session.day) - 1 + move_days).rem_euclid(i64::from(cycle)) as u32 + 1;
                let at = later(*usual, Hours(DAY_H * move_days as f64));
                let before = begun.last().map_or(last, |m| hours(*m).get());
                let fits = move_days == 0 || possible.is_empty() || possible.contains(&day);
                if fits && hours(at) >= earliest && hours(at).get() - before >= APART_H {
                    more.push([begun.as_slice(), &[at]].concat());
                }
            }
        }
        all = more;
    }
    all
}
