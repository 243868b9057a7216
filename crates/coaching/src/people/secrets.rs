//! Passwords: what is kept of them, and whether one fits.

use argon2::{Algorithm, Argon2, Params, Version};
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use std::fmt::Write as _;

/// Memory, passes and lanes of argon2id: OWASP Password Storage Cheat Sheet, "19 MiB of memory, an iteration count of 2, and 1
/// degree of parallelism" (M).
const COST: [u32; 3] = [19_456, 2, 1];
/// Least letters: NIST SP 800-63B-4, section 3.1.1.2, asks 15 of a password that stands alone (M).
pub const LETTERS_LEAST: usize = 15;
/// Most letters: NIST SP 800-63B-4 asks for at least 64 to be taken (M); twice that is plenty (judgement).
pub const LETTERS_MOST: usize = 128;
/// Bytes of a hash (numeric).
const HASH_BYTES: usize = 32;

/// What is kept of a password, with a secret of its own made for it.
///
/// # Errors
/// It is too short or too long.
pub fn hash(password: &str, salt: &str) -> Result<String, Refusal> {
    let letters = password.chars().count();
    if !(LETTERS_LEAST..=LETTERS_MOST).contains(&letters) {
        let what = format!("A password has {LETTERS_LEAST} to {LETTERS_MOST} letters.");
        let hint = "Three or four words that do not belong together are easy to keep in mind.";
        return Err(Refusal::new(Code::NoSuchAccount, what, hint));
    }
    let digits = argon2id(password, salt, COST)
        .ok_or_else(|| Refusal::new(Code::Internal, "The password could not be kept.", "Do it again."))?;
    let [memory, passes, lanes] = COST;
    Ok(format!("argon2id${memory}${passes}${lanes}${salt}${digits}"))
}

/// Whether a password is the one of which this is kept. Without anything kept it takes as long and says no, so that the time
/// does not tell whether there is such an account.
pub fn fits(kept: Option<&str>, password: &str) -> bool {
    let parts = kept.and_then(parts);
    let (cost, salt, wanted) = parts.unwrap_or((COST, "no account at all", ""));
    let given = argon2id(password, salt, cost).unwrap_or_default();
    parts.is_some() && same(&given, wanted)
}

fn parts(kept: &str) -> Option<([u32; 3], &str, &str)> {
    let mut parts = kept.strip_prefix("argon2id$")?.split('$');
    let mut number = || parts.next()?.parse().ok();
    let cost = [number()?, number()?, number()?];
    Some((cost, parts.next()?, parts.next().filter(|digits| digits.len() == 2 * HASH_BYTES)?))
}

fn argon2id(password: &str, salt: &str, [memory, passes, lanes]: [u32; 3]) -> Option<String> {
    let params = Params::new(memory, passes, lanes, Some(HASH_BYTES)).ok()?;
    let mut out = [0; HASH_BYTES];
    let argon = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
    argon.hash_password_into(password.as_bytes(), salt.as_bytes(), &mut out).ok()?;
    Some(out.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    }))
}

/// Whether two texts are the same, in a time that does not tell where they differ.
pub fn same(one: &str, other: &str) -> bool {
    let differs = one.bytes().zip(other.bytes()).fold(0, |differs, (a, b)| differs | (a ^ b));
    one.len() == other.len() && differs == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    const SALT: &str = "salt of no account";
    use std::time::Instant;

    #[test]
    fn only_the_password_fits_and_the_same_one_is_kept_differently_each_time() {
        let kept = hash("correct horse battery", SALT).unwrap();
        assert!(kept.starts_with("argon2id$19456$2$1$") && !kept.contains("horse"));
        assert!(fits(Some(&kept), "correct horse battery"));
        assert!(!fits(Some(&kept), "correct horse batterz") && !fits(None, "") && !fits(Some("x"), "x"));
        assert_ne!(kept, hash("correct horse battery", "pepper for another").unwrap());
        assert!(hash("fourteen long.", SALT).is_err() && hash("fifteen longer.", SALT).is_ok());
        assert!(hash(&"é".repeat(128), SALT).is_ok() && hash(&"é".repeat(129), SALT).is_err());
    }

    #[test]
    #[allow(clippy::disallowed_methods, reason = "how long it takes is what is tested")]
    fn an_account_that_is_not_there_takes_as_long_as_one_that_is() {
        let kept = hash("correct horse battery", SALT).unwrap();
        // The least of several: what else runs on the machine only ever adds.
        let least = |kept: Option<&str>| {
            let times = (0..5).map(|_| {
                let begun = Instant::now();
                assert!(!fits(kept, "another password"));
                begun.elapsed().as_secs_f64()
            });
            times.fold(f64::INFINITY, f64::min)
        };
        let (there, none) = (least(Some(&kept)), least(None));
        assert!(none > there / 3.0 && none < there * 3.0, "{there} s and {none} s");
    }

    #[test]
    fn the_reckoning_is_argon2id_as_published() {
        // Made with the reference implementation: printf 'password' | argon2 somesalt -id -t 2 -k 65536 -p 1 -l 32
        // (test vector of phc-winner-argon2, src/test.c, version 0x13) (M).
        let published = "09316115d5cf24ed5a15a31a3ba326e5cf32edc24702987c02b6566f61913cf7";
        assert_eq!(argon2id("password", "somesalt", [65_536, 2, 1]).unwrap(), published);
    }
}
