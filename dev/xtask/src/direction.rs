//! The order of crates: which of ours may know which. The table is the rule; `docs/architecture.md` tells why.

use crate::Breach;
use crate::cargo::{Metadata, Package};

const MODEL: &str = "setwright-model";
const SCIENCE: &str = "setwright-science";
const CHECK: &str = "setwright-check";
const OPTIMISE: &str = "setwright-optimise";
const ESTIMATE: &str = "setwright-estimate";
const STORE: &str = "setwright-store";
const PAPER: &str = "setwright-paper";
const APP: &str = "setwright";

/// Each crate of the product with all of ours that it may know, in its tests too.
const MAY_KNOW: &[(&str, &[&str])] = &[
    (MODEL, &[]),
    (SCIENCE, &[MODEL]),
    (CHECK, &[MODEL, SCIENCE]),
    (OPTIMISE, &[MODEL, SCIENCE]),
    (ESTIMATE, &[MODEL, SCIENCE]),
    (STORE, &[MODEL]),
    (PAPER, &[MODEL]),
    (APP, &[MODEL, SCIENCE, CHECK, OPTIMISE, ESTIMATE, STORE, PAPER]),
];

/// Crates of the product that know one they may not, or have no place in the table.
pub fn check(metadata: &Metadata) -> Vec<Breach> {
    metadata.product().flat_map(|package| check_package(metadata, package)).collect()
}

fn check_package(metadata: &Metadata, package: &Package) -> Vec<Breach> {
    let Some((_, allowed)) = MAY_KNOW.iter().find(|(name, _)| *name == package.name) else {
        let what = "has no place in the order of crates: give it one in dev/xtask/src/direction.rs";
        return vec![Breach::of(&package.name, what)];
    };
    let ours = |name: &str| metadata.packages.iter().any(|other| other.name == name);
    let unwanted = package.dependencies.iter().filter(|known| ours(&known.name));
    unwanted
        .filter(|known| !allowed.contains(&known.name.as_str()))
        .map(|known| Breach::of(&package.name, format!("must not know {}", known.name)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cargo::Dependency;

    /// A workspace of crates given as `folder name: what it depends on`.
    fn workspace(lines: &[(&str, &str, &[&str])]) -> Metadata {
        let dependency = |name: &&str| Dependency { name: (*name).into(), kind: None, path: None };
        let package = |(folder, name, known): &(&str, &str, &[&str])| Package {
            name: (*name).into(),
            manifest_path: format!("/repo/{folder}/Cargo.toml"),
            dependencies: known.iter().map(dependency).collect(),
        };
        Metadata { workspace_root: "/repo".into(), packages: lines.iter().map(package).collect() }
    }

    fn breaches(lines: &[(&str, &str, &[&str])]) -> Vec<String> {
        check(&workspace(lines)).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn the_intended_order_is_kept_and_outside_crates_are_no_matter_of_order() {
        assert_eq!(
            breaches(&[
                ("crates/model", MODEL, &["serde"]),
                ("crates/science", SCIENCE, &[MODEL, "libm"]),
                ("crates/optimise", OPTIMISE, &[MODEL, SCIENCE]),
                ("crates/app", APP, &[MODEL, SCIENCE, OPTIMISE]),
                ("dev/evidence", "setwright-evidence", &[MODEL, OPTIMISE, APP]),
            ]),
            [""; 0]
        );
    }

    #[test]
    fn siblings_must_not_see_each_other() {
        assert_eq!(
            breaches(&[("crates/check", CHECK, &[]), ("crates/optimise", OPTIMISE, &[CHECK])]),
            ["setwright-optimise: must not know setwright-check"]
        );
    }

    #[test]
    fn a_dependency_for_tests_counts_like_any_other() {
        let mut metadata =
            workspace(&[("crates/check", CHECK, &[]), ("crates/optimise", OPTIMISE, &[CHECK])]);
        metadata.packages[1].dependencies[0].kind = Some("dev".into());
        assert_eq!(check(&metadata).len(), 1);
    }

    #[test]
    fn nothing_of_the_product_knows_the_program_or_the_tools() {
        assert_eq!(
            breaches(&[
                ("crates/model", MODEL, &[APP, "setwright-xtask"]),
                ("crates/app", APP, &["setwright-xtask"]),
                ("dev/xtask", "setwright-xtask", &[]),
            ]),
            [
                "setwright-model: must not know setwright",
                "setwright-model: must not know setwright-xtask",
                "setwright: must not know setwright-xtask",
            ]
        );
    }

    #[test]
    fn a_new_crate_needs_a_place() {
        assert_eq!(breaches(&[("crates/surprise", "setwright-surprise", &[])]).len(), 1);
    }
}
