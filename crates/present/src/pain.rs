//! Pain in words: what was reported, what is left out because of it, who answered what, and where a clinician is to be seen. The
//! words are those of the report; nothing here says what a pain is.

use crate::dates;
use schemars::JsonSchema;
use serde::Serialize;
use setwright_coaching::insight::{Known, SeeClinician};
use setwright_model::ledger::{Actor, EventId, Moment, PainReply, PainReported, Role};
use setwright_model::person::{BodyPart, BodySide};
use setwright_model::{Catalogue, ExerciseId, Session};
use setwright_store::{PainAnswer, PainState};

/// Answered reports that are shown.
const ANSWERED_SHOWN: usize = 5;

/// A client's pain, as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PainView {
    /// What the client is called.
    pub client: String,
    /// Where a clinician is to be seen, in sentences.
    pub clinician: Vec<String>,
    /// Reports that nobody has answered, the latest first.
    pub open: Vec<PainLine>,
    /// Reports that were answered, the latest first.
    pub answered: Vec<PainLine>,
}

/// A report.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PainLine {
    /// Which report.
    pub id: EventId,
    /// When.
    pub at: Moment,
    /// Where, and at what: "left knee, at back squat".
    pub what: String,
    /// How it feels, in the client's words.
    pub words: String,
    /// Exercises of the programme that are out of the coming sessions because of it.
    pub out: Vec<String>,
    /// What was answered, by whom and when; nothing as long as nobody has.
    pub answer: Option<String>,
}

/// A client's pain.
pub fn view(known: &Known, catalogue: &Catalogue) -> PainView {
    let reports = known.pains.reports.iter().rev();
    let (open, answered): (Vec<_>, Vec<_>) = reports.partition(|report| report.answer.is_none());
    let line = |report: &&PainState| line(known, report, catalogue);
    PainView {
        client: known.client.card.name.clone(),
        clinician: clinician(known),
        open: open.iter().map(line).collect(),
        answered: answered.iter().take(ANSWERED_SHOWN).map(line).collect(),
    }
}

/// Where a clinician is to be seen, in sentences.
pub fn clinician(known: &Known) -> Vec<String> {
    known.pains.clinician(known.now).into_iter().map(|(place, why)| see_clinician(place, why)).collect()
}

/// That a clinician is to be seen for a place.
pub fn see_clinician(place: BodyPart, why: SeeClinician) -> String {
    let name = capital(place.name());
    match why {
        SeeClinician::Often(times) => {
            format!("{name}: pain was reported {times} times in four weeks. See a clinician.")
        }
        SeeClinician::Sign => {
            format!("{name}: pain there is on the list of warning signs. Stop training and see a clinician.")
        }
    }
}

/// Where and at what: "left knee, at back squat".
pub fn place(report: &PainReported, catalogue: &Catalogue) -> String {
    let place = report.place.name();
    let place = match report.side {
        Some(BodySide::Both) => format!("{place}, both sides"),
        Some(side) => format!("{} {place}", side.name()),
        None => place.to_owned(),
    };
    match &report.exercise {
        Some(id) => format!("{place}, at {}", name(id, catalogue)),
        None => place,
    }
}

/// What of a session is left out for pain, a sentence a report.
pub fn left_out(known: &Known, session: &Session, catalogue: &Catalogue) -> Vec<String> {
    let mut by_report: Vec<(&PainState, Vec<String>)> = Vec::new();
    for (id, report) in known.pains.left_out(session) {
        let name = name(id, catalogue);
        match by_report.iter_mut().find(|(of, _)| of.id == report.id) {
            Some((_, names)) if !names.contains(&name) => names.push(name),
            Some(_) => {}
            None => by_report.push((report, vec![name])),
        }
    }
    let sentence = |(report, names): (&PainState, Vec<String>)| {
        let said = match &report.answer {
            None => "nobody has answered yet".to_owned(),
            Some(answer) => format!("{} left it out", who(&answer.by)),
        };
        let on = dates::long(report.at.date());
        format!(
            "Left out: {}. Pain was reported on {on} ({}), and {said}.",
            names.join(", "),
            place(&report.report, catalogue)
        )
    };
    by_report.into_iter().map(sentence).collect()
}

/// The same of the whole programme in force, in one text; empty when nothing is left out.
pub fn left_out_of_all(known: &Known, catalogue: &Catalogue) -> String {
    let Some(state) = &known.programme else { return String::new() };
    let blocks = state.programme.sessions.iter().flat_map(|s| s.blocks.clone()).collect();
    left_out(known, &Session { day: 1, focus: String::new(), blocks }, catalogue).join(" ")
}

fn line(known: &Known, report: &PainState, catalogue: &Catalogue) -> PainLine {
    let sessions = known.programme.iter().flat_map(|state| &state.programme.sessions);
    let mut out: Vec<String> = sessions
        .flat_map(|session| known.pains.left_out(session))
        .filter(|(_, by)| by.id == report.id)
        .map(|(id, _)| name(id, catalogue))
        .collect();
    out.sort_unstable();
    out.dedup();
    PainLine {
        id: report.id,
        at: report.at,
        what: place(&report.report, catalogue),
        words: report.report.words.clone(),
        out,
        answer: report.answer.as_ref().map(answered),
    }
}

/// "Berit on 27 November 2026: trained again. Felt fine with an empty bar."
fn answered(answer: &PainAnswer) -> String {
    let said = match answer.reply {
        PainReply::TrainAgain => "trained again",
        PainReply::LeaveOut => "left out until another answer",
    };
    let why = answer.reason.as_ref().map_or_else(String::new, |why| format!(" {why}"));
    format!("{} on {}: {said}.{why}", capital(&who(&answer.by)), dates::long(answer.at.date()))
}

/// Who said something; the role where there is only one of it.
fn who(by: &Actor) -> String {
    match (by.name.as_str(), by.role) {
        ("", Role::Coach) => "the coach".to_owned(),
        ("", Role::Client) => "the client".to_owned(),
        ("", Role::Program) => "the program".to_owned(),
        (name, _) => name.to_owned(),
    }
}

fn name(id: &ExerciseId, catalogue: &Catalogue) -> String {
    catalogue.get(id).map_or_else(|| id.to_string(), |e| e.name.clone())
}

fn capital(text: &str) -> String {
    setwright_formats::words::capital(text)
}
