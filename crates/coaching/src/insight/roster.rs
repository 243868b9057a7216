//! Who is ready for what, and who needs a look: an entry for each client, the one who needs it most first.

use super::advice::{self, Suggestion};
use super::next::ready_day;
use super::{Known, SeeClinician, coming, forecast, hours, known_of};
use crate::ledger::UnitOfWork;
use serde::{Deserialize, Serialize};
use setwright_model::ledger::Moment;
use setwright_model::person::BodyPart;
use setwright_model::refusal::Refusal;
use setwright_model::{Catalogue, ExerciseId, Muscle, Share};
use setwright_science::screening::MayTrain;
use std::sync::Arc;

/// Probability from which a stall is named (`docs/quality.md` says how often it is right).
const STALL_NAMED: f64 = 0.8;
/// Days past the due day after which a client is late (judgement).
const LATE_DAYS: f64 = 3.0;
const DAY_H: f64 = 24.0;
/// How much a look is needed where a clinician's word comes first: more than for all that can be weighed together (judgement).
const CLINICIAN_NEED: u32 = 100;
/// The same of pain that nobody has answered: it stands before all else (judgement).
const PAIN_NEED: u32 = 10_000;

/// The roster.
#[derive(Clone, Debug, PartialEq)]
pub struct RosterOverview {
    /// When it was asked.
    pub now: Moment,
    /// Clients, the one who needs a look most first.
    pub entries: Vec<RosterEntry>,
}

/// A client in the roster.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RosterEntry {
    /// What the client is called.
    pub client: String,
    /// How much a look is needed: 0 not at all.
    pub need: u32,
    /// When the coming session is due.
    pub due: Option<Moment>,
    /// From when on all that it asks for is ready.
    pub ready: Option<Moment>,
    /// Why, the weightiest first.
    pub why: Vec<Why>,
    /// What there is to advise, answered or not; it has a page of its own. An entry that was written down comes back without.
    #[serde(skip)]
    pub advice: Option<Arc<[Suggestion]>>,
}

/// Why a client needs a look.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Why {
    /// Something hurts, and nobody has answered; and so many other reports.
    Pain {
        /// Where.
        place: BodyPart,
        /// At what it was felt, where that was said.
        exercise: Option<ExerciseId>,
        /// How many other reports are open.
        more: usize,
    },
    /// A clinician is to be seen for this place.
    SeeClinician(BodyPart, SeeClinician),
    /// The answers before training ask for a clinician first: no session is shown.
    Clinician,
    /// There is no brief.
    NoBrief,
    /// There is a brief and no programme.
    NoProgramme,
    /// So many of the logged sets look mistyped.
    Slips(usize),
    /// The client stands still, as likely as this.
    Stalled(Share),
    /// There is something to advise, and so much more.
    Advised {
        /// The surest.
        first: Suggestion,
        /// How many others.
        more: usize,
    },
    /// So many days have passed since the coming session was due.
    LateDays(f64),
    /// These muscles are less ready than not when the coming session is due.
    NotReady(Vec<Muscle>),
}

impl Why {
    /// How much a look is needed for it.
    pub const fn weight(&self) -> u32 {
        match self {
            Self::Pain { .. } => PAIN_NEED,
            Self::SeeClinician(..) | Self::Clinician => CLINICIAN_NEED,
            Self::NoBrief => 5,
            Self::NoProgramme => 4,
            Self::Slips(_) | Self::Stalled(_) => 3,
            Self::Advised { .. } | Self::LateDays(_) => 2,
            Self::NotReady(_) => 1,
        }
    }
}

/// The roster of a ledger. Clients who are away are left out.
///
/// # Errors
/// A ledger that cannot be read.
pub fn roster(uow: &mut UnitOfWork, catalogue: &Catalogue) -> Result<RosterOverview, Refusal> {
    let clients = uow.clients()?;
    let mut entries = Vec::new();
    for client in clients.into_iter().filter(|c| !c.card.away) {
        let known = known_of(uow, client, catalogue)?;
        entries.push(line(&known, catalogue));
    }
    sorted(&mut entries);
    Ok(RosterOverview { now: uow.wall.now(), entries })
}

/// Puts whoever needs a look most first.
pub fn sorted(entries: &mut [RosterEntry]) {
    entries.sort_by(|a, b| b.need.cmp(&a.need).then(a.client.cmp(&b.client)));
}

/// The entry of a client.
pub fn line(known: &Known, catalogue: &Catalogue) -> RosterEntry {
    let next = coming(known);
    let advice = advice::advise(known, catalogue);
    let mut why = pain(known);
    why.extend(MayTrain::of(known).err().map(|_| Why::Clinician));
    why.extend(standing(known));
    why.extend(advised(known, &advice));
    why.extend(late(known));
    let session = next.and_then(|n| known.programme.as_ref()?.programme.sessions.get(n.index));
    let session = session.map(|session| known.pains.without(session));
    let from = next.map(|n| if hours(n.due).get() < hours(known.now).get() { known.now } else { n.due });
    let ready = session.zip(from).map(|(session, from)| ready_day(known, &session, from, catalogue));
    why.extend(not_ready(known, catalogue));
    why.sort_by_key(|why| std::cmp::Reverse(why.weight()));
    RosterEntry {
        client: known.client.card.name.clone(),
        need: why.iter().map(Why::weight).sum(),
        due: next.map(|n| n.due),
        ready,
        why,
        advice: Some(advice.into()),
    }
}

/// Pain that nobody has answered, and where a clinician is to be seen.
fn pain(known: &Known) -> Vec<Why> {
    let mut open = known.pains.open();
    let first = open.next().map(|latest| Why::Pain {
        place: latest.report.place,
        exercise: latest.report.exercise.clone(),
        more: open.count(),
    });
    let see = known.pains.clinician(known.now).into_iter().map(|(place, why)| Why::SeeClinician(place, why));
    first.into_iter().chain(see).collect()
}

/// What is missing, mistyped or stands still.
fn standing(known: &Known) -> Vec<Why> {
    let missing = match (&known.brief, &known.programme) {
        (None, _) => Some(Why::NoBrief),
        (Some(_), None) => Some(Why::NoProgramme),
        (Some(_), Some(_)) => None,
    };
    let slips = known.posterior.slips().len();
    let stall = known.posterior.stall();
    let stalled = stall.not_yet.is_empty() && stall.probability.get() >= STALL_NAMED;
    let mistyped = (slips > 0).then_some(Why::Slips(slips));
    missing.into_iter().chain(mistyped).chain(stalled.then_some(Why::Stalled(stall.probability))).collect()
}

fn advised(known: &Known, advice: &[Suggestion]) -> Option<Why> {
    let mut open = advice::open(known.now, advice, &known.answered).suggestions.into_iter();
    let first = open.next()?;
    Some(Why::Advised { first, more: open.count() })
}

fn late(known: &Known) -> Option<Why> {
    let next = coming(known).filter(|_| !known.sessions.is_empty())?;
    let late_days = known.now.hours_since(next.due).get() / DAY_H;
    (late_days >= LATE_DAYS).then_some(Why::LateDays(late_days))
}

fn not_ready(known: &Known, catalogue: &Catalogue) -> Option<Why> {
    let waiting = forecast(known, catalogue).muscles.into_iter();
    let late = waiting.filter(|m| m.asked_sets >= 1.0 && m.ready_when_due.is_some_and(|p| p < 0.5));
    let muscles: Vec<Muscle> = late.map(|m| m.muscle).collect();
    (!muscles.is_empty()).then_some(Why::NotReady(muscles))
}
