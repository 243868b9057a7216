//! Accounts: links that can be used once, sessions that end, and what is kept of secrets.

use setwright_model::ledger::ClientId;
use setwright_store::{AccountRole, Accounts, Lifetimes, Opening, StoreError, sha256};
use std::collections::BTreeSet;
use tempfile::TempDir;

const NOW: i64 = 1_764_000_000_000;
const LASTS: Lifetimes = Lifetimes { idle_ms: 1_000, whole_ms: 5_000 };

fn accounts() -> (TempDir, Accounts) {
    let folder = TempDir::new().unwrap();
    let path = Accounts::beside(&folder.path().join("ledger.sqlite3"));
    let accounts = Accounts::open(&path, Opening::Create).unwrap();
    (folder, accounts)
}

#[test]
fn a_name_belongs_to_one_account_whatever_its_letters() {
    let (_folder, mut accounts) = accounts();
    let client = ClientId::timed(1, [7; 10]);
    let coach = accounts.add("Ada", AccountRole::Coach, &BTreeSet::from([client]), NOW).unwrap().unwrap();
    assert!(accounts.add(" aDA ", AccountRole::Owner, &BTreeSet::new(), NOW).unwrap().is_none());
    assert_eq!(accounts.named("ADA").unwrap().unwrap(), coach);
    assert_eq!(accounts.all().unwrap(), std::slice::from_ref(&coach));
    accounts.take(coach.id, client).unwrap();
    assert!(accounts.named("ada").unwrap().unwrap().clients.is_empty());
}

#[test]
fn a_link_is_good_once_and_only_for_its_time() {
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), NOW).unwrap().unwrap().id;
    let (first, second) = (sha256(&[b"first"]), sha256(&[b"second"]));
    accounts.put_link(id, first, NOW + 10).unwrap();
    accounts.put_link(id, second, NOW + 10).unwrap();
    assert!(accounts.link(first, NOW).unwrap().is_none(), "a new link ends the one before");
    assert!(accounts.link(second, NOW + 10).unwrap().is_none(), "its time is over");
    let session = sha256(&[b"session"]);
    accounts.begin(id, session, NOW, LASTS).unwrap();
    assert!(accounts.use_link(second, "hash", NOW).unwrap().is_some());
    assert!(accounts.use_link(second, "other", NOW).unwrap().is_none());
    assert_eq!(accounts.named("ada").unwrap().unwrap().hash.as_deref(), Some("hash"));
    assert!(accounts.session(session, NOW, LASTS, 1).unwrap().is_none(), "a new password ends sessions");
}

#[test]
fn sessions_end_when_idle_when_old_when_told_and_when_the_account_is_shut() {
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), NOW).unwrap().unwrap().id;
    let session = sha256(&[b"session"]);
    let lives = |accounts: &mut Accounts, at: i64| accounts.session(session, at, LASTS, 1).unwrap().is_some();
    accounts.begin(id, session, NOW, LASTS).unwrap();
    assert!(lives(&mut accounts, NOW + 1_000) && lives(&mut accounts, NOW + 2_000));
    assert!(!lives(&mut accounts, NOW + 3_001), "nobody came for a second");
    for at in [3_000, 4_000, 5_000] {
        assert!(lives(&mut accounts, NOW + at));
    }
    assert!(!lives(&mut accounts, NOW + 5_001), "five seconds are all");
    accounts.begin(id, sha256(&[b"next"]), NOW + 60_000, LASTS).unwrap();
    assert!(!lives(&mut accounts, NOW), "it was cleared away");
    accounts.begin(id, session, NOW + 60_000, LASTS).unwrap();
    accounts.shut(id, true).unwrap();
    accounts.shut(id, false).unwrap();
    assert!(!lives(&mut accounts, NOW + 60_000));
    accounts.begin(id, session, NOW + 60_000, LASTS).unwrap();
    assert_eq!(accounts.end_all(id).unwrap(), 1);
    assert!(!lives(&mut accounts, NOW + 60_000));
}

#[test]
fn what_another_program_wrote_is_left_alone() {
    let folder = TempDir::new().unwrap();
    let ledger = folder.path().join("ledger.sqlite3");
    drop(setwright_store::SqliteStore::open(&ledger, Opening::Create).unwrap());
    assert!(matches!(Accounts::open(&ledger, Opening::Existing), Err(StoreError::Damaged { .. })));
    let none = Accounts::open(&folder.path().join("none"), Opening::Existing);
    assert!(matches!(none, Err(StoreError::NoLedger { .. })));
}
