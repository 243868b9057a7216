//! Every crate takes the lints of the workspace, and the exceptions that would open a hole stay where they belong.
//! That an exception carries a reason is held by clippy itself.

use crate::Breach;
use crate::source::{Source, is_test_file};
use crate::tree::{Tree, has_extension};

/// Lints that may be lifted only in these places (beside tests and `dev/`), and why.
const CONFINED: &[(&[&str], &[&str], &str)] = &[
    (&["clippy::print_stdout", "clippy::print_stderr"], &["crates/cli/src"], "only the command line prints"),
    (
        &["clippy::disallowed_methods", "clippy::iter_over_hash_type"],
        &["crates/cli/src/clock.rs"],
        "the same seed gives the same answer on any machine, and only the program's clock tells the time",
    ),
    (
        &["clippy::disallowed_types"],
        &["crates/optimise/src/session_dp.rs", "crates/paper/src/narrow.rs"],
        "only whole numbers are summed in narrow floats and only painters take them, each in one place",
    ),
    (&["unsafe_code", "clippy::todo", "clippy::unimplemented"], &[], "never"),
];

/// Crates without the lints of the workspace, and lints lifted where they must not be.
pub fn check(tree: &Tree) -> Vec<Breach> {
    let judge = |(path, text)| match path {
        path if is_manifest(path) => manifest(path, text),
        path if path.starts_with("crates/") && has_extension(path, "rs") && !is_test_file(tree, path) => {
            lifted(path, text)
        }
        _ => Vec::new(),
    };
    tree.files().flat_map(judge).collect()
}

fn is_manifest(path: &str) -> bool {
    path.ends_with("/Cargo.toml")
}

fn manifest(path: &str, text: &str) -> Vec<Breach> {
    if text.contains("[lints]\nworkspace = true\n") {
        return Vec::new();
    }
    vec![Breach::of(path, "does not take the lints of the workspace: add `[lints]` with `workspace = true`")]
}

fn lifted(path: &str, text: &str) -> Vec<Breach> {
    let source = Source::of(text);
    let mut breaches = Vec::new();
    let mut lifting = false;
    for (number, line) in source.numbered() {
        lifting |= line.contains("allow(") || line.contains("expect(");
        for (lints, places, why) in CONFINED {
            let found = lints.iter().find(|lint| lifting && line.contains(**lint));
            if let Some(lint) = found.filter(|_| !places.iter().any(|place| path.starts_with(place))) {
                breaches.push(Breach::at(path, number, format!("lifts `{lint}` where it must hold: {why}")));
            }
        }
        lifting &= !line.contains(")]");
    }
    breaches
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(path: &str, text: &str) -> Vec<usize> {
        check(&Tree::of(&[(path, text)])).iter().map(|breach| breach.line).collect()
    }

    #[test]
    fn a_crate_takes_the_lints_of_the_workspace() {
        assert_eq!(lines("crates/a/Cargo.toml", "[package]\n\n[lints]\nworkspace = true\n"), [0; 0]);
        assert_eq!(lines("crates/a/Cargo.toml", "[package]\nname = \"a\"\n"), [0]);
    }

    #[test]
    fn printing_belongs_to_the_command_line() {
        let text = "//! A.\n#![allow(clippy::print_stdout, reason = \"talks\")]\n";
        assert_eq!(lines("crates/cli/src/plan.rs", text), [0; 0]);
        assert_eq!(lines("crates/coaching/src/plan.rs", text), [2]);
        assert_eq!(lines("dev/xtask/src/main.rs", text), [0; 0]);
    }

    #[test]
    fn the_clock_belongs_to_the_program_and_an_exception_over_several_lines_is_seen() {
        let text = "#[expect(\n    clippy::disallowed_methods,\n    reason = \"now\"\n)]\nfn now() {}\n";
        assert_eq!(lines("crates/cli/src/clock.rs", text), [0; 0]);
        assert_eq!(lines("crates/optimise/src/search.rs", text), [2]);
    }

    #[test]
    fn unsafe_code_is_allowed_nowhere() {
        assert_eq!(lines("crates/cli/src/lib.rs", "#![allow(unsafe_code)]\n"), [1]);
    }

    #[test]
    fn tests_and_talk_about_lints_are_left_aside() {
        let lifted = "#[allow(clippy::disallowed_methods, reason = \"a timing\")]\n";
        assert_eq!(lines("crates/optimise/tests/all.rs", lifted), [0; 0]);
        assert_eq!(lines("crates/optimise/src/a.rs", &format!("// {lifted}")), [0; 0]);
        assert_eq!(
            lines("crates/optimise/src/a.rs", &format!("#[cfg(test)]\nmod tests {{\n{lifted}}}\n")),
            [0; 0]
        );
    }

    #[test]
    fn other_exceptions_are_the_reviewer_s_matter() {
        assert_eq!(
            lines("crates/check/src/a.rs", "#[expect(clippy::float_cmp, reason = \"exact\")]\n"),
            [0; 0]
        );
    }
}
