//! The glossary and the names of public types, held to each other: a type whose name is not plain English has a row, and
//! a row names no type that is gone. What is plain English is a list that somebody has to add to. No two public types have one name, so
//! that a name means one thing wherever it is met.

use crate::Breach;
use crate::source::{Source, is_test_file};
use crate::tree::{Tree, has_extension};
use std::collections::{BTreeMap, BTreeSet};

/// Where words are explained.
const GLOSSARY: &str = "docs/glossary.md";

/// Words of names that need no row: plain English, or of the language's craft.
const PLAIN: &str = include_str!("../plain-words.txt");

/// What a type is declared with.
const KINDS: &[&str] = &["struct", "enum", "trait", "type"];

/// Types that the glossary does not know, and rows and plain words that no type needs.
pub fn check(tree: &Tree) -> Vec<Breach> {
    check_against(tree, PLAIN)
}

/// Public types that are called like another one.
pub fn check_once(tree: &Tree) -> Vec<Breach> {
    let mut first: BTreeMap<String, Declared> = BTreeMap::new();
    let mut breaches = Vec::new();
    for (name, place) in declared(tree).into_iter().filter(|(_, place)| place.public) {
        match first.get(&name) {
            None => drop(first.insert(name, place)),
            Some(other) => {
                let what = format!("{name} is also the name of a type in {}:{}", other.path, other.line);
                breaches.push(Breach::at(place.path, place.line, what));
            }
        }
    }
    breaches
}

fn check_against(tree: &Tree, plain: &str) -> Vec<Breach> {
    let Some((_, glossary)) = tree.files().find(|(path, _)| *path == GLOSSARY) else { return Vec::new() };
    let (terms, named) = read(glossary);
    let all = types(tree);
    let mut unused: BTreeSet<&str> = plain.lines().collect();
    let mut breaches = Vec::new();
    for (name, place) in all.iter().filter(|(_, place)| place.public) {
        let missing: Vec<String> = words(name)
            .into_iter()
            .filter(|w| !unused.remove(w.as_str()) && !plain.lines().any(|p| p == w) && !terms.contains(w))
            .collect();
        if !named.contains_key(name.as_str()) && !missing.is_empty() {
            let what =
                format!("{name} is not in {GLOSSARY}, and {missing:?} not in dev/xtask/plain-words.txt");
            breaches.push(Breach::at(&place.path, place.line, what));
        }
    }
    let gone = named.iter().filter(|(name, _)| !all.contains_key(**name));
    breaches
        .extend(gone.map(|(name, line)| Breach::at(GLOSSARY, *line, format!("no type is called {name}"))));
    let stale = unused.into_iter().map(|word| format!("no public type needs {word:?}"));
    breaches.extend(stale.map(|what| Breach::of("dev/xtask/plain-words.txt", what)));
    breaches
}

/// Words that have a row, and the types that rows name in backticks with their lines.
fn read(glossary: &str) -> (BTreeSet<String>, BTreeMap<&str, usize>) {
    let (mut terms, mut named) = (BTreeSet::new(), BTreeMap::new());
    for (at, line) in glossary.lines().enumerate() {
        let Some(term) = line.strip_prefix("| ").and_then(|rest| rest.split(" | ").next()) else { continue };
        let outside: String = term.split('`').step_by(2).collect();
        let spoken = outside.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty());
        terms.extend(spoken.map(str::to_lowercase));
        let types = line.split('`').skip(1).step_by(2).filter(|n| n.starts_with(char::is_uppercase));
        named.extend(types.map(|name| (name, at + 1)));
    }
    (terms, named)
}

/// Where a type is declared.
struct Declared {
    path: String,
    line: usize,
    public: bool,
}

/// Types of the crates, each with the first place that declares it.
fn types(tree: &Tree) -> BTreeMap<String, Declared> {
    let mut types: BTreeMap<String, Declared> = BTreeMap::new();
    for (name, place) in declared(tree) {
        if types.get(&name).is_none_or(|known| !known.public && place.public) {
            types.insert(name, place);
        }
    }
    types
}

/// Every type of the crates, in the order of files and lines.
fn declared(tree: &Tree) -> Vec<(String, Declared)> {
    let sources = tree.files().filter(|(path, _)| {
        path.starts_with("crates/") && path.contains("/src/") && has_extension(path, "rs")
    });
    let mut all = Vec::new();
    for (path, text) in sources.filter(|(path, _)| !is_test_file(tree, path)) {
        for (line, code) in Source::of(text).numbered() {
            let (public, code) = code.strip_prefix("pub ").map_or((false, code), |rest| (true, rest));
            let code =
                code.strip_prefix("pub(crate) ").or_else(|| code.strip_prefix("pub(super) ")).unwrap_or(code);
            let Some((_, rest)) = code.split_once(' ').filter(|(kind, _)| KINDS.contains(kind)) else {
                continue;
            };
            let name: String = rest.chars().take_while(|c| c.is_alphanumeric()).collect();
            all.push((name, Declared { path: path.to_owned(), line, public }));
        }
    }
    all
}

/// The words of a name, in lower case.
fn words(name: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for c in name.chars() {
        match words.last_mut() {
            Some(word) if !c.is_uppercase() => word.push(c),
            _ => words.push(c.to_lowercase().collect()),
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROWS: &str = "| word | meaning |\n|--|--|\n| belief | What is thought. |\n| unit of work (`UnitOfWork`) | An open ledger. |\n";

    fn breaches(code: &str, glossary: &str, plain: &str) -> Vec<String> {
        let tree = Tree::of(&[("crates/a/src/lib.rs", code), (GLOSSARY, glossary)]);
        check_against(&tree, plain).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_type_is_plain_english_or_has_a_row() {
        let code = "pub struct UnitOfWork;\npub enum BeliefState { A }\nstruct Gizmo;\n";
        assert_eq!(breaches(code, ROWS, "state"), [""; 0]);
        assert_eq!(
            breaches(&format!("{code}pub trait Gizmo {{}}\n"), ROWS, "state"),
            [
                "crates/a/src/lib.rs:4: Gizmo is not in docs/glossary.md, and [\"gizmo\"] not in dev/xtask/plain-words.txt"
            ]
        );
    }

    #[test]
    fn a_row_names_no_type_that_is_gone() {
        assert_eq!(breaches("", ROWS, ""), ["docs/glossary.md:4: no type is called UnitOfWork"]);
    }

    #[test]
    fn a_plain_word_is_needed() {
        let code = "pub struct UnitOfWork;\n";
        assert_eq!(
            breaches(code, ROWS, "state"),
            ["dev/xtask/plain-words.txt: no public type needs \"state\""]
        );
    }

    #[test]
    fn a_public_name_is_taken_once() {
        let files = [
            ("crates/a/src/lib.rs", "pub struct Place;\nstruct Known;\n"),
            ("crates/b/src/lib.rs", "pub enum Place {}\npub struct Known;\n"),
        ];
        let found: Vec<String> = check_once(&Tree::of(&files)).iter().map(ToString::to_string).collect();
        assert_eq!(
            found,
            ["crates/b/src/lib.rs:1: Place is also the name of a type in crates/a/src/lib.rs:1"]
        );
    }

    #[test]
    fn names_are_taken_apart_at_capitals() {
        assert_eq!(words("ConnectionTimeouts"), ["connection", "timeouts"]);
        assert_eq!(words("E1RM").len(), 3);
    }
}
