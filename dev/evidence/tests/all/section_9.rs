//! Progression: loads, days and a beginner's growth.

use setwright_model::brief::TrainingAge;
use setwright_model::{Muscle, Reps};
use setwright_science::{catalogue, progress, warmup};

/// Ratamess 2009, MSSE 41:687 (A): 2 to 10 % more when one or two repetitions over the target.
#[test]
fn one_or_two_over_the_target_raise_the_load_by_two_to_ten_per_cent() {
    for over in [1.0, 1.5, 2.0] {
        let rise = progress::rise(Reps(over)).get();
        assert!((0.02..=0.10).contains(&rise), "{over}: {rise}");
    }
    assert!(progress::rise(Reps(0.5)).get().abs() < 1e-12);
}

/// Handbook (B): two repetitions over the goal in the last set on two sessions running, add load.
#[test]
fn two_over_twice_running_add_load_and_once_does_not() {
    assert!(progress::load_change(&[Reps(2.0), Reps(2.0)]).get() > 0.0);
    assert!(progress::load_change(&[Reps(2.0)]).get().abs() < 1e-12);
    assert!(progress::load_change(&[Reps(2.0), Reps(1.0)]).get().abs() < 1e-12);
}

/// Ratamess 2009, MSSE 41:687 (A): novice 2-3, intermediate 3-4, advanced 4-5 days a week.
#[test]
fn days_a_week_follow_training_age() {
    assert_eq!(progress::usual_days(TrainingAge::Beginner), (2, 3));
    assert_eq!(progress::usual_days(TrainingAge::Intermediate), (3, 4));
    assert_eq!(progress::usual_days(TrainingAge::Advanced), (4, 5));
}

/// Common practice, no source (T): six movements of one set twice a week; after a few weeks two sets; after 12-16 weeks
/// 20-25 sets a session; then three days from about ten sets up to twenty; then four days.
#[test]
fn a_beginner_grows_by_the_trades_steps() {
    let first = progress::novice_stage(0.0);
    assert_eq!(
        (first.sets_of_a_movement, first.sets_of_a_session, first.sessions_a_week),
        ((1, 1), (6, 6), 2)
    );
    assert_eq!(progress::novice_stage(6.0).sets_of_a_movement, (2, 2));
    assert_eq!(progress::novice_stage(16.0).sets_of_a_session, (20, 25));
    let days: Vec<u32> = progress::NOVICE.iter().map(|s| s.sessions_a_week).collect();
    assert_eq!(days, [2, 2, 2, 3, 4]);
}

/// Ratamess 2009, MSSE 41:687 (A): large before small, multi-joint before single-joint.
#[test]
fn compound_lifts_rank_before_single_joint_ones() {
    let all = catalogue::builtin();
    let get = |id: &str| all.get(&id.into()).unwrap_or_else(|| panic!("no {id}"));
    assert!(warmup::rank(get("bench_press")) < warmup::rank(get("leg_extension")));
    assert!(warmup::rank(get("deadlift")) < warmup::rank(get("barbell_curl")));
}

/// Common practice, no source (T): one movement that cleans, squats and presses covers about four fifths of the body.
/// Printed; held from two thirds, since a quarter set is little.
#[test]
fn one_whole_body_lift_reaches_most_muscles() {
    let most = catalogue::builtin().iter().map(|e| (e.contributions().count(), e.id.as_str())).max().unwrap();
    println!("{} reaches {} of {} muscles", most.1, most.0, Muscle::COUNT);
    assert!(most.0 * 3 >= Muscle::COUNT * 2, "{most:?}");
}
