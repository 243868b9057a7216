//! The second step of signing in: codes of six figures that an app on the phone makes anew every half minute (RFC 6238), and recovery codes
//! for when the phone is gone. It makes secrets and says whether a code is right; that each is used once is the store's business.

use super::accounts::{Book, digest};
use crate::ids::Ids;
use crate::refusals::of_store;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_store::{Accounts, Digest, Trace};
use std::fmt::Write as _;
use totp_rs::{Algorithm, Builder, Secret, Totp};

/// Bytes of a shared secret: RFC 4226, section 4, recommends 160 bits (M).
pub const SECRET_BYTES: usize = 20;
/// Figures of a code, and seconds that one lasts: what apps take when nothing else is said; RFC 6238, section 5.2, recommends 30 s (M).
const FIGURES: u8 = 6;
const STEP_S: u64 = 30;
/// Steps before and after the present one that are taken too: RFC 6238, section 5.2, recommends one at most for what the way takes (M);
/// one after it besides, for a phone that is fast (judgement).
const SKEW: u16 = 1;
/// Recovery codes of an account (judgement: common practice).
pub const CODES: usize = 10;
/// Bytes of chance in a recovery code: as 80 bits it is kept like a link, by SHA-256 alone, and is not found by trying (judgement).
const CODE_BYTES: usize = 10;
/// Letters in a group of what is copied by hand (judgement).
const GROUP: usize = 4;
/// Who asks for the code, as the app shows it.
const ISSUER: &str = "Setwright";

/// A new secret for an app.
///
/// # Errors
/// The system gives no chance.
pub fn new_secret(ids: &Ids) -> Result<[u8; SECRET_BYTES], Refusal> {
    ids.chance()
}

/// The step of time whose code this is, a little before now and a little after among them; none when it is wrong. Blanks do not count.
pub fn step_of(secret: &[u8], code: &str, now_ms: i64) -> Option<i64> {
    let now_s = u64::try_from(now_ms / 1_000).ok()?;
    let code: String = code.chars().filter(|c| !c.is_whitespace()).collect();
    let is_code = code.len() == usize::from(FIGURES) && code.chars().all(|c| c.is_ascii_digit());
    let step = totp(secret).filter(|_| is_code)?.check(&code, now_s)?;
    i64::try_from(step).ok()
}

fn totp(secret: &[u8]) -> Option<Totp> {
    let builder = Builder::new().with_algorithm(Algorithm::SHA1).with_digits(FIGURES);
    let builder = builder.with_step_duration(STEP_S).with_skew(SKEW);
    builder.with_secret(Secret::from(secret.to_vec())).build().ok()
}

/// A secret as an app is given it.
pub struct ForApp {
    /// In groups of letters, to be typed.
    pub typed: String,
    /// As a link, which a phone opens with the app.
    pub link: String,
}

/// The secret of an account as an app is given it.
pub fn for_app(secret: &[u8], account: &str) -> ForApp {
    let text = Secret::from(secret.to_vec()).to_base32();
    let link = format!(
        "otpauth://totp/{ISSUER}:{}?secret={text}&issuer={ISSUER}&algorithm=SHA1&digits={FIGURES}&period={STEP_S}",
        escaped(account)
    );
    ForApp { typed: grouped(&text, ' '), link }
}

/// New recovery codes, as they are shown once, and what is kept of them.
///
/// # Errors
/// The system gives no chance.
pub fn new_codes(ids: &Ids) -> Result<(Vec<String>, Vec<Digest>), Refusal> {
    let made: Result<Vec<[u8; CODE_BYTES]>, Refusal> = (0..CODES).map(|_| ids.chance()).collect();
    let texts = made?.into_iter().map(|bytes| Secret::from(bytes.to_vec()).to_base32().to_lowercase());
    let texts: Vec<String> = texts.map(|text| grouped(&text, '-')).collect();
    let kept = texts.iter().filter_map(|text| recovery(text)).collect();
    Ok((texts, kept))
}

/// What is kept of what somebody typed, if it can be a recovery code at all: however its letters are written and set apart.
pub fn recovery(typed: &str) -> Option<Digest> {
    let letters: String = typed.chars().filter(char::is_ascii_alphanumeric).collect();
    (letters.len() == CODE_BYTES * 8 / 5).then(|| digest(&letters.to_lowercase()))
}

/// A code that is not right.
pub fn wrong_code() -> Refusal {
    let what = "This code is not right, or was used before.";
    let hint = "Type the code that the app shows now, or a recovery code that was not used yet.";
    Refusal::new(Code::NotSignedIn, what, hint)
}

/// Whether what somebody typed is a code of theirs, or a recovery code; it is used up.
///
/// # Errors
/// The accounts cannot be used.
pub fn accept(accounts: &mut Accounts, id: i64, typed: &str, trace: &Trace) -> Result<bool, Refusal> {
    if let Some(code) = recovery(typed) {
        return accounts.use_recovery(id, code, trace).map_err(|e| of_store(&e));
    }
    let secret = accounts.secret(id).map_err(|e| of_store(&e))?.filter(|secret| secret.is_confirmed);
    match secret.and_then(|secret| step_of(&secret.bytes, typed, trace.at_ms)) {
        Some(step) => accounts.use_step(id, step).map_err(|e| of_store(&e)),
        None => Ok(false),
    }
}

/// Confirms the secret of an account by a code of it; codes are asked for from then on, and all sessions but this one end. The recovery
/// codes, to be shown once.
///
/// # Errors
/// The code is not right, nothing was begun, or the accounts cannot be used.
pub fn confirm(
    book: &mut Book,
    id: i64,
    typed: &str,
    but: Digest,
    trace: &Trace,
) -> Result<Vec<String>, Refusal> {
    let secret = book.accounts.secret(id).map_err(|e| of_store(&e))?.filter(|secret| !secret.is_confirmed);
    let Some(step) = secret.and_then(|secret| step_of(&secret.bytes, typed, trace.at_ms)) else {
        let what = "This code is not right.";
        let hint = "Type the code that the app shows now. If it stays wrong, the clock of the phone or of this machine is.";
        return Err(Refusal::new(Code::NoSuchAccount, what, hint));
    };
    let (texts, kept) = new_codes(&book.ids)?;
    let done = book.accounts.confirm_secret(id, step, &kept, Some(but), trace).map_err(|e| of_store(&e))?;
    if done { Ok(texts) } else { Err(wrong_code()) }
}

fn grouped(text: &str, between: char) -> String {
    let letters: Vec<char> = text.chars().collect();
    let groups: Vec<String> = letters.chunks(GROUP).map(|group| group.iter().collect()).collect();
    groups.join(&between.to_string())
}

/// A name as a part of an address: RFC 3986, section 2.1 (M).
fn escaped(name: &str) -> String {
    name.bytes().fold(String::new(), |mut out, byte| {
        if byte.is_ascii_alphanumeric() {
            out.push(char::from(byte));
        } else {
            let _ = write!(out, "%{byte:02X}");
        }
        out
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::Entropy;

    /// The secret of the published vectors.
    const PUBLISHED: &[u8] = b"12345678901234567890";

    #[test]
    fn codes_are_those_of_the_published_vectors() {
        // RFC 6238, appendix B, SHA1: seconds, and the last six of eight figures, which are what six figures are (M).
        for (s, code) in [
            (59, "287082"),
            (1_111_111_109, "081804"),
            (1_111_111_111, "050471"),
            (1_234_567_890, "005924"),
            (2_000_000_000, "279037"),
            (20_000_000_000, "353130"),
        ] {
            assert_eq!(step_of(PUBLISHED, code, s * 1_000), Some(s / 30), "{code} at {s} s");
        }
    }

    #[test]
    fn a_code_is_taken_a_step_early_and_a_step_late_and_no_further() {
        let at = |s: i64| step_of(PUBLISHED, "050471", s * 1_000);
        let begins = 1_111_111_111 / 30 * 30;
        assert_eq!([begins - 30, begins, begins + 59].map(at), [Some(begins / 30); 3]);
        assert_eq!([begins - 31, begins + 60].map(at), [None; 2]);
        for wrong in ["", "50471", "0050471", "050472", "o50471", "+50471", "05047१"] {
            assert_eq!(step_of(PUBLISHED, wrong, 1_111_111_111_000), None, "{wrong}");
        }
        assert!(step_of(PUBLISHED, " 050 471 ", 1_111_111_111_000).is_some());
        assert_eq!(step_of(b"short", "050471", 1_111_111_111_000), None);
        assert_eq!(step_of(PUBLISHED, "050471", i64::MIN), None);
        assert_eq!(step_of(PUBLISHED, "050471", i64::MAX), None);
    }

    #[test]
    fn an_app_is_given_the_secret_in_base32_and_the_name_escaped() {
        let app = for_app(PUBLISHED, "Ada & Zoë: B");
        // RFC 4648 of the published secret, made with Python's base64.b32encode (M).
        assert_eq!(app.typed, "GEZD GNBV GY3T QOJQ GEZD GNBV GY3T QOJQ");
        assert_eq!(
            app.link,
            "otpauth://totp/Setwright:Ada%20%26%20Zo%C3%AB%3A%20B?secret=GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ&issuer=Setwright\
             &algorithm=SHA1&digits=6&period=30"
        );
    }

    #[test]
    fn recovery_codes_differ_and_are_known_however_they_are_typed() {
        let (texts, kept) = new_codes(&Ids::with(Entropy::seeded(1))).unwrap();
        let once: std::collections::BTreeSet<Digest> = kept.iter().copied().collect();
        assert_eq!((texts.len(), once.len()), (CODES, CODES));
        let first = &texts[0];
        assert_eq!(first.len(), 19, "{first}");
        assert_eq!(recovery(&format!(" {} ", first.to_uppercase().replace('-', " "))), Some(kept[0]));
        assert_ne!(recovery(&texts[1]), Some(kept[0]));
        for wrong in ["", "050471", "aaaa-bbbb-cccc", "aaaa-bbbb-cccc-dddd-e"] {
            assert_eq!(recovery(wrong), None, "{wrong}");
        }
    }
}
