//! Words that must not be in the tree: unfinished work, paths of one machine, and where the project came from.
//! The words are put together from pieces, so that this file does not trip over itself.

use crate::Breach;
use crate::source::{char_before, has_word};
use crate::tree::Tree;

/// Unwanted wherever they stand, in any case.
const PARTS: &[&str] = &[
    concat!("trans", "cript"),
    concat!("seed ", "document"),
    concat!("the talk ", "that"),
    concat!("issue", " #"),
];

/// Unwanted as they are written here.
const MARKS: &[&str] = &[
    concat!("unimplemented", "!("),
    concat!("todo", "!("),
    concat!("DESIGN", ".md"),
    concat!("LOOK", ".md"),
    concat!("evidence", ".md"),
    concat!("style", ".md"),
];

/// Unwanted as words of their own, as they are written here.
const WORDS: &[&str] = &[concat!("TO", "DO"), concat!("FIX", "ME")];

/// Where the paths of one machine start.
const ROOTS: &[&str] = &[
    concat!("/wo", "rk/"),
    concat!("/fa", "rm/"),
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/tm", "p/wt"),
];

/// Files that others wrote.
const NOT_OURS: &[&str] = &["LICENSE-APACHE", "LICENSE-MIT", "Cargo.lock"];

/// Lines with an unwanted word, and paths that hold one.
pub fn check(tree: &Tree) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for path in tree.paths() {
        breaches.extend(unwanted(path).map(|word| Breach::of(path, format!("is named with {word:?}"))));
    }
    for (path, text) in tree.files().filter(|(path, _)| !NOT_OURS.contains(path)) {
        for (at, line) in text.lines().enumerate() {
            breaches.extend(unwanted(line).map(|word| Breach::at(path, at + 1, format!("holds {word:?}"))));
        }
    }
    breaches
}

/// The first unwanted word of a line.
fn unwanted(line: &str) -> Option<&'static str> {
    let lower = line.to_lowercase();
    let part = PARTS.iter().find(|part| lower.contains(**part));
    let mark = || MARKS.iter().find(|mark| line.contains(**mark));
    let word = || WORDS.iter().find(|word| has_word(line, word));
    let root = || ROOTS.iter().find(|root| has_root(line, root));
    part.or_else(mark).or_else(word).or_else(root).copied()
}

/// Whether a path that starts at `root` stands in the line, not a longer path with such a part.
fn has_root(line: &str, root: &str) -> bool {
    let part_of_path = |c: char| c.is_alphanumeric() || matches!(c, '_' | '.' | '-' | '}' | ')' | '~' | '*');
    line.match_indices(root).any(|(at, _)| !char_before(line, at).is_some_and(part_of_path))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is_unwanted(line: &str) -> bool {
        !check(&Tree::of(&[("docs/a.md", line)])).is_empty()
    }

    #[test]
    fn each_word_of_the_lists_is_found() {
        for word in PARTS.iter().chain(MARKS).chain(WORDS).chain(ROOTS) {
            assert!(is_unwanted(&format!("see {word} here")), "{word}");
        }
    }

    #[test]
    fn a_part_is_found_in_any_case() {
        assert!(is_unwanted(&PARTS[0].to_uppercase()));
    }

    #[test]
    fn plain_words_are_fine() {
        assert!(!is_unwanted("todo = \"warn\""));
        assert!(!is_unwanted(concat!("MASTO", "DON")));
        assert!(!is_unwanted(concat!("data/catalogue/ho", "me/press.toml and either/wo", "rk/rest")));
    }

    #[test]
    fn the_line_and_the_word_are_told() {
        let found = check(&Tree::of(&[("docs/a.md", concat!("fine\nFIX", "ME later\n"))]));
        assert_eq!(found, [Breach::at("docs/a.md", 2, format!("holds {:?}", WORDS[1]))]);
    }

    #[test]
    fn names_of_files_are_read_too_and_licences_are_not() {
        assert_eq!(check(&Tree::of(&[(concat!("docs/trans", "cript.md"), "fine")])).len(), 1);
        assert_eq!(check(&Tree::of(&[("LICENSE-MIT", PARTS[0])])), []);
    }
}
