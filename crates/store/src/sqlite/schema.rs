//! The schema and its versions. A version is added and never changed once it was released.

use super::keys::Keys;
use super::{Fail, Inner, erased, rebuild, sealing};
use crate::error::StoreError;
use crate::fold::FOLD_VERSION;
use sqlx::migrate::{MigrateError, Migration, MigrationType, Migrator};
use sqlx::{SqlSafeStr, SqliteConnection};
use std::path::Path;
use std::time::Duration;

/// The version of the schema that this program writes.
pub const SCHEMA_VERSION: i64 = 6;

/// The version since which what is said of people is sealed.
const SEALED_SINCE: i64 = 6;

/// "SWLG" as a number: what the file says it is.
const APPLICATION_ID: i64 = 0x5357_4c47;

/// Every version with its script.
const VERSIONS: [(i64, &str, &str); 6] = [
    (1, "log", include_str!("../../migrations/1_log.sql")),
    (2, "standing", include_str!("../../migrations/2_standing.sql")),
    (3, "sets by session", include_str!("../../migrations/3_sets_by_session.sql")),
    (4, "pain", include_str!("../../migrations/4_pain.sql")),
    (5, "certified for", include_str!("../../migrations/5_certified_for.sql")),
    (6, "sealed", include_str!("../../migrations/6_sealed.sql")),
];

/// Whether the schema is of this version, and what stands was reckoned as this program does.
pub(super) async fn is_current(c: &mut SqliteConnection, path: &Path, to: i64) -> Inner<bool> {
    let have = version(c, path).await?;
    if have > SCHEMA_VERSION {
        return Err(StoreError::TooNew { path: path.to_owned(), have, know: SCHEMA_VERSION }.into());
    }
    Ok(have >= to
        && !sealing::is_due(c).await?
        && meta(c, "fold").await?.as_deref() == Some(&FOLD_VERSION.to_string()))
}

/// Brings the schema up to a version, seals what was not, forgets whoever the list of erasures names, and brings what stands up to this
/// program's way of reckoning.
pub(super) async fn bring_up(
    c: &mut SqliteConnection,
    path: &Path,
    keys: &mut Keys,
    (to, keeps_end): (i64, bool),
) -> Inner<()> {
    let mut tries = 0;
    loop {
        match migrate(c, path, to).await {
            Err(Fail::Sql(error)) if tries < TRIES && is_race(&error) => {
                tries += 1;
                tokio::time::sleep(Duration::from_millis(PAUSE_MS)).await;
            }
            Err(fail) => return Err(fail),
            Ok(()) => break,
        }
    }
    if to < SEALED_SINCE {
        return Ok(());
    }
    sealing::seal(c, path, keys, keeps_end).await?;
    if keeps_end {
        sealing::settle(c, path).await?;
        erased::take_up(c, keys, path).await?;
    }
    if meta(c, "fold").await?.as_deref() != Some(&FOLD_VERSION.to_string()) {
        rebuild::rebuild(c, keys).await?;
    }
    Ok(())
}

/// How often two programs that begin the same ledger at the same time may get in each other's way, and for how long.
const TRIES: u32 = 20;
const PAUSE_MS: u64 = 100;

/// Whether another program brought the schema up at the same moment.
fn is_race(error: &sqlx::Error) -> bool {
    let text = error.to_string();
    text.contains("already exists") || text.contains("UNIQUE constraint") || text.contains("locked")
}

async fn migrate(c: &mut SqliteConnection, path: &Path, to: i64) -> Inner<()> {
    let have = version(c, path).await?;
    if have > SCHEMA_VERSION {
        return Err(StoreError::TooNew { path: path.to_owned(), have, know: SCHEMA_VERSION }.into());
    }
    if have >= to {
        return Ok(());
    }
    let wanted = VERSIONS.iter().filter(|(version, _, _)| *version <= to.max(have));
    let migrations = wanted.map(|&(version, name, script)| {
        Migration::new(version, name.into(), MigrationType::Simple, script.into_sql_str(), false)
    });
    let migrator = Migrator::with_migrations(migrations.collect());
    migrator.run(&mut *c).await.map_err(|error| match error {
        MigrateError::Execute(error) | MigrateError::ExecuteMigration(error, _) => Fail::Sql(error),
        other => Fail::Damaged(other.to_string()),
    })
}

/// The version of the schema in the file: 0 for an empty one.
pub(super) async fn version(c: &mut SqliteConnection, path: &Path) -> Inner<i64> {
    let (application, tables): (i64, i64) = sqlx::query_as(
        "SELECT (SELECT application_id FROM pragma_application_id), (SELECT count(*) FROM sqlite_schema)",
    )
    .fetch_one(&mut *c)
    .await?;
    let ours = "SELECT count(*) FROM sqlite_schema WHERE name = '_sqlx_migrations'";
    let migrated: i64 = sqlx::query_scalar(ours).fetch_one(&mut *c).await?;
    // A program that was stopped while it began a ledger leaves a file with no table, or with that one alone.
    if application != APPLICATION_ID && tables > 2 * migrated {
        return Err(StoreError::NotALedger { path: path.to_owned() }.into());
    }
    if migrated == 0 {
        return Ok(0);
    }
    let last = "SELECT coalesce(max(version), 0) FROM _sqlx_migrations";
    Ok(sqlx::query_scalar(last).fetch_one(&mut *c).await?)
}

/// A word that the ledger keeps about itself.
pub(super) async fn meta(c: &mut SqliteConnection, key: &str) -> Inner<Option<String>> {
    Ok(sqlx::query_scalar("SELECT value FROM meta WHERE key = ?1").bind(key).fetch_optional(c).await?)
}

/// Keeps a word about the ledger itself.
pub(super) async fn set_meta(c: &mut SqliteConnection, key: &str, value: &str) -> Inner<()> {
    let sql = "INSERT INTO meta (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = excluded.value";
    sqlx::query(sql).bind(key).bind(value).execute(c).await?;
    Ok(())
}
