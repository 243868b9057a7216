//! Which muscle is ready when, and how sure that is.

use super::{Known, LearnView, LikelyRange, coming, hours, in_words, later};
use serde::Serialize;
use setwright_model::ledger::Moment;
use setwright_model::{Catalogue, Hours, Muscle, Reps, Share};
use setwright_science::{dose, recovery};

/// Steps of the coming week, and hours of each.
const STRIP: u32 = 14;
const STRIP_H: f64 = 12.0;

/// What is to be expected of a client's muscles.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ForecastView {
    /// What the client is called.
    pub client: String,
    /// When it was asked.
    pub now: Moment,
    /// Last session.
    pub last: Option<Moment>,
    /// When the coming session is due, where there is a programme.
    pub due: Option<Moment>,
    /// Muscles that were trained, the one that takes longest first.
    pub muscles: Vec<MuscleForecast>,
    /// Days that would teach more, when that was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub learn: Option<LearnView>,
}

/// A muscle to come.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MuscleForecast {
    /// Which.
    pub muscle: Muscle,
    /// Plain name.
    pub name: &'static str,
    /// Per cent of its strength that it lacks now.
    pub missing_percent: LikelyRange,
    /// Hours from now until it is ready; below zero it has been ready for so long.
    pub ready_in_h: LikelyRange,
    /// When it is ready, as likely as not.
    pub ready_at: Moment,
    /// Probability that it is ready when the coming session is due.
    pub ready_when_due: Option<f64>,
    /// Fractional sets that the coming session asks of it.
    pub asked_sets: f64,
    /// Probability of being ready, every twelve hours of the coming week, now first.
    pub week: Vec<f64>,
    /// Why it is not yet this client's own.
    pub not_yet: Vec<&'static str>,
}

/// The forecast of a client.
pub fn forecast(known: &Known, catalogue: &Catalogue) -> ForecastView {
    let last =
        known.sessions.iter().rfind(|s| known.sets.iter().any(|set| set.session == s.id)).map(|s| s.at);
    let coming = coming(known);
    let asked = coming
        .and_then(|c| known.programme.as_ref()?.programme.sessions.get(c.index))
        .map(|session| dose::of_session(&known.pains.without(session), catalogue));
    let due = coming.map(|c| if c.due.unix_ms() < known.now.unix_ms() { known.now } else { c.due });
    let mut muscles: Vec<MuscleForecast> = Muscle::ALL
        .into_iter()
        .filter_map(|m| of_muscle(known, m, last?, due, asked.map_or(0.0, |a| a[m.index()].get())))
        .collect();
    muscles.sort_by(|a, b| b.ready_in_h.median.total_cmp(&a.ready_in_h.median));
    ForecastView { client: known.client.card.name.clone(), now: known.now, last, due, muscles, learn: None }
}

fn of_muscle(
    known: &Known,
    muscle: Muscle,
    last: Moment,
    due: Option<Moment>,
    asked_sets: f64,
) -> Option<MuscleForecast> {
    let since_h = known.now.hours_since(last).get();
    let after = known.posterior.ready_after_last(muscle)?;
    let ready_in_h = LikelyRange::of(&after, |h: Hours| h.get() - since_h);
    let missing = known.posterior.missing_at(muscle, hours(known.now))?;
    let usual = (setwright_model::FractionalSets(recovery::USUAL_SETS), Reps(recovery::USUAL_RIR));
    let not_yet = known.posterior.recovery(muscle, usual.0, usual.1).not_yet;
    Some(MuscleForecast {
        muscle,
        name: muscle.name(),
        missing_percent: LikelyRange::of(&missing, |s: Share| 100.0 * s.get()),
        ready_in_h,
        ready_at: later(known.now, Hours(ready_in_h.median)),
        ready_when_due: due.map(|due| ready_by(known, muscle, due)),
        asked_sets,
        week: (0..STRIP)
            .map(|k| ready_by(known, muscle, later(known.now, Hours(STRIP_H * f64::from(k)))))
            .collect(),
        not_yet: in_words(&not_yet),
    })
}

/// Probability that a muscle is ready at a moment.
pub fn ready_by(known: &Known, muscle: Muscle, at: Moment) -> f64 {
    known.posterior.ready_probability(muscle, hours(at)).get()
}
