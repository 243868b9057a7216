//! Recovery over days: the population's starting values against published recoveries.

use crate::page;
use setwright_model::brief::TrainingAge;
use setwright_model::{FractionalSets, Hours, Muscle};
use setwright_science::{dose, recovery};

fn tau(muscle: Muscle) -> Hours {
    Hours(recovery::median_tau_h(muscle))
}

fn gap_h(muscle: Muscle, sets: f64, rir: f64) -> f64 {
    recovery::needed_gap(FractionalSets(sets), rir, tau(muscle)).get()
}

fn missing(muscle: Muscle, sets: f64, rir: f64, gap_h: f64) -> f64 {
    recovery::still_missing(FractionalSets(sets), rir, Hours(gap_h), tau(muscle)).get()
}

/// Soares 2015, JSCR 29:2594, trained, 8 x 10RM (A): curl -26.8 % at 10 min and -8.4 % at 24 h. The constants were set
/// by it: a check of the arithmetic, not of the model.
#[test]
fn elbow_flexors_recover_from_curls_as_published() {
    let after = recovery::drop(FractionalSets(8.0), 0.0).get();
    assert!((after - 0.268).abs() < 0.002, "{after}");
    let day = missing(Muscle::Biceps, 8.0, 0.0, 24.0);
    println!("curl at 24 h: published -8.4 %, model {:.1} %", -100.0 * day);
    assert!((day - 0.084).abs() < 0.002, "{day}");
}

/// The same study (A): row, half a set each, -15.1 % at 10 min, nothing left at 24 h: a miss. That the row is over sooner than the
/// curl is held.
#[test]
fn elbow_flexors_recover_from_rows_sooner_than_from_curls() {
    let after = recovery::drop(FractionalSets(4.0), 0.0).get();
    assert!((after - 0.151).abs() < 0.002, "{after}");
    let (row, curl) = (missing(Muscle::Biceps, 4.0, 0.0, 24.0), missing(Muscle::Biceps, 8.0, 0.0, 24.0));
    assert!(row < curl, "{row} {curl}");
    let what = "Soares 2015 (A): elbow flexors a day after eight sets of rows, % missing";
    page::misses(what, "0", &(0.0..=100.0 * recovery::READY_DROP), 100.0 * row, 1);
}

/// McLester 2003, JSCR 17:259 (A): at 24 h lower, at 48 h back to baseline. Three sets to failure (judgement), the mean
/// of all muscles.
#[test]
fn a_moderate_session_is_felt_after_one_day_and_gone_after_two() {
    let mean =
        |h: f64| Muscle::ALL.iter().map(|m| missing(*m, 3.0, 0.0, h)).sum::<f64>() / Muscle::COUNT as f64;
    assert!(mean(24.0) > recovery::READY_DROP && mean(48.0) < recovery::READY_DROP);
}

/// Ferreira 2017, JSCR 31:71, 8 x 10RM chest press, trained (A): chest back by 72 h.
#[test]
fn the_chest_is_back_by_72_h_after_eight_hard_sets() {
    let gap = gap_h(Muscle::Chest, 8.0, 0.0);
    println!("chest, 8 sets to failure: {gap:.0} h (published: by 72 h)");
    assert!((48.0..=72.0).contains(&gap), "{gap}");
}

/// Radaelli 2012, JSCR 26:2577, untrained women, 4 x 10 curls (A): more than 72 h. The median of the model is sooner: a miss. That
/// the published time is inside its nine tenths is held.
#[test]
fn beginners_arms_may_need_more_than_three_days() {
    let median = gap_h(Muscle::Biceps, 4.0, 0.0) * recovery::training_factor(TrainingAge::FirstWeeks);
    let late = median * libm::exp(1.645 * recovery::prior_log_sd());
    assert!(late > 72.0, "{late}");
    let what = "Radaelli 2012 (A): hours until new arms are back after 4 x 10 curls";
    page::misses(what, "more than 72", &(72.0..=f64::INFINITY), median, 0);
}

/// Morán-Navarro 2017, EJAP 117:2387 (A): going to failure in 3 x 10, against stopping at half the repetitions in 3 x 5, slows
/// recovery by up to 24 to 48 h. The same number of repetitions, 6 x 5, is in `constants`.
#[test]
fn going_to_failure_adds_one_to_two_days() {
    for muscle in Muscle::ALL {
        let added = gap_h(muscle, 3.0, 0.0) - gap_h(muscle, 3.0, 5.0);
        assert!((24.0..=48.0).contains(&added), "{muscle}: {added}");
    }
}

/// Raastad & Hallen 2000, EJAP 82:206 (m): knee extension down 12 to 18 % back at about 33 h, down 5 to 7 % within about
/// 11 h. The model's quads are slower, on the side of the trade's "quads slowest": two misses. The bands are six hours either
/// way (judgement: the figures are from memory). The order is held.
#[test]
fn quads_recover_more_slowly_than_after_knee_extensions() {
    let hours = |drop: f64| tau(Muscle::Quads).get() * libm::log(drop / recovery::READY_DROP);
    assert!(hours(0.15) > hours(0.06));
    for (drop, published, band) in [(0.15, "about 33", 27.0..=39.0), (0.06, "up to 11", 0.0..=17.0)] {
        let what =
            format!("Raastad & Hallen 2000 (m): hours until quads are back from -{:.0} %", 100.0 * drop);
        page::misses(&what, published, &band, hours(drop), 0);
    }
}

/// Common practice, no source (T): side deltoids about 2 days after a normal session (six fractional sets, one in
/// reserve: judgement); biceps, triceps, forearms and calves within half a week.
#[test]
fn small_muscles_are_ready_within_half_a_week() {
    let side = gap_h(Muscle::SideDelts, 6.0, 1.0);
    assert!((40.0..=56.0).contains(&side), "{side}");
    for muscle in [Muscle::Biceps, Muscle::Triceps, Muscle::Forearms, Muscle::Calves] {
        assert!(gap_h(muscle, 6.0, 1.0) <= 84.0, "{muscle}");
    }
}

/// Common practice, no source (T): a hard chest session in a big lifter needs up to 5 days, to the nearest day. Ten sets to
/// failure in a client slower than nine in ten.
#[test]
fn a_hard_chest_session_may_need_five_days() {
    let slow = gap_h(Muscle::Chest, 10.0, 0.0) * libm::exp(1.2816 * recovery::prior_log_sd());
    println!("slow client, ten chest sets to failure: {slow:.0} h");
    assert!((108.0..=132.0).contains(&slow), "{slow}");
}

/// Common practice, no source (T): three usual chest sessions a week are carried well.
#[test]
fn usual_chest_sessions_every_other_day_leave_little_debt() {
    let starts = [0.0, 48.0, 96.0].map(Hours);
    let debts = dose::debts(&[FractionalSets(4.0); 3], &starts, Hours(168.0), tau(Muscle::Chest));
    assert!(debts.iter().all(|d| d.get() < 1.0), "{debts:?}");
    assert!(gap_h(Muscle::Chest, 4.0, 2.0) < 48.0);
}
