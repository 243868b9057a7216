//! Benchmark sizes: bound over value, a programme that the check passes, the same answer twice.

use crate::moves;
use setwright_check::certify;
use setwright_instances::generator::{Instance, Size, sized};
use setwright_optimise::solve::{Mode, Outcome, solve};

fn answer(instance: &Instance, n: u64) -> Outcome {
    solve(&instance.brief, &instance.catalogue, &instance.belief, Mode::Benefit, &moves(n, 1), &mut |_| {})
}

fn holds(size: Size, seeds: std::ops::Range<u64>, n: u64) {
    let mut wrong = Vec::new();
    for seed in seeds {
        let instance = sized(size, seed);
        let out = answer(&instance, n);
        let name = &instance.name;
        let (Some(value), Some(bound), Some(programme)) = (out.value, out.bound, out.programme) else {
            wrong.push(format!("{name}: no programme: {:?}", out.conflict));
            continue;
        };
        if bound < value {
            wrong.push(format!("{name}: bound {bound} below value {value}"));
        }
        if let Err(report) = certify(programme, &instance.brief, &instance.catalogue, &instance.belief) {
            let errors = report.findings.iter().filter(|f| f.severity == setwright_model::Severity::Error);
            wrong.extend(errors.map(|f| format!("{name}: {f:?}")));
        }
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
