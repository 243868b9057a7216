//! Checksums: SHA-256 of bodies, of files and of all that stands; and HMAC, the checksum that only who has a key can make.

use crate::error::{Result, StoreError};
use hmac::{Hmac, KeyInit, Mac};
use sha2::{Digest as _, Sha256};
use std::fmt;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// A SHA-256 checksum.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Digest(pub [u8; 32]);

impl Digest {
    /// Before anything.
    pub(crate) const NONE: Self = Self([0; 32]);

    /// The checksum that is written so, in 64 digits.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let mut digest = Self::NONE;
        for (i, byte) in digest.0.iter_mut().enumerate() {
            *byte = u8::from_str_radix(text.get(2 * i..2 * i + 2)?, 16).ok()?;
        }
        // Signs, capital letters and what comes behind are nothing that was written here.
        (digest.to_string() == text).then_some(digest)
    }

    /// The first sixteen bytes, for identifiers that follow from content.
    pub fn half(self) -> [u8; 16] {
        let mut half = [0; 16];
        half.copy_from_slice(&self.0[..16]);
        half
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// The checksum of these pieces, one after the other.
pub fn sha256(pieces: &[&[u8]]) -> Digest {
    let mut sum = Sum::default();
    for piece in pieces {
        sum.add(piece);
    }
    sum.done()
}

/// A checksum in the making.
#[derive(Default)]
pub(crate) struct Sum(Sha256);

impl Sum {
    pub(crate) fn add(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// Adds bytes with their length before them, so that no two lists of fields look alike.
    pub(crate) fn field(&mut self, bytes: &[u8]) {
        self.add(&(bytes.len() as u64).to_be_bytes());
        self.add(bytes);
    }

    pub(crate) fn done(self) -> Digest {
        Digest(self.0.finalize().into())
    }
}

/// What only who has this key can say of these pieces: HMAC-SHA-256 (RFC 2104), each piece with its length before it.
pub(crate) fn keyed(key: &[u8; 32], pieces: &[&[u8]]) -> Digest {
    // Any length of key will do for HMAC, so that none is refused.
    let Ok(mut sum) = Hmac::<Sha256>::new_from_slice(key) else { return Digest::NONE };
    for piece in pieces {
        sum.update(&(piece.len() as u64).to_be_bytes());
        sum.update(piece);
    }
    Digest(sum.finalize().into_bytes().into())
}

/// The link of the chain after `before` for this body: how the log was chained before bodies were sealed.
pub(crate) fn link(before: Digest, body: &str) -> Digest {
    sha256(&[&before.0, body.as_bytes()])
}

/// The checksum of a file.
pub(crate) fn of_file(path: &Path) -> Result<Digest> {
    let broken = |e| StoreError::file(path, &e);
    let mut file = File::open(path).map_err(broken)?;
    let mut sum = Sum::default();
    let mut buffer = vec![0; 64 * 1024];
    loop {
        match file.read(&mut buffer).map_err(broken)? {
            0 => return Ok(sum.done()),
            read => sum.add(buffer.get(..read).unwrap_or_default()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_that_of_the_standard() {
        // FIPS 180-2, example B.1.
        assert_eq!(
            sha256(&[b"a", b"bc"]).to_string(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn a_keyed_checksum_depends_on_key_and_content() {
        let of = |key: u8, text: &str| keyed(&[key; 32], &[text.as_bytes()]);
        assert_eq!(of(1, "a"), of(1, "a"));
        assert!(of(1, "a") != of(2, "a") && of(1, "a") != of(1, "b"));
        assert_ne!(keyed(&[1; 32], &[b"ab", b"c"]), keyed(&[1; 32], &[b"a", b"bc"]));
    }

    #[test]
    fn a_checksum_is_read_as_it_is_written_and_no_otherwise() {
        let written = sha256(&[b"a"]).to_string();
        assert_eq!(Digest::read(&written), Some(sha256(&[b"a"])));
        for other in ["", "00", &written.to_uppercase(), &format!("{written}0")] {
            assert_eq!(Digest::read(other), None, "{other}");
        }
    }

    #[test]
    fn fields_do_not_run_into_each_other() {
        let of = |fields: [&str; 2]| {
            let mut sum = Sum::default();
            for field in fields {
                sum.field(field.as_bytes());
            }
            sum.done()
        };
        assert_ne!(of(["ab", "c"]), of(["a", "bc"]));
    }
}
