//! The curve of tiny problems against brute force at every point.

use crate::moves;
use setwright_formulate::problem::compile;
use setwright_instances::brute::{self, Cuts};
use setwright_instances::generator::tiny;
use setwright_tradeoff::{Point, curve, with_change};

/// Combinations of sessions that brute force goes through at most.
const MOST: u64 = 200_000;
/// Curves that are compared.
const CURVES: usize = 12;

/// Compares the points that brute force can go through; says how many.
fn compare(points: &[Point], solved: impl Fn(&Point) -> Option<Option<f64>>, name: &str) -> usize {
    let mut compared = 0;
    for point in points {
        let Some(best) = solved(point) else { continue };
        compared += 1;
        let at = format!("{name}, {:?}: {:?}, brute force {best:?}", point.change, point.value);
        assert!(point.value.is_none_or(|v| best.is_some_and(|b| v <= b + 1e-9)), "{at}");
        assert!(best.is_none_or(|b| point.bound.is_some_and(|bound| bound >= b - 1e-9)), "{at}");
        assert!(!point.ruled_out || best.is_none(), "{at}: ruled out");
    }
    compared
}

#[test]
fn no_point_is_above_the_best_there_is_and_no_bound_below_it() {
    let (mut compared, mut met) = (0, 0);
    for seed in (0..).filter(|s| !tiny(*s).minutes_mode).take(CURVES) {
        let instance = tiny(seed);
        let (catalogue, belief) = (&instance.catalogue, &instance.belief);
        let found = curve(&instance.brief, catalogue, belief, &moves(20_000, 1), &mut |_| {});
        let solved = |point: &Point| {
            // The rules of the brief's own minutes hold at every point: only the time changes.
            let problem =
                with_change(&compile(&instance.brief, catalogue, belief, false), point.change.get());
            let frames = brute::solve(&problem, Cuts::Proven, MOST).ok()?;
            Some(brute::best(&frames).map(|b| b.value as f64 / 1e6))
        };
        let points = &found.points;
        compared += compare(points, solved, &instance.name);
        met += points.iter().filter(|p| p.value.is_some()).count();
        assert_eq!(points.iter().position(|p| p.change.get() == 0.0), Some(found.own));
        for pair in points.windows(2) {
            assert!(pair[0].value <= pair[1].value, "{}: more time brings less", instance.name);
            assert!(pair[0].bound <= pair[1].bound, "{}: a bound falls", instance.name);
            assert!(pair[0].ruled_out || !pair[1].ruled_out, "{}", instance.name);
        }
    }
    assert!(compared >= 50 && met >= 30, "only {compared} points were compared, {met} are met");
}
