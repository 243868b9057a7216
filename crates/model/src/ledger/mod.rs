//! The ledger's words: events, which are added and never changed, their identifiers and their moments.
//!
//! An event says what happened, to whom, when, who says so, and why. What stands now (a set as corrected, the brief
//! in force) is reckoned from events elsewhere; nothing here knows how they are kept.

mod consent;
mod event;
mod id;
mod moment;
mod rules;
#[cfg(test)]
mod tests;

pub use consent::{Consent, Purpose, Retention};
pub use event::{
    Actor, AdviceAnswered, AdviceReply, BodyMass, BriefSet, ClientCard, Event, Load, Note, PainAnswered,
    PainReply, PainReported, ProgrammePublished, Provenance, Role, ScreeningAnswered, SessionFinished,
    SessionResumed, SessionStarted, SetCorrected, SetDone, SetKind, SetLogged, Soreness, Spell, SpellKind,
    Voided, What,
};
pub use id::{BadId, ClientId, EventId, PersonId};
pub use moment::{BadMoment, Date, Moment};
pub use rules::{EventFault, faults};
