//! The architecture page knows every crate: it stands in the drawing of the tree, and each crate of the product has a section that ends
//! with what it never does. A crate that is gone stands nowhere.

use crate::Breach;
use crate::tree::Tree;
use std::collections::BTreeSet;

const PAGE: &str = "docs/architecture.md";
const ROOTS: [&str; 2] = ["crates", "dev"];
const INVARIANT: &str = "**Invariant:**";

/// Crates that the page does not know, and crates of the page that are not there.
pub fn check(tree: &Tree) -> Vec<Breach> {
    let page = tree.text(PAGE).unwrap_or_default();
    let (there, drawn, told) = (crates(tree), drawn(page), sections(page));
    let mut breaches = Vec::new();
    let mut say = |what: String| breaches.push(Breach::of(PAGE, what));
    for name in there.difference(&drawn) {
        say(format!("does not draw `{name}` in the tree"));
    }
    for name in drawn.difference(&there) {
        say(format!("draws `{name}` in the tree, which is not a crate"));
    }
    for path in &there {
        let product = path.strip_prefix("crates/");
        let section = told.iter().find(|(head, _)| *head == product.unwrap_or(path));
        match section {
            None => say(format!("has no section `### {}`", product.unwrap_or(path))),
            Some((head, text)) if product.is_some() && !text.contains(INVARIANT) => {
                say(format!("does not say in `### {head}` what the crate never does"));
            }
            Some(_) => {}
        }
    }
    breaches
}

/// `crates/NAME` and `dev/NAME`, each with a manifest.
fn crates(tree: &Tree) -> BTreeSet<String> {
    let name = |path: &str| path.strip_suffix("/Cargo.toml").map(str::to_owned);
    let ours = |path: &String| {
        path.split_once('/').is_some_and(|(root, name)| ROOTS.contains(&root) && !name.contains('/'))
    };
    tree.paths().filter_map(name).filter(ours).collect()
}

/// What the drawing of the tree holds under `crates/` and `dev/`.
fn drawn(page: &str) -> BTreeSet<String> {
    let block =
        page.split("\n## The tree").nth(1).and_then(|rest| rest.split("```").nth(1)).unwrap_or_default();
    let (mut root, mut found) = ("", BTreeSet::new());
    for line in block.lines().skip(1) {
        let name = line.split_whitespace().next().unwrap_or_default().trim_end_matches('/');
        if !line.starts_with(' ') {
            root = name;
        } else if ROOTS.contains(&root) {
            found.insert(format!("{root}/{name}"));
        }
    }
    found
}

/// Sections of the third order, each with its text.
fn sections(page: &str) -> Vec<(&str, &str)> {
    let parts = page.split("\n### ").skip(1);
    parts
        .map(|part| part.split_once('\n').unwrap_or((part, "")))
        .map(|(head, text)| (head.trim(), text))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn breaches(drawing: &str, sections: &str) -> Vec<String> {
        let page = format!("# A\n\n## The tree\n\n```text\n{drawing}```\n\n## The crates\n{sections}");
        let files = [
            (PAGE, page.as_str()),
            ("crates/model/Cargo.toml", ""),
            ("crates/model/fuzz/Cargo.toml", ""),
            ("dev/sim/Cargo.toml", ""),
        ];
        check(&Tree::of(&files)).into_iter().map(|breach| breach.what).collect()
    }

    const DRAWN: &str = "crates/\n  model/   words\ndev/\n  sim/   clients\ndocs/   pages\n  guide/\n";
    const TOLD: &str = "\n### model\n\nWords.\n\n**Invariant:** none.\n\n### dev/sim\n\nClients.\n";

    #[test]
    fn a_page_that_knows_every_crate_passes() {
        assert_eq!(breaches(DRAWN, TOLD), [""; 0]);
    }

    #[test]
    fn what_is_missing_or_gone_is_named() {
        let few = breaches("crates/\n  gone/\n", "\n### model\n\nWords.\n");
        assert_eq!(few.len(), 5, "{few:?}");
        for part in [
            "draw `crates/model`",
            "draw `dev/sim`",
            "draws `crates/gone`",
            "`### model` what",
            "section `### dev/sim`",
        ] {
            assert!(few.iter().any(|what| what.contains(part)), "{part} in {few:?}");
        }
    }
}
