//! Numbers and counts as people read them, the same on a terminal, on a page and on paper. Units are not known here.

/// A number with at most so many decimal places, none when it is whole, and no sign before nought.
pub fn number(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let short = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

/// One number, or lowest and highest: "8-12".
pub fn range([low, high]: [u32; 2]) -> String {
    if low == high { low.to_string() } else { format!("{low}-{high}") }
}

/// "1 session", "3 sessions".
pub fn count(many: usize, thing: &str) -> String {
    if many == 1 { format!("1 {thing}") } else { format!("{many} {thing}s") }
}
