//! Figures inside the functions of the science are sourced like its constants: a table written as a `match` is still
//! a table. The comment of the function counts, or one directly above or behind the figure.
//!
//! Only decimals and the numbers of match arms are looked at; whole numbers elsewhere are mostly counts and places.

use crate::Breach;
use crate::constants::{constant_name, definition};
use crate::source::Source;
use crate::sourced::{how_to_source, is_sourced, of_science};
use crate::tree::Tree;

/// Numbers that claim nothing: none, one, two, a half, tens, and the parts of a week, a day and an hour.
const NEUTRAL: &[f64] = &[0.0, 0.5, 1.0, 2.0, 7.0, 10.0, 24.0, 60.0, 100.0, 1000.0, 3600.0];

/// Up to this a number keeps a division sane and says nothing of a body.
const GUARD_MAX: f64 = 0.001;

/// Functions with a figure that no comment sources; the first figure of each.
pub fn check(tree: &Tree) -> Vec<Breach> {
    of_science(tree).flat_map(|(path, text)| check_file(path, text)).collect()
}

/// The function that a line belongs to.
struct Function<'a> {
    name: &'a str,
    settled: bool,
}

fn check_file(path: &str, text: &str) -> Vec<Breach> {
    let source = Source::of(text);
    let mut breaches = Vec::new();
    let mut function: Option<Function<'_>> = None;
    let mut constant_ends = 0;
    for (at, line) in source.code.iter().enumerate() {
        if constant_name(line).is_some() {
            constant_ends = at + definition(&source.code[at..]).matches('\n').count() + 1;
        }
        if at < constant_ends {
            continue;
        }
        let sourced = is_sourced(&source.comment_above(at));
        if let Some(name) = function_name(line) {
            function = Some(Function { name, settled: sourced });
        }
        let Some(open) = function.as_mut().filter(|function| !function.settled) else { continue };
        let Some(figure) = figure(line).filter(|_| !sourced && !is_sourced(source.lines[at])) else {
            continue;
        };
        open.settled = true;
        let what = format!("`{}` holds {figure} without a source: {}", open.name, how_to_source());
        breaches.push(Breach::at(path, at + 1, what));
    }
    breaches
}

/// The name of the function that starts on this line.
fn function_name(line: &str) -> Option<&str> {
    let (before, after) = line.trim_start().split_once("fn ")?;
    let is_start = before
        .split_whitespace()
        .all(|word| word.starts_with("pub") || word.ends_with(')') || word == "const");
    let end = after.find(['(', '<'])?;
    after.get(..end).filter(|_| is_start)
}

/// The first number of the line that claims something.
fn figure(code: &str) -> Option<String> {
    let in_arm = code.trim_end().trim_end_matches(',').rsplit_once("=> ").map(|(_, value)| value);
    let arm = in_arm.filter(|value| value.parse::<f64>().is_ok_and(claims));
    arm.map(str::to_owned).or_else(|| decimals(code).into_iter().find(|number| claims_text(number)))
}

fn claims(number: f64) -> bool {
    let size = number.abs();
    size > GUARD_MAX && NEUTRAL.iter().all(|neutral| (size - neutral).abs() > f64::EPSILON)
}

fn claims_text(number: &str) -> bool {
    number.replace('_', "").parse().is_ok_and(claims)
}

/// Numbers with a decimal point or an exponent.
fn decimals(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut word = String::new();
    for c in code.chars().chain([' ']) {
        let continues = c.is_alphanumeric() || matches!(c, '_' | '.') || (c == '-' && word.ends_with('e'));
        if continues {
            word.push(c);
            continue;
        }
        let number = std::mem::take(&mut word);
        let is_number = number.starts_with(|c: char| c.is_ascii_digit()) && !number.starts_with("0x");
        if is_number && !number.contains("..") && number.contains(['.', 'e']) {
            found.push(number.trim_end_matches("_f64").to_owned());
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The lines at which a file of the science breaks the rule.
    fn lines(text: &str) -> Vec<usize> {
        check(&Tree::of(&[("crates/science/src/a.rs", text)])).iter().map(|breach| breach.line).collect()
    }

    #[test]
    fn a_table_in_a_function_needs_a_source() {
        assert_eq!(
            lines("/// Scale.\nconst fn a(b: B) -> f64 {\n    match b {\n        B::C => 17.7,\n    }\n}\n"),
            [4]
        );
        assert_eq!(
            lines("/// Reps.\nfn a(b: B) -> u32 {\n    match b {\n        B::C => 12,\n    }\n}\n"),
            [4]
        );
        assert_eq!(lines("pub fn a() -> f64 {\n    4e-3 * b\n}\n"), [2]);
        assert_eq!(lines("pub(crate) fn a(b: f64) -> f64 { b * 0.4 }\n"), [1]);
    }

    #[test]
    fn the_comment_of_the_function_or_of_the_line_is_enough() {
        assert_eq!(lines("/// Scale (judgement).\nfn a() -> f64 {\n    17.7\n}\n"), [0; 0]);
        assert_eq!(lines("fn a() -> f64 {\n    // Common practice, no source (T)\n    17.7\n}\n"), [0; 0]);
        assert_eq!(lines("fn a() -> f64 {\n    17.7 // judgement\n}\n"), [0; 0]);
    }

    #[test]
    fn the_source_of_one_function_does_not_serve_the_next() {
        assert_eq!(lines("/// From B (A)\nfn a() {\n    b(3.5)\n}\nfn c() {\n    d(3.5)\n}\n"), [6]);
    }

    #[test]
    fn one_breach_is_told_for_a_function() {
        assert_eq!(lines("fn a() {\n    b(3.5);\n    b(4.5);\n}\n"), [2]);
    }

    #[test]
    fn numbers_that_claim_nothing_are_fine() {
        for code in [
            "a * 0.5 + 1.0",
            "a[3] + b.0",
            "(1..=5)",
            "a / 100.0",
            "Share(0.0)",
            "X => 1,",
            "a.max(1e-6)",
            "24.0_f64 * a",
        ] {
            assert_eq!(lines(&format!("fn a() {{\n    {code}\n}}\n")), [0; 0], "{code}");
        }
    }

    #[test]
    fn constants_are_left_to_their_own_rule() {
        assert_eq!(
            lines("fn a() {\n    b();\n}\nconst C: D = D {\n    e: 3.5,\n};\nfn f() {\n    g(4.5)\n}\n"),
            [8]
        );
    }
}
