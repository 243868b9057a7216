//! The posterior of recovery against NUTS on the same statistical model (`nuts/reference.py`; its summary is
//! `nuts/summary.json`). Ours is drawn from several seeds and pooled, so that what is compared is the law and not the
//! luck of one run; what a single run adds is printed.

use serde_json::Value;
use setwright_estimate::{Prior, fit};
use setwright_gym::catalogue;
use setwright_sim::reference::{history, quantities};
use std::collections::BTreeMap;
use std::thread;

/// Seeds that are pooled.
const SEEDS: u64 = 48;
/// What is asked of the medians, in spreads of the reference, and of the widths.
const MEDIAN_OFF: f64 = 0.1;
const WIDTH_OFF: f64 = 0.05;
/// The 5th, 50th and 95th centile.
fn centiles(draws: &mut [f64]) -> [f64; 3] {
    draws.sort_by(f64::total_cmp);
    [0.05, 0.5, 0.95].map(|p| {
        let place = p * (draws.len() - 1) as f64;
        let (below, share) = (place as usize, place.fract());
        draws[below] * (1.0 - share) + draws[(below + 1).min(draws.len() - 1)] * share
    })
}

/// By how much a median and a width of ours are off, in spreads and as a share; and the ratio of the widths.
fn off(ours: [f64; 3], theirs: &[f64]) -> (f64, f64, f64) {
    let (median, width) = ((ours[1] - theirs[1]) / theirs[3], (ours[2] - ours[0]) / (theirs[2] - theirs[0]));
    (median.abs(), (width - 1.0).abs(), width)
}

/// A quantity: of all seeds together, and of the first alone.
type Difference = (String, (f64, f64, f64), (f64, f64, f64));

/// Differences of a client's quantities.
fn differences(client: &Value) -> Vec<Difference> {
    let (prior, catalogue) = (Prior::population(), catalogue::builtin());
    let log = history(client["nth"].as_u64().unwrap(), catalogue);
    let mut pooled: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for seed in 1..=SEEDS {
        for (name, draws) in quantities(&fit(&log, catalogue, &prior, seed)) {
            pooled.entry(name).or_default().extend(draws);
        }
    }
    let each = pooled.into_iter().map(|(name, mut draws)| {
        let theirs: Vec<f64> = serde_json::from_value(client["quantities"][&name].clone()).unwrap();
        let mut one = draws[..draws.len() / SEEDS as usize].to_vec();
        let (all, one) = (off(centiles(&mut draws), &theirs), off(centiles(&mut one), &theirs));
        (name, all, one)
    });
    each.collect()
}

fn share(values: &[f64], within: f64) -> f64 {
    values.iter().filter(|v| **v <= within).count() as f64 / values.len() as f64
}

#[test]
fn medians_and_widths_are_those_of_nuts() {
    let summary: Value = serde_json::from_str(include_str!("../../nuts/summary.json")).unwrap();
    let clients = summary["clients"].as_array().unwrap();
    assert!(clients.len() >= 20);
    for client in clients {
        assert!(
            client["least_ess"].as_f64().unwrap() >= 1_500.0
                && client["worst_r_hat"].as_f64().unwrap() < 1.01
        );
        assert!(client["log_likelihood_off"].as_f64().unwrap() < 0.01, "{}", client["log_likelihood_off"]);
    }
    let all: Vec<_> = thread::scope(|scope| {
        let halves = [0, 1].map(|odd| {
            scope.spawn(move || clients.iter().skip(odd).step_by(2).flat_map(differences).collect::<Vec<_>>())
        });
        halves.into_iter().flat_map(|half| half.join().unwrap()).collect()
    });
    let of = |pick: &dyn Fn(&Difference) -> f64| all.iter().map(pick).collect::<Vec<_>>();
    let (medians, widths) = (of(&|d| d.1.0), of(&|d| d.1.1));
    let worst = |values: &[f64]| values.iter().copied().fold(0.0, f64::max);
    println!("{} clients, {} quantities; {SEEDS} seeds pooled, then one alone", clients.len(), all.len());
    for (medians, widths) in [(&medians, &widths), (&of(&|d| d.2.0), &of(&|d| d.2.1))] {
        println!(
            "medians within {MEDIAN_OFF} spreads {:.4}, worst {:.3}; widths within {WIDTH_OFF} {:.4}, worst {:.3}",
            share(medians, MEDIAN_OFF),
            worst(medians),
            share(widths, WIDTH_OFF),
            worst(widths),
        );
    }
    for (name, (median, width, _), _) in &all {
        if *median > MEDIAN_OFF || *width > WIDTH_OFF {
            println!("{name}: median off {median:.3} spreads, width off {width:.3}");
        }
    }
    assert!(worst(&medians) <= MEDIAN_OFF);
    assert!(worst(&widths) <= WIDTH_OFF);
    // Nor are they too wide or too narrow as a whole.
    let ratios: f64 = all.iter().map(|d| d.1.2).sum::<f64>() / all.len() as f64;
    assert!((ratios - 1.0).abs() < 0.01, "{ratios}");
}
