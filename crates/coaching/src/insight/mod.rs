//! What the ledger tells of a client: what was done becomes a history, the history a belief, and the belief answers
//! with intervals. What a log cannot tell yet is said in words and never left out.

pub mod advice;
mod changes;
mod coming;
mod common;
mod forecast;
mod history;
mod learn;
mod next;
mod overrun;
mod pain;
mod roster;

pub use crate::ledger::current::brief_in_force;
pub use changes::load_changes;
pub use coming::{Coming, coming};
pub use common::{BeliefStart, Common};
pub use forecast::{ForecastView, MuscleForecast, forecast};
pub use learn::{LearnView, learn};
pub use next::{LoadNote, NextSession, NotReady, loaded, next, not_ready, tired_belief, weighed};
pub use overrun::{MUCH_LONGER, MUCH_LONGER_MIN, Overrun, overruns};
pub use pain::{Pains, SeeClinician, to_train};
pub use roster::{RosterEntry, RosterOverview, Why, line, roster, sorted};

use super::belief;
use super::ledger::ahead::is_ahead;
use super::ledger::current::{Current, in_force};
use super::ledger::{UnitOfWork, of_store};
use schemars::JsonSchema;
use serde::Serialize;
use setwright_estimate::{History, Interval, NotYet, Posterior, Prior};
use setwright_model::belief::Basis;
use setwright_model::brief::Screening;
use setwright_model::code::Code;
use setwright_model::ledger::{EventId, Moment};
use setwright_model::refusal::Refusal;
use setwright_model::{Belief, Brief, Catalogue, Hours, Kilograms};
use setwright_science::screening::Answered;
use setwright_science::strength;
use setwright_store::{AdviceState, ClientState, ProgrammeState, SessionState, SetState, Store};
use std::sync::Arc;

/// Where chance starts when a belief is drawn: any number, always the same, so that asking twice gives one answer.
const SEED: u64 = 1;
const MS_PER_HOUR: f64 = 3_600_000.0;

/// A client with everything that is believed.
#[derive(Clone, Debug)]
pub struct Known {
    /// Who.
    pub client: ClientState,
    /// What was current when all this was read.
    pub current: Current,
    /// The brief in force.
    pub brief: Option<Brief>,
    /// The programme in force.
    pub programme: Option<ProgrammeState>,
    /// Sessions that were done, in order.
    pub sessions: Arc<[SessionState]>,
    /// Sets as they stand.
    pub sets: Arc<[SetState]>,
    /// What the client weighs, as last known.
    pub body_mass: Option<Kilograms>,
    /// What was done, as the estimator reads it.
    pub history: Arc<History>,
    /// What is believed after it.
    pub posterior: Arc<Posterior>,
    /// What the brief alone would have one believe.
    pub base: Belief,
    /// Both together, as the planner takes it.
    pub belief: Belief,
    /// What was said to advice.
    pub answered: Vec<AdviceState>,
    /// Pain that was reported, and what is out because of it.
    pub pains: Pains,
    /// What other clients passed on, when that was asked for.
    pub common: Option<Common>,
    /// Now.
    pub now: Moment,
}

impl Answered for Known {
    fn answers(&self) -> Option<&Screening> {
        self.brief.as_ref().map(|brief| &brief.screening)
    }
    fn called(&self) -> &str {
        &self.client.card.name
    }
}

/// Everything believed of the client of this name.
pub fn known(
    uow: &mut UnitOfWork,
    wanted: &str,
    start: BeliefStart,
    catalogue: &Catalogue,
) -> Result<Known, Refusal> {
    let client = uow.client(wanted)?;
    known_from(uow, client, start, None, catalogue)
}

/// Everything believed of a client, from the population on.
pub fn known_of(uow: &mut UnitOfWork, client: ClientState, catalogue: &Catalogue) -> Result<Known, Refusal> {
    known_from(uow, client, BeliefStart::Population, None, catalogue)
}

/// Everything that was believed of a client before a session that is still going on.
pub fn known_before(
    uow: &mut UnitOfWork,
    client: ClientState,
    session: EventId,
    catalogue: &Catalogue,
) -> Result<Known, Refusal> {
    known_from(uow, client, BeliefStart::Population, Some(session), catalogue)
}

fn known_from(
    uow: &mut UnitOfWork,
    client: ClientState,
    start: BeliefStart,
    without: Option<EventId>,
    catalogue: &Catalogue,
) -> Result<Known, Refusal> {
    let broken = |e| of_store(&e);
    let id = client.client;
    let (current, brief, programme) = in_force(uow, id)?;
    let mut masses = uow.store.body_mass(id).map_err(broken)?;
    let mut sessions = uow.store.sessions(id).map_err(broken)?;
    let mut sets = uow.store.sets(id).map_err(broken)?;
    if let Some(session) = without {
        sessions.retain(|s| s.id != session);
        sets.retain(|s| s.session != session);
    }
    let mut soreness = uow.store.soreness(id).map_err(broken)?;
    let mut spells = uow.store.spells(id).map_err(broken)?;
    // A ledger may hold what a clock that was wrong by years wrote before such entries were refused: it has not happened yet.
    let now = uow.wall.now();
    let happened = |at: Moment| !is_ahead(at, now);
    masses.retain(|m| happened(m.at));
    sessions.retain(|s| happened(s.at));
    sets.retain(|s| happened(s.at));
    soreness.retain(|s| happened(s.at));
    spells.retain(|s| happened(s.at));
    let of_brief = brief.as_ref().and_then(|b| b.body.mass_kg);
    let history = history::of(&sessions, &sets, &soreness, &spells, &masses, of_brief, catalogue);
    let base = brief.as_ref().map_or_else(|| belief::of_anyone(catalogue), |b| belief::of(b, catalogue));
    let population = Prior::of(base.tau);
    let (prior, common) = match start {
        BeliefStart::Population => (population, None),
        BeliefStart::Roster => {
            let (prior, common) = common::moved(uow, id, &population, catalogue)?;
            (prior, Some(common))
        }
    };
    let posterior = setwright_estimate::fit(&history, catalogue, &prior, SEED);
    let belief = with_judged(posterior.belief(&lifted_only(&base)), catalogue);
    let body_mass = masses.last().map(|m| m.mass.kg).or(of_brief);
    Ok(Known {
        client,
        current,
        brief,
        programme,
        sessions: sessions.into(),
        sets: sets.into(),
        body_mass,
        history: Arc::new(history),
        posterior: Arc::new(posterior),
        base,
        belief,
        answered: uow.store.advice(id).map_err(broken)?,
        pains: Pains::of(uow.store.pains(id).map_err(broken)?, catalogue),
        common,
        now,
    })
}

/// The same after one more session as it stands now, its sets so far: a step whose cost does not depend on the log. None when
/// the session is not the last, or is not there.
///
/// # Errors
/// A ledger that cannot be read.
pub fn known_after(
    uow: &mut UnitOfWork,
    known: &Known,
    session: EventId,
    catalogue: &Catalogue,
) -> Result<Option<Known>, Refusal> {
    let broken = |e| of_store(&e);
    let id = known.client.client;
    let Some(state) = uow.store.session(id, session).map_err(broken)? else { return Ok(None) };
    if known.sessions.last().is_some_and(|last| state.at.unix_ms() < last.at.unix_ms()) {
        return Ok(None);
    }
    let own = uow.store.sets_of(id, session).map_err(broken)?;
    let one = [state];
    let added = history::of(&one, &own, &[], &[], &[], known.body_mass, catalogue);
    let current = Current::of(uow, id)?;
    let mut after = Known { current, ..answered_since(uow, known.clone())? };
    if let Some(logged) = added.sessions.first() {
        let marked = known.history.mark(logged.at);
        after.posterior = Arc::new(known.posterior.after(logged, marked, catalogue));
        after.belief = with_judged(after.posterior.belief(&lifted_only(&known.base)), catalogue);
        let mut history = (*known.history).clone();
        history.sessions.extend(added.sessions);
        after.history = Arc::new(history);
    }
    after.sessions = known.sessions.iter().cloned().chain(one).collect();
    after.sets = known.sets.iter().cloned().chain(own).collect();
    Ok(Some(after))
}

/// The same now, with what was said to advice meanwhile.
///
/// # Errors
/// A ledger that cannot be read.
pub fn answered_since(uow: &mut UnitOfWork, known: Known) -> Result<Known, Refusal> {
    let answered = uow.store.advice(known.client.client).map_err(|e| of_store(&e))?;
    Ok(Known { answered, now: uow.wall.now(), ..known })
}

impl Known {
    /// What is planned from: a brief, or the one in force where none is given, with what the client weighs by the log. Which programme
    /// was before is for whoever plans to say.
    ///
    /// # Errors
    /// The client has no brief.
    pub fn brief_to_plan(&self, given: Option<Brief>) -> Result<Brief, Refusal> {
        let Some(mut brief) = given.or_else(|| self.brief.clone()) else {
            return Err(Refusal::new(
                Code::NothingInForce,
                format!("{} has no brief.", self.client.card.name),
                "setwright client change CLIENT --brief FILE gives one.",
            ));
        };
        brief.body.mass_kg = self.body_mass.or(brief.body.mass_kg);
        Ok(brief)
    }

    /// What is believed of the client when another brief is planned for: the lifts that it tells, and the log.
    pub fn belief_for(&self, brief: &Brief, catalogue: &Catalogue) -> Belief {
        let base = belief::of(brief, catalogue);
        with_judged(self.posterior.belief(&lifted_only(&base)), catalogue)
    }
}

/// A belief without what was judged from other lifts.
fn lifted_only(base: &Belief) -> Belief {
    let mut belief = base.clone();
    belief.one_rm.retain(|_, strength| strength.basis == Basis::Lifted);
    belief
}

/// What was never lifted, judged from all that was, the log included.
fn with_judged(mut belief: Belief, catalogue: &Catalogue) -> Belief {
    belief.one_rm = strength::with_judged(belief.one_rm, catalogue);
    belief
}

/// Hours since 1970.
pub fn hours(moment: Moment) -> Hours {
    Hours(moment.unix_ms() as f64 / MS_PER_HOUR)
}

/// A moment so many hours after another; the other when it is too far away to be written.
pub fn later(moment: Moment, by: Hours) -> Moment {
    let ms = moment.unix_ms() + (by.get() * MS_PER_HOUR) as i64;
    Moment::new(ms, moment.offset_min()).unwrap_or(moment)
}

/// A median with the interval that holds nine cases in ten.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LikelyRange {
    /// One case in twenty lies below.
    pub low: f64,
    /// Half lie below.
    pub median: f64,
    /// One case in twenty lies above.
    pub high: f64,
}

impl LikelyRange {
    /// The numbers of an interval.
    pub fn of<T: Copy>(interval: &Interval<T>, number: impl Fn(T) -> f64) -> Self {
        Self { low: number(interval.low), median: number(interval.median), high: number(interval.high) }
    }

    /// The same in another unit.
    #[must_use]
    pub fn map(self, number: impl Fn(f64) -> f64) -> Self {
        Self { low: number(self.low), median: number(self.median), high: number(self.high) }
    }
}

/// Why an answer is not yet the client's own, in words.
pub fn in_words(not_yet: &[NotYet]) -> Vec<&'static str> {
    let word = |why: &NotYet| match why {
        NotYet::PopulationValue => "population value, not yet this client's",
        NotYet::GapNeverSeen => "never seen after so long a gap",
        NotYet::RirMostlyMissing => "most sets came without reps in reserve",
        NotYet::ReserveDoesNotFit => "reps in reserve do not answer to load and reps: copied from the plan?",
        NotYet::NoHeavySet => "no heavy set anchors it: the change is better known than the value",
        NotYet::StallTooYoung => "under twelve weeks of log: too soon to tell",
        NotYet::StallOfOneExercise => "one exercise alone does not show a stall",
    };
    not_yet.iter().map(word).collect()
}
