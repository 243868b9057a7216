//! Files stay short enough to be read in one sitting, and crates small enough to be known whole.

use crate::Breach;
use crate::tree::{Tree, has_extension};
use std::collections::BTreeMap;

/// Most lines of a file of ours.
pub const LINES_MAX: usize = 1000;

/// Files that are too long.
pub fn check(tree: &Tree) -> Vec<Breach> {
    let long = |(path, text): (&str, &str)| {
        let lines = text.lines().count();
        let what = || format!("has {lines} lines, at most {LINES_MAX} are allowed: split it by idea");
        (is_counted(path) && lines > LINES_MAX).then(|| Breach::of(path, what()))
    };
    tree.files().filter_map(long).collect()
}

/// Most lines of Rust source of a crate, its tests beside the code included.
pub const CRATE_LINES_MAX: usize = 12_000;

/// Crates of the product that are too large.
pub fn check_crates(tree: &Tree) -> Vec<Breach> {
    let mut lines: BTreeMap<&str, usize> = BTreeMap::new();
    for (path, text) in tree.files().filter(|(path, _)| has_extension(path, "rs")) {
        if let Some((name, rest)) = path.strip_prefix("crates/").and_then(|rest| rest.split_once('/'))
            && rest.starts_with("src/")
        {
            *lines.entry(name).or_default() += text.lines().count();
        }
    }
    let what = |lines| format!("has {lines} lines, at most {CRATE_LINES_MAX} are allowed: split it by idea");
    let large = lines.into_iter().filter(|(_, lines)| *lines > CRATE_LINES_MAX);
    large.map(|(name, lines)| Breach::of(format!("crates/{name}"), what(lines))).collect()
}

fn is_counted(path: &str) -> bool {
    let written = ["rs", "md", "js", "css"].iter().any(|extension| has_extension(path, extension));
    written || (path.starts_with("data/") && has_extension(path, "toml"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is_too_long(path: &str, lines: usize) -> bool {
        !check(&Tree::of(&[(path, &"line\n".repeat(lines))])).is_empty()
    }

    #[test]
    fn the_limit_itself_is_allowed_and_one_more_is_not() {
        assert!(!is_too_long("crates/a/src/lib.rs", LINES_MAX));
        assert!(is_too_long("crates/a/src/lib.rs", LINES_MAX + 1));
    }

    #[test]
    fn the_lines_of_a_crate_are_summed_over_its_sources_alone() {
        let half = "line\n".repeat(CRATE_LINES_MAX / 2);
        let sources = [("crates/a/src/a.rs", half.as_str()), ("crates/a/src/b/c.rs", half.as_str())];
        let others = [("crates/a/tests/all.rs", half.as_str()), ("crates/b/src/a.rs", half.as_str())];
        assert_eq!(check_crates(&Tree::of(&[sources, others].concat())), []);
        let one_more = [sources, [("crates/a/src/lib.rs", "line\n"), others[0]]].concat();
        assert_eq!(check_crates(&Tree::of(&one_more)).len(), 1);
    }

    #[test]
    fn data_pages_and_scripts_count_but_generated_files_do_not() {
        for path in ["docs/a.md", "data/catalogue/a.toml", "crates/web/src/a.js", "crates/web/src/a.css"] {
            assert!(is_too_long(path, LINES_MAX + 1), "{path}");
        }
        assert!(!is_too_long("Cargo.lock", LINES_MAX + 1));
        assert!(!is_too_long("crates/web/src/snapshots/a.snap", LINES_MAX + 1));
    }
}
