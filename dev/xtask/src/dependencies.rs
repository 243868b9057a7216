//! Every direct dependency of the product is explained in the architecture page, and nothing else is.
//! It does not judge whether the explanation is good.

use crate::Breach;
use crate::cargo::{Dependency, Metadata};
use crate::tree::Tree;
use std::collections::BTreeSet;

const PAGE: &str = "docs/architecture.md";
const SECTION: &str = "## Dependencies";

/// Dependencies without a row in the page's table, and rows without a dependency.
pub fn check(tree: &Tree, metadata: &Metadata) -> Vec<Breach> {
    let Some(page) = tree.text(PAGE) else { return vec![Breach::of(PAGE, "is missing")] };
    let used = direct(metadata);
    let explained = rows(page);
    let missing = used.difference(&explained).map(|name| {
        Breach::of(
            PAGE,
            format!("does not say why `{name}` is there: add it to the table under \"{SECTION}\""),
        )
    });
    let stale = explained
        .difference(&used)
        .map(|name| Breach::of(PAGE, format!("explains `{name}`, which no crate of the product depends on")));
    missing.chain(stale).collect()
}

/// Outside crates that the product itself needs, those for tests left aside.
fn direct(metadata: &Metadata) -> BTreeSet<String> {
    let outside = |dependency: &&Dependency| dependency.path.is_none();
    let shipped = |dependency: &&Dependency| dependency.kind.as_deref() != Some("dev");
    metadata
        .product()
        .flat_map(|package| &package.dependencies)
        .filter(outside)
        .filter(shipped)
        .map(|dependency| dependency.name.clone())
        .collect()
}

/// The names in the first column of the table in the section of dependencies.
fn rows(page: &str) -> BTreeSet<String> {
    let section = page.lines().skip_while(|line| *line != SECTION).skip(1);
    section
        .take_while(|line| !line.starts_with("## "))
        .filter_map(|line| line.strip_prefix("| `")?.split_once('`'))
        .map(|(name, _)| name.to_owned())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cargo::Package;

    fn depending_on(name: &str, kind: Option<&str>, path: Option<&str>) -> Metadata {
        let dependency =
            Dependency { name: name.into(), kind: kind.map(Into::into), path: path.map(Into::into) };
        let package = Package {
            name: "setwright".into(),
            manifest_path: "/repo/crates/cli/Cargo.toml".into(),
            dependencies: vec![dependency],
        };
        Metadata { workspace_root: "/repo".into(), packages: vec![package] }
    }

    fn breaches(page: &str, metadata: &Metadata) -> usize {
        check(&Tree::of(&[(PAGE, page)]), metadata).len()
    }

    #[test]
    fn an_explained_dependency_is_fine() {
        let page = "## Dependencies\n\n| crate | why |\n|--|--|\n| `csv` | reads csv |\n\n## Next\n";
        assert_eq!(breaches(page, &depending_on("csv", None, None)), 0);
    }

    #[test]
    fn an_unexplained_one_is_named_even_if_another_section_mentions_it() {
        let page = "## Dependencies\n\n## Next\n| `csv` | elsewhere |\n";
        assert_eq!(breaches(page, &depending_on("csv", None, None)), 1);
    }

    #[test]
    fn a_row_that_outlived_its_dependency_is_named() {
        let page = "## Dependencies\n| `csv` | reads csv |\n| `gone` | was used |\n";
        let found = check(&Tree::of(&[(PAGE, page)]), &depending_on("csv", None, None));
        assert_eq!(found.len(), 1);
        assert!(found[0].what.contains("`gone`"));
    }

    #[test]
    fn our_own_crates_and_those_for_tests_need_no_row() {
        assert_eq!(breaches("## Dependencies\n", &depending_on("insta", Some("dev"), None)), 0);
        assert_eq!(breaches("## Dependencies\n", &depending_on("setwright-model", None, Some("/repo/m"))), 0);
    }

    #[test]
    fn a_missing_page_is_a_breach() {
        assert_eq!(check(&Tree::default(), &depending_on("csv", None, None)).len(), 1);
    }
}
