//! The second step of signing in: a secret that an app on the phone shares, recovery codes, and the roles of which it is required. Whether a
//! code is right is not decided here; that each is used once is.

use super::record::{self, Deed, Said, Trace};
use super::{AccountRole, Accounts, number, role, sessions};
use crate::digest::Digest;
use crate::error::Result;
use crate::sqlite::Inner;
use sqlx::SqliteConnection;
use std::collections::BTreeSet;

/// How it stands with the second step of an account.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SecondStep {
    /// There is none.
    #[default]
    Off,
    /// There is none, and its role has to have one.
    Wanted,
    /// A code is asked for.
    On,
}

/// The secret of an account, as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SharedSecret {
    /// The secret.
    pub bytes: Vec<u8>,
    /// The last step of time whose code was used.
    pub step: i64,
    /// Whether a code of it was given once: it is asked for from then on.
    pub is_confirmed: bool,
}

impl Accounts {
    /// Keeps a secret that has still to be confirmed by a code; false where a confirmed one stands.
    pub fn propose_secret(&mut self, id: i64, secret: &[u8]) -> Result<bool> {
        let sql = "INSERT INTO factors (account, secret) VALUES (?1, ?2) \
                   ON CONFLICT (account) DO UPDATE SET secret = excluded.secret, step = 0 WHERE confirmed = 0";
        self.write(async |t| {
            let put = sqlx::query(sql).bind(id).bind(secret).execute(t).await?;
            Ok(put.rows_affected() > 0)
        })
    }

    /// The secret of an account.
    pub fn secret(&mut self, id: i64) -> Result<Option<SharedSecret>> {
        let sql = "SELECT secret, step, confirmed FROM factors WHERE account = ?1";
        self.wait(async |c| {
            let found: Option<(Vec<u8>, i64, i64)> = sqlx::query_as(sql).bind(id).fetch_optional(c).await?;
            Ok(found.map(|(bytes, step, confirmed)| SharedSecret {
                bytes,
                step,
                is_confirmed: confirmed != 0,
            }))
        })
    }

    /// A code of this step confirms the secret, which is asked for from now on; all other sessions end. False where there is nothing to
    /// confirm.
    pub fn confirm_secret(
        &mut self,
        id: i64,
        step: i64,
        codes: &[Digest],
        but: Option<Digest>,
        trace: &Trace,
    ) -> Result<bool> {
        self.write(async |t| {
            let sql = "UPDATE factors SET confirmed = 1, step = ?2 WHERE account = ?1 AND confirmed = 0";
            let done = sqlx::query(sql).bind(id).bind(step).execute(&mut *t).await?;
            if done.rows_affected() == 0 {
                return Ok(false);
            }
            put_codes(t, id, codes).await?;
            sessions::end_others(t, id, but).await?;
            record::add(t, Said::of(trace, Deed::CodesOn, id)).await?;
            Ok(true)
        })
    }

    /// Uses the code of a step of time; false when it, or a later one, was used before.
    pub fn use_step(&mut self, id: i64, step: i64) -> Result<bool> {
        let sql = "UPDATE factors SET step = ?2 WHERE account = ?1 AND confirmed = 1 AND step < ?2";
        self.write(async |t| {
            let used = sqlx::query(sql).bind(id).bind(step).execute(t).await?;
            Ok(used.rows_affected() > 0)
        })
    }

    /// Uses a recovery code up; false when it is none, or was used before.
    pub fn use_recovery(&mut self, id: i64, code: Digest, trace: &Trace) -> Result<bool> {
        self.write(async |t| {
            let sql = "DELETE FROM recovery WHERE account = ?1 AND digest = ?2";
            let used = sqlx::query(sql).bind(id).bind(code.0.to_vec()).execute(&mut *t).await?;
            let was = used.rows_affected() > 0;
            if was {
                record::add(t, Said::of(trace, Deed::RecoveryUsed, id)).await?;
            }
            Ok(was)
        })
    }

    /// New recovery codes; the ones before are void.
    pub fn renew_recovery(&mut self, id: i64, codes: &[Digest], trace: &Trace) -> Result<()> {
        self.write(async |t| {
            put_codes(t, id, codes).await?;
            record::add(t, Said::of(trace, Deed::RecoveryMade, id)).await
        })
    }

    /// How many recovery codes are left.
    pub fn recovery_left(&mut self, id: i64) -> Result<i64> {
        let sql = "SELECT count(*) FROM recovery WHERE account = ?1";
        self.wait(async |c| Ok(sqlx::query_scalar(sql).bind(id).fetch_one(c).await?))
    }

    /// Takes the second step away, and every session but this one; false where there was none.
    pub fn drop_secret(&mut self, id: i64, but: Option<Digest>, trace: &Trace, deed: Deed) -> Result<bool> {
        self.write(async |t| {
            let dropped =
                sqlx::query("DELETE FROM factors WHERE account = ?1").bind(id).execute(&mut *t).await?;
            if dropped.rows_affected() == 0 {
                return Ok(false);
            }
            sqlx::query("DELETE FROM recovery WHERE account = ?1").bind(id).execute(&mut *t).await?;
            sessions::end_others(t, id, but).await?;
            record::add(t, Said::of(trace, deed, id)).await?;
            Ok(true)
        })
    }

    /// Has every account of a role have a second step, or no longer.
    pub fn require(&mut self, of: AccountRole, is_required: bool, trace: &Trace) -> Result<()> {
        self.write(async |t| {
            let (sql, deed) = if is_required {
                ("INSERT INTO required (role) VALUES (?1) ON CONFLICT DO NOTHING", Deed::Required)
            } else {
                ("DELETE FROM required WHERE role = ?1", Deed::NotRequired)
            };
            sqlx::query(sql).bind(number(of)).execute(&mut *t).await?;
            record::add(t, Said { trace, deed, account: None, client: None }).await
        })
    }

    /// The roles whose accounts have to have a second step.
    pub fn required(&mut self) -> Result<BTreeSet<AccountRole>> {
        self.wait(async |c| {
            let roles: Vec<i64> = sqlx::query_scalar("SELECT role FROM required").fetch_all(c).await?;
            Ok(roles.into_iter().map(role).collect())
        })
    }
}

async fn put_codes(c: &mut SqliteConnection, id: i64, codes: &[Digest]) -> Inner<()> {
    sqlx::query("DELETE FROM recovery WHERE account = ?1").bind(id).execute(&mut *c).await?;
    for code in codes {
        let sql = "INSERT INTO recovery (digest, account) VALUES (?1, ?2)";
        sqlx::query(sql).bind(code.0.to_vec()).bind(id).execute(&mut *c).await?;
    }
    Ok(())
}

/// How it stands with the second step of an account of this role.
pub(super) async fn of(c: &mut SqliteConnection, id: i64, role: i64) -> Inner<SecondStep> {
    let sql = "SELECT EXISTS (SELECT 1 FROM factors WHERE account = ?1 AND confirmed = 1), \
               EXISTS (SELECT 1 FROM required WHERE role = ?2)";
    let (is_on, is_wanted): (i64, i64) = sqlx::query_as(sql).bind(id).bind(role).fetch_one(c).await?;
    Ok(match (is_on != 0, is_wanted != 0) {
        (true, _) => SecondStep::On,
        (false, true) => SecondStep::Wanted,
        (false, false) => SecondStep::Off,
    })
}
