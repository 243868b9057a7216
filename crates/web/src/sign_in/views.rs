//! Who saw whom a while ago: a page that is loaded again is not written down again. It keeps numbers alone, and no more than so many.

use setwright_coaching::locks::held;
use setwright_model::ledger::ClientId;
use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::Mutex;

/// So long the same is one view (judgement: a session, or a look at the desk).
const SAME_MS: i64 = 3_600_000;
/// Views that are remembered (judgement: what a large gym sees in an hour).
const KEPT_MOST: usize = 4_096;

/// Who saw it, from where, and whom; nobody in particular where it is the roster.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct View {
    /// Whose account.
    pub account: i64,
    /// From where.
    pub from: IpAddr,
    /// Which client.
    pub client: Option<ClientId>,
}

/// What was seen lately.
#[derive(Default)]
pub struct Views(Mutex<BTreeMap<View, i64>>);

impl Views {
    /// Whether this is not the same view as a while ago; from now on it is.
    pub fn is_new(&self, view: View, now_ms: i64) -> bool {
        let mut lately = held(&self.0);
        lately.retain(|_, at_ms| (now_ms - SAME_MS..=now_ms).contains(at_ms));
        if lately.contains_key(&view) {
            return false;
        }
        if lately.len() >= KEPT_MOST {
            lately.clear();
        }
        lately.insert(view, now_ms);
        true
    }

    /// It could not be written down: the next time it is new again.
    pub fn forget(&self, view: View) {
        held(&self.0).remove(&view);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_view_is_one_for_an_hour_and_another_is_another() {
        let views = Views::default();
        let view = View { account: 1, from: IpAddr::from([192, 0, 2, 1]), client: None };
        let now = 1_764_000_000_000;
        assert_eq!(
            [0, 1, SAME_MS, SAME_MS + 1].map(|ms| views.is_new(view, now + ms)),
            [true, false, false, true]
        );
        assert!(views.is_new(View { account: 2, ..view }, now + SAME_MS + 1));
        assert!(views.is_new(view, now), "the clock was set back");
        views.forget(view);
        assert!(views.is_new(view, now));
        for n in 0..5_000 {
            assert!(views.is_new(View { account: 10 + n, ..view }, now));
        }
        assert!(held(&views.0).len() <= KEPT_MOST);
    }
}
