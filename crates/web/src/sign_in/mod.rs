//! Signing in from a network: the accounts, what was tried and sent lately, and how many passwords are hashed at once.

pub mod pace;
pub mod throttle;
pub mod who;

use crate::http::proxy::Proxies;
use crate::page::fault::Fault;
use pace::Pace;
use setwright_coaching::ledger::of_store;
use setwright_coaching::locks::held;
use setwright_coaching::people::Adopt;
use setwright_coaching::people::accounts::Book;
use setwright_model::refusal::Refusal;
use setwright_store::Account;
use std::sync::{Arc, Mutex};
use throttle::LoginThrottle;
use tokio::sync::Semaphore;

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
        Ok(Self { book, throttle, pace, hashing, proxies })
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

    /// Keeps the clients whom an account adds as its own.
    pub fn adopting(&self, account: &Account) -> Adopt {
        let (book, id) = (Arc::clone(&self.book), account.id);
        Arc::new(move |client| held(&book).accounts.give(id, client).map_err(|e| of_store(&e)))
    }
}
