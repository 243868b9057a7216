//! Numbers and lists as a coach says them. It judges nothing.

/// A number with at most one decimal place, and none when it is whole.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or_else(|| text.clone(), str::to_owned)
}

/// "1 set", "2 sets".
pub(crate) fn count(many: u32, thing: &str) -> String {
    if many == 1 { format!("1 {thing}") } else { format!("{many} {thing}s") }
}

/// "a, b and c".
pub(crate) fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_drop_what_is_not_needed() {
        assert_eq!(number(8.0), "8");
        assert_eq!(number(8.54), "8.5");
    }

    #[test]
    fn lists_and_counts_read_like_speech() {
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
        assert_eq!(list(&["a".into()]), "a");
        assert_eq!(count(1, "set"), "1 set");
        assert_eq!(count(0, "set"), "0 sets");
    }
}
