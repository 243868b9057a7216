//! One session of the ledger: what was planned for it beside what was done, and what was said that day.

use super::{UnitOfWork, of_store};
use setwright_model::code::Code;
use setwright_model::ledger::{EventId, Moment, SetKind, What};
use setwright_model::refusal::Refusal;
use setwright_model::{Catalogue, ExerciseId, Prescription, Session};
use setwright_store::{ClientState, SessionState, SetState, Store};

/// A session, planned and done.
#[derive(Clone, Debug)]
pub struct SessionSheet {
    /// Whose.
    pub client: ClientState,
    /// When it began, when it ended, how hard it was.
    pub state: SessionState,
    /// Its sets in order, as they stand.
    pub sets: Vec<SetState>,
    /// The session that it followed, where one is known.
    pub planned: Option<Session>,
    /// Exercises, as planned and then as they came.
    pub lines: Vec<DoneLine>,
    /// Soreness of that day, in words.
    pub sore: Vec<String>,
    /// Notes of that day or about it.
    pub notes: Vec<String>,
}

/// An exercise, planned and done.
#[derive(Clone, Debug, PartialEq)]
pub struct DoneLine {
    /// Which.
    pub id: ExerciseId,
    /// Plain name.
    pub name: String,
    /// How it was planned.
    pub planned: Option<Prescription>,
    /// Work sets that were done.
    pub done: Vec<SetState>,
}

/// A session of a client.
///
/// # Errors
/// An unknown client, or no such session of this client.
pub fn sheet(
    uow: &mut UnitOfWork,
    wanted: &str,
    session: &str,
    catalogue: &Catalogue,
) -> Result<SessionSheet, Refusal> {
    let client = uow.client(wanted)?;
    let broken = |e| of_store(&e);
    let id: Option<EventId> = session.trim().parse().ok();
    let state = match id {
        Some(id) => uow.store.session(client.client, id).map_err(broken)?,
        None => None,
    };
    let state = state.ok_or_else(|| {
        Refusal::new(
            Code::NoSuchEvent,
            format!("{} has no such session.", client.card.name),
            "The ledger on the client's page links all of them.",
        )
    })?;
    let sets = uow.store.sets_of(client.client, state.id).map_err(broken)?;
    let planned = planned(uow, &state)?;
    let sore = uow.store.soreness(client.client).map_err(broken)?;
    let notes = uow.store.notes(client.client).map_err(broken)?;
    let same_day = |at: Moment| at.date() == state.at.date();
    let about = |n: &setwright_store::NoteState| match n.about {
        Some(about) => about == state.id || sets.iter().any(|s| s.id == about),
        None => same_day(n.at),
    };
    Ok(SessionSheet {
        lines: lines(planned.as_ref(), &sets, catalogue),
        sore: sore
            .iter()
            .filter(|s| same_day(s.at))
            .map(|s| format!("{} {} of 10", s.muscle.name(), s.level))
            .collect(),
        notes: notes.iter().filter(|n| about(n)).map(|n| n.text.clone()).collect(),
        client,
        state,
        sets,
        planned,
    })
}

/// The session of the programme that it followed, also when another is in force by now.
fn planned(uow: &mut UnitOfWork, state: &SessionState) -> Result<Option<Session>, Refusal> {
    let (Some(programme), Some(day)) = (state.started.programme, state.started.day) else { return Ok(None) };
    let event = uow.store.event(programme).map_err(|e| of_store(&e))?;
    Ok(event.and_then(|event| match event.what {
        What::Programme(published) => published.programme.sessions.into_iter().find(|s| s.day == day),
        _ => None,
    }))
}

fn lines(planned: Option<&Session>, sets: &[SetState], catalogue: &Catalogue) -> Vec<DoneLine> {
    let name = |id: &ExerciseId| catalogue.get(id).map_or_else(|| id.to_string(), |e| e.name.clone());
    let mut out: Vec<DoneLine> = planned
        .into_iter()
        .flat_map(Session::prescriptions)
        .map(|p| DoneLine { id: p.id.clone(), name: name(&p.id), planned: Some(p.clone()), done: Vec::new() })
        .collect();
    for set in sets.iter().filter(|s| s.done.kind == SetKind::Work) {
        let id = &set.done.exercise;
        if let Some(line) = out.iter_mut().find(|l| l.id == *id) {
            line.done.push(set.clone());
        } else {
            out.push(DoneLine { id: id.clone(), name: name(id), planned: None, done: vec![set.clone()] });
        }
    }
    out
}
