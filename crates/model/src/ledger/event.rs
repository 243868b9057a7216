//! What may stand in the ledger. The JSON form of an event is what is stored, exported and imported; unknown fields
//! are refused, and the order of fields is the order written.

use super::{ClientId, Consent, EventId, Moment, PersonId, Retention};
use crate::answer::Status;
use crate::brief::{Brief, Screening};
use crate::exercise::ExerciseId;
use crate::muscle::Muscle;
use crate::person::{BodyPart, BodySide};
use crate::programme::Programme;
use crate::units::{Kilograms, MassUnit, Seconds, Share};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Something that happened. It is never changed; a later event corrects or voids it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// Made by the device that wrote it, so that a second arrival is recognised.
    pub id: EventId,
    /// When it happened, which may be long before it was written.
    pub at: Moment,
    /// Whom it concerns.
    pub client: ClientId,
    /// Who says so.
    pub actor: Actor,
    /// What was written in one go shares this, and is undone in one go.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub batch: Option<EventId>,
    /// Why, where there is something to say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// What happened.
    pub what: What,
}

/// Who says that something happened.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Actor {
    /// In which role.
    pub role: Role,
    /// By what name; empty when there is only one of the role. It is not kept with the event: the ledger knows what `person` is called, as
    /// long as they want to be.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Who it is, as the ledger marks whoever has this name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub person: Option<PersonId>,
}

impl Actor {
    /// The coach, without a name.
    pub const COACH: Self = Self { role: Role::Coach, name: String::new(), person: None };

    /// Somebody of this role and name.
    pub const fn named(role: Role, name: String) -> Self {
        Self { role, name, person: None }
    }
}

/// A role of who writes in the ledger.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// A coach.
    Coach,
    /// The client.
    Client,
    /// Setwright itself.
    Program,
}

/// What happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// A client was added, or the card was changed: the whole card as it now is.
    Client(ClientCard),
    /// The brief in force from now on.
    Brief(Box<BriefSet>),
    /// A certified programme was handed out.
    Programme(Box<ProgrammePublished>),
    /// A session began. Its event is the session's identifier.
    SessionStarted(SessionStarted),
    /// A session ended.
    SessionFinished(SessionFinished),
    /// A session that had ended goes on.
    SessionResumed(SessionResumed),
    /// A set was done. Its event is the set's identifier.
    Set(SetLogged),
    /// A set was written wrongly: this is how it was.
    SetCorrected(SetCorrected),
    /// An event should not stand.
    Voided(Voided),
    /// How sore a muscle is.
    Soreness(Soreness),
    /// What the client weighs.
    BodyMass(BodyMass),
    /// Something worth remembering.
    Note(Note),
    /// Days on which the client did not train as usual, from this moment on.
    Spell(Spell),
    /// Answers to the questions before training.
    Screening(ScreeningAnswered),
    /// A piece of advice was accepted, declined or put off.
    Advice(AdviceAnswered),
    /// Something hurts. Its event is the report's identifier.
    Pain(PainReported),
    /// Somebody answered a report of pain.
    PainAnswered(PainAnswered),
    /// The client agreed to something, or took it back.
    Consent(Consent),
    /// How long what is said of the client is kept, from now on.
    Retention(Retention),
}

impl What {
    /// The word for this kind of event, as in its JSON form.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Client(_) => "client",
            Self::Brief(_) => "brief",
            Self::Programme(_) => "programme",
            Self::SessionStarted(_) => "session_started",
            Self::SessionFinished(_) => "session_finished",
            Self::SessionResumed(_) => "session_resumed",
            Self::Set(_) => "set",
            Self::SetCorrected(_) => "set_corrected",
            Self::Voided(_) => "voided",
            Self::Soreness(_) => "soreness",
            Self::BodyMass(_) => "body_mass",
            Self::Note(_) => "note",
            Self::Spell(_) => "spell",
            Self::Screening(_) => "screening",
            Self::Advice(_) => "advice",
            Self::Pain(_) => "pain",
            Self::PainAnswered(_) => "pain_answered",
            Self::Consent(_) => "consent",
            Self::Retention(_) => "retention",
        }
    }

    /// The earlier event that this one speaks of, if it does.
    pub const fn refers_to(&self) -> Option<EventId> {
        match self {
            Self::SessionFinished(finished) => Some(finished.session),
            Self::SessionResumed(resumed) => Some(resumed.session),
            Self::PainAnswered(answered) => Some(answered.report),
            Self::Set(set) => Some(set.session),
            Self::SetCorrected(corrected) => Some(corrected.set),
            Self::Voided(voided) => Some(voided.event),
            _ => None,
        }
    }
}

/// Who a client is, as far as the roster shows it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClientCard {
    /// What the client is called. Names are told apart without regard to case.
    pub name: String,
    /// A sentence for people.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub about: String,
    /// Whether the client trains no more; kept, and left out of the roster.
    #[serde(default, skip_serializing_if = "is_false")]
    pub away: bool,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "the signature that serde asks for")]
const fn is_false(value: &bool) -> bool {
    !*value
}

/// The brief in force from now on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BriefSet {
    /// The whole brief.
    pub brief: Brief,
}

/// A programme that was handed out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ProgrammePublished {
    /// The programme, certified when it was published.
    pub programme: Programme,
    /// How it came about.
    pub provenance: Provenance,
}

/// How a programme came about, enough to make it again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Provenance {
    /// The program and its version.
    pub program: String,
    /// The event of the brief it was certified for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub brief: Option<EventId>,
    /// The event of the answers before training that it was certified with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screening: Option<EventId>,
    /// The client's last event that the belief knew of with which it was certified.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub belief: Option<EventId>,
    /// The start of the checksum of the catalogue with which it was certified.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub catalogue: Option<String>,
    /// What was known of the answer; absent for a programme that was written by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub status: Option<Status>,
    /// Seed of the search.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    /// Moves and nodes that were spent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nodes: Option<u64>,
    /// Value in points.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// Bound in points.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bound: Option<f64>,
}

/// A session began.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SessionStarted {
    /// The published programme it follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub programme: Option<EventId>,
    /// Its day of that programme's cycle, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub day: Option<u32>,
}

/// A session ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SessionFinished {
    /// Which session.
    pub session: EventId,
    /// How hard it was as a whole, from 0 to 10.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub effort: Option<u32>,
    /// Whether it ended before what was planned was done: it does not count as done, and can be taken up again.
    #[serde(default, skip_serializing_if = "is_false")]
    pub early: bool,
}

/// A session that had ended goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SessionResumed {
    /// Which session.
    pub session: EventId,
}

/// A mass as it was written, and in kilograms. Both are kept: what was typed can be read again as it was, and a
/// number in the wrong unit can be found later.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Load {
    /// The number as written.
    pub value: f64,
    /// Its unit as written.
    pub unit: MassUnit,
    /// The same in kilograms.
    pub kg: Kilograms,
}

impl Load {
    /// A mass written so.
    pub const fn new(value: f64, unit: MassUnit) -> Self {
        Self { value, unit, kg: unit.mass(value) }
    }

    /// The number and the unit in which it was written: "135 lb".
    pub fn as_written(&self) -> String {
        format!("{} {}", self.value, self.unit.symbol())
    }

    /// As written where it was written in the unit that is asked for, and converted to that where not.
    pub fn shown_in(&self, unit: MassUnit) -> String {
        if self.unit == unit { self.as_written() } else { unit.load(self.kg) }
    }
}

/// Whether a set counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SetKind {
    /// A work set.
    #[default]
    Work,
    /// A step of a warm-up ramp.
    WarmUp,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "the signature that serde asks for")]
fn is_work(kind: &SetKind) -> bool {
    *kind == SetKind::Work
}

/// A set as it was done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SetDone {
    /// Which exercise.
    pub exercise: ExerciseId,
    /// Whether it counts.
    #[serde(default, skip_serializing_if = "is_work")]
    pub kind: SetKind,
    /// The load, as the exercise counts it; absent for the body alone and for bands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load: Option<Load>,
    /// Reps (seconds or metres where the exercise is measured so); 0 for a lift that was tried and failed.
    pub reps: u32,
    /// Reps left in reserve; absent when nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rir: Option<u32>,
    /// Rest before the set, when it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rest_s: Option<Seconds>,
}

/// A set was done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SetLogged {
    /// In which session.
    pub session: EventId,
    /// What was done.
    pub done: SetDone,
}

/// A set was written wrongly.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SetCorrected {
    /// The event that logged the set.
    pub set: EventId,
    /// How it was.
    pub done: SetDone,
}

/// An event should not stand. It stays in the ledger and counts no more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Voided {
    /// Which event.
    pub event: EventId,
}

/// How sore a muscle is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Soreness {
    /// Which muscle.
    pub muscle: Muscle,
    /// From 0 (nothing) to 10 (the worst there is).
    pub level: u32,
}

/// What the client weighs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BodyMass {
    /// As written, and in kilograms.
    pub mass: Load,
}

/// Something worth remembering.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// In words.
    pub text: String,
    /// The session, set or programme it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<EventId>,
}

/// Why days were not as usual.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SpellKind {
    /// Easy on purpose.
    Deload,
    /// Ill, or back from it.
    Illness,
}

/// Days on which the client did not train as usual. They begin when the event happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Spell {
    /// Why.
    pub kind: SpellKind,
    /// How many days, from 1.
    pub days: u32,
}

/// Answers to the questions before training.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ScreeningAnswered {
    /// The answers as they now are.
    pub answers: Screening,
}

/// What was said to a piece of advice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AdviceReply {
    /// It will be done.
    Accepted,
    /// It will not.
    Declined,
    /// Not now: it comes back after some days.
    Later,
}

/// A piece of advice was answered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AdviceAnswered {
    /// What it was about, in the identifiers of the tool: "muscle quads", "client".
    pub about: String,
    /// What was advised, in words.
    pub advice: String,
    /// What was said to it.
    pub reply: AdviceReply,
    /// How sure the tool was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub probability: Option<Share>,
    /// After how many days it comes back; with `later`, and only then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<u32>,
}

/// Something hurts: where, at what, in the words of whoever feels it. It says nothing of what it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PainReported {
    /// Where.
    pub place: BodyPart,
    /// On which side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<BodySide>,
    /// The exercise at which it was felt.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exercise: Option<ExerciseId>,
    /// The session in which it was felt.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub session: Option<EventId>,
    /// How it feels, in the client's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

/// What a coach says to a report of pain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PainReply {
    /// The movement is trained again.
    TrainAgain,
    /// The movement and what is near it stay out until another answer.
    LeaveOut,
}

/// Somebody answered a report of pain; who it was stands with the event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PainAnswered {
    /// Which report.
    pub report: EventId,
    /// What was said to it.
    pub reply: PainReply,
}
