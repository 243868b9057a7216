//! Where things are and how files open: what a module is for, what a crate must never do, where tests are.

use crate::Breach;
use crate::source::is_comment;
use crate::tree::{Tree, has_extension};

/// Files that open wrongly or are in the wrong place.
pub fn check(tree: &Tree) -> Vec<Breach> {
    let sources = || tree.files().filter(|(path, _)| has_extension(path, "rs"));
    let unopened = sources().filter(|(_, text)| opening(text).is_empty());
    let unopened =
        unopened.map(|(path, _)| Breach::of(path, "opens without a `//!` comment that says what it is for"));
    let unbound = sources()
        .filter(|(path, text)| is_library(path) && has_code(text) && !opening(text).contains("Invariant"));
    let unbound =
        unbound.map(|(path, _)| Breach::of(path, "opens without the `Invariant` that the crate keeps"));
    let scattered = sources().filter(|(path, _)| is_extra_test_binary(path));
    let scattered = scattered.map(|(path, _)| {
        Breach::of(
            path,
            "is a second test binary: a crate has one, `tests/all.rs`, with this as a module of it",
        )
    });
    unopened.chain(unbound).chain(scattered).collect()
}

/// The comment that the file opens with.
fn opening(text: &str) -> String {
    text.lines().take_while(|line| line.starts_with("//!")).collect::<Vec<_>>().join("\n")
}

/// Whether there is anything but comments: a crate that is still empty has nothing to keep.
fn has_code(text: &str) -> bool {
    text.lines().any(|line| !line.trim().is_empty() && !is_comment(line))
}

fn is_library(path: &str) -> bool {
    path.starts_with("crates/") && path.ends_with("/src/lib.rs")
}

fn is_extra_test_binary(path: &str) -> bool {
    let Some((_, test)) = path.split_once("/tests/") else { return false };
    !path.contains("/src/") && !test.contains('/') && test != "all.rs"
}

#[cfg(test)]
mod tests {
    use super::*;

    fn breaches(path: &str, text: &str) -> usize {
        check(&Tree::of(&[(path, text)])).len()
    }

    #[test]
    fn a_library_says_what_it_is_for_and_what_it_keeps() {
        assert_eq!(breaches("crates/model/src/lib.rs", "//! Words.\n//!\n//! Invariant: no clock.\n"), 0);
        assert_eq!(breaches("crates/model/src/lib.rs", "//! Words.\n\npub mod a; // Invariant\n"), 1);
    }

    #[test]
    fn every_file_opens_with_its_purpose() {
        assert_eq!(breaches("crates/cli/src/main.rs", "//! The program.\nfn main() {}\n"), 0);
        assert_eq!(breaches("crates/cli/src/main.rs", "fn main() {}\n"), 1);
        assert_eq!(breaches("dev/xtask/tests/all.rs", "use a;\n//! Late.\n"), 1);
        assert_eq!(breaches("crates/model/src/lib.rs", "pub mod a;\n"), 2);
        assert_eq!(breaches("crates/model/src/lib.rs", "//! Still empty.\n"), 0);
    }

    #[test]
    fn a_crate_has_one_test_binary_of_as_many_modules_as_it_likes() {
        assert_eq!(breaches("crates/cli/tests/all.rs", "//! Tests.\n"), 0);
        assert_eq!(breaches("crates/cli/tests/all/plan.rs", "//! Tests.\n"), 0);
        assert_eq!(breaches("crates/cli/tests/plan.rs", "//! Tests.\n"), 1);
        assert_eq!(breaches("crates/cli/src/plan/tests/late.rs", "//! Tests.\n"), 0);
    }
}
