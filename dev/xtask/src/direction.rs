//! The order of crates: which of ours may know which. The table is the rule; `docs/architecture.md` tells why.

use crate::Breach;
use crate::cargo::{Metadata, Package};

const MODEL: &str = "setwright-model";
const CHANCE: &str = "setwright-chance";
const GYM: &str = "setwright-gym";
const SCIENCE: &str = "setwright-science";
const CHECK: &str = "setwright-check";
const FORMULATE: &str = "setwright-formulate";
const OPTIMISE: &str = "setwright-optimise";
const TRADEOFF: &str = "setwright-tradeoff";
const ESTIMATE: &str = "setwright-estimate";
const STORE: &str = "setwright-store";
const PAPER: &str = "setwright-paper";
const FORMATS: &str = "setwright-formats";
const COACHING: &str = "setwright-coaching";
const PRESENT: &str = "setwright-present";
const WEB: &str = "setwright-web";
const CLI: &str = "setwright";

/// Each crate of the product with all of ours that it may know, in its tests too.
const MAY_KNOW: &[(&str, &[&str])] = &[
    (MODEL, &[]),
    (CHANCE, &[]),
    (GYM, &[MODEL]),
    (SCIENCE, &[MODEL, GYM]),
    (CHECK, &[MODEL, GYM, SCIENCE]),
    (FORMULATE, &[MODEL, GYM, SCIENCE]),
    (OPTIMISE, &[MODEL, CHANCE, GYM, SCIENCE, FORMULATE]),
    (TRADEOFF, &[MODEL, CHANCE, GYM, SCIENCE, FORMULATE, OPTIMISE]),
    (ESTIMATE, &[MODEL, CHANCE, GYM, SCIENCE]),
    (STORE, &[MODEL]),
    (PAPER, &[MODEL]),
    (FORMATS, &[MODEL, GYM, SCIENCE]),
    (
        COACHING,
        &[MODEL, CHANCE, GYM, SCIENCE, CHECK, FORMULATE, OPTIMISE, TRADEOFF, ESTIMATE, STORE, FORMATS],
    ),
    (
        PRESENT,
        &[
            MODEL, CHANCE, GYM, SCIENCE, CHECK, FORMULATE, OPTIMISE, TRADEOFF, ESTIMATE, STORE, FORMATS,
            COACHING, PAPER,
        ],
    ),
    (
        WEB,
        &[
            MODEL, CHANCE, GYM, SCIENCE, CHECK, FORMULATE, OPTIMISE, TRADEOFF, ESTIMATE, STORE, FORMATS,
            COACHING, PAPER, PRESENT,
        ],
    ),
    (
        CLI,
        &[
            MODEL, CHANCE, GYM, SCIENCE, CHECK, FORMULATE, OPTIMISE, TRADEOFF, ESTIMATE, STORE, FORMATS,
            COACHING, PAPER, PRESENT, WEB,
        ],
    ),
];

/// Libraries that are the business of these crates of the product alone, their tests left aside.
const ONLY_IN: &[(&str, &[&str])] = &[
    ("clap", &[CLI]),
    ("clap_complete", &[CLI]),
    ("indicatif", &[CLI]),
    ("terminal_size", &[CLI]),
    ("axum", &[WEB]),
    ("maud", &[WEB]),
    ("tower-http", &[WEB]),
    ("tokio-rustls", &[WEB]),
    ("tracing", &[WEB, CLI]),
    ("tracing-subscriber", &[WEB]),
    ("sqlx", &[STORE]),
    ("krilla", &[PAPER]),
    ("resvg", &[PAPER]),
    ("rand_xoshiro", &[CHANCE]),
    ("aes-gcm-siv", &[STORE]),
    ("getrandom", &[STORE, CLI]),
    ("jiff", &[PRESENT, CLI]),
];

/// Crates of the product that use a library which is another's business.
pub fn check_libraries(metadata: &Metadata) -> Vec<Breach> {
    let of = |package: &Package| {
        let shipped = package.dependencies.iter().filter(|d| d.kind.as_deref() != Some("dev"));
        let name = package.name.clone();
        let misplaced = shipped.filter_map(move |dependency| {
            let (library, crates) = ONLY_IN.iter().find(|(library, _)| *library == dependency.name)?;
            let what = || format!("uses {library}, which is the business of {}", crates.join(" and "));
            (!crates.contains(&name.as_str())).then(|| Breach::of(&name, what()))
        });
        misplaced.collect::<Vec<_>>()
    };
    metadata.product().flat_map(of).collect()
}

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
                ("crates/cli", CLI, &[MODEL, SCIENCE, OPTIMISE]),
                ("dev/evidence", "setwright-evidence", &[MODEL, OPTIMISE, CLI]),
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
                ("crates/model", MODEL, &[CLI, "setwright-xtask"]),
                ("crates/cli", CLI, &["setwright-xtask"]),
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
    fn a_library_stays_where_it_is_the_business_but_for_tests() {
        let told = |kind: Option<&str>| {
            let mut metadata = workspace(&[("crates/web", WEB, &["axum", "clap", "serde"])]);
            metadata.packages[0].dependencies.iter_mut().for_each(|d| d.kind = kind.map(Into::into));
            check_libraries(&metadata).iter().map(ToString::to_string).collect::<Vec<_>>()
        };
        assert_eq!(told(None), ["setwright-web: uses clap, which is the business of setwright"]);
        assert_eq!(told(Some("dev")), [""; 0]);
    }

    #[test]
    fn a_new_crate_needs_a_place() {
        assert_eq!(breaches(&[("crates/surprise", "setwright-surprise", &[])]).len(), 1);
    }
}
