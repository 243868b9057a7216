//! The load-rep curve as the fatigue model needs it: also below one repetition, where a muscle has just failed.

use setwright_model::exercise::CurveFamily;
use setwright_model::{Reps, Share};

/// Judgement: the shape that stays near the handbook table (Landers 1985 (B)), 87 % at five reps and 75 % at ten,
/// and goes on falling beyond it.
const POWER: f64 = 0.7;

/// Reps over which the share falls: judgement, slowest in the legs, fastest in single joints (Nuzzo 2024, Sports Med
/// 54:303 (A): more reps on leg press than on bench press at every load).
const fn scale(family: CurveFamily) -> f64 {
    match family {
        CurveFamily::Upper => 17.7,
        CurveFamily::Lower => 19.0,
        CurveFamily::Small => 16.0,
    }
}

/// Share of the 1RM that can be lifted `reps` times.
pub(super) fn share(family: CurveFamily, reps: Reps) -> Share {
    Share(libm::pow(1.0 + (reps.get().max(1.0) - 1.0) / scale(family), -POWER))
}

/// Share of the present strength at which not one repetition is left: as far above the 1RM as the 2RM is below.
pub(super) fn share_at_no_rep(family: CurveFamily) -> f64 {
    2.0 - share(family, Reps(2.0)).get()
}

/// Repetitions with a load given as a share of the present 1RM; none at [`share_at_no_rep`] and above.
pub(super) fn reps(family: CurveFamily, share_now: f64) -> Reps {
    if share_now > 1.0 {
        let step = share_at_no_rep(family) - 1.0;
        return Reps((1.0 - (share_now - 1.0) / step).max(0.0));
    }
    Reps(1.0 + scale(family) * (libm::pow(share_now.max(1e-3), -1.0 / POWER) - 1.0))
}
