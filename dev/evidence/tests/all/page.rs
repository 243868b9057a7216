//! Misses are reported on the models page, with the figure of today: a miss that goes away, or that changes, changes the page.

use std::ops::RangeInclusive;

const PAGE: &str = include_str!("../../../../docs/models.md");

/// The page has this row in its table of misses.
pub fn tells(what: &str, published: &str, model: &str) {
    let row = format!("| {what} | {published} | {model} |");
    assert!(PAGE.contains(&row), "docs/models.md lacks this row:\n{row}");
}

/// A figure that lies outside what was published, and the page says so.
pub fn misses(what: &str, published: &str, band: &RangeInclusive<f64>, model: f64, decimals: usize) {
    assert!(
        !band.contains(&model),
        "{what}: {model} is no miss any more: hold it, and strike it from docs/models.md"
    );
    tells(what, published, &format!("{model:.decimals$}"));
}
