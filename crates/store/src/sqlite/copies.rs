//! Which copies were made of a ledger, so that it can be said where somebody is still found who was forgotten.

use super::{Fail, Inner, SqliteStore};
use crate::error::Result;
use crate::store::Backup;
use setwright_model::ledger::Moment;
use sqlx::SqliteConnection;
use std::path::PathBuf;

/// Most copies that are remembered, the newest (judgement: a year of one a day, and some).
const MOST: i64 = 500;

/// A copy that was made of a ledger. It may have been deleted or moved since.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CopyMade {
    /// Where it was put.
    pub path: PathBuf,
    /// When.
    pub at: Moment,
    /// How many events are in it.
    pub events: u64,
}

impl SqliteStore {
    /// Remembers that this copy was made.
    ///
    /// # Errors
    /// A ledger that cannot be written.
    pub fn remember_copy(&mut self, made: &Backup, at: Moment) -> Result<()> {
        let whole = std::path::absolute(&made.path).unwrap_or_else(|_| made.path.clone());
        let (path, events) = (whole.display().to_string(), i64::try_from(made.events).unwrap_or(i64::MAX));
        self.file.write(async |c| {
            let sql = "INSERT INTO copies (path, at, events) VALUES (?1, ?2, ?3) \
                       ON CONFLICT (path) DO UPDATE SET at = excluded.at, events = excluded.events";
            sqlx::query(sql).bind(path).bind(at.to_string()).bind(events).execute(&mut *c).await?;
            let sql = "DELETE FROM copies WHERE rowid NOT IN (SELECT rowid FROM copies ORDER BY rowid DESC LIMIT ?1)";
            sqlx::query(sql).bind(MOST).execute(c).await?;
            Ok(())
        })
    }

    /// Copies that are remembered, the oldest first.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn copies(&mut self) -> Result<Vec<CopyMade>> {
        self.wait(async |c| read(c).await)
    }
}

async fn read(c: &mut SqliteConnection) -> Inner<Vec<CopyMade>> {
    let sql = "SELECT path, at, events FROM copies ORDER BY rowid";
    let rows: Vec<(String, String, i64)> = sqlx::query_as(sql).fetch_all(c).await?;
    let broken = || Fail::Damaged("a copy that was made is not written as it was".to_owned());
    let made = |(path, at, events): (String, String, i64)| {
        let at = at.parse().map_err(|_| broken())?;
        Ok(CopyMade { path: path.into(), at, events: u64::try_from(events).map_err(|_| broken())? })
    };
    rows.into_iter().map(made).collect()
}
