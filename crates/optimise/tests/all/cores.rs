//! The same answer on any number of cores.

use rayon::{ThreadPool, ThreadPoolBuilder};
use setwright_gym::catalogue::builtin;
use setwright_model::Brief;
use setwright_optimise::cores::on_all;
use setwright_optimise::{Budget, Objective, solve};
use setwright_science::strength;

fn pool(threads: usize) -> ThreadPool {
    ThreadPoolBuilder::new().num_threads(threads).build().unwrap()
}

#[test]
fn results_come_in_the_order_of_the_items_on_any_number_of_cores() {
    let items: Vec<u64> = (0..97).collect();
    let squares: Vec<u64> = items.iter().map(|n| n * n).collect();
    for threads in 1..=4 {
        assert_eq!(pool(threads).install(|| on_all(&items, |n| n * n)), squares);
    }
    assert!(on_all(&[] as &[u8], |n| *n).is_empty());
}

#[test]
#[should_panic(expected = "the seventh")]
fn a_panic_on_any_thread_is_not_lost() {
    let items: Vec<u64> = (0..8).collect();
    on_all(&items, |n| assert_ne!(*n, 6, "the seventh"));
}

#[test]
fn the_same_seed_gives_the_same_answer_on_one_two_and_three_cores() {
    let brief: Brief = toml::from_str(include_str!("../../../../data/demo/home_dumbbells.toml")).unwrap();
    let belief = strength::belief(&brief, builtin());
    let on = |threads| {
        let budget = Budget { moves: 60_000, seed: 5, out_of_time: None };
        pool(threads).install(|| solve(&brief, builtin(), &belief, Objective::Benefit, &budget, &mut |_| {}))
    };
    let one = on(1);
    assert!(one.programme.is_some(), "there is something to compare");
    for threads in [2, 3] {
        let other = on(threads);
        assert_eq!((&other.programme, other.value, other.bound), (&one.programme, one.value, one.bound));
    }
}
