//! The only maker of identifiers: the time, a count, and chance from the system. Nothing else draws on chance.

use setwright_formats::problem::{self, Problem};
use setwright_model::ledger::{ClientId, EventId};
use std::cell::Cell;

/// Makes identifiers that sort in the order of making, on one device as long as it runs.
#[derive(Debug, Default)]
pub struct Ids {
    /// The millisecond of the last one and how many were made in it.
    last: Cell<(u64, u16)>,
}

/// The count in an identifier has twelve bits; then the next millisecond is borrowed.
const COUNT_MAX: u16 = 0x0fff;

impl Ids {
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
        let mut bits = chance();
        bits[..2].copy_from_slice(&next.1.to_be_bytes());
        (next.0, bits)
    }
}

/// Bits that no other device has. A system that gives none leaves the time and the count, and a second arrival of the
/// same identifier with other content is a conflict that the ledger reports.
fn chance() -> [u8; 10] {
    let mut bits = [0; 10];
    let _ = getrandom::fill(&mut bits);
    bits
}

/// A secret of 32 bytes, as 64 digits. Unlike an identifier it must not be made without chance.
///
/// # Errors
/// The system gives no chance.
pub fn secret() -> Result<String, Problem> {
    let mut bits = [0; 32];
    getrandom::fill(&mut bits).map_err(|_| {
        let what = "The system gave no chance, so no secret was made.";
        Problem::new(problem::INTERNAL, what, "Do it again on a system that does.")
    })?;
    Ok(setwright_store::Digest(bits).to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identifiers_sort_in_the_order_of_making_even_when_the_clock_goes_back() {
        let ids = Ids::default();
        let (now, earlier) = (1_764_000_060_000, 1_764_000_000_000);
        let mut made: Vec<EventId> = (0..10_000).map(|_| ids.event(now)).collect();
        made.push(ids.event(earlier));
        assert!(made.windows(2).all(|pair| pair[0] < pair[1]));
    }

    #[test]
    fn two_devices_make_different_identifiers_at_the_same_moment() {
        let now = 1_764_000_000_000;
        assert_ne!(Ids::default().event(now), Ids::default().event(now));
    }
}
