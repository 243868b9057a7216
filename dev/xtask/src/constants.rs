//! Every constant of the science says where it comes from, directly above itself.
//! Whether the source says what the constant says is for people and for `dev/evidence` to judge.

use crate::Breach;
use crate::source::{Source, has_word};
use crate::sourced::{how_to_source, is_sourced, of_science};
use crate::tree::Tree;

/// Types that are numbers by themselves.
const NUMBERS: &[&str] =
    &["f64", "f32", "u8", "u16", "u32", "u64", "usize", "i8", "i16", "i32", "i64", "isize", "u128", "i128"];

/// Constants with a number in them whose comment names no source.
pub fn check(tree: &Tree) -> Vec<Breach> {
    of_science(tree).flat_map(|(path, text)| check_file(path, text)).collect()
}

fn check_file(path: &str, text: &str) -> Vec<Breach> {
    let source = Source::of(text);
    let mut breaches = Vec::new();
    for (at, line) in source.code.iter().enumerate() {
        let Some(name) = constant_name(line) else { continue };
        if is_numeric(&definition(&source.code[at..])) && !is_sourced(&source.comment_above(at)) {
            breaches.push(Breach::at(path, at + 1, format!("`{name}` names no source: {}", how_to_source())));
        }
    }
    breaches
}

/// The name of the constant that starts on this line.
pub(crate) fn constant_name(line: &str) -> Option<&str> {
    let mut rest = line.trim_start();
    if let Some(after) = rest.strip_prefix("pub") {
        let after = if after.starts_with('(') { after.split_once(')')?.1 } else { after };
        rest = after.trim_start();
    }
    let rest = rest.strip_prefix("const ").or_else(|| rest.strip_prefix("static "))?;
    let (name, _) = rest.split_once(':')?;
    let is_name = name.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '_');
    is_name.then_some(name)
}

/// The code of a constant from its name to the semicolon that ends it.
pub(crate) fn definition(from: &[String]) -> String {
    let mut kept = String::new();
    let mut depth = 0_i32;
    for line in from {
        for c in line.chars() {
            match c {
                '(' | '[' | '{' => depth += 1,
                ')' | ']' | '}' => depth -= 1,
                ';' if depth == 0 => return kept,
                _ => {}
            }
            kept.push(c);
        }
        kept.push('\n');
    }
    kept
}

/// Whether there is a number in the value, or the type is one.
fn is_numeric(definition: &str) -> bool {
    let (declared, value) = definition.split_once('=').unwrap_or((definition, ""));
    NUMBERS.iter().any(|number| has_word(declared, number)) || has_literal(value)
}

/// Whether a digit stands where a number starts, not inside a name.
fn has_literal(text: &str) -> bool {
    let mut before = ' ';
    for c in text.chars() {
        if c.is_ascii_digit() && !(before.is_alphanumeric() || before == '_') {
            return true;
        }
        before = c;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The lines at which a file of the science breaks the rule.
    fn lines(text: &str) -> Vec<usize> {
        check(&Tree::of(&[("crates/science/src/a.rs", text)])).iter().map(|breach| breach.line).collect()
    }

    #[test]
    fn a_constant_with_a_source_is_fine() {
        assert_eq!(lines("/// Seconds: B 2020 (A).\npub const A: f64 = 1.0;\n"), [0; 0]);
    }

    #[test]
    fn a_long_text_ends_where_it_ends() {
        assert_eq!(
            lines("const A: &str = \"one \\\n    two; \\\n    three\";\n\nfn a() {\n    b(3)\n}\n"),
            [0; 0]
        );
    }

    #[test]
    fn a_constant_without_a_source_is_named_with_its_line() {
        assert_eq!(lines("/// Seconds.\nconst A: f64 = 1.0;\n"), [2]);
        assert_eq!(lines("\nconst A: u32 = 1;\n"), [2]);
        assert_eq!(lines("pub(crate) const A: [f64; 2] = [1.0, 2.0];\n"), [1]);
        assert_eq!(lines("impl B {\n    /// Seconds.\n    pub const A: f64 = 1.0;\n}\n"), [3]);
        assert_eq!(lines("static A: f64 = 1.0;\n"), [1]);
    }

    #[test]
    fn a_source_must_stand_directly_above() {
        assert_eq!(lines("/// From B 2020 (A)\nconst A: f64 = 1.0;\nconst B: f64 = 2.0;\n"), [3]);
        assert_eq!(lines("/// From B 2020 (A)\n\nconst A: f64 = 1.0;\n"), [3]);
    }

    #[test]
    fn a_comment_may_be_long_or_plain_and_attributes_may_follow_it() {
        assert_eq!(
            lines("/// From B\n/// 2020 (A)\n/// and more.\n#[rustfmt::skip]\nconst A: f64 = 1.0;\n"),
            [0; 0]
        );
        assert_eq!(lines("// Common practice, no source (T)\nconst A: f64 = 1.0;\n"), [0; 0]);
        assert_eq!(lines("/// Common practice, exact by\n/// definition\nconst A: f64 = 1.0;\n"), [0; 0]);
    }

    #[test]
    fn numbers_inside_types_of_ours_and_tables_over_lines_count() {
        assert_eq!(lines("const A: Seconds = Seconds(180.0);\n"), [1]);
        assert_eq!(
            lines("const A: Table = Table {\n    // comment; with a semicolon\n    tau: Hours(20.7),\n};\n"),
            [1]
        );
        assert_eq!(lines("const A: [f64; N] = table();\n"), [1]);
    }

    #[test]
    fn constants_without_numbers_and_constant_functions_need_none() {
        assert_eq!(lines("const A: &str = \"no 7 here\";\n"), [0; 0]);
        assert_eq!(lines("const A: &[(&str, Muscle)] = &[(\"a 1\", Muscle::Quads)];\n"), [0; 0]);
        assert_eq!(lines("const A: [Muscle; 2] = [Muscle::Quads, Muscle::Calves];\n"), [0; 0]);
        assert_eq!(lines("pub const fn a(b: f64) -> f64 {\n    b * 2.0\n}\n"), [0; 0]);
        assert_eq!(lines("const A: Curve = UPPER2;\n"), [0; 0]);
    }

    #[test]
    fn tests_and_other_crates_are_left_aside() {
        assert_eq!(lines("#[cfg(test)]\nmod tests {\n    const A: f64 = 1.0;\n}\n"), [0; 0]);
        assert_eq!(check(&Tree::of(&[("crates/check/src/a.rs", "const A: f64 = 1.0;")])), []);
    }
}
