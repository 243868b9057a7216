//! What is current of a client: the brief, the answers before training and the programme, each with the event it rests on, so that
//! whoever planned for it can tell later whether anything is newer.
//!
//! Answers before training are an event of their own. A brief that comes from a file or a page may bring answers; they are taken out of
//! it before it is kept, and they never take the place of what the client was heard to say since.

use super::{UnitOfWork, of_store};
use setwright_model::Brief;
use setwright_model::brief::Screening;
use setwright_model::code::Code;
use setwright_model::ledger::{BriefSet, ClientId, Event, EventId, Moment, ScreeningAnswered, What};
use setwright_model::refusal::Refusal;
use setwright_science::screening::outcome;
use setwright_store::{BriefState, EventFilter, ProgrammeState, ScreeningState, Seq, Store};

/// What was current of a client when a programme was begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Current {
    /// The client.
    pub client: ClientId,
    /// The event of the brief.
    pub brief: Option<EventId>,
    /// The event of the answers before training; that of the brief in a ledger where they stand in it.
    pub screening: Option<EventId>,
    /// The event of the programme.
    pub programme: Option<EventId>,
    /// The last event that was read; none when nothing but the brief was asked.
    pub last: Option<EventId>,
    /// Its place in the log.
    pub place: Seq,
}

impl Current {
    /// What is current now.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn of(uow: &mut UnitOfWork, client: ClientId) -> Result<Self, Refusal> {
        Ok(in_force(uow, client)?.0)
    }

    /// The same for a programme that is planned from the brief alone, without the log.
    #[must_use]
    pub const fn of_brief_alone(self) -> Self {
        Self { last: None, ..self }
    }
}

/// What is current of a client, with the brief in force and the programme themselves.
///
/// # Errors
/// A ledger that cannot be read.
pub fn in_force(
    uow: &mut UnitOfWork,
    client: ClientId,
) -> Result<(Current, Option<Brief>, Option<ProgrammeState>), Refusal> {
    // First of all the end of the log: what is written while the rest is read counts as newer.
    let last = last_of(uow, client)?;
    let (brief, answers) = brief_and_answers(uow, client)?;
    let programme = uow.store.programme(client).map_err(|e| of_store(&e))?;
    let current = Current {
        client,
        brief: brief.as_ref().map(|b| b.id),
        screening: answers.event,
        programme: programme.as_ref().map(|p| p.id),
        last: last.map(|(_, id)| id),
        place: last.map_or(0, |(place, _)| place),
    };
    Ok((current, brief.map(|set| answered(set, answers)), programme))
}

/// The last event of a client, with its place.
fn last_of(uow: &mut UnitOfWork, client: ClientId) -> Result<Option<(Seq, EventId)>, Refusal> {
    let filter = EventFilter { client: Some(client) };
    let last = uow.store.events_back(filter, None, 1).map_err(|e| of_store(&e))?;
    Ok(last.first().map(|kept| (kept.seq, kept.event.id)))
}

/// The answers before training that hold.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answers {
    /// The answers; all open when nobody was asked.
    pub screening: Screening,
    /// The event they rest on.
    pub event: Option<EventId>,
    /// When they were given.
    pub at: Option<Moment>,
}

/// The answers before training that hold of a client.
///
/// # Errors
/// A ledger that cannot be read.
pub fn answers(uow: &mut UnitOfWork, client: ClientId) -> Result<Answers, Refusal> {
    Ok(brief_and_answers(uow, client)?.1)
}

/// The brief of a client as it was kept, and the answers before training that hold.
fn brief_and_answers(
    uow: &mut UnitOfWork,
    client: ClientId,
) -> Result<(Option<BriefState>, Answers), Refusal> {
    let given = uow.store.screening(client).map_err(|e| of_store(&e))?;
    let brief = uow.store.brief(client).map_err(|e| of_store(&e))?;
    let answers = holding(brief.as_ref(), given);
    Ok((brief, answers))
}

/// Which of two answers hold: those given, or those in the brief of a ledger from before they were apart. A newer brief may have been
/// published from an old file, so it does not answer for somebody who was told to see a clinician.
fn holding(brief: Option<&BriefState>, given: Option<ScreeningState>) -> Answers {
    let in_brief = brief.filter(|set| set.brief.screening != Screening::default());
    let newer = |set: &&BriefState| {
        given.as_ref().is_none_or(|g| g.at.unix_ms() < set.at.unix_ms() && !outcome(&g.answers).stops())
    };
    match (in_brief.filter(newer), given) {
        (Some(set), _) => {
            Answers { screening: set.brief.screening.clone(), event: Some(set.id), at: Some(set.at) }
        }
        (None, Some(given)) => {
            Answers { screening: given.answers, event: Some(given.id), at: Some(given.at) }
        }
        (None, None) => Answers::default(),
    }
}

/// The brief in force of a client, with the answers before training that hold.
///
/// # Errors
/// A ledger that cannot be read.
pub fn brief_in_force(uow: &mut UnitOfWork, client: ClientId) -> Result<Option<Brief>, Refusal> {
    let (brief, answers) = brief_and_answers(uow, client)?;
    Ok(brief.map(|set| answered(set, answers)))
}

/// The brief with the answers that hold.
fn answered(set: BriefState, answers: Answers) -> Brief {
    Brief { screening: answers.screening, ..set.brief }
}

/// A brief without the answers before training, and without what is handed in only while it is planned for.
pub fn alone(brief: &Brief) -> Brief {
    let mut alone = Brief { screening: Screening::default(), ..brief.clone() };
    (alone.style.before, alone.style.step) = (None, None);
    alone
}

/// The answers that hold of a client once a brief came that brings answers too: an open question is answered by the brief, and a brief
/// that asks for a clinician is heard. Nothing else in it takes the place of what was answered.
///
/// # Errors
/// The brief says otherwise than what holds.
pub fn joined(name: &str, holds: &Answers, brought: &Screening) -> Result<Screening, Refusal> {
    let held = &holds.screening;
    if *brought == Screening::default() || *held == Screening::default() {
        return Ok(if *held == Screening::default() { brought.clone() } else { held.clone() });
    }
    let pairs = [
        (held.active, brought.active),
        (held.known_disease, brought.known_disease),
        (held.signs, brought.signs),
        (held.other, brought.other),
    ];
    let contradict =
        pairs.iter().any(|(held, brought)| brought.is_some() && held.is_some() && held != brought)
            || brought.cleared.is_some_and(|cleared| held.cleared != Some(cleared));
    if contradict {
        let hears = outcome(brought).stops() && !outcome(held).stops();
        return if hears { Ok(brought.clone()) } else { Err(otherwise(name, holds)) };
    }
    let [active, known_disease, signs, other] = pairs.map(|(held, brought)| held.or(brought));
    Ok(Screening { active, known_disease, signs, other, cleared: held.cleared })
}

fn otherwise(name: &str, holds: &Answers) -> Refusal {
    let since = holds.at.map_or_else(String::new, |at| format!(" of {}", at.date()));
    Refusal::new(
        Code::SomethingNewer,
        format!("The answers before training in this brief are not those{since} that hold for {name}."),
        "Take [screening] out of the brief; new answers are kept by setwright screen --client NAME, or on the page of the client's brief.",
    )
}

/// The events that keep a brief, with the answers that it brings apart from it.
///
/// # Errors
/// Answers that say otherwise than what holds, or a ledger that cannot be read.
pub fn keeping(
    uow: &mut UnitOfWork,
    client: ClientId,
    brief: &Brief,
    batch: Option<EventId>,
) -> Result<Vec<Event>, Refusal> {
    let (old, holds) = brief_and_answers(uow, client)?;
    let screening = joined(&brief.name, &holds, &brief.screening)?;
    let old = old.map(|b| b.id);
    let set = uow.event(client, None, batch, What::Brief(Box::new(BriefSet { brief: alone(brief) })));
    let mut events = vec![set];
    // Answers that stand in the old brief alone would be gone with it.
    let in_old = holds.event.is_some() && holds.event == old;
    if screening != holds.screening || in_old {
        events.push(answering(uow, client, &screening, batch));
    }
    Ok(events)
}

/// The event of answers before training.
pub fn answering(uow: &UnitOfWork, client: ClientId, screening: &Screening, batch: Option<EventId>) -> Event {
    let what = What::Screening(ScreeningAnswered { answers: screening.clone() });
    uow.event(client, None, batch, what)
}
