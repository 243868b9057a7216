//! Benchmark sizes: bound over value, a programme that the check passes, the same answer twice.

use crate::moves;
use setwright_check::certify;
use setwright_gym::catalogue::builtin;
use setwright_instances::generator::{Instance, Size, sized};
use setwright_model::brief::{Brief, Focus, Goal, Time, TrainingAge};
use setwright_model::{Belief, Minutes};
use setwright_optimise::solve::{Objective, Solved, solve};
use setwright_science::recovery::tau_priors;
use std::collections::BTreeMap;

fn answer(instance: &Instance, n: u64) -> Solved {
    solve(
        &instance.brief,
        &instance.catalogue,
        &instance.belief,
        Objective::Benefit,
        &moves(n, 1),
        &mut |_| {},
    )
}

/// What is wrong with the answer to a problem.
fn fault(instance: &Instance, n: u64) -> Vec<String> {
    let out = answer(instance, n);
    let name = &instance.name;
    let (Some(value), Some(bound), Some(programme)) = (out.value, out.bound, out.programme) else {
        return vec![format!("{name}: no programme: {:?}", out.conflict)];
    };
    let mut wrong = Vec::new();
    if bound < value {
        wrong.push(format!("{name}: bound {bound} below value {value}"));
    }
    if let Err(report) = certify(programme, &instance.brief, &instance.catalogue, &instance.belief) {
        let errors = report.findings.iter().filter(|f| f.severity == setwright_model::Severity::Error);
        wrong.extend(errors.map(|f| format!("{name}: {f:?}")));
    }
    wrong
}

fn holds(size: Size, seeds: std::ops::Range<u64>, n: u64) {
    let wrong: Vec<String> = seeds.flat_map(|seed| fault(&sized(size, seed), n)).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The problem of a client of a whole gym who has told of nothing.
fn plain(goal: Goal, age: TrainingAge, time: Time) -> Instance {
    let brief = Brief::new("Invented", goal, age, time);
    let belief = Belief { one_rm: BTreeMap::new(), tau: tau_priors(&brief) };
    let name = format!("{goal:?} {age:?}");
    Instance { name, brief, catalogue: builtin().clone(), belief, minutes_mode: false }
}

#[test]
fn two_sessions_of_ten_minutes_and_foci_of_one_side_hold_a_programme() {
    let mut wrong = Vec::new();
    for goal in [Goal::General, Goal::Size, Goal::Strength] {
        for age in [TrainingAge::Beginner, TrainingAge::Intermediate, TrainingAge::Advanced] {
            wrong.extend(fault(&plain(goal, age, Time::weekly(2, Minutes(10.0))), 80_000));
        }
        let mut pull = plain(goal, TrainingAge::Intermediate, Time::weekly(2, Minutes(45.0)));
        pull.brief.style.focus = vec![Focus::Pull];
        wrong.extend(fault(&pull, 40_000));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn small_programmes_are_certified_and_below_their_bound() {
    holds(Size::Small, 0..6, 60_000);
}

#[test]
fn a_medium_programme_is_certified_and_below_its_bound() {
    holds(Size::Medium, 0..2, 150_000);
}

#[test]
fn a_large_programme_is_certified_and_below_its_bound() {
    holds(Size::Large, 0..1, 250_000);
}

#[test]
fn the_same_seed_gives_the_same_answer_whoever_is_faster() {
    let instance = sized(Size::Small, 0);
    assert_eq!(answer(&instance, 30_000), answer(&instance, 30_000));
}
