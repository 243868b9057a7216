//! Budgets in preferred numbers and minutes that are rounded, so that a little more changes little.

use setwright_model::Brief;
use setwright_optimise::steady::{moves, rounded};

#[test]
fn moves_go_in_preferred_numbers() {
    let rows = [(0, 0), (999, 999), (1000, 1000), (1_050_000, 1_000_000), (1_000_000, 1_000_000)];
    for (asked, given) in rows.into_iter().chain([(99_999, 80_000), (2_499_999, 2_000_000)]) {
        assert_eq!(moves(asked), given, "{asked}");
    }
    // The widest step of the series is that from 125 to 160.
    for asked in 1000..200_000_u64 {
        assert!(moves(asked) <= asked && 100 * asked < 128 * moves(asked), "{asked}");
    }
}

fn brief(minutes: &str) -> Brief {
    toml::from_str(&format!(
        "name = \"A\"\ngoal = \"size\"\ntraining_age = \"intermediate\"\ntime = {{ sessions = 2, minutes = {minutes} }}"
    ))
    .expect("a brief")
}

#[test]
fn odd_minutes_start_from_full_ones() {
    assert!(rounded(&brief("60")).is_none() && rounded(&brief("9")).is_none());
    assert_eq!(rounded(&brief("61")).map(|b| b.time.minutes), Some(brief("60").time.minutes));
    let each = rounded(&brief("[32.5, 40]")).map(|b| b.time.minutes);
    assert_eq!(each, Some(brief("[30, 40]").time.minutes));
}
