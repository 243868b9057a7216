//! Who asks: what they may, in what name they write, and whose ways their pages show. It decides nothing; the gate says who it is.

use crate::page::frame::{Frame, Ways};
use setwright_coaching::people::accounts::{self, AccountMark};
use setwright_coaching::people::{Adopt, May};
use setwright_model::ledger::{Actor, ClientId};
use setwright_present::units::DisplayUnit;
use setwright_store::{Account, AccountRole};

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
}

impl Who {
    /// Whoever sits at the machine.
    pub fn at_the_machine() -> Self {
        Self { may: May::everything(), actor: Actor::COACH, role: None, account: None, own: None }
    }

    /// Nobody who is known, who may nothing.
    pub fn nobody() -> Self {
        Self { may: May::nothing(), ..Self::at_the_machine() }
    }

    /// Somebody with an account; `adopt` keeps whom they add.
    pub fn with(account: &Account, adopt: Adopt) -> Self {
        let (may, actor) = accounts::standing(account, adopt);
        let own = account.clients.first().copied().filter(|_| account.role == AccountRole::Client);
        Self { may, actor, role: Some(account.role), account: Some(AccountMark::of(account)), own }
    }

    /// The frame of their pages.
    pub fn frame(&self, unit: DisplayUnit) -> Frame {
        let ways = match (self.role, self.may.own()) {
            (Some(AccountRole::Client), _) => Ways::Client,
            (Some(_), _) | (None, true) => Ways::Coach,
            (None, false) => Ways::Nobody,
        };
        Frame::new(ways, self.account, unit)
    }
}
