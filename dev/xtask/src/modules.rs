//! Where the architecture page lists the files of a crate in a table, it lists all of them and no other. A crate without a table is
//! left aside.

use crate::Breach;
use crate::tree::Tree;
use std::collections::BTreeSet;

const PAGE: &str = "docs/architecture.md";
const TABLE: &str = "| module |";

/// Files that a table leaves out, and rows without a file.
pub fn check(tree: &Tree) -> Vec<Breach> {
    let page = tree.text(PAGE).unwrap_or_default();
    let sections = page.split("\n### ").skip(1).filter(|section| section.contains(TABLE));
    sections.flat_map(|section| check_section(tree, section)).collect()
}

fn check_section(tree: &Tree, section: &str) -> Vec<Breach> {
    let name = section.lines().next().unwrap_or_default().trim();
    let (named, there) = (rows(section), files(tree, name));
    let missing = there.difference(&named).map(|file| {
        Breach::of(PAGE, format!("does not say what `{file}` of {name} is for: add it to the table"))
    });
    let stale = named
        .difference(&there)
        .map(|file| Breach::of(PAGE, format!("lists `{file}`, which {name} does not have")));
    missing.chain(stale).collect()
}

/// The names in the first column of the table of modules.
fn rows(section: &str) -> BTreeSet<String> {
    let table = section.lines().skip_while(|line| !line.starts_with(TABLE)).skip(2);
    let cells = table.take_while(|line| line.starts_with('|')).filter_map(|line| line.split('|').nth(1));
    cells.flat_map(|cell| cell.split('`').skip(1).step_by(2)).map(str::to_owned).collect()
}

/// The files and folders at the top of a crate.
fn files(tree: &Tree, name: &str) -> BTreeSet<String> {
    let top = format!("crates/{name}/src/");
    let inside = tree.files().filter_map(|(path, _)| path.strip_prefix(&top));
    let modules = inside.filter_map(|path| match path.split_once('/') {
        Some((folder, _)) => Some(folder),
        None => path.strip_suffix(".rs"),
    });
    modules.filter(|module| !matches!(*module, "lib" | "main")).map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn breaches(table: &str) -> Vec<String> {
        let page = format!(
            "# A\n\n### optimise\n\n| module | what it does |\n|--|--|\n{table}\n### store\n\nNo table.\n"
        );
        let files = [
            (PAGE, page.as_str()),
            ("crates/optimise/src/lib.rs", ""),
            ("crates/optimise/src/rules/mod.rs", ""),
            ("crates/optimise/src/solve.rs", ""),
            ("crates/store/src/fold.rs", ""),
        ];
        check(&Tree::of(&files)).into_iter().map(|breach| breach.what).collect()
    }

    #[test]
    fn a_table_lists_all_files_of_its_crate_and_no_other() {
        assert!(breaches("| `rules`, `solve` | all |").is_empty());
        assert!(breaches("| `rules` | some |").iter().any(|b| b.contains("`solve` of optimise")));
        assert!(breaches("| `rules`, `solve`, `gone` | `x` |").iter().any(|b| b.contains("`gone`")));
        assert_eq!(breaches("| `rules`, `gone` | more |").len(), 2);
    }
}
