//! Accounts are kept with the ledger that they belong to: copied, restored and examined with it, and each ledger has its own.

use super::kit::Pen;
use setwright_model::ledger::ClientId;
use setwright_store::{
    Account, AccountRole, Accounts, Lifetimes, Opening, SqliteStore, Store, StoreError, sha256,
};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const NOW: i64 = 1_764_000_000_000;
const LASTS: Lifetimes = Lifetimes { idle_ms: 1_000, whole_ms: 5_000 };

/// A ledger with a client, and accounts of an owner and of that client's coach, who is signed in and has a link.
fn gym() -> (TempDir, PathBuf, ClientId) {
    let folder = TempDir::new().unwrap();
    let ledger = folder.path().join("ledger.sqlite3");
    let mut store = SqliteStore::open(&ledger, Opening::Create).unwrap();
    let mut pen = Pen::new(1);
    store.append_all(&mut pen.client_with_sets("Mara", 3).into_iter()).unwrap();
    let mut accounts = Accounts::open(&Accounts::of(&ledger), Opening::Create).unwrap();
    accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), NOW).unwrap();
    let ben = accounts.add("Ben", AccountRole::Coach, &BTreeSet::from([pen.client]), NOW).unwrap().unwrap();
    accounts.put_link(ben.id, link(), NOW + 10).unwrap();
    accounts.begin(ben.id, session(), NOW, LASTS).unwrap();
    (folder, ledger, pen.client)
}

fn link() -> setwright_store::Digest {
    sha256(&[b"link"])
}

fn session() -> setwright_store::Digest {
    sha256(&[b"session"])
}

fn all(ledger: &Path) -> Vec<Account> {
    Accounts::open(&Accounts::of(ledger), Opening::Existing).unwrap().all().unwrap()
}

fn faults(ledger: &Path) -> Vec<String> {
    SqliteStore::open(ledger, Opening::Reading).unwrap().doctor().unwrap().faults
}

#[test]
fn accounts_come_back_with_the_ledger_and_nobody_is_signed_in() {
    let (folder, ledger, _) = gym();
    let copy = folder.path().join("monday.sqlite3");
    let made = SqliteStore::open(&ledger, Opening::Existing).unwrap().backup(&copy).unwrap();
    assert_eq!(made.accounts, Some(2));
    let before = all(&ledger);
    let mut accounts = Accounts::open(&Accounts::of(&ledger), Opening::Existing).unwrap();
    accounts.shut(before[1].id, true).unwrap();
    let to = folder.path().join("again/ledger.sqlite3");
    let restored = SqliteStore::restore(&copy, &to).unwrap();
    assert_eq!((restored.health.accounts, restored.had_checksum), (Some(2), true));
    assert_eq!(all(&to), before);
    let mut again = Accounts::open(&Accounts::of(&to), Opening::Existing).unwrap();
    assert!(
        again.session(session(), NOW, LASTS, 1).unwrap().is_none(),
        "what was ended since is not open again"
    );
    assert!(again.link(link(), NOW).unwrap().is_none());
    assert_eq!(faults(&to), [""; 0]);
    let left: Vec<PathBuf> = fs::read_dir(to.parent().unwrap()).unwrap().map(|e| e.unwrap().path()).collect();
    assert!(left.iter().all(|p| !p.to_string_lossy().contains("restoring")), "{left:?}");
}

#[test]
fn a_backup_without_its_accounts_or_with_others_is_not_restored() {
    let (folder, ledger, _) = gym();
    let copy = folder.path().join("monday.sqlite3");
    SqliteStore::open(&ledger, Opening::Existing).unwrap().backup(&copy).unwrap();
    let to = folder.path().join("again/ledger.sqlite3");
    let of_copy = Accounts::beside(&copy);
    let bytes = fs::read(&of_copy).unwrap();
    let mut other = bytes.clone();
    *other.last_mut().unwrap() ^= 1;
    fs::write(&of_copy, other).unwrap();
    assert!(
        matches!(SqliteStore::restore(&copy, &to), Err(StoreError::WrongChecksum { path }) if path == of_copy)
    );
    fs::remove_file(&of_copy).unwrap();
    assert!(SqliteStore::restore(&copy, &to).is_err());
    assert!(!to.exists() && !Accounts::beside(&to).exists(), "nothing is half there");
    fs::write(&of_copy, bytes).unwrap();
    fs::write(Accounts::beside(&to), "others").unwrap();
    assert!(matches!(SqliteStore::restore(&copy, &to), Err(StoreError::NotEmpty { .. })), "nor over others");
    assert_eq!(fs::read(Accounts::beside(&to)).unwrap(), b"others");
}

#[test]
fn what_a_restore_left_that_was_cut_short_is_no_hindrance() {
    let (folder, ledger, _) = gym();
    let copy = folder.path().join("monday.sqlite3");
    SqliteStore::open(&ledger, Opening::Existing).unwrap().backup(&copy).unwrap();
    let to = folder.path().join("again.sqlite3");
    let part = folder.path().join("again.accounts.sqlite3.restoring");
    fs::write(&part, "half").unwrap();
    fs::hard_link(&part, Accounts::beside(&to)).unwrap();
    SqliteStore::restore(&copy, &to).unwrap();
    assert_eq!(all(&to).len(), 2);
    assert!(!part.exists());
}

#[test]
fn a_client_of_whom_the_ledger_knows_nothing_is_told_of_and_not_copied() {
    let (folder, ledger, mara) = gym();
    let mut accounts = Accounts::open(&Accounts::of(&ledger), Opening::Existing).unwrap();
    let ben = accounts.named("ben").unwrap().unwrap();
    let nobody = Pen::new(9).client;
    accounts.give(ben.id, nobody).unwrap();
    let told = faults(&ledger);
    assert!(told.len() == 1 && told[0].contains("Ben") && told[0].contains(&nobody.to_string()), "{told:?}");
    let copy = folder.path().join("monday.sqlite3");
    SqliteStore::open(&ledger, Opening::Existing).unwrap().backup(&copy).unwrap();
    assert_eq!(all(&copy)[1].clients, BTreeSet::from([mara]));
    // A client who was undone was there all the same.
    let mut store = SqliteStore::open(&ledger, Opening::Existing).unwrap();
    let mut pen = Pen::new(9);
    let card = pen.card("Bo");
    let void = pen.void(1, card.id);
    store.append_all(&mut [card, void].into_iter()).unwrap();
    assert_eq!(store.doctor().unwrap().faults, [""; 0]);
}

#[test]
fn each_ledger_has_accounts_of_its_own() {
    let folder = TempDir::new().unwrap();
    let ledgers =
        ["gym.sqlite3", "gym.db", "gym", "gym.a", "gym.accounts"].map(|name| folder.path().join(name));
    let places: BTreeSet<PathBuf> = ledgers.iter().map(|ledger| Accounts::of(ledger)).collect();
    assert_eq!(places.len(), ledgers.len());
    // Those that an older version began stay in use as long as they are nobody else's.
    let older = folder.path().join("gym.accounts.sqlite3");
    fs::write(&older, "").unwrap();
    assert_eq!(Accounts::of(&ledgers[1]), older);
    fs::write(&ledgers[0], "").unwrap();
    assert_ne!(Accounts::of(&ledgers[1]), older);
}

#[test]
fn a_flipped_bit_in_the_accounts_is_noticed_or_harmless() {
    let (_folder, ledger, _) = gym();
    let path = Accounts::of(&ledger);
    let whole = fs::read(&path).unwrap();
    let before = all(&ledger);
    let (mut noticed, mut harmless) = (0, 0);
    // Most of a small file is empty: half of the bits are taken from what is used.
    let used: Vec<usize> = (0..whole.len()).filter(|at| whole[*at] != 0).collect();
    for nth in 0..1_000_usize {
        let mut bytes = whole.clone();
        let any = nth * 7_919;
        let bit =
            if nth % 2 == 0 { any % (bytes.len() * 8) } else { used[any % used.len()] * 8 + nth / 2 % 8 };
        bytes[bit / 8] ^= 1 << (bit % 8);
        fs::write(&path, &bytes).unwrap();
        if faults(&ledger).is_empty() {
            let mut accounts = Accounts::open(&path, Opening::Existing).unwrap();
            assert_eq!(accounts.all().unwrap(), before, "bit {bit}");
            assert!(accounts.link(link(), NOW).unwrap().is_some(), "bit {bit}");
            let late = accounts.session(session(), NOW + LASTS.whole_ms + 1, LASTS, i64::MAX).unwrap();
            assert!(late.is_none(), "bit {bit}: no session outlives its time");
            harmless += 1;
        } else {
            noticed += 1;
        }
    }
    println!("noticed {noticed}, harmless {harmless}");
    assert!(noticed > 300);
    fs::write(&path, &whole).unwrap();
    assert_eq!(faults(&ledger), [""; 0]);
}

#[test]
fn nothing_is_written_over_what_a_disk_has_changed() {
    let (folder, ledger, _) = gym();
    let path = Accounts::of(&ledger);
    let mut bytes = fs::read(&path).unwrap();
    let at = bytes.windows(3).position(|w| w == b"Ben").unwrap();
    bytes[at] ^= 1;
    fs::write(&path, &bytes).unwrap();
    assert!(matches!(Accounts::open(&path, Opening::Existing), Err(StoreError::Damaged { .. })));
    let copy = folder.path().join("monday.sqlite3");
    let refused = SqliteStore::open(&ledger, Opening::Existing).unwrap().backup(&copy);
    assert!(matches!(refused, Err(StoreError::Damaged { path: at, .. }) if at == path));
    assert!(!copy.exists() && !Accounts::beside(&copy).exists());
}

#[test]
fn accounts_of_an_older_version_are_brought_up() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.accounts.sqlite3");
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
    runtime.block_on(async {
        use sqlx::{ConnectOptions, Connection};
        let options = sqlx::sqlite::SqliteConnectOptions::new().filename(&path).create_if_missing(true);
        let mut c = options.journal_mode(sqlx::sqlite::SqliteJournalMode::Wal).connect().await.unwrap();
        sqlx::raw_sql(include_str!("../../migrations/accounts.sql")).execute(&mut c).await.unwrap();
        let sql = "INSERT INTO accounts (name, plain, role, added_ms) VALUES ('Ada', 'ada', 2, 0)";
        sqlx::raw_sql(sql).execute(&mut c).await.unwrap();
        c.close().await.unwrap();
    });
    let mut accounts = Accounts::open(&path, Opening::Existing).unwrap();
    assert_eq!(accounts.all().unwrap().len(), 1);
    accounts.shut(1, true).unwrap();
    assert!(!folder.path().join("ledger.accounts.sqlite3-wal").exists());
}
