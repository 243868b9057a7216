//! What stands now: the states that events add up to. Their JSON form is what is kept and compared byte by byte.

use serde::{Deserialize, Serialize};
use setwright_model::brief::{Brief, Screening};
use setwright_model::ledger::{
    Actor, AdviceAnswered, ClientCard, ClientId, Consent, EventId, Load, Moment, PainReply, PainReported,
    Provenance, Retention, SessionStarted, SetDone, Spell, What,
};
use setwright_model::{Muscle, Programme};

/// A kind of thing that stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StateKind {
    /// A client.
    Client,
    /// The brief in force.
    Brief,
    /// The programme in force.
    Programme,
    /// A session.
    Session,
    /// A set.
    Set,
    /// A soreness.
    Soreness,
    /// A body mass.
    BodyMass,
    /// A note.
    Note,
    /// Days that were not as usual.
    Spell,
    /// Answers before training.
    Screening,
    /// An answer to advice.
    Advice,
    /// A report of pain.
    Pain,
    /// What the client agreed to, or took back.
    Consent,
    /// How long what is said of the client is kept.
    Retention,
}

impl StateKind {
    /// All kinds.
    pub const ALL: [Self; 14] = [
        Self::Client,
        Self::Brief,
        Self::Programme,
        Self::Session,
        Self::Set,
        Self::Soreness,
        Self::BodyMass,
        Self::Note,
        Self::Spell,
        Self::Screening,
        Self::Advice,
        Self::Pain,
        Self::Consent,
        Self::Retention,
    ];

    /// The word that is kept.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Client => "client",
            Self::Brief => "brief",
            Self::Programme => "programme",
            Self::Session => "session",
            Self::Set => "set",
            Self::Soreness => "soreness",
            Self::BodyMass => "body_mass",
            Self::Note => "note",
            Self::Spell => "spell",
            Self::Screening => "screening",
            Self::Advice => "advice",
            Self::Pain => "pain",
            Self::Consent => "consent",
            Self::Retention => "retention",
        }
    }

    /// The kind of this word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// What an event is about, when it does not speak of another one.
    pub(crate) const fn of(what: &What) -> Option<Self> {
        match what {
            What::Client(_) => Some(Self::Client),
            What::Brief(_) => Some(Self::Brief),
            What::Programme(_) => Some(Self::Programme),
            What::SessionStarted(_) => Some(Self::Session),
            What::Set(_) => Some(Self::Set),
            What::Soreness(_) => Some(Self::Soreness),
            What::BodyMass(_) => Some(Self::BodyMass),
            What::Note(_) => Some(Self::Note),
            What::Spell(_) => Some(Self::Spell),
            What::Screening(_) => Some(Self::Screening),
            What::Advice(_) => Some(Self::Advice),
            What::Pain(_) => Some(Self::Pain),
            What::Consent(_) => Some(Self::Consent),
            What::Retention(_) => Some(Self::Retention),
            What::SessionFinished(_)
            | What::SessionResumed(_)
            | What::SetCorrected(_)
            | What::Voided(_)
            | What::PainAnswered(_) => None,
        }
    }

    /// Whether there is one of it for each client, rather than one for each event.
    pub(crate) const fn is_of_client(self) -> bool {
        matches!(self, Self::Client | Self::Brief | Self::Programme | Self::Retention)
    }
}

/// Something that stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// A client.
    Client(ClientState),
    /// The brief in force.
    Brief(Box<BriefState>),
    /// The programme in force.
    Programme(Box<ProgrammeState>),
    /// A session.
    Session(SessionState),
    /// A set.
    Set(SetState),
    /// A soreness.
    Soreness(SorenessState),
    /// A body mass.
    BodyMass(BodyMassState),
    /// A note.
    Note(NoteState),
    /// Days that were not as usual.
    Spell(SpellState),
    /// Answers before training.
    Screening(ScreeningState),
    /// An answer to advice.
    Advice(AdviceState),
    /// A report of pain.
    Pain(PainState),
    /// What the client agreed to, or took back.
    Consent(ConsentState),
    /// How long what is said of the client is kept.
    Retention(RetentionState),
}

/// A client as the card now is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClientState {
    /// Which client.
    pub client: ClientId,
    /// The event the card goes back to.
    pub id: EventId,
    /// When the client was added.
    pub added: Moment,
    /// The card.
    pub card: ClientCard,
}

/// The brief in force.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BriefState {
    /// The event that set it.
    pub id: EventId,
    /// Since when.
    pub at: Moment,
    /// The brief.
    pub brief: Brief,
}

/// The programme in force.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ProgrammeState {
    /// The event that published it.
    pub id: EventId,
    /// Since when.
    pub at: Moment,
    /// The programme.
    pub programme: Programme,
    /// How it came about.
    pub provenance: Provenance,
}

/// A session.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SessionState {
    /// Which session: the event that began it.
    pub id: EventId,
    /// When it began.
    pub at: Moment,
    /// What it follows.
    pub started: SessionStarted,
    /// When it ended, if anyone said.
    pub finished: Option<Moment>,
    /// How hard it was as a whole, from 0 to 10, if anyone said.
    pub effort: Option<u32>,
    /// Whether it ended early: then it does not count as done.
    pub early: bool,
}

impl SessionState {
    /// Whether it counts: one that ended early does not, and can be taken up again.
    pub const fn counts(&self) -> bool {
        !self.early
    }
}

/// A set as it now stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetState {
    /// Which set: the event that logged it.
    pub id: EventId,
    /// When it was done.
    pub at: Moment,
    /// In which session.
    pub session: EventId,
    /// What was done, with the last correction.
    pub done: SetDone,
    /// The event of the last correction, if there is one.
    pub corrected: Option<EventId>,
}

/// How sore a muscle was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SorenessState {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// Which muscle.
    pub muscle: Muscle,
    /// From 0 to 10.
    pub level: u32,
}

/// What the client weighed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BodyMassState {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// As written, and in kilograms.
    pub mass: Load,
}

/// Something worth remembering.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NoteState {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// In words.
    pub text: String,
    /// What it is about.
    pub about: Option<EventId>,
}

/// Days that were not as usual.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SpellState {
    /// The event.
    pub id: EventId,
    /// When they began.
    pub at: Moment,
    /// What they were, and how many.
    pub spell: Spell,
}

/// Answers to the questions before training.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ScreeningState {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// The answers.
    pub answers: Screening,
}

/// What was said to a piece of advice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AdviceState {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// What was advised and what was said to it.
    pub answered: AdviceAnswered,
    /// Why, where it was said.
    pub reason: Option<String>,
}

/// A report of pain, and what was last said to it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PainState {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// What was reported.
    pub report: PainReported,
    /// The answer, if there is one.
    pub answer: Option<PainAnswer>,
}

/// What the client agreed to, or took back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ConsentState {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// What was said.
    pub said: Consent,
}

/// How long what is said of the client is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RetentionState {
    /// The event.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// The rule.
    pub rule: Retention,
}

impl State {
    /// Whoever is named in it as having written something.
    pub(crate) fn writer(&mut self) -> Option<&mut Actor> {
        match self {
            Self::Pain(pain) => pain.answer.as_mut().map(|answer| &mut answer.by),
            _ => None,
        }
    }
}

/// What was said to a report of pain, and by whom.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PainAnswer {
    /// When.
    pub at: Moment,
    /// Who said so.
    pub by: Actor,
    /// What was said.
    pub reply: PainReply,
    /// Why, where it was said.
    pub reason: Option<String>,
}
