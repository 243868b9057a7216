//! Figures of simulated clients, as a table. `setwright-sim --help` says how.
#![allow(clippy::print_stdout, reason = "a command for developers")]

use clap::{Parser, Subcommand};
use setwright_estimate::{Prior, fit};
use setwright_gym::catalogue;
use setwright_sim::calibrate::{self, Summary, WEEKS};
use setwright_sim::decide;
use setwright_sim::design::{self, Days};
use setwright_sim::strength::{self, Forecasts, WEIGHTS};
use setwright_sim::{Kind, Misfit, Soreness, client, reference, stats};
use std::time::Instant;

#[derive(Parser)]
#[command(about = "Simulated clients, and what the estimator makes of them")]
struct Options {
    #[command(subcommand)]
    what: What,
    /// Clients of each kind.
    #[arg(long, global = true, default_value_t = 100)]
    clients: u64,
    /// Seed.
    #[arg(long, global = true, default_value_t = 1)]
    seed: u64,
}

#[derive(Subcommand)]
enum What {
    /// Coverage of intervals and errors of recovery.
    Calibrate {
        /// Every kind of misfit too.
        #[arg(long)]
        misfits: bool,
        /// Only kinds whose name has this in it.
        #[arg(long, default_value = "")]
        only: String,
    },
    /// Forecasts of the next session, 1RMs and stalls.
    Strength,
    /// Once, twice or three times a week.
    Decide,
    /// Days chosen for what they teach, against fixed days and days by chance.
    Design,
    /// Writes the statistical model of each client of the reference, one JSON object a line; with --long that of one long
    /// log, and how long we take for it on the standard error.
    Reference {
        /// One log of ten thousand sets.
        #[arg(long)]
        long: bool,
    },
    /// Seconds of a fit and of one more session, by length of the log.
    Speed,
}

fn main() {
    let options = Options::parse();
    match options.what {
        What::Calibrate { misfits, only } => calibrate(options.clients, options.seed, misfits, &only),
        What::Speed => speed(options.seed),
        What::Reference { long } => reference(options.clients, long),
        What::Design => design(options.clients, options.seed),
        What::Decide => decide(options.clients, options.seed),
        What::Strength => strength(options.clients, options.seed),
    }
}

fn calibrate(clients: u64, seed: u64, misfits: bool, only: &str) {
    println!(
        "| kind | weeks | ready | residual | tau | days, prior | better | learned | own: share, ready | uniform |"
    );
    println!("|--|--|--|--|--|--|--|--|--|--|");
    let fixed = Kind { varied: false, ..Kind::PLAIN };
    let mut kinds = vec![Kind::PLAIN, fixed];
    if misfits {
        kinds.extend([2, 4].map(|sessions| Kind { sessions, ..Kind::PLAIN }));
        kinds.extend(
            [Soreness::Plain, Soreness::Shifted, Soreness::Insensitive]
                .map(|soreness| Kind { soreness, ..Kind::PLAIN }),
        );
        kinds.push(Kind { soreness: Soreness::Plain, ..fixed });
        kinds.extend(Misfit::ALL.into_iter().skip(1).map(|misfit| Kind { misfit, ..Kind::PLAIN }));
    }
    for kind in kinds.into_iter().filter(|k| calibrate::name(*k).contains(only)) {
        let cases = calibrate::cases(kind, &WEEKS, clients, seed);
        for weeks in WEEKS {
            row(&calibrate::name(kind), &calibrate::summary(&cases, weeks));
        }
    }
}

fn row(name: &str, s: &Summary) {
    println!(
        "| {name} | {} | {:.3} ± {:.3} | {:.3} ± {:.3} | {:.3} | {:.2}, {:.2} | {:.0} % | {:.2} | {:.2}, {:.3} | {:.4} |",
        s.weeks,
        s.ready.0,
        s.ready.1,
        s.residual.0,
        s.residual.1,
        s.tau,
        s.days.0,
        s.days.1,
        100.0 * (1.0 - s.days.0 / s.days.1),
        s.learned,
        s.own.0,
        s.own.1,
        s.uniform,
    );
}

#[expect(clippy::disallowed_methods, reason = "it measures time")]
fn speed(seed: u64) {
    println!("| weeks | sessions | sets | fit, ms | one more session, ms | ratio |");
    println!("|--|--|--|--|--|--|");
    let (prior, catalogue) = (Prior::population(), catalogue::builtin());
    for weeks in [8, 26, 52, 104, 130] {
        let kind = Kind { weeks, sessions: 4, ..Kind::PLAIN };
        let mut history = client(kind, &prior, catalogue, seed, 1).history;
        let Some(last) = history.sessions.pop() else { continue };
        let sets: usize = history.sessions.iter().map(|s| s.sets.len()).sum();
        let best = |run: &dyn Fn()| {
            let one = |_| {
                let start = Instant::now();
                run();
                start.elapsed().as_secs_f64() * 1000.0
            };
            (0..9).map(one).fold(f64::MAX, f64::min)
        };
        let fitted = fit(&history, catalogue, &prior, 1);
        let all = best(&|| drop(fit(&history, catalogue, &prior, 1)));
        let more = best(&|| drop(fitted.after(&last, None, catalogue)));
        println!(
            "| {weeks} | {} | {sets} | {all:.2} | {more:.3} | {:.0} |",
            history.sessions.len(),
            all / more,
        );
    }
}

#[expect(clippy::disallowed_methods, reason = "it measures time")]
#[expect(clippy::print_stderr, reason = "a command for developers")]
fn reference(clients: u64, long: bool) {
    let catalogue = catalogue::builtin();
    let histories = if long {
        vec![reference::long_history(catalogue)]
    } else {
        (0..clients).map(|nth| reference::history(nth, catalogue)).collect()
    };
    for history in histories {
        println!("{}", reference::model(&history, catalogue));
        let start = Instant::now();
        drop(fit(&history, catalogue, &Prior::population(), 1));
        eprintln!("fit: {:.6} s", start.elapsed().as_secs_f64());
    }
}

fn design(clients: u64, seed: u64) {
    println!("| days | weeks | days to be ready: error, prior's | better | learned |\n|--|--|--|--|--|");
    for days in Days::ALL {
        for row in design::rows(days, clients, seed) {
            let (error, before, off) = row.days;
            println!(
                "| {} | {} | {error:.3} ± {off:.3}, {before:.3} | {:.0} % | {:.2} |",
                days.name(),
                row.weeks,
                100.0 * (1.0 - error / before),
                row.learned,
            );
        }
    }
}

fn decide(clients: u64, seed: u64) {
    println!(
        "| kind | weeks | right: model, population, always twice, drop rule | regret | at 0.8 or more: share, right | said - happened |"
    );
    println!("|--|--|--|--|--|--|");
    for varied in [true, false] {
        let kind = Kind { varied, ..Kind::PLAIN };
        let cases = decide::cases(kind, &WEEKS, clients, seed);
        for weeks in WEEKS {
            let at: Vec<&decide::Case> = cases.iter().filter(|c| c.weeks == weeks).collect();
            let s = decide::summary(&at);
            println!(
                "| {} | {weeks} | {:.3}, {:.3}, {:.3}, {:.3} | {:.4}, {:.4}, {:.4}, {:.4} | {:.2}, {:.3} | {} |",
                calibrate::name(kind),
                s.right[0],
                s.right[1],
                s.right[2],
                s.right[3],
                s.regret[0],
                s.regret[1],
                s.regret[2],
                s.regret[3],
                s.sure.0,
                s.sure.1,
                s.off
                    .iter()
                    .map(|(said, off, n)| format!("{said:.2} {off:+.3} ({n})"))
                    .collect::<Vec<_>>()
                    .join(", "),
            );
        }
    }
}

fn strength(clients: u64, seed: u64) {
    println!(
        "| days | model | no fatigue | best average | last | knows the truth | interval holds | 1RM holds | 1RM error |"
    );
    println!("|--|--|--|--|--|--|--|--|--|");
    for varied in [true, false] {
        let kind = Kind { varied, weeks: 32, ..Kind::PLAIN };
        let mut all = Forecasts::default();
        for one in calibrate::each(clients, |nth| strength::forecasts(kind, 20, seed, nth)) {
            all.join(one);
        }
        let average = all.averages.iter().map(|e| stats::rms(e)).fold(f64::MAX, f64::min);
        let (model, rested) = (stats::rms(&all.model), stats::rms(&all.rested));
        println!(
            "| {} | {:.4} | {:.4} | {:.4} ({:.0} % better) of {WEIGHTS:?} | {:.4} | {:.4} | {:.3} | {:.3} | {:.4} |",
            if varied { "varied" } else { "fixed" },
            model,
            rested,
            average,
            100.0 * (1.0 - model / average),
            stats::rms(&all.last),
            stats::rms(&all.oracle),
            stats::share(&all.held),
            stats::share(&all.max_held),
            stats::rms(&all.max_errors),
        );
    }
    println!(
        "\n| weeks after growth stopped | area under the curve | stalled at 0.5 | growing at 0.5 |\n|--|--|--|--|"
    );
    for after in [4, 8, 12, 16] {
        let kind = |stall_week| Kind { stall_week, ..Kind::PLAIN };
        let stalled = calibrate::each(clients, |n| strength::stall(kind(Some(26)), 26 + after, seed, n));
        let growing =
            calibrate::each(clients, |n| strength::stall(kind(Some(1_000)), 26 + after, seed, n + clients));
        let over = |p: &[f64]| stats::share(&p.iter().map(|p| *p > 0.5).collect::<Vec<_>>());
        let area = stats::area_under_curve(&stalled, &growing);
        println!("| {after} | {area:.3} | {:.2} | {:.2} |", over(&stalled), over(&growing));
    }
}
