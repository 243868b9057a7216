//! What has changed since the programme before, line by line, each with its reason: what keeping a lift would cost
//! is found by solving again with the lift locked where it was.

use super::{Case, TOLD, upper_first};
use crate::cores::on_all;
use setwright_model::brief::Lock;
use setwright_model::{ExerciseId, Programme};
use std::collections::BTreeMap;

/// Changes that are solved for; the rest are only counted.
const SOLVED_MOST: usize = 12;

/// An exercise that is no longer in a session, and what stands there for it.
struct Gone<'a> {
    session: usize,
    id: &'a ExerciseId,
    /// The lift, if it is still possible.
    lift: Option<usize>,
    /// What came into the session instead.
    instead: Option<usize>,
}

/// Sentences about what stays and what changes; none without a programme before.
pub fn since_before(case: &Case<'_>) -> Vec<String> {
    let Some(before) = &case.problem.brief.style.before else { return Vec::new() };
    let now = sets_now(case);
    let had = sets_before(before, case.frame().sessions());
    let stays = had.iter().zip(&now).map(|(h, n)| h.keys().filter(|id| n.contains_key(*id)).count()).sum();
    let all: usize = before.sessions.iter().map(|s| s.prescriptions().count()).sum();
    let mut out = vec![head(stays, all, case, before)];
    let (gone, new) = differences(case, &had, &now);
    let told: Vec<&Gone<'_>> = gone.iter().take(SOLVED_MOST).collect();
    out.extend(on_all(&told, |g| why_gone(case, g)));
    if gone.len() > SOLVED_MOST {
        out.push(format!("{} further exercises left; they were not solved for.", gone.len() - SOLVED_MOST));
    }
    out.extend(new_lifts(case, &new));
    out.extend(other_sets(case, &had, &now));
    out
}

type Sets<'a> = BTreeMap<&'a ExerciseId, u32>;

fn sets_now<'a>(case: &Case<'a>) -> Vec<Sets<'a>> {
    let id = |lift: usize| &case.problem.lifts[lift].exercise.id;
    let of = |blocks: &'a setwright_formulate::plan::Blocks| {
        blocks.iter().flat_map(|s| s.lifts().map(move |(l, _)| (id(l), u32::from(s.sets)))).collect()
    };
    case.best.found.plan.sessions.iter().map(of).collect()
}

fn sets_before(before: &Programme, sessions: usize) -> Vec<Sets<'_>> {
    let of = |s: usize| {
        let session = before.sessions.get(s);
        session.map(|s| s.prescriptions().map(|p| (&p.id, p.sets)).collect()).unwrap_or_default()
    };
    (0..sessions).map(of).collect()
}

fn head(stays: usize, all: usize, case: &Case<'_>, before: &Programme) -> String {
    let days =
        |list: &mut dyn Iterator<Item = u32>| list.map(|d| d.to_string()).collect::<Vec<_>>().join(", ");
    let was = days(&mut before.sessions.iter().map(|s| s.day));
    let is = days(&mut case.frame().days.iter().copied());
    let moved = if was == is { String::new() } else { format!(" The days change from {was} to {is}.") };
    format!("Since the programme before: {stays} of {all} exercises stay in their sessions.{moved}")
}

/// What left each session, and what is new in it without having taken the place of what left.
fn differences<'a>(
    case: &Case<'_>,
    had: &[Sets<'a>],
    now: &[Sets<'_>],
) -> (Vec<Gone<'a>>, Vec<(usize, usize)>) {
    let lift_of = |id: &ExerciseId| case.problem.lifts.iter().position(|l| l.exercise.id == *id);
    let (mut gone, mut new) = (Vec::new(), Vec::new());
    for (session, (had, now)) in had.iter().zip(now).enumerate() {
        let mut fresh: Vec<usize> =
            now.keys().filter(|id| !had.contains_key(*id)).filter_map(|id| lift_of(id)).collect();
        for id in had.keys().copied().filter(|id| !now.contains_key(id)) {
            let lift = lift_of(id);
            let like = |other: usize| lift.map(|l| likeness(case, l, other)).filter(|likeness| *likeness > 0);
            let nearest = (0..fresh.len()).filter_map(|k| Some((like(fresh[k])?, k))).max();
            let instead = nearest.map(|(_, k)| fresh.remove(k));
            gone.push(Gone { session, id, lift, instead });
        }
        new.extend(fresh.into_iter().map(|l| (session, l)));
    }
    (gone, new)
}

/// How nearly one lift does the work of another: 2 the same pattern, 1 the same prime muscle, 0 neither.
fn likeness(case: &Case<'_>, one: usize, other: usize) -> u8 {
    let (a, b) = (&case.problem.lifts[one].exercise, &case.problem.lifts[other].exercise);
    if a.pattern == b.pattern { 2 } else { u8::from(a.prime().is_some() && a.prime() == b.prime()) }
}

fn name<'a>(case: &Case<'a>, lift: usize) -> &'a str {
    &case.problem.lifts[lift].exercise.name
}

fn why_gone(case: &Case<'_>, gone: &Gone<'_>) -> String {
    let day = case.frame().days[gone.session];
    let what = gone.lift.map_or(gone.id.as_str(), |l| name(case, l));
    let change = match gone.instead {
        Some(new) => format!("Day {day}: {} in place of {what}", name(case, new)),
        None => format!("Day {day}: {what} is left out"),
    };
    let Some(lift) = gone.lift.filter(|l| case.frame().eligible[gone.session][*l]) else {
        return format!("{change}, which this brief does not allow there.");
    };
    let mut locked = case.problem.clone();
    let session = Some(gone.session as u32 + 1);
    locked.locks.push((lift, Lock { exercise: gone.id.clone(), session, sets: None, with: None }));
    locked.prepare();
    let found = case.again(&locked, 8000 + (gone.session * case.problem.lifts.len() + lift) as u64);
    let cost = case.percent(case.found().value - found.value);
    if found.short > 0 {
        format!("{change}; no programme that keeps it was found by solving again.")
    } else if cost < 100.0 * TOLD {
        format!("{change}; to keep it would cost next to nothing.")
    } else {
        format!("{change}; to keep it would cost {cost:.1} % (found by solving again with it locked).")
    }
}

fn new_lifts(case: &Case<'_>, new: &[(usize, usize)]) -> Option<String> {
    let told = |(s, l): &(usize, usize)| format!("{} on day {}", name(case, *l), case.frame().days[*s]);
    let list: Vec<String> = new.iter().map(told).collect();
    (!list.is_empty())
        .then(|| format!("New, for the doses that the brief and the time now ask: {}.", list.join(", ")))
}

fn other_sets(case: &Case<'_>, had: &[Sets<'_>], now: &[Sets<'_>]) -> Option<String> {
    let lift_of = |id: &ExerciseId| case.problem.lifts.iter().find(|l| l.exercise.id == *id);
    let mut told = Vec::new();
    for (session, (had, now)) in had.iter().zip(now).enumerate() {
        for (id, is) in now {
            if let (Some(was), Some(lift)) = (had.get(id).filter(|was| *was != is), lift_of(id)) {
                let day = case.frame().days[session];
                told.push(format!("{} {was} to {is} on day {day}", lift.exercise.name));
            }
        }
    }
    (!told.is_empty()).then(|| upper_first(&format!("sets change: {}.", told.join(", "))))
}
