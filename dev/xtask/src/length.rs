//! Files stay short enough to be read in one sitting.

use crate::Breach;
use crate::tree::{Tree, has_extension};

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
    fn data_pages_and_scripts_count_but_generated_files_do_not() {
        for path in
            ["docs/a.md", "data/catalogue/a.toml", "crates/app/src/web/a.js", "crates/app/src/web/a.css"]
        {
            assert!(is_too_long(path, LINES_MAX + 1), "{path}");
        }
        assert!(!is_too_long("Cargo.lock", LINES_MAX + 1));
        assert!(!is_too_long("crates/app/src/snapshots/a.snap", LINES_MAX + 1));
    }
}
