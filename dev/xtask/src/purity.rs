//! The inner crates are functions of their arguments: they touch no file, clock, network, process or environment.
//! What a crate could reach through a dependency is not seen here; `docs/architecture.md` keeps those few.

use crate::Breach;
use crate::source::{Source, has_word, is_test_file};
use crate::tree::{Tree, has_extension};

const PURE: &[&str] = &[
    "model",
    "chance",
    "science",
    "check",
    "formulate",
    "optimise",
    "tradeoff",
    "estimate",
    "paper",
    "present",
];

/// Modules of the standard library that reach outside.
const MODULES: &[&str] = &["fs", "env", "net", "process"];

/// Single names that do.
const NAMES: &[&str] =
    &["SystemTime", "Instant", "thread::sleep", "RandomState", "stdin", "stdout", "stderr"];

/// Lines of inner crates that reach outside.
pub fn check(tree: &Tree) -> Vec<Breach> {
    tree.files()
        .filter(|(path, _)| is_inner(path) && !is_test_file(tree, path))
        .flat_map(|(path, text)| check_file(path, text))
        .collect()
}

fn is_inner(path: &str) -> bool {
    let inside = |name: &&str| path.starts_with(&format!("crates/{name}/src/"));
    PURE.iter().any(inside) && has_extension(path, "rs")
}

fn check_file(path: &str, text: &str) -> Vec<Breach> {
    let source = Source::of(text);
    let found = source.numbered().filter_map(|(number, line)| Some((number, reaches(line)?)));
    let breach = |(number, name)| {
        Breach::at(path, number, format!("reaches outside with `{name}`: take what it gives as an argument"))
    };
    found.map(breach).collect()
}

/// What on this line reaches outside.
fn reaches(line: &str) -> Option<&'static str> {
    let grouped = line.trim_start().starts_with("use std::{");
    let module = |name: &&&str| has_word(line, &format!("std::{name}")) || (grouped && has_word(line, name));
    MODULES.iter().find(module).or_else(|| NAMES.iter().find(|name| has_word(line, name))).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(path: &str, text: &str) -> Vec<usize> {
        check(&Tree::of(&[(path, text)])).iter().map(|breach| breach.line).collect()
    }

    #[test]
    fn reaching_outside_is_seen_however_it_is_imported() {
        for line in [
            "use std::fs;",
            "use std::{fmt, fs};",
            "let home = std::env::var(\"HOME\");",
            "use std::time::{Duration, Instant};",
            "std::io::stdout();",
            "std::thread::sleep(a);",
        ] {
            assert_eq!(lines("crates/science/src/a.rs", line), [1], "{line}");
        }
    }

    #[test]
    fn files_in_the_build_and_talk_about_clocks_are_fine() {
        for line in [
            "include_str!(\"a.toml\");",
            "// no Instant here",
            "use std::{fmt, iter};",
            "let environment = 1;",
        ] {
            assert_eq!(lines("crates/science/src/a.rs", line), [0; 0], "{line}");
        }
    }

    #[test]
    fn the_program_and_tests_may() {
        assert_eq!(lines("crates/cli/src/clock.rs", "use std::time::Instant;"), [0; 0]);
        assert_eq!(lines("crates/check/tests/all.rs", "use std::fs;"), [0; 0]);
        assert_eq!(
            lines("crates/check/src/a.rs", "#[cfg(test)]\nmod tests {\n    use std::fs;\n}\n"),
            [0; 0]
        );
    }
}
