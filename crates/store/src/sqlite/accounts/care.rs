//! Accounts are examined with the ledger that they belong to, and copied with it. A copy says who may come, and for whom; that somebody is
//! signed in, was given a link, or has recovery codes, is not in it, for what was ended or used since would be open again. The record of who
//! came is.

use super::{Account, AccountRole, Accounts, record, seal, sessions};
use crate::error::{Result, StoreError};
use crate::sqlite::{Fail, Inner, Opening};
use setwright_model::ledger::ClientId;
use sqlx::SqliteConnection;
use std::collections::BTreeSet;
use std::path::Path;

/// What an examination of accounts found.
#[derive(Debug, Default)]
pub(crate) struct Examined {
    /// How many accounts there are.
    pub accounts: u64,
    /// What is wrong, in sentences.
    pub faults: Vec<String>,
}

/// Examines the accounts at this path beside a ledger that knows these clients, and changes nothing.
pub(crate) fn examine(path: &Path, clients: &BTreeSet<ClientId>) -> Examined {
    let found = Accounts::open(path, Opening::Reading).and_then(|mut accounts| {
        let (whole, all) = (accounts.wait(whole)?, accounts.all()?);
        let askew = all.iter().flat_map(|account| askew(account, clients));
        Ok(Examined { accounts: all.len() as u64, faults: whole.into_iter().chain(askew).collect() })
    });
    found.unwrap_or_else(|error| Examined { accounts: 0, faults: vec![format!("Accounts: {error}.")] })
}

/// What SQLite itself finds, and the checksum.
async fn whole(c: &mut SqliteConnection) -> Inner<Vec<String>> {
    let found: Vec<String> = sqlx::query_scalar("PRAGMA integrity_check(5)").fetch_all(&mut *c).await?;
    let mut faults: Vec<String> = found
        .into_iter()
        .filter(|f| f != "ok")
        .map(|f| format!("The file of accounts is damaged: {f}."))
        .collect();
    let sql = "SELECT count(*) FROM pragma_foreign_key_check";
    let astray: i64 = sqlx::query_scalar(sql).fetch_one(&mut *c).await?;
    if astray > 0 {
        faults.push(format!("{astray} rows refer to accounts that are not there."));
    }
    match seal::checked(c).await {
        Ok(_) => {}
        Err(Fail::Damaged(what)) => faults.push(format!("The file of accounts is damaged: {what}.")),
        Err(other) => return Err(other),
    }
    faults.extend(record::faults(c).await?);
    sessions::read(c).await?;
    Ok(faults)
}

/// What cannot be of an account.
fn askew(account: &Account, clients: &BTreeSet<ClientId>) -> Vec<String> {
    let name = &account.name;
    let unknown = account.clients.iter().filter(|client| !clients.contains(client));
    let mut faults: Vec<String> = unknown
        .map(|client| {
            format!("The account {name} has a client of whom the ledger knows nothing: setwright account take \"{name}\" {client} ends that.")
        })
        .collect();
    let count = account.clients.len();
    match account.role {
        AccountRole::Client if count > 1 => {
            faults.push(format!("The account {name} is a client's, and of {count} clients."));
        }
        AccountRole::Owner if count > 0 => {
            faults.push(format!("The account {name} is an owner's, and has clients of its own."));
        }
        _ => {}
    }
    faults
}

impl Accounts {
    /// Copies the file to an empty one.
    pub(crate) fn copy_to(&mut self, part: &Path) -> Result<()> {
        let name = part.to_str().ok_or_else(|| StoreError::NotWritable {
            path: part.to_owned(),
            what: "its name is not Unicode".to_owned(),
        })?;
        self.wait(async |c| {
            seal::checked(c).await?;
            sqlx::query("VACUUM INTO ?1").bind(name).execute(c).await?;
            Ok(())
        })
    }

    /// Makes of a copied file the accounts of a ledger that knows these clients: nobody is signed in, no link is open, and nobody has a
    /// client who was forgotten since, or added after the ledger was copied. How many accounts there are.
    pub(crate) fn settle(part: &Path, clients: &BTreeSet<ClientId>) -> Result<u64> {
        let mut accounts = Self::open(part, Opening::Existing)?;
        let all = accounts.all()?;
        // What is taken out must not lie about in free pages either.
        accounts
            .wait(async |c| Ok(sqlx::raw_sql("PRAGMA secure_delete = ON").execute(c).await.map(|_| ())?))?;
        accounts.write(async |c| {
            let over = "DELETE FROM sessions; DELETE FROM links; DELETE FROM pending; DELETE FROM recovery; \
                        DELETE FROM factors WHERE confirmed = 0";
            sqlx::raw_sql(over).execute(&mut *c).await?;
            for account in &all {
                for client in account.clients.iter().filter(|client| !clients.contains(client)) {
                    super::forget::unknown(c, account, *client).await?;
                }
            }
            Ok(())
        })?;
        accounts.wait(async |c| Ok(sqlx::raw_sql("VACUUM").execute(c).await.map(|_| ())?))?;
        accounts.file.close()?;
        let found = examine(part, clients);
        match found.faults.into_iter().next() {
            None => Ok(found.accounts),
            Some(fault) => Err(StoreError::damaged(part, fault.trim_end_matches('.'))),
        }
    }
}
