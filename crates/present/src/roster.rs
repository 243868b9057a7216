//! The roster in words: for each client why a look is needed.

use crate::advice;
use crate::pain;
use schemars::JsonSchema;
use serde::Serialize;
use setwright_coaching::insight::{RosterEntry, RosterOverview, Why};
use setwright_model::ledger::Moment;
use setwright_model::person::BodyPart;
use setwright_model::{Catalogue, ExerciseId, MassUnit};

/// The roster.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RosterView {
    /// When it was asked.
    pub now: Moment,
    /// Clients, the one who needs a look most first.
    pub lines: Vec<RosterLine>,
}

/// A client in the roster.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RosterLine {
    /// What the client is called.
    pub client: String,
    /// How much a look is needed: 0 not at all.
    pub need: u32,
    /// When the coming session is due.
    pub due: Option<Moment>,
    /// From when on all that it asks for is ready.
    pub ready: Option<Moment>,
    /// Why, the weightiest first.
    pub why: Vec<String>,
}

/// The roster in words.
pub fn view(roster: &RosterOverview, unit: MassUnit, catalogue: &Catalogue) -> RosterView {
    RosterView { now: roster.now, lines: roster.entries.iter().map(|e| line(e, unit, catalogue)).collect() }
}

/// A client's line.
pub fn line(entry: &RosterEntry, unit: MassUnit, catalogue: &Catalogue) -> RosterLine {
    RosterLine {
        client: entry.client.clone(),
        need: entry.need,
        due: entry.due,
        ready: entry.ready,
        why: entry.why.iter().map(|why| in_words(why, unit, catalogue)).collect(),
    }
}

fn in_words(why: &Why, unit: MassUnit, catalogue: &Catalogue) -> String {
    match why {
        Why::Pain { place, exercise, more } => pained(*place, exercise.as_ref(), *more, catalogue),
        Why::SeeClinician(place, why) => pain::see_clinician(*place, *why),
        Why::Clinician => "a clinician's word comes first: no session is shown".to_owned(),
        Why::NoBrief => "no brief yet".to_owned(),
        Why::NoProgramme => "no programme yet".to_owned(),
        Why::Slips(slips) => format!("{slips} of the logged sets look mistyped"),
        Why::Stalled(probability) => format!("has stalled, {:.0} in a hundred", 100.0 * probability.get()),
        Why::Advised { first, more } => {
            let what = advice::what(first, unit, catalogue);
            let more = match more {
                0 => String::new(),
                1 => " (and one more piece of advice)".to_owned(),
                n => format!(" (and {n} more pieces of advice)"),
            };
            let mut letters = what.chars();
            let begun: String = letters.next().map(|c| c.to_lowercase().collect()).unwrap_or_default();
            format!("{begun}{}{more}", letters.as_str())
        }
        Why::LateDays(days) => format!("{days:.0} days past the day of the next session"),
        Why::NotReady(muscles) => {
            let names: Vec<&str> = muscles.iter().map(|m| m.name()).collect();
            format!("{} will hardly be ready when the next session is due", names.join(", "))
        }
    }
}

/// "pain in the knee, at back squat: nobody has answered (and 2 more reports)".
fn pained(place: BodyPart, exercise: Option<&ExerciseId>, more: usize, catalogue: &Catalogue) -> String {
    let at = exercise.map_or_else(String::new, |id| {
        format!(", at {}", catalogue.get(id).map_or_else(|| id.to_string(), |e| e.name.clone()))
    });
    let more = match more {
        0 => String::new(),
        1 => " (and one more report)".to_owned(),
        n => format!(" (and {n} more reports)"),
    };
    format!("pain: {}{at}; nobody has answered{more}", place.name())
}
