//! A copy of a session that the science can reckon with whatever stands in the file. It repairs nothing for good, and
//! judges nothing: numbers that cannot be meant are named in `rules::numbers`.

use setwright_model::limits::SETS_AUDIT_MAX;
use setwright_model::{Block, Catalogue, Prescription, Seconds, Session};

/// Most reps, seconds or metres of a set that are taken as meant (judgement).
pub(crate) const REPS_MAX: u32 = 1000;
/// Most steps of a warm-up that are taken as meant (judgement).
pub(crate) const RAMP_STEPS_MAX: usize = 10;

/// The session without unknown exercises and with every number inside what can be reckoned with.
pub(crate) fn copy(session: &Session, catalogue: &Catalogue) -> Session {
    let blocks = session.blocks.iter().map(|b| block(b, catalogue)).collect();
    Session { day: session.day, focus: session.focus.clone(), blocks }
}

fn block(block: &Block, catalogue: &Catalogue) -> Block {
    let exercises =
        block.exercises.iter().filter(|p| catalogue.get(&p.id).is_some()).map(prescription).collect();
    Block { kind: block.kind, rest_s: rest(block.rest_s), exercises }
}

fn rest(rest_s: Seconds) -> Seconds {
    if rest_s.get().is_finite() { Seconds(rest_s.get().clamp(0.0, 36_000.0)) } else { Seconds::ZERO }
}

fn prescription(p: &Prescription) -> Prescription {
    let mut p = p.clone();
    p.sets = p.sets.min(SETS_AUDIT_MAX);
    p.reps = p.reps.map(|r| r.min(REPS_MAX));
    p.ramp.truncate(RAMP_STEPS_MAX);
    p.ramp.iter_mut().for_each(|s| s.reps = s.reps.min(REPS_MAX));
    p
}
