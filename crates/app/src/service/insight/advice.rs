//! What to change, in a coach's words: what, why, how sure, what it would bring, and how to answer.

use super::{Known, coming, hours};
use crate::files::Problem;
use crate::files::near::nearest;
use crate::files::problem;
use crate::service::ledger::Desk;
use serde::Serialize;
use setwright_estimate::advice::{self, Advice, Doing, DoingLoad, DoingMuscle, Evidence, What};
use setwright_estimate::{Interval, Planned};
use setwright_model::ledger::{AdviceAnswered, AdviceReply, Moment, What as Event};
use setwright_model::{Catalogue, FractionalSets, Hours, Kilograms, Muscle, Programme, Reps, Session, Share};
use setwright_science::loads::Loadable;
use setwright_science::{dose, strength};
use setwright_store::{AdviceState, Store};

/// Days for which advice that was answered is not given again (judgement: a block).
const SILENT_DAYS: f64 = 28.0;
const DAY_H: f64 = 24.0;

/// Advice for a client.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AdviceView {
    /// What the client is called.
    pub client: String,
    /// When it was asked.
    pub now: Moment,
    /// What there is to say, the surest first.
    pub advice: Vec<AdviceLine>,
    /// What was answered within the last four weeks and is not said again.
    pub answered: Vec<String>,
}

/// A piece of advice.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AdviceLine {
    /// By which it is answered.
    pub key: String,
    /// What to do.
    pub what: String,
    /// Why, with the numbers it rests on.
    pub why: String,
    /// Probability that it is worth more than leaving things as they are.
    pub probability: f64,
    /// What it would bring, in words.
    pub effect: String,
}

/// What there is to advise.
pub fn advise(known: &Known, catalogue: &Catalogue) -> Vec<AdviceLine> {
    let doing = doing(known, catalogue);
    advice::advise(&known.posterior, &doing).iter().map(|a| line(known, a, catalogue)).collect()
}

/// Advice for a client, without what was answered lately.
pub fn view(known: &Known, answered: &[AdviceState], catalogue: &Catalogue) -> AdviceView {
    let lately: Vec<&AdviceState> =
        answered.iter().filter(|a| known.now.hours_since(a.at).get() < SILENT_DAYS * DAY_H).collect();
    let silent = |l: &AdviceLine| lately.iter().any(|a| a.answered.about == l.key);
    let said = |a: &&AdviceState| {
        let reply = match a.answered.reply {
            AdviceReply::Accepted => "accepted",
            AdviceReply::Declined => "declined",
        };
        format!("{} {reply} on {}: {}", a.answered.about, a.at.date(), a.answered.advice)
    };
    AdviceView {
        client: known.client.card.name.clone(),
        now: known.now,
        advice: advise(known, catalogue).into_iter().filter(|l| !silent(l)).collect(),
        answered: lately.iter().map(said).collect(),
    }
}

/// Answers to advice that were kept for a client.
pub fn answers(desk: &mut Desk, known: &Known) -> Result<Vec<AdviceState>, Problem> {
    desk.store.advice(known.client.client).map_err(|e| crate::service::ledger::of_store(&e))
}

/// Keeps what the coach says to a piece of advice.
///
/// # Errors
/// No advice of that key, or a ledger that cannot be written.
pub fn answer(
    desk: &mut Desk,
    known: &Known,
    key: &str,
    reply: AdviceReply,
    reason: Option<String>,
    catalogue: &Catalogue,
) -> Result<AdviceLine, Problem> {
    let all = advise(known, catalogue);
    let Some(found) = all.iter().find(|l| l.key == key) else {
        let hint = match nearest(key, all.iter().map(|l| l.key.as_str())) {
            Some(near) => format!("Did you mean \"{near}\"?"),
            None => "setwright advice CLIENT shows what there is.".to_owned(),
        };
        let what = format!("There is no advice \"{}\".", crate::files::doc::printable(key));
        return Err(Problem::new(problem::NO_SUCH_ADVICE, what, hint));
    };
    let answered = AdviceAnswered {
        about: found.key.clone(),
        advice: found.what.clone(),
        reply,
        probability: Some(Share(found.probability)),
    };
    let mut event = desk.event(known.client.client, None, None, Event::Advice(answered));
    event.reason = reason;
    desk.write(vec![event])?;
    Ok(found.clone())
}

fn doing(known: &Known, catalogue: &Catalogue) -> Doing {
    let Some(state) = &known.programme else { return Doing::default() };
    let next = coming(known);
    let due = next.map_or(known.now, |n| n.due);
    let at = hours(if due.unix_ms() < known.now.unix_ms() { known.now } else { due });
    let session = next.and_then(|n| state.programme.sessions.get(n.index));
    let most = known.brief.iter().flat_map(|b| &b.muscles).filter_map(|(m, w)| Some((*m, w.most?)));
    Doing {
        muscles: Muscle::ALL.into_iter().map(|m| muscle(&state.programme, m, catalogue)).collect(),
        loads: session.map(|s| loads(known, s, at, catalogue)).unwrap_or_default(),
        at,
        most: most.collect(),
    }
}

/// How the programme trains a muscle.
fn muscle(programme: &Programme, muscle: Muscle, catalogue: &Catalogue) -> DoingMuscle {
    const DAYS_A_WEEK: f64 = 7.0;
    let weeks = f64::from(programme.cycle_days) / DAYS_A_WEEK;
    let doses: Vec<f64> =
        programme.sessions.iter().map(|s| dose::of_session(s, catalogue)[muscle.index()].get()).collect();
    let trained = doses.iter().filter(|d| **d >= 1.0).count() as f64;
    let all = || programme.sessions.iter().flat_map(Session::prescriptions);
    let direct = |id| catalogue.get(id).is_some_and(|e| e.contribution(muscle) >= 1.0);
    let rirs: Vec<f64> = all().filter(|p| direct(&p.id)).map(|p| f64::from(p.rir)).collect();
    let rir = rirs.iter().sum::<f64>() / rirs.len().max(1) as f64;
    DoingMuscle {
        muscle,
        weekly: FractionalSets(doses.iter().sum::<f64>() / weeks),
        per_week: trained / weeks,
        rir: Reps(rir),
    }
}

/// Loads of the coming session that the log can tell something about.
fn loads(known: &Known, session: &Session, at: Hours, catalogue: &Catalogue) -> Vec<DoingLoad> {
    let planned: Vec<Planned> = session
        .prescriptions()
        .map(|p| Planned {
            exercise: p.id.clone(),
            sets: p.sets,
            reps: Reps(p.mid_reps()),
            rir: Reps(f64::from(p.rir)),
        })
        .collect();
    let forecasts = known.posterior.forecast(at, &planned, catalogue);
    let told = session.prescriptions().zip(forecasts);
    told.filter_map(|(p, forecast)| {
        let exercise = catalogue.get(&p.id)?;
        let (load, brief) = (p.load_kg?, known.brief.as_ref()?);
        let loadable = Loadable::of(&brief.equipment, exercise).ok()?;
        let total = |kg: Kilograms| strength::total(exercise, kg, known.body_mass);
        Some(DoingLoad {
            exercise: p.id.clone(),
            planned: total(load)?,
            above: loadable.above(load).and_then(total),
            below: loadable.below(load).and_then(total),
            right: forecast?.load,
        })
    })
    .collect()
}

fn percent(share: Share) -> f64 {
    (1000.0 * share.get()).round() / 10.0
}

fn band(of: &Interval<Share>) -> String {
    format!("{} % ({} to {})", percent(of.median), percent(of.low), percent(of.high))
}

fn line(known: &Known, advice: &Advice, catalogue: &Catalogue) -> AdviceLine {
    let (key, what, effect) = match &advice.what {
        What::Sessions { muscle, from, to } => {
            let word = if to > from { "more often" } else { "less often" };
            (
                format!("{}-sessions", muscle.id()),
                format!("Train the {muscle} {word}: {to} times a week instead of {from}, with the same weekly sets"),
                format!("{} % more of what the muscle gains", percent(advice.effect)),
            )
        }
        What::Sets { muscle, from, to } => {
            let word = if to > from { "Add sets for" } else { "Drop sets for" };
            (
                format!("{}-sets", muscle.id()),
                format!("{word} the {muscle}: about {:.0} a week instead of {:.0}", to.get(), from.get()),
                format!("{} % more of what the muscle gains", percent(advice.effect)),
            )
        }
        What::Load { exercise, from, to } => {
            let known_exercise = catalogue.get(exercise);
            let name = known_exercise.map_or(exercise.as_str(), |e| e.name.as_str());
            let outside = |kg: &Kilograms| {
                let body = known_exercise
                    .and_then(|e| strength::total(e, Kilograms::ZERO, known.body_mass))
                    .unwrap_or(Kilograms::ZERO);
                (kg.get() - body.get()).abs()
            };
            (
                format!("{exercise}-load"),
                format!("{name}: {} kg instead of {} kg in the coming session", outside(to), outside(from)),
                format!("{} % of the load", percent(advice.effect)),
            )
        }
        What::Deload => (
            "easy-week".to_owned(),
            "Make the coming week an easy one: half the sets at the same loads, far from failure".to_owned(),
            format!("up to {} % of strength is waiting under fatigue", percent(advice.effect)),
        ),
        What::Stalled => (
            "stalled".to_owned(),
            "The client, not one exercise, has stalled: look at sleep, food and stress first, then change sets, \
             spacing or exercises"
                .to_owned(),
            format!("growth is {} % a week", percent(advice.effect)),
        ),
    };
    AdviceLine { key, what, why: why(&advice.evidence), probability: advice.probability.get(), effect }
}

fn why(evidence: &Evidence) -> String {
    match evidence {
        Evidence::Missing { now, then } => format!(
            "At the start of its sessions it lacks {} of its strength; then it would lack {}.",
            band(now),
            band(then)
        ),
        Evidence::RightLoad(right) => format!(
            "By the log, all that moves should weigh {:.1} kg ({:.1} to {:.1}) for the reps and reserve asked.",
            right.median.get(),
            right.low.get(),
            right.high.get()
        ),
        Evidence::Growth { per_week, tired, of } if *of > 0 => format!(
            "Growth {} a week; {tired} of {of} trained muscles will not be ready for the coming session.",
            band(per_week)
        ),
        Evidence::Growth { per_week, .. } => format!("Growth {} a week.", band(per_week)),
    }
}
