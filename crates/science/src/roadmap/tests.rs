//! What the steps and the next load promise.

use super::*;
use proptest::prelude::*;
use setwright_gym::catalogue::builtin;
use setwright_model::brief::Time;
use setwright_model::{Minutes, Reps};

fn brief(age: TrainingAge, sessions: u32) -> Brief {
    Brief::new("a client", setwright_model::brief::Goal::General, age, Time::weekly(sessions, Minutes(60.0)))
}

fn of(brief: &Brief, weeks: f64) -> Vec<Step> {
    steps(brief, RoadmapStanding { weeks, ..RoadmapStanding::usual(brief.training_age) })
}

#[test]
fn a_novice_takes_the_steps_of_the_table_that_are_left() {
    let brief = brief(TrainingAge::FirstWeeks, 2);
    let all = of(&brief, 0.0);
    assert_eq!(all.iter().map(|s| s.from_week).collect::<Vec<_>>(), [0.0, 2.0, 14.0, 26.0, 52.0]);
    assert_eq!(all.iter().map(|s| s.sessions).collect::<Vec<_>>(), [2, 2, 2, 3, 4]);
    let late = of(&brief, 20.0);
    assert_eq!(late.iter().map(|s| s.from_week).collect::<Vec<_>>(), [0.0, 6.0, 32.0]);
    assert_eq!(late[0].sets_of_a_session, Some((20, 25)));
}

#[test]
fn days_that_the_brief_does_not_hold_are_wanted_and_not_taken() {
    let mut fixed = brief(TrainingAge::FirstWeeks, 2);
    fixed.time.days = vec![1, 4];
    let steps = of(&fixed, 0.0);
    assert_eq!(
        steps.iter().map(|s| (s.sessions, s.wanted)).collect::<Vec<_>>(),
        [(2, 2), (2, 2), (2, 2), (2, 3), (2, 4)]
    );
    assert!(
        steps[3..].iter().all(|s| s.sets_of_a_session == Some((20, 25)) && s.age == TrainingAge::Beginner)
    );
    fixed.time.days.clear();
    fixed.time.possible_days = vec![1, 3, 5];
    assert_eq!(of(&fixed, 0.0).last().map(|s| s.sessions), Some(3));
}

#[test]
fn a_trained_client_gets_one_set_more_a_block_from_what_was_tolerated() {
    let brief = brief(TrainingAge::Intermediate, 3);
    let sets = |tolerated| {
        let standing = RoadmapStanding { tolerated, ..RoadmapStanding::usual(TrainingAge::Intermediate) };
        steps(&brief, standing).iter().map(|s| (s.from_week, s.sets_of_a_movement.1)).collect::<Vec<_>>()
    };
    assert_eq!(sets(None), [(0.0, 2), (4.0, 3), (8.0, 4)]);
    assert_eq!(sets(Some(3)), [(0.0, 3), (4.0, 4)]);
    assert_eq!(sets(Some(9)), [(0.0, 4)]);
}

#[test]
fn a_ceiling_keeps_a_session_within_the_table() {
    for step in of(&brief(TrainingAge::FirstWeeks, 2), 0.0) {
        let ceiling = step.ceiling(99);
        let (_, most) = step.sets_of_a_session.unwrap();
        assert!(ceiling.exercises * ceiling.sets.1 <= most && ceiling.exercises >= 5, "{step:?}");
    }
}

#[test]
fn a_step_narrows_the_rules_and_never_widens_them() {
    let mut brief = brief(TrainingAge::Beginner, 2);
    let free = Rules::of(&brief);
    brief.style.step = Some(Ceiling { sets: (2, 2), exercises: 8 });
    assert_eq!(Rules::of(&brief), Rules { sets: (2, 2), exercises: 8, ..free });
    brief.style.step = Some(Ceiling { sets: (1, 9), exercises: 90 });
    assert_eq!(Rules::of(&brief), free);
}

#[test]
fn strength_grows_less_and_less() {
    let year = |n: f64| gain(52.0 * n, 52.0 * (n + 1.0));
    assert!(year(0.0) > year(1.0) && year(1.0) > year(2.0) && year(9.0) > 0.0);
    assert!((gain(0.0, 10.0) + gain(10.0, 30.0) - gain(0.0, 30.0)).abs() < 1e-12);
}

fn bench() -> LiftLoading {
    let bench = builtin().get(&"bench_press".into()).expect("known");
    let pairs = [(20.0, 4), (5.0, 1), (2.5, 1)].map(|(kg, n)| (Kilograms(kg), n));
    let loadable = Loadable::bar(Kilograms(20.0), &pairs).unwrap();
    LiftLoading::of(bench, None, Some(loadable)).unwrap()
}

const TWICE: [Reps; 2] = [Reps(2.0), Reps(2.0)];

#[test]
fn a_load_rises_to_what_can_be_made_within_the_rise() {
    let bench = bench();
    assert_eq!(bench.next(Kilograms(100.0), &TWICE, [8, 12], 2), Kilograms(105.0));
    assert_eq!(bench.next(Kilograms(100.0), &TWICE[..1], [8, 12], 2), Kilograms(100.0));
    assert_eq!(
        bench.next(Kilograms(100.0), &[Reps(-2.0); 2], [8, 12], 2),
        Kilograms(75.0),
        "20 35 60 75 100 ..."
    );
}

#[test]
fn a_step_larger_than_the_rise_waits_until_the_reps_pay_for_it() {
    let bench = bench();
    let next = |over: f64| bench.next(Kilograms(25.0), &[Reps(over); 2], [8, 12], 2);
    assert_eq!(next(2.0), Kilograms(25.0), "30 is a fifth more than 25");
    assert_eq!(next(7.0), Kilograms(30.0));
}

#[test]
fn help_falls_where_loads_rise() {
    let pull = builtin().iter().find(|e| e.load == LoadKind::Assisted).expect("one");
    let stack = Loadable::stack(Kilograms(5.0), Kilograms(100.0)).unwrap();
    let loading = LiftLoading::of(pull, Some(Kilograms(80.0)), Some(stack)).unwrap();
    assert!(loading.next(Kilograms(40.0), &[Reps(5.0); 2], [8, 12], 2) < Kilograms(40.0));
    assert!(loading.next(Kilograms(40.0), &[Reps(-5.0); 2], [8, 12], 2) > Kilograms(40.0));
    assert_eq!(LiftLoading::of(pull, None, None), None);
}

proptest! {
    #[test]
    fn sessions_never_pass_the_days_and_stages_never_jump(
        novice in prop::bool::ANY, weeks in 0.0..120.0_f64, sessions in 1_u32..5, spare in 0_u32..4, cycle in 5_u32..15,
    ) {
        let age = if novice { TrainingAge::FirstWeeks } else { TrainingAge::Advanced };
        let mut brief = brief(age, sessions);
        brief.time.cycle_days = cycle;
        brief.time.possible_days = (1..=(sessions + spare).min(cycle)).collect();
        let steps = of(&brief, weeks);
        prop_assert!(steps[0].from_week.abs() < 1e-12);
        for step in &steps {
            prop_assert!(step.sessions >= sessions && step.sessions <= days_held(&brief));
        }
        for two in steps.windows(2) {
            prop_assert!(two[1].from_week > two[0].from_week);
            prop_assert!(two[1].sets_of_a_movement.1 <= two[0].sets_of_a_movement.1 + 1);
        }
    }

    #[test]
    fn every_next_load_can_be_made(
        start in 0_usize..20, over in prop::collection::vec(-6.0..9.0_f64, 0..4), rir in 0_u32..4,
    ) {
        let bench = bench();
        let loadable = bench.loadable.clone().unwrap();
        let load = loadable.all().nth(start % loadable.all().count()).unwrap();
        let over: Vec<Reps> = over.into_iter().map(Reps).collect();
        let next = bench.next(load, &over, [8, 12], rir);
        prop_assert!(loadable.is_loadable(next));
        let change = progress::load_change(&over).get();
        let right_way = if change < 0.0 { next <= load } else { next >= load };
        prop_assert!(right_way, "{} to {} at {}", load, next, change);
    }
}
