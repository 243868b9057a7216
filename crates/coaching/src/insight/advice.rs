//! What to change in a client's training: what there is to say, how sure it is, what it would change, and how it is answered.
//! Words are made of it elsewhere.

use super::{Known, coming, history, hours, later};
use crate::ledger::UnitOfWork;
use serde::{Deserialize, Serialize};
use setwright_estimate::Interval;
use setwright_estimate::advice::{
    self, Advice, AdviceBasis, CurrentLoad, CurrentMuscle, CurrentTraining, Recommendation,
};
use setwright_formats::near::nearest;
use setwright_gym::loads::Loadable;
use setwright_model::code::Code;
use setwright_model::ledger::{AdviceAnswered, AdviceReply, Moment, What as Event};
use setwright_model::refusal::Refusal;
use setwright_model::{
    Catalogue, ExerciseId, FractionalSets, Hours, Kilograms, Muscle, Programme, Reps, Session, Share,
};
use setwright_science::{dose, strength};
use setwright_store::{AdviceState, Store};

/// Days for which advice that was answered is not given again (judgement: a block).
const SILENT_DAYS: u32 = 28;
/// Days for which advice is put off when nobody says for how many (judgement: until the week comes round).
pub const LATER_DAYS: u32 = 7;
const DAY_H: f64 = 24.0;

/// A piece of advice for a client, with what it would change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Suggestion {
    /// By which it is answered.
    pub key: String,
    /// What, how sure, and what it rests on.
    pub advice: Advice,
    /// The exercise's load now and then, as the exercise counts it, where a load is to be changed.
    pub loads: Option<[Kilograms; 2]>,
    /// What it would change.
    pub changes: Vec<ProposedChange>,
}

/// Something that would change: as it is, and as it would be.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum ProposedChange {
    /// Sessions a week.
    Sessions([u32; 2]),
    /// Sets of a muscle in each of its sessions.
    SetsInEach([FractionalSets; 2]),
    /// Sets of a muscle a week.
    SetsAWeek([FractionalSets; 2]),
    /// Strength that a muscle lacks when its next session begins.
    Lacking([Interval<Share>; 2]),
    /// A load, as the exercise counts it.
    Load([Kilograms; 2]),
    /// Sets of the whole cycle; then about so many.
    SetsOfTheCycle(u32, FractionalSets),
}

/// What there is to say to a client, and what was answered lately.
#[derive(Clone, Debug, PartialEq)]
pub struct Open {
    /// What there is to say, the surest first.
    pub suggestions: Vec<Suggestion>,
    /// What was answered and is not said again for a while, the newest last.
    pub answered: Vec<AnsweredLine>,
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
pub struct AdviceAnswer {
    /// Yes, no or later.
    pub reply: AdviceReply,
    /// After how many days it comes back, for later.
    pub days: Option<u32>,
    /// Why.
    pub reason: Option<String>,
}

/// What there is to advise, answered or not; nothing that would load what hurts.
pub fn advise(known: &Known, catalogue: &Catalogue) -> Vec<Suggestion> {
    let doing = doing(known, catalogue);
    let all = advice::advise(&known.posterior, &doing).into_iter();
    let all = all.filter(|advice| !known.pains.forbids(&advice.what, catalogue));
    all.map(|advice| suggestion(known, &doing, advice, catalogue)).collect()
}

fn suggestion(known: &Known, doing: &CurrentTraining, advice: Advice, catalogue: &Catalogue) -> Suggestion {
    let loads = match &advice.what {
        Recommendation::Load { exercise, from, to } => {
            Some([*from, *to].map(|total| outside(known, exercise, total, catalogue)))
        }
        _ => None,
    };
    Suggestion { key: key(&advice.what), changes: changes(known, doing, &advice, loads), advice, loads }
}

fn key(what: &Recommendation) -> String {
    match what {
        Recommendation::Sessions { muscle, .. } => format!("{}-sessions", muscle.id()),
        Recommendation::Sets { muscle, .. } => format!("{}-sets", muscle.id()),
        Recommendation::Load { exercise, .. } => format!("{exercise}-load"),
        Recommendation::Deload => "easy-week".to_owned(),
        Recommendation::Stalled => "stalled".to_owned(),
    }
}

/// A load as the exercise counts it.
fn outside(known: &Known, exercise: &ExerciseId, total: Kilograms, catalogue: &Catalogue) -> Kilograms {
    let body = catalogue
        .get(exercise)
        .and_then(|e| strength::total(e, Kilograms::ZERO, known.body_mass))
        .unwrap_or(Kilograms::ZERO);
    Kilograms((total.get() - body.get()).abs())
}

/// What following it would change.
fn changes(
    known: &Known,
    doing: &CurrentTraining,
    advice: &Advice,
    loads: Option<[Kilograms; 2]>,
) -> Vec<ProposedChange> {
    let lacking = match advice.evidence {
        AdviceBasis::Missing { now, then } => Some(ProposedChange::Lacking([now, then])),
        _ => None,
    };
    match &advice.what {
        Recommendation::Sessions { muscle, from, to } => {
            let weekly = doing.muscles.iter().find(|m| m.muscle == *muscle).map_or(0.0, |m| m.weekly.get());
            let each = |sessions: u32| FractionalSets(weekly / f64::from(sessions.max(1)));
            let sessions = [
                ProposedChange::Sessions([*from, *to]),
                ProposedChange::SetsInEach([each(*from), each(*to)]),
            ];
            sessions.into_iter().chain(lacking).collect()
        }
        Recommendation::Sets { from, to, .. } => {
            [ProposedChange::SetsAWeek([*from, *to])].into_iter().chain(lacking).collect()
        }
        Recommendation::Load { .. } => loads.map(ProposedChange::Load).into_iter().collect(),
        Recommendation::Deload => {
            let sessions = known.programme.iter().flat_map(|p| &p.programme.sessions);
            let sets = sessions.flat_map(Session::prescriptions).map(|p| p.sets).sum();
            vec![ProposedChange::SetsOfTheCycle(sets, FractionalSets(f64::from(sets) / 2.0))]
        }
        Recommendation::Stalled => Vec::new(),
    }
}

/// Of all there is to advise, what is not yet answered, or was answered long ago.
pub fn open(now: Moment, all: &[Suggestion], answered: &[AdviceState]) -> Open {
    let mut last: Vec<&AdviceState> = Vec::new();
    for answer in answered {
        last.retain(|a| a.answered.about != answer.answered.about);
        last.push(answer);
    }
    let again = |a: &AdviceState| later(a.at, Hours(DAY_H * f64::from(silent_days(&a.answered))));
    last.retain(|a| now.unix_ms() < again(a).unix_ms());
    let silent = |l: &&Suggestion| !last.iter().any(|a| a.answered.about == l.key);
    let said = |a: &&AdviceState| AnsweredLine {
        key: a.answered.about.clone(),
        what: a.answered.advice.clone(),
        reply: a.answered.reply,
        on: a.at,
        again: again(a),
        reason: a.reason.clone(),
    };
    Open {
        suggestions: all.iter().filter(silent).cloned().collect(),
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
pub fn answers(uow: &mut UnitOfWork, known: &Known) -> Result<Vec<AdviceState>, Refusal> {
    uow.store.advice(known.client.client).map_err(|e| crate::ledger::of_store(&e))
}

/// Keeps what the coach says to a piece of advice, with the words in which it was given.
///
/// # Errors
/// No advice of that key, or a ledger that cannot be written.
pub fn answer(
    uow: &mut UnitOfWork,
    known: &Known,
    key: &str,
    answer: AdviceAnswer,
    in_words: impl FnOnce(&Suggestion) -> String,
    catalogue: &Catalogue,
) -> Result<Suggestion, Refusal> {
    let mut all = advise(known, catalogue);
    let Some(place) = all.iter().position(|l| l.key == key) else {
        let hint = match nearest(key, all.iter().map(|l| l.key.as_str())) {
            Some(near) => format!("Did you mean \"{near}\"?"),
            None => "setwright advice CLIENT shows what there is.".to_owned(),
        };
        let what = format!("There is no advice \"{}\".", setwright_formats::doc::printable(key));
        return Err(Refusal::new(Code::NoSuchAdvice, what, hint));
    };
    let found = all.swap_remove(place);
    let answered = AdviceAnswered {
        about: found.key.clone(),
        advice: in_words(&found),
        reply: answer.reply,
        probability: Some(found.advice.probability),
        days: (answer.reply == AdviceReply::Later).then(|| answer.days.unwrap_or(LATER_DAYS)),
    };
    let mut event = uow.event(known.client.client, None, None, Event::Advice(answered));
    event.reason = answer.reason;
    uow.write(vec![event])?;
    Ok(found)
}

fn doing(known: &Known, catalogue: &Catalogue) -> CurrentTraining {
    let Some(state) = &known.programme else { return CurrentTraining::default() };
    let next = coming(known);
    let due = next.map_or(known.now, |n| n.due);
    let at = hours(if due.unix_ms() < known.now.unix_ms() { known.now } else { due });
    let session = next.and_then(|n| state.programme.sessions.get(n.index));
    let most = known.brief.iter().flat_map(|b| &b.muscles).filter_map(|(m, w)| Some((*m, w.most?)));
    CurrentTraining {
        muscles: Muscle::ALL.into_iter().map(|m| muscle(&state.programme, m, catalogue)).collect(),
        loads: session.map(|s| loads(known, s, at, catalogue)).unwrap_or_default(),
        at,
        most: most.collect(),
    }
}

/// How the programme trains a muscle.
fn muscle(programme: &Programme, muscle: Muscle, catalogue: &Catalogue) -> CurrentMuscle {
    const DAYS_A_WEEK: f64 = 7.0;
    let weeks = f64::from(programme.cycle_days) / DAYS_A_WEEK;
    let doses: Vec<f64> =
        programme.sessions.iter().map(|s| dose::of_session(s, catalogue)[muscle.index()].get()).collect();
    let trained = doses.iter().filter(|d| **d >= 1.0).count() as f64;
    let all = || programme.sessions.iter().flat_map(Session::prescriptions);
    let direct = |id| catalogue.get(id).is_some_and(|e| e.contribution(muscle) >= 1.0);
    let rirs: Vec<f64> = all().filter(|p| direct(&p.id)).map(|p| f64::from(p.rir)).collect();
    let rir = rirs.iter().sum::<f64>() / rirs.len().max(1) as f64;
    CurrentMuscle {
        muscle,
        weekly: FractionalSets(doses.iter().sum::<f64>() / weeks),
        per_week: trained / weeks,
        rir: Reps(rir),
    }
}

/// Loads of the coming session that the log can tell something about.
fn loads(known: &Known, session: &Session, at: Hours, catalogue: &Catalogue) -> Vec<CurrentLoad> {
    let forecasts = known.posterior.forecast(at, &history::planned(session), catalogue);
    let told = session.prescriptions().zip(forecasts);
    told.filter_map(|(p, forecast)| {
        let exercise = catalogue.get(&p.id)?;
        let (load, brief) = (p.load_kg?, known.brief.as_ref()?);
        let loadable = Loadable::of_client(brief, exercise).ok()?;
        let total = |kg: Kilograms| strength::total(exercise, kg, known.body_mass);
        Some(CurrentLoad {
            exercise: p.id.clone(),
            planned: total(load)?,
            above: loadable.above(load).and_then(total),
            below: loadable.below(load).and_then(total),
            right: forecast?.load,
        })
    })
    .collect()
}
