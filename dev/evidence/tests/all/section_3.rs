//! Rest between sets: one set of constants against every study. `cargo test -p setwright-evidence section_3 --
//! --nocapture` prints the table.

use setwright_evidence::bench::{bench_press, fly, knee_extension, leg_press};
use setwright_evidence::{fit, rest};
use setwright_model::{Exercise, Seconds};
use setwright_science::acute::{self, CONSTANTS};

/// The project's own bar: repetitions of one set, over all studies together.
const MEAN_ERROR_MAX_REPS: f64 = 1.2;

#[test]
fn one_set_of_constants_meets_the_rest_tables() {
    let rows = rest::rows(CONSTANTS);
    for r in &rows {
        let (p, q, e) = (r.published_reps, r.predicted_reps, r.error_reps());
        println!("{:<26} {:<22} published {p:>5.2} model {q:>5.2} off {e:>+5.2}", r.study, r.what);
    }
    for study in rest::studies(&rows) {
        println!("{study}: mean absolute error {:.2} reps", rest::error_of_study(&rows, study));
    }
    let error = rest::mean_absolute_error(&rows);
    println!("all: {error:.2} reps");
    assert_eq!(rows.len(), 14);
    assert!(error <= MEAN_ERROR_MAX_REPS, "{error}");
}

/// The constants of the science are what the fit finds, rounded (D): nothing was set by hand afterwards.
#[test]
fn the_constants_are_the_fitted_ones() {
    let (free, _) = fit::minimise(fit::free(CONSTANTS), |x| fit::loss(x, CONSTANTS, None));
    for (kept, found) in fit::free(CONSTANTS).iter().zip(free) {
        assert!((kept - found).abs() < 0.05, "{kept} {found}");
    }
}

/// Willardson & Burkett 2005, JSCR 19:23 (B): total of 4 sets of the 8RM bench press against 1 min rest, +26 % at
/// 2 min, +50 % at 5 min. Held within a tenth of the total.
#[test]
fn more_rest_gives_the_bench_press_the_published_gain_in_total_reps() {
    let one = rest::willardson_total(CONSTANTS, 1.0);
    for (minutes, published) in rest::WILLARDSON {
        let ratio = rest::willardson_total(CONSTANTS, minutes) / one;
        println!("{minutes} min: published {published:.2}, model {ratio:.2}");
        assert!((ratio - published).abs() < 0.1, "{minutes} min: {ratio}");
    }
}

fn total(exercise: &Exercise, minutes: f64) -> f64 {
    rest::sets_to_failure(CONSTANTS, exercise, 10.0, 5, Seconds(minutes * 60.0)).iter().sum()
}

/// Senna 2011, JSCR 25:3157, 5 x 10RM (A): leg press, fly and leg extension 1 < 3 < 5 min; bench 3 = 5 > 1 min.
#[test]
fn longer_rest_keeps_more_reps_and_single_joint_lifts_gain_longest() {
    for exercise in [bench_press(), leg_press(), fly(), knee_extension()] {
        let [one, three, five] = [1.0, 3.0, 5.0].map(|m| total(&exercise, m));
        println!("{}: {one:.1} {three:.1} {five:.1}", exercise.id);
        assert!(one < three && three < five, "{}", exercise.id);
    }
    let late_gain = |e: &Exercise| total(e, 5.0) / total(e, 3.0);
    assert!(late_gain(&bench_press()) < late_gain(&fly()));
}

/// The same study (A): with 1 min the drop starts at set 2; with 3 and 5 min at set 3. The model is a smooth one: it
/// drops from set 2 on, by less the longer the rest. What is held is that the second set at 5 min loses under one
/// repetition in the lifts with more than one joint; at 3 min it does not hold (a known miss, printed).
#[test]
fn the_drop_starts_at_once_after_a_minute() {
    for exercise in [bench_press(), leg_press(), fly(), knee_extension()] {
        let second = |m: f64| rest::sets_to_failure(CONSTANTS, &exercise, 10.0, 2, Seconds(m * 60.0))[1];
        println!(
            "{}: set 2 at 1, 3, 5 min {:.1} {:.1} {:.1}",
            exercise.id,
            second(1.0),
            second(3.0),
            second(5.0)
        );
        assert!(second(1.0) < 9.0);
        if exercise.pattern.is_compound() {
            assert!(second(5.0) > 9.0, "{}", second(5.0));
        }
    }
}

/// Singer 2024, Front Sports Act Living 6:1429789 (A): growth with up to 60 s rest 0.48 (0.19-0.81), with longer
/// 0.56 (0.24-0.86): 0.86 of it, anything from about a third to more than all. A loose band.
#[test]
fn short_rest_lowers_the_worth_of_sets_about_as_much_as_growth() {
    let worth = |e: &Exercise, rest_s| acute::set_quality(e, 3, 10.0, 1.0, Seconds(rest_s)).get();
    for exercise in [bench_press(), leg_press(), knee_extension()] {
        let ratio = worth(&exercise, 60.0) / worth(&exercise, 150.0);
        println!("{}: 60 s against 150 s {ratio:.2} (published 0.86)", exercise.id);
        assert!((0.6..1.0).contains(&ratio), "{ratio}");
    }
}
