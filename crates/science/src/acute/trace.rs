//! A whole session under the fatigue model, driven by the session clock.

use super::{Aim, FatigueState, equal_reps, load_for};
use crate::clock::{self, Activity, UnknownExercise};
use setwright_model::{Catalogue, Exercise, ExerciseId, Prescription, Reps, Seconds, Session, Share};

/// A work set as the model expects it.
#[derive(Clone, Debug, PartialEq)]
pub struct SetTrace {
    /// Which block, from 0.
    pub block: usize,
    /// Which exercise.
    pub exercise: ExerciseId,
    /// Which set, from 0.
    pub set: u32,
    /// When it begins.
    pub start: Seconds,
    /// Share of the fresh 1RM there is at its start.
    pub usable: Share,
    /// Repetitions possible at the load that was right for a fresh client.
    pub possible: Reps,
    /// Repetitions done at that load, keeping the reserve.
    pub done: Reps,
    /// The possible repetitions as a share of a fresh client's.
    pub reached: Share,
}

/// A session as the model expects it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SessionTrace {
    /// Work sets in order.
    pub sets: Vec<SetTrace>,
    /// Whole-body fatigue after each work set: when, and the share of all strength that is lost.
    pub systemic: Vec<(Seconds, Share)>,
}

impl SessionTrace {
    /// Sum of the repetitions done.
    pub fn total_reps(&self) -> Reps {
        self.sets.iter().map(|s| s.done).sum()
    }
}

/// Runs a session: every set at the load that suits a fresh client. Ramps are taken not to tire (judgement).
///
/// # Errors
/// The first exercise that is not in the catalogue.
pub fn simulate(session: &Session, catalogue: &Catalogue) -> Result<SessionTrace, UnknownExercise> {
    simulate_from(FatigueState::new(), session, catalogue)
}

/// The same from a given state.
///
/// # Errors
/// The first exercise that is not in the catalogue.
pub fn simulate_from(
    mut state: FatigueState,
    session: &Session,
    catalogue: &Catalogue,
) -> Result<SessionTrace, UnknownExercise> {
    let timeline = clock::session(session, catalogue, false)?;
    let mut trace = SessionTrace::default();
    for event in &timeline.events {
        let found = lane(session, catalogue, event.block, event.lane);
        match (event.activity, found) {
            (Activity::Work(set), Some((prescription, exercise))) => {
                let mut seen = work(&mut state, prescription, exercise);
                (seen.block, seen.set, seen.start) = (event.block, set, event.start);
                trace.systemic.push((event.start + event.length, state.systemic()));
                trace.sets.push(seen);
            }
            _ => state.rest(event.length),
        }
    }
    Ok(trace)
}

fn lane<'a>(
    session: &'a Session,
    catalogue: &'a Catalogue,
    block: usize,
    lane: usize,
) -> Option<(&'a Prescription, &'a Exercise)> {
    let prescription = session.blocks.get(block)?.exercises.get(lane)?;
    Some((prescription, catalogue.get(&prescription.id)?))
}

fn work(state: &mut FatigueState, prescription: &Prescription, exercise: &Exercise) -> SetTrace {
    let target = equal_reps(exercise, prescription.mid_reps());
    let rir = Reps(f64::from(prescription.rir));
    let load = load_for(exercise, target, rir);
    let usable = state.usable(exercise);
    let possible = state.possible(exercise, load);
    let done = state.do_set(exercise, load, Aim::Target { reps: target, rir });
    let fresh = target.get() + rir.get();
    SetTrace {
        block: 0,
        exercise: exercise.id.clone(),
        set: 0,
        start: Seconds::ZERO,
        usable,
        possible,
        done,
        reached: Share((possible.get() / fresh.max(1.0)).min(1.0)),
    }
}
