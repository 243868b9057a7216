//! The only maker of identifiers and secrets: the time, a count, and the chance that was handed in.

use crate::machine::Entropy;
use setwright_model::code::Code;
use setwright_model::ledger::{ClientId, EventId};
use setwright_model::refusal::Refusal;
use std::cell::Cell;

/// Makes identifiers that sort in the order of making, on one device as long as it runs.
#[derive(Debug)]
pub struct Ids {
    entropy: Entropy,
    /// The millisecond of the last one and how many were made in it.
    last: Cell<(u64, u16)>,
}

/// The count in an identifier has twelve bits; then the next millisecond is borrowed.
const COUNT_MAX: u16 = 0x0fff;

impl Ids {
    /// A maker that draws on this chance.
    pub fn with(entropy: Entropy) -> Self {
        Self { entropy, last: Cell::default() }
    }

    /// An identifier of an event that is written now, in milliseconds since 1970.
    pub fn event(&self, now_ms: u64) -> EventId {
        let (ms, bits) = self.next(now_ms);
        EventId::timed(ms, bits)
    }

    /// An identifier of a client that is added now.
    pub fn client(&self, now_ms: u64) -> ClientId {
        let (ms, bits) = self.next(now_ms);
        ClientId::timed(ms, bits)
    }

    fn next(&self, now: u64) -> (u64, [u8; 10]) {
        let next = match self.last.get() {
            (ms, _) if now > ms => (now, 0),
            (ms, COUNT_MAX) => (ms + 1, 0),
            (ms, count) => (ms, count + 1),
        };
        self.last.set(next);
        let mut bits = [0; 10];
        // Without chance the time and the count are left, and a second arrival of the same identifier with other content is a
        // conflict that the ledger reports.
        let _ = self.entropy.fill(&mut bits);
        bits[..2].copy_from_slice(&next.1.to_be_bytes());
        (next.0, bits)
    }

    /// A secret of 32 bytes, as 64 digits. Unlike an identifier it must not be made without chance.
    ///
    /// # Errors
    /// The system gives no chance.
    pub fn secret(&self) -> Result<String, Refusal> {
        Ok(setwright_store::Digest(self.chance()?).to_string())
    }

    /// So many bytes of chance.
    ///
    /// # Errors
    /// The system gives none.
    pub fn chance<const N: usize>(&self) -> Result<[u8; N], Refusal> {
        let mut bits = [0; N];
        if !self.entropy.fill(&mut bits) {
            let what = "The system gave no chance, so no secret was made.";
            return Err(Refusal::new(Code::Internal, what, "Do it again on a system that does."));
        }
        Ok(bits)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identifiers_sort_in_the_order_of_making_even_when_the_clock_goes_back() {
        let ids = Ids::with(Entropy::seeded(1));
        let (now, earlier) = (1_764_000_060_000, 1_764_000_000_000);
        let mut made: Vec<EventId> = (0..10_000).map(|_| ids.event(now)).collect();
        made.push(ids.event(earlier));
        assert!(made.windows(2).all(|pair| pair[0] < pair[1]));
    }

    #[test]
    fn two_devices_make_different_identifiers_at_the_same_moment() {
        let now = 1_764_000_000_000;
        let of = |seed| Ids::with(Entropy::seeded(seed)).event(now);
        assert_ne!(of(1), of(2));
        assert_eq!(of(1), of(1));
    }

    struct Nothing;

    impl crate::machine::EntropySource for Nothing {
        fn fill(&self, _: &mut [u8]) -> bool {
            false
        }
    }

    #[test]
    fn without_chance_there_are_identifiers_and_no_secrets() {
        let ids = Ids::with(Entropy::of(Nothing));
        assert!(ids.event(1_764_000_000_000) < ids.event(1_764_000_000_000));
        assert_eq!(ids.secret().unwrap_err().code, Code::Internal);
    }
}
