//! The checksum of the accounts: made anew in the transaction of each change, and held against what is there before the next one, so that
//! nothing is written over what a disk has changed. When a session was last seen is not in it: that is written down in passing, and a
//! session ends in any case when its whole time is over.

use crate::digest::{Digest, Sum};
use crate::sqlite::append::digest;
use crate::sqlite::{Fail, Inner};
use sqlx::SqliteConnection;

/// Each table with its rows as bytes, in order.
const ROWS: [&str; 4] = [
    "SELECT CAST(quote(id) || ' ' || quote(name) || ' ' || quote(plain) || ' ' || quote(role) || ' ' || quote(hash) || ' ' || \
     quote(disabled) || ' ' || quote(added_ms) AS BLOB) FROM accounts ORDER BY id",
    "SELECT CAST(quote(account) || ' ' || quote(client) AS BLOB) FROM theirs ORDER BY account, client",
    "SELECT CAST(quote(digest) || ' ' || quote(account) || ' ' || quote(until_ms) AS BLOB) FROM links ORDER BY digest",
    "SELECT CAST(quote(digest) || ' ' || quote(account) || ' ' || quote(begun_ms) AS BLOB) FROM sessions ORDER BY digest",
];

/// The checksum of what is there.
pub(super) async fn of(c: &mut SqliteConnection) -> Inner<Digest> {
    let mut sum = Sum::default();
    for sql in ROWS {
        let rows: Vec<Vec<u8>> = sqlx::query_scalar(sql).fetch_all(&mut *c).await?;
        sum.add(&(rows.len() as u64).to_be_bytes());
        for row in &rows {
            sum.field(row);
        }
    }
    Ok(sum.done())
}

/// The checksum of what is there, which is the one that was written.
pub(super) async fn checked(c: &mut SqliteConnection) -> Inner<Digest> {
    let kept: Option<Vec<u8>> = sqlx::query_scalar("SELECT digest FROM seal").fetch_optional(&mut *c).await?;
    let is = of(c).await?;
    match kept.as_deref().map(digest).transpose()? {
        Some(kept) if kept == is => Ok(is),
        _ => Err(Fail::Damaged("it is not what was written, its checksum does not hold".to_owned())),
    }
}

/// Writes the checksum of what is there now.
pub(super) async fn put(c: &mut SqliteConnection, sum: Digest) -> Inner<()> {
    let sql = "INSERT INTO seal (one, digest) VALUES (1, ?1) ON CONFLICT (one) DO UPDATE SET digest = excluded.digest";
    sqlx::query(sql).bind(sum.0.to_vec()).execute(c).await?;
    Ok(())
}
