//! Accounts: who may come over a network, and the links by which they choose a password. There is none to begin with.

use super::{Adopt, May, Still};
use crate::clock::Wall;
use crate::ids::Ids;
use crate::machine::Machine;
use crate::refusals::of_store;
use setwright_model::code::Code;
use setwright_model::ledger::{Actor, ClientId, Role};
use setwright_model::name::{is_unprintable, turns};
use setwright_model::refusal::Refusal;
use setwright_store::{Account, AccountRole, Accounts, Digest, Opening, StoreError, Trace, sha256};
use std::collections::BTreeSet;
use std::fmt;
use std::path::Path;

/// Hours in which a set-up link can be used unless asked otherwise (judgement: until after a weekend).
pub const LINK_HOURS: u32 = 72;
/// Most letters of an account's name (judgement).
const NAME_MOST: usize = 80;
const MS_PER_HOUR: i64 = 3_600_000;

/// The accounts of a ledger that lie open, with a clock.
pub struct Book {
    /// What is kept.
    pub accounts: Accounts,
    /// The clock.
    pub wall: Wall,
    /// The maker of secrets.
    pub ids: Ids,
}

impl Book {
    /// Opens the accounts beside a ledger.
    ///
    /// # Errors
    /// None are there, or the file cannot be used.
    pub fn open(ledger: &Path, opening: Opening, machine: &Machine) -> Result<Self, Refusal> {
        match Accounts::open(&Accounts::of(ledger), opening) {
            Ok(accounts) => {
                Ok(Self { accounts, wall: machine.wall.clone(), ids: Ids::with(machine.entropy.clone()) })
            }
            Err(StoreError::NoLedger { .. }) => Err(Refusal::new(
                Code::NoSuchAccount,
                "There is no account yet.",
                "setwright account add NAME --role owner adds the first.",
            )),
            Err(error) => Err(of_store(&error)),
        }
    }

    /// Now, in milliseconds since 1970.
    pub fn now_ms(&self) -> i64 {
        self.wall.now().unix_ms()
    }

    /// Now and from this address; empty on the machine itself.
    pub fn trace(&self, place: &str) -> Trace {
        Trace { at_ms: self.now_ms(), place: place.to_owned() }
    }

    /// Adds an account that waits for its link to be used.
    ///
    /// # Errors
    /// A name that is taken or cannot be printed, or clients that do not fit the role.
    pub fn add(
        &mut self,
        name: &str,
        role: AccountRole,
        clients: &BTreeSet<ClientId>,
    ) -> Result<Account, Refusal> {
        let name = name.trim();
        if name.is_empty() || name.chars().count() > NAME_MOST || name.chars().any(is_unprintable) {
            return Err(unfit("An account's name is 1 to 80 letters.", "Give another name."));
        }
        fits(role, clients)?;
        let trace = self.trace("");
        let added = self.accounts.add(name, role, clients, &trace).map_err(|e| of_store(&e))?;
        added.ok_or_else(|| {
            unfit("Another account has this name.", "Give another name; setwright account list shows all.")
        })
    }

    /// The account of this name.
    ///
    /// # Errors
    /// There is none.
    pub fn named(&mut self, name: &str) -> Result<Account, Refusal> {
        let found = self.accounts.named(name).map_err(|e| of_store(&e))?;
        found.ok_or_else(|| unfit("There is no account of this name.", "setwright account list shows all."))
    }

    /// Makes a link by which a password is chosen, once; the secret part of its address. The one before it is void.
    ///
    /// # Errors
    /// The account is shut.
    pub fn link(&mut self, account: &Account, hours: u32) -> Result<String, Refusal> {
        if account.disabled {
            return Err(unfit("The account is shut.", "setwright account enable NAME opens it."));
        }
        let secret = self.ids.secret()?;
        let trace = self.trace("");
        let until_ms = trace.at_ms + i64::from(hours) * MS_PER_HOUR;
        let put = self.accounts.put_link(account.id, digest(&secret), until_ms, &trace);
        put.map_err(|e| of_store(&e))?;
        Ok(secret)
    }

    /// Lets go on whose account is open.
    ///
    /// # Errors
    /// It was shut.
    pub fn still_open(&mut self, id: i64) -> Result<(), Refusal> {
        if self.accounts.is_open(id).map_err(|e| of_store(&e))? {
            return Ok(());
        }
        let what = "The account of whoever began this was shut, and nothing came of it.";
        Err(Refusal::new(Code::NotSignedIn, what, "Whoever goes on with this client begins it again."))
    }
}

/// An account as a device knows it: the same each time, and telling nothing of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct AccountMark(u128);

impl AccountMark {
    /// The mark of an account. The name belongs to it: after a restore its number may be another one's.
    pub fn of(account: &Account) -> Self {
        let sum = sha256(&[b"account", &account.id.to_be_bytes(), account.name.as_bytes()]);
        Self(u128::from_be_bytes(sum.half()))
    }
}

impl fmt::Display for AccountMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

/// What is kept of a secret.
pub fn digest(secret: &str) -> Digest {
    sha256(&[secret.as_bytes()])
}

fn unfit(what: &str, hint: &str) -> Refusal {
    Refusal::new(Code::NoSuchAccount, what, hint)
}

fn fits(role: AccountRole, clients: &BTreeSet<ClientId>) -> Result<(), Refusal> {
    match role {
        AccountRole::Client if clients.len() != 1 => {
            Err(unfit("A client's account is of one client.", "Name the client with --client."))
        }
        AccountRole::Owner if !clients.is_empty() => {
            Err(unfit("An owner sees every client.", "Leave --client out, or add a coach."))
        }
        _ => Ok(()),
    }
}

/// What somebody with this account may see and write, and by what name. `adopt` keeps whom a coach adds; `still` says whether the account
/// is open.
pub fn standing(account: &Account, adopt: Adopt, still: Still) -> (May, Actor) {
    let may = match account.role {
        AccountRole::Owner => May::everything(),
        AccountRole::Coach => May::coach_these(account.clients.clone(), adopt),
        AccountRole::Client => account.clients.first().map_or(May::nothing(), |client| May::client(*client)),
    };
    let role = if account.role == AccountRole::Client { Role::Client } else { Role::Coach };
    // An account of an older version may be called what no event may hold; what it writes is taken all the same.
    let name = account.name.chars().filter(|c| !turns(*c)).collect();
    (may.as_long_as(still), Actor::named(role, name))
}
