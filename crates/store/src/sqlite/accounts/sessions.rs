//! Sessions: where somebody is signed in, until when, and what ends it. Time is the clock's that is handed in; a clock that goes back ends
//! every session and every link, for what was begun by the later time would last longer than it may.

use super::record::{self, Deed, Said, Trace};
use super::{Account, Accounts, account};
use crate::digest::Digest;
use crate::error::{Result, StoreError};
use crate::sqlite::Inner;
use crate::sqlite::append::digest;
use sqlx::{Row, SqliteConnection};

/// How far a clock may go back without a consequence: it is put right by seconds, and two programs read it one after the other (judgement).
const SLACK_MS: i64 = 5 * 60_000;
/// How long the second step of a sign-in may take (judgement).
const PENDING_MS: i64 = 10 * 60_000;

/// How long a session lasts, in milliseconds.
#[derive(Clone, Copy, Debug)]
pub struct Lifetimes {
    /// Without a request.
    pub idle_ms: i64,
    /// In any case.
    pub whole_ms: i64,
}

/// A session that begins.
#[derive(Clone, Copy, Debug)]
pub struct Begin<'a> {
    /// What is kept of its token.
    pub session: Digest,
    /// What the browser is, in a few words.
    pub browser: &'a str,
    /// The session that this browser had before; it ends.
    pub instead: Option<Digest>,
}

/// Where somebody is signed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignedIn {
    /// What is kept of its token.
    pub session: Digest,
    /// When it was begun.
    pub begun_ms: i64,
    /// When it was last in use, to a few minutes.
    pub seen_ms: i64,
    /// The address that it was begun from.
    pub place: String,
    /// What the browser is, in a few words.
    pub browser: String,
}

impl Accounts {
    /// Begins a session, ends the one that the browser had, and clears away those that are over.
    pub fn begin(&mut self, id: i64, begin: Begin<'_>, trace: &Trace, lasts: Lifetimes) -> Result<()> {
        self.write(async |t| {
            keep_time(t, trace.at_ms).await?;
            let sql = "DELETE FROM sessions WHERE seen_ms < ?1 OR begun_ms < ?2 OR digest = ?3";
            let over = sqlx::query(sql).bind(trace.at_ms - lasts.idle_ms).bind(trace.at_ms - lasts.whole_ms);
            over.bind(begin.instead.map(|d| d.0.to_vec())).execute(&mut *t).await?;
            let sql = "DELETE FROM pending WHERE account = ?1 OR begun_ms < ?2";
            sqlx::query(sql).bind(id).bind(trace.at_ms - PENDING_MS).execute(&mut *t).await?;
            let sql = "INSERT INTO sessions (digest, account, begun_ms, seen_ms, place, browser) VALUES (?1, ?2, ?3, ?3, ?4, ?5)";
            let begun = sqlx::query(sql).bind(begin.session.0.to_vec()).bind(id).bind(trace.at_ms);
            begun.bind(&trace.place).bind(begin.browser).execute(&mut *t).await?;
            record::add(t, Said::of(trace, Deed::SignedIn, id)).await
        })
    }

    /// Whose session this is, while it lasts and the account is open. It counts as seen now, to `grain_ms`, so that not
    /// every request waits for the disk; on a disk that is full it does not, and is still theirs.
    pub fn session(
        &mut self,
        session: Digest,
        now_ms: i64,
        lasts: Lifetimes,
        grain_ms: i64,
    ) -> Result<Option<Account>> {
        let (found, is_back) = self.wait(async |c| {
            let is_back = latest(c).await? > now_ms.saturating_add(SLACK_MS);
            Ok((of_session(c, session, now_ms, lasts).await?, is_back))
        })?;
        if is_back {
            self.write(async |t| keep_time(t, now_ms).await)?;
            return Ok(None);
        }
        let Some((account, seen_ms)) = found else { return Ok(None) };
        if now_ms - seen_ms >= grain_ms {
            match self.file.write(async |c| seen(c, session, now_ms).await) {
                Ok(()) | Err(StoreError::Full { .. }) => {}
                Err(error) => return Err(error),
            }
        }
        Ok(Some(account))
    }

    /// A clock that showed the one time shows the other now, as somebody saw who looks at it all the while: also what nobody used meanwhile
    /// ends when it went back.
    pub fn clock_went(&mut self, from_ms: i64, to_ms: i64) -> Result<()> {
        if to_ms.saturating_add(SLACK_MS) >= from_ms {
            return Ok(());
        }
        self.write(async |t| {
            keep_time(t, from_ms).await?;
            keep_time(t, to_ms).await
        })
    }

    /// Where an account is signed in, the newest first.
    pub fn signed_in(&mut self, id: i64, now_ms: i64, lasts: Lifetimes) -> Result<Vec<SignedIn>> {
        let sql = "SELECT digest, begun_ms, seen_ms, place, browser FROM sessions \
                   WHERE account = ?1 AND seen_ms >= ?2 AND begun_ms >= ?3 ORDER BY begun_ms DESC, digest";
        self.wait(async |c| {
            let found = sqlx::query(sql).bind(id).bind(now_ms - lasts.idle_ms).bind(now_ms - lasts.whole_ms);
            let rows = found.fetch_all(c).await?;
            let session = |row: &sqlx::sqlite::SqliteRow| {
                Ok(SignedIn {
                    session: digest(&row.try_get::<Vec<u8>, _>("digest")?)?,
                    begun_ms: row.try_get("begun_ms")?,
                    seen_ms: row.try_get("seen_ms")?,
                    place: row.try_get("place")?,
                    browser: row.try_get("browser")?,
                })
            };
            rows.iter().map(session).collect()
        })
    }

    /// Ends a session of an account; whether there was one. What was done is said by whoever ends it: signed out, or ended elsewhere.
    pub fn end(&mut self, id: i64, session: Digest, trace: &Trace, deed: Deed) -> Result<bool> {
        self.write(async |t| {
            let sql = "DELETE FROM sessions WHERE digest = ?1 AND account = ?2";
            let ended = sqlx::query(sql).bind(session.0.to_vec()).bind(id).execute(&mut *t).await?;
            let was = ended.rows_affected() > 0;
            if was {
                record::add(t, Said::of(trace, deed, id)).await?;
            }
            Ok(was)
        })
    }

    /// Ends every session of an account but this one; how many there were.
    pub fn end_all(&mut self, id: i64, but: Option<Digest>, trace: &Trace) -> Result<u64> {
        self.write(async |t| {
            let ended = end_others(t, id, but).await?;
            record::add(t, Said::of(trace, Deed::EndedAll, id)).await?;
            Ok(ended)
        })
    }

    /// Keeps it that somebody gave the right password and is asked for a code.
    pub fn put_pending(&mut self, id: i64, pending: Digest, now_ms: i64) -> Result<()> {
        self.write(async |t| {
            keep_time(t, now_ms).await?;
            let sql = "INSERT INTO pending (digest, account, begun_ms) VALUES (?1, ?2, ?3)";
            sqlx::query(sql).bind(pending.0.to_vec()).bind(id).bind(now_ms).execute(t).await?;
            Ok(())
        })
    }

    /// Who gave the right password a moment ago and is asked for a code.
    pub fn pending(&mut self, pending: Digest, now_ms: i64) -> Result<Option<Account>> {
        let sql = "SELECT a.* FROM pending p JOIN accounts a ON a.id = p.account \
                   WHERE p.digest = ?1 AND a.disabled = 0 AND p.begun_ms BETWEEN ?2 AND ?3";
        self.wait(async |c| {
            let found = sqlx::query(sql).bind(pending.0.to_vec()).bind(now_ms - PENDING_MS);
            let found = found.bind(now_ms.saturating_add(SLACK_MS)).fetch_optional(&mut *c).await?;
            match found {
                Some(row) => Ok(Some(account(c, &row).await?)),
                None => Ok(None),
            }
        })
    }
}

/// Ends every session of an account but this one, and what was begun of others; how many there were.
pub(super) async fn end_others(c: &mut SqliteConnection, id: i64, but: Option<Digest>) -> Inner<u64> {
    sqlx::query("DELETE FROM pending WHERE account = ?1").bind(id).execute(&mut *c).await?;
    let sql = "DELETE FROM sessions WHERE account = ?1 AND digest IS NOT ?2";
    let ended = sqlx::query(sql).bind(id).bind(but.map(|d| d.0.to_vec())).execute(c).await?;
    Ok(ended.rows_affected())
}

async fn latest(c: &mut SqliteConnection) -> Inner<i64> {
    let latest: Option<i64> = sqlx::query_scalar("SELECT latest_ms FROM clock").fetch_optional(c).await?;
    Ok(latest.unwrap_or_default())
}

/// Reads what no checksum holds, so that an examination finds it if it cannot be read.
pub(super) async fn read(c: &mut SqliteConnection) -> Inner<()> {
    let sql = "SELECT (SELECT max(latest_ms) FROM clock WHERE one = 1), (SELECT max(seen_ms) FROM sessions)";
    let _: (Option<i64>, Option<i64>) = sqlx::query_as(sql).fetch_one(c).await?;
    Ok(())
}

/// Keeps the latest time. A clock that went back ends whatever was begun by the later time.
pub(super) async fn keep_time(c: &mut SqliteConnection, now_ms: i64) -> Inner<()> {
    let latest = latest(c).await?;
    if latest > now_ms.saturating_add(SLACK_MS) {
        sqlx::raw_sql("DELETE FROM sessions; DELETE FROM pending; DELETE FROM links")
            .execute(&mut *c)
            .await?;
        let trace = Trace::here(now_ms);
        let said = Said { trace: &trace, deed: Deed::ClockBack, account: None, client: None };
        record::add(c, said).await?;
    } else if latest >= now_ms {
        return Ok(());
    }
    put_time(c, now_ms).await
}

async fn put_time(c: &mut SqliteConnection, now_ms: i64) -> Inner<()> {
    let sql = "INSERT INTO clock (one, latest_ms) VALUES (1, ?1) ON CONFLICT (one) DO UPDATE SET latest_ms = excluded.latest_ms";
    sqlx::query(sql).bind(now_ms).execute(c).await?;
    Ok(())
}

/// Whose session this is, and when it was last seen. What was begun or seen later than now was so by another clock.
async fn of_session(
    c: &mut SqliteConnection,
    session: Digest,
    now_ms: i64,
    lasts: Lifetimes,
) -> Inner<Option<(Account, i64)>> {
    let sql = "SELECT a.*, s.seen_ms FROM sessions s JOIN accounts a ON a.id = s.account \
               WHERE s.digest = ?1 AND a.disabled = 0 AND s.seen_ms BETWEEN ?2 AND ?4 AND s.begun_ms BETWEEN ?3 AND ?4";
    let found = sqlx::query(sql).bind(session.0.to_vec());
    let found = found.bind(now_ms - lasts.idle_ms).bind(now_ms - lasts.whole_ms);
    let found = found.bind(now_ms.saturating_add(SLACK_MS));
    let Some(row) = found.fetch_optional(&mut *c).await? else { return Ok(None) };
    let seen_ms = row.try_get("seen_ms")?;
    Ok(Some((account(c, &row).await?, seen_ms)))
}

async fn seen(c: &mut SqliteConnection, session: Digest, now_ms: i64) -> Inner<()> {
    let sql = "UPDATE sessions SET seen_ms = ?2 WHERE digest = ?1";
    sqlx::query(sql).bind(session.0.to_vec()).bind(now_ms).execute(&mut *c).await?;
    if latest(c).await? < now_ms { put_time(c, now_ms).await } else { Ok(()) }
}
