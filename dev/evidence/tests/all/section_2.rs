//! Repetitions in reserve.

use setwright_gym::catalogue::builtin;
use setwright_model::brief::{Goal, TrainingAge};
use setwright_model::exercise::CurveFamily;
use setwright_model::{Kilograms, Reps};
use setwright_science::curve::{Curve, load_for, one_rm, rir_of_effort};
use setwright_science::prescribe;
use setwright_science::strength::{REPS_ERROR, REPS_ERROR_PER_REP};

#[test]
fn effort_out_of_ten_and_reps_in_reserve_are_one_scale() {
    // RIR = 10 - RPE (Zourdos 2016, JSCR 30:267 (A)).
    for (rpe, rir) in [(10.0, 0.0), (9.5, 0.5), (9.0, 1.0), (8.0, 2.0), (7.0, 3.0), (6.0, 4.0)] {
        assert_eq!(rir_of_effort(rpe), Reps(rir));
    }
}

#[test]
fn eight_reps_with_two_in_reserve_are_a_ten_rm() {
    for family in [CurveFamily::Upper, CurveFamily::Lower, CurveFamily::Small] {
        let curve = Curve::of(family);
        let max = one_rm(Kilograms(80.0), Reps(8.0), rir_of_effort(8.0), curve);
        assert_eq!(max, one_rm(Kilograms(80.0), Reps(10.0), Reps::ZERO, curve));
        let ten_rm = load_for(max, Reps(10.0), Reps::ZERO, curve).get();
        assert!((ten_rm - 80.0).abs() < 1e-9);
    }
}

#[test]
fn the_error_of_a_told_reserve_is_the_published_one() {
    // Under-prediction 0.95 reps (0.17 to 1.73), growing 0.06 a rep up to 12 reps (Halperin 2022, Sports Med
    // 52:377 (A)); absolute error of trained lifters 0.65 +/- 0.78 reps (Refalo 2023, JSCR (A)).
    assert!((0.17..=1.73).contains(&REPS_ERROR));
    assert!((REPS_ERROR - 0.65).abs() <= 0.78);
    assert!((REPS_ERROR_PER_REP - 0.06).abs() < 1e-12);
}

#[test]
fn nobody_is_sent_to_failure_by_a_scheme() {
    // Training to failure adds little to growth: ES 0.19 (0.00 to 0.37) (Refalo 2022, Sports Med 53:649 (A)).
    for exercise in builtin().iter() {
        for goal in [Goal::General, Goal::Size, Goal::Strength] {
            for age in [
                TrainingAge::FirstWeeks,
                TrainingAge::Beginner,
                TrainingAge::Intermediate,
                TrainingAge::Advanced,
            ] {
                assert!(prescribe::scheme(exercise, goal, age).rir >= 1, "{}", exercise.id);
            }
        }
    }
}
