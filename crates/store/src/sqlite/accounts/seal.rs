//! The checksum of the accounts: made anew in the transaction of each change, and held against what is there before the next one, so that
//! nothing is written over what a disk has changed. When a session was last seen is not in it: that is written down in passing, and a
//! session ends in any case when its whole time is over. Nor is the latest time that was seen: a later one ends sessions, an earlier one none.

use crate::digest::{Digest, Sum};
use crate::sqlite::append::digest;
use crate::sqlite::{Fail, Inner};
use sqlx::SqliteConnection;

/// Each table with its rows as bytes, in order. Of the record only the ends of its chains: the rest follows from them.
const ROWS: [&str; 10] = [
    ACCOUNTS,
    THEIRS,
    LINKS,
    "SELECT CAST(quote(digest) || ' ' || quote(account) || ' ' || quote(begun_ms) || ' ' || quote(place) || ' ' || quote(browser) AS BLOB) \
     FROM sessions ORDER BY digest",
    "SELECT CAST(quote(account) || ' ' || quote(secret) || ' ' || quote(step) || ' ' || quote(confirmed) AS BLOB) FROM factors ORDER BY account",
    "SELECT CAST(quote(digest) || ' ' || quote(account) AS BLOB) FROM recovery ORDER BY digest",
    "SELECT CAST(quote(role) AS BLOB) FROM required ORDER BY role",
    "SELECT CAST(quote(digest) || ' ' || quote(account) || ' ' || quote(begun_ms) AS BLOB) FROM pending ORDER BY digest",
    "SELECT CAST(quote(class) || ' ' || quote(max(nth)) || ' ' || quote(link) AS BLOB) FROM record GROUP BY class ORDER BY class",
    "SELECT CAST(quote(class) || ' ' || quote(nth) || ' ' || quote(link) AS BLOB) FROM record_dropped ORDER BY class",
];
/// The same of version 2.
const ROWS_BEFORE: [&str; 4] = [
    ACCOUNTS,
    THEIRS,
    LINKS,
    "SELECT CAST(quote(digest) || ' ' || quote(account) || ' ' || quote(begun_ms) AS BLOB) FROM sessions ORDER BY digest",
];
const ACCOUNTS: &str = "SELECT CAST(quote(id) || ' ' || quote(name) || ' ' || quote(plain) || ' ' || quote(role) || ' ' || quote(hash) || ' ' || \
     quote(disabled) || ' ' || quote(added_ms) AS BLOB) FROM accounts ORDER BY id";
const THEIRS: &str =
    "SELECT CAST(quote(account) || ' ' || quote(client) AS BLOB) FROM theirs ORDER BY account, client";
const LINKS: &str = "SELECT CAST(quote(digest) || ' ' || quote(account) || ' ' || quote(until_ms) AS BLOB) FROM links ORDER BY digest";

/// The checksum of what is there.
pub(super) async fn of(c: &mut SqliteConnection) -> Inner<Digest> {
    sum_of(c, &ROWS).await
}

async fn sum_of(c: &mut SqliteConnection, tables: &[&'static str]) -> Inner<Digest> {
    let mut sum = Sum::default();
    for &sql in tables {
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
    held(c, &ROWS).await
}

/// The same of what version 2 wrote.
pub(super) async fn checked_before(c: &mut SqliteConnection) -> Inner<Digest> {
    held(c, &ROWS_BEFORE).await
}

async fn held(c: &mut SqliteConnection, tables: &[&'static str]) -> Inner<Digest> {
    let kept: Option<Vec<u8>> = sqlx::query_scalar("SELECT digest FROM seal").fetch_optional(&mut *c).await?;
    let is = sum_of(c, tables).await?;
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
