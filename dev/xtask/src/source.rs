//! Plain-text questions about Rust sources, shared by the rules. Not a parser: it relies on rustfmt's layout.

use crate::tree::Tree;

/// A source up to the block of tests that closes the file.
#[derive(Clone, Debug)]
pub struct Source<'a> {
    /// The lines as they are.
    pub lines: Vec<&'a str>,
    /// The same lines without comments and without what stands in quotes.
    pub code: Vec<String>,
}

impl<'a> Source<'a> {
    /// The source of a file with this text.
    pub fn of(text: &'a str) -> Self {
        let lines = before_tests(text);
        let code = bare(&lines.join("\n")).split('\n').map(str::to_owned).collect();
        Self { lines, code }
    }

    /// Lines of code with their numbers from 1.
    pub fn numbered(&self) -> impl Iterator<Item = (usize, &str)> {
        self.code.iter().enumerate().map(|(at, line)| (at + 1, line.as_str()))
    }

    /// The comment that ends directly above a line given by its place from 0, attributes passed over.
    pub fn comment_above(&self, at: usize) -> String {
        let belongs = |line: &&&str| is_comment(line) || line.trim_start().starts_with("#[");
        let mut lines: Vec<&str> = self.lines[..at].iter().rev().take_while(belongs).copied().collect();
        lines.reverse();
        lines
            .iter()
            .map(|line| line.trim_start().trim_start_matches('/').trim())
            .collect::<Vec<_>>()
            .join(" ")
    }
}

fn before_tests(text: &str) -> Vec<&str> {
    let lines: Vec<&str> = text.lines().collect();
    let opens_tests = |at: &usize| next_of_tests(&lines, *at).is_some_and(|line| line.ends_with('{'));
    let end = (0..lines.len()).find(opens_tests).unwrap_or(lines.len());
    lines[..end].to_vec()
}

/// The line that opens or names a module of tests, if one is announced at this line.
fn next_of_tests<'a>(lines: &[&'a str], at: usize) -> Option<&'a str> {
    let next = lines[at + 1..].iter().find(|line| !line.starts_with("#["))?;
    (lines[at] == "#[cfg(test)]" && has_word(next, "mod")).then_some(next)
}

/// The text without comments and without what stands in quotes; its lines stay where they are.
fn bare(text: &str) -> String {
    let mut kept = String::new();
    let mut chars = text.chars().peekable();
    let mut quoted = false;
    while let Some(c) = chars.next() {
        match c {
            '\n' => kept.push(c),
            '\\' if quoted => {
                let escaped = chars.next();
                kept.extend(escaped.filter(|c| *c == '\n'));
            }
            '"' => quoted = !quoted,
            _ if quoted => {}
            '\'' => skip_char(&mut chars),
            '/' if chars.peek() == Some(&'/') => while chars.next_if(|c| *c != '\n').is_some() {},
            _ => kept.push(c),
        }
    }
    kept
}

/// Passes over the rest of a character in single quotes; a lifetime is left as it is.
fn skip_char(chars: &mut std::iter::Peekable<std::str::Chars<'_>>) {
    let ahead: Vec<char> = chars.clone().take(3).collect();
    let length = match ahead[..] {
        ['\\', _, '\''] => 3,
        [_, '\'', ..] => 2,
        _ => 0,
    };
    chars.take(length).for_each(drop);
}

/// Whether a Rust file holds nothing but tests: by its place, or because it is named under `cfg(test)`.
pub fn is_test_file(tree: &Tree, path: &str) -> bool {
    let placed = path.contains("/tests/") || path.contains("/benches/") || path.ends_with("/tests.rs");
    let Some((folder, name)) = path.rsplit_once('/') else { return placed };
    let owner = format!("{folder}.rs");
    let heads = ["lib.rs", "main.rs", "mod.rs"].map(|head| format!("{folder}/{head}"));
    let named = || heads.iter().chain([&owner]).any(|parent| names_as_test(tree, parent, name));
    placed || named() || (tree.has(&owner) && is_test_file(tree, &owner))
}

/// Whether the file `parent` has the module in the file called `name` for its tests only.
fn names_as_test(tree: &Tree, parent: &str, name: &str) -> bool {
    let Some(text) = tree.text(parent) else { return false };
    let lines: Vec<&str> = text.lines().collect();
    let item = format!("mod {};", name.trim_end_matches(".rs"));
    (0..lines.len()).any(|at| next_of_tests(&lines, at).is_some_and(|line| line.ends_with(&item)))
}

/// Whether the line is a comment and nothing else.
pub fn is_comment(line: &str) -> bool {
    line.trim_start().starts_with("//")
}

/// Whether `word` stands in `text` with no letter, digit or underscore beside it.
pub fn has_word(text: &str, word: &str) -> bool {
    let part_of_word = |c: char| c.is_alphanumeric() || c == '_';
    text.match_indices(word).any(|(at, _)| {
        let after = text.get(at + word.len()..).and_then(|rest| rest.chars().next());
        !char_before(text, at).is_some_and(part_of_word) && !after.is_some_and(part_of_word)
    })
}

/// The character that ends at byte `at` of the text.
pub fn char_before(text: &str, at: usize) -> Option<char> {
    text.get(..at)?.chars().next_back()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_closing_tests_are_left_out() {
        let text = "fn a() {}\n\n#[cfg(test)]\n#[expect(lint)]\npub(crate) mod tests {\n}\n";
        assert_eq!(before_tests(text), ["fn a() {}", ""]);
    }

    #[test]
    fn tests_in_a_file_of_their_own_end_nothing() {
        let text = "#[cfg(test)]\nmod tests;\nfn a() {}\n";
        assert_eq!(before_tests(text).len(), 3);
    }

    #[test]
    fn comments_and_quotes_are_not_code_even_over_several_lines() {
        assert_eq!(bare("a(\"b; // c\"); // d 1"), "a(); ");
        assert_eq!(bare("a(\"it's \\\n  b 2\\\"3\");\nc"), "a(\n);\nc");
        assert_eq!(bare("a('\"', '\\'', 'b', &'c d)"), "a(, , , &c d)");
    }

    #[test]
    fn the_comment_above_is_read_in_one_piece() {
        let source = Source::of("// far\n\n/// From B\n/// 2020.\n#[rustfmt::skip]\nconst A: u8 = 1;\n");
        assert_eq!(source.comment_above(5), "From B 2020. #[rustfmt::skip]");
    }

    #[test]
    fn a_word_is_not_found_inside_another() {
        assert!(has_word("the sum(of) it", "of"));
        assert!(!has_word("offer of_it soft", "of"));
    }

    #[test]
    fn files_of_tests_are_known_by_their_place_or_by_who_names_them() {
        let tree = Tree::of(&[
            ("crates/a/src/lib.rs", "pub mod b;\n#[cfg(test)]\nmod trials;\n"),
            ("crates/a/src/b/c.rs", "mod e;\n"),
            ("crates/a/src/main.rs", "mod b;\n"),
            ("crates/a/src/b.rs", "#[cfg(test)]\n#[path = \"c\"]\npub(crate) mod c;\nmod d;\n"),
        ]);
        for test in ["crates/a/tests/all.rs", "crates/a/src/b/tests.rs", "crates/a/src/trials.rs"] {
            assert!(is_test_file(&tree, test), "{test}");
        }
        assert!(is_test_file(&tree, "crates/a/src/b/c.rs"));
        assert!(is_test_file(&tree, "crates/a/src/b/c/e.rs"), "a module of a module of tests");
        for code in ["crates/a/src/lib.rs", "crates/a/src/b.rs", "crates/a/src/b/d.rs"] {
            assert!(!is_test_file(&tree, code), "{code}");
        }
    }
}
