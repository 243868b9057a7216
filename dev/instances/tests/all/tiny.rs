//! Tiny problems: search, bound and proof against brute force.

use crate::moves;
use setwright_formulate::frame::{Frame, frames};
use setwright_formulate::problem::{Problem, cold_start_s};
use setwright_instances::brute::{self, Cuts, InFrame};
use setwright_instances::generator::{Instance, tiny};
use setwright_model::Status;
use setwright_optimise::bounds::{BoundEffort, press};
use setwright_optimise::descent;
use setwright_optimise::dual::Prices;
use setwright_optimise::exact::{self, Proof};
use setwright_optimise::found::{Found, Placed, state_of};
use setwright_optimise::search::search;
use setwright_optimise::solve::{Objective, close, solve};

/// Combinations of sessions that brute force goes through at most.
const MOST: u64 = 3_000_000;
/// Combinations of sessions that brute force goes through at most when nothing is cut.
const MOST_PLAIN: u64 = 40_000;
/// Moves of the first try, and of the second when the first falls short.
const MOVES: [u64; 2] = [40_000, setwright_optimise::budget::USUAL_MOVES];
/// Tiny problems without the environment's wish.
const USUAL: u64 = 500;

fn count() -> u64 {
    std::env::var("SETWRIGHT_TINY").ok().and_then(|n| n.parse().ok()).unwrap_or(USUAL)
}

/// Solved problems of one share of the seeds: those that are too large for brute force are passed over.
fn share(part: u64, mut each: impl FnMut(&Instance, &Problem, &[InFrame])) {
    let wanted = count() / 4;
    let (mut done, mut met) = (0, 0);
    for seed in (0..).map(|i| 4 * i + part) {
        let instance = tiny(seed);
        let problem = instance.problem();
        if let Ok(solved) = brute::solve(&problem, Cuts::Proven, MOST) {
            done += 1;
            met += u64::from(brute::best(&solved).is_some());
            each(&instance, &problem, &solved);
        }
        if done == wanted {
            break;
        }
    }
    assert!(3 * met >= done, "only {met} of {done} can be met: the generator asks too much");
}

fn found(problem: &Problem, moves_made: u64) -> Option<Placed> {
    let frames = frames(problem);
    let mut searched = search(problem, &frames, &moves(moves_made, 7), &mut |_| {});
    close(problem, &frames, &mut searched);
    searched.best.filter(|p| p.found.short == 0)
}

fn compare(instance: &Instance, problem: &Problem, solved: &[InFrame], wrong: &mut Vec<String>) {
    let name = &instance.name;
    let wanted = brute::best(solved).map(|b| b.value);
    if problem.broken_locks.is_empty() {
        let value = |n| found(problem, n).map(|p| p.found.value);
        let mut got = value(MOVES[0]);
        if got != wanted {
            got = value(MOVES[1]);
        }
        if got != wanted {
            wrong.push(format!("{name}: search {got:?}, brute force {wanted:?}"));
        }
    }
    for (frame, best) in solved {
        let target = best.as_ref().map_or(0, |b| b.value);
        for target in [target, -5_000_000] {
            let bound = descent::bound(problem, frame, &Prices::zero(problem), target, 25, &|| false);
            let ok = match (bound.as_ref(), best) {
                (Some((bound, _)), Some(best)) => *bound >= best.value,
                (None, Some(_)) => false,
                (_, None) => true,
            };
            if !ok {
                let bound = bound.map(|(b, _)| b);
                let best = best.as_ref().map(|b| b.value);
                wrong.push(format!("{name} days {:?}: bound {bound:?}, brute force {best:?}", frame.days));
            }
        }
    }
    compare_pressed(instance, problem, solved, wrong);
    compare_proof(instance, problem, solved, wrong);
    compare_exact(instance, problem, solved, wrong);
}

/// Small problems gone through by the planner: with its cuts it finds what brute force finds, frame by frame.
fn compare_exact(instance: &Instance, problem: &Problem, solved: &[InFrame], wrong: &mut Vec<String>) {
    if !problem.broken_locks.is_empty() {
        return;
    }
    for (frame, best) in solved {
        let wanted = best.as_ref().map(|b| b.value);
        let value = match exact::best(problem, frame, None).0 {
            Proof::Best(found) => Some(found.value),
            Proof::NothingBetter => None,
            Proof::TooLarge(_) => continue,
        };
        if value != wanted {
            let name = &instance.name;
            wrong.push(format!("{name} days {:?}: exact {value:?}, brute force {wanted:?}", frame.days));
        }
    }
}

/// The bound over all frames, pressed as if only something worse than the best had been found.
fn compare_pressed(instance: &Instance, problem: &Problem, solved: &[InFrame], wrong: &mut Vec<String>) {
    let frames: Vec<Frame> = solved.iter().map(|(frame, _)| frame.clone()).collect();
    let known = solved.iter().enumerate().filter_map(|(i, (_, best))| Some((i, best.as_ref()?)));
    let Some((frame, best)) = known.max_by_key(|(_, best)| best.value) else { return };
    let found = Found { plan: best.plan(), value: best.value - 1_000_000, short: 0 };
    let effort = BoundEffort { rounds: 400, gap: 0.0 };
    let bound = || {
        let placed = Placed { frame, found: found.clone() };
        let pressed = press(problem, &frames, &placed, &moves(0, 0), effort, &mut |_| {});
        (pressed.bound, pressed.better.map(|b| b.found.value))
    };
    let (pressed, again) = (bound(), bound());
    let too_good = pressed.1.is_some_and(|value| value > best.value);
    if pressed.0 < best.value || too_good || pressed != again {
        wrong.push(format!("{}: pressed {pressed:?}, {again:?}, brute force {}", instance.name, best.value));
    }
}

/// With no value at stake a bound below zero says that nothing keeps the rules.
fn compare_proof(instance: &Instance, problem: &Problem, solved: &[InFrame], wrong: &mut Vec<String>) {
    let mut rules_only = problem.clone();
    rules_only.tables.free_of_value();
    for (frame, _) in solved.iter().filter(|(_, best)| best.is_some()) {
        let bound = descent::bound(&rules_only, frame, &Prices::zero(problem), -1, 25, &|| false);
        if bound.as_ref().is_none_or(|(b, _)| *b < 0) {
            wrong.push(format!("{} days {:?}: a plan exists but is disproven", instance.name, frame.days));
        }
    }
}

fn search_bound_and_proof_agree(part: u64) {
    let (mut wrong, mut plain) = (Vec::new(), 0);
    share(part, |instance, problem, solved| {
        compare(instance, problem, solved, &mut wrong);
        plain += u64::from(compare_uncut(instance, problem, solved, &mut wrong));
    });
    println!("quarter {part}: {plain} of {} gone through without cuts too", count() / 4);
    assert!(wrong.is_empty(), "{} disagree:\n{}", wrong.len(), wrong.join("\n"));
    assert!(8 * plain >= count() / 4, "only {plain} were gone through without cuts");
}

/// Brute force without its cuts, where that can be done: the same best in every frame. Says whether it could.
fn compare_uncut(
    instance: &Instance,
    problem: &Problem,
    solved: &[InFrame],
    wrong: &mut Vec<String>,
) -> bool {
    let Ok(plain) = brute::solve(problem, Cuts::None, MOST_PLAIN) else { return false };
    let values = |all: &[InFrame]| -> Vec<Option<i64>> {
        all.iter().map(|(_, best)| best.as_ref().map(|b| b.value)).collect()
    };
    if values(&plain) != values(solved) {
        let name = &instance.name;
        wrong.push(format!("{name}: with cuts {:?}, without {:?}", values(solved), values(&plain)));
    }
    true
}

#[test]
fn search_bound_and_proof_agree_with_brute_force_in_the_first_quarter() {
    search_bound_and_proof_agree(0);
}

#[test]
fn search_bound_and_proof_agree_with_brute_force_in_the_second_quarter() {
    search_bound_and_proof_agree(1);
}

#[test]
fn search_bound_and_proof_agree_with_brute_force_in_the_third_quarter() {
    search_bound_and_proof_agree(2);
}

#[test]
fn search_bound_and_proof_agree_with_brute_force_in_the_fourth_quarter() {
    search_bound_and_proof_agree(3);
}

/// Problems small enough to go through without cuts too.
fn smallest() -> impl Iterator<Item = (Instance, Problem, Vec<InFrame>)> {
    (0..).filter_map(|seed| {
        let instance = tiny(seed);
        let problem = instance.problem();
        let solved = brute::solve(&problem, Cuts::Proven, 20_000).ok()?;
        brute::best(&solved).is_some().then_some((instance, problem, solved))
    })
}

#[test]
fn the_planner_gives_brute_forces_plan_the_same_value() {
    for (instance, problem, solved) in smallest().take(60) {
        for (frame, best) in solved.iter().filter_map(|(f, b)| Some((f, b.as_ref()?))) {
            let plan = Found { plan: best.plan(), value: best.value, short: 0 };
            let state = state_of(&problem, frame, &plan);
            assert_eq!(state.plan(), plan.plan, "{}: the planner refuses the plan", instance.name);
            assert_eq!((state.value(), state.short()), (best.value, 0), "{}", instance.name);
        }
    }
}

#[test]
fn the_whole_answer_keeps_its_word() {
    for (instance, _, solved) in smallest().take(12) {
        let mut best = brute::best(&solved).unwrap().value as f64 / 1e6;
        if instance.minutes_mode {
            best -= cold_start_s(&instance.brief) / 60.0 * f64::from(instance.brief.time.sessions);
        }
        let mode = if instance.minutes_mode { Objective::Minutes } else { Objective::Benefit };
        let out = solve(
            &instance.brief,
            &instance.catalogue,
            &instance.belief,
            mode,
            &moves(MOVES[0], 3),
            &mut |_| {},
        );
        let name = &instance.name;
        let (value, bound) = (out.value.unwrap(), out.bound.unwrap());
        let sign = if instance.minutes_mode { -1.0 } else { 1.0 };
        assert!(sign * value <= best + 1e-9 && sign * bound >= best - 1e-9, "{name}: {value} {best} {bound}");
        let proven = out.status == Status::Optimal;
        assert!(!proven || (sign * value - best).abs() < 3e-4, "{name}: {value} is not optimal, {best} is");
    }
}

#[test]
fn the_same_seed_gives_the_same_answer() {
    for (instance, problem, _) in smallest().take(6) {
        let one = found(&problem, 20_000).map(|p| (p.frame, p.found));
        let two = found(&problem, 20_000).map(|p| (p.frame, p.found));
        assert_eq!(one, two, "{}", instance.name);
    }
}
