//! Accounts are kept with the ledger that they belong to: copied, restored and examined with it, and each ledger has its own.

use super::kit::Pen;
use setwright_model::ledger::ClientId;
use setwright_store::{
    Account, AccountRole, Accounts, Begin, Deed, Lifetimes, Opening, RecordFilter, SecondStep, SqliteStore,
    Store, StoreError, Trace, sha256,
};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const NOW: i64 = 1_764_000_000_000;
const LASTS: Lifetimes = Lifetimes { idle_ms: 1_000, whole_ms: 5_000 };
const HERE: Trace = Trace::here(NOW);

/// A ledger with a client, and accounts of an owner and of that client's coach, who is signed in and has a link.
fn gym() -> (TempDir, PathBuf, ClientId) {
    let folder = TempDir::new().unwrap();
    let ledger = folder.path().join("ledger.sqlite3");
    let mut store = SqliteStore::open(&ledger, Opening::Create).unwrap();
    let mut pen = Pen::new(1);
    store.append_all(&mut pen.client_with_sets("Mara", 3).into_iter()).unwrap();
    let mut accounts = Accounts::open(&Accounts::of(&ledger), Opening::Create).unwrap();
    accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap();
    let ben = accounts.add("Ben", AccountRole::Coach, &BTreeSet::from([pen.client]), &HERE).unwrap().unwrap();
    accounts.put_link(ben.id, link(), NOW + 10, &HERE).unwrap();
    accounts.begin(ben.id, Begin { session: session(), browser: "", instead: None }, &HERE, LASTS).unwrap();
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
    accounts.shut(before[1].id, true, &HERE).unwrap();
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
    accounts.give(ben.id, nobody, &HERE).unwrap();
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

/// Accounts as an older version wrote them, by these statements.
fn older(path: &Path, statements: &[&'static str]) {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
    runtime.block_on(async {
        use sqlx::{ConnectOptions, Connection};
        let options = sqlx::sqlite::SqliteConnectOptions::new().filename(path).create_if_missing(true);
        let mut c = options.journal_mode(sqlx::sqlite::SqliteJournalMode::Wal).connect().await.unwrap();
        for &sql in statements {
            sqlx::raw_sql(sql).execute(&mut c).await.unwrap();
        }
        c.close().await.unwrap();
    });
}

const FIRST: &str = include_str!("../../migrations/accounts.sql");
const SEALED: &str = include_str!("../../migrations/accounts_seal.sql");
const ADA: &str = "INSERT INTO accounts (name, plain, role, added_ms) VALUES ('Ada', 'ada', 2, 0)";

#[test]
fn accounts_of_an_older_version_are_brought_up() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.accounts.sqlite3");
    older(&path, &[FIRST, ADA]);
    let mut accounts = Accounts::open(&path, Opening::Existing).unwrap();
    assert_eq!(accounts.all().unwrap().len(), 1);
    accounts.shut(1, true, &HERE).unwrap();
    assert!(!folder.path().join("ledger.accounts.sqlite3-wal").exists());
}

#[test]
fn accounts_of_the_version_before_are_brought_up_unless_a_disk_has_changed_them() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.accounts.sqlite3");
    // As version 2 wrote them: Ada, signed in for a moment, and the checksum of both.
    let session = "INSERT INTO sessions (digest, account, begun_ms, seen_ms) VALUES (randomblob(32), 1, 1764000000000, 1764000000000)";
    older(
        &path,
        &[
            FIRST,
            SEALED,
            ADA,
            session,
            "UPDATE sessions SET digest = x'f88de5a4b43af1c10a24574d2fc2e1d8f4bd3fa8a0d06ec4ae8e5b1e3bd1d6c0'",
        ],
    );
    assert!(
        matches!(Accounts::open(&path, Opening::Existing), Err(StoreError::Damaged { .. })),
        "without its checksum"
    );
    let sum = sum_of_version_2();
    older(&path, &[sum]);
    let mut accounts = Accounts::open(&path, Opening::Existing).unwrap();
    let all = accounts.all().unwrap();
    assert_eq!((all.len(), all[0].second), (1, SecondStep::Off));
    assert_eq!(accounts.signed_in(1, NOW, LASTS).unwrap().len(), 1, "who is signed in stays so");
    assert!(accounts.recorded(&RecordFilter::default(), 0, 10).unwrap().is_empty());
    accounts.shut(1, true, &HERE).unwrap();
    assert_eq!(accounts.signed_in(1, NOW, LASTS).unwrap().len(), 0);
}

/// The checksum of those accounts as version 2 reckoned it: each table by its number of rows, and each row with its length before it.
fn sum_of_version_2() -> &'static str {
    let rows: [&[&str]; 4] = [
        &["1 'Ada' 'ada' 2 NULL 0 0"],
        &[],
        &[],
        &["X'F88DE5A4B43AF1C10A24574D2FC2E1D8F4BD3FA8A0D06EC4AE8E5B1E3BD1D6C0' 1 1764000000000"],
    ];
    let mut bytes = Vec::new();
    for table in rows {
        bytes.extend((table.len() as u64).to_be_bytes());
        for row in table {
            bytes.extend((row.len() as u64).to_be_bytes());
            bytes.extend(row.as_bytes());
        }
    }
    format!("INSERT INTO seal (one, digest) VALUES (1, x'{}')", sha256(&[&bytes])).leak()
}

#[test]
fn the_record_is_copied_and_recovery_codes_are_not() {
    let (folder, ledger, _) = gym();
    let mut accounts = Accounts::open(&Accounts::of(&ledger), Opening::Existing).unwrap();
    let ben = accounts.named("ben").unwrap().unwrap();
    accounts.propose_secret(ben.id, &[7; 20]).unwrap();
    accounts.confirm_secret(ben.id, 1, &[sha256(&[b"code"])], None, &HERE).unwrap();
    accounts.require(AccountRole::Coach, true, &HERE).unwrap();
    let told = accounts.recorded(&RecordFilter::default(), 0, 100).unwrap();
    assert!(told.iter().any(|entry| entry.deed == Deed::SignedIn && entry.account.as_deref() == Some("Ben")));
    let copy = folder.path().join("monday.sqlite3");
    SqliteStore::open(&ledger, Opening::Existing).unwrap().backup(&copy).unwrap();
    let to = folder.path().join("again.sqlite3");
    SqliteStore::restore(&copy, &to).unwrap();
    let mut again = Accounts::open(&Accounts::of(&to), Opening::Existing).unwrap();
    assert_eq!(again.recorded(&RecordFilter::default(), 0, 100).unwrap(), told);
    assert_eq!(again.named("ben").unwrap().unwrap().second, SecondStep::On);
    assert_eq!(again.required().unwrap(), BTreeSet::from([AccountRole::Coach]));
    assert_eq!(again.recovery_left(ben.id).unwrap(), 0, "what was used since would be good again");
}

#[test]
fn a_row_of_the_record_that_a_disk_has_changed_is_told_of() {
    let (_folder, ledger, mara) = gym();
    let path = Accounts::of(&ledger);
    let mut accounts = Accounts::open(&path, Opening::Existing).unwrap();
    for place in ["192.0.2.101", "192.0.2.102", "192.0.2.103"] {
        let trace = Trace { at_ms: NOW, place: place.to_owned() };
        accounts.record(&trace, Deed::SawClient, Some(2), Some(mara)).unwrap();
    }
    drop(accounts);
    let mut bytes = fs::read(&path).unwrap();
    let at = bytes.windows(11).position(|w| w == b"192.0.2.102").unwrap();
    bytes[at + 10] ^= 1;
    fs::write(&path, &bytes).unwrap();
    let told = faults(&ledger);
    assert!(told.len() == 1 && told[0].contains("from row 2 on"), "{told:?}");
}
