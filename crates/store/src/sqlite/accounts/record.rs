//! The record: who came and from where, who tried and failed, what was changed of accounts, and who saw which client. It is bounded in
//! number and age, each class for itself, so that whoever tries many passwords does not push out what else is there. Rows of a class are a
//! chain, so that an examination finds what a disk has changed, while a new row costs no more than itself.

use super::Accounts;
use crate::digest::{Digest, Sum};
use crate::error::Result;
use crate::sqlite::append::digest;
use crate::sqlite::{Fail, Inner};
use setwright_model::ledger::ClientId;
use sqlx::sqlite::SqliteRow;
use sqlx::{Row, SqliteConnection};

/// Days that a row is kept (judgement: a year, and a month to ask in).
const DAYS_MOST: i64 = 400;
/// Most rows of each class (judgement: years of a large gym, and a few megabytes).
const ROWS_MOST: [i64; 3] = [10_000, 5_000, 20_000];
/// Rows that go for their age when one comes: a clock that is wrong once must not empty the record (judgement).
const OLD_AT_ONCE: i64 = 20;
const MS_PER_DAY: i64 = 86_400_000;

/// When and from where something was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trace {
    /// When, in milliseconds since 1970.
    pub at_ms: i64,
    /// The address it came from; empty on the machine itself.
    pub place: String,
}

impl Trace {
    /// Done on the machine itself.
    pub const fn here(at_ms: i64) -> Self {
        Self { at_ms, place: String::new() }
    }
}

macro_rules! deeds {
    ($($name:ident = $word:literal, $class:literal, $said:literal;)*) => {
        /// What was done.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Deed {
            $(#[doc = $said] $name,)*
        }

        impl Deed {
            /// All of them.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// As it is kept, and as programs read it.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)* }
            }

            /// As it is said.
            pub const fn said(self) -> &'static str {
                match self { $(Self::$name => $said,)* }
            }

            const fn class(self) -> i64 {
                match self { $(Self::$name => $class,)* }
            }
        }
    };
}

deeds! {
    SignedIn = "signed_in", 0, "signed in";
    SignedOut = "signed_out", 0, "signed out";
    Ended = "session_ended", 0, "a session was ended";
    EndedAll = "sessions_ended", 0, "all other sessions were ended";
    PasswordSet = "password_set", 0, "set a password by a link";
    PasswordChanged = "password_changed", 0, "changed the password";
    CodesOn = "codes_on", 0, "turned on one-time codes";
    CodesOff = "codes_off", 0, "turned off one-time codes";
    CodesReset = "codes_reset", 0, "had one-time codes taken away";
    RecoveryUsed = "recovery_used", 0, "used a recovery code";
    RecoveryMade = "recovery_made", 0, "made new recovery codes";
    Added = "account_added", 0, "was added";
    Linked = "link_made", 0, "was given a set-up link";
    Shut = "account_shut", 0, "was shut";
    Opened = "account_opened", 0, "was opened again";
    Given = "client_given", 0, "was given a client";
    Taken = "client_taken", 0, "had a client taken away";
    Forgotten = "client_forgotten", 0, "forgot a client";
    Emptied = "account_emptied", 0, "was emptied, and its name taken out";
    Required = "codes_required", 0, "one-time codes are required of a role";
    NotRequired = "codes_not_required", 0, "one-time codes are no longer required of a role";
    ClockBack = "clock_went_back", 0, "the clock went back: every session and link was ended";
    WrongPassword = "wrong_password", 1, "gave a wrong password";
    WrongCode = "wrong_code", 1, "gave a wrong code";
    SawClient = "saw_client", 2, "saw a client";
    SawRoster = "saw_roster", 2, "saw the roster";
}

/// One row of the record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// When and from where.
    pub trace: Trace,
    /// What.
    pub deed: Deed,
    /// Whose account; none when the name is nobody's, or it is of all.
    pub account: Option<String>,
    /// Which client it is about.
    pub client: Option<ClientId>,
}

/// Which rows are asked for.
#[derive(Clone, Debug, Default)]
pub struct RecordFilter {
    /// Of this account alone.
    pub account: Option<i64>,
    /// About this client alone.
    pub client: Option<ClientId>,
    /// Without what was merely seen.
    pub without_views: bool,
}

/// What a row says, before it is written.
#[derive(Clone, Copy)]
pub(super) struct Said<'a> {
    pub trace: &'a Trace,
    pub deed: Deed,
    pub account: Option<i64>,
    pub client: Option<ClientId>,
}

impl<'a> Said<'a> {
    pub(super) const fn of(trace: &'a Trace, deed: Deed, account: i64) -> Self {
        Self { trace, deed, account: Some(account), client: None }
    }
}

impl Accounts {
    /// Writes down what changed nothing else: that somebody failed, or saw a client.
    pub fn record(
        &mut self,
        trace: &Trace,
        deed: Deed,
        account: Option<i64>,
        client: Option<ClientId>,
    ) -> Result<()> {
        self.write(async |t| add(t, Said { trace, deed, account, client }).await)
    }

    /// The newest rows first: so many, after so many.
    pub fn recorded(&mut self, filter: &RecordFilter, skip: usize, most: usize) -> Result<Vec<Entry>> {
        let sql = "SELECT r.at_ms, r.deed, r.place, r.client, a.name FROM record r LEFT JOIN accounts a ON a.id = r.account \
                   WHERE (?1 IS NULL OR r.account = ?1) AND (?2 IS NULL OR r.client = ?2) AND (?3 = 0 OR r.class < 2) \
                   ORDER BY r.at_ms DESC, r.class, r.nth DESC LIMIT ?4 OFFSET ?5";
        let client = filter.client.map(|client| client.bytes().to_vec());
        let (most, skip) = (i64::try_from(most).unwrap_or(i64::MAX), i64::try_from(skip).unwrap_or(i64::MAX));
        self.wait(async |c| {
            let found = sqlx::query(sql).bind(filter.account).bind(client);
            let found = found.bind(i64::from(filter.without_views)).bind(most).bind(skip);
            found.fetch_all(c).await?.iter().map(entry).collect()
        })
    }
}

fn entry(row: &SqliteRow) -> Inner<Entry> {
    let word: String = row.try_get("deed")?;
    let deed = Deed::ALL.iter().copied().find(|deed| deed.word() == word);
    let client: Option<Vec<u8>> = row.try_get("client")?;
    Ok(Entry {
        trace: Trace { at_ms: row.try_get("at_ms")?, place: row.try_get("place")? },
        deed: deed.ok_or_else(|| Fail::Damaged("the record has a row that cannot be".to_owned()))?,
        account: row.try_get("name")?,
        client: client.map(super::client).transpose()?,
    })
}

/// Adds a row at the end of its class, and drops what is over or too old.
pub(super) async fn add(c: &mut SqliteConnection, said: Said<'_>) -> Inner<()> {
    let class = said.deed.class();
    let (dropped, before) = dropped(c, class).await?;
    let sql = "SELECT nth, link FROM record WHERE class = ?1 ORDER BY nth DESC LIMIT 1";
    let last: Option<(i64, Vec<u8>)> = sqlx::query_as(sql).bind(class).fetch_optional(&mut *c).await?;
    let (nth, before) = match last {
        Some((nth, link)) => (nth + 1, digest(&link)?),
        None => (dropped + 1, before),
    };
    let client = said.client.map(|client| client.bytes().to_vec());
    let Said { trace, deed, account, .. } = said;
    let link = link(before, trace, deed.word(), account, client.as_deref());
    let sql = "INSERT INTO record (class, nth, at_ms, deed, account, place, client, link) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)";
    let row = sqlx::query(sql).bind(class).bind(nth).bind(trace.at_ms).bind(deed.word()).bind(account);
    row.bind(&trace.place).bind(client).bind(link.0.to_vec()).execute(&mut *c).await?;
    let most = usize::try_from(class).ok().and_then(|class| ROWS_MOST.get(class).copied()).unwrap_or(nth);
    let sql = "SELECT coalesce(max(nth), 0) FROM record WHERE class = ?1 AND at_ms < ?2 AND nth <= ?3";
    let old = sqlx::query_scalar(sql).bind(class).bind(trace.at_ms - DAYS_MOST * MS_PER_DAY);
    let old: i64 = old.bind(dropped + OLD_AT_ONCE).fetch_one(&mut *c).await?;
    let up_to = old.max(nth - most);
    if up_to > dropped { drop_rows(c, class, up_to).await } else { Ok(()) }
}

async fn drop_rows(c: &mut SqliteConnection, class: i64, up_to: i64) -> Inner<()> {
    let sql = "INSERT INTO record_dropped (class, nth, link) SELECT class, nth, link FROM record WHERE class = ?1 AND nth = ?2 \
               ON CONFLICT (class) DO UPDATE SET nth = excluded.nth, link = excluded.link";
    sqlx::query(sql).bind(class).bind(up_to).execute(&mut *c).await?;
    let sql = "DELETE FROM record WHERE class = ?1 AND nth <= ?2";
    sqlx::query(sql).bind(class).bind(up_to).execute(c).await?;
    Ok(())
}

/// The last row of a class that was dropped, and its link.
async fn dropped(c: &mut SqliteConnection, class: i64) -> Inner<(i64, Digest)> {
    let sql = "SELECT nth, link FROM record_dropped WHERE class = ?1";
    let found: Option<(i64, Vec<u8>)> = sqlx::query_as(sql).bind(class).fetch_optional(c).await?;
    found.map_or(Ok((0, Digest::NONE)), |(nth, link)| Ok((nth, digest(&link)?)))
}

fn link(before: Digest, trace: &Trace, deed: &str, account: Option<i64>, client: Option<&[u8]>) -> Digest {
    let mut sum = Sum::default();
    sum.field(&before.0);
    sum.field(&trace.at_ms.to_be_bytes());
    sum.field(trace.place.as_bytes());
    sum.field(deed.as_bytes());
    sum.field(&account.unwrap_or(-1).to_be_bytes());
    sum.field(client.unwrap_or_default());
    sum.done()
}

/// Takes out whom rows were about, and where these accounts came from; the chains are made anew over what is left.
pub(super) async fn forget(c: &mut SqliteConnection, client: ClientId, own: &[i64]) -> Inner<()> {
    let sql = "UPDATE record SET client = NULL WHERE client = ?1";
    sqlx::query(sql).bind(client.bytes().to_vec()).execute(&mut *c).await?;
    without_places(c, own).await
}

/// Takes out where these accounts came from; the chains are made anew over what is left.
pub(super) async fn without_places(c: &mut SqliteConnection, own: &[i64]) -> Inner<()> {
    for account in own {
        let sql = "UPDATE record SET place = '' WHERE account = ?1";
        sqlx::query(sql).bind(account).execute(&mut *c).await?;
    }
    for class in 0..ROWS_MOST.len() {
        chain_anew(c, i64::try_from(class).unwrap_or_default()).await?;
    }
    Ok(())
}

async fn chain_anew(c: &mut SqliteConnection, class: i64) -> Inner<()> {
    let (_, mut before) = dropped(c, class).await?;
    let sql =
        "SELECT nth, at_ms, deed, account, place, client, link FROM record WHERE class = ?1 ORDER BY nth";
    for row in sqlx::query(sql).bind(class).fetch_all(&mut *c).await? {
        let kept: Vec<u8> = row.try_get("link")?;
        before = follows(before, &row)?;
        if kept != before.0 {
            let sql = "UPDATE record SET link = ?3 WHERE class = ?1 AND nth = ?2";
            let nth: i64 = row.try_get("nth")?;
            sqlx::query(sql).bind(class).bind(nth).bind(before.0.to_vec()).execute(&mut *c).await?;
        }
    }
    Ok(())
}

/// The link of a row after this one.
fn follows(before: Digest, row: &SqliteRow) -> Inner<Digest> {
    let trace = Trace { at_ms: row.try_get("at_ms")?, place: row.try_get("place")? };
    let (deed, client): (String, Option<Vec<u8>>) = (row.try_get("deed")?, row.try_get("client")?);
    Ok(link(before, &trace, &deed, row.try_get("account")?, client.as_deref()))
}

/// What is wrong with the record, in sentences.
pub(super) async fn faults(c: &mut SqliteConnection) -> Inner<Vec<String>> {
    let mut faults = Vec::new();
    for class in 0..ROWS_MOST.len() {
        let class = i64::try_from(class).unwrap_or_default();
        let (mut at, mut before) = dropped(c, class).await?;
        let sql =
            "SELECT nth, at_ms, deed, account, place, client, link FROM record WHERE class = ?1 ORDER BY nth";
        for row in sqlx::query(sql).bind(class).fetch_all(&mut *c).await? {
            at = at.saturating_add(1);
            let wanted = follows(before, &row)?;
            let nth: i64 = row.try_get("nth")?;
            before = digest(&row.try_get::<Vec<u8>, _>("link")?)?;
            if nth != at || before != wanted {
                faults.push(format!("The record of who came is not what was written, from row {nth} on."));
                break;
            }
        }
    }
    Ok(faults)
}
