//! What can be typed to `account`.

use super::ledger_args::CareArgs;
use clap::{Args, Subcommand, ValueEnum};
use setwright_coaching::people::accounts::LINK_HOURS;
use setwright_store::AccountRole;

/// Help of `account`.
pub const ACCOUNT_HELP: &str = "\
Accounts are for people who come over a network (setwright serve --listen); on this machine nobody needs one. There \
is none to begin with, and no password but what its owner chooses by a link that can be used once.

Examples:
  setwright account add Ada --role owner
  setwright account add Ben --role coach --client mara --client tom
  setwright account add Mara --role client --client mara --at https://gym.example:8410
  setwright account link mara              a new link, for a password that was forgotten
  setwright account sessions mara          where mara is signed in
  setwright account end mara               sign out everywhere; --session DIGITS ends one
  setwright account disable ben            shut it; enable opens it again
  setwright account forget ben             take the name of a coach out who asks for it, once it is shut
  setwright account require owner          owners have to have one-time codes; --off takes it back
  setwright account reset-codes mara       take one-time codes away, when the phone is lost
  setwright account record                 who signed in and from where, and who saw which client

An owner sees everybody, a coach their own clients and those they add, a client only what is theirs.";

/// Arguments of `account`.
#[derive(Debug, Args)]
pub struct AccountArgs {
    /// What to do.
    #[command(subcommand)]
    pub action: AccountAction,
}

/// What to do with accounts.
#[derive(Debug, Subcommand)]
pub enum AccountAction {
    /// Add an account, and print the link by which its password is chosen.
    Add(AccountAddArgs),
    /// A new link; the one before it is void, and the password stands until the link is used.
    Link(AccountLinkArgs),
    /// List all accounts.
    List(CareArgs),
    /// Shut an account: its sessions and its link end at once.
    Disable(AccountNameArgs),
    /// Take out what somebody is called who worked here, from the account and from what they wrote; the account has to be shut. It cannot be undone.
    Forget(AccountNameArgs),
    /// Open an account that was shut.
    Enable(AccountNameArgs),
    /// Show where an account is signed in.
    Sessions(AccountSessionsArgs),
    /// Sign an account out everywhere, or end one session.
    End(AccountEndArgs),
    /// Have every account of a role set up one-time codes before anything else.
    Require(AccountRequireArgs),
    /// Take one-time codes and recovery codes from an account, and sign it out everywhere.
    ResetCodes(AccountNameArgs),
    /// Show who signed in and from where, who failed, what was changed, and who saw which client; the newest first.
    Record(AccountRecordArgs),
    /// Make a client one of a coach's.
    Give(AccountClientArgs),
    /// Make a client one of a coach's no more.
    Take(AccountClientArgs),
}

impl AccountAction {
    /// Whether the answer is for a program.
    pub const fn json(&self) -> bool {
        match self {
            Self::Add(args) => args.to.json,
            Self::Link(args) => args.to.json,
            Self::List(args) => args.json,
            Self::Sessions(args) => args.json,
            Self::Record(args) => args.json,
            Self::Disable(_)
            | Self::Forget(_)
            | Self::Enable(_)
            | Self::End(_)
            | Self::Give(_)
            | Self::Take(_)
            | Self::Require(_)
            | Self::ResetCodes(_) => false,
        }
    }
}

/// A role.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum RoleArg {
    /// Everything.
    Owner,
    /// Plans for their own clients.
    Coach,
    /// Sees and logs what is theirs.
    Client,
}

impl From<RoleArg> for AccountRole {
    fn from(role: RoleArg) -> Self {
        match role {
            RoleArg::Owner => Self::Owner,
            RoleArg::Coach => Self::Coach,
            RoleArg::Client => Self::Client,
        }
    }
}

/// Arguments of `account add`.
#[derive(Debug, Args)]
pub struct AccountAddArgs {
    /// What the account is called; it is typed to sign in.
    pub name: String,
    /// In what role.
    #[arg(long, value_enum)]
    pub role: RoleArg,
    /// The client, or a client of the coach; may be given more than once.
    #[arg(long, value_name = "CLIENT")]
    pub client: Vec<String>,
    /// Where the link leads and for how long.
    #[command(flatten)]
    pub to: LinkTo,
}

/// Arguments of `account link`.
#[derive(Debug, Args)]
pub struct AccountLinkArgs {
    /// Which account.
    pub name: String,
    /// Where the link leads and for how long.
    #[command(flatten)]
    pub to: LinkTo,
}

/// Where a link leads and for how long.
#[derive(Debug, Args)]
pub struct LinkTo {
    /// Where people find the pages.
    #[arg(long, value_name = "URL", default_value = "https://localhost:8410")]
    pub at: String,
    /// Hours in which the link can be used.
    #[arg(long, value_name = "N", default_value_t = LINK_HOURS, value_parser = clap::value_parser!(u32).range(1..=336))]
    pub hours: u32,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// An account.
#[derive(Debug, Args)]
pub struct AccountNameArgs {
    /// Which account.
    pub name: String,
}

/// Arguments of `account sessions`.
#[derive(Debug, Args)]
pub struct AccountSessionsArgs {
    /// Which account.
    pub name: String,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `account end`.
#[derive(Debug, Args)]
pub struct AccountEndArgs {
    /// Which account.
    pub name: String,
    /// One session alone, by the digits that `account sessions` shows.
    #[arg(long, value_name = "DIGITS")]
    pub session: Option<String>,
}

/// Arguments of `account require`.
#[derive(Debug, Args)]
pub struct AccountRequireArgs {
    /// Of which role.
    #[arg(value_enum)]
    pub role: RoleArg,
    /// No longer.
    #[arg(long)]
    pub off: bool,
}

/// Arguments of `account record`.
#[derive(Debug, Args)]
pub struct AccountRecordArgs {
    /// Of this account alone.
    #[arg(long, value_name = "NAME")]
    pub account: Option<String>,
    /// About this client alone.
    #[arg(long, value_name = "CLIENT")]
    pub client: Option<String>,
    /// Without what was only seen.
    #[arg(long)]
    pub changes: bool,
    /// So many lines at most.
    #[arg(long, value_name = "N", default_value_t = 50, value_parser = clap::value_parser!(u32).range(1..=40_000))]
    pub most: u32,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// An account and a client.
#[derive(Debug, Args)]
pub struct AccountClientArgs {
    /// Which coach.
    pub name: String,
    /// Which client.
    pub client: String,
}
