//! What is said of a person, sealed: AES-256-GCM-SIV (RFC 8452) under a key of that person alone, which is made of chance. When the key is
//! gone, so is what was said, wherever a copy of it may lie.
//!
//! The nonce follows from the identifier of what is sealed, so that nothing need be counted: a ledger that is taken back to an older copy and
//! goes on never seals two things under one nonce and one key unless they are the same thing, and this cipher bears even that, showing no
//! more than that the two were equal. It needs no chance, so that the same event is sealed to the same bytes.

use crate::digest::{Digest, keyed, sha256};
use aes_gcm_siv::aead::{Aead, KeyInit, Payload};
use aes_gcm_siv::{Aes256GcmSiv, Nonce};
use zeroize::Zeroizing;

/// Bytes of a key.
pub(crate) const KEY_BYTES: usize = 32;
/// The version of keys and of how they seal.
pub(crate) const KEY_VERSION: i64 = 1;

/// A key that seals. It is cleared when it is dropped, and shown nowhere.
pub(crate) struct SealingKey {
    bytes: Zeroizing<[u8; KEY_BYTES]>,
    cipher: Aes256GcmSiv,
}

impl SealingKey {
    /// The key of these bytes.
    pub(crate) fn of(bytes: [u8; KEY_BYTES]) -> Self {
        let bytes = Zeroizing::new(bytes);
        let cipher = Aes256GcmSiv::new((&*bytes).into());
        Self { bytes, cipher }
    }

    /// A key of the system's chance and of no other: chance that is handed in, as to whatever else wants some, could be drawn again by
    /// whoever knows its seed. None when the system gives none.
    pub(crate) fn draw() -> Option<Self> {
        let mut bytes = Zeroizing::new([0; KEY_BYTES]);
        getrandom::fill(&mut *bytes).ok()?;
        Some(Self::of(*bytes))
    }

    /// Its bytes, for whoever wraps or writes them.
    pub(crate) fn bytes(&self) -> &[u8; KEY_BYTES] {
        &self.bytes
    }

    /// Seals what is called so (`id`) and belongs there (`context`): it can be opened only as what it was sealed as.
    pub(crate) fn seal(&self, id: &[u8; 16], context: &[&[u8]], plain: &[u8]) -> Option<Vec<u8>> {
        let aad = fields(context);
        self.cipher.encrypt(&nonce(id), Payload { msg: plain, aad: &aad }).ok()
    }

    /// Opens what was sealed as this; none for anything else.
    pub(crate) fn open(&self, id: &[u8; 16], context: &[&[u8]], sealed: &[u8]) -> Option<Vec<u8>> {
        let aad = fields(context);
        self.cipher.decrypt(&nonce(id), Payload { msg: sealed, aad: &aad }).ok()
    }

    /// What only who has the key can say of this.
    pub(crate) fn keyed(&self, pieces: &[&[u8]]) -> Digest {
        keyed(&self.bytes, pieces)
    }
}

fn nonce(id: &[u8; 16]) -> Nonce {
    let mut nonce = Nonce::default();
    let digest = sha256(&[b"nonce", id]);
    nonce.iter_mut().zip(digest.0).for_each(|(to, from)| *to = from);
    nonce
}

/// Pieces with their lengths before them.
fn fields(pieces: &[&[u8]]) -> Vec<u8> {
    let mut all = Vec::with_capacity(pieces.iter().map(|p| p.len() + 8).sum());
    for piece in pieces {
        all.extend((piece.len() as u64).to_be_bytes());
        all.extend(*piece);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_sealed_opens_as_what_it_was_and_under_its_own_key_alone() {
        let (key, other) = (SealingKey::of([1; 32]), SealingKey::of([2; 32]));
        let sealed = key.seal(&[7; 16], &[b"client", b"set"], b"87.5 kg").unwrap();
        assert_eq!(key.seal(&[7; 16], &[b"client", b"set"], b"87.5 kg").unwrap(), sealed, "no chance in it");
        assert!(!sealed.windows(4).any(|w| w == b"87.5"));
        assert_eq!(key.open(&[7; 16], &[b"client", b"set"], &sealed).unwrap(), b"87.5 kg");
        assert_eq!(key.open(&[8; 16], &[b"client", b"set"], &sealed), None);
        assert_eq!(key.open(&[7; 16], &[b"clients", b"et"], &sealed), None);
        assert_eq!(other.open(&[7; 16], &[b"client", b"set"], &sealed), None);
        for bit in 0..sealed.len() * 8 {
            let mut flipped = sealed.clone();
            flipped[bit / 8] ^= 1 << (bit % 8);
            assert_eq!(key.open(&[7; 16], &[b"client", b"set"], &flipped), None, "bit {bit}");
        }
    }

    #[test]
    fn keys_are_drawn_apart() {
        assert_ne!(SealingKey::draw().unwrap().bytes(), SealingKey::draw().unwrap().bytes());
    }
}
