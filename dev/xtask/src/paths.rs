//! Every path and link in the documentation leads somewhere, and so does a function that is named after its file. The changelog is left aside: it tells of the past.

use crate::Breach;
use crate::tree::{Tree, has_extension};

/// What a path of this repository starts with.
const STARTS: &[&str] = &["crates/", "dev/", "docs/", "data/", ".ci/"];

/// Signs of a path that is only a form to be filled in.
const PLACEHOLDERS: &[char] = &['<', '…', '$'];

/// Paths and links that lead nowhere.
pub fn check(tree: &Tree) -> Vec<Breach> {
    let pages = tree.files().filter(|(path, _)| is_page(path));
    pages.flat_map(|(path, text)| check_page(tree, path, text)).collect()
}

fn is_page(path: &str) -> bool {
    has_extension(path, "md") && path != "CHANGELOG.md"
}

fn check_page(tree: &Tree, page: &str, text: &str) -> Vec<Breach> {
    let mut breaches = Vec::new();
    let mut fenced = false;
    for (at, line) in text.lines().enumerate() {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
            continue;
        }
        let named = if fenced { named_in(line) } else { spans(line).flat_map(named_in).collect() };
        let lost = named.into_iter().filter(|path| !leads_somewhere(tree, path));
        breaches.extend(
            lost.map(|path| Breach::at(page, at + 1, format!("names {path:?}, which does not exist"))),
        );
        if !fenced {
            let broken = links(line).filter(|link| !tree.has(&resolved(page, link)));
            breaches
                .extend(broken.map(|link| {
                    Breach::at(page, at + 1, format!("links to {link:?}, which does not exist"))
                }));
        }
    }
    breaches
}

/// What stands between backticks.
fn spans(line: &str) -> impl Iterator<Item = &str> {
    line.split('`').skip(1).step_by(2)
}

/// The paths of this repository in a piece of code.
fn named_in(code: &str) -> Vec<&str> {
    code.split_whitespace()
        .map(|word| word.trim_matches(|c: char| matches!(c, '"' | '\'' | '(' | ')' | ',' | ';' | ':')))
        .filter(|word| STARTS.iter().any(|start| word.starts_with(start)))
        .filter(|word| !word.contains(PLACEHOLDERS))
        .collect()
}

/// Targets of the links of a line that stay inside the repository.
fn links(line: &str) -> impl Iterator<Item = &str> {
    let targets = line.split("](").skip(1).filter_map(|rest| rest.split_once(')').map(|(target, _)| target));
    let files = targets.map(|target| target.split_once('#').map_or(target, |(file, _)| file));
    files.filter(|file| !file.is_empty() && !file.contains(':'))
}

/// The target of a link, from the root of the repository.
fn resolved(page: &str, link: &str) -> String {
    let mut parts: Vec<&str> = page.split('/').collect();
    parts.pop();
    for part in link.split('/') {
        match part {
            "." | "" => {}
            ".." => {
                parts.pop();
            }
            name => parts.push(name),
        }
    }
    parts.join("/")
}

fn leads_somewhere(tree: &Tree, path: &str) -> bool {
    if let Some((file, name)) = path.split_once("::") {
        return tree.text(file).is_some_and(|text| defines(text, name));
    }
    let (path, _line) = path.split_once(':').unwrap_or((path, ""));
    alternatives(path).iter().all(|path| {
        let path = path.trim_end_matches(['/', '.']);
        if path.contains('*') { tree.paths().any(|found| matches(path, found)) } else { tree.has(path) }
    })
}

/// Whether a file has a function of this name: `crates/model/src/answer.rs::gap`.
fn defines(text: &str, name: &str) -> bool {
    let begins = |kind: &str| {
        let wanted = format!("{kind} {name}");
        text.match_indices(&wanted).any(|(at, _)| {
            let after = text.get(at + wanted.len()..).and_then(|rest| rest.chars().next());
            !after.is_some_and(|c| c.is_alphanumeric() || c == '_')
        })
    };
    begins("fn") || begins("function")
}

/// `a/{b,c}` as `a/b` and `a/c`.
fn alternatives(path: &str) -> Vec<String> {
    let braces = path.split_once('{').and_then(|(head, rest)| Some((head, rest.split_once('}')?)));
    let Some((head, (choices, tail))) = braces else { return vec![path.to_owned()] };
    choices.split(',').flat_map(|choice| alternatives(&format!("{head}{}{tail}", choice.trim()))).collect()
}

/// Whether a path fits a pattern in which `*` stands for anything.
fn matches(pattern: &str, path: &str) -> bool {
    let Some((head, rest)) = pattern.split_once('*') else { return pattern == path };
    let Some(after) = path.strip_prefix(head) else { return false };
    (0..=after.len()).filter_map(|at| after.get(at..)).any(|tail| matches(rest, tail))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is said of a page in `docs/` of a small tree.
    fn breaches(text: &str) -> Vec<String> {
        let main = ("crates/cli/src/main.rs", "pub async fn go_on(x: u8) {}\n");
        let files = [("docs/guide/a.md", text), ("docs/b.md", ""), main, (".ci/run", "")];
        check(&Tree::of(&files)).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn files_folders_and_lines_that_exist_are_fine() {
        assert_eq!(breaches("See `crates/cli`, `crates/cli/src/main.rs:7` and `.ci/run`."), [""; 0]);
        assert_eq!(breaches("See `docs/{b,guide/a}.md`, `crates/*/src/main.rs`."), [""; 0]);
    }

    #[test]
    fn a_function_that_is_named_after_its_file_is_there() {
        assert_eq!(breaches("Then `crates/cli/src/main.rs::go_on` goes on."), [""; 0]);
        assert_eq!(breaches("Then `crates/cli/src/main.rs::go` goes.").len(), 1, "another function");
        assert_eq!(breaches("Then `crates/cli/src/gone.rs::go_on` goes on.").len(), 1, "no such file");
    }

    #[test]
    fn a_path_that_does_not_exist_is_named_with_its_line() {
        assert_eq!(
            breaches("fine\nsee `crates/gone/src/lib.rs` now"),
            ["docs/guide/a.md:2: names \"crates/gone/src/lib.rs\", which does not exist"]
        );
        assert_eq!(breaches("`docs/{b,c}.md`").len(), 1);
        assert_eq!(breaches("`crates/*/src/gone.rs`").len(), 1);
    }

    #[test]
    fn paths_in_commands_and_in_fenced_code_count() {
        assert_eq!(breaches("run `setwright plan data/gone.toml`").len(), 1);
        assert_eq!(breaches("```sh\nsetwright plan data/gone.toml\n```\n").len(), 1);
        assert_eq!(breaches("```sh\n.ci/run # everything\n```\n"), [""; 0]);
    }

    #[test]
    fn what_is_no_path_of_ours_is_left_aside() {
        assert_eq!(breaches("see crates/gone, `src/gone.rs`, `crates/<name>` and `std::fs`"), [""; 0]);
    }

    #[test]
    fn links_are_followed_from_the_page() {
        assert_eq!(breaches("[b](../b.md#top) [c](https://example.org/c.md) [d](#d)"), [""; 0]);
        assert_eq!(breaches("[b](b.md)"), ["docs/guide/a.md:1: links to \"b.md\", which does not exist"]);
    }

    #[test]
    fn the_changelog_may_tell_of_what_is_gone() {
        assert_eq!(check(&Tree::of(&[("CHANGELOG.md", "`crates/gone`")])), []);
        assert_eq!(
            check(&Tree::of(&[("README.md", "`crates/gone`"), ("data/README.md", "[a](a.md)")])).len(),
            2
        );
    }
}
