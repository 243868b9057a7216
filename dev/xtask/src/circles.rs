//! Files at the top of a crate know each other in one direction. A circle makes one big file of several: none of them can be read,
//! tested or moved without the others.
//!
//! What stands in `use` lines and in paths is read; what a macro makes is not seen. `lib.rs` stands above all others, so what it defines
//! itself is known to no file that it calls: a name that is defined there closes a circle as any other.

use crate::Breach;
use crate::source::{Source, is_test_file};
use crate::tree::{Tree, has_extension};
use std::collections::{BTreeMap, BTreeSet};

/// Circles that are there and have to go, each a crate and its files. There is none, and none is ever added.
const STANDING: &[(&str, &[&str])] = &[];

/// Each top-level file or folder of a crate with those that it knows.
type Graph = BTreeMap<String, BTreeSet<String>>;

/// Circles that are not among the standing ones, and standing ones that are gone or smaller.
pub fn check(tree: &Tree) -> Vec<Breach> {
    check_against(tree, STANDING)
}

fn check_against(tree: &Tree, standing: &[(&str, &[&str])]) -> Vec<Breach> {
    let mut breaches = Vec::new();
    let mut left: Vec<(&str, BTreeSet<String>)> = standing
        .iter()
        .map(|(name, files)| (*name, files.iter().map(|f| (*f).to_owned()).collect()))
        .collect();
    for name in crates(tree) {
        for circle in circles(&graph(tree, &name)) {
            if let Some(place) = left.iter().position(|(of, files)| *of == name && *files == circle) {
                left.swap_remove(place);
            } else {
                let files = circle.into_iter().collect::<Vec<_>>().join(", ");
                let what = format!("files know each other in a circle: {files}");
                breaches.push(Breach::of(format!("crates/{name}"), what));
            }
        }
    }
    let gone = left.into_iter().map(|(name, files)| {
        let files = files.into_iter().collect::<Vec<_>>().join(", ");
        let what = format!("the circle of {files} is not there as it stands in dev/xtask/src/circles.rs");
        Breach::of(format!("crates/{name}"), what)
    });
    breaches.extend(gone);
    breaches
}

fn crates(tree: &Tree) -> BTreeSet<String> {
    let name = |path: &str| {
        let (name, rest) = path.strip_prefix("crates/")?.split_once('/')?;
        rest.starts_with("src/").then(|| name.to_owned())
    };
    tree.paths().filter_map(name).collect()
}

fn graph(tree: &Tree, name: &str) -> Graph {
    let start = format!("crates/{name}/src/");
    let sources = tree.files().filter(|(path, _)| path.starts_with(&start) && has_extension(path, "rs"));
    let mut graph = Graph::new();
    for (path, text) in sources.filter(|(path, _)| !is_test_file(tree, path)) {
        let inside = path.strip_prefix(&start).unwrap_or(path).trim_end_matches(".rs");
        let module: Vec<&str> = inside.split('/').filter(|part| *part != "mod").collect();
        if let [top, ..] = module[..]
            && !matches!(top, "lib" | "main")
        {
            let known = known(&Source::of(text).code.join("\n"), module.len());
            graph.entry(top.to_owned()).or_default().extend(known.into_iter().filter(|other| other != top));
        }
    }
    if let Some(text) = tree.files().find(|(path, _)| *path == format!("{start}lib.rs")).map(|(_, text)| text)
    {
        add_library(&mut graph, &Source::of(text).code);
    }
    let tops: BTreeSet<String> = graph.keys().cloned().collect();
    for known in graph.values_mut() {
        known.retain(|other| tops.contains(other));
    }
    graph
}

/// Lays `lib.rs` beside the files at the top, as `lib`: known to who uses what it defines, knowing whose functions it calls.
fn add_library(graph: &mut Graph, code: &[impl AsRef<str>]) {
    let own: BTreeSet<String> = code.iter().filter_map(|line| defined(line.as_ref())).collect();
    let called = |top: &String| code.iter().any(|line| names_path(line.as_ref(), top));
    let calls: BTreeSet<String> = graph.keys().filter(|top| called(top)).cloned().collect();
    for known in graph.values_mut().filter(|known| !known.is_disjoint(&own)) {
        known.insert("lib".to_owned());
    }
    graph.insert("lib".to_owned(), calls);
}

/// The name that a line at the top of a file defines.
fn defined(line: &str) -> Option<String> {
    let bare = line.strip_prefix("pub ").unwrap_or(line);
    let bare = bare.strip_prefix("const fn ").map_or_else(|| bare.to_owned(), |rest| format!("fn {rest}"));
    let (word, rest) = bare.split_once(' ')?;
    let is_definition = matches!(word, "struct" | "enum" | "fn" | "const" | "static" | "trait" | "type");
    let name: String = rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
    (is_definition && !name.is_empty()).then_some(name)
}

/// Whether a line that is no re-export goes into a file: `plan::run(`, `use args::Command`.
fn names_path(line: &str, top: &str) -> bool {
    if line.starts_with("pub use ") || line.starts_with("pub mod ") || line.starts_with("mod ") {
        return false;
    }
    line.match_indices(&format!("{top}::")).any(|(at, _)| {
        let before = line.get(..at).and_then(|text| text.chars().next_back());
        !before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '_' | ':'))
    })
}

/// Names that stand where a top-level file is named, in a file so many names below the root.
fn known(code: &str, depth: usize) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let from_root = "super::".repeat(depth);
    for start in ["crate::", from_root.as_str()] {
        for (at, _) in code.match_indices(start) {
            let before = code.get(..at).and_then(|text| text.chars().next_back());
            let begins = !before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '_' | ':'));
            if let Some(rest) = code.get(at + start.len()..).filter(|_| begins) {
                found.extend(heads(rest));
            }
        }
    }
    found
}

/// The first name of a path, or those of a group of paths.
fn heads(path: &str) -> Vec<String> {
    let name = |text: &str| -> String {
        text.trim_start().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
    };
    let Some(group) = path.strip_prefix('{') else { return vec![name(path)] };
    let (mut depth, mut parts) = (0_i32, vec![String::new()]);
    for c in group.chars() {
        match c {
            '}' if depth == 0 => break,
            ',' if depth == 0 => parts.push(String::new()),
            _ => {
                depth += i32::from(c == '{') - i32::from(c == '}');
                parts.last_mut().into_iter().for_each(|part| part.push(c));
            }
        }
    }
    parts.iter().map(|part| name(part)).filter(|part| !part.is_empty()).collect()
}

/// Sets of files of which each reaches each.
fn circles(graph: &Graph) -> Vec<BTreeSet<String>> {
    let reached: BTreeMap<&str, BTreeSet<&str>> =
        graph.keys().map(|from| (from.as_str(), reached(graph, from))).collect();
    let mut circles = Vec::new();
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    for from in graph.keys().map(String::as_str) {
        let back = |to: &&&str| reached.get(**to).is_some_and(|others| others.contains(from));
        let circle: BTreeSet<String> =
            reached[from].iter().filter(back).map(|name| (*name).to_owned()).collect();
        if !circle.is_empty() && !seen.contains(from) {
            seen.extend(graph.keys().map(String::as_str).filter(|name| circle.contains(*name)));
            circles.push(circle);
        }
    }
    circles
}

/// All that is reached from a file over at least one step.
fn reached<'g>(graph: &'g Graph, from: &str) -> BTreeSet<&'g str> {
    let known = |name: &str| graph.get(name).into_iter().flatten().map(String::as_str);
    let mut reached: BTreeSet<&str> = BTreeSet::new();
    let mut open: Vec<&str> = known(from).collect();
    while let Some(next) = open.pop() {
        if reached.insert(next) {
            open.extend(known(next));
        }
    }
    reached
}

#[cfg(test)]
mod tests {
    use super::*;

    fn breaches(files: &[(&str, &str)], standing: &[(&str, &[&str])]) -> Vec<String> {
        check_against(&Tree::of(files), standing).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn one_direction_is_fine_and_a_circle_is_told_once_with_all_its_files() {
        let a = ("crates/a/src/a.rs", "use crate::b;\n");
        let one_way = [a, ("crates/a/src/b.rs", "use crate::c::C;\n"), ("crates/a/src/c.rs", "\n")];
        assert_eq!(breaches(&one_way, &[]), [""; 0]);
        let circle = [
            a,
            ("crates/a/src/b.rs", "use crate::c::C;\n"),
            ("crates/a/src/c.rs", "fn c() { crate::a::f() }\n"),
        ];
        assert_eq!(breaches(&circle, &[]), ["crates/a: files know each other in a circle: a, b, c"]);
    }

    #[test]
    fn groups_and_ways_up_are_read() {
        let group = [
            ("crates/a/src/a.rs", "use crate::{\n    b::{B, C},\n    d,\n};\n"),
            ("crates/a/src/b/mod.rs", "pub mod e;\n"),
            ("crates/a/src/b/e.rs", "use super::super::a::A;\nuse super::f;\n"),
            ("crates/a/src/f.rs", "use super::a;\n"),
        ];
        assert_eq!(breaches(&group, &[]), ["crates/a: files know each other in a circle: a, b"]);
        let up = [("crates/a/src/a.rs", "use super::b;\n"), ("crates/a/src/b.rs", "use super::a::A;\n")];
        assert_eq!(breaches(&up, &[]).len(), 1);
    }

    #[test]
    fn tests_comments_other_crates_and_the_library_itself_are_left_aside() {
        let files = [
            ("crates/a/src/lib.rs", "use crate::a;\nuse crate::b;\n"),
            ("crates/a/src/a.rs", "use crate::b;\n"),
            ("crates/a/src/b.rs", "// use crate::a;\n\n#[cfg(test)]\nmod tests {\n    use crate::a;\n}\n"),
            ("crates/b/src/b.rs", "use crate::a;\n"),
            ("crates/b/src/a.rs", "use other::crate_b::b;\n"),
        ];
        assert_eq!(breaches(&files, &[]), [""; 0]);
    }

    #[test]
    fn what_the_library_defines_is_known_to_no_file_that_it_calls() {
        let lib =
            ("crates/a/src/lib.rs", "mod a;\npub use a::A;\npub struct Reply;\nfn run() { a::run() }\n");
        let of = |code| breaches(&[lib, ("crates/a/src/a.rs", code)], &[]);
        assert_eq!(of("use crate::A;\n"), [""; 0]);
        assert_eq!(of("use super::Reply;\n"), ["crates/a: files know each other in a circle: a, lib"]);
    }

    #[test]
    fn a_standing_circle_passes_until_it_changes() {
        let files = [("crates/a/src/a.rs", "use crate::b;\n"), ("crates/a/src/b.rs", "use crate::a;\n")];
        assert_eq!(breaches(&files, &[("a", &["a", "b"])]), [""; 0]);
        assert_eq!(breaches(&files, &[("a", &["a", "b", "c"])]).len(), 2);
        assert_eq!(breaches(&[("crates/a/src/a.rs", "")], &[("a", &["a", "b"])]).len(), 1);
    }
}
