//! Load and repetitions: the published equations as printed, and our curve against published values.
//!
//! Bands are drawn round the source. What lies outside is a row in the table of misses of `docs/models.md`.

use crate::page;
use setwright_model::exercise::CurveFamily;
use setwright_model::{Kilograms, Reps, Share};
use setwright_science::curve::Curve;
use setwright_science::equations::Equation;

const FAMILIES: [CurveFamily; 3] = [CurveFamily::Upper, CurveFamily::Lower, CurveFamily::Small];

/// 1RM from 100 kg lifted r times, in the order of `Equation::ALL`. Arithmetic (D) on Epley 1985, Brzycki 1993,
/// Lombardi 1989, Mayhew 1992, O'Conner 1989, Wathan 1994, Lander 1985 (B) and Reynolds 2006, JSCR 20:584 (M).
const GOLDEN: [(f64, [f64; 9]); 8] = [
    (1.0, [103.33, 100.00, 100.00, 108.86, 102.50, 101.30, 101.39, 99.89, 99.74]),
    (5.0, [116.67, 112.50, 117.46, 119.01, 112.50, 116.58, 113.71, 114.76, 117.34]),
    (8.0, [126.67, 124.14, 123.11, 126.29, 120.00, 127.67, 125.11, 125.63, 131.59]),
    (10.0, [133.33, 133.33, 125.89, 130.93, 125.00, 134.75, 134.07, 132.61, 141.52]),
    (12.0, [140.00, 144.00, 128.21, 135.40, 130.00, 141.50, 144.41, 139.31, 151.74]),
    (15.0, [150.00, 163.64, 131.10, 141.72, 137.50, 150.91, 163.31, 148.73, 167.49]),
    (20.0, [166.67, 211.76, 134.93, 151.18, 150.00, 164.46, 208.88, 162.49, 194.32]),
    (30.0, [200.00, 514.29, 140.51, 165.98, 175.00, 183.59, 472.52, 182.43, 246.36]),
];

#[test]
fn published_equations_give_the_published_table() {
    for (reps, row) in GOLDEN {
        for (equation, wanted) in Equation::ALL.into_iter().zip(row) {
            let found = equation.one_rm(Kilograms(100.0), Reps(reps)).unwrap().get();
            assert!((found - wanted).abs() <= 0.01, "{} at {reps}: {found}, not {wanted}", equation.name());
        }
    }
}

#[test]
fn only_two_equations_give_back_the_load_at_one_rep() {
    let exact: Vec<Equation> = Equation::ALL
        .into_iter()
        .filter(|e| (e.one_rm(Kilograms(100.0), Reps(1.0)).unwrap().get() - 100.0).abs() < 1e-9)
        .collect();
    assert_eq!(exact, [Equation::Brzycki, Equation::Lombardi]); // (D)
}

#[test]
fn poles_are_where_they_are() {
    // Brzycki at 37, Lander at 37.92 (D).
    let gives = |e: Equation, r: f64| e.one_rm(Kilograms(100.0), Reps(r)).is_some();
    assert!(gives(Equation::Brzycki, 36.9) && !gives(Equation::Brzycki, 37.0));
    assert!(gives(Equation::Lander, 37.92) && !gives(Equation::Lander, 37.93));
}

/// Landers 1985 and textbooks (B): shares at 1 to 10 reps, in percent.
const HANDBOOK: [f64; 10] = [100.0, 95.0, 93.0, 90.0, 87.0, 85.0, 83.0, 80.0, 77.0, 75.0];

#[test]
fn the_handbook_table_is_met_within_two_and_a_half_points_up_to_ten_reps() {
    for family in FAMILIES {
        for (r, wanted) in (1_u32..).zip(HANDBOOK) {
            let found = percent(family, f64::from(r));
            assert!((found - wanted).abs() <= 2.5, "{family:?} at {r}: {found:.1}, not {wanted}");
        }
    }
}

/// Points of the share by which a figure without a spread of its own may be off: those that the handbook table is held to.
const POINTS: f64 = 2.5;
/// The same for figures from memory (m) (judgement).
const POINTS_FROM_MEMORY: f64 = 5.0;

#[test]
fn twelve_and_fifteen_reps_are_met_by_the_upper_and_small_curve_or_told_of() {
    // 12 reps are 70 % in one version and 67 % in another; 15 are 65 % (B, M).
    for family in FAMILIES {
        for (reps, published, low, high) in [(12.0, "67 or 70", 67.0, 70.0), (15.0, "65", 65.0, 65.0)] {
            let band = low - POINTS..=high + POINTS;
            let what = format!("handbook (B): {reps}RM in % of 1RM, {family:?}");
            let found = percent(family, reps);
            if reps < 13.0 && family == CurveFamily::Small {
                assert!(band.contains(&found), "{what}: {found:.1}");
            } else {
                page::misses(&what, published, &band, found, 1);
            }
        }
    }
}

#[test]
fn the_twenty_rm_of_the_chest_press_is_met_and_that_of_the_leg_press_is_missed() {
    // Reynolds 2006, JSCR 20:584 (M): 61.5 % chest press, 51.5 % leg press. The leg press cannot be met together with Nuzzo 2024
    // (A), Hoeger 1990 (m) and Shimano 2006 (m), who all find more reps in the legs than in the chest at a given share.
    let (upper, lower) = (percent(CurveFamily::Upper, 20.0), percent(CurveFamily::Lower, 20.0));
    assert!((upper - 61.5).abs() <= POINTS, "{upper:.1}");
    let band = 51.5 - POINTS..=51.5 + POINTS;
    page::misses("Reynolds 2006 (M): leg press, 20RM in % of 1RM", "51.5", &band, lower, 1);
}

#[test]
fn the_thirty_rm_lies_where_no_study_has_measured_it() {
    // No direct data; 45 to 60 % upper body, 40 to 50 % leg press are guesses (M). Shimano's squat (29.9 reps at 60 %) already
    // lies above the second.
    let (upper, lower) = (percent(CurveFamily::Upper, 30.0), percent(CurveFamily::Lower, 30.0));
    assert!((45.0..=60.0).contains(&upper), "{upper:.1}");
    page::misses("guess (M): leg press, 30RM in % of 1RM", "40 to 50", &(40.0..=50.0), lower, 1);
}

#[test]
fn reps_lie_in_the_intervals_of_the_largest_collection_but_for_the_leg_press_at_80_per_cent() {
    // Nuzzo 2024, Sports Med 54:303, as several texts quote it (B): means and their intervals.
    let reps = |family, load: f64| Curve::of(family).reps(Share(load)).get();
    let (upper, lower) = (CurveFamily::Upper, CurveFamily::Lower);
    for (family, load, band) in
        [(upper, 0.8, 7.7..=10.1), (upper, 0.7, 12.4..=16.1), (lower, 0.7, 14.2..=25.5)]
    {
        assert!(band.contains(&reps(family, load)), "{family:?} {load}: {:.1}", reps(family, load));
    }
    let what = "Nuzzo 2024 (B): leg press, reps at 80 % of 1RM";
    page::misses(what, "9.8 to 17.5", &(9.8..=17.5), reps(lower, 0.8), 1);
}

struct Published {
    study: &'static str,
    movement: &'static str,
    family: CurveFamily,
    /// Percent of the 1RM and reps to failure.
    points: [(f64, f64); 3],
    /// Loads at which the curve misses.
    missed: &'static [u32],
}

/// Hoeger 1990, JASSR 4:47, untrained men (m); Shimano 2006, trained men (m).
const STUDIES: [Published; 9] = [
    row(
        "Hoeger 1990",
        "leg press",
        CurveFamily::Lower,
        [(40.0, 80.1), (60.0, 33.9), (80.0, 15.2)],
        &[60, 80],
    ),
    row("Hoeger 1990", "pulldown", CurveFamily::Upper, [(40.0, 41.5), (60.0, 19.7), (80.0, 9.8)], &[]),
    row("Hoeger 1990", "bench press", CurveFamily::Upper, [(40.0, 34.9), (60.0, 19.7), (80.0, 9.8)], &[]),
    row(
        "Hoeger 1990",
        "knee extension",
        CurveFamily::Small,
        [(40.0, 23.4), (60.0, 15.4), (80.0, 9.3)],
        &[80],
    ),
    row("Hoeger 1990", "arm curl", CurveFamily::Small, [(40.0, 24.3), (60.0, 15.3), (80.0, 7.6)], &[]),
    row("Hoeger 1990", "leg curl", CurveFamily::Small, [(40.0, 18.6), (60.0, 11.2), (80.0, 6.3)], &[40, 60]),
    row("Shimano 2006", "squat", CurveFamily::Lower, [(60.0, 29.9), (80.0, 12.3), (90.0, 5.8)], &[80]),
    row("Shimano 2006", "bench press", CurveFamily::Upper, [(60.0, 21.7), (80.0, 9.2), (90.0, 4.0)], &[]),
    row("Shimano 2006", "arm curl", CurveFamily::Small, [(60.0, 17.2), (80.0, 8.9), (90.0, 3.9)], &[]),
];

const fn row(
    study: &'static str,
    movement: &'static str,
    family: CurveFamily,
    points: [(f64, f64); 3],
    missed: &'static [u32],
) -> Published {
    Published { study, movement, family, points, missed }
}

#[test]
fn reps_at_given_loads_are_those_of_two_studies_or_told_of() {
    for p in &STUDIES {
        for (load, reps) in p.points {
            let band = load - POINTS_FROM_MEMORY..=load + POINTS_FROM_MEMORY;
            let found = percent(p.family, reps);
            let what = format!("{} (m): {}, {reps}RM in % of 1RM", p.study, p.movement);
            if p.missed.iter().any(|m| (f64::from(*m) - load).abs() < 0.5) {
                page::misses(&what, &format!("{load:.0}"), &band, found, 1);
            } else {
                assert!(band.contains(&found), "{what}: {found:.1}");
            }
        }
    }
}

#[test]
fn legs_do_more_reps_than_arms_at_every_load() {
    // Nuzzo 2024, Sports Med 54:303 (A): leg press and bench press; Shimano 2006 (A): squat, bench and curl at
    // 60 %.
    for load in 20_u32..99 {
        let reps = |family| Curve::of(family).reps(Share(f64::from(load) / 100.0)).get();
        let (upper, lower) = (reps(CurveFamily::Upper), reps(CurveFamily::Lower));
        assert!(lower > upper || lower >= 100.0, "{load} %: {lower} and {upper}");
    }
    let at_sixty = |family| Curve::of(family).reps(Share(0.6)).get();
    assert!(at_sixty(CurveFamily::Lower) > at_sixty(CurveFamily::Upper));
    assert!(at_sixty(CurveFamily::Lower) > at_sixty(CurveFamily::Small));
}

#[test]
fn the_curve_is_sane_where_the_published_exponentials_are_not() {
    // Reynolds levels off at 48 % (chest) and 26 % (leg) (D); ours falls on, from 1 to 60 reps and beyond.
    for family in FAMILIES {
        assert_eq!(Curve::of(family).share(Reps(1.0)), Share(1.0));
        let shares: Vec<f64> = (1_u32..=60).map(|r| percent(family, f64::from(r))).collect();
        assert!(shares.windows(2).all(|pair| pair[1] < pair[0]));
        assert!(shares.iter().all(|share| *share > 0.0));
        assert!(percent(family, 1000.0) < 15.0, "{family:?} does not fall to nothing");
    }
    assert!(percent(CurveFamily::Upper, 60.0) < 48.47);
    // At 50 % Reynolds' chest curve promises about 50 reps; ours about 29.
    let half = Curve::of(CurveFamily::Upper).reps(Share(0.5)).get();
    assert!((25.0..=35.0).contains(&half), "{half}");
}

fn percent(family: CurveFamily, reps: f64) -> f64 {
    Curve::of(family).share(Reps(reps)).get() * 100.0
}
