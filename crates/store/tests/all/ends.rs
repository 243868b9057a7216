//! The end of the log: what was acknowledged is there, or it is said that it is not. Bits are flipped in what lies on the disk.
//!
//! `SETWRIGHT_FLIPS` says how many bits of each file (40 by default), `SETWRIGHT_FLIPS_SEED` replays the choices of a run.

use super::kit::Pen;
use setwright_store::{Digest, EventFilter, Opening, Receipt, SqliteStore, Store, StoreError};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::tempdir;

/// A small generator of our own (xorshift64), so that a seed replays a run.
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % n.max(1)
    }
}

fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|v| v.parse().ok()).unwrap_or(usual)
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    PathBuf::from(format!("{}{ending}", path.display()))
}

/// What lies on the disk of a ledger.
const PARTS: [&str; 5] = ["", "-wal", ".head", ".keys", ".root"];

/// A ledger as a killed program left it: some of it in the file, the rest in the write-ahead file.
struct Left {
    parts: [Vec<u8>; 5],
    events: u64,
    fingerprint: Digest,
}

impl Left {
    fn new() -> Self {
        let folder = tempdir().unwrap();
        let path = folder.path().join("ledger.sqlite3");
        let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
        let mut pen = Pen::new(1);
        let first = pen.client_with_sets("Mara", 60);
        let session = first[1].id;
        store.append_all(&mut first.into_iter()).unwrap();
        store.close().unwrap();
        let mut store = SqliteStore::open(&path, Opening::Existing).unwrap();
        for i in 0..20 {
            let set = pen.set(100 + i, session, 80.0);
            assert_eq!(store.append(&[set]).unwrap(), [Receipt::Created]);
        }
        let parts = PARTS.map(|part| fs::read(beside(&path, part)).unwrap_or_default());
        Self { parts, events: 82, fingerprint: store.fingerprint().unwrap() }
    }

    fn lay(&self, path: &Path, flip: Option<(usize, u64)>) {
        for (i, (part, bytes)) in PARTS.iter().zip(&self.parts).enumerate() {
            let mut bytes = bytes.clone();
            if let Some((_, bit)) = flip.filter(|(which, _)| *which == i) {
                bytes[(bit / 8) as usize] ^= 1 << (bit % 8);
            }
            fs::write(beside(path, part), bytes).unwrap();
        }
    }
}

/// What a flipped bit came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Came {
    /// It was said.
    Noticed,
    /// All that was acknowledged is there and stands as it did.
    Harmless,
    /// Something is gone or different, and nothing was said.
    Unnoticed,
}

fn came_to(left: &Left, path: &Path, opening: Opening) -> Came {
    let examined = SqliteStore::open(path, opening).and_then(|mut store| {
        let health = store.doctor()?;
        Ok((health, store.events(EventFilter::default(), 0, 1_000)?.len() as u64))
    });
    match examined {
        Err(_) => Came::Noticed,
        Ok((health, _)) if !health.is_well() => Came::Noticed,
        Ok((health, events)) if events == left.events && health.fingerprint == left.fingerprint => {
            Came::Harmless
        }
        Ok(_) => Came::Unnoticed,
    }
}

/// Flips bits of one part; how many were noticed, and how many harmless.
fn flip_in(part: usize) -> (u64, u64) {
    let (flips, seed) =
        (number("SETWRIGHT_FLIPS", 40), number("SETWRIGHT_FLIPS_SEED", 0x2545_f491_4f6c_dd1d));
    let (left, mut chance) = (Left::new(), Chance(seed.max(1)));
    let bits = left.parts[part].len() as u64 * 8;
    let (mut noticed, mut harmless) = (0, 0);
    for _ in 0..flips {
        let bit = chance.below(bits);
        for opening in [Opening::Reading, Opening::Existing] {
            let folder = tempdir().unwrap();
            let path = folder.path().join("ledger.sqlite3");
            left.lay(&path, Some((part, bit)));
            match came_to(&left, &path, opening) {
                Came::Noticed => noticed += 1,
                Came::Harmless => harmless += 1,
                Came::Unnoticed => panic!("bit {bit} of \"{}\", {opening:?}: nothing was said", PARTS[part]),
            }
        }
    }
    println!("{flips} bits of \"{}\", each twice: {noticed} noticed, {harmless} harmless", PARTS[part]);
    (noticed, harmless)
}

#[test]
fn a_bit_flipped_in_the_write_ahead_file_is_noticed_or_harmless() {
    let (noticed, harmless) = flip_in(1);
    assert!(noticed > harmless, "the file is full of what was acknowledged");
}

#[test]
fn a_bit_flipped_in_the_file_itself_is_noticed_or_harmless() {
    let (noticed, _) = flip_in(0);
    assert!(noticed > 0);
}

#[test]
fn a_bit_flipped_in_what_keeps_the_end_loses_nothing() {
    let (_, harmless) = flip_in(2);
    assert!(harmless > 0, "there are two entries");
}

#[test]
fn a_bit_flipped_in_keys_or_in_the_root_key_is_noticed_or_harmless() {
    flip_in(3);
    let (noticed, harmless) = flip_in(4);
    assert!(noticed > harmless, "every digit of it counts");
    // Most of a small file of keys is empty; the one key lies at the end of its table's page.
    let (left, folder) = (Left::new(), tempdir().unwrap());
    let path = folder.path().join("ledger.sqlite3");
    left.lay(&path, Some((3, 8 * (2 * 4_096 - 1))));
    assert_eq!(came_to(&left, &path, Opening::Existing), Came::Noticed);
}

#[test]
fn nothing_is_flipped_and_all_is_well() {
    let (left, folder) = (Left::new(), tempdir().unwrap());
    let path = folder.path().join("ledger.sqlite3");
    left.lay(&path, None);
    assert_eq!(came_to(&left, &path, Opening::Reading), Came::Harmless);
    assert_eq!(came_to(&left, &path, Opening::Existing), Came::Harmless);
}

#[test]
fn a_ledger_without_its_end_is_not_written_but_can_be_examined_and_copied() {
    let (left, folder) = (Left::new(), tempdir().unwrap());
    let path = folder.path().join("ledger.sqlite3");
    left.lay(&path, Some((1, 8 * 40)));
    let log = fs::read(beside(&path, "-wal")).unwrap();
    let refused = SqliteStore::open(&path, Opening::Existing).err().unwrap();
    assert!(matches!(refused, StoreError::EndLost { last: 62, acknowledged: 82, .. }), "{refused}");
    let mut store = SqliteStore::open(&path, Opening::Reading).unwrap();
    let health = store.doctor().unwrap();
    assert_eq!(
        health.faults,
        ["Events 63 to 82 were acknowledged and are missing: the end of the log is lost."]
    );
    let (copy, again) = (folder.path().join("copy.sqlite3"), folder.path().join("again.sqlite3"));
    assert_eq!(store.backup(&copy).unwrap().lost, 20, "a copy says what it lacks");
    drop(store);
    assert_eq!(fs::read(beside(&path, "-wal")).unwrap(), log, "what might tell more is left as it is");
    SqliteStore::restore(&copy, &again).unwrap();
    let mut store = SqliteStore::open(&again, Opening::Existing).unwrap();
    assert_eq!((store.doctor().unwrap().events, store.doctor().unwrap().faults), (62, Vec::new()));
}

#[test]
fn an_older_file_in_the_place_of_the_ledger_is_refused() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("ledger.sqlite3");
    let mut pen = Pen::new(1);
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    store.append_all(&mut pen.client_with_sets("Mara", 6).into_iter()).unwrap();
    let monday = folder.path().join("monday.sqlite3");
    store.backup(&monday).unwrap();
    let later = pen.card("Mara B.");
    store.append(&[later]).unwrap();
    store.close().unwrap();
    fs::copy(&monday, &path).unwrap();
    let refused = SqliteStore::open(&path, Opening::Existing).err().unwrap();
    assert!(matches!(refused, StoreError::EndLost { last: 8, acknowledged: 9, .. }), "{refused}");
    for part in ["", "-wal", "-shm"] {
        // Who only looked leaves what SQLite laid beside the file.
        let _ = fs::remove_file(beside(&path, part));
    }
    let refused = SqliteStore::open(&path, Opening::Create).err().unwrap();
    assert!(matches!(refused, StoreError::EndLost { last: 0, acknowledged: 9, .. }), "{refused}");
    // Who restores has said that this is the ledger now.
    SqliteStore::restore(&monday, &path).unwrap();
    assert!(SqliteStore::open(&path, Opening::Existing).unwrap().doctor().unwrap().is_well());
}

#[test]
fn a_ledger_that_was_moved_or_replaced_is_not_written_any_more() {
    let folder = tempdir().unwrap();
    let (path, aside) = (folder.path().join("ledger.sqlite3"), folder.path().join("aside.sqlite3"));
    let mut pen = Pen::new(1);
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    store.append_all(&mut pen.client_with_sets("Mara", 6).into_iter()).unwrap();
    fs::rename(&path, &aside).unwrap();
    let card = pen.card("Mara B.");
    assert!(matches!(store.append(std::slice::from_ref(&card)), Err(StoreError::Moved { .. })));
    fs::copy(&aside, &path).unwrap();
    assert!(
        matches!(store.append(std::slice::from_ref(&card)), Err(StoreError::Moved { .. })),
        "a copy is another file"
    );
    assert!(matches!(store.rebuild(), Err(StoreError::Moved { .. })));
    fs::rename(&aside, &path).unwrap();
    assert_eq!(store.append(&[card]).unwrap(), [Receipt::Created], "it is back");
    assert_eq!(store.doctor().unwrap().events, 9);
}

#[test]
fn a_ledger_that_rests_is_one_file_again() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("ledger.sqlite3");
    let mut store = SqliteStore::open(&path, Opening::Create).unwrap();
    store.append_all(&mut Pen::new(1).client_with_sets("Mara", 6).into_iter()).unwrap();
    assert!(fs::metadata(beside(&path, "-wal")).unwrap().len() > 0);
    store.checkpoint().unwrap();
    assert_eq!(fs::metadata(beside(&path, "-wal")).unwrap().len(), 0);
}
