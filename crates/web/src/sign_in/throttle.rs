//! Makes guessing slow: after a few wrong passwords for an account, or from an address, the next try has to wait, and longer each
//! time. It keeps tables of fixed size, so that no number of names or addresses fills the memory or pushes out another's
//! count; two that fall on one place share it.

use setwright_coaching::locks::held;
use setwright_store::sha256;
use std::net::IpAddr;
use std::sync::Mutex;

/// Places of a table (judgement: far more than accounts of a gym).
const PLACES: usize = 4_096;
/// Wrong tries without a wait, and the longest wait, for an account: nobody keeps its owner out for more than a minute
/// (judgement).
const ACCOUNT: Rule = Rule { free: 5, most_ms: 60_000 };
/// The same for an address, behind which a whole gym may be (judgement).
const ADDRESS: Rule = Rule { free: 20, most_ms: 900_000 };
/// The same for the codes of an account, which only who knows its password is asked for: three of a million are right at any time, and of
/// about a hundred tries a day one is right once in ten years (judgement).
const CODES: Rule = Rule { free: 5, most_ms: 900_000 };
/// The first wait (judgement).
const FIRST_MS: u64 = 1_000;
/// After so long without a try everything is forgotten (judgement).
const FORGOTTEN_MS: u64 = 3_600_000;

struct Rule {
    free: u32,
    most_ms: u64,
}

#[derive(Clone, Copy, Default)]
struct TryCount {
    tries: u32,
    last_ms: u64,
    until_ms: u64,
}

/// What was tried lately.
pub struct LoginThrottle {
    /// Without it nobody can tell which names share a place.
    key: String,
    accounts: Mutex<Vec<TryCount>>,
    addresses: Mutex<Vec<TryCount>>,
    codes: Mutex<Vec<TryCount>>,
}

impl LoginThrottle {
    /// Nothing was tried yet.
    pub fn new(key: String) -> Self {
        let table = || Mutex::new(vec![TryCount::default(); PLACES]);
        Self { key, accounts: table(), addresses: table(), codes: table() }
    }

    /// Counts a try before it is made, so that many at once count as many.
    ///
    /// # Errors
    /// Seconds to wait.
    pub fn charge(&self, name: &str, from: IpAddr, now_ms: u64) -> Result<(), u64> {
        let address = self.place(&network(from));
        charge(&mut held(&self.addresses), address, &ADDRESS, now_ms)?;
        charge(&mut held(&self.accounts), self.of_name(name), &ACCOUNT, now_ms)
    }

    /// The same for a code of the second step. It is counted apart: a right password must not make codes free to be tried again.
    ///
    /// # Errors
    /// Seconds to wait.
    pub fn charge_code(&self, name: &str, from: IpAddr, now_ms: u64) -> Result<(), u64> {
        let address = self.place(&network(from));
        charge(&mut held(&self.addresses), address, &ADDRESS, now_ms)?;
        charge(&mut held(&self.codes), self.of_name(name), &CODES, now_ms)
    }

    /// The try was right: it did not count.
    pub fn forgive(&self, name: &str, from: IpAddr) {
        self.forgive_in(&self.accounts, name, from);
    }

    /// The code was right: it did not count.
    pub fn forgive_code(&self, name: &str, from: IpAddr) {
        self.forgive_in(&self.codes, name, from);
    }

    fn forgive_in(&self, table: &Mutex<Vec<TryCount>>, name: &str, from: IpAddr) {
        if let Some(place) = held(table).get_mut(self.of_name(name)) {
            *place = TryCount::default();
        }
        if let Some(place) = held(&self.addresses).get_mut(self.place(&network(from))) {
            place.tries = place.tries.saturating_sub(1);
        }
    }

    fn of_name(&self, name: &str) -> usize {
        self.place(name.trim().to_lowercase().as_bytes())
    }

    fn place(&self, what: &[u8]) -> usize {
        let [a, b, ..] = sha256(&[self.key.as_bytes(), what]).0;
        usize::from(u16::from_be_bytes([a, b])) % PLACES
    }
}

/// Whoever has an address of version 6 has the whole network of it: RFC 6177 (M).
fn network(from: IpAddr) -> Vec<u8> {
    match from.to_canonical() {
        IpAddr::V4(v4) => v4.octets().to_vec(),
        IpAddr::V6(v6) => v6.octets().into_iter().take(8).collect(),
    }
}

fn charge(table: &mut [TryCount], at: usize, rule: &Rule, now_ms: u64) -> Result<(), u64> {
    let Some(place) = table.get_mut(at) else { return Ok(()) };
    if now_ms >= place.last_ms.saturating_add(FORGOTTEN_MS) {
        *place = TryCount::default();
    }
    if now_ms < place.until_ms {
        return Err((place.until_ms - now_ms).div_ceil(1_000));
    }
    place.tries = place.tries.saturating_add(1);
    place.last_ms = now_ms;
    if let Some(over) = place.tries.checked_sub(rule.free) {
        let wait = FIRST_MS.checked_shl(over.min(20)).unwrap_or(rule.most_ms);
        place.until_ms = now_ms + wait.min(rule.most_ms);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const HERE: IpAddr = IpAddr::V4(std::net::Ipv4Addr::new(192, 0, 2, 1));

    #[test]
    fn waits_grow_for_an_account_up_to_a_minute_and_are_forgotten() {
        let throttle = LoginThrottle::new("key".to_owned());
        let from = |n: u8| IpAddr::from([192, 0, 2, n]);
        for n in 0..5 {
            throttle.charge("ada", from(n), 0).unwrap();
        }
        assert_eq!(throttle.charge("ADA ", from(6), 0), Err(1), "whatever the address and the letters");
        throttle.charge("ben", from(7), 0).unwrap();
        let (mut now, mut waits) = (0, Vec::new());
        for n in 10..19 {
            let wait = throttle.charge("ada", from(n), now).unwrap_err();
            waits.push(wait);
            now += wait * 1_000;
            throttle.charge("ada", from(n), now).unwrap();
        }
        assert_eq!(waits, [1, 2, 4, 8, 16, 32, 60, 60, 60]);
        throttle.charge("ada", from(30), now + FORGOTTEN_MS).unwrap();
        throttle.charge("ada", from(30), now + FORGOTTEN_MS).unwrap();
    }

    #[test]
    fn a_right_password_does_not_make_codes_free_again() {
        let throttle = LoginThrottle::new("key".to_owned());
        let from = |n: u8| IpAddr::from([192, 0, 2, n]);
        let waits = (0..8).map(|n| {
            throttle.charge("ada", from(n), 0).unwrap();
            throttle.forgive("ada", from(n));
            throttle.charge_code("ada", from(n), 0).err()
        });
        assert_eq!(waits.collect::<Vec<_>>(), [None, None, None, None, None, Some(1), Some(1), Some(1)]);
        throttle.forgive_code("ada", from(9));
        throttle.charge_code("ada", from(9), 0).unwrap();
    }

    #[test]
    fn an_address_that_tries_many_names_waits_and_a_right_password_does_not_count() {
        let throttle = LoginThrottle::new("key".to_owned());
        for n in 0..100 {
            throttle.charge("ada", HERE, n).unwrap();
            throttle.forgive("ada", HERE);
        }
        let refused = (0..40).filter(|n| throttle.charge(&format!("name {n}"), HERE, 1_000).is_err()).count();
        assert!((20..=22).contains(&refused), "{refused}");
        let six = |last: u16| IpAddr::from([0x2001, 0xdb8, 0, 1, 0, 0, 0, last]);
        assert_eq!(network(six(1)), network(six(2)));
    }
}
