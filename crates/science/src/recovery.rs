//! Recovery over hours and days: how much a session takes from a muscle, and when the muscle is ready again.
//!
//! These are the population's values, to start from. They are wide: a client's own come from the log
//! (`estimate`), and nothing here looks at one.

use setwright_model::brief::{Brief, TrainingAge};
use setwright_model::{FractionalSets, Hours, Muscle, Share};

/// Share of strength that one fractional set to failure takes from a muscle, minutes later: with
/// [`DROP_POWER`] it returns the -26.8 % of 8 x 10RM of curls and the -15.1 % of 8 x 10RM of rows at half a set
/// each (Soares 2015, JSCR 29:2594 (A); arithmetic (D)).
pub const DROP_PER_SET: f64 = 0.0477;
/// Power of the dose in the drop: twice the sets, less than twice the drop (Soares 2015 (A), arithmetic (D)).
pub const DROP_POWER: f64 = 0.83;
/// Repetitions in reserve that divide the drop by e (judgement). With the time constants here 3 x 10 to failure cost 25 to
/// 35 h more than 3 x 5 of 10 (Morán-Navarro 2017, EJAP 117:2387 (A): up to 24 to 48 h), but only 14 to 19 h more than
/// 6 x 5: probably too large, see "What holds the constants" in `docs/models.md`.
pub const RESERVE_SCALE_REPS: f64 = 4.0;
/// A muscle is ready when no more than this share of its strength is missing (judgement: about what differs
/// from day to day anyway).
pub const READY_DROP: f64 = 0.02;
/// Spread between persons of the logarithm of a time constant (judgement).
pub const PERSON_LOG_SD: f64 = 0.25;
/// Spread between muscles of one person, beyond the medians, on the same scale (judgement).
pub const MUSCLE_LOG_SD: f64 = 0.30;
/// Growth of the time constants per year of age beyond [`AGE_FROM_YEARS`]: older lifters are slower (McLester
/// 2003, JSCR 17:259 (A)); by how much is judgement, kept weak.
pub const AGE_GROWTH_PER_YEAR: f64 = 0.005;
/// Age from which recovery is reckoned to slow (judgement).
pub const AGE_FROM_YEARS: f64 = 35.0;
/// A usual session of a muscle, in fractional sets, which a coach's `recovery_h` speaks of (judgement).
pub const USUAL_SETS: f64 = 4.0;
/// Repetitions in reserve of a usual session (judgement).
pub const USUAL_RIR: f64 = 2.0;
/// Shortest and longest time constant that is taken as meant, in hours (judgement).
pub const TAU_H: (f64, f64) = (6.0, 120.0);

/// Median time constant of a muscle in a trained adult, in hours.
///
/// Elbow flexors 20.7 (Soares 2015, JSCR 29:2594 (A), arithmetic (D)); chest such that 8 x 10RM is back by 72 h
/// (Ferreira 2017, JSCR 31:71 (A)); the others between the two or near them by the trade's order, chest, quads,
/// glutes and back slowest, arms, side deltoids and calves quickest (T), held against the quicker knee extension of
/// Raastad & Hallen 2000 (EJAP 82:206 (m)). Studies disagree on who is slower, so
/// the order is kept weak: the slowest is not half as long again as the quickest.
pub const fn median_tau_h(muscle: Muscle) -> f64 {
    match muscle {
        Muscle::LowerBack => 28.0,
        Muscle::Chest => 27.0,
        Muscle::Lats | Muscle::UpperBack => 25.0,
        Muscle::Glutes | Muscle::Hamstrings | Muscle::Traps => 24.0,
        Muscle::Quads | Muscle::Adductors | Muscle::FrontDelts => 23.0,
        Muscle::Triceps | Muscle::SideDelts | Muscle::RearDelts => 22.0,
        Muscle::Calves => 21.0,
        Muscle::Biceps => 20.7,
        Muscle::Forearms | Muscle::Abs | Muscle::Obliques => 20.0,
    }
}

/// Factor of the time constants by training age: what is new to a muscle takes longer (Radaelli 2012, JSCR
/// 26:2577 (A): untrained women not back 72 h after 4 x 10 curls; the size of the factor is judgement).
pub const fn training_factor(age: TrainingAge) -> f64 {
    match age {
        TrainingAge::FirstWeeks => 1.3,
        TrainingAge::Beginner => 1.1,
        TrainingAge::Intermediate | TrainingAge::Advanced => 1.0,
    }
}

/// Time constants to start from, in the order of [`Muscle::ALL`]. A coach's `recovery_h` for a muscle replaces
/// the median: it is the time the muscle needs after a usual session.
pub fn tau_priors(brief: &Brief) -> [Hours; Muscle::COUNT] {
    let factor = training_factor(brief.training_age) * age_factor(brief.body.age);
    Muscle::ALL.map(|muscle| {
        let wish = brief.muscles.get(&muscle).and_then(|w| w.recovery_h);
        let tau_h = wish.map_or(median_tau_h(muscle) * factor, tau_for_wish_h);
        Hours(tau_h.clamp(TAU_H.0, TAU_H.1))
    })
}

fn age_factor(age: Option<u32>) -> f64 {
    let years = age.map_or(0.0, |a| (crate::capability::in_fives(a) - AGE_FROM_YEARS).max(0.0));
    1.0 + AGE_GROWTH_PER_YEAR * years
}

fn tau_for_wish_h(recovery_h: f64) -> f64 {
    recovery_h / depth(drop(FractionalSets(USUAL_SETS), USUAL_RIR))
}

/// Standard deviation of the logarithm of a client's time constant about the prior.
pub fn prior_log_sd() -> f64 {
    (PERSON_LOG_SD * PERSON_LOG_SD + MUSCLE_LOG_SD * MUSCLE_LOG_SD).sqrt()
}

/// Share of its strength that a muscle lacks right after a dose, once the acute fatigue of the session is gone.
pub fn drop(dose: FractionalSets, rir: f64) -> Share {
    let to_failure = DROP_PER_SET * libm::pow(dose.get().max(0.0), DROP_POWER);
    Share((to_failure * failure_factor(rir)).min(1.0))
}

/// Part of the drop that is left when sets stop with `rir` in reserve.
pub fn failure_factor(rir: f64) -> f64 {
    libm::exp(-rir.max(0.0) / RESERVE_SCALE_REPS)
}

/// Share of its strength that a muscle still lacks `gap` after a dose.
pub fn still_missing(dose: FractionalSets, rir: f64, gap: Hours, tau: Hours) -> Share {
    Share(drop(dose, rir).get() * libm::exp(-gap.get().max(0.0) / tau.get().max(1e-6)))
}

/// Time until the muscle is ready again: tau ln(drop / threshold), nothing when the drop is below it.
pub fn needed_gap(dose: FractionalSets, rir: f64, tau: Hours) -> Hours {
    Hours(tau.get() * depth(drop(dose, rir)))
}

/// How many time constants a drop takes to fall to the threshold.
fn depth(drop: Share) -> f64 {
    libm::log((drop.get() / READY_DROP).max(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use setwright_model::brief::{Body, Goal, MuscleWish, Time};
    use setwright_model::units::Minutes;

    fn brief(training_age: TrainingAge, age: Option<u32>) -> Brief {
        let time = Time::weekly(3, Minutes(60.0));
        let body = Body { age, ..Body::default() };
        Brief { body, ..Brief::new("Test", Goal::Size, training_age, time) }
    }

    #[test]
    fn the_order_of_muscles_is_weak() {
        let all = Muscle::ALL.map(median_tau_h);
        let (least, most) = all.iter().fold((f64::MAX, 0.0_f64), |(l, m), t| (l.min(*t), m.max(*t)));
        assert!(most / least < 1.5, "{least} {most}");
    }

    #[test]
    fn older_and_newer_lifters_recover_more_slowly_but_not_by_much() {
        let young = tau_priors(&brief(TrainingAge::Intermediate, Some(25)));
        let old = tau_priors(&brief(TrainingAge::Intermediate, Some(65)));
        let new = tau_priors(&brief(TrainingAge::FirstWeeks, Some(25)));
        for m in 0..Muscle::COUNT {
            assert!(old[m] > young[m] && old[m].get() < young[m].get() * 1.25);
            assert!(new[m] > young[m] && new[m].get() < young[m].get() * 1.5);
        }
        assert_eq!(young, tau_priors(&brief(TrainingAge::Intermediate, None)));
    }

    #[test]
    fn what_the_coach_says_of_a_muscle_is_what_a_usual_session_needs() {
        let mut wished = brief(TrainingAge::Intermediate, None);
        wished.muscles.insert(Muscle::Chest, MuscleWish { recovery_h: Some(96.0), ..MuscleWish::default() });
        let taus = tau_priors(&wished);
        let gap = needed_gap(FractionalSets(USUAL_SETS), USUAL_RIR, taus[Muscle::Chest.index()]);
        assert!((gap.get() - 96.0).abs() < 1e-9, "{gap}");
        assert!((taus[Muscle::Quads.index()].get() - 23.0).abs() < 1e-9);
    }

    #[test]
    fn nonsense_hours_are_kept_within_reason() {
        let mut wished = brief(TrainingAge::Intermediate, None);
        for (hours, tau_h) in [(-5.0, TAU_H.0), (1e9, TAU_H.1)] {
            let wish = MuscleWish { recovery_h: Some(hours), ..MuscleWish::default() };
            wished.muscles.insert(Muscle::Chest, wish);
            assert_eq!(tau_priors(&wished)[Muscle::Chest.index()], Hours(tau_h));
        }
    }

    proptest! {
        #[test]
        fn more_sets_closer_to_failure_and_slower_muscles_need_longer(
            dose in 0.0..20.0, more in 0.0..5.0, rir in 0.0..6.0, further in 0.0..3.0,
            tau in 5.0..80.0, slower in 0.0..40.0,
        ) {
            let gap = |d, r, t| needed_gap(FractionalSets(d), r, Hours(t)).get();
            prop_assert!(gap(dose + more, rir, tau) >= gap(dose, rir, tau) - 1e-9);
            prop_assert!(gap(dose, rir + further, tau) <= gap(dose, rir, tau) + 1e-9);
            prop_assert!(gap(dose, rir, tau + slower) >= gap(dose, rir, tau) - 1e-9);
            prop_assert!(gap(dose, rir, tau) >= 0.0);
        }

        #[test]
        fn after_the_needed_gap_a_muscle_is_ready(dose in 1.0..20.0, rir in 0.0..4.0, tau in 5.0..80.0) {
            let gap = needed_gap(FractionalSets(dose), rir, Hours(tau));
            let left = still_missing(FractionalSets(dose), rir, gap, Hours(tau));
            prop_assert!(left.get() <= READY_DROP + 1e-9, "{left}");
        }
    }
}
