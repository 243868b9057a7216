//! The load-rep curve: the share of the 1RM that can be lifted r times.
//!
//! One shape for 1 to 60 reps and beyond, exactly 1 at one rep, strictly falling, never negative. It knows
//! movements and persons but no exercise by name, and it rounds nothing: what can be loaded is the business
//! of `loads`.
//!
//! With x = (r - 1) / person and y = ln(1 + c x) / c (y = x where c = 0) the share is exp(-a y^b). The three
//! constants of a family are a least-squares fit to the sources named at `Shape`; `docs/models.md` shows
//! where the fit misses them.

use setwright_model::exercise::CurveFamily;
use setwright_model::{Kilograms, Reps, Share};

/// Most reps that [`Curve::reps`] promises (judgement).
pub const REPS_MAX: f64 = 100.0;
/// Least and largest person factor that is believed (judgement; the spread between persons at a given share
/// is large: Nuzzo 2024, Sports Med 54:303 (A)).
pub const PERSON: (f64, f64) = (0.4, 2.5);

/// Constants of a family.
struct Shape {
    /// Fall of the logarithm over the first rep.
    a: f64,
    /// Bend: 1 is a plain exponential.
    b: f64,
    /// How much light loads stretch the reps.
    c: f64,
}

/// Presses and pulls: handbook table (Landers 1985 (B)), Reynolds 2006, JSCR 20:584, chest press (M), Hoeger
/// 1990, JASSR 4:47, bench press and pulldown (m), Shimano 2006, bench press (m).
const UPPER: Shape = Shape { a: 0.0401, b: 0.86, c: 0.0 };
/// Squats and leg presses: handbook table (B), Hoeger 1990, leg press (m), Shimano 2006, squat (m), Reynolds
/// 2006, leg press (M, counted twice), under the condition that every share allows more reps than in the
/// upper body (Nuzzo 2024, Sports Med 54:303 (A)), which Reynolds' leg press contradicts.
const LOWER: Shape = Shape { a: 0.0352, b: 1.09, c: 0.11 };
/// Single-joint movements: handbook table (B), Hoeger 1990, knee extension, arm curl, leg curl (m), Shimano
/// 2006, arm curl (m).
const SMALL: Shape = Shape { a: 0.0306, b: 1.06, c: 0.0 };

impl Shape {
    const fn of(family: CurveFamily) -> &'static Self {
        match family {
            CurveFamily::Upper => &UPPER,
            CurveFamily::Lower => &LOWER,
            CurveFamily::Small => &SMALL,
        }
    }

    /// Share at `x` reps beyond the first.
    fn share(&self, x: f64) -> f64 {
        let y = if self.c > 0.0 { libm::log1p(self.c * x) / self.c } else { x };
        libm::exp(-self.a * libm::pow(y, self.b))
    }

    /// Reps beyond the first at a share under 1.
    fn beyond_first(&self, share: f64) -> f64 {
        let y = libm::pow(-libm::log(share) / self.a, 1.0 / self.b);
        if self.c > 0.0 { libm::expm1(self.c * y) / self.c } else { y }
    }
}

/// The load-rep curve of a family of movements and a person.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    /// Family of movements.
    family: CurveFamily,
    /// 1 for the population; 1.2 does a fifth more reps beyond the first at a given share.
    person: f64,
}

impl Curve {
    /// The population's curve of a family.
    pub const fn of(family: CurveFamily) -> Self {
        Self { family, person: 1.0 }
    }

    /// A person's curve. The factor is kept within [`PERSON`]; what is no number counts as 1.
    #[must_use]
    pub fn with_person(self, factor: f64) -> Self {
        let person = if factor.is_nan() { 1.0 } else { factor.clamp(PERSON.0, PERSON.1) };
        Self { person, ..self }
    }

    /// Family of movements.
    pub const fn family(self) -> CurveFamily {
        self.family
    }

    /// The person factor.
    pub const fn person(self) -> f64 {
        self.person
    }

    /// Share of the 1RM that can be lifted `reps` times. Below one rep the curve goes on as a straight line
    /// with the fall of the first rep, so that a load just above the 1RM is a part of a rep.
    pub fn share(self, reps: Reps) -> Share {
        let reps = reps.get().max(0.0);
        let shape = Shape::of(self.family);
        if reps < 1.0 {
            return Share(1.0 + (1.0 - reps) * self.first_fall());
        }
        Share(shape.share((reps - 1.0) / self.person))
    }

    /// Reps to failure with a share of the 1RM, from 0 (too heavy) to [`REPS_MAX`].
    pub fn reps(self, share: Share) -> Reps {
        let share = share.get();
        if share <= 0.0 || share.is_nan() {
            return Reps(REPS_MAX);
        }
        if share > 1.0 {
            return Reps((1.0 - (share - 1.0) / self.first_fall()).max(0.0));
        }
        let beyond = Shape::of(self.family).beyond_first(share) * self.person;
        Reps((1.0 + beyond).min(REPS_MAX))
    }

    fn first_fall(self) -> f64 {
        1.0 - Shape::of(self.family).share(1.0 / self.person)
    }
}

/// The 1RM behind a set: `reps` done with `load`, `rir` left. Reps in reserve add to reps: 8 with 2 in
/// reserve are a 10RM.
pub fn one_rm(load: Kilograms, reps: Reps, rir: Reps, curve: Curve) -> Kilograms {
    Kilograms(load.get() / curve.share(reps + rir).get())
}

/// The load with which `reps` leave `rir` in reserve.
pub fn load_for(one_rm: Kilograms, reps: Reps, rir: Reps, curve: Curve) -> Kilograms {
    one_rm * curve.share(reps + rir).get()
}

/// Reps in reserve from a rating of effort out of ten: 10 - RPE (Zourdos 2016, JSCR 30:267 (A)).
pub fn rir_of_effort(rpe: f64) -> Reps {
    Reps((10.0 - rpe).clamp(0.0, 10.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const FAMILIES: [CurveFamily; 3] = [CurveFamily::Upper, CurveFamily::Lower, CurveFamily::Small];

    fn any_curve() -> impl Strategy<Value = Curve> {
        (0_usize..3, 0.4..2.5_f64).prop_map(|(f, p)| Curve::of(FAMILIES[f]).with_person(p))
    }

    proptest! {
        #[test]
        fn more_reps_always_mean_a_smaller_share(curve in any_curve(), r in 0.0..100.0_f64, step in 0.01..20.0_f64) {
            let (near, far) = (curve.share(Reps(r)).get(), curve.share(Reps(r + step)).get());
            prop_assert!(near > far && far > 0.0, "{near} {far}");
        }

        #[test]
        fn reps_and_share_undo_each_other(curve in any_curve(), r in 0.0..100.0_f64) {
            let back = curve.reps(curve.share(Reps(r))).get();
            prop_assert!((back - r).abs() < 1e-6, "{r} became {back}");
        }

        #[test]
        fn a_load_and_its_one_rep_maximum_undo_each_other(
            curve in any_curve(), kg in 1.0..400.0_f64, reps in 1.0..40.0_f64, rir in 0.0..5.0_f64,
        ) {
            let max = one_rm(Kilograms(kg), Reps(reps), Reps(rir), curve);
            prop_assert!((load_for(max, Reps(reps), Reps(rir), curve).get() - kg).abs() < 1e-9);
            prop_assert!(max.get() >= kg);
        }

        #[test]
        fn a_larger_person_factor_means_more_reps(f in 0_usize..3, p in 0.4..2.0_f64, share in 0.3..0.99_f64) {
            let less = Curve::of(FAMILIES[f]).with_person(p).reps(Share(share)).get();
            let more = Curve::of(FAMILIES[f]).with_person(p * 1.2).reps(Share(share)).get();
            prop_assert!(more > less || (more - REPS_MAX).abs() < 1e-9);
        }

        #[test]
        fn the_lower_body_does_more_reps_at_every_share(share in 0.2..0.995_f64) {
            let upper = Curve::of(CurveFamily::Upper).reps(Share(share)).get();
            let lower = Curve::of(CurveFamily::Lower).reps(Share(share)).get();
            prop_assert!(lower > upper || (lower - REPS_MAX).abs() < 1e-9, "{share}: {lower} {upper}");
        }
    }

    #[test]
    fn one_rep_is_exactly_the_whole() {
        for family in FAMILIES {
            assert_eq!(Curve::of(family).share(Reps(1.0)), Share(1.0));
            assert_eq!(Curve::of(family).reps(Share(1.0)), Reps(1.0));
        }
    }

    #[test]
    fn nonsense_stays_within_the_range() {
        let curve = Curve::of(CurveFamily::Upper).with_person(f64::NAN);
        assert_eq!(curve, Curve::of(CurveFamily::Upper));
        assert_eq!(curve.reps(Share(0.0)), Reps(REPS_MAX));
        assert_eq!(curve.reps(Share(f64::NAN)), Reps(REPS_MAX));
        assert_eq!(curve.reps(Share(3.0)), Reps(0.0));
        assert!(curve.share(Reps(-4.0)).get() < 1.1);
    }
}
