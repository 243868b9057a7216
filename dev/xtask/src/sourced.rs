//! What counts as naming a source in the science, for the rules on constants and on figures.

use crate::source::{has_word, is_test_file};
use crate::tree::{Tree, has_extension};

/// How well a source is known; any one of these marks a constant as sourced.
const MARKS: &[&str] = &["(A)", "(B)", "(M)", "(m)", "(D)", "(T)"];

/// Words that take the place of a source.
const WORDS: &[&str] = &["judgement", "exact by definition", "numeric"];

/// The files of the science, tests left aside.
pub fn of_science(tree: &Tree) -> impl Iterator<Item = (&str, &str)> {
    tree.files().filter(|(path, _)| {
        ["crates/science/src/", "crates/gym/src/"].iter().any(|own| path.starts_with(own))
            && has_extension(path, "rs")
            && !is_test_file(tree, path)
    })
}

/// What to do about a number without a source.
pub fn how_to_source() -> String {
    let marks = MARKS.join(" ");
    format!(
        "say in the comment above where it comes from and how well that is known, {marks} or one of {WORDS:?}"
    )
}

/// Whether the comment names a source, or says that there is none.
pub fn is_sourced(comment: &str) -> bool {
    let lower = comment.to_lowercase();
    MARKS.iter().any(|mark| comment.contains(mark)) || WORDS.iter().any(|word| has_word(&lower, word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_mark_and_each_word_is_a_source() {
        for source in MARKS.iter().chain(WORDS) {
            assert!(is_sourced(&format!("Seconds; {source}.")), "{source}");
        }
        assert!(is_sourced("Judgement: a round number."));
    }

    #[test]
    fn a_mark_is_not_taken_from_another_word_and_an_ordinary_bracket_is_none() {
        assert!(!is_sourced("An alphanumeric key."));
        assert!(!is_sourced("Seconds (B of them)."));
    }
}
