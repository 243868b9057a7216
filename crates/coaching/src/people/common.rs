//! Passwords that are tried first: the most common ones, rows of keys, repeats, the account's own name. It weighs what is left without
//! them, and knows nothing of how passwords are kept.

use crate::people::secrets::LETTERS_LEAST;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;

/// What passwords that became public are most often made of: common practice, written down from memory (m).
const COMMON: &str = include_str!("common.txt");
/// Letters that must be left: NIST SP 800-63B-3, section 5.1.1.2, asks 8 of any password (M).
const LEFT_LEAST: usize = 8;
/// Letters from which on an alphabet, a row of figures or one letter again and again is a row (judgement).
const ROW_LEAST: usize = 4;
/// Letters from which on a part of a name counts as such (judgement).
const NAME_LEAST: usize = 3;
/// How letters are often written.
const WRITTEN: &[(char, &str)] = &[
    ('a', "4@"),
    ('b', "8"),
    ('e', "3"),
    ('g', "9"),
    ('i', "1!"),
    ('l', "1"),
    ('o', "0"),
    ('s', "5$"),
    ('t', "7"),
];

/// Refuses a password that is mostly what is tried first.
///
/// # Errors
/// Too little of it is its own.
pub fn refuse(password: &str, name: &str) -> Result<(), Refusal> {
    if password.chars().count() < LETTERS_LEAST {
        // Whoever keeps it says that it is too short.
        return Ok(());
    }
    let name = name.to_lowercase();
    let parts = name.split(|c: char| !c.is_alphanumeric()).filter(|part| part.chars().count() >= NAME_LEAST);
    let known: Vec<Vec<char>> =
        COMMON.split_whitespace().chain(parts).map(|word| word.chars().collect()).collect();
    if left(&once(&letters(password)), &known) >= LEFT_LEAST {
        return Ok(());
    }
    let what = "This password is mostly what is tried first: common passwords, rows of keys, repeats, the account's name.";
    let hint = "Three or four words that do not belong together are easy to keep in mind.";
    Err(Refusal::new(Code::NoSuchAccount, what, hint))
}

/// Small letters, without what words are set apart with.
fn letters(password: &str) -> Vec<char> {
    let small = password.to_lowercase();
    small.chars().filter(|c| !c.is_whitespace() && !matches!(c, '.' | ',' | '-' | '_')).collect()
}

/// What is repeated counts once.
fn once(letters: &[char]) -> Vec<char> {
    let repeats = |length: &usize| letters.iter().zip(letters.iter().skip(*length)).all(|(a, b)| a == b);
    let length = (1..=letters.len() / 2).find(repeats).unwrap_or(letters.len());
    letters.iter().take(length).copied().collect()
}

/// Letters that are in no known word and in no row, covered as well as can be.
fn left(letters: &[char], known: &[Vec<char>]) -> usize {
    // The fewest that are left of so many from the beginning.
    let mut fewest: Vec<usize> = (0..=letters.len()).collect();
    for from in 0..letters.len() {
        let here = fewest.get(from).copied().unwrap_or_default();
        let rest = letters.get(from..).unwrap_or_default();
        let words = known.iter().filter(|word| begins(rest, word)).map(|word| (word.len(), here));
        let rows = (ROW_LEAST..=row(rest)).map(|length| (length, here));
        for (length, left) in words.chain(rows).chain([(1, here + 1)]) {
            if let Some(best) = fewest.get_mut(from + length) {
                *best = left.min(*best);
            }
        }
    }
    fewest.last().copied().unwrap_or_default()
}

fn begins(letters: &[char], word: &[char]) -> bool {
    let is = |letter: char, meant: char| {
        letter == meant || WRITTEN.iter().any(|(of, ways)| *of == meant && ways.contains(letter))
    };
    word.len() <= letters.len() && letters.iter().zip(word).all(|(letter, meant)| is(*letter, *meant))
}

/// Letters of the row at the beginning: each the same as the one before, or its next, or the one before that.
fn row(letters: &[char]) -> usize {
    let steps = letters
        .iter()
        .zip(letters.iter().skip(1))
        .map(|(a, b)| i64::from(u32::from(*b)) - i64::from(u32::from(*a)));
    let mut steps = steps.peekable();
    let Some(step) = steps.peek().copied().filter(|step| step.abs() <= 1) else { return 1 };
    1 + steps.take_while(|next| *next == step).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(password: &str, name: &str, is_taken: bool) {
        assert_eq!(refuse(password, name).is_ok(), is_taken, "{password:?} of {name}");
    }

    #[test]
    fn what_is_tried_first_is_refused_however_it_is_put_together() {
        for common in [
            "passwordpassword",
            "Password-Password-2026",
            "P4ssw0rd!P4ssw0rd!",
            "123456789012345",
            "qwertyuiop12345",
            "iloveyouforever1",
            "aaaaaaaaaaaaaaaa",
            "abcdefghijklmnop",
            "xk3xk3xk3xk3xk3xk3",
            "summer summer 2026!",
            "football monkey dragon",
        ] {
            check(common, "ada", false);
        }
    }

    #[test]
    fn the_accounts_name_does_not_count() {
        check("Ada Lovelace Ada Lovelace 1815", "Ada Lovelace", false);
        check("lovelacelovelace", "Ada Lovelace", false);
        check("lovelace.ada.qzvx", "Ada Lovelace", false);
        check("lovelace ada quiet", "Ben", true);
        check("Ada plants nine quinces", "Ada Lovelace", true);
    }

    #[test]
    fn words_that_do_not_belong_together_are_taken() {
        for own in [
            "correct horse battery",
            "three quiet anvils",
            "four plain words here",
            "8 Ämter, kein Öl im Haus",
            "k7#Qv!2mZp?9xLd",
        ] {
            check(own, "ada", true);
        }
    }

    #[test]
    fn eight_letters_must_be_left() {
        check("password password kwvzqxj", "ada", false);
        check("password password kwvzqxjy", "ada", true);
    }

    #[test]
    fn the_list_is_in_small_letters_and_holds_each_once() {
        let words: Vec<&str> = COMMON.split_whitespace().collect();
        let once: std::collections::BTreeSet<&str> = words.iter().copied().collect();
        assert_eq!(words.len(), once.len());
        assert!(words.iter().all(|word| *word == word.to_lowercase()));
    }
}
