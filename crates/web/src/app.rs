//! What a request meets: the coach's practice behind the pages, and who asks. A handler takes a [`Visit`]; what it does with the
//! ledger is one unit of work in the name of whoever asks, on a thread that may wait for the disk.

use crate::page::fault::Fault;
use crate::page::frame::PageFrame;
use crate::page::units;
use crate::sign_in::SignIn;
use crate::sign_in::who::{Signed, Who};
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use maud::Markup;
use setwright_coaching::ledger::UnitOfWork;
use setwright_coaching::machine::Machine;
use setwright_coaching::practice::Practice;
use setwright_model::MassUnit;
use setwright_model::refusal::Refusal;
use std::convert::Infallible;
use std::path::Path;
use std::sync::Arc;

/// What all pages share.
#[derive(Clone)]
pub struct App {
    practice: Practice,
    sign_in: Option<SignIn>,
}

impl App {
    /// Opens a ledger, or begins one, for who sits at this machine.
    ///
    /// # Errors
    /// A ledger that cannot be opened.
    pub fn open(ledger: &Path, machine: Machine) -> Result<Self, Refusal> {
        Ok(Self { practice: Practice::open(ledger, machine)?, sign_in: None })
    }

    /// The same for a network: only who has an account passes.
    #[must_use]
    pub fn with_sign_in(self, sign_in: SignIn) -> Self {
        Self { sign_in: Some(sign_in), ..self }
    }

    /// The way in from a network; none on the machine itself.
    pub fn sign_in(&self) -> Option<&SignIn> {
        self.sign_in.as_ref()
    }

    /// What is behind the pages.
    pub fn practice(&self) -> &Practice {
        &self.practice
    }

    /// Is called every now and then, on a thread that may wait for the disk: what rests is put into the files themselves. A disk that is
    /// full, or a file that is gone, is told to whoever writes next.
    ///
    /// # Errors
    /// Of whichever could not be written; the other was tried, and both are at the next look.
    pub(crate) fn settle(&self) -> Result<(), Refusal> {
        let settled = self.practice.ledger_pool().settle();
        self.sign_in.as_ref().map_or(Ok(()), SignIn::look_at_clock).and(settled)
    }

    /// The same at once: the program is about to end.
    pub(crate) fn checkpoint(&self) {
        let _ = self.practice.ledger_pool().checkpoint();
    }

    /// Closes the ledger in good order.
    pub fn close(&self) {
        self.practice.close();
    }
}

/// One request: what it may ask of, and for whom.
#[derive(Clone)]
pub struct Visit {
    app: App,
    who: Who,
    unit: MassUnit,
}

impl FromRequestParts<App> for Visit {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Infallible> {
        let who = parts.extensions.get::<Who>().cloned().unwrap_or_else(Who::nobody);
        Ok(Self { app: app.clone(), who, unit: units::of(&parts.headers) })
    }
}

impl Visit {
    /// What loads are shown in.
    pub fn unit(&self) -> MassUnit {
        self.unit
    }

    /// What is behind the pages.
    pub fn practice(&self) -> &Practice {
        &self.app.practice
    }

    /// The accounts and the session of whoever asks; none on the machine itself, where nobody signs in.
    pub fn signed(&self) -> Option<(&SignIn, Arc<Signed>)> {
        self.app.sign_in().zip(self.who.signed.clone())
    }

    /// For whom a page is framed.
    pub fn frame(&self) -> PageFrame {
        self.who.frame(self.unit)
    }

    /// A page in its frame; `here` is the way that leads to it.
    pub fn page(&self, title: &str, here: Option<&str>, content: &Markup) -> Markup {
        self.frame().page(title, here, content)
    }

    /// Counts events that a device of whoever asks sends; on the machine itself nobody counts.
    ///
    /// # Errors
    /// Seconds to wait.
    pub fn charge(&self, events: usize) -> Result<(), u64> {
        let Some((sign_in, account)) = self.app.sign_in().zip(self.who.account) else { return Ok(()) };
        sign_in.pace.charge(account, events, self.practice().wall().device_ms())
    }

    /// Does a use case as one unit of work for whoever asks, on a thread that may wait for the disk.
    ///
    /// # Errors
    /// Whatever the use case refuses.
    pub async fn with_ledger<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut UnitOfWork, &Self) -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Fault> {
        let visit = self.clone();
        let done = tokio::task::spawn_blocking(move || {
            let (may, actor) = (visit.who.may.clone(), visit.who.actor.clone());
            visit.practice().ledger_pool().run_as(may, actor, |uow| work(uow, &visit))
        });
        match done.await {
            Ok(done) => done.map_err(Fault::from),
            Err(_) => Err(Fault::internal()),
        }
    }
}
