//! Takes a client who is forgotten out of the accounts: the account of their own keeps its row and nothing else, no coach has them, and the
//! record says neither whom it was about nor where they came from. Sessions of that account stay, without where they were begun: by
//! them alone a device that comes back is known, and told to clear what it keeps.

use super::record::{self, Deed, Said, Trace};
use super::{Account, AccountRole, Accounts};
use crate::digest::Digest;
use crate::error::Result;
use crate::sqlite::Inner;
use setwright_model::ledger::ClientId;
use sqlx::SqliteConnection;

impl Account {
    /// Whether it was the account of a client who was forgotten: a client's account is of one client otherwise.
    pub fn is_forgotten(&self) -> bool {
        self.role == AccountRole::Client && self.clients.is_empty()
    }
}

impl Accounts {
    /// Takes a client out. How many accounts of their own there were.
    ///
    /// # Errors
    /// The accounts cannot be read or written.
    pub fn forget(&mut self, client: ClientId, by: Option<i64>, trace: &Trace) -> Result<usize> {
        let own: Vec<i64> = self.own_of(client)?.iter().map(|account| account.id).collect();
        // What is taken out must not lie about in free pages either.
        self.wait(async |c| Ok(sqlx::raw_sql("PRAGMA secure_delete = ON").execute(c).await.map(|_| ())?))?;
        self.write(async |t| {
            for id in &own {
                empty(t, *id).await?;
            }
            let sql = "DELETE FROM theirs WHERE client = ?1";
            sqlx::query(sql).bind(client.bytes().to_vec()).execute(&mut *t).await?;
            record::forget(t, client, &own).await?;
            record::add(t, Said { trace, deed: Deed::Forgotten, account: by, client: None }).await
        })?;
        self.write_anew()?;
        Ok(own.len())
    }

    /// Takes out what somebody is called who worked here, with everything else of their account but its row.
    ///
    /// # Errors
    /// The accounts cannot be read or written.
    pub fn forget_account(&mut self, id: i64, trace: &Trace) -> Result<()> {
        self.wait(async |c| Ok(sqlx::raw_sql("PRAGMA secure_delete = ON").execute(c).await.map(|_| ())?))?;
        self.write(async |t| {
            empty(t, id).await?;
            for sql in ["DELETE FROM sessions WHERE account = ?1", "DELETE FROM theirs WHERE account = ?1"] {
                sqlx::query(sql).bind(id).execute(&mut *t).await?;
            }
            record::without_places(t, &[id]).await?;
            record::add(t, Said::of(trace, Deed::Emptied, id)).await
        })?;
        self.write_anew()
    }

    /// Pages that were laid together may hold more than their rows.
    fn write_anew(&mut self) -> Result<()> {
        let anew = "PRAGMA temp_store = MEMORY; VACUUM";
        self.wait(async |c| Ok(sqlx::raw_sql(anew).execute(c).await.map(|_| ())?))
    }

    /// The accounts that are a client's own.
    ///
    /// # Errors
    /// The accounts cannot be read.
    pub fn own_of(&mut self, client: ClientId) -> Result<Vec<Account>> {
        let mut all = self.all()?;
        all.retain(|account| account.role == AccountRole::Client && account.clients.contains(&client));
        Ok(all)
    }

    /// Whether this session is of an account whose client was forgotten.
    ///
    /// # Errors
    /// The accounts cannot be read.
    pub fn is_of_forgotten(&mut self, session: Digest) -> Result<bool> {
        let sql = "SELECT EXISTS (SELECT 1 FROM sessions s JOIN accounts a ON a.id = s.account WHERE s.digest = ?1 \
                   AND a.role = 0 AND NOT EXISTS (SELECT 1 FROM theirs t WHERE t.account = a.id))";
        self.wait(async |c| Ok(sqlx::query_scalar(sql).bind(session.0.to_vec()).fetch_one(c).await?))
    }
}

/// Takes a client of an account out whom the ledger does not know.
pub(super) async fn unknown(c: &mut SqliteConnection, account: &Account, client: ClientId) -> Inner<()> {
    super::leave(c, account.id, client).await?;
    let own: &[i64] = if account.role == AccountRole::Client { &[account.id] } else { &[] };
    for id in own {
        empty(c, *id).await?;
    }
    record::forget(c, client, own).await
}

/// Leaves of an account its row, shut and called so that it names nobody, and its sessions without where they were begun.
async fn empty(c: &mut SqliteConnection, id: i64) -> Inner<()> {
    let name = format!("(forgotten {id})");
    let sql =
        "UPDATE accounts SET name = ?2, plain = ?2, hash = NULL, disabled = 1, added_ms = 0 WHERE id = ?1";
    sqlx::query(sql).bind(id).bind(name).execute(&mut *c).await?;
    for sql in [
        "DELETE FROM links WHERE account = ?1",
        "DELETE FROM pending WHERE account = ?1",
        "DELETE FROM factors WHERE account = ?1",
        "DELETE FROM recovery WHERE account = ?1",
        "UPDATE sessions SET place = '', browser = '' WHERE account = ?1",
    ] {
        sqlx::query(sql).bind(id).execute(&mut *c).await?;
    }
    Ok(())
}
