//! Who asks: what they may, in what name they write, and whose ways their pages show. It decides nothing; the gate says who it is.

use crate::page::frame::{PageFrame, Ways};
use crate::sign_in::SignIn;
use setwright_coaching::people::May;
use setwright_coaching::people::accounts::{self, AccountMark};
use setwright_model::MassUnit;
use setwright_model::ledger::{Actor, ClientId};
use setwright_store::{Account, AccountRole, Digest};
use std::net::IpAddr;
use std::sync::Arc;

/// A session in use.
pub struct Signed {
    /// Whose.
    pub account: Account,
    /// What is kept of its token.
    pub session: Digest,
    /// Where the request comes from.
    pub from: IpAddr,
}

/// Who asks.
#[derive(Clone)]
pub struct Who {
    /// What they may see and write.
    pub may: May,
    /// In what name they write.
    pub actor: Actor,
    /// Their role, when they signed in.
    pub role: Option<AccountRole>,
    /// The account, as devices know it.
    pub account: Option<AccountMark>,
    /// The client, when that is who it is.
    pub own: Option<ClientId>,
    /// The session, where there is one.
    pub signed: Option<Arc<Signed>>,
}

impl Who {
    /// Whoever sits at the machine.
    pub fn at_the_machine() -> Self {
        Self {
            may: May::everything(),
            actor: Actor::COACH,
            role: None,
            account: None,
            own: None,
            signed: None,
        }
    }

    /// Nobody who is known, who may nothing.
    pub fn nobody() -> Self {
        Self { may: May::nothing(), ..Self::at_the_machine() }
    }

    /// Somebody with an account, by this session.
    pub fn with(sign_in: &SignIn, signed: Signed) -> Self {
        let account = &signed.account;
        let (may, actor) =
            accounts::standing(account, sign_in.adopting(account, signed.from), sign_in.still(account));
        let own = account.clients.first().copied().filter(|_| account.role == AccountRole::Client);
        let (role, mark) = (account.role, AccountMark::of(account));
        Self { may, actor, role: Some(role), account: Some(mark), own, signed: Some(Arc::new(signed)) }
    }

    /// The frame of their pages.
    pub fn frame(&self, unit: MassUnit) -> PageFrame {
        let ways = match (self.role, self.may.own()) {
            (Some(AccountRole::Client), _) => Ways::Client,
            (Some(_), _) | (None, true) => Ways::Coach,
            (None, false) => Ways::Nobody,
        };
        PageFrame::new(ways, self.account, unit)
    }
}
