//! Fitness and fatigue: golden values of the impulse responses (arithmetic, D).

use setwright_science::impulse::{DailyLoad, Impulse};

const DAYS: [f64; 6] = [1.0, 7.0, 14.0, 28.0, 40.0, 60.0];

fn check(taus: [f64; 2], gains: [f64; 2], crossing: f64, peak: f64, values: [f64; 6]) {
    let impulse = Impulse {
        base: 0.0,
        fitness_gain: gains[0],
        fatigue_gain: gains[1],
        fitness_tau_days: taus[0],
        fatigue_tau_days: taus[1],
    };
    assert!((impulse.zero_crossing_days().unwrap() - crossing).abs() < 0.005);
    assert!((impulse.peak_days().unwrap() - peak).abs() < 0.005);
    let loads = [DailyLoad { day: 0.0, amount: 100.0 }];
    for (day, value) in DAYS.iter().zip(values) {
        let p = impulse.performance(&loads, *day);
        assert!((p - value).abs() < 0.001, "day {day}: {p} {value}");
    }
}

#[test]
fn a_single_load_gives_the_golden_values() {
    check([45.0, 15.0], [1.0, 2.0], 15.60, 40.31, [-89.299, -39.824, -5.385, 22.747, 27.215, 22.697]);
    check([42.0, 7.0], [1.0, 2.0], 5.82, 20.87, [-75.728, 11.072, 44.586, 47.679, 37.922, 23.927]);
    check([36.0, 21.0], [0.18, 0.23], 12.35, 39.52, [-4.424, -1.661, 0.392, 2.207, 2.502, 2.079]);
}
