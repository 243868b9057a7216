//! The file of SQLite: beginning, upgrading, refusing, examining, copying.

use super::kit::{Pen, as_before, meddle};
use setwright_model::ledger::ClientId;
use setwright_store::{Opening, Receipt, SCHEMA_VERSION, SqliteStore, Store, StoreError, sha256};
use sqlx::{Connection, SqliteConnection};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::{TempDir, tempdir};

fn place() -> (TempDir, PathBuf) {
    let folder = tempdir().unwrap();
    let path = folder.path().join("deep/ledger.sqlite3");
    (folder, path)
}

fn filled(path: &Path, sets: usize) -> Pen {
    let mut store = SqliteStore::open(path, Opening::Create).unwrap();
    let mut pen = Pen::new(1);
    let events = pen.client_with_sets("Mara", sets);
    store.append_all(&mut events.into_iter()).unwrap();
    store.close().unwrap();
    pen
}

fn faults(path: &Path) -> Vec<String> {
    SqliteStore::open(path, Opening::Existing).unwrap().doctor().unwrap().faults
}

#[test]
fn a_ledger_is_begun_only_where_that_was_asked() {
    let (_folder, path) = place();
    assert!(matches!(SqliteStore::open(&path, Opening::Existing), Err(StoreError::NoLedger { .. })));
    assert!(!path.parent().unwrap().exists(), "nothing was made");
    filled(&path, 1);
    assert!(!path.with_extension("sqlite3-wal").exists(), "a closed ledger is one file");
    assert_eq!(SqliteStore::open(&path, Opening::Existing).unwrap().clients().unwrap().len(), 1);
}

#[test]
fn the_log_cannot_be_changed_through_the_database() {
    let (_folder, path) = place();
    filled(&path, 1);
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
    runtime.block_on(async {
        let mut c = SqliteConnection::connect(path.to_str().unwrap()).await.unwrap();
        for sql in ["UPDATE events SET kind = 'x'", "DELETE FROM events"] {
            let error = sqlx::raw_sql(sql).execute(&mut c).await.unwrap_err();
            assert!(error.to_string().contains("only added to"), "{error}");
        }
    });
}

#[test]
fn what_is_no_ledger_is_refused_and_left_alone() {
    let (folder, _) = place();
    let text = folder.path().join("notes.txt");
    fs::write(&text, "a shopping list, long enough to be looked at twice\n".repeat(40)).unwrap();
    assert!(matches!(SqliteStore::open(&text, Opening::Create), Err(StoreError::NotALedger { .. })));
    assert!(fs::read_to_string(&text).unwrap().starts_with("a shopping"));
    let other = folder.path().join("other.db");
    fs::write(&other, "").unwrap();
    meddle(&other, "CREATE TABLE recipes (name TEXT)");
    assert!(matches!(SqliteStore::open(&other, Opening::Create), Err(StoreError::NotALedger { .. })));
}

#[test]
fn a_ledger_of_a_newer_program_is_refused_with_both_versions() {
    let (_folder, path) = place();
    filled(&path, 1);
    meddle(
        &path,
        "INSERT INTO _sqlx_migrations SELECT 99, 'later', installed_on, success, checksum, execution_time \
         FROM _sqlx_migrations LIMIT 1",
    );
    let refused = SqliteStore::open(&path, Opening::Existing).err().unwrap();
    assert!(matches!(refused, StoreError::TooNew { have: 99, know: SCHEMA_VERSION, .. }), "{refused}");
}

#[test]
fn an_old_ledger_is_brought_up_and_filled_when_it_is_opened() {
    for schema in [1, 2, 5] {
        let (_folder, path) = place();
        let mut pen = Pen::new(1);
        let events = pen.client_with_sets("Mara", 300);
        as_before(&events, &path, schema);
        let mut old = SqliteStore::open(&path, Opening::Existing).unwrap();
        assert_eq!(old.sets(pen.client).unwrap().len(), 300);
        assert_eq!(old.doctor().unwrap().faults, [""; 0]);
        let mut new = SqliteStore::in_memory().unwrap();
        new.append_all(&mut events.into_iter()).unwrap();
        assert_eq!(old.fingerprint().unwrap(), new.fingerprint().unwrap());
    }
}

#[test]
fn what_another_version_reckoned_is_reckoned_again() {
    let (_folder, path) = place();
    let pen = filled(&path, 5);
    meddle(&path, "UPDATE meta SET value = '0' WHERE key = 'fold'; DELETE FROM standing WHERE kind = 'set'");
    assert_eq!(SqliteStore::open(&path, Opening::Existing).unwrap().sets(pen.client).unwrap().len(), 5);
    assert_eq!(faults(&path), [""; 0]);
}

#[test]
fn an_examination_finds_what_was_meddled_with() {
    let unlock = "DROP TRIGGER events_never_change; DROP TRIGGER events_never_go; PRAGMA foreign_keys = OFF;";
    for (sql, words) in [
        (
            "UPDATE events SET sealed = CAST(substr(sealed, 1, length(sealed) - 1) || x'00' AS BLOB) WHERE seq = 3",
            "Event 3 is not what was written",
        ),
        ("DELETE FROM events WHERE seq = 4", "Events 4 to 4 are missing"),
        ("UPDATE events SET kind = 'note' WHERE seq = 5", "Event 5 is not what was written"),
        ("UPDATE events SET subject_kind = 'note' WHERE seq = 5", "stand otherwise"),
        ("UPDATE events SET own = zeroblob(32) WHERE seq = 6", "Event 6 is not what was written"),
        ("UPDATE heads SET nth = 7", "The end of a client's events"),
        (
            "UPDATE events SET sealed = NULL, id = NULL, kind = NULL, subject = NULL, subject_kind = NULL, key_version = NULL \
             WHERE seq = 8; DELETE FROM standing",
            "Event 8 was taken out, and its client was not forgotten",
        ),
        (
            "UPDATE standing SET sealed = CAST(substr(sealed, 1, length(sealed) - 1) || x'00' AS BLOB) \
             WHERE id = (SELECT id FROM events WHERE seq = 3)",
            "1 things stand otherwise",
        ),
        ("DELETE FROM standing WHERE kind = 'client'", "stand otherwise"),
        (
            "INSERT INTO standing SELECT randomblob(16), kind, client, at_ms, id, session, sealed FROM standing LIMIT 1",
            "stand otherwise",
        ),
    ] {
        let (_folder, path) = place();
        filled(&path, 6);
        assert_eq!(faults(&path), [""; 0]);
        let script = format!("{unlock} {sql}");
        meddle(&path, &script);
        let found = faults(&path);
        assert!(found.iter().any(|f| f.contains(words)), "{sql}: {found:?}");
    }
}

#[test]
fn a_rebuild_mends_what_stands() {
    let (_folder, path) = place();
    filled(&path, 6);
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    let sound = store.fingerprint().unwrap();
    meddle(&path, "DELETE FROM standing WHERE kind = 'set'; UPDATE standing SET at_ms = 7");
    assert_ne!(store.fingerprint().unwrap(), sound);
    assert_eq!(store.rebuild().unwrap().fingerprint, sound);
    assert!(store.doctor().unwrap().is_well());
}

#[test]
fn a_file_with_a_broken_page_is_damaged_and_not_believed() {
    let (_folder, path) = place();
    filled(&path, 2_000);
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2 / 4_096 * 4_096;
    bytes[middle..middle + 2_048].fill(0xab);
    fs::write(&path, bytes).unwrap();
    let opened = SqliteStore::open(&path, Opening::Existing);
    let found = opened.and_then(|mut store| store.doctor());
    match found {
        Ok(health) => assert!(!health.is_well()),
        Err(error) => assert!(matches!(error, StoreError::Damaged { .. }), "{error}"),
    }
}

#[test]
fn a_backup_is_whole_while_the_ledger_is_in_use_and_restores_to_the_same() {
    let (folder, path) = place();
    let mut pen = filled(&path, 700);
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    let session = store.sessions(pen.client).unwrap()[0].id;
    store.append(&[pen.set(9_000, session, 99.0)]).unwrap();
    let to = folder.path().join("backups/monday.sqlite3");
    let backup = store.backup(&to).unwrap();
    assert_eq!(backup.events, 703);
    let line = fs::read_to_string(&backup.checksum_path).unwrap();
    let mut sums = format!("{}  monday.sqlite3\n", backup.sha256);
    for beside in ["monday.sqlite3.root", "monday.sqlite3.keys"] {
        let bytes = fs::read(to.with_file_name(beside)).unwrap();
        sums = format!("{sums}{}  {beside}\n", sha256(&[&bytes]));
    }
    assert_eq!(line, sums);
    assert!(matches!(store.backup(&to), Err(StoreError::NotEmpty { .. })), "never over an older one");
    let at = folder.path().join("new/ledger.sqlite3");
    let restored = SqliteStore::restore(&to, &at).unwrap();
    assert!(restored.had_checksum && restored.health.is_well());
    assert!(
        matches!(SqliteStore::restore(&to, &at), Err(StoreError::NotEmpty { .. })),
        "never over a ledger"
    );
    let mut again = SqliteStore::open(&at, Opening::Existing).unwrap();
    assert_eq!(again.fingerprint().unwrap(), store.fingerprint().unwrap());
    let mut names: Vec<String> = fs::read_dir(to.parent().unwrap())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    let endings = ["", ".keys", ".root", ".sha256"].map(|ending| format!("monday.sqlite3{ending}"));
    assert_eq!(names, endings, "nothing else is left behind");
}

#[cfg(unix)]
#[test]
fn only_its_owner_reads_a_ledger_or_a_copy_of_it() {
    use std::os::unix::fs::PermissionsExt;
    let (folder, path) = place();
    filled(&path, 3);
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    let (copy, again) = (folder.path().join("copy"), folder.path().join("again"));
    store.backup(&copy).unwrap();
    fs::set_permissions(&copy, fs::Permissions::from_mode(0o644)).unwrap();
    SqliteStore::restore(&copy, &again).unwrap();
    let wal = path.with_extension("sqlite3-wal");
    let keys = ["keys", "root"].map(|ending| path.with_extension(format!("sqlite3.{ending}")));
    let of_copy = ["keys", "root"].map(|ending| copy.with_extension(ending));
    for file in [&path, &wal, &again].into_iter().chain(&keys).chain(&of_copy) {
        let mode = fs::metadata(file).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "{}", file.display());
    }
}

#[test]
fn a_backup_that_was_damaged_is_not_restored() {
    let (folder, path) = place();
    filled(&path, 50);
    let to = folder.path().join("copy.sqlite3");
    SqliteStore::open(&path, Opening::Existing).unwrap().backup(&to).unwrap();
    let mut bytes = fs::read(&to).unwrap();
    let last = bytes.len() - 100;
    bytes[last] ^= 1;
    fs::write(&to, bytes).unwrap();
    let at = folder.path().join("new.sqlite3");
    assert!(matches!(SqliteStore::restore(&to, &at), Err(StoreError::WrongChecksum { .. })));
    assert!(!at.exists() && !folder.path().join("new.sqlite3.restoring").exists());
    let none = folder.path().join("none.sqlite3");
    assert!(matches!(SqliteStore::restore(&none, &at), Err(StoreError::NoLedger { .. })));
}

#[test]
fn two_programs_write_to_one_ledger_and_neither_loses_anything() {
    let (_folder, path) = place();
    let writers: Vec<_> = (1..=3_u8)
        .map(|client| {
            let path = path.clone();
            std::thread::spawn(move || {
                let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
                for event in Pen::new(client).client_with_sets(&format!("client {client}"), 30) {
                    store.append(&[event]).unwrap();
                }
            })
        })
        .collect();
    for writer in writers {
        writer.join().unwrap();
    }
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    let health = store.doctor().unwrap();
    assert_eq!((health.events, health.faults), (96, Vec::new()));
}

#[test]
fn of_two_who_write_at_once_one_gets_the_name() {
    let (_folder, path) = place();
    filled(&path, 1);
    let (mut one, mut other) = (
        SqliteStore::open(&path, Opening::Existing).unwrap(),
        SqliteStore::open(&path, Opening::Existing).unwrap(),
    );
    // Both looked before either wrote.
    let (first, second) = (Pen::new(2).card("Bo"), Pen::new(3).card("bo "));
    let everybody = |_: ClientId| true;
    assert!(one.append_all_named(std::slice::from_ref(&first), &everybody).unwrap().refused.is_empty());
    let taken = other.append_all_named(std::slice::from_ref(&second), &everybody).unwrap();
    assert!(
        matches!(&taken.refused[..], [r] if r.answer == Receipt::NameTaken("Bo".to_owned())),
        "{taken:?}"
    );
    assert_eq!(other.clients().unwrap().len(), 2, "nothing was written");
    let own = |client: ClientId| client != first.client;
    assert!(
        other.append_all_named(&[second], &own).unwrap().refused.is_empty(),
        "who is not seen is no matter"
    );
}
