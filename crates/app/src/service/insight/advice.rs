//! What to change, in a coach's words: what, why, how sure, what it would bring, and how to answer.

use super::letter::line;
use super::{Known, coming, hours, later};
use crate::files::Problem;
use crate::files::near::nearest;
use crate::files::problem;
use crate::service::ledger::Desk;
use serde::Serialize;
use setwright_estimate::Planned;
use setwright_estimate::advice::{self, Doing, DoingLoad, DoingMuscle};
use setwright_model::ledger::{AdviceAnswered, AdviceReply, Moment, What as Event};
use setwright_model::{Catalogue, FractionalSets, Hours, Kilograms, Muscle, Programme, Reps, Session, Share};
use setwright_science::loads::Loadable;
use setwright_science::{dose, strength};
use setwright_store::{AdviceState, Store};

/// Days for which advice that was answered is not given again (judgement: a block).
const SILENT_DAYS: u32 = 28;
/// Days for which advice is put off when nobody says for how many (judgement: until the week comes round).
pub const LATER_DAYS: u32 = 7;
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
    /// What was answered and is not said again for a while, the newest last.
    pub answered: Vec<AnsweredLine>,
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
    /// What it would change.
    pub changes: Vec<Changed>,
    /// Where it is changed.
    pub place: Place,
}

/// Something as it is, and as it would be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Changed {
    /// What.
    pub what: String,
    /// As it is.
    pub now: String,
    /// As it would be.
    pub then: String,
}

/// Where a piece of advice is followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// In the programme.
    Programme,
    /// In the coming session.
    ComingSession,
    /// In the week to come.
    Week,
    /// Outside of the programme first.
    Client,
}

/// What was said to a piece of advice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AnsweredLine {
    /// By which it was answered.
    pub key: String,
    /// What was advised.
    pub what: String,
    /// What was said.
    pub reply: AdviceReply,
    /// When.
    pub on: Moment,
    /// From when on it may be said again.
    pub again: Moment,
    /// Why.
    pub reason: Option<String>,
}

impl AnsweredLine {
    /// "Declined", "Put off".
    pub const fn word(&self) -> &'static str {
        match self.reply {
            AdviceReply::Accepted => "Accepted",
            AdviceReply::Declined => "Declined",
            AdviceReply::Later => "Put off",
        }
    }
}

/// What the coach says to a piece of advice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Yes, no or later.
    pub reply: AdviceReply,
    /// After how many days it comes back, for later.
    pub days: Option<u32>,
    /// Why.
    pub reason: Option<String>,
}

/// What there is to advise.
pub fn advise(known: &Known, catalogue: &Catalogue) -> Vec<AdviceLine> {
    let doing = doing(known, catalogue);
    advice::advise(&known.posterior, &doing).iter().map(|a| line(known, &doing, a, catalogue)).collect()
}

/// Advice for a client, without what was answered lately.
pub fn view(known: &Known, answered: &[AdviceState], catalogue: &Catalogue) -> AdviceView {
    open(&known.client.card.name, known.now, &advise(known, catalogue), answered)
}

/// Of all there is to advise, what is not yet answered, or was answered long ago.
pub fn open(client: &str, now: Moment, all: &[AdviceLine], answered: &[AdviceState]) -> AdviceView {
    let mut last: Vec<&AdviceState> = Vec::new();
    for answer in answered {
        last.retain(|a| a.answered.about != answer.answered.about);
        last.push(answer);
    }
    let again = |a: &AdviceState| later(a.at, Hours(DAY_H * f64::from(silent_days(&a.answered))));
    last.retain(|a| now.unix_ms() < again(a).unix_ms());
    let silent = |l: &&AdviceLine| !last.iter().any(|a| a.answered.about == l.key);
    let said = |a: &&AdviceState| AnsweredLine {
        key: a.answered.about.clone(),
        what: a.answered.advice.clone(),
        reply: a.answered.reply,
        on: a.at,
        again: again(a),
        reason: a.reason.clone(),
    };
    AdviceView {
        client: client.to_owned(),
        now,
        advice: all.iter().filter(silent).cloned().collect(),
        answered: last.iter().map(said).collect(),
    }
}

fn silent_days(answered: &AdviceAnswered) -> u32 {
    match answered.reply {
        AdviceReply::Accepted | AdviceReply::Declined => SILENT_DAYS,
        AdviceReply::Later => answered.days.unwrap_or(LATER_DAYS),
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
    answer: Answer,
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
        reply: answer.reply,
        probability: Some(Share(found.probability)),
        days: (answer.reply == AdviceReply::Later).then(|| answer.days.unwrap_or(LATER_DAYS)),
    };
    let mut event = desk.event(known.client.client, None, None, Event::Advice(answered));
    event.reason = answer.reason;
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
