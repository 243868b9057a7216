//! Signing in from a network: the accounts, what was tried, sent and seen lately, and how many passwords are hashed at once.

pub mod pace;
pub mod throttle;
pub mod views;
pub mod who;

use crate::http::proxy::Proxies;
use crate::http::tls::Peer;
use crate::page::fault::Fault;
use axum::extract::ConnectInfo;
use axum::http::{Extensions, HeaderMap};
use pace::Pace;
use setwright_coaching::ledger::of_store;
use setwright_coaching::locks::held;
use setwright_coaching::people::accounts::Book;
use setwright_coaching::people::{Adopt, Still, secrets};
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_store::{Account, Deed};
use std::net::{IpAddr, Ipv4Addr};
use std::sync::atomic::{AtomicI64, Ordering};
use std::sync::{Arc, Mutex};
use throttle::LoginThrottle;
use tokio::sync::Semaphore;
use tracing::warn;
use views::{View, Views};

/// Passwords that are hashed at once: each takes 19 MiB and a core (judgement).
const HASHES_AT_ONCE: usize = 2;

/// Signing in from a network; a copy is the same one.
#[derive(Clone)]
pub struct SignIn {
    book: Arc<Mutex<Book>>,
    /// What was tried lately.
    pub throttle: Arc<LoginThrottle>,
    /// What devices sent lately.
    pub pace: Arc<Pace>,
    /// Passwords that are being hashed.
    pub hashing: Arc<Semaphore>,
    /// Whose word is taken for where a request comes from.
    pub proxies: Proxies,
    views: Arc<Views>,
    /// What the clock showed when it was last looked at.
    shown_ms: Arc<AtomicI64>,
}

impl SignIn {
    /// For those who have an account.
    ///
    /// # Errors
    /// There is no chance to be had from the system.
    pub fn new(book: Book) -> Result<Self, Refusal> {
        let throttle = Arc::new(LoginThrottle::new(book.ids.secret()?));
        let hashing = Arc::new(Semaphore::new(HASHES_AT_ONCE));
        let (book, pace, proxies) = (Arc::new(Mutex::new(book)), Arc::default(), Proxies::default());
        Ok(Self { book, throttle, pace, hashing, proxies, views: Arc::default(), shown_ms: Arc::default() })
    }

    /// Behind these proxies.
    #[must_use]
    pub fn behind(self, proxies: Proxies) -> Self {
        Self { proxies, ..self }
    }

    /// Does something with the accounts, on a thread that may wait for the disk.
    ///
    /// # Errors
    /// Whatever the work refuses.
    pub async fn with_book<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Book) -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Fault> {
        let book = Arc::clone(&self.book);
        let done = tokio::task::spawn_blocking(move || work(&mut held(&book)));
        done.await.map_err(|_| Fault::internal())?.map_err(Fault::from)
    }

    /// The same on this thread, which may wait for the disk.
    pub fn in_book<T>(&self, work: impl FnOnce(&mut Book) -> T) -> T {
        work(&mut held(&self.book))
    }

    /// Where a request comes from: the other end of the connection, or whom a proxy there says that it asks for.
    pub fn from(&self, extensions: &Extensions, headers: &HeaderMap) -> IpAddr {
        let peer = extensions.get::<ConnectInfo<Peer>>();
        let peer = peer.map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |ConnectInfo(Peer(address))| address.ip());
        self.proxies.client(peer, headers)
    }

    /// Keeps the clients whom an account adds as its own.
    pub fn adopting(&self, account: &Account, from: IpAddr) -> Adopt {
        let (book, id, place) = (Arc::clone(&self.book), account.id, from.to_string());
        Arc::new(move |client| {
            let mut book = held(&book);
            let trace = book.trace(&place);
            book.accounts.give(id, client, &trace).map_err(|e| of_store(&e))
        })
    }

    /// Says whether an account is still open.
    pub fn still(&self, account: &Account) -> Still {
        let (book, id) = (Arc::clone(&self.book), account.id);
        Arc::new(move || held(&book).still_open(id))
    }

    /// Whether a password is the one of which this is kept. Without anything kept it takes as long.
    ///
    /// # Errors
    /// The program is about to end.
    pub async fn fits(&self, kept: Option<String>, password: String) -> Result<bool, Fault> {
        let Ok(_permit) = self.hashing.acquire().await else { return Err(Fault::internal()) };
        let fits = tokio::task::spawn_blocking(move || secrets::fits(kept.as_deref(), &password));
        fits.await.map_err(|_| Fault::internal())
    }

    /// What is kept of a password; refused when it cannot be one.
    ///
    /// # Errors
    /// The program is about to end, or there is no chance to be had.
    pub async fn hashed(&self, password: String) -> Result<Result<String, Refusal>, Fault> {
        let Ok(_permit) = self.hashing.acquire().await else { return Err(Fault::internal()) };
        let salt = self.with_book(|book| book.ids.secret()).await?;
        let hashed = tokio::task::spawn_blocking(move || secrets::hash(&password, &salt));
        hashed.await.map_err(|_| Fault::internal())
    }

    /// Writes down that somebody failed. It is nobody's fault when it cannot be written, and the answer stays the same.
    pub async fn failed(&self, account: Option<i64>, from: IpAddr, deed: Deed) {
        let written = self.with_book(move |book| {
            let trace = book.trace(&from.to_string());
            book.accounts.record(&trace, deed, account, None).map_err(|e| of_store(&e))
        });
        if let Err(fault) = written.await {
            warn!(code = %fault.code(), "a try that failed was not written to the record");
        }
    }

    /// Looks at the clock, on a thread that may wait for the disk: when it went back, sessions end that would last longer than they may.
    ///
    /// # Errors
    /// The accounts cannot be written.
    pub fn look_at_clock(&self) -> Result<(), Refusal> {
        let mut book = held(&self.book);
        let now_ms = book.now_ms();
        let before_ms = self.shown_ms.load(Ordering::Relaxed);
        book.accounts.clock_went(before_ms, now_ms).map_err(|e| of_store(&e))?;
        self.shown_ms.store(now_ms, Ordering::Relaxed);
        Ok(())
    }

    /// Writes down who saw whom, once in a while. A disk that is full keeps nobody from seeing.
    pub async fn saw(&self, view: View) {
        let views = Arc::clone(&self.views);
        let written = self.with_book(move |book| {
            let trace = book.trace(&view.from.to_string());
            if !views.is_new(view, trace.at_ms) {
                return Ok(());
            }
            let deed = if view.client.is_some() { Deed::SawClient } else { Deed::SawRoster };
            let written = book.accounts.record(&trace, deed, Some(view.account), view.client);
            written.inspect_err(|_| views.forget(view)).map_err(|e| of_store(&e))
        });
        if let Err(fault) = written.await {
            warn!(code = %fault.code(), "a view was not written to the record");
        }
    }
}

/// What is said to whoever tried too often.
pub fn too_often(wait_s: u64) -> Refusal {
    let what = format!("Too many wrong tries. The next can be made in {wait_s} s.");
    Refusal::new(Code::TooManyTries, what, "Wait, then type with care.")
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_coaching::clock::{Clock, Wall};
    use setwright_coaching::machine::Machine;
    use setwright_coaching::people::accounts::digest;
    use setwright_model::Seconds;
    use setwright_model::ledger::{Date, Moment};
    use setwright_store::{AccountRole, Begin, Lifetimes, Opening};
    use std::collections::BTreeSet;

    const NOW_MS: i64 = 1_764_000_000_000;
    const DAY_MS: i64 = 86_400_000;

    /// A clock that shows what it is set to.
    struct Set(Arc<AtomicI64>);

    impl Clock for Set {
        fn now(&self) -> Moment {
            Moment::new(self.0.load(Ordering::Relaxed), 0).unwrap()
        }

        fn device_ms(&self) -> u64 {
            0
        }

        fn on(&self, _: Date, _: u32) -> Option<Moment> {
            None
        }

        fn running(&self) -> Seconds {
            Seconds::ZERO
        }
    }

    #[test]
    fn a_clock_that_goes_back_while_nobody_comes_ends_what_would_last_too_long() {
        let folder = tempfile::TempDir::new().unwrap();
        let shows = Arc::new(AtomicI64::new(NOW_MS));
        let machine =
            Machine::stopped(Moment::new(NOW_MS, 0).unwrap(), 1).with_wall(Wall::of(Set(Arc::clone(&shows))));
        let mut book = Book::open(&folder.path().join("gym.sqlite3"), Opening::Create, &machine).unwrap();
        let ada = book.add("Ada", AccountRole::Owner, &BTreeSet::new()).unwrap();
        let lasts = Lifetimes { idle_ms: 7 * DAY_MS, whole_ms: 30 * DAY_MS };
        let begin = Begin { session: digest("token"), browser: "", instead: None };
        let trace = book.trace("");
        book.accounts.begin(ada.id, begin, &trace, lasts).unwrap();
        let sign_in = SignIn::new(book).unwrap();
        let lives = |day: i64| {
            shows.store(NOW_MS + day * DAY_MS, Ordering::Relaxed);
            sign_in.look_at_clock().unwrap();
            held(&sign_in.book)
                .accounts
                .session(digest("token"), NOW_MS + day * DAY_MS, lasts, i64::MAX)
                .unwrap()
                .is_some()
        };
        assert_eq!([0, 3, 6, 2].map(lives), [true, true, true, false]);
    }
}
