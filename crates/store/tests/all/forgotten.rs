//! Forgetting a client: nothing readable is left in any file of the ledger's folder, the chains hold, nobody else is touched, and what was
//! cut short is taken up again. And what is said of people is sealed to begin with, also in a ledger of before.

use super::kit::{Pen, as_before, done, files_with, meddle};
use setwright_model::ledger::{
    ClientCard, ClientId, Event, EventId, Moment, Note, PainAnswered, PainReply, PainReported, Role, What,
};
use setwright_model::person::BodyPart;
use setwright_store::{
    AccountRole, Accounts, Begin, Deed, EventFilter, Lifetimes, Opening, Receipt, RecordFilter, SqliteStore,
    StateKind, Store, StoreError, Trace, sha256,
};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::{TempDir, tempdir};

/// What can be read of Tilda where nothing is sealed.
const TILDA: [&str; 4] = ["Tilda", "left knee", "61.75", "71.3"];

fn place() -> (TempDir, PathBuf) {
    let folder = tempdir().unwrap();
    let path = folder.path().join("ledger.sqlite3");
    (folder, path)
}

fn note(pen: &mut Pen, text: &str) -> Event {
    pen.event(9, What::Note(Note { text: text.to_owned(), about: None }))
}

/// Tilda with some sets and a note, and Bo, who stays.
fn two(store: &mut SqliteStore) -> (Pen, Pen) {
    let (mut tilda, mut bo) = (Pen::new(1), Pen::new(2));
    let mut events = tilda.client_with_sets("Tilda", 12);
    let session = events[1].id;
    events.push(tilda.set(40, session, 61.75));
    events.push(note(&mut tilda, "left knee, 71.3 kg"));
    let of_bo = bo.client_with_sets("Bo", 5);
    store.append_all(&mut events.into_iter()).unwrap();
    store.append_all(&mut of_bo.into_iter()).unwrap();
    (tilda, bo)
}

fn left_of(store: &mut SqliteStore, client: ClientId) -> usize {
    let of = |kind| store.standing(kind, Some(client)).unwrap().len();
    StateKind::ALL.into_iter().map(of).sum::<usize>()
        + store.events(EventFilter { client: Some(client) }, 0, 1_000).unwrap().len()
}

#[test]
fn nothing_that_is_said_of_anybody_can_be_read_in_the_files() {
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    two(&mut store);
    let copy = folder.path().join("copies/monday.sqlite3");
    store.backup(&copy).unwrap();
    assert_eq!(files_with(folder.path(), &TILDA), [], "while it is open");
    store.close().unwrap();
    assert_eq!(files_with(folder.path(), &TILDA), []);
}

#[test]
fn a_client_who_is_forgotten_is_gone_from_every_file_and_the_chain_holds() {
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let (mut tilda, mut bo) = two(&mut store);
    let (before, of_bo) = (store.link(None).unwrap(), store.sets(bo.client).unwrap());
    let key = key_in(&path, tilda.client);
    assert_ne!(files_with_bytes(folder.path(), &key), [""; 0], "the key is in its file");
    let taken = store.erase(tilda.client, Pen::at(100)).unwrap().unwrap();
    assert_eq!((taken.events, taken.at), (16, Pen::at(100)));
    assert_eq!(store.erase(tilda.client, Pen::at(101)).unwrap(), None, "there is nobody any more");
    for look in ["open", "closed", "opened"] {
        if look == "opened" {
            store = SqliteStore::open(&path, Opening::Existing).unwrap();
        }
        assert_eq!(files_with_bytes(folder.path(), &key), [""; 0], "{look}: the key");
        assert_eq!(files_with_bytes(folder.path(), &tilda.client.bytes()), [""; 0], "{look}: who it was");
        assert_eq!(files_with(folder.path(), &TILDA), [], "{look}");
        if look == "open" {
            store.close().unwrap();
            store = SqliteStore::in_memory().unwrap();
        }
    }
    let health = store.doctor().unwrap();
    assert_eq!((health.events, health.faults), (23, Vec::new()));
    assert_eq!(store.link(None).unwrap(), before, "what is said of others is chained as it was");
    assert_eq!(left_of(&mut store, tilda.client), 0);
    assert_eq!(store.sets(bo.client).unwrap(), of_bo);
    assert_eq!(store.clients().unwrap().len(), 1);
    let fingerprint = store.fingerprint().unwrap();
    assert_eq!(store.rebuild().unwrap().fingerprint, fingerprint);
    // A phone that was off sends what it kept.
    let late = [note(&mut tilda, "left knee"), note(&mut bo, "slept well")];
    assert_eq!(store.append(&late).unwrap(), [Receipt::Gone, Receipt::Created]);
    assert!(store.is_gone(tilda.client).unwrap() && !store.is_gone(bo.client).unwrap());
    assert!(matches!(store.append(&[tilda.card("Tilda")]).unwrap()[..], [Receipt::Gone]));
    assert_eq!(store.changed(0).unwrap().len(), 1);
}

#[test]
fn pages_that_were_written_again_and_again_keep_nothing_of_who_is_forgotten() {
    // Pages that split, and rows that were written over, leave what they held behind what is in use.
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let mut pens: Vec<Pen> = (1..=120).map(Pen::new).collect();
    for pen in &mut pens {
        let events = pen.client_with_sets(&format!("Client {}", pen.client.short()), 3);
        store.append_all(&mut events.into_iter()).unwrap();
    }
    for round in 0..6 {
        for pen in &mut pens {
            let about = "x".repeat(40 * round + 1);
            let card =
                ClientCard { name: format!("Client {round} {}", pen.client.short()), about, away: false };
            let events = [pen.event(round as i64, What::Client(card)), note(pen, "left knee")];
            store.append(&events).unwrap();
        }
    }
    for pen in pens.iter().step_by(17) {
        let key = key_in(&path, pen.client);
        store.erase(pen.client, Pen::at(100)).unwrap().unwrap();
        assert_eq!(files_with_bytes(folder.path(), &key), [""; 0], "the key");
        assert_eq!(files_with_bytes(folder.path(), &pen.client.bytes()), [""; 0], "who it was");
    }
    assert_eq!(store.doctor().unwrap().faults, [""; 0]);
}

#[test]
fn pages_that_are_laid_together_keep_nothing_of_who_is_forgotten() {
    let (folder, path) = place();
    let (mut tilda, mut bo) = (Pen::new(1), Pen::new(2));
    for pen in [&mut tilda, &mut bo] {
        let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
        store.append_all(&mut pen.client_with_sets("Somebody", 4).into_iter()).unwrap();
        let long = note(pen, &"left knee ".repeat(300));
        store.append(&[long, note(pen, "short")]).unwrap();
        store.close().unwrap();
    }
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    let ids: Vec<EventId> = store
        .events(EventFilter { client: Some(tilda.client) }, 0, 100)
        .unwrap()
        .iter()
        .map(|kept| kept.event.id)
        .collect();
    store.erase(tilda.client, Pen::at(100)).unwrap().unwrap();
    for bytes in ids.iter().map(|id| id.bytes()).chain([tilda.client.bytes()]) {
        assert_eq!(files_with_bytes(folder.path(), &bytes), [""; 0]);
    }
}

#[test]
fn who_reads_while_somebody_is_forgotten_is_waited_for_when_the_ledger_rests() {
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let (tilda, _) = two(&mut store);
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
    let mut reader = runtime.block_on(async {
        use sqlx::Connection;
        let mut c = sqlx::SqliteConnection::connect(path.to_str().unwrap()).await.unwrap();
        sqlx::raw_sql("BEGIN; SELECT count(*) FROM events").execute(&mut c).await.unwrap();
        c
    });
    store.erase(tilda.client, Pen::at(100)).unwrap().unwrap();
    assert_ne!(files_with_bytes(folder.path(), &tilda.client.bytes()), [""; 0], "who reads still may");
    runtime.block_on(async { sqlx::raw_sql("COMMIT").execute(&mut reader).await.unwrap() });
    store.checkpoint().unwrap();
    assert_eq!(files_with_bytes(folder.path(), &tilda.client.bytes()), [""; 0]);
}

/// The wrapped key of a client, as it lies in its file.
fn key_in(ledger: &Path, client: ClientId) -> Vec<u8> {
    use sqlx::Connection;
    let keys = format!("{}.keys", ledger.display());
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
    runtime.block_on(async {
        let mut c = sqlx::SqliteConnection::connect(&keys).await.unwrap();
        let sql = "SELECT wrapped FROM client_key WHERE client = ?1";
        let key = sqlx::query_scalar(sql).bind(client.bytes().to_vec()).fetch_one(&mut c).await.unwrap();
        c.close().await.unwrap();
        key
    })
}

fn files_with_bytes(folder: &Path, bytes: &[u8]) -> Vec<String> {
    let files =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_file());
    let holds = |path: &PathBuf| fs::read(path).unwrap().windows(bytes.len()).any(|w| w == bytes);
    files.filter(holds).map(|path| path.display().to_string()).collect()
}

#[test]
fn an_erasure_that_was_cut_short_is_taken_up_when_the_ledger_opens() {
    // What lies on the disk before and after tells every state that a kill can leave: the list is written first, then the rows, then the
    // key is destroyed.
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let (tilda, bo) = two(&mut store);
    store.close().unwrap();
    let parts = ["", ".head", ".keys", ".root"];
    let read = |parts: &[&'static str]| {
        let bytes = |part: &&'static str| (*part, fs::read(format!("{}{part}", path.display())).unwrap());
        parts.iter().map(bytes).collect::<Vec<_>>()
    };
    let before = read(&parts);
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    store.erase(tilda.client, Pen::at(100)).unwrap().unwrap();
    store.close().unwrap();
    let after = read(&["", ".head", ".keys", ".root", ".erased"]);
    let of = |from: &[(&'static str, Vec<u8>)], part: &str| {
        from.iter().find(|(p, _)| *p == part).unwrap().1.clone()
    };
    for (ledger, keys) in [(&before, &before), (&after, &before), (&after, &after), (&before, &after)] {
        fs::write(&path, of(ledger, "")).unwrap();
        fs::write(format!("{}.keys", path.display()), of(keys, ".keys")).unwrap();
        fs::write(format!("{}.erased", path.display()), of(&after, ".erased")).unwrap();
        let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
        assert_eq!(store.doctor().unwrap().faults, [""; 0]);
        assert_eq!((left_of(&mut store, tilda.client), store.sets(bo.client).unwrap().len()), (0, 5));
        assert!(store.is_gone(tilda.client).unwrap());
        store.close().unwrap();
        assert_eq!(files_with_bytes(folder.path(), &tilda.client.bytes()), [""; 0]);
    }
}

#[test]
fn a_line_of_the_list_that_was_cut_short_forgets_nobody_and_is_no_hindrance() {
    let (_folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let (tilda, bo) = two(&mut store);
    fs::write(format!("{}.erased", path.display()), "3f2a").unwrap();
    store.close().unwrap();
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    assert_eq!(store.clients().unwrap().len(), 2);
    store.erase(tilda.client, Pen::at(100)).unwrap().unwrap();
    store.erase(bo.client, Pen::at(101)).unwrap().unwrap();
    let list = fs::read_to_string(format!("{}.erased", path.display())).unwrap();
    let whole = |line: &str| {
        line.split_once(' ').is_some_and(|(m, at)| m.len() == 64 && at.parse::<Moment>().is_ok())
    };
    assert!(list.lines().count() == 2 && list.lines().all(whole), "{list}");
    drop(store);
    fs::write(format!("{}.erased", path.display()), "nobody\n").unwrap();
    assert!(matches!(SqliteStore::open(&path, Opening::Existing), Err(StoreError::Damaged { .. })));
}

#[test]
fn an_older_copy_forgets_whoever_was_forgotten_since() {
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let (tilda, bo) = two(&mut store);
    let (monday, tuesday) = (folder.path().join("monday"), folder.path().join("tuesday"));
    store.backup(&monday).unwrap();
    store.erase(tilda.client, Pen::at(100)).unwrap().unwrap();
    store.backup(&tuesday).unwrap();
    store.close().unwrap();
    for ending in ["", ".head"] {
        fs::remove_file(format!("{}{ending}", path.display())).unwrap();
    }
    // To the place where she was forgotten: the list lies there.
    SqliteStore::restore(&monday, &path).unwrap();
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    assert_eq!((left_of(&mut store, tilda.client), store.sets(bo.client).unwrap().len()), (0, 5));
    assert!(store.is_gone(tilda.client).unwrap());
    assert_eq!(store.doctor().unwrap().faults, [""; 0]);
    drop(store);
    // A copy that was made since brings the list along.
    let new = folder.path().join("new/ledger.sqlite3");
    SqliteStore::restore(&tuesday, &new).unwrap();
    let mut store = SqliteStore::open(&new, Opening::Existing).unwrap();
    assert!(store.is_gone(tilda.client).unwrap());
    assert_eq!((left_of(&mut store, tilda.client), store.sets(bo.client).unwrap().len()), (0, 5));
    // The list of another ledger says nothing of this one.
    let (_other_folder, other) = place();
    SqliteStore::open(&other, Opening::Create).unwrap().append(&[Pen::new(7).card("Cy")]).unwrap();
    for ending in ["", ".head", "-wal", "-shm"] {
        let _ = fs::remove_file(format!("{}{ending}", other.display()));
    }
    assert!(matches!(SqliteStore::restore(&monday, &other), Err(StoreError::NotEmpty { .. })));
}

#[test]
fn a_copy_is_not_opened_without_its_keys_or_with_others() {
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    two(&mut store);
    let copy = folder.path().join("copy");
    store.backup(&copy).unwrap();
    let (keys, aside) = (folder.path().join("copy.keys"), folder.path().join("aside"));
    let to = folder.path().join("to/ledger.sqlite3");
    fs::rename(&keys, &aside).unwrap();
    assert!(matches!(SqliteStore::restore(&copy, &to), Err(StoreError::Damaged { .. })));
    fs::copy(&aside, &keys).unwrap();
    meddle(&keys, "UPDATE client_key SET wrapped = zeroblob(48)");
    assert!(matches!(SqliteStore::restore(&copy, &to), Err(StoreError::WrongChecksum { .. })));
    fs::rename(&aside, &keys).unwrap();
    fs::remove_file(folder.path().join("copy.root")).unwrap();
    assert!(matches!(SqliteStore::restore(&copy, &to), Err(StoreError::KeyMissing { .. })));
    assert!(!to.exists());
}

/// The ledger of before that lies with the tests.
fn of_before(path: &Path) -> (ClientId, ClientId) {
    let script = include_str!("../data/schema5.sql");
    fs::write(path, "").unwrap();
    meddle(path, "PRAGMA journal_mode = WAL");
    meddle(path, script);
    meddle(path, "PRAGMA application_id = 0x53574c47");
    let head = script.trim_end().lines().last().unwrap().trim_start_matches("-- ");
    let mut bytes = vec![b'\n'; 8_192];
    for at in [0, 4_096] {
        bytes[at..at + head.len()].copy_from_slice(head.as_bytes());
    }
    fs::write(format!("{}.head", path.display()), bytes).unwrap();
    (Pen::new(1).client, ClientId::derived(sha256(&[b"client", b"osric plume"]).half()))
}

const OF_BEFORE: [&str; 7] = ["Tilda", "left knee", "61.75", "71.3", "Osric", "88.25", "Bea Holt"];

#[test]
fn a_ledger_of_before_is_sealed_when_it_is_opened_and_says_the_same() {
    let (folder, path) = place();
    let (tilda, osric) = of_before(&path);
    assert!(files_with(folder.path(), &OF_BEFORE).len() >= 7, "it could be read");
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    assert_eq!(
        store.fingerprint().unwrap().to_string(),
        "796175f77ab7a009c1d4844a163075fe4348c0ad888073223150c6e7d7f2ae6e",
        "what stood in the program of then"
    );
    assert_eq!((store.sets(tilda).unwrap().len(), store.sets(osric).unwrap().len()), (3, 1));
    let health = store.doctor().unwrap();
    assert_eq!((health.events, health.faults), (15, Vec::new()));
    let writers =
        store.events(EventFilter::default(), 0, 100).unwrap().into_iter().map(|kept| kept.event.actor);
    let named: Vec<_> = writers.filter(|actor| !actor.name.is_empty()).collect();
    assert!(named.len() == 1 && named[0].name == "Bea Holt" && named[0].role == Role::Coach);
    assert!(named[0].person.is_some(), "written by a mark, and called so as before");
    assert_eq!(files_with(folder.path(), &OF_BEFORE), [], "while it is open");
    let set = store.sets(osric).unwrap()[0].clone();
    let mut again = Pen::new(2).event(2, What::Note(Note { text: "again".to_owned(), about: Some(set.id) }));
    again.client = osric;
    assert_eq!(store.append(&[again]).unwrap(), [Receipt::Created]);
    store.close().unwrap();
    assert_eq!(files_with(folder.path(), &OF_BEFORE), []);
    assert_eq!(SqliteStore::open(&path, Opening::Existing).unwrap().doctor().unwrap().faults, [""; 0]);
}

#[test]
fn whose_identifier_followed_from_the_name_leaves_neither_name_nor_identifier() {
    let (folder, path) = place();
    let (_, osric) = of_before(&path);
    let backup = folder.path().join("old.sqlite3");
    fs::copy(&path, &backup).unwrap();
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    store.erase(osric, Pen::at(100)).unwrap().unwrap();
    store.close().unwrap();
    fs::rename(&backup, folder.path().join("old")).unwrap();
    let of_ledger = |path: &String| path.contains("ledger.sqlite3");
    let found = files_with_bytes(folder.path(), &osric.bytes());
    assert!(!found.iter().any(of_ledger), "a list of names undoes nothing: {found:?}");
    // A copy from before all this, put back where he was forgotten.
    for ending in ["", ".head"] {
        fs::remove_file(format!("{}{ending}", path.display())).unwrap();
    }
    SqliteStore::restore(&folder.path().join("old"), &path).unwrap();
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    assert_eq!((store.clients().unwrap().len(), left_of(&mut store, osric)), (1, 0));
    assert_eq!(store.doctor().unwrap().faults, [""; 0]);
}

#[test]
fn sealing_a_ledger_of_before_that_was_cut_short_loses_nothing() {
    let (folder, path) = place();
    of_before(&path);
    let head = fs::read(format!("{}.head", path.display())).unwrap();
    SqliteStore::open(&path, Opening::Existing).unwrap().close().unwrap();
    // Sealed, and the end not kept anew, nor the file written anew.
    fs::write(format!("{}.head", path.display()), head).unwrap();
    meddle(&path, "INSERT INTO meta VALUES ('to shed', '1')");
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    assert_eq!(store.doctor().unwrap().faults, [""; 0]);
    assert_eq!(store.append(&[Pen::new(3).card("Cy")]).unwrap(), [Receipt::Created]);
    store.close().unwrap();
    assert_eq!(files_with(folder.path(), &OF_BEFORE), []);
}

#[test]
fn a_ledger_of_before_that_was_meddled_with_is_not_sealed() {
    let (_folder, path) = place();
    let mut pen = Pen::new(1);
    as_before(&pen.client_with_sets("Mara", 6), &path, 5);
    meddle(
        &path,
        "DROP TRIGGER events_never_change; UPDATE events SET body = replace(body, '60.0', '90.0') WHERE seq = 3; \
         CREATE TRIGGER events_never_change BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'no'); END",
    );
    let refused = SqliteStore::open(&path, Opening::Existing).err().unwrap();
    assert!(matches!(&refused, StoreError::Damaged { what, .. } if what.contains("event 3")), "{refused}");
}

#[test]
fn identifiers_that_follow_from_content_follow_from_the_client_s_key_as_well() {
    let (_folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let (mut tilda, bo) = two(&mut store);
    let content = [sha256(&[b"one row"]), sha256(&[b"another"])];
    let of_tilda = store.derived(tilda.client, &content).unwrap();
    assert_ne!(of_tilda[0], of_tilda[1]);
    assert_ne!(store.derived(bo.client, &content).unwrap(), of_tilda, "nobody without the key can tell");
    assert_ne!(of_tilda[0], EventId::derived(content[0].half()));
    // A client who is being added: the key is kept with the first event, also when a rehearsal came between.
    let mut cy = Pen::new(8);
    let of_cy = store.derived(cy.client, &content).unwrap();
    let mut events = cy.client_with_sets("Cy", 1);
    events[2].id = of_cy[0];
    store.rehearse(&mut events.clone().into_iter()).unwrap();
    store.append(&[note(&mut tilda, "in between")]).unwrap();
    store.append_all(&mut events.into_iter()).unwrap();
    store.close().unwrap();
    let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
    assert_eq!(store.derived(cy.client, &content).unwrap(), of_cy);
    assert_eq!(store.derived(tilda.client, &content).unwrap(), of_tilda);
    assert_eq!(store.sets(cy.client).unwrap()[0].done, done(60.0, 8));
}

#[test]
fn the_accounts_name_a_client_who_is_forgotten_no_more_also_in_an_older_copy() {
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let (tilda, bo) = two(&mut store);
    let trace = Trace { at_ms: 1_764_000_000_000, place: "203.0.113.7".to_owned() };
    let mut accounts = Accounts::open(&Accounts::of(&path), Opening::Create).unwrap();
    let both = BTreeSet::from([tilda.client, bo.client]);
    let coach = accounts.add("Ada", AccountRole::Coach, &both, &Trace::here(1)).unwrap().unwrap();
    let own = BTreeSet::from([tilda.client]);
    let own = accounts.add("Tilda Plume", AccountRole::Client, &own, &Trace::here(2)).unwrap().unwrap();
    let lasts = Lifetimes { idle_ms: 10_000, whole_ms: 10_000 };
    let begin = Begin { session: sha256(&[b"phone"]), browser: "Firefox on Plumephone", instead: None };
    accounts.begin(own.id, begin, &trace, lasts).unwrap();
    accounts.record(&Trace::here(3), Deed::SawClient, Some(coach.id), Some(tilda.client)).unwrap();
    accounts.record(&Trace::here(3), Deed::SawClient, Some(coach.id), Some(bo.client)).unwrap();
    let copy = folder.path().join("copies/monday");
    store.backup(&copy).unwrap();
    assert!(!accounts.is_of_forgotten(sha256(&[b"phone"])).unwrap());
    assert_eq!(accounts.forget(tilda.client, Some(coach.id), &Trace::here(4)).unwrap(), 1);
    store.erase(tilda.client, Pen::at(100)).unwrap().unwrap();
    assert_eq!(store.doctor().unwrap().faults, [""; 0], "the record's chains hold");
    let named = accounts.named("(forgotten 2)").unwrap().unwrap();
    assert!(named.is_forgotten() && named.disabled && named.hash.is_none());
    assert_eq!(accounts.named("Ada").unwrap().unwrap().clients, BTreeSet::from([bo.client]));
    assert!(accounts.is_of_forgotten(sha256(&[b"phone"])).unwrap(), "her phone is still known by it");
    assert!(accounts.session(sha256(&[b"phone"]), trace.at_ms, lasts, 1).unwrap().is_none());
    let left = accounts.recorded(&RecordFilter::default(), 0, 100).unwrap();
    assert!(left.iter().all(|entry| entry.client != Some(tilda.client) && entry.trace.place.is_empty()));
    assert!(left.iter().any(|entry| entry.client == Some(bo.client)), "of others it says what it said");
    let words = ["Tilda", "tilda", "Plume", "203.0.113.7", "Plumephone"];
    let of_accounts = |found: Vec<(String, String)>| -> Vec<(String, String)> {
        found.into_iter().filter(|(path, _)| !path.contains("copies")).collect()
    };
    drop(accounts);
    assert_eq!(of_accounts(files_with(folder.path(), &words)), []);
    // The copy of before, put back where she was forgotten.
    store.close().unwrap();
    for ending in ["", ".head"] {
        fs::remove_file(format!("{}{ending}", path.display())).unwrap();
    }
    fs::remove_file(Accounts::of(&path)).unwrap();
    SqliteStore::restore(&copy, &path).unwrap();
    assert_eq!(SqliteStore::open(&path, Opening::Existing).unwrap().doctor().unwrap().faults, [""; 0]);
    let found = of_accounts(files_with(folder.path(), &["Tilda", "tilda", "Plume", "Plumephone"]));
    assert_eq!(found, []);
}

#[test]
fn a_coach_is_written_by_a_mark_and_their_name_can_be_taken_out_alone() {
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    let (mut tilda, _) = two(&mut store);
    let by = |mut event: Event, name: &str| {
        event.actor.name = name.to_owned();
        event
    };
    let report = tilda.event(50, What::Pain(pain()));
    let answer = PainAnswered { report: report.id, reply: PainReply::LeaveOut };
    let answer = by(tilda.event(51, What::PainAnswered(answer)), "Berit Sandvik");
    let noted = by(note(&mut tilda, "slept well"), "Jo");
    let sent = [report, answer.clone(), noted.clone()];
    assert_eq!(store.append(&sent).unwrap(), [const { Receipt::Created }; 3]);
    assert_eq!(store.append(&sent).unwrap(), [const { Receipt::Exists }; 3], "a phone sends it again");
    let kept = store.event(answer.id).unwrap().unwrap();
    assert_eq!(kept.actor.name, "Berit Sandvik");
    let person = kept.actor.person.unwrap();
    assert_eq!(store.append(&[kept]).unwrap(), [Receipt::Exists], "as it is exported, too");
    assert_ne!(store.event(noted.id).unwrap().unwrap().actor.person, Some(person));
    assert_eq!(store.pains(tilda.client).unwrap()[0].answer.as_ref().unwrap().by.name, "Berit Sandvik");
    let (other_folder, other) = place();
    let mut elsewhere = SqliteStore::open(&other, Opening::Create).unwrap();
    two(&mut elsewhere);
    elsewhere.append(&sent).unwrap();
    assert_ne!(
        elsewhere.event(answer.id).unwrap().unwrap().actor.person,
        Some(person),
        "nobody can try names"
    );
    drop((elsewhere, other_folder));
    let bad = by(note(&mut tilda, "x"), "a\u{202e}b");
    assert!(matches!(&store.append(&[bad]).unwrap()[0], Receipt::Rejected(fault) if fault.field == "actor"));
    let (chain, fingerprint) = (store.link(None).unwrap(), store.fingerprint().unwrap());
    assert!(store.forget_name("berit  sandvik").unwrap() && !store.forget_name("Berit Sandvik").unwrap());
    let kept = store.event(answer.id).unwrap().unwrap();
    assert_eq!((kept.actor.name.as_str(), kept.actor.person), ("", Some(person)));
    assert_eq!((store.link(None).unwrap(), store.fingerprint().unwrap()), (chain, fingerprint));
    assert_eq!(store.rebuild().unwrap().fingerprint, fingerprint);
    assert_eq!(store.doctor().unwrap().faults, [""; 0]);
    assert_eq!(store.event(noted.id).unwrap().unwrap().actor.name, "Jo");
    store.close().unwrap();
    assert_eq!(files_with(folder.path(), &["Berit", "berit", "Jo\""]), []);
}

fn pain() -> PainReported {
    PainReported { place: BodyPart::Knee, side: None, exercise: None, session: None, words: String::new() }
}

#[test]
fn copies_are_remembered_with_how_much_is_in_them() {
    let (folder, path) = place();
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    two(&mut store);
    let made = store.backup(&folder.path().join("monday")).unwrap();
    store.remember_copy(&made, Pen::at(5)).unwrap();
    let copies = store.copies().unwrap();
    assert_eq!((copies.len(), copies[0].at, copies[0].events), (1, Pen::at(5), 23));
    assert!(copies[0].path.is_absolute() && copies[0].path.ends_with("monday"));
    assert_eq!(store.forgotten().unwrap(), 0);
    store.erase(Pen::new(1).client, Pen::at(100)).unwrap().unwrap();
    assert_eq!(store.forgotten().unwrap(), 1);
}
