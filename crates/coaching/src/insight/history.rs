//! The ledger's states as the history that the estimator reads. Warm-up steps are left out; what cannot be weighed
//! keeps its reps and loses its load.

use super::hours;
use setwright_estimate::{
    History, LoggedSession, LoggedSet, Mark, MarkKind, PlannedExercise, SorenessReport,
};
use setwright_model::exercise::Measure;
use setwright_model::ledger::{EventId, Moment, SetDone, SetKind, SpellKind};
use setwright_model::{Catalogue, Hours, Kilograms, Prescription, Reps, Session};
use setwright_science::strength;
use setwright_store::{BodyMassState, SessionState, SetState, SorenessState, SpellState};
use std::collections::BTreeMap;

const DAY_H: f64 = 24.0;

/// A session to come, as the estimator reads it.
pub fn planned(session: &Session) -> Vec<PlannedExercise> {
    let one = |p: &Prescription| PlannedExercise {
        exercise: p.id.clone(),
        sets: p.sets,
        reps: Reps(p.mid_reps()),
        rir: Reps(f64::from(p.rir)),
    };
    session.prescriptions().map(one).collect()
}

/// The history of a client. The body's mass is the last one written by then, else the first, else the brief's.
pub fn of(
    sessions: &[SessionState],
    sets: &[SetState],
    soreness: &[SorenessState],
    spells: &[SpellState],
    masses: &[BodyMassState],
    of_brief: Option<Kilograms>,
    catalogue: &Catalogue,
) -> History {
    let mass_at = |at: Moment| {
        let by_then = masses.iter().rev().find(|m| m.at.unix_ms() <= at.unix_ms());
        by_then.or(masses.first()).map(|m| m.mass.kg).or(of_brief)
    };
    let mut by_session: BTreeMap<EventId, Vec<LoggedSet>> = BTreeMap::new();
    for set in sets.iter().filter(|set| set.done.kind == SetKind::Work) {
        let logged = logged(&set.done, mass_at(set.at), catalogue);
        by_session.entry(set.session).or_default().push(logged);
    }
    let mut session = |s: &SessionState| LoggedSession {
        at: hours(s.at),
        sets: by_session.remove(&s.id).unwrap_or_default(),
    };
    History {
        sessions: sessions.iter().map(&mut session).filter(|s| !s.sets.is_empty()).collect(),
        soreness: soreness
            .iter()
            .map(|s| SorenessReport { at: hours(s.at), muscle: s.muscle, score: s.level.min(10) as u8 })
            .collect(),
        marks: spells.iter().map(marked).collect(),
    }
}

fn marked(spell: &SpellState) -> Mark {
    let kind = match spell.spell.kind {
        SpellKind::Deload => MarkKind::Deload,
        SpellKind::Illness => MarkKind::Illness,
    };
    let from = hours(spell.at);
    Mark { kind, from, to: from + Hours(DAY_H * f64::from(spell.spell.days)) }
}

fn logged(done: &SetDone, mass: Option<Kilograms>, catalogue: &Catalogue) -> LoggedSet {
    let load = catalogue.get(&done.exercise).filter(|e| e.measure == Measure::Reps).and_then(|exercise| {
        let outside = done.load.map_or(Kilograms::ZERO, |l| l.kg);
        strength::total(exercise, outside, mass).filter(|kg| kg.get() > 0.0)
    });
    LoggedSet {
        exercise: done.exercise.clone(),
        load,
        reps: Reps(f64::from(done.reps)),
        rir: done.rir.map(|r| Reps(f64::from(r))),
    }
}
