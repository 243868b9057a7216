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
use std::sync::{Arc, Mutex};
use throttle::LoginThrottle;
use tokio::sync::Semaphore;
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
        Ok(Self { book, throttle, pace, hashing, proxies, views: Arc::default() })
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
        let _ = written.await;
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
        let _ = written.await;
    }
}

/// What is said to whoever tried too often.
pub fn too_often(wait_s: u64) -> Refusal {
    let what = format!("Too many wrong tries. The next can be made in {wait_s} s.");
    Refusal::new(Code::TooManyTries, what, "Wait, then type with care.")
}
