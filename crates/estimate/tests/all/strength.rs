//! Strength, forecasts and what the planner gets.

use crate::log::{curls, set};
use setwright_estimate::{History, LoggedSession, NotYet, PlannedExercise, Posterior, Prior, fit};
use setwright_gym::catalogue;
use setwright_model::belief::Basis;
use setwright_model::{Belief, ExerciseId, Hours, Kilograms, Muscle, Reps};
use setwright_science::recovery::median_tau_h;
use std::collections::BTreeMap;

fn learn(history: &History) -> Posterior {
    fit(history, catalogue::builtin(), &Prior::population(), 7)
}

fn curl() -> ExerciseId {
    "barbell_curl".into()
}

fn plan(sets: u32) -> Vec<PlannedExercise> {
    vec![PlannedExercise { exercise: curl(), sets, reps: Reps(8.0), rir: Reps(2.0) }]
}

/// A log of steady growth, a week between sessions.
fn growing(per_week: f64, weeks: usize) -> History {
    let session = |week: usize| {
        let load = Kilograms(30.0 * libm::exp(per_week * week as f64));
        LoggedSession { at: Hours(week as f64 * 168.0), sets: vec![set(&curl(), load, Some(2.0)); 3] }
    };
    History { sessions: (0..weeks).map(session).collect(), ..History::default() }
}

#[test]
fn a_rested_maximum_is_held_and_an_anchor_is_asked_for() {
    let posterior = learn(&curls(40, 24.0));
    let strength = posterior.strength(&curl()).unwrap();
    assert!(strength.one_rm.holds(&Kilograms(40.0)), "{strength:?}");
    assert!(strength.not_yet.contains(&NotYet::NoHeavySet));
    assert_eq!(posterior.strength(&"bench_press".into()), None);
}

#[test]
fn a_heavy_set_anchors_the_maximum() {
    let mut history = curls(40, 24.0);
    let mut heavy = set(&curl(), Kilograms(38.0), Some(0.0));
    heavy.reps = Reps(1.0);
    if let Some(last) = history.sessions.last_mut() {
        last.sets.insert(0, heavy);
    }
    assert!(!learn(&history).strength(&curl()).unwrap().not_yet.contains(&NotYet::NoHeavySet));
}

#[test]
fn growth_is_seen_and_standing_still_is_seen_after_months() {
    let grown = learn(&growing(0.006, 40)).strength(&curl()).unwrap().growth_per_week;
    assert!(grown.low.get() > 0.0 && (grown.median.get() - 0.006).abs() < 0.003, "{grown:?}");
    let (still, moving) = (learn(&growing(0.0, 40)).stall(), learn(&growing(0.006, 40)).stall());
    assert!(still.probability.get() > 0.5 && moving.probability.get() < 0.1, "{still:?} {moving:?}");
    assert!(still.not_yet.is_empty());
    assert_eq!(learn(&growing(0.0, 6)).stall().not_yet, [NotYet::StallTooYoung]);
}

#[test]
fn a_session_too_soon_is_forecast_weaker() {
    let history = curls(60, 30.0);
    let last = history.sessions.last().unwrap().at.get();
    let posterior = learn(&history);
    let load = |gap_h: f64| {
        let forecast = posterior.forecast(Hours(last + gap_h), &plan(3), catalogue::builtin());
        forecast[0].clone().unwrap().load.median.get()
    };
    assert!(load(18.0) < 0.98 * load(96.0), "{} {}", load(18.0), load(96.0));
    let unknown = [PlannedExercise { exercise: "bench_press".into(), ..plan(3)[0].clone() }];
    assert_eq!(posterior.forecast(Hours(last), &unknown, catalogue::builtin()), [None]);
}

#[test]
fn the_planner_gets_the_lifted_maximum_and_the_learned_time_constant() {
    let base = Belief { one_rm: BTreeMap::new(), tau: Muscle::ALL.map(|m| Hours(median_tau_h(m))) };
    let belief = learn(&curls(60, 36.0)).belief(&base);
    let strength = belief.one_rm.get(&curl()).unwrap();
    assert_eq!(strength.basis, Basis::Lifted);
    assert!((strength.one_rm.get() / 40.0 - 1.0).abs() < 0.06 && strength.sd.get() > 0.0);
    assert!(belief.tau[Muscle::Biceps.index()].get() > 26.0, "{:?}", belief.tau);
    assert_eq!(belief.tau[Muscle::Quads.index()], base.tau[Muscle::Quads.index()]);
}
