//! What an event must keep besides its form. It judges the event alone, not the ledger it comes to.

use super::event::{AdviceAnswered, AdviceReply, Event, Load, SetDone, What};
use super::id::ClientId;
use crate::limits::{
    ABOUT_CHARS_MAX, ADVICE_DAYS_MAX, BODY_MASS_KG, CYCLE_DAYS_MAX, EFFORT_MAX, LOAD_KG_MAX, NAME_CHARS_MAX,
    NOTE_CHARS_MAX, REPS_MAX, REST_S_MAX, RETENTION_MONTHS_MAX, RIR_MAX, SORENESS_MAX, SPELL_DAYS_MAX,
};
use crate::name::{is_unprintable, turns};
use crate::units::{KG_PER_LB, Kilograms, Share};

/// What an event breaks: the field, and what is wrong with it in a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EventFault {
    /// The field.
    pub field: &'static str,
    /// What is wrong.
    pub what: String,
}

const fn fault(field: &'static str, what: String) -> EventFault {
    EventFault { field, what }
}

/// Everything the event breaks; empty when it may stand.
pub fn faults(event: &Event) -> Vec<EventFault> {
    let mut found: Vec<Option<EventFault>> = vec![text("actor", &event.actor.name, NAME_CHARS_MAX, true)];
    found.extend(event.reason.as_ref().map(|reason| text("reason", reason, ABOUT_CHARS_MAX, false)));
    match &event.what {
        What::Client(card) => found.extend([
            name("name", &card.name),
            card.name.trim().parse::<ClientId>().is_ok().then(|| {
                fault("name", "It is an identifier, and would be taken for somebody else's.".to_owned())
            }),
            text("about", &card.about, ABOUT_CHARS_MAX, true),
        ]),
        What::Brief(set) => found.push(name("name", &set.brief.name)),
        What::Programme(published) => {
            let provenance = &published.provenance;
            found.push(text("program", &provenance.program, NAME_CHARS_MAX, false));
            found.extend(provenance.catalogue.as_ref().map(|c| text("catalogue", c, NAME_CHARS_MAX, false)));
            found.extend([finite("value", provenance.value), finite("bound", provenance.bound)]);
        }
        What::SessionStarted(started) => {
            found.extend(started.day.map(|day| count("day", day, (1, CYCLE_DAYS_MAX))));
        }
        What::SessionFinished(finished) => {
            found.extend(finished.effort.map(|effort| count("effort", effort, (0, EFFORT_MAX))));
        }
        What::Set(logged) => found.extend(set(&logged.done)),
        What::SetCorrected(corrected) => found.extend(set(&corrected.done)),
        What::Voided(voided) if voided.event == event.id => {
            found.push(Some(fault("event", "An event cannot void itself.".to_owned())));
        }
        What::Soreness(sore) => found.push(count("level", sore.level, (0, SORENESS_MAX))),
        What::Spell(spell) => found.push(count("days", spell.days, (1, SPELL_DAYS_MAX))),
        What::BodyMass(body) => found.push(load("mass", body.mass, BODY_MASS_KG)),
        What::Note(note) => found.push(text("text", &note.text, NOTE_CHARS_MAX, false)),
        What::Advice(answered) => found.extend([
            text("about", &answered.about, NAME_CHARS_MAX, false),
            text("advice", &answered.advice, ABOUT_CHARS_MAX, false),
            answered.probability.and_then(share),
            put_off(answered),
        ]),
        What::Pain(pain) => found.extend([
            text("words", &pain.words, NOTE_CHARS_MAX, true),
            pain.exercise.as_ref().and_then(|e| text("exercise", e.as_str(), NAME_CHARS_MAX, false)),
        ]),
        What::Consent(said) => found.push(text("wording", &said.wording, NOTE_CHARS_MAX, true)),
        What::Retention(rule) => {
            found.extend(rule.months.map(|months| count("months", months, (0, RETENTION_MONTHS_MAX))));
        }
        What::Voided(_) | What::Screening(_) | What::SessionResumed(_) | What::PainAnswered(_) => {}
    }
    found.into_iter().flatten().collect()
}

fn set(done: &SetDone) -> [Option<EventFault>; 5] {
    [
        text("exercise", done.exercise.as_str(), NAME_CHARS_MAX, false),
        done.load.and_then(|l| load("load", l, (0.0, LOAD_KG_MAX))),
        count("reps", done.reps, (0, REPS_MAX)),
        done.rir.and_then(|rir| count("rir", rir, (0, RIR_MAX))),
        done.rest_s.and_then(|rest| number("rest_s", rest.get(), (0.0, REST_S_MAX))),
    ]
}

/// How far the kilograms may be from the number as written (rounding alone).
const ROUNDING: f64 = 1e-9;

fn load(field: &'static str, load: Load, limits: (f64, f64)) -> Option<EventFault> {
    let Kilograms(kg) = load.kg;
    let off = (kg - Load::new(load.value, load.unit).kg.get()).abs();
    if off > ROUNDING * (1.0 + kg.abs()) {
        let what = format!("{} is not {kg} kg (a pound is {KG_PER_LB} kg).", load.as_written());
        return Some(fault(field, what));
    }
    number(field, kg, limits)
}

fn put_off(answered: &AdviceAnswered) -> Option<EventFault> {
    match (answered.reply, answered.days) {
        (AdviceReply::Later, Some(days)) => count("days", days, (1, ADVICE_DAYS_MAX)),
        (AdviceReply::Later, None) => {
            Some(fault("days", "It is not said when the advice comes back.".to_owned()))
        }
        (_, Some(_)) => Some(fault("days", "Only advice that is put off comes back.".to_owned())),
        (_, None) => None,
    }
}

fn share(Share(share): Share) -> Option<EventFault> {
    number("probability", share, (0.0, 1.0))
}

fn finite(field: &'static str, value: Option<f64>) -> Option<EventFault> {
    value.filter(|v| !v.is_finite()).map(|v| fault(field, format!("{v} is not a number.")))
}

fn number(field: &'static str, value: f64, (low, high): (f64, f64)) -> Option<EventFault> {
    let fits = value.is_finite() && value >= low && value <= high;
    (!fits).then(|| fault(field, format!("{value} is not between {low} and {high}.")))
}

fn count(field: &'static str, value: u32, (low, high): (u32, u32)) -> Option<EventFault> {
    let fits = value >= low && value <= high;
    (!fits).then(|| fault(field, format!("{value} is not between {low} and {high}.")))
}

fn text(field: &'static str, text: &str, chars_max: usize, may_be_empty: bool) -> Option<EventFault> {
    if text.trim().is_empty() && !(may_be_empty && text.is_empty()) {
        return Some(fault(field, "It is empty.".to_owned()));
    }
    if text.chars().count() > chars_max {
        return Some(fault(field, format!("It has more than {chars_max} characters.")));
    }
    if text.chars().any(|c| turns(c) || (c.is_control() && c != '\n')) {
        return Some(fault(
            field,
            "It holds a control character, or one that turns the direction.".to_owned(),
        ));
    }
    None
}

fn name(field: &'static str, name: &str) -> Option<EventFault> {
    text(field, name, NAME_CHARS_MAX, false).or_else(|| {
        let what = "It holds a character that cannot be seen, or that turns the direction.";
        name.chars().any(is_unprintable).then(|| fault(field, what.to_owned()))
    })
}
