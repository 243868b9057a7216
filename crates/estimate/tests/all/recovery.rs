//! What is learned of recovery, and what is said not to be known.

use crate::log::{curls, set};
use setwright_estimate::{
    History, LoggedSession, LoggedSet, NotYet, Posterior, Prior, SlipKind, SorenessReport, fit,
};
use setwright_gym::catalogue;
use setwright_model::units::KG_PER_LB;
use setwright_model::{FractionalSets, Hours, Kilograms, Muscle, Reps};
use setwright_science::curve;

const DOSE: FractionalSets = FractionalSets(6.0);
const RESERVE: Reps = Reps(2.0);

fn learn(history: &History) -> Posterior {
    fit(history, catalogue::builtin(), &Prior::population(), 7)
}

fn ready_h(history: &History) -> f64 {
    learn(history).recovery(Muscle::Biceps, DOSE, RESERVE).ready.median.get()
}

#[test]
fn without_a_log_everything_is_the_population() {
    let nothing = learn(&History::default());
    let recovery = nothing.recovery(Muscle::Chest, DOSE, RESERVE);
    assert!(recovery.not_yet.contains(&NotYet::PopulationValue));
    assert!(recovery.not_yet.contains(&NotYet::GapNeverSeen));
    assert!((recovery.tau.median.get() / 27.0 - 1.0).abs() < 0.1, "{recovery:?}");
    assert_eq!(nothing.exercises().count(), 0);
}

#[test]
fn slow_and_quick_muscles_are_told_apart_and_the_truth_is_held() {
    let (slow, quick) = (curls(60, 36.0), curls(60, 14.0));
    assert!(ready_h(&slow) > ready_h(&quick) + 12.0, "{} {}", ready_h(&slow), ready_h(&quick));
    for (history, tau) in [(slow, 36.0), (quick, 14.0)] {
        let recovery = learn(&history).recovery(Muscle::Biceps, DOSE, RESERVE);
        assert!(recovery.tau.holds(&Hours(tau)), "{tau}: {recovery:?}");
        assert!(recovery.learned.get() > 0.2 && recovery.not_yet.is_empty(), "{recovery:?}");
    }
}

#[test]
fn what_one_muscle_teaches_of_the_person_moves_the_others_a_little() {
    let chest = |tau| learn(&curls(60, tau)).recovery(Muscle::Chest, DOSE, RESERVE);
    let (slow, quick) = (chest(36.0), chest(14.0));
    assert!(slow.tau.median > quick.tau.median);
    assert!(slow.not_yet.contains(&NotYet::PopulationValue), "{slow:?}");
}

#[test]
fn sets_without_reserve_abstain() {
    let mut silent = curls(60, 36.0);
    for set in silent.sessions.iter_mut().flat_map(|s| &mut s.sets) {
        set.rir = None;
    }
    let recovery = learn(&silent).recovery(Muscle::Biceps, DOSE, RESERVE);
    assert!(recovery.not_yet.contains(&NotYet::RirMostlyMissing));
    assert!(recovery.not_yet.contains(&NotYet::PopulationValue));
    assert!((recovery.tau.median.get() / 20.7 - 1.0).abs() < 0.1, "{recovery:?}");
}

#[test]
fn pounds_are_flagged_and_do_not_move_the_belief() {
    let clean = curls(40, 24.0);
    let mut slipped = clean.clone();
    let session = &mut slipped.sessions[20];
    let at = session.at;
    for set in &mut session.sets {
        set.load = set.load.map(|kg| Kilograms(kg.get() / KG_PER_LB));
    }
    let after = learn(&slipped);
    assert_eq!(after.slips().len(), 6);
    assert!(after.slips().iter().all(|s| s.kind == SlipKind::PoundsAsKilograms && s.at == at));
    assert!((ready_h(&slipped) - ready_h(&clean)).abs() < 6.0);
    assert_eq!(learn(&clean).slips(), []);
}

#[test]
fn a_gap_that_was_never_seen_is_said_so() {
    let posterior = learn(&curls(60, 24.0));
    let says = |gap_h: f64| posterior.residual(Muscle::Biceps, DOSE, RESERVE, Hours(gap_h)).not_yet;
    assert!(!says(48.0).contains(&NotYet::GapNeverSeen));
    assert!(says(5.0).contains(&NotYet::GapNeverSeen));
    assert!(says(200.0).contains(&NotYet::GapNeverSeen));
}

#[test]
fn the_same_log_gives_the_same_belief_in_whatever_order_it_comes() {
    let history = curls(30, 24.0);
    let mut mixed = history.clone();
    mixed.sessions.reverse();
    assert!(learn(&history).draws().eq(learn(&mixed).draws()));
    let other = fit(&history, catalogue::builtin(), &Prior::population(), 8);
    assert!(!learn(&history).draws().eq(other.draws()));
}

#[test]
fn one_more_session_comes_to_much_the_same_as_a_fit_of_all() {
    let history = curls(50, 30.0);
    let mut first = history.clone();
    let last = first.sessions.split_off(40);
    let step = |p: Posterior, s| p.after(s, None, catalogue::builtin());
    let stepped = last.iter().fold(learn(&first), step);
    let ready = stepped.recovery(Muscle::Biceps, DOSE, RESERVE).ready.median.get();
    assert!((ready / ready_h(&history) - 1.0).abs() < 0.08, "{ready} {}", ready_h(&history));
}

#[test]
fn soreness_says_something_and_counts_for_little() {
    let mut sore = curls(30, 24.0);
    let plain = learn(&sore).recovery(Muscle::Biceps, DOSE, RESERVE);
    let report = |at: Hours| SorenessReport { at, muscle: Muscle::Biceps, score: 6 };
    sore.soreness = sore.sessions.iter().map(|s| report(s.at)).collect();
    let told = learn(&sore).recovery(Muscle::Biceps, DOSE, RESERVE);
    assert_ne!(plain.tau, told.tau);
    let width = |r: &setwright_estimate::Recovery| r.ready.high.get() - r.ready.low.get();
    assert!(width(&told) > 0.6 * width(&plain), "{told:?}");
}

#[test]
fn missing_strength_falls_with_time_and_readiness_is_told_from_the_log() {
    let posterior = learn(&curls(40, 24.0));
    let last = curls(40, 24.0).sessions.last().unwrap().at;
    let at = |h: f64| posterior.missing_at(Muscle::Biceps, Hours(last.get() + h)).unwrap().median.get();
    assert!(at(1.0) > at(24.0) && at(24.0) > at(72.0) && at(72.0) > 0.0);
    let ready = posterior.ready_after_last(Muscle::Biceps).unwrap();
    assert!(at(ready.median.get()) < 0.025 && ready.low <= ready.median);
    assert_eq!(posterior.missing_at(Muscle::Quads, last), None);
}

#[test]
fn nonsense_in_a_log_neither_panics_nor_teaches() {
    let mut odd = curls(10, 24.0);
    let id = odd.sessions[0].sets[0].exercise.clone();
    odd.sessions[3].at = Hours(f64::NAN);
    odd.sessions[4].sets.push(set(&id, Kilograms(f64::INFINITY), Some(2.0)));
    odd.sessions[5].sets.push(set(&id, Kilograms(-5.0), Some(f64::NAN)));
    odd.sessions[6].sets.push(set(&"no_such_exercise".into(), Kilograms(50.0), Some(2.0)));
    odd.sessions[7].sets.clear();
    let posterior = learn(&odd);
    assert_eq!(posterior.unknown_exercises().count(), 1);
    let recovery = posterior.recovery(Muscle::Biceps, FractionalSets(-1.0), Reps(f64::INFINITY));
    assert!(recovery.ready.median.get().abs() < 1e-9);
    assert!(posterior.strength(&id).unwrap().one_rm.median.get().is_finite());
}

/// Forty sessions of 5, 8 and 12 reps in turn, with a load for each and two reps written as left.
fn in_three_ranges(loads_kg: [f64; 3]) -> History {
    let session = |nth: usize| {
        let (reps, load) = ([5.0, 8.0, 12.0][nth % 3], Kilograms(loads_kg[nth % 3]));
        let one = LoggedSet { reps: Reps(reps), ..set(&"barbell_curl".into(), load, Some(2.0)) };
        LoggedSession { at: Hours(72.0 * nth as f64), sets: vec![one; 3] }
    };
    History { sessions: (0..40).map(session).collect(), ..History::default() }
}

#[test]
fn a_client_who_always_writes_the_planned_reserve_is_found_out() {
    let doubted = |history: &History| {
        let posterior = fit(history, catalogue::builtin(), &Prior::population(), 7);
        let recovery = posterior.recovery(Muscle::Biceps, FractionalSets(4.0), Reps(2.0));
        recovery.not_yet.contains(&NotYet::ReserveDoesNotFit)
    };
    let curve = curve::Curve::of(catalogue::builtin().get(&"barbell_curl".into()).unwrap().curve);
    let honest = [7.0, 10.0, 14.0].map(|reps| 40.0 * curve.share(Reps(reps)).get());
    assert!(!doubted(&in_three_ranges(honest)));
    assert!(
        doubted(&in_three_ranges([29.0, 27.0, 25.0])),
        "a seventh less load for twelve reps than for five"
    );
}
