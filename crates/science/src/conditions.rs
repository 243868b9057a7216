//! What conditions, age, a return, pain and what can be done mean for a programme: what is out and why, how hard at
//! most, what goes first, and what is to be said. The planner and the check both use it.
//!
//! It never diagnoses, and it never decides whether somebody may train: [`crate::screening`] comes first. Every
//! caution puts the clinician's word before its own. What a client told of stays unless a condition, a pain or the
//! brief itself forbids it; then it is said.

mod guide;
mod kind;
mod life;
mod named;
#[cfg(test)]
mod tests;

pub use guide::{Limits, SharedFeature};
pub use kind::{MovementKind, fails_under, is_supported};

use crate::screening::Question;
use guide::Guide;
use setwright_model::brief::{Brief, Condition, Hurts, Place, TestKind, Tick, TrainingAge};
use setwright_model::exercise::Ask;
use setwright_model::{Catalogue, Exercise, ExerciseId, Pattern};
use std::collections::BTreeSet;

/// Age from which the position statement for older adults applies (Fragala 2019, J Strength Cond Res 33:2019 (B)).
pub const OLDER_YEARS: u32 = 65;
/// Age from which what is got into and out of alone is chosen with care (judgement).
const VERY_OLD_YEARS: u32 = 75;
/// Age from which nobody climbs into a band under a bar (judgement).
pub const BAND_YEARS_MAX: u32 = 60;
/// Body mass in kilograms from which the same holds (judgement).
pub const BAND_KG_MAX: f64 = 85.0;

/// Why something is out or limited.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The brief leaves it out.
    Brief,
    /// A condition that a clinician has named.
    Condition(Condition),
    /// A movement that hurts.
    Hurts(Hurts),
    /// Something that was tried and cannot be done.
    Cannot(Tick),
    /// 65 years and more.
    Older,
    /// Back after a stop or an operation.
    Returning,
    /// In the first weeks, with an answer before training that asked for a clinician.
    NewWithAnAnswer,
    /// The brief leaves out bending or loading the back.
    SparedBack,
    /// The brief leaves out deep knees and kneeling.
    SparedKnees,
    /// The brief leaves out the end of the shoulder's range.
    SparedShoulder,
    /// The brief leaves out arms overhead.
    SparedOverhead,
    /// The brief leaves out a strong grip.
    SparedGrip,
    /// Too heavy, too new or too old to climb into a band.
    BandUnderBody,
    /// Nobody is there to take the bar.
    Alone,
    /// The first hour of the day.
    Early,
}

impl Cause {
    /// The cause in words: "brittle bones", "65 years and more".
    pub const fn name(self) -> &'static str {
        match self {
            Self::Brief => "what the brief leaves out",
            Self::Condition(condition) => condition.name(),
            Self::Hurts(hurts) => hurts.name(),
            Self::Cannot(tick) => tick.name(),
            Self::Older => "65 years and more",
            Self::Returning => "back after a stop",
            Self::NewWithAnAnswer => "the first weeks, with an answer that asked for a clinician",
            Self::SparedBack => "a back that is spared",
            Self::SparedKnees => "knees that are spared",
            Self::SparedShoulder => "a shoulder that is spared",
            Self::SparedOverhead => "arms that stay below the head",
            Self::SparedGrip => "a hand that is spared",
            Self::BandUnderBody => "own weight, age or the first weeks",
            Self::Alone => "training alone",
            Self::Early => "the first hour of the day",
        }
    }

    /// Where the rule comes from, and how well that is known.
    pub const fn source(self) -> &'static str {
        match self.guide() {
            Some(guide) => guide.source,
            None => "the brief",
        }
    }

    const fn guide(self) -> Option<&'static Guide> {
        Some(match self {
            Self::Brief => return None,
            Self::Condition(condition) => named::of(condition),
            Self::Hurts(hurts) => life::of_pain(hurts),
            Self::Cannot(tick) => life::of_tick(tick),
            Self::Older => &life::OLDER,
            Self::Returning => &life::RETURNING,
            Self::NewWithAnAnswer => &life::NEW_WITH_AN_ANSWER,
            Self::SparedBack => &life::SPARED_BACK,
            Self::SparedKnees => &life::SPARED_KNEES,
            Self::SparedShoulder => &life::SPARED_SHOULDER,
            Self::SparedOverhead => &life::SPARED_OVERHEAD,
            Self::SparedGrip => &life::SPARED_GRIP,
            Self::BandUnderBody => &life::BAND_UNDER_BODY,
            Self::Alone => &life::ALONE,
            Self::Early => &life::EARLY,
        })
    }

    /// The second half of "left out: ...".
    fn reason(self) -> String {
        match self {
            Self::Brief => "the brief leaves that out".to_owned(),
            Self::Hurts(hurts) => format!("that hurts ({})", hurts.name()),
            Self::Cannot(tick) => format!("not possible yet ({})", tick.name()),
            other => other.name().to_owned(),
        }
    }
}

/// Why an exercise is not for this client.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exclusion {
    /// Why.
    pub cause: Cause,
    /// What the exercise does that is out, as it follows "it".
    pub does: String,
}

impl Exclusion {
    /// The bar as a half-sentence: "bends the back against a load (brittle bones)".
    pub fn says(&self) -> String {
        format!("{} ({})", self.does, self.cause.reason())
    }
}

/// All that a brief asks for in care, read once.
#[derive(Clone, Debug)]
pub struct Care<'a> {
    brief: &'a Brief,
    guides: Vec<(Cause, &'static Guide)>,
    asks: BTreeSet<Ask>,
}

impl<'a> Care<'a> {
    /// Of a brief.
    pub fn of(brief: &'a Brief) -> Self {
        Self { brief, guides: guides(brief), asks: brief.exclude.asks.iter().copied().collect() }
    }

    /// How hard at most.
    pub fn limits(&self) -> Limits {
        self.guides.iter().fold(Limits::FREE, |limits, (_, guide)| limits.and(guide.limits))
    }

    /// Why an exercise is not for this client, or nothing. What was told is out only by the brief, by a condition or a
    /// pain that forbids it, or because it cannot be done.
    pub fn bar(&self, exercise: &Exercise) -> Option<Exclusion> {
        if let Some(ask) = exercise.asks.iter().find(|a| self.asks.contains(a)) {
            return Some(Exclusion { cause: Cause::Brief, does: SharedFeature::Ask(*ask).words() });
        }
        let never = self.guides.iter().find_map(|(cause, guide)| {
            let what = guide.never.iter().find(|what| what.fits(exercise))?;
            Some(Exclusion { cause: *cause, does: what.words() })
        });
        if never.is_some() || told(self.brief, &exercise.id) {
            return never;
        }
        self.guides.iter().find_map(|(cause, guide)| {
            let what = guide.untold.iter().find(|what| what.fits(exercise)).map(|what| what.words());
            let does = what.or_else(|| guide.limits.passed_by(exercise).map(str::to_owned))?;
            Some(Exclusion { cause: *cause, does })
        })
    }

    /// Reps left in reserve at least, in this exercise.
    pub fn rir_least(&self, exercise: &Exercise) -> u32 {
        let own = self.guides.iter().flat_map(|(_, guide)| guide.reserve);
        own.filter(|(what, _)| what.fits(exercise))
            .map(|(_, rir)| *rir)
            .fold(self.limits().rir_least, u32::max)
    }

    /// Patterns that should be in the cycle, with the cause.
    pub fn wanted(&self) -> Vec<(Pattern, Cause)> {
        let mut wanted: Vec<(Pattern, Cause)> = Vec::new();
        for (cause, guide) in &self.guides {
            for pattern in guide.wanted {
                if !wanted.iter().any(|(p, _)| p == pattern) {
                    wanted.push((*pattern, *cause));
                }
            }
        }
        wanted
    }

    /// What applies to this client, in the order of weight.
    pub fn causes(&self) -> Vec<Cause> {
        let mut causes: Vec<Cause> = Vec::new();
        for (cause, _) in &self.guides {
            if !causes.contains(cause) {
                causes.push(*cause);
            }
        }
        causes
    }
}

/// Whether the client is 65 or more. Nobody is taken to be older than was said.
pub fn is_older(brief: &Brief) -> bool {
    brief.body.age.is_some_and(|age| age >= OLDER_YEARS)
}

/// Whether the client comes back after a stop or an operation: not active, and something that asked for a clinician
/// or an operation; or nothing trained at present after years of it.
pub fn is_returning(brief: &Brief) -> bool {
    let stopped = brief.screening.active != Some(true);
    let medical = brief.screening.other == Some(true) || brief.conditions.iter().any(|c| is_operation(*c));
    let trained = matches!(brief.training_age, TrainingAge::Intermediate | TrainingAge::Advanced);
    (stopped && medical) || (trained && has_stopped(brief))
}

/// Whether nothing is trained at present: what was told is from before a stop.
pub fn has_stopped(brief: &Brief) -> bool {
    brief.present.sessions == Some(0)
}

const fn is_operation(condition: Condition) -> bool {
    matches!(
        condition,
        Condition::HipReplaced
            | Condition::KneeReplaced
            | Condition::ShoulderRepaired
            | Condition::BackOperated
            | Condition::AfterBirth
    )
}

/// Whether the client told of this exercise: a lift, or something of the present week.
pub fn told(brief: &Brief, id: &ExerciseId) -> bool {
    brief.lifts.iter().any(|lift| &lift.exercise == id) || brief.present.exercises.contains(id)
}

/// Whether something can be done: ticked, or tried at least once; nothing when nobody tried.
pub fn can(brief: &Brief, tick: Tick) -> Option<bool> {
    let tried = brief.tests.iter().filter(|test| tick_of(test.what) == Some(tick));
    let most = tried.map(|test| test.count).max();
    if brief.can.contains(&tick) || most.is_some_and(|count| count > 0) {
        Some(true)
    } else if brief.cannot.contains(&tick) || most == Some(0) {
        Some(false)
    } else {
        None
    }
}

/// What a test of this kind tells of.
pub const fn tick_of(test: TestKind) -> Option<Tick> {
    match test {
        TestKind::PressUps => Some(Tick::FullPressUp),
        TestKind::PullUps => Some(Tick::PullUp),
        TestKind::ChairRises => Some(Tick::ChairWithoutHands),
        TestKind::KneePressUps | TestKind::Plank => None,
    }
}

/// Everything that must not be asked of the client in an exercise that was not told: by the brief, conditions, pain,
/// age, and what cannot be done.
pub fn asks_out(brief: &Brief) -> BTreeSet<Ask> {
    let care = Care::of(brief);
    let of_guides = care.guides.iter().flat_map(|(_, guide)| guide.never.iter().chain(guide.untold));
    let asks = of_guides.filter_map(|what| match what {
        SharedFeature::Ask(ask) => Some(*ask),
        _ => None,
    });
    asks.chain(care.asks.iter().copied()).collect()
}

/// How hard at most.
pub fn limits(brief: &Brief) -> Limits {
    Care::of(brief).limits()
}

/// What the client told of and may not do, each with the reason.
pub fn told_and_out(brief: &Brief, catalogue: &Catalogue) -> Vec<(ExerciseId, Exclusion)> {
    let care = Care::of(brief);
    let ids: BTreeSet<&ExerciseId> =
        brief.lifts.iter().map(|lift| &lift.exercise).chain(&brief.present.exercises).collect();
    ids.into_iter().filter_map(|id| Some((id.clone(), care.bar(catalogue.get(id)?)?))).collect()
}

/// Answers before training that say no to what a condition of the brief says yes to. Nothing is corrected: who asks
/// must ask again.
pub fn contradicted(brief: &Brief) -> Vec<(Question, Condition)> {
    let answers = &brief.screening;
    let said_no = |condition: &Condition| match condition {
        Condition::Heart | Condition::Diabetes if answers.known_disease == Some(false) => {
            Some((Question::KnownDisease, *condition))
        }
        Condition::Pregnancy if answers.other == Some(false) => Some((Question::Other, *condition)),
        _ => None,
    };
    brief.conditions.iter().filter_map(said_no).collect()
}

/// Sentences for the coach and the client, the clinician's word first. Empty for somebody with nothing to mind.
pub fn cautions(brief: &Brief) -> Vec<String> {
    let mut out = Vec::new();
    if !brief.conditions.is_empty() {
        out.push(FIRST_WORD.to_owned());
        if brief.screening.cleared != Some(true) {
            out.push(NOT_CLEARED.to_owned());
        }
        for (question, condition) in contradicted(brief) {
            let (name, id) = (condition.name(), question.id());
            out.push(format!(
                "The brief names {name}, and the answer to \"{id}\" is no: ask again before training."
            ));
        }
    }
    if !brief.hurts.is_empty() {
        let named: Vec<&str> = brief.hurts.iter().map(|h| h.name()).collect();
        out.push(format!("{} What hurts is left out: {}.", PAIN_FIRST, named.join(", ")));
    }
    if !brief.hurts.is_empty() && brief.screening.other == Some(false) {
        out.push(PAIN_COUNTS.to_owned());
    }
    for (cause, guide) in guides(brief) {
        if !guide.caution.is_empty() {
            out.push(format!("{}: {}", capital(cause.name()), guide.caution));
        }
    }
    out
}

/// Said before anything else when a condition is named.
const FIRST_WORD: &str = "What a clinician has said of these conditions comes before everything below; none of it is a \
    diagnosis or a treatment.";
/// Said when no clinician has been heard.
const NOT_CLEARED: &str =
    "Nobody has noted yet that a clinician has agreed to this training: ask before the first session.";
/// Said when something hurts and the answer before training is that nothing does.
const PAIN_COUNTS: &str = "Pain counts as a yes to the last question before training (other): ask again.";
/// Said when something hurts.
const PAIN_FIRST: &str = "Pain that is new, grows or stays is for a clinician.";

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The guides that apply, what weighs most first.
fn guides(brief: &Brief) -> Vec<(Cause, &'static Guide)> {
    let named = brief.conditions.iter().map(|c| Cause::Condition(*c));
    let pain = brief.hurts.iter().map(|h| Cause::Hurts(*h));
    let cannot = Tick::ALL.iter().filter(|t| can(brief, **t) == Some(false)).map(|t| Cause::Cannot(*t));
    let causes = named.chain(pain).chain(cannot).chain(of_life(brief));
    let mut out: Vec<(Cause, &'static Guide)> = causes.filter_map(|c| Some((c, c.guide()?))).collect();
    out.extend(of_age(brief).into_iter().map(|guide| (Cause::Older, guide)));
    if is_returning(brief) && has_stopped(brief) {
        out.push((Cause::Returning, &life::STOPPED));
    }
    if is_new_with_an_answer(brief) && brief.equipment.place == Place::FullGym {
        out.push((Cause::NewWithAnAnswer, &life::NEW_AND_SEATED));
    }
    let leaves_out = |ask| brief.exclude.asks.contains(&ask);
    if leaves_out(Ask::SpineLoad) && leaves_out(Ask::SpineBend) {
        out.push((Cause::SparedBack, &life::SPARED_BACK_WHOLLY));
    }
    out
}

fn is_new_with_an_answer(brief: &Brief) -> bool {
    let medical = brief.screening.other == Some(true) || brief.screening.known_disease == Some(true);
    brief.training_age == TrainingAge::FirstWeeks && medical
}

/// Causes from age, history, exclusions, company and hour.
fn of_life(brief: &Brief) -> Vec<Cause> {
    let out = |ask| brief.exclude.asks.contains(&ask);
    let rules = [
        (is_older(brief), Cause::Older),
        (is_returning(brief), Cause::Returning),
        (is_new_with_an_answer(brief), Cause::NewWithAnAnswer),
        (out(Ask::SpineLoad) || out(Ask::Hinge) || out(Ask::SpineBend), Cause::SparedBack),
        (out(Ask::DeepKnee) && out(Ask::Kneeling), Cause::SparedKnees),
        (out(Ask::ShoulderExtreme), Cause::SparedShoulder),
        (out(Ask::Overhead), Cause::SparedOverhead),
        (out(Ask::Grip), Cause::SparedGrip),
        (is_beyond_a_band(brief), Cause::BandUnderBody),
        (brief.alone == Some(true), Cause::Alone),
        (brief.time.early, Cause::Early),
    ];
    rules.into_iter().filter(|(applies, _)| *applies).map(|(_, cause)| cause).collect()
}

/// What follows from age beside [`life::OLDER`], by what the client is known to do.
fn of_age(brief: &Brief) -> Vec<&'static Guide> {
    if !is_older(brief) {
        return Vec::new();
    }
    let can = |tick| can(brief, tick) == Some(true);
    let begins = matches!(brief.training_age, TrainingAge::FirstWeeks | TrainingAge::Beginner);
    let new = begins || is_returning(brief);
    let rules = [
        (new, &life::OLDER_AND_NEW),
        (new && brief.body.age.is_some_and(|age| age >= VERY_OLD_YEARS), &life::VERY_OLD_AND_NEW),
        (is_returning(brief), &life::OLDER_AND_BACK),
        (
            new && !can(Tick::ChairWithoutHands) || crate::chair_rises::rises_seldom(brief),
            &life::OLDER_FROM_A_CHAIR,
        ),
        (!can(Tick::FloorAndUp), &life::OLDER_OFF_THE_FLOOR),
        (!can(Tick::Hang) && !can(Tick::PullUp), &life::OLDER_NOT_HANGING),
        (!can(Tick::FullPressUp), &life::OLDER_NO_PRESS_UP),
    ];
    rules.into_iter().filter(|(applies, _)| *applies).map(|(_, guide)| guide).collect()
}

fn is_beyond_a_band(brief: &Brief) -> bool {
    brief.training_age == TrainingAge::FirstWeeks
        || brief.body.age.is_some_and(|age| age >= BAND_YEARS_MAX)
        || brief.body.mass_kg.is_some_and(|mass| mass.get() > BAND_KG_MAX)
}
