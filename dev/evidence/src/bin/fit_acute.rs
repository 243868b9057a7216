//! Fits the fatigue model's constants to the rest tables from several starts and prints constants and errors.
//!
//! `cargo run --release -p setwright-evidence --bin fit_acute`. It writes nothing.
#![expect(clippy::print_stdout, reason = "a tool for a developer's terminal")]

use setwright_evidence::{fit, rest};
use setwright_science::acute::{CONSTANTS, Constants};

fn main() {
    let starts = [
        CONSTANTS,
        Constants { fast_tau_s: 20.0, slow_tau_s: 400.0, ..CONSTANTS },
        Constants { fast_tau_s: 90.0, slow_tau_s: 150.0, slow_share_small: 0.3, ..CONSTANTS },
        Constants { systemic_per_set: 0.003, slow_share_upper: 0.2, ..CONSTANTS },
    ];
    let mut best = (fit::free(CONSTANTS), f64::INFINITY);
    for start in starts {
        let found = fit::minimise(fit::free(start), |x| fit::loss(x, CONSTANTS, None));
        println!("start: loss {:.4} {:?}", found.1, fit::constants(found.0, CONSTANTS));
        if found.1 < best.1 {
            best = found;
        }
    }
    let fitted = fit::constants(best.0, CONSTANTS);
    println!("{fitted:#?}");
    report("fitted", fitted);
    report("in the science", CONSTANTS);
    leave_one_out();
}

/// How well the other studies foretell each one.
fn leave_one_out() {
    println!("\nfitted without the study: its mean absolute error, and the constants");
    for study in rest::studies(&rest::rows(CONSTANTS)) {
        let (free, _) = fit::minimise(fit::free(CONSTANTS), |x| fit::loss(x, CONSTANTS, Some(study)));
        let c = fit::constants(free, CONSTANTS);
        println!("{study:<28} {:.2} reps {c:?}", rest::error_of_study(&rest::rows(c), study));
    }
}

fn report(name: &str, c: Constants) {
    println!("\n{name}: study, what, published, predicted, error");
    let rows = rest::rows(c);
    for r in &rows {
        let (p, q, e) = (r.published_reps, r.predicted_reps, r.error_reps());
        println!("{:<28} {:<22} {p:>6.2} {q:>6.2} {e:>+6.2}", r.study, r.what);
    }
    println!("mean absolute error {:.2} reps", rest::mean_absolute_error(&rows));
    let one = rest::willardson_total(c, 1.0);
    for (minutes, _) in rest::WILLARDSON {
        println!(
            "bench total at {minutes} min against 1 min: {:.3}",
            rest::willardson_total(c, minutes) / one
        );
    }
    println!("pairs against straight sets: {:.4}", rest::pairs_against_straight(c));
}
