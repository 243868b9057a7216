//! The load-rep curve as the fatigue model needs it: also below one repetition, where a muscle has just failed.

use setwright_model::exercise::CurveFamily;
use setwright_model::{Reps, Share};

/// Fall, bend and stretch of a family: the fit of the load-rep curve to handbook table and studies (D).
const fn shape(family: CurveFamily) -> [f64; 3] {
    match family {
        CurveFamily::Upper => [0.0401, 0.86, 0.0],
        CurveFamily::Lower => [0.0352, 1.09, 0.11],
        CurveFamily::Small => [0.0306, 1.06, 0.0],
    }
}

/// Share of the 1RM that can be lifted `reps` times.
pub(super) fn share(family: CurveFamily, reps: Reps) -> Share {
    let [fall, bend, stretch] = shape(family);
    let beyond = (reps.get() - 1.0).max(0.0);
    let felt = if stretch > 0.0 { libm::log1p(stretch * beyond) / stretch } else { beyond };
    Share(libm::exp(-fall * libm::pow(felt, bend)))
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
    let [fall, bend, stretch] = shape(family);
    let felt = libm::pow(-libm::log(share_now.max(1e-3)) / fall, 1.0 / bend);
    Reps((1.0 + if stretch > 0.0 { libm::expm1(stretch * felt) / stretch } else { felt }).min(100.0))
}
