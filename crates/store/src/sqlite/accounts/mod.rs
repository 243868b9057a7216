//! Who may come over a network: a file of its own beside the ledger, the only one that changes in place. It knows digests of
//! secrets and never a secret; what a role may do is not decided here.

pub(super) mod care;
mod forget;
mod record;
mod seal;
mod second;
mod sessions;

pub use record::{Deed, Entry, RecordFilter, Trace};
pub use second::{SecondStep, SharedSecret};
pub use sessions::{Begin, Lifetimes, SignedIn};

use super::{Fail, Inner, OpenFile, Opening, Schema};
use crate::digest::Digest;
use crate::error::{Result, StoreError};
use record::Said;
use setwright_model::ledger::ClientId;
use sqlx::sqlite::{SqliteJournalMode, SqliteRow};
use sqlx::{Connection, Row, SqliteConnection};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// "SWAC" as a number: what the file says it is.
const APPLICATION_ID: i64 = 0x5357_4143;
/// The version of the schema that this program writes.
const VERSION: i64 = 3;
const BEGIN: &str = "BEGIN IMMEDIATE";

/// In what role somebody comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum AccountRole {
    /// Logs what is their own.
    Client,
    /// Plans for their own clients.
    Coach,
    /// Everything.
    Owner,
}

/// Somebody who may come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// Its number in this file.
    pub id: i64,
    /// What it is called.
    pub name: String,
    /// In what role.
    pub role: AccountRole,
    /// A coach's clients, or the client themselves.
    pub clients: BTreeSet<ClientId>,
    /// The password's hash; none until the set-up link was used.
    pub hash: Option<String>,
    /// Whether it is shut.
    pub disabled: bool,
    /// How it stands with its second step.
    pub second: SecondStep,
}

/// The accounts of a ledger.
pub struct Accounts {
    file: OpenFile<AccountsSchema>,
}

struct AccountsSchema;

impl Schema for AccountsSchema {
    /// Without a write-ahead file: what one bit less in it would undo, unseen, is that somebody was shut out.
    const JOURNAL: SqliteJournalMode = SqliteJournalMode::Delete;

    async fn is_current(&self, c: &mut SqliteConnection, path: &Path) -> Inner<bool> {
        Ok(version(c, path).await? == Some(VERSION))
    }

    async fn bring_up(&self, c: &mut SqliteConnection, path: &Path) -> Inner<()> {
        bring_up(c, path).await
    }
}

impl Accounts {
    /// Where accounts of a ledger are begun: no two ledgers have the same place.
    pub fn beside(ledger: &Path) -> PathBuf {
        if ledger.extension().is_some_and(|ending| ending == "sqlite3") {
            return ledger.with_extension("accounts.sqlite3");
        }
        let mut name = ledger.as_os_str().to_owned();
        name.push(".accounts");
        PathBuf::from(name)
    }

    /// Where the accounts of a ledger are. An older version began those of `gym.db` where those of `gym.sqlite3` are; they stay there as
    /// long as they are nobody else's.
    pub fn of(ledger: &Path) -> PathBuf {
        let (own, older) = (Self::beside(ledger), ledger.with_extension("accounts.sqlite3"));
        let is_anothers = ledger.with_extension("sqlite3").exists();
        if own.exists() || is_anothers || !older.exists() { own } else { older }
    }

    /// Opens the accounts at this path.
    pub fn open(path: &Path, opening: Opening) -> Result<Self> {
        Ok(Self { file: OpenFile::open(path, opening, AccountsSchema)? })
    }

    fn wait<T>(&mut self, work: impl AsyncFnOnce(&mut SqliteConnection) -> Inner<T>) -> Result<T> {
        self.file.wait(work)
    }

    /// Changes who may come: in one transaction, under the checksum of what is there.
    fn write<T>(&mut self, work: impl AsyncFnOnce(&mut SqliteConnection) -> Inner<T>) -> Result<T> {
        self.file.write(async |c| {
            let mut t = c.begin_with(BEGIN).await?;
            let before = seal::checked(&mut t).await?;
            let done = work(&mut t).await?;
            let after = seal::of(&mut t).await?;
            if after != before {
                seal::put(&mut t, after).await?;
            }
            t.commit().await?;
            Ok(done)
        })
    }

    /// Adds an account. None when another has the name.
    pub fn add(
        &mut self,
        name: &str,
        role: AccountRole,
        clients: &BTreeSet<ClientId>,
        trace: &Trace,
    ) -> Result<Option<Account>> {
        self.write(async |t| {
            let sql = "INSERT INTO accounts (name, plain, role, added_ms) VALUES (?1, ?2, ?3, ?4) \
                       ON CONFLICT (plain) DO NOTHING";
            let added = sqlx::query(sql).bind(name).bind(plain(name)).bind(number(role)).bind(trace.at_ms);
            let added = added.execute(&mut *t).await?;
            if added.rows_affected() == 0 {
                return Ok(None);
            }
            let id = added.last_insert_rowid();
            for client in clients {
                keep(t, id, *client).await?;
            }
            record::add(t, Said::of(trace, Deed::Added, id)).await?;
            let account = one(t, "SELECT * FROM accounts WHERE id = ?1", id).await?;
            Ok(account)
        })
    }

    /// All accounts, by name.
    pub fn all(&mut self) -> Result<Vec<Account>> {
        self.wait(async |c| {
            let rows = sqlx::query("SELECT * FROM accounts ORDER BY plain").fetch_all(&mut *c).await?;
            let mut all = Vec::with_capacity(rows.len());
            for row in rows {
                all.push(account(c, &row).await?);
            }
            Ok(all)
        })
    }

    /// The account of this name, in letters of any size.
    pub fn named(&mut self, name: &str) -> Result<Option<Account>> {
        let plain = plain(name);
        self.wait(async |c| {
            let row = sqlx::query("SELECT * FROM accounts WHERE plain = ?1").bind(plain);
            match row.fetch_optional(&mut *c).await? {
                Some(row) => Ok(Some(account(c, &row).await?)),
                None => Ok(None),
            }
        })
    }

    /// Makes a client one of theirs.
    pub fn give(&mut self, id: i64, client: ClientId, trace: &Trace) -> Result<()> {
        self.write(async |t| {
            keep(t, id, client).await?;
            record::add(t, Said { client: Some(client), ..Said::of(trace, Deed::Given, id) }).await
        })
    }

    /// Makes a client one of theirs no more.
    pub fn take(&mut self, id: i64, client: ClientId, trace: &Trace) -> Result<()> {
        self.write(async |t| {
            leave(t, id, client).await?;
            record::add(t, Said { client: Some(client), ..Said::of(trace, Deed::Taken, id) }).await
        })
    }

    /// Shuts an account, which ends its sessions and its link; or opens it again.
    pub fn shut(&mut self, id: i64, shut: bool, trace: &Trace) -> Result<()> {
        self.write(async |t| {
            let sql = "UPDATE accounts SET disabled = ?2 WHERE id = ?1";
            sqlx::query(sql).bind(id).bind(i64::from(shut)).execute(&mut *t).await?;
            if shut {
                sqlx::query("DELETE FROM links WHERE account = ?1").bind(id).execute(&mut *t).await?;
                sessions::end_others(t, id, None).await?;
            }
            let deed = if shut { Deed::Shut } else { Deed::Opened };
            record::add(t, Said::of(trace, deed, id)).await
        })
    }

    /// Whether an account is there and open.
    pub fn is_open(&mut self, id: i64) -> Result<bool> {
        let sql = "SELECT count(*) FROM accounts WHERE id = ?1 AND disabled = 0";
        self.wait(async |c| Ok(sqlx::query_scalar::<_, i64>(sql).bind(id).fetch_one(c).await? > 0))
    }

    /// Keeps a set-up link; the one before it is void.
    pub fn put_link(&mut self, id: i64, link: Digest, until_ms: i64, trace: &Trace) -> Result<()> {
        self.write(async |t| {
            sessions::keep_time(t, trace.at_ms).await?;
            let sql = "INSERT INTO links (digest, account, until_ms) VALUES (?1, ?2, ?3) ON CONFLICT (account) \
                       DO UPDATE SET digest = excluded.digest, until_ms = excluded.until_ms";
            sqlx::query(sql).bind(link.0.to_vec()).bind(id).bind(until_ms).execute(&mut *t).await?;
            record::add(t, Said::of(trace, Deed::Linked, id)).await
        })
    }

    /// Whose link this is, while it can be used.
    pub fn link(&mut self, link: Digest, now_ms: i64) -> Result<Option<Account>> {
        self.wait(async |c| of_link(c, link, now_ms).await)
    }

    /// Uses a link up: the account has this hash from now on, and every session of it ends. None when the link is void.
    pub fn use_link(&mut self, link: Digest, hash: &str, trace: &Trace) -> Result<Option<Account>> {
        self.write(async |t| {
            sessions::keep_time(t, trace.at_ms).await?;
            let Some(account) = of_link(t, link, trace.at_ms).await? else { return Ok(None) };
            sqlx::query("DELETE FROM links WHERE account = ?1").bind(account.id).execute(&mut *t).await?;
            put_hash(t, account.id, hash, None).await?;
            record::add(t, Said::of(trace, Deed::PasswordSet, account.id)).await?;
            Ok(Some(account))
        })
    }

    /// Puts another password in the place of the one of which this is kept; every session but this one ends, and so does a link. False when
    /// it is no longer the one.
    pub fn change_password(
        &mut self,
        id: i64,
        (from, to): (&str, &str),
        but: Option<Digest>,
        trace: &Trace,
    ) -> Result<bool> {
        self.write(async |t| {
            let sql = "SELECT count(*) FROM accounts WHERE id = ?1 AND hash = ?2 AND disabled = 0";
            let same: i64 = sqlx::query_scalar(sql).bind(id).bind(from).fetch_one(&mut *t).await?;
            if same == 0 {
                return Ok(false);
            }
            sqlx::query("DELETE FROM links WHERE account = ?1").bind(id).execute(&mut *t).await?;
            put_hash(t, id, to, but).await?;
            record::add(t, Said::of(trace, Deed::PasswordChanged, id)).await?;
            Ok(true)
        })
    }
}

/// The account has this hash from now on, and no session but this one.
async fn put_hash(c: &mut SqliteConnection, id: i64, hash: &str, but: Option<Digest>) -> Inner<()> {
    sessions::end_others(c, id, but).await?;
    sqlx::query("UPDATE accounts SET hash = ?2 WHERE id = ?1").bind(id).bind(hash).execute(c).await?;
    Ok(())
}

fn plain(name: &str) -> String {
    name.trim().to_lowercase()
}

const fn number(role: AccountRole) -> i64 {
    match role {
        AccountRole::Client => 0,
        AccountRole::Coach => 1,
        AccountRole::Owner => 2,
    }
}

const fn role(number: i64) -> AccountRole {
    match number {
        1 => AccountRole::Coach,
        2 => AccountRole::Owner,
        _ => AccountRole::Client,
    }
}

/// The version of the schema; none in an empty file.
async fn version(c: &mut SqliteConnection, path: &Path) -> Inner<Option<i64>> {
    let sql = "SELECT (SELECT application_id FROM pragma_application_id), (SELECT user_version FROM pragma_user_version), \
               (SELECT count(*) FROM sqlite_schema)";
    let (application, have, tables): (i64, i64, i64) = sqlx::query_as(sql).fetch_one(c).await?;
    if application != APPLICATION_ID && tables > 0 {
        return Err(Fail::Damaged("it holds no accounts of this program".to_owned()));
    }
    if have > VERSION {
        return Err(StoreError::TooNew { path: path.to_owned(), have, know: VERSION }.into());
    }
    Ok((tables > 0).then_some(have))
}

async fn bring_up(c: &mut SqliteConnection, path: &Path) -> Inner<()> {
    let mut t = c.begin_with(BEGIN).await?;
    let have = version(&mut t, path).await?;
    if have.is_none() {
        sqlx::raw_sql(include_str!("../../../migrations/accounts.sql")).execute(&mut *t).await?;
    }
    if have < Some(2) {
        sqlx::raw_sql(include_str!("../../../migrations/accounts_seal.sql")).execute(&mut *t).await?;
    } else if have == Some(2) {
        // What a disk has changed is not sealed anew.
        seal::checked_before(&mut t).await?;
    }
    if have < Some(VERSION) {
        sqlx::raw_sql(include_str!("../../../migrations/accounts_watch.sql")).execute(&mut *t).await?;
        let sum = seal::of(&mut t).await?;
        seal::put(&mut t, sum).await?;
    }
    seal::checked(&mut t).await?;
    Ok(t.commit().await?)
}

async fn keep(c: &mut SqliteConnection, id: i64, client: ClientId) -> Inner<()> {
    let sql = "INSERT INTO theirs (account, client) VALUES (?1, ?2) ON CONFLICT DO NOTHING";
    sqlx::query(sql).bind(id).bind(client.bytes().to_vec()).execute(c).await?;
    Ok(())
}

async fn leave(c: &mut SqliteConnection, id: i64, client: ClientId) -> Inner<()> {
    let sql = "DELETE FROM theirs WHERE account = ?1 AND client = ?2";
    sqlx::query(sql).bind(id).bind(client.bytes().to_vec()).execute(c).await?;
    Ok(())
}

async fn one(c: &mut SqliteConnection, sql: &'static str, id: i64) -> Inner<Option<Account>> {
    match sqlx::query(sql).bind(id).fetch_optional(&mut *c).await? {
        Some(row) => Ok(Some(account(c, &row).await?)),
        None => Ok(None),
    }
}

async fn of_link(c: &mut SqliteConnection, link: Digest, now_ms: i64) -> Inner<Option<Account>> {
    let sql = "SELECT a.* FROM links l JOIN accounts a ON a.id = l.account \
               WHERE l.digest = ?1 AND l.until_ms > ?2 AND a.disabled = 0";
    let found = sqlx::query(sql).bind(link.0.to_vec()).bind(now_ms).fetch_optional(&mut *c).await?;
    match found {
        Some(row) => Ok(Some(account(c, &row).await?)),
        None => Ok(None),
    }
}

async fn account(c: &mut SqliteConnection, row: &SqliteRow) -> Inner<Account> {
    let id: i64 = row.try_get("id")?;
    let in_role: i64 = row.try_get("role")?;
    let sql = "SELECT client FROM theirs WHERE account = ?1";
    let kept: Vec<Vec<u8>> = sqlx::query_scalar(sql).bind(id).fetch_all(&mut *c).await?;
    Ok(Account {
        id,
        name: row.try_get("name")?,
        role: role(in_role),
        clients: kept.into_iter().map(client).collect::<Inner<_>>()?,
        hash: row.try_get("hash")?,
        disabled: row.try_get::<i64, _>("disabled")? != 0,
        second: second::of(c, id, in_role).await?,
    })
}

fn client(bytes: Vec<u8>) -> Inner<ClientId> {
    let bytes: Option<[u8; 16]> = bytes.try_into().ok();
    let client = bytes.and_then(|bytes| ClientId::from_bytes(bytes).ok());
    client.ok_or_else(|| Fail::Damaged("there is a client who cannot be".to_owned()))
}
