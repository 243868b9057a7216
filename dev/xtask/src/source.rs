//! Plain-text questions about Rust sources, shared by the rules. Not a parser: it relies on rustfmt's layout.

/// Whether a Rust file holds nothing but tests.
pub fn is_test_file(path: &str) -> bool {
    path.contains("/tests/")
        || path.ends_with("/tests.rs")
        || path.ends_with("/testing.rs")
        || path.contains("/benches/")
}

/// Lines of a source with their numbers from 1, up to the block of tests that closes the file.
pub fn before_tests(text: &str) -> Vec<(usize, &str)> {
    let lines: Vec<&str> = text.lines().collect();
    let opens_tests = |at: &usize| {
        let next = lines[at + 1..].iter().find(|line| !line.starts_with("#["));
        lines[*at] == "#[cfg(test)]" && next.is_some_and(|line| has_word(line, "mod") && line.ends_with('{'))
    };
    let end = (0..lines.len()).find(opens_tests).unwrap_or(lines.len());
    lines[..end].iter().enumerate().map(|(at, line)| (at + 1, *line)).collect()
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

/// The line without what stands in quotes or behind `//`.
pub fn bare(line: &str) -> String {
    let mut kept = String::new();
    let mut quoted = false;
    let mut chars = line.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '\\' if quoted => {
                chars.next();
            }
            '"' => quoted = !quoted,
            '/' if !quoted && chars.peek() == Some(&'/') => break,
            _ if !quoted => kept.push(c),
            _ => {}
        }
    }
    kept
}

/// The comment that ends directly above, attributes passed over.
pub fn comment_above(before: &[&str]) -> String {
    let belongs = |line: &&&str| is_comment(line) || line.trim_start().starts_with("#[");
    let mut lines: Vec<&str> = before.iter().rev().take_while(belongs).copied().collect();
    lines.reverse();
    lines.iter().map(|line| line.trim_start().trim_start_matches('/').trim()).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_closing_tests_are_left_out() {
        let text = "fn a() {}\n\n#[cfg(test)]\n#[expect(lint)]\npub(crate) mod tests {\n}\n";
        assert_eq!(before_tests(text), [(1, "fn a() {}"), (2, "")]);
    }

    #[test]
    fn tests_in_a_file_of_their_own_end_nothing() {
        let text = "#[cfg(test)]\nmod tests;\nfn a() {}\n";
        assert_eq!(before_tests(text).len(), 3);
    }

    #[test]
    fn a_word_is_not_found_inside_another() {
        assert!(has_word("the sum(of) it", "of"));
        assert!(!has_word("offer of_it soft", "of"));
    }

    #[test]
    fn files_of_tests_are_known_by_their_place() {
        assert!(is_test_file("crates/app/tests/all.rs") && is_test_file("crates/check/src/clock/tests.rs"));
        assert!(!is_test_file("crates/app/src/main.rs"));
    }
}
