//! Which days would teach more, by logs made by hand.

use crate::log::curls;
use setwright_estimate::design::{LACKS_MOST, Schedule, best, is_allowed, lesson};
use setwright_estimate::{PlannedExercise, Posterior, Prior, fit};
use setwright_gym::catalogue::builtin;
use setwright_model::{Hours, Muscle, Reps};

fn after(sessions: usize) -> Posterior {
    fit(&curls(sessions, 24.0), builtin(), &Prior::population(), 7)
}

fn last_h(sessions: usize) -> f64 {
    curls(sessions, 24.0).sessions.last().unwrap().at.get()
}

fn plan(sessions: usize) -> Vec<Vec<PlannedExercise>> {
    vec![
        vec![PlannedExercise { exercise: "barbell_curl".into(), sets: 4, reps: Reps(8.0), rir: Reps(2.0) }];
        sessions
    ]
}

fn hours(from: f64, gaps: &[f64]) -> Vec<Hours> {
    gaps.iter()
        .scan(from, |at, gap| {
            *at += gap;
            Some(Hours(*at))
        })
        .collect()
}

#[test]
fn a_short_gap_beside_a_long_one_teaches_more_than_two_alike() {
    let (posterior, from) = (after(8), last_h(8));
    let nats = |gaps: &[f64]| lesson(&posterior, &plan(3), &hours(from, gaps), builtin()).nats;
    assert!(nats(&[72.0, 30.0, 114.0]) > 1.3 * nats(&[72.0, 72.0, 72.0]));
}

#[test]
fn what_is_expected_to_be_learned_is_about_what_is_learned() {
    // The next ten sessions of the same log, foreseen and then read.
    let (before, log) = (after(10), curls(20, 24.0));
    let at: Vec<Hours> = log.sessions.iter().skip(10).map(|s| s.at).collect();
    let sessions: Vec<Vec<PlannedExercise>> = plan(10)
        .into_iter()
        .map(|mut s| {
            for p in &mut s {
                p.sets = 6;
            }
            s
        })
        .collect();
    let foreseen = lesson(&before, &sessions, &at, builtin());
    let (_, now, expected) = foreseen.learned.iter().find(|(m, _, _)| *m == Muscle::Biceps).unwrap();
    let read = |posterior: &Posterior| {
        let values: Vec<f64> = posterior.draws().map(|d| d.log_tau[Muscle::Biceps.index()]).collect();
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / values.len() as f64
    };
    let prior = Prior::population().tau_spread.total();
    let truly = 1.0 - read(&after(20)) / (prior * prior);
    assert!((expected.get() - truly).abs() < 0.15, "expected {expected}, then {truly}");
    assert!(truly > now.get() + 0.1);
}

#[test]
fn no_day_is_offered_on_which_a_muscle_trained_hard_would_lack_much() {
    let (posterior, from) = (after(12), last_h(12));
    let soon = Schedule { at: hours(from, &[20.0, 8.0, 8.0]) };
    let usual = Schedule { at: hours(from, &[72.0, 72.0, 72.0]) };
    assert!(
        !is_allowed(&posterior, &plan(3), &soon.at, builtin()),
        "more than {LACKS_MOST} would be missing"
    );
    let (place, _) = best(&posterior, &plan(3), &[soon.clone(), usual.clone()], builtin()).unwrap();
    assert_eq!(place, 1);
    assert_eq!(best(&posterior, &plan(3), std::slice::from_ref(&soon), builtin()), None);
    // One set an exercise is no hard training.
    let light: Vec<Vec<PlannedExercise>> = plan(3)
        .into_iter()
        .map(|mut s| {
            s[0].sets = 1;
            s
        })
        .collect();
    assert!(best(&posterior, &light, &[soon], builtin()).is_some());
}
