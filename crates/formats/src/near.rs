//! The nearest known word to a misspelt one.

/// The likeliest candidate, when one is likely at all. Ties go to the first.
pub fn nearest<'a>(wanted: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = wanted.to_lowercase();
    let mut best: Option<(f64, &str)> = None;
    for candidate in candidates {
        let likeness = likeness(&wanted, &candidate.to_lowercase());
        if likeness >= LIKE_ENOUGH && best.is_none_or(|(b, _)| likeness > b) {
            best = Some((likeness, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Below this two words are not alike (judgement: "minuts" and "minutes" are, "goal" and "lock" are not).
pub const LIKE_ENOUGH: f64 = 0.6;
/// Longer words are not compared: nobody typed them.
const CHARS_MAX: usize = 120;

/// How alike two words are, from 0 to 1.
pub fn likeness(a: &str, b: &str) -> f64 {
    if a.len() > CHARS_MAX || b.len() > CHARS_MAX {
        return 0.0;
    }
    let begins = if b.starts_with(a) && a.len() >= 3 { 0.8 } else { 0.0 };
    // "lode" is meant for "load_kg": nobody misspells a unit.
    let stem = ["_kg", "_lb", "_h", "_m", "_s"].iter().find_map(|unit| b.strip_suffix(unit)).unwrap_or(b);
    let bare = 0.95 * strsim::normalized_damerau_levenshtein(a, stem);
    strsim::normalized_damerau_levenshtein(a, b).max(begins).max(bare)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_recognised_and_another_word_is_not() {
        let fields = ["goal", "time", "equipment", "sessions"];
        assert_eq!(nearest("gaol", fields.into_iter()), Some("goal"));
        assert_eq!(nearest("Equiptment", fields.into_iter()), Some("equipment"));
        assert_eq!(nearest("zebra", fields.into_iter()), None);
        assert_eq!(nearest("lod", ["sets", "load_kg"].into_iter()), Some("load_kg"));
        assert_eq!(nearest("", fields.into_iter()), None);
    }
}
