//! Small versions of the suites that the command prints, so that a change which breaks a promise is seen.
#![cfg(test)]

use setwright_estimate::{Prior, fit, prior_of_roster};
use setwright_gym::catalogue;
use setwright_model::{FractionalSets, Hours, Muscle};
use setwright_sim::calibrate::{cases, each, summary};
use setwright_sim::design::{self, Days};
use setwright_sim::strength::{Forecasts, forecasts, stall};
use setwright_sim::{Kind, Misfit, Soreness, client, stats};

fn show(kind: Kind, clients: u64) -> setwright_sim::calibrate::Summary {
    let summary = summary(&cases(kind, &[26], clients, 11), 26);
    println!("{}: {summary:?}", setwright_sim::calibrate::name(kind));
    summary
}

#[test]
fn a_client_is_the_same_for_a_seed_and_another_for_another() {
    let of = |seed, nth| {
        let kind = Kind { weeks: 4, ..Kind::PLAIN };
        client(kind, &Prior::population(), catalogue::builtin(), seed, nth).history
    };
    assert_eq!(of(1, 2), of(1, 2));
    assert_ne!(of(1, 2), of(1, 3));
    assert_ne!(of(1, 2), of(2, 2));
}

#[test]
fn truth_is_ready_when_the_missing_has_fallen_to_the_threshold() {
    for misfit in Misfit::ALL {
        let kind = Kind { weeks: 1, misfit, ..Kind::PLAIN };
        let truth = client(kind, &Prior::population(), catalogue::builtin(), 1, 1).truth;
        let ready_h = truth.ready_h(Muscle::Chest, 6.0, 0.0);
        let left = truth.missing(Muscle::Chest, 6.0, 0.0, ready_h);
        assert!((left - setwright_science::recovery::READY_DROP).abs() < 1e-6, "{misfit:?}: {left}");
    }
}

/// Standard errors of these shares are near 0.02; the command's are smaller.
#[test]
fn intervals_hold_and_a_log_teaches() {
    let plain = show(Kind::PLAIN, 60);
    assert!((0.82..=0.96).contains(&plain.ready.0) && (0.82..=0.96).contains(&plain.residual.0));
    assert!(plain.days.0 < 0.80 * plain.days.1);
    let fixed = show(Kind { varied: false, ..Kind::PLAIN }, 30);
    assert!(fixed.ready.0 > 0.80 && fixed.learned < plain.learned);
}

#[test]
fn misleading_soreness_does_not_make_intervals_too_narrow() {
    for soreness in [Soreness::Shifted, Soreness::Insensitive] {
        let summary = show(Kind { soreness, ..Kind::PLAIN }, 30);
        assert!(summary.ready.0 > 0.80 && summary.residual.0 > 0.80);
    }
}

#[test]
fn without_reserve_every_answer_warns() {
    let kind = Kind { misfit: Misfit::RirAlwaysMissing, ..Kind::PLAIN };
    assert!(show(kind, 6).own.0 < 1e-9);
}

#[test]
fn pounds_are_found_and_little_else_is_doubted() {
    let kind = Kind { misfit: Misfit::Pounds, weeks: 26, ..Kind::PLAIN };
    let found = each(20, |nth| {
        let client = client(kind, &Prior::population(), catalogue::builtin(), 3, nth);
        let posterior = fit(&client.history, catalogue::builtin(), &Prior::population(), nth);
        let flagged: Vec<(Hours, usize)> = posterior.slips().iter().map(|s| (s.at, s.nth)).collect();
        let hits = client.slips.iter().filter(|s| flagged.contains(s)).count();
        (hits, client.slips.len(), flagged.len())
    });
    let sum = |of: &dyn Fn(&(usize, usize, usize)) -> usize| found.iter().map(of).sum::<usize>() as f64;
    let (hits, made, flagged) = (sum(&|f| f.0), sum(&|f| f.1), sum(&|f| f.2));
    println!("slips: {hits} of {made} found, {flagged} flagged");
    assert!(hits > 0.95 * made && flagged < 1.1 * made);
}

#[test]
fn the_next_session_is_forecast_better_than_by_averages() {
    let kind = Kind { weeks: 26, ..Kind::PLAIN };
    let mut all = Forecasts::default();
    for one in each(10, |nth| forecasts(kind, 20, 5, nth)) {
        all.join(one);
    }
    let average = all.averages.iter().map(|e| stats::rms(e)).fold(f64::MAX, f64::min);
    let (model, rested) = (stats::rms(&all.model), stats::rms(&all.rested));
    println!("model {model:.4}, no fatigue {rested:.4}, average {average:.4}");
    assert!(model < 0.92 * average && model < rested);
    assert!((0.82..=0.97).contains(&stats::share(&all.held)));
}

#[test]
fn a_stall_of_sixteen_weeks_is_told_from_growth() {
    let of = |stall_week, from| {
        each(14, move |n| stall(Kind { stall_week: Some(stall_week), ..Kind::PLAIN }, 42, 9, n + from))
    };
    let area = stats::area_under_curve(&of(26, 0), &of(1_000, 100));
    println!("stall: area {area:.3}");
    assert!(area > 0.8, "{area}");
}

/// Clients of a coach who all recover a third slower than the population.
#[test]
fn a_roster_moves_the_prior_of_the_next_client_part_of_the_way() {
    let base = Prior::population();
    let slower = Prior::of(base.tau.map(|t| Hours(t.get() * 1.35)));
    let kind = Kind { weeks: 20, ..Kind::PLAIN };
    let fitted = each(24, |nth| {
        let client = client(kind, &slower, catalogue::builtin(), 5, nth);
        fit(&client.history, catalogue::builtin(), &base, nth)
    });
    let roster = prior_of_roster(&base, &fitted).unwrap();
    println!("roster: {} clients, tau {:+.3}", roster.clients, roster.tau_shift.get());
    assert!((0.12..0.45).contains(&roster.tau_shift.get()), "{}", roster.tau_shift);
    assert!(roster.depth_shift.get().abs() < 0.15, "{}", roster.depth_shift);
    assert_eq!(prior_of_roster(&base, &fitted[..4]), None);
    // The prior of someone else moves by the same share: what is taken over is held against each one's own prior.
    let other = Prior::of(base.tau.map(|t| Hours(t.get() * 1.2)));
    let moved = prior_of_roster(&other, &fitted).unwrap();
    assert_eq!(moved.tau_shift, roster.tau_shift);
    assert!((moved.prior.tau[0].get() / roster.prior.tau[0].get() - 1.2).abs() < 1e-9);
}

#[test]
fn a_dose_of_nothing_needs_no_time() {
    let truth =
        client(Kind { weeks: 1, ..Kind::PLAIN }, &Prior::population(), catalogue::builtin(), 1, 1).truth;
    assert!(truth.ready_h(Muscle::Chest, FractionalSets::ZERO.get(), 0.0).abs() < 1e-12);
}

#[test]
fn days_chosen_for_what_they_teach_teach_more_than_fixed_ones() {
    let learned = |days| design::rows(days, 6, 11)[0].learned;
    let (fixed, near) = (learned(Days::Fixed), learned(Days::Designed(1)));
    println!("learned after 8 weeks: fixed {fixed:.2}, designed {near:.2}");
    assert!(near > 1.3 * fixed, "{near} {fixed}");
}
