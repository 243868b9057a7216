//! The rules of the tree that no compiler holds, each a function over texts or over what cargo says of the crates.
//!
//! Invariant: a rule reads nothing by itself. Files and cargo are read in [`tree`] and [`cargo`], so that every
//! rule can be shown a tree that breaks it. Nothing here changes a file.

pub mod architecture;
pub mod cargo;
pub mod circles;
pub mod constants;
pub mod dependencies;
pub mod direction;
pub mod figures;
pub mod layout;
pub mod length;
pub mod lints;
pub mod modules;
pub mod names;
pub mod one_place;
pub mod paths;
pub mod purity;
pub mod source;
pub mod sourced;
pub mod tree;
pub mod words;

use cargo::Metadata;
use std::error::Error;
use std::fmt;
use std::path::{Path, PathBuf};
use tree::Tree;

/// A place where a rule is broken.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Breach {
    /// The file, from the root of the repository; the name of a crate where no file is meant.
    pub path: String,
    /// The line, from 1; 0 when the whole file is meant.
    pub line: usize,
    /// What is wrong, and what would be right.
    pub what: String,
}

impl Breach {
    /// A breach at a line.
    pub fn at(path: impl Into<String>, line: usize, what: impl Into<String>) -> Self {
        Self { path: path.into(), line, what: what.into() }
    }

    /// A breach of a whole file or crate.
    pub fn of(path: impl Into<String>, what: impl Into<String>) -> Self {
        Self::at(path, 0, what)
    }
}

impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            0 => write!(f, "{}: {}", self.path, self.what),
            line => write!(f, "{}:{line}: {}", self.path, self.what),
        }
    }
}

/// A rule with the name it is reported under.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// What holds where the rule is kept.
    pub name: &'static str,
    check: fn(&Tree, &Metadata) -> Vec<Breach>,
}

impl Rule {
    /// Where the rule is broken.
    pub fn breaches(&self, tree: &Tree, metadata: &Metadata) -> Vec<Breach> {
        (self.check)(tree, metadata)
    }
}

/// All rules.
pub const RULES: &[Rule] = &[
    Rule { name: "crates know each other in one direction", check: |_, cargo| direction::check(cargo) },
    Rule { name: "libraries stay in their crates", check: |_, cargo| direction::check_libraries(cargo) },
    Rule { name: "libraries stay in their files", check: |tree, _| one_place::check(tree) },
    Rule { name: "files of a crate know each other in one direction", check: |tree, _| circles::check(tree) },
    Rule { name: "dependencies are explained", check: dependencies::check },
    Rule { name: "the architecture page knows every crate", check: |tree, _| architecture::check(tree) },
    Rule { name: "tables of modules are whole", check: |tree, _| modules::check(tree) },
    Rule { name: "files are short", check: |tree, _| length::check(tree) },
    Rule { name: "crates are small enough to be known whole", check: |tree, _| length::check_crates(tree) },
    Rule { name: "paths named in the documentation exist", check: |tree, _| paths::check(tree) },
    Rule { name: "constants name their source", check: |tree, _| constants::check(tree) },
    Rule { name: "figures inside functions name their source", check: |tree, _| figures::check(tree) },
    Rule { name: "names are plain or in the glossary", check: |tree, _| names::check(tree) },
    Rule { name: "no two public types have one name", check: |tree, _| names::check_once(tree) },
    Rule { name: "unwanted words are absent", check: |tree, _| words::check(tree) },
    Rule { name: "files open with what they are for", check: |tree, _| layout::check(tree) },
    Rule { name: "lints are kept", check: |tree, _| lints::check(tree) },
    Rule { name: "inner crates stay pure", check: |tree, _| purity::check(tree) },
];

/// The root of this repository.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// All breaches of all rules in the repository at `root`, with the rule's name.
pub fn tidy(root: &Path) -> Result<Vec<(&'static str, Breach)>, Box<dyn Error>> {
    let tree = Tree::read(root)?;
    let metadata = Metadata::read(root)?;
    let named = |rule: &Rule| {
        let name = rule.name;
        rule.breaches(&tree, &metadata).into_iter().map(move |breach| (name, breach)).collect::<Vec<_>>()
    };
    Ok(RULES.iter().flat_map(named).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_breach_is_shown_as_an_editor_can_follow_it() {
        assert_eq!(Breach::at("crates/a.rs", 7, "is wrong").to_string(), "crates/a.rs:7: is wrong");
        assert_eq!(Breach::of("crates/a.rs", "is wrong").to_string(), "crates/a.rs: is wrong");
    }
}
