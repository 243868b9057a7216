//! A block can be held: never two big stations, one area, one bar; in busy hours one place.

use super::{Client, Rule};
use setwright_model::Station;
use setwright_model::exercise::{Exercise, LoadKind};
use setwright_model::station::Area;

/// The rule.
pub struct Stations;

impl Rule for Stations {
    fn name(&self) -> &'static str {
        "stations"
    }

    fn parts(&self, a: &Exercise, b: &Exercise, c: &Client<'_>) -> bool {
        // What is done once is left before the next begins.
        let once = c.rules.has_one_set_each() && !c.is_locked(a) && !c.is_locked(b);
        !once && !can_hold_both(a, b, c.brief.time.busy)
    }
}

fn fixed(e: &Exercise) -> Vec<Station> {
    let mut out: Vec<Station> = e.stations.iter().copied().filter(|s| s.area() != Area::Anywhere).collect();
    out.sort_unstable();
    out
}

/// Whether one client can hold what two exercises occupy.
pub fn can_hold_both(a: &Exercise, b: &Exercise, busy: bool) -> bool {
    let (fixed_a, fixed_b) = (fixed(a), fixed(b));
    let mut all: Vec<_> = fixed_a.iter().chain(&fixed_b).copied().collect();
    all.sort_unstable();
    all.dedup();
    let bigs = all.iter().filter(|s| s.is_big()).count();
    let one_area = all.windows(2).all(|w| w[0].area() == w[1].area());
    let busy_ok = !busy || fixed_a.is_empty() || fixed_b.is_empty() || fixed_a == fixed_b;
    let same_bar = a.load == LoadKind::Bar && b.load == LoadKind::Bar
        || a.load == LoadKind::Discs && b.load == LoadKind::Discs;
    let same_big = fixed_a.iter().any(|s| s.is_big() && fixed_b.contains(s));
    bigs <= 1 && one_area && busy_ok && !same_bar && !same_big
}
