//! What a lift tells before anything is made of it: the load that moves, and how well a set of so many reps tells a 1RM. What a
//! client can do, what is plausible and what is believed all stand on it.

use crate::curve::Curve;
use setwright_model::exercise::LoadKind;
use setwright_model::{Exercise, Kilograms, Reps, Share};

/// Reps by which a set may mislead: people under-predict the reps they have left by about one (Halperin 2022,
/// Sports Med 52:377 (A)).
pub const REPS_ERROR: f64 = 1.0;
/// Further error for each rep of the set (Halperin 2022 (A): 0.06 a rep up to 12 reps).
pub const REPS_ERROR_PER_REP: f64 = 0.06;
/// Day-to-day spread of a 1RM as a share of it (judgement).
pub const DAY_SD: f64 = 0.025;

/// Load that moves at a given outside load: the share of the body that is lifted counts, help is taken off.
/// None when the body counts and its mass is not known.
pub fn total(exercise: &Exercise, load: Kilograms, body_mass: Option<Kilograms>) -> Option<Kilograms> {
    let body = body_part(exercise, body_mass)?;
    Some(if exercise.load == LoadKind::Assisted { body - load } else { body + load })
}

/// Share of the body that an exercise lifts; none when it counts and the mass is not known.
pub(crate) fn body_part(exercise: &Exercise, body_mass: Option<Kilograms>) -> Option<Kilograms> {
    if exercise.body_share.get() <= 0.0 {
        return Some(Kilograms::ZERO);
    }
    body_mass.map(|mass| mass * exercise.body_share.get())
}

/// Spread of a 1RM told by a set of so many reps: the curve between some reps more and some fewer.
pub fn spread(reps: Reps, curve: Curve) -> Share {
    let error = Reps(REPS_ERROR + REPS_ERROR_PER_REP * reps.get());
    let low = curve.share(reps + error).get();
    let high = curve.share((reps - error).max(Reps(1.0))).get();
    let from_reps = (high - low) / (2.0 * curve.share(reps).get());
    Share((DAY_SD * DAY_SD + from_reps * from_reps).sqrt())
}
