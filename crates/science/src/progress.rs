//! Progress over weeks: when a load goes up and by how much, and how a beginner's sets and days grow.
//!
//! Rules for one lift at a time. Where a client stands is the log's to say, not this module's.

use setwright_model::brief::TrainingAge;
use setwright_model::{Reps, Share};

/// Smallest and largest rise of a load (Ratamess 2009, MSSE 41:687 (A): 2 to 10 % at one or two over target).
pub const RISE: (f64, f64) = (0.02, 0.10);
/// Rise for each repetition over the target: about what one repetition is worth on the load-rep curve near ten
/// repetitions (judgement within [`RISE`]).
pub const RISE_PER_REP: f64 = 0.025;
/// Repetitions over the goal in the last set that call for more load, two sessions running (handbook (B)).
pub const OVER_REPS: f64 = 2.0;
/// Sessions running that must agree before a load changes (handbook (B) for a rise; judgement for a fall).
pub const SESSIONS_RUNNING: usize = 2;
/// Fall of a load that was missed by two repetitions two sessions running (judgement).
pub const FALL: f64 = 0.05;

/// Change of load, as a share of it, after sessions whose last set went `over` the goal by so many repetitions
/// (under it when negative), oldest first.
pub fn load_change(over: &[Reps]) -> Share {
    let Some(recent) = over.len().checked_sub(SESSIONS_RUNNING).and_then(|from| over.get(from..)) else {
        return Share::ZERO;
    };
    if recent.iter().all(|r| r.get() >= OVER_REPS) {
        let least = recent.iter().map(|r| r.get()).fold(f64::MAX, f64::min);
        return rise(Reps(least));
    }
    if recent.iter().all(|r| r.get() <= -OVER_REPS) {
        return Share(-FALL);
    }
    Share::ZERO
}

/// Rise of load for repetitions over the target: none under one, then within [`RISE`].
pub fn rise(over: Reps) -> Share {
    if over.get() < 1.0 {
        return Share::ZERO;
    }
    Share((RISE_PER_REP * over.get()).clamp(RISE.0, RISE.1))
}

/// A stage of a beginner's growth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stage {
    /// First week of it, from 0.
    pub from_week: f64,
    /// Sets of a movement.
    pub sets_of_a_movement: (u32, u32),
    /// Sets of a session.
    pub sets_of_a_session: (u32, u32),
    /// Sessions a week.
    pub sessions_a_week: u32,
}

/// One set of six movements twice a week; two sets after two weeks; 20 to 25 sets a session after 12 to 16
/// weeks; then three days, from about ten sets a session up to twenty; then four days (common practice, no
/// source (T); the weeks of the second and of the last two stages are judgement).
pub const NOVICE: [Stage; 5] = [
    Stage { from_week: 0.0, sets_of_a_movement: (1, 1), sets_of_a_session: (6, 6), sessions_a_week: 2 },
    Stage { from_week: 2.0, sets_of_a_movement: (2, 2), sets_of_a_session: (12, 16), sessions_a_week: 2 },
    Stage { from_week: 14.0, sets_of_a_movement: (2, 3), sets_of_a_session: (20, 25), sessions_a_week: 2 },
    Stage { from_week: 26.0, sets_of_a_movement: (2, 3), sets_of_a_session: (10, 20), sessions_a_week: 3 },
    Stage { from_week: 52.0, sets_of_a_movement: (2, 4), sets_of_a_session: (10, 20), sessions_a_week: 4 },
];

/// The stage of a beginner after so many weeks of steady training.
pub fn novice_stage(weeks: f64) -> Stage {
    NOVICE.iter().rev().find(|s| weeks >= s.from_week).copied().unwrap_or(NOVICE[0])
}

/// Usual days a week by training age (Ratamess 2009, MSSE 41:687 (A): novice 2-3, intermediate 3-4, advanced 4-5).
pub const fn usual_days(age: TrainingAge) -> (u32, u32) {
    match age {
        TrainingAge::FirstWeeks | TrainingAge::Beginner => (2, 3),
        TrainingAge::Intermediate => (3, 4),
        TrainingAge::Advanced => (4, 5),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(over: &[f64], expected: f64) {
        let over: Vec<Reps> = over.iter().copied().map(Reps).collect();
        assert!((load_change(&over).get() - expected).abs() < 1e-12, "{over:?}: {}", load_change(&over));
    }

    #[test]
    fn a_load_changes_only_when_two_sessions_agree() {
        check(&[], 0.0);
        check(&[5.0], 0.0);
        check(&[0.0, 5.0], 0.0);
        check(&[2.0, 1.9], 0.0);
        check(&[2.0, 2.0], 0.05);
        check(&[-9.0, 2.0, 3.0], 0.05);
        check(&[9.0, 8.0], 0.10);
        check(&[-2.0, -3.0], -0.05);
        check(&[-2.0, 3.0], 0.0);
    }

    #[test]
    fn a_beginner_grows_from_six_sets_twice_to_four_days() {
        assert_eq!(novice_stage(0.0).sets_of_a_session, (6, 6));
        assert_eq!(novice_stage(-3.0), NOVICE[0]);
        assert_eq!(novice_stage(5.0).sets_of_a_movement, (2, 2));
        assert_eq!(novice_stage(16.0).sets_of_a_session, (20, 25));
        assert_eq!(novice_stage(30.0).sessions_a_week, 3);
        assert_eq!(novice_stage(300.0).sessions_a_week, 4);
        assert!(NOVICE.windows(2).all(|w| w[0].from_week < w[1].from_week));
    }
}
