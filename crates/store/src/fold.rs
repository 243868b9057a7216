//! From the events about one thing to what stands of it. A pure function: order of arrival decides nothing but ties
//! that cannot happen, so that two ledgers with the same events say the same.

use crate::state::{
    AdviceState, BodyMassState, BriefState, ClientState, ConsentState, NoteState, PainAnswer, PainState,
    ProgrammeState, RetentionState, ScreeningState, SessionState, SetState, SorenessState, SpellState, State,
    StateKind,
};
use setwright_model::ledger::{ClientId, Event, EventId, Moment, SessionFinished, What};
use std::collections::BTreeSet;

/// The version of what this file reckons. A ledger that was written by another one is rebuilt when it is opened.
pub(crate) const FOLD_VERSION: u32 = 2;

/// What stands of one thing, and where it belongs.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Standing {
    pub client: ClientId,
    pub at_ms: i64,
    pub id: EventId,
    pub state: State,
}

/// What stands of a thing, given all events about it; nothing if the event it rests on was voided.
pub(crate) fn fold(kind: StateKind, subject: [u8; 16], events: &[Event]) -> Option<Standing> {
    let voided: BTreeSet<EventId> = events.iter().filter_map(voids).collect();
    let mut live: Vec<&Event> =
        events.iter().filter(|e| voids(e).is_none() && !voided.contains(&e.id)).collect();
    live.sort_by_key(|e| (e.at.unix_ms(), e.id));
    let rests_on = if kind.is_of_client() {
        live.last().copied()
    } else {
        live.iter().copied().find(|e| e.id.bytes() == subject)
    }?;
    let state = state(rests_on, &live)?;
    Some(Standing { client: rests_on.client, at_ms: rests_on.at.unix_ms(), id: rests_on.id, state })
}

const fn voids(event: &Event) -> Option<EventId> {
    match &event.what {
        What::Voided(voided) => Some(voided.event),
        _ => None,
    }
}

/// The state that rests on `event`, with what the other live events, in their order, change of it.
fn state(event: &Event, live: &[&Event]) -> Option<State> {
    let Event { id, at, client, .. } = *event;
    Some(match &event.what {
        What::Client(card) => {
            let added = live.first().map_or(at, |first| first.at);
            State::Client(ClientState { client, id, added, card: card.clone() })
        }
        What::Brief(set) => State::Brief(Box::new(BriefState { id, at, brief: set.brief.clone() })),
        What::Programme(published) => State::Programme(Box::new(ProgrammeState {
            id,
            at,
            programme: published.programme.clone(),
            provenance: published.provenance.clone(),
        })),
        What::SessionStarted(started) => {
            let end = end_of(live);
            State::Session(SessionState {
                id,
                at,
                started: started.clone(),
                finished: end.map(|(at, _)| at),
                effort: end.and_then(|(_, finished)| finished.effort),
                early: end.is_some_and(|(_, finished)| finished.early),
            })
        }
        What::Set(logged) => {
            let correction = live.iter().rev().find_map(|e| match &e.what {
                What::SetCorrected(corrected) => Some((e.id, &corrected.done)),
                _ => None,
            });
            let done = correction.map_or(&logged.done, |(_, done)| done).clone();
            let corrected = correction.map(|(id, _)| id);
            State::Set(SetState { id, at, session: logged.session, done, corrected })
        }
        What::Soreness(sore) => {
            State::Soreness(SorenessState { id, at, muscle: sore.muscle, level: sore.level })
        }
        What::BodyMass(body) => State::BodyMass(BodyMassState { id, at, mass: body.mass }),
        What::Note(note) => State::Note(NoteState { id, at, text: note.text.clone(), about: note.about }),
        What::Spell(spell) => State::Spell(SpellState { id, at, spell: *spell }),
        What::Screening(screening) => {
            State::Screening(ScreeningState { id, at, answers: screening.answers.clone() })
        }
        What::Advice(answered) => {
            State::Advice(AdviceState { id, at, answered: answered.clone(), reason: event.reason.clone() })
        }
        What::Pain(report) => {
            State::Pain(PainState { id, at, report: report.clone(), answer: answer_to_pain(live) })
        }
        What::Consent(said) => State::Consent(ConsentState { id, at, said: said.clone() }),
        What::Retention(rule) => State::Retention(RetentionState { id, at, rule: *rule }),
        What::SessionFinished(_)
        | What::SessionResumed(_)
        | What::SetCorrected(_)
        | What::Voided(_)
        | What::PainAnswered(_) => return None,
    })
}

/// When and how a session ended; nothing when it goes on, as was said last.
fn end_of(live: &[&Event]) -> Option<(Moment, SessionFinished)> {
    let last = live.iter().rev().find_map(|e| match &e.what {
        What::SessionFinished(finished) => Some(Some((e.at, *finished))),
        What::SessionResumed(_) => Some(None),
        _ => None,
    });
    last.flatten()
}

/// What was last said to a report of pain.
fn answer_to_pain(live: &[&Event]) -> Option<PainAnswer> {
    live.iter().rev().find_map(|e| match &e.what {
        What::PainAnswered(answered) => {
            let (by, reason) = (e.actor.clone(), e.reason.clone());
            Some(PainAnswer { at: e.at, by, reply: answered.reply, reason })
        }
        _ => None,
    })
}
