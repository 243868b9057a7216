//! Who is ready for what, and who needs a look: a line for each client, the one who needs it most first.

use super::advice::{self, AdviceLine};
use super::next::ready_day;
use super::{Known, coming, forecast, hours, known_of};
use crate::files::Problem;
use crate::service::ledger::Desk;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use setwright_model::Catalogue;
use setwright_model::ledger::Moment;
use std::sync::Arc;

/// Probability from which a stall is named (`docs/quality.md` says how often it is right).
const STALL_NAMED: f64 = 0.8;
/// Days past the due day after which a client is late (judgement).
const LATE_DAYS: f64 = 3.0;
const DAY_H: f64 = 24.0;

/// The roster.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RosterView {
    /// When it was asked.
    pub now: Moment,
    /// Clients, the one who needs a look most first.
    pub lines: Vec<RosterLine>,
}

/// A client in the roster.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
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
    /// What there is to advise, answered or not; it has a page of its own. A line that was written down comes back without.
    #[serde(skip)]
    pub advice: Option<Arc<[AdviceLine]>>,
}

/// The roster of a ledger. Clients who are away are left out.
pub fn roster(desk: &mut Desk, catalogue: &Catalogue) -> Result<RosterView, Problem> {
    let clients = desk.clients()?;
    let mut lines = Vec::new();
    for client in clients.into_iter().filter(|c| !c.card.away) {
        let known = known_of(desk, client, catalogue)?;
        lines.push(line(&known, catalogue));
    }
    sorted(&mut lines, |line| line);
    Ok(RosterView { now: desk.wall.now(), lines })
}

/// Puts whoever needs a look most first.
pub fn sorted<T>(lines: &mut [T], line: impl Fn(&T) -> &RosterLine) {
    lines.sort_by(|a, b| {
        let (a, b) = (line(a), line(b));
        b.need.cmp(&a.need).then(a.client.cmp(&b.client))
    });
}

/// The line of a client.
pub fn line(known: &Known, catalogue: &Catalogue) -> RosterLine {
    let mut why: Vec<(u32, String)> = Vec::new();
    let next = coming(known);
    if known.brief.is_none() {
        why.push((5, "no brief yet".to_owned()));
    } else if known.programme.is_none() {
        why.push((4, "no programme yet".to_owned()));
    }
    let slips = known.posterior.slips().len();
    if slips > 0 {
        why.push((3, format!("{slips} of the logged sets look mistyped")));
    }
    let stall = known.posterior.stall();
    if stall.not_yet.is_empty() && stall.probability.get() >= STALL_NAMED {
        why.push((3, format!("has stalled, {:.0} in a hundred", 100.0 * stall.probability.get())));
    }
    let advice = advice::advise(known, catalogue);
    let open = advice::open(&known.client.card.name, known.now, &advice, &known.answered).advice;
    if let Some(first) = open.first() {
        let more = match open.len() - 1 {
            0 => String::new(),
            1 => " (and one more piece of advice)".to_owned(),
            n => format!(" (and {n} more pieces of advice)"),
        };
        let mut letters = first.what.chars();
        let begun: String = letters.next().map(|c| c.to_lowercase().collect()).unwrap_or_default();
        why.push((2, format!("{begun}{}{more}", letters.as_str())));
    }
    if let Some(next) = next.filter(|_| !known.sessions.is_empty()) {
        let late = known.now.hours_since(next.due).get() / DAY_H;
        if late >= LATE_DAYS {
            why.push((2, format!("{late:.0} days past the day of the next session")));
        }
    }
    let session = next.and_then(|n| known.programme.as_ref()?.programme.sessions.get(n.index));
    let from = next.map(|n| if hours(n.due).get() < hours(known.now).get() { known.now } else { n.due });
    let ready = session.zip(from).map(|(session, from)| ready_day(known, session, from, catalogue));
    let waiting = forecast(known, catalogue);
    let late =
        waiting.muscles.iter().filter(|m| m.asked_sets >= 1.0 && m.ready_when_due.is_some_and(|p| p < 0.5));
    let names: Vec<&str> = late.map(|m| m.name).collect();
    if !names.is_empty() {
        why.push((1, format!("{} will hardly be ready when the next session is due", names.join(", "))));
    }
    why.sort_by_key(|(weight, _)| std::cmp::Reverse(*weight));
    RosterLine {
        client: known.client.card.name.clone(),
        need: why.iter().map(|(weight, _)| weight).sum(),
        due: next.map(|n| n.due),
        ready,
        why: why.into_iter().map(|(_, text)| text).collect(),
        advice: Some(advice.into()),
    }
}
