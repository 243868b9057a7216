//! What the log tells of a client so far: what was done, what grew, what recovers how fast, what looks mistyped.

use crate::dates;
use schemars::JsonSchema;
use serde::Serialize;
use setwright_coaching::insight::{Known, LikelyRange, Overrun, hours, in_words, overruns};
use setwright_estimate::SlipKind;
use setwright_model::ledger::{Moment, SetKind};
use setwright_model::{
    Catalogue, Exercise, ExerciseId, FractionalSets, Hours, Kilograms, Muscle, Reps, Share,
};
use setwright_science::recovery;
use std::collections::BTreeMap;

/// Weeks over which doses are counted.
const WEEKS: f64 = 4.0;
const WEEK_H: f64 = 168.0;

/// What the log tells.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ReviewView {
    /// What the client is called.
    pub client: String,
    /// When it was asked.
    pub now: Moment,
    /// Sessions in all, and work sets.
    pub sessions: usize,
    /// Work sets in all.
    pub sets: usize,
    /// Weeks from the first session to the last.
    pub weeks: f64,
    /// Sessions in the last four weeks.
    pub recent_sessions: usize,
    /// Sessions that the programme would have had in them.
    pub planned_sessions: Option<f64>,
    /// Strength by exercise, the most often done first.
    pub lifts: Vec<LiftReview>,
    /// Muscles that were trained, from the top of the body down.
    pub muscles: Vec<MuscleReview>,
    /// Probability that the client as a whole stands still.
    pub stall: f64,
    /// Growth of all exercises, per cent a week.
    pub growth_percent: LikelyRange,
    /// Why a stall cannot be told yet.
    pub stall_not_yet: Vec<&'static str>,
    /// Sets that look mistyped. They count for nothing until they are corrected.
    pub slips: Vec<SlipView>,
    /// Sessions of the last four weeks that ran much longer than planned, in sentences, the newest first.
    pub ran_longer: Vec<String>,
}

/// Strength in an exercise.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LiftReview {
    /// Exercise.
    pub id: ExerciseId,
    /// Plain name.
    pub name: String,
    /// Estimated 1RM, rested, as the exercise counts its load.
    pub e1rm_kg: LikelyRange,
    /// Growth, per cent a week.
    pub growth_percent: LikelyRange,
    /// Sessions that had it.
    pub sessions: usize,
    /// Why it is not yet sure.
    pub not_yet: Vec<&'static str>,
}

/// Recovery of a muscle.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MuscleReview {
    /// Which.
    pub muscle: Muscle,
    /// Plain name.
    pub name: &'static str,
    /// Fractional sets a week over the last four weeks.
    pub sets_per_week: f64,
    /// Hours until it is ready after a usual session (four sets with two reps in reserve).
    pub ready_h: LikelyRange,
    /// The same for the population.
    pub population_h: f64,
    /// Share of the prior's uncertainty that the log has taken away.
    pub learned: f64,
    /// Why it is not yet this client's own.
    pub not_yet: Vec<&'static str>,
}

/// A set that looks mistyped.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SlipView {
    /// Day of it.
    pub at: Moment,
    /// Plain name of the exercise.
    pub name: String,
    /// Load as logged.
    pub load_kg: Kilograms,
    /// What it looks like.
    pub looks_like: &'static str,
}

/// The review of a client.
pub fn review(known: &Known, catalogue: &Catalogue) -> ReviewView {
    let posterior = &known.posterior;
    let from_h = hours(known.now).get() - WEEKS * WEEK_H;
    // What ended early was not done, though its sets are learned from.
    let early: Vec<f64> = known.sessions.iter().filter(|s| !s.counts()).map(|s| hours(s.at).get()).collect();
    let counts = |at: f64| at >= from_h && !early.iter().any(|e| (e - at).abs() < 1e-6);
    let recent = known.history.sessions.iter().filter(|s| counts(s.at.get())).count();
    let ends = known.history.sessions.first().zip(known.history.sessions.last());
    let stall = posterior.stall();
    let by_exercise = known.history.sessions_by_exercise();
    let done: Vec<&Exercise> = by_exercise.keys().filter_map(|id| catalogue.get(id)).collect();
    let trained = Muscle::ALL.into_iter().filter(|m| done.iter().any(|e| e.contribution(*m) >= 1.0));
    let a_week = known
        .programme
        .as_ref()
        .map(|p| p.programme.sessions.len() as f64 * 7.0 / f64::from(p.programme.cycle_days.max(1)));
    ReviewView {
        client: known.client.card.name.clone(),
        now: known.now,
        sessions: known.history.sessions.len(),
        sets: known.sets.iter().filter(|s| s.done.kind == SetKind::Work).count(),
        weeks: ends.map_or(0.0, |(first, last)| (last.at.get() - first.at.get()) / WEEK_H),
        recent_sessions: recent,
        planned_sessions: a_week.map(|n| n * WEEKS),
        lifts: lifts(known, &by_exercise, catalogue),
        muscles: trained.map(|m| muscle(known, m, from_h, catalogue)).collect(),
        stall: stall.probability.get(),
        growth_percent: percent(&stall.growth_per_week),
        stall_not_yet: in_words(&stall.not_yet),
        slips: slips(known, catalogue),
        ran_longer: overruns(known, catalogue).iter().map(ran_longer).collect(),
    }
}

/// "Session 2 on 12 November took 84 minutes; 60 were planned."
fn ran_longer(overrun: &Overrun) -> String {
    format!(
        "Session {} on {} took {:.0} minutes; {:.0} were planned.",
        overrun.number,
        dates::long(overrun.at.date()),
        overrun.took.get(),
        overrun.planned.get()
    )
}

/// What may be behind sessions that ran longer, and what to do.
pub const RAN_LONGER: &str =
    "Longer rests, a busy room or talk? If it comes again and again, plan fewer minutes or shorter rests.";

fn percent(interval: &setwright_estimate::Interval<Share>) -> LikelyRange {
    LikelyRange::of(interval, |s: Share| 100.0 * s.get())
}

fn lifts(known: &Known, sessions: &BTreeMap<&ExerciseId, usize>, catalogue: &Catalogue) -> Vec<LiftReview> {
    let of = |id: &ExerciseId| {
        let (strength, exercise) = (known.posterior.strength(id)?, catalogue.get(id)?);
        let body = setwright_science::strength::total(exercise, Kilograms::ZERO, known.body_mass)?.get();
        let own: Vec<_> = strength
            .not_yet
            .iter()
            .copied()
            .filter(|why| *why != setwright_estimate::NotYet::StallOfOneExercise)
            .collect();
        Some(LiftReview {
            id: id.clone(),
            name: exercise.name.clone(),
            e1rm_kg: LikelyRange::of(&strength.one_rm, |kg: Kilograms| kg.get() - body),
            growth_percent: percent(&strength.growth_per_week),
            sessions: sessions.get(id).copied().unwrap_or(0),
            not_yet: in_words(&own),
        })
    };
    let mut out: Vec<LiftReview> = known.posterior.exercises().filter_map(of).collect();
    out.sort_by(|a, b| b.sessions.cmp(&a.sessions).then(a.name.cmp(&b.name)));
    out
}

fn muscle(known: &Known, muscle: Muscle, from_h: f64, catalogue: &Catalogue) -> MuscleReview {
    let sets: f64 = known
        .history
        .sessions
        .iter()
        .filter(|s| s.at.get() >= from_h)
        .flat_map(|s| &s.sets)
        .filter_map(|set| catalogue.get(&set.exercise))
        .map(|e| e.contribution(muscle))
        .sum();
    let (dose, rir) = (FractionalSets(recovery::USUAL_SETS), Reps(recovery::USUAL_RIR));
    let told = known.posterior.recovery(muscle, dose, rir);
    MuscleReview {
        muscle,
        name: muscle.name(),
        sets_per_week: sets / WEEKS,
        ready_h: LikelyRange::of(&told.ready, |h: Hours| h.get()),
        population_h: known.posterior.ready_before(muscle, dose, rir).get(),
        learned: told.learned.get(),
        not_yet: in_words(&told.not_yet),
    }
}

fn slips(known: &Known, catalogue: &Catalogue) -> Vec<SlipView> {
    let of = |slip: &setwright_estimate::Slip| {
        let session = known.sessions.iter().find(|s| (hours(s.at).get() - slip.at.get()).abs() < 1e-6)?;
        let looks_like = match slip.kind {
            SlipKind::PoundsAsKilograms => "pounds written as kilograms",
            SlipKind::KilogramsAsPounds => "kilograms written as pounds",
            SlipKind::Typing => "a number far from what was usual",
        };
        let name = catalogue.get(&slip.exercise).map_or(slip.exercise.as_str(), |e| e.name.as_str());
        Some(SlipView { at: session.at, name: name.to_owned(), load_kg: slip.load, looks_like })
    };
    known.posterior.slips().iter().filter_map(of).collect()
}
