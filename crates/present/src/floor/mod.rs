//! Today's session as a device on the gym floor needs it: everything in one piece, so that it works without reception.
//! What the device writes comes back through [`setwright_coaching::arrivals`].

mod card;
mod near;

use super::{pain, view};
use card::cards;
use schemars::JsonSchema;
use serde::Serialize;
use setwright_check::audit;
use setwright_coaching::insight::{self, Known, coming};
use setwright_coaching::ledger::{UnitOfWork, of_store};
use setwright_model::code::Code;
use setwright_model::ledger::{ClientId, EventId, Moment, SetDone};
use setwright_model::person::BodyPart;
use setwright_model::refusal::Refusal;
use setwright_model::{BlockKind, Brief, Catalogue, Hours, Kilograms, Muscle, Programme, Session};
use setwright_science::clock;
use setwright_science::dose::{self, Doses};
use setwright_science::screening::{self, MayTrain};
use setwright_store::{ClientState, ProgrammeState, SessionState, Store, sha256};
use std::sync::Arc;

pub use card::{Card, Rung, WarmUpStep};
use near::AsItIs;
pub use near::Near;

/// Hours after which a session that nobody ended is no longer going on (judgement: longer than any training).
pub const OPEN_H: Hours = Hours(12.0);
/// Sessions among which the one that goes on is looked for (judgement: nobody begins more in a day).
const LATEST: usize = 16;

/// Today's session.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FloorView {
    /// Whose.
    pub client: ClientId,
    /// What the client is called.
    pub name: String,
    /// The session's identifier: the same on every device that asks before it begins.
    pub session: EventId,
    /// The programme it follows.
    pub programme: EventId,
    /// Day of the cycle, from 1.
    pub day: u32,
    /// Number in the cycle, from 1.
    pub number: usize,
    /// What it is for.
    pub focus: String,
    /// Minutes by the session clock.
    pub minutes: f64,
    /// Whether it has begun.
    pub begun: bool,
    /// When this was reckoned.
    pub now: Moment,
    /// Whether five brisk minutes come first.
    pub cold: bool,
    /// Blocks in order.
    pub blocks: Vec<FloorBlock>,
    /// Sets that are logged already.
    pub done: Vec<DoneView>,
    /// Muscles that may not be ready, in words.
    pub not_ready: Vec<String>,
    /// What is left out for pain, in sentences.
    pub left_out: Vec<String>,
    /// When it ended early, if it did: it can be taken up again.
    pub ended_early: Option<Moment>,
    /// Where it can hurt, as identifier and plain name.
    pub places: Vec<[&'static str; 2]>,
    /// Muscles that can be sore, as identifier and plain name.
    pub muscles: Vec<[&'static str; 2]>,
    /// What to do when something hurts.
    pub caution: &'static str,
}

/// A block.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FloorBlock {
    /// `A`, `B`.
    pub letter: String,
    /// How it is done.
    pub kind: BlockKind,
    /// Rest after a set or a round.
    pub rest_s: f64,
    /// Rest after a step of the warm-up.
    pub ramp_rest_s: f64,
    /// Its exercises.
    pub lanes: Vec<FloorLane>,
}

/// An exercise of a block, and what could stand in for it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FloorLane {
    /// The exercise.
    pub card: Card,
    /// Neighbours, the most alike first.
    pub near: Vec<Near>,
}

/// A set that is logged.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DoneView {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// What.
    pub done: SetDone,
}

/// The session that goes on, or the coming one. `known` answers what is believed of the client, or was before a session.
///
/// # Errors
/// No programme, or no brief; a client whom a clinician should see first.
pub fn floor(
    uow: &mut UnitOfWork,
    client: ClientState,
    known: impl FnOnce(&mut UnitOfWork, ClientState, Option<EventId>) -> Result<Arc<Known>, Refusal>,
    catalogue: &Catalogue,
) -> Result<FloorView, Refusal> {
    let open = going_on(uow, &client)?;
    let (id, begun) = (client.client, open.is_some());
    let ended_early = open.as_ref().and_then(|open| open.finished);
    let (known, index, session) = if let Some(open) = open {
        let known = known(uow, client, Some(open.id))?;
        let index = place(&known, open.started.day);
        (known, index, open.id)
    } else {
        let known = known(uow, client, None)?;
        let index = coming(&known).map(|c| c.index);
        let session = proposed(&known);
        (known, index, session)
    };
    let done = done(uow, id, session)?;
    let may = MayTrain::of(&*known)?;
    let (Some(state), Some(brief), Some(index)) = (&known.programme, &known.brief, index) else {
        let what = format!("{} has no programme in force.", known.client.card.name);
        return Err(Refusal::new(Code::NothingInForce, what, "Plan one from the client's page."));
    };
    Ok(of(&Scene { may, state, brief, catalogue }, index, Log { session, begun, ended_early, done }))
}

/// A session as the ledger has it now.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SessionNow {
    /// What the clock here says.
    pub now: Moment,
    /// Whether somebody ended it.
    pub finished: bool,
    /// Whether it ended early: then it can be taken up again.
    pub early: bool,
    /// Its sets as they stand; none when it has not begun.
    pub sets: Vec<DoneView>,
    /// Why it is not to be gone on with: a clinician's word comes first.
    pub withheld: Option<String>,
}

/// A session as the ledger has it now.
pub fn session_now(uow: &mut UnitOfWork, client: ClientId, session: EventId) -> Result<SessionNow, Refusal> {
    let state = uow.store.session(client, session).map_err(|e| of_store(&e))?;
    let (finished, early) = state.map_or((false, false), |s| (s.finished.is_some(), s.early));
    let brief = insight::brief_in_force(uow, client)?;
    let withheld = MayTrain::of(brief.as_ref()).err().map(|withheld| withheld.says());
    Ok(SessionNow { now: uow.wall.now(), finished, early, sets: done(uow, client, session)?, withheld })
}

fn done(uow: &mut UnitOfWork, client: ClientId, session: EventId) -> Result<Vec<DoneView>, Refusal> {
    let sets = uow.store.sets_of(client, session).map_err(|e| of_store(&e))?;
    Ok(sets.into_iter().map(|s| DoneView { id: s.id, at: s.at, done: s.done }).collect())
}

/// The session of the programme in force that was begun lately and that nobody ended, or that ended early.
fn going_on(uow: &mut UnitOfWork, client: &ClientState) -> Result<Option<SessionState>, Refusal> {
    let now = uow.wall.now();
    let sessions = uow.store.sessions_back(client.client, LATEST).map_err(|e| of_store(&e))?;
    let Some(programme) = uow.store.programme(client.client).map_err(|e| of_store(&e))? else {
        return Ok(None);
    };
    let last = sessions.into_iter().find(|s| s.started.programme == Some(programme.id));
    Ok(last.filter(|s| (s.finished.is_none() || s.early) && now.hours_since(s.at).get().abs() < OPEN_H.get()))
}

fn place(known: &Known, day: Option<u32>) -> Option<usize> {
    let sessions = &known.programme.as_ref()?.programme.sessions;
    sessions.iter().position(|s| Some(s.day) == day)
}

/// The identifier of the coming session. It follows from what was done before it, so two devices that ask agree.
fn proposed(known: &Known) -> EventId {
    let programme = known.programme.as_ref().map_or([0; 16], |p| p.id.bytes());
    let last = known.sessions.last().map_or([0; 16], |s| s.id.bytes());
    let client = known.client.client.bytes();
    EventId::derived(sha256(&[b"floor", &client, &programme, &last]).half())
}

/// Whoever is shown a session, and all that it is made of.
struct Scene<'a> {
    may: MayTrain<&'a Known>,
    state: &'a ProgrammeState,
    brief: &'a Brief,
    catalogue: &'a Catalogue,
}

impl Scene<'_> {
    const fn known(&self) -> &Known {
        self.may.whom()
    }

    /// Minutes of a session by the session clock.
    fn minutes(&self, session: &Session) -> f64 {
        let timeline = clock::session(session, self.catalogue, self.brief.time.cold);
        timeline.map_or(0.0, |t| t.minutes().get())
    }

    /// Errors of a session as the only one of its programme.
    fn errors(&self, session: &Session) -> usize {
        let one = Programme { sessions: vec![session.clone()], ..self.state.programme.clone() };
        let report = audit(&one, Some(self.brief), self.catalogue, &self.known().belief);
        report.count(setwright_model::Severity::Error)
    }

    fn mass(&self) -> Option<Kilograms> {
        self.known().body_mass
    }
}

/// Which session it is, and how far it went.
struct Log {
    session: EventId,
    begun: bool,
    ended_early: Option<Moment>,
    done: Vec<DoneView>,
}

fn of(scene: &Scene<'_>, index: usize, log: Log) -> FloorView {
    let Scene { state, brief, catalogue, .. } = scene;
    let known = scene.known();
    let empty = || Session { day: 1, focus: String::new(), blocks: Vec::new() };
    let published = state.programme.sessions.get(index).cloned().unwrap_or_else(empty);
    let planned = known.pains.without(&published);
    let (belief, _) = insight::tired_belief(known, &planned, known.now, catalogue);
    let session = insight::loaded(&planned, brief, scene.mass(), &belief, catalogue);
    let is = AsItIs {
        session: &session,
        belief: &belief,
        doses: dose::of_session(&session, catalogue),
        minutes: scene.minutes(&session),
        errors: scene.errors(&session),
    };
    let not_ready = insight::not_ready(known, &session, known.now, catalogue);
    FloorView {
        client: known.client.client,
        name: known.client.card.name.clone(),
        session: log.session,
        programme: state.id,
        day: session.day,
        number: index + 1,
        focus: session.focus.clone(),
        minutes: is.minutes,
        begun: log.begun,
        now: known.now,
        cold: brief.time.cold,
        blocks: blocks(scene, &is),
        done: log.done,
        not_ready: not_ready.iter().map(|m| m.name.to_owned()).collect(),
        left_out: pain::left_out(known, &published, catalogue),
        ended_early: log.ended_early,
        places: BodyPart::ALL.iter().map(|part| [part.id(), part.name()]).collect(),
        muscles: sore(&is.doses),
        caution: screening::CAUTION,
    }
}

fn blocks(scene: &Scene<'_>, is: &AsItIs<'_>) -> Vec<FloorBlock> {
    let session = is.session;
    let cards = cards(session, &scene.brief.equipment, scene.catalogue);
    let blocks = session.blocks.iter().zip(cards).enumerate();
    blocks
        .map(|(b, (block, cards))| FloorBlock {
            letter: view::letter(b),
            kind: block.kind,
            rest_s: block.rest_s.get(),
            ramp_rest_s: clock::ramp_rest_s(block.kind),
            lanes: cards
                .into_iter()
                .enumerate()
                .map(|(lane, card)| FloorLane { near: near::near(scene, is, [b, lane]), card })
                .collect(),
        })
        .collect()
}

/// Muscles of the session, from the top of the body down.
fn sore(doses: &Doses) -> Vec<[&'static str; 2]> {
    let trained = Muscle::ALL.into_iter().filter(|m| doses[m.index()].get() > 0.0);
    trained.map(|m| [m.id(), m.name()]).collect()
}
