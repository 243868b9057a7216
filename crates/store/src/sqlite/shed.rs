//! Taking out of the file what nobody refers to any more: the file is written anew without it. `secure_delete` alone is not enough. When
//! rows become small SQLite lays two pages together, and what the pages held before stays behind what is in use.
//!
//! Until it is done a mark says that it is due: whoever reads meanwhile may be in the way, and a program may be killed.

use super::{Inner, schema};
use sqlx::SqliteConnection;

/// The word under which the ledger keeps that something readable, or of somebody who was forgotten, may lie about in the file.
const DUE: &str = "to shed";

/// Says that it is due: in the transaction that leaves something behind.
pub(super) async fn put_due(c: &mut SqliteConnection) -> Inner<()> {
    schema::set_meta(c, DUE, "1").await
}

/// Writes the file anew if that is due; whether nothing is left to do.
pub(super) async fn settle(c: &mut SqliteConnection) -> Inner<bool> {
    if schema::meta(c, DUE).await?.is_none() {
        return Ok(true);
    }
    let anew = sqlx::raw_sql("PRAGMA secure_delete = ON; VACUUM").execute(&mut *c).await;
    if anew.is_err() || !is_settled(c).await? {
        return Ok(false);
    }
    sqlx::query("DELETE FROM meta WHERE key = ?1").bind(DUE).execute(c).await?;
    Ok(true)
}

/// Puts the write-ahead file into the file itself and empties it; whether nobody was in the way.
async fn is_settled(c: &mut SqliteConnection) -> Inner<bool> {
    let (busy, _, _): (i64, i64, i64) =
        sqlx::query_as("PRAGMA wal_checkpoint(TRUNCATE)").fetch_one(c).await?;
    Ok(busy == 0)
}
