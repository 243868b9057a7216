//! What the bands promise.

use super::*;
use proptest::prelude::*;
use setwright_gym::loads::Loadable;
use setwright_model::exercise::CurveFamily;
use setwright_science::curve::Curve;

fn loading(loadable: Option<Loadable>) -> LiftLoading {
    LiftLoading { curve: Curve::of(CurveFamily::Upper), body: Kilograms(0.0), assisted: false, loadable }
}

fn bar() -> Loadable {
    let pairs = [(20.0, 4), (10.0, 2), (5.0, 1), (2.5, 1), (1.25, 1)].map(|(kg, n)| (Kilograms(kg), n));
    Loadable::bar(Kilograms(20.0), &pairs).unwrap()
}

/// Two sessions a week with one lift, and sets by step.
fn course(sets: &[u32], from_week: f64, trained_weeks: f64) -> Course {
    let work = |sets| CourseWork { lift: 0, sets, reps: [8, 12], rir: 3 };
    let session = |day, sets| CourseSession { day, sets: 6 * sets, lifts: vec![work(sets)] };
    let step = |(i, sets): (usize, &u32)| CourseStep {
        from_week: from_week * i as f64,
        cycle_days: 7,
        sessions: vec![session(1, *sets), session(4, *sets)],
    };
    Course {
        steps: sets.iter().enumerate().map(step).collect(),
        lifts: vec![CourseLift { one_rm: Kilograms(60.0), sd: 0.06, loading: loading(Some(bar())) }],
        trained_weeks,
        by_tolerance: false,
        weeks: 30,
    }
}

fn width(band: Band) -> f64 {
    (band.high - band.low) / band.median
}

#[test]
fn a_seed_gives_the_same_bands_and_another_seed_others() {
    let course = course(&[1, 2, 3], 5.0, 0.0);
    assert_eq!(simulate_many(&course, 100, 1), simulate_many(&course, 100, 1));
    assert_ne!(simulate_many(&course, 100, 1), simulate_many(&course, 100, 2));
}

#[test]
fn bands_of_strength_widen_with_the_weeks() {
    for trained in [0.0, 52.0] {
        let weeks = simulate(&course(&[1, 2, 3], 5.0, trained), 1);
        let widths: Vec<f64> = weeks.iter().map(|w| width(w.lifts[0].1)).collect();
        assert!(widths.windows(9).all(|w| w[8] > w[0]), "{widths:?}");
        assert!(weeks.windows(2).all(|w| w[1].lifts[0].1.median > 0.995 * w[0].lifts[0].1.median));
    }
}

#[test]
fn sets_go_one_step_at_a_time_and_most_clients_get_there() {
    let course = course(&[1, 2, 3], 5.0, 0.0);
    for client in 0..200 {
        let life = Client::drawn(&course, Chance::new(3, client)).live();
        assert!(life.windows(2).all(|w| w[1].step <= w[0].step + 1));
        assert!(life[..5].iter().all(|s| s.step == 0) && life[..10].iter().all(|s| s.step <= 1));
    }
    let weeks = simulate(&course, 1);
    assert_eq!(weeks[0].sets, Band { low: 6.0, median: 6.0, high: 6.0 });
    assert!((weeks[15].sets.median - 18.0).abs() < 1e-9);
    assert!(weeks.windows(2).all(|w| w[0].step <= w[1].step));
}

#[test]
fn a_lighter_week_comes_where_sets_pass_what_is_tolerated_and_sets_then_go_back() {
    let mut course = course(&[2, 4], 4.0, 300.0);
    course.by_tolerance = true;
    let mut lighter = 0;
    for client in 0..200 {
        let mut client = Client::drawn(&course, Chance::new(5, client));
        client.tolerated = 30.0;
        let life = client.live();
        let Some(first) = life.iter().position(|s| s.lighter && s.step == 0) else { continue };
        let before = life[..first].iter().any(|s| s.step == 1);
        if before {
            lighter += 1;
            assert!(life[first].sets <= 6.0 + 1e-9, "half of twelve");
            assert!(life[first..].iter().all(|s| s.step == 0), "what was not tolerated is not asked again");
        }
    }
    assert!(lighter > 100, "{lighter}");
}

#[test]
fn who_misses_more_than_half_waits() {
    let course = course(&[1, 2], 4.0, 0.0);
    let reached = |missed: f64| {
        let mut client = Client::drawn(&course, Chance::new(9, 1));
        client.missed = missed;
        client.live().iter().position(|s| s.step == 1)
    };
    assert!(reached(0.0).is_some_and(|w| w >= 4));
    assert!(reached(0.9).is_none_or(|w| w > reached(0.0).unwrap()));
    assert_eq!(reached(1.0), None);
}

#[test]
fn loads_of_an_unknown_strength_are_shares_of_the_first() {
    let mut course = course(&[2], 4.0, 0.0);
    course.lifts = vec![CourseLift { one_rm: Kilograms(1.0), sd: 0.0, loading: loading(None) }];
    let weeks = simulate(&course, 1);
    let first = weeks[0].lifts[0].0.unwrap().median;
    let last = weeks[29].lifts[0].0.unwrap();
    assert!(last.median > 1.1 * first && last.low > 0.9 * first, "{first} {last:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn every_load_can_be_made_and_bands_are_in_order(
        one_rm in 30.0..160.0_f64, sd in 0.0..0.2_f64, trained in 0.0..200.0_f64, seed in 0_u64..1000,
    ) {
        let mut course = course(&[1, 2, 3], 4.0, trained);
        course.lifts[0].one_rm = Kilograms(one_rm);
        course.lifts[0].sd = sd;
        let bar = bar();
        for week in simulate_many(&course, 30, seed) {
            let (load, one_rm) = week.lifts[0];
            for band in load.into_iter().chain([one_rm, week.sets, week.sessions]) {
                prop_assert!(band.low <= band.median && band.median <= band.high);
            }
            let load = load.unwrap();
            for kg in [load.low, load.median, load.high] {
                prop_assert!(bar.is_loadable(Kilograms(kg)));
            }
        }
    }
}
