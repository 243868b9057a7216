//! How many events the devices of an account may send: so many a minute, and as many at once after a minute of rest. It keeps nothing of
//! what is sent, and of an account only until when it is used up.

use setwright_coaching::locks::held;
use setwright_coaching::people::accounts::AccountMark;
use std::collections::BTreeMap;
use std::sync::Mutex;

/// Events a minute (judgement: who logs for a floor of fifty sends about a hundred, and a phone that had no reception for a month comes
/// back with about two thousand).
const A_MINUTE: u64 = 3_000;
/// A minute (exact by definition).
const MINUTE_MS: u64 = 60_000;
/// What one event takes of a minute (numeric).
const EACH_MS: u64 = MINUTE_MS / A_MINUTE;

/// What was sent lately.
#[derive(Default)]
pub struct Pace {
    /// When all that an account may send will be there for it again.
    whole_ms: Mutex<BTreeMap<AccountMark, u64>>,
}

impl Pace {
    /// Counts events before they are taken. What is refused does not count; what says nothing counts as one.
    ///
    /// # Errors
    /// Seconds to wait.
    pub fn charge(&self, account: AccountMark, events: usize, now_ms: u64) -> Result<(), u64> {
        let mut all = held(&self.whole_ms);
        all.retain(|_, whole_ms| {
            // A clock that was set back keeps nobody waiting for longer than a minute.
            *whole_ms = (*whole_ms).min(now_ms + MINUTE_MS);
            *whole_ms > now_ms
        });
        let used = all.get(&account).map_or(0, |whole_ms| whole_ms - now_ms);
        let takes = u64::try_from(events.max(1)).unwrap_or(u64::MAX).saturating_mul(EACH_MS).min(MINUTE_MS);
        let over = (used + takes).saturating_sub(MINUTE_MS);
        if over > 0 {
            return Err(over.div_ceil(1_000));
        }
        all.insert(account, now_ms + used + takes);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_store::{Account, AccountRole};

    fn mark(id: i64) -> AccountMark {
        let account = Account {
            id,
            name: "ada".to_owned(),
            role: AccountRole::Coach,
            clients: std::collections::BTreeSet::new(),
            hash: None,
            disabled: false,
            second: setwright_store::SecondStep::Off,
        };
        AccountMark::of(&account)
    }

    #[test]
    fn three_thousand_go_at_once_and_what_is_refused_goes_after_the_wait() {
        let (pace, ada) = (Pace::default(), mark(1));
        for _ in 0..6 {
            pace.charge(ada, 500, 1_000).unwrap();
        }
        assert_eq!(pace.charge(ada, 1, 1_000), Err(1));
        assert_eq!(pace.charge(ada, 500, 1_000), Err(10), "what was refused did not count");
        assert_eq!(pace.charge(ada, 0, 1_000), Err(1), "nothing counts as one");
        pace.charge(mark(2), 500, 1_000).unwrap();
        assert_eq!(pace.charge(ada, 500, 10_999), Err(1));
        pace.charge(ada, 500, 11_000).unwrap();
    }

    #[test]
    fn a_clock_that_was_set_back_keeps_nobody_waiting_for_longer_than_a_minute() {
        let (pace, ada) = (Pace::default(), mark(1));
        pace.charge(ada, 3_000, 1_000_000_000).unwrap();
        assert_eq!(pace.charge(ada, 3_000, 1_000), Err(60));
        pace.charge(ada, 3_000, 61_000).unwrap();
    }
}
