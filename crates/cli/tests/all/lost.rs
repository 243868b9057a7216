//! Nothing lost: the program is killed at random moments while it logs, imports, undoes, backs up, restores, rebuilds, forgets somebody
//! and brings an old ledger up. Afterwards every entry that was acknowledged is there, what was written in one go is there
//! wholly or not at all, who was to be forgotten is there wholly or not at all, and what stands is what the log gives.
//!
//! `SETWRIGHT_KILLS` says how often (40 by default), `SETWRIGHT_KILLS_SEED` replays the choices of a run; at which
//! instruction a process dies is up to the machine.

use setwright::clock;
use setwright_model::ledger::{EventId, What};
use setwright_store::{Digest, EventFilter, Opening, SqliteStore, Store, StoreError, StoredEvent, sha256};
use sqlx::{Connection, SqliteConnection};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;
use tempfile::{TempDir, tempdir};

/// What the program is doing when it is killed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Work {
    Log,
    Import,
    Undo,
    Backup,
    Restore,
    Rebuild,
    Upgrade,
    Forget,
}

const WORKS: [Work; 8] = [
    Work::Log,
    Work::Import,
    Work::Undo,
    Work::Backup,
    Work::Restore,
    Work::Rebuild,
    Work::Upgrade,
    Work::Forget,
];

/// Sets of one go of the log, and rows of an import.
const SETS: usize = 4;
const ROWS: usize = 1_500;
/// After so many rounds a ledger is begun anew, so that examining it stays quick.
const ROUNDS_EACH: u32 = 24;

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

/// A ledger that is written to and killed over.
struct Scene {
    folder: TempDir,
    /// Identifiers that were acknowledged.
    acknowledged: BTreeSet<EventId>,
    /// How many there were when it was last examined.
    events: u64,
    /// How many events the next undoing voids.
    undoable: usize,
    count: u32,
}

impl Scene {
    fn new() -> Self {
        let mut scene = Self {
            folder: tempdir().unwrap(),
            acknowledged: BTreeSet::new(),
            events: 0,
            undoable: 0,
            count: 0,
        };
        let said = scene.command(&["client", "add", "Mara"]).output().unwrap();
        assert!(said.status.success());
        scene.events = 1;
        scene
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn ledger(&self) -> PathBuf {
        self.path("ledger.sqlite3")
    }

    fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_setwright"));
        command.args(args).env("SETWRIGHT_LEDGER", self.ledger()).env_remove("SETWRIGHT_NOW");
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    fn open(&self) -> SqliteStore {
        SqliteStore::open(&self.ledger(), Opening::Existing).unwrap()
    }

    /// The command for some work, made ready.
    fn ready(&mut self, work: Work) -> Command {
        self.count += 1;
        let n = self.count;
        let name = |what: &str| format!("{what}{n}");
        match work {
            Work::Log => {
                let line = format!("squat: {n} kg for {SETS} of 5+3");
                self.command(&["log", "mara", &line, "--json"])
            }
            Work::Import => {
                let mut log = "date,exercise,load kg,reps\n".to_owned();
                for i in 0..ROWS {
                    let _ =
                        writeln!(log, "2026-{:02}-{:02},bench press,{n},{}", 1 + n % 9, 1 + i / 60, i % 60);
                }
                let path = self.path(&name("log.csv"));
                fs::write(&path, log).unwrap();
                self.command(&["import", path.to_str().unwrap(), "--client", "Mara", "--yes", "--json"])
            }
            Work::Undo => {
                self.undoable = self.open().last_batch(EventFilter::default()).unwrap().len();
                self.command(&["undo", "--json"])
            }
            Work::Backup => self.command(&["backup", self.path(&name("backup")).to_str().unwrap(), "--json"]),
            Work::Rebuild => self.command(&["rebuild", "--json"]),
            Work::Restore => {
                let from = self.path(&name("copy"));
                self.open().backup(&from).unwrap();
                let to = self.path(&name("restored"));
                self.command(&["restore", from.to_str().unwrap(), "--ledger", to.to_str().unwrap(), "--json"])
            }
            Work::Upgrade => {
                let old = self.path(&name("old"));
                old_ledger(&self.ledger(), &old);
                self.command(&["doctor", "--ledger", old.to_str().unwrap(), "--json"])
            }
            Work::Forget => {
                let name = name("Zed");
                for args in [&["client", "add", &name][..], &["log", &name, "squat: 60 kg for 4 of 5+3"]] {
                    assert!(self.command(args).output().unwrap().status.success());
                }
                self.events = self.open().doctor().unwrap().events;
                self.command(&["forget", &name, "--yes", "--json"])
            }
        }
    }

    /// Whether all is as it should be after some work that was killed or not.
    fn examine(&mut self, work: Work, acknowledged: Option<&serde_json::Value>) {
        let n = self.count;
        let mut store = self.open();
        let health = store.doctor().unwrap();
        assert_eq!(health.faults, [""; 0], "after {work:?}");
        let new = health.events - self.events;
        let after = i64::try_from(self.events).unwrap();
        let added = store.events(EventFilter::default(), after, 10_000).unwrap();
        assert_eq!(added.len() as u64, new);
        let said: Vec<(EventId, &What)> = added.iter().map(|k| (k.event.id, &k.event.what)).collect();
        let sets = said.iter().filter(|(_, what)| matches!(what, What::Set(_))).count();
        let (some, whole) = match work {
            Work::Log => (sets, SETS),
            Work::Import => (sets, ROWS),
            Work::Undo => (added.len(), self.undoable),
            _ => (added.len(), 0),
        };
        assert!(added.is_empty() || some == whole, "{work:?} left {some} of {whole}");
        if let Some(reply) = acknowledged {
            self.acknowledge(work, reply, &mut store, &said);
        }
        self.events = health.events;
        let there = store.there(&self.acknowledged.iter().copied().collect::<Vec<_>>()).unwrap();
        assert_eq!(there.len(), self.acknowledged.len(), "an acknowledged event is gone after {work:?}");
        match work {
            Work::Backup => copy(&self.path(&format!("backup{n}")), acknowledged.is_some(), &mut store),
            Work::Restore => copy(&self.path(&format!("restored{n}")), acknowledged.is_some(), &mut store),
            Work::Upgrade => copy(&self.path(&format!("old{n}")), true, &mut store),
            Work::Forget => self.gone(&format!("Zed{n}"), acknowledged.is_some(), &mut store),
            _ => {}
        }
    }

    /// Whoever was to be forgotten is there with all that was written, or nowhere; if it was promised, nowhere.
    fn gone(&self, name: &str, promised: bool, store: &mut SqliteStore) {
        let there = store.clients().unwrap().into_iter().find(|c| c.card.name == name);
        if let Some(there) = there {
            assert!(!promised, "{name} was to be forgotten");
            assert_eq!(store.sets(there.client).unwrap().len(), 4);
            return;
        }
        for entry in fs::read_dir(self.folder.path()).unwrap() {
            let bytes = fs::read(entry.unwrap().path()).unwrap();
            assert!(!bytes.windows(name.len()).any(|w| w == name.as_bytes()));
        }
    }

    /// Takes down what a reply promised, and holds it against what was added.
    fn acknowledge(
        &mut self,
        work: Work,
        reply: &serde_json::Value,
        store: &mut SqliteStore,
        added: &[(EventId, &What)],
    ) {
        match work {
            Work::Log => {
                let sets = reply["sessions"][0]["sets"].as_array().unwrap();
                assert_eq!(sets.len(), SETS);
                let ids = sets.iter().map(|s| s["id"].as_str().unwrap().parse::<EventId>().unwrap());
                self.acknowledged.extend(ids);
            }
            Work::Import => {
                assert_eq!(reply["new"], ROWS, "{reply}");
                let sets = added.iter().filter(|(_, what)| matches!(what, What::Set(_)));
                assert_eq!(sets.count(), ROWS);
                self.acknowledged.extend(added.iter().map(|(id, _)| *id));
            }
            Work::Undo => {
                let events = reply["events"].as_array().unwrap();
                assert_eq!(added.len(), events.len());
                self.acknowledged.extend(added.iter().map(|(id, _)| *id));
            }
            Work::Rebuild => assert_eq!(reply["changed"], false),
            Work::Backup => assert_eq!(reply["events"], store.doctor().unwrap().events),
            Work::Forget => assert_eq!(reply["forgotten"], true),
            Work::Restore | Work::Upgrade => assert!(reply["events"].as_u64().unwrap() > 0),
        }
    }
}

/// A copy is whole and the same as the ledger, or there is none; if it was promised, it is there.
fn copy(path: &Path, promised: bool, ledger: &mut SqliteStore) {
    match SqliteStore::open(path, Opening::Existing) {
        Ok(mut copy) => {
            let health = copy.doctor().unwrap();
            assert_eq!(health.faults, [""; 0], "{}", path.display());
            assert_eq!(health.fingerprint, ledger.fingerprint().unwrap());
        }
        Err(StoreError::NoLedger { .. }) => assert!(!promised, "{} was promised", path.display()),
        Err(error) => panic!("{}: {error}", path.display()),
    }
}

/// The log of a ledger as the first version wrote it, which had nothing else and sealed nothing.
fn old_ledger(of: &Path, to: &Path) {
    SqliteStore::open_up_to(to, Opening::Create, 1).unwrap().close().unwrap();
    let mut ledger = SqliteStore::open(of, Opening::Existing).unwrap();
    let (mut chain, mut subjects) = (Digest([0; 32]), BTreeMap::new());
    let mut script = "BEGIN;".to_owned();
    let events = ledger.events(EventFilter::default(), 0, usize::MAX).unwrap();
    // Those of who was forgotten have left their places.
    for (seq, StoredEvent { event, .. }) in (1..).zip(events) {
        let body = serde_json::to_string(&event).unwrap();
        chain = sha256(&[&chain.0, body.as_bytes()]);
        let subject = match &event.what {
            What::Client(_) => (event.client.bytes(), "client"),
            What::SessionStarted(_) => (event.id.bytes(), "session"),
            What::Set(_) => (event.id.bytes(), "set"),
            What::Voided(voided) => subjects[&voided.event],
            other => panic!("{other:?} is written nowhere here"),
        };
        subjects.insert(event.id, subject);
        let _ = write!(
            script,
            "INSERT INTO events VALUES ({seq}, X'{}', X'{}', '{}', X'{}', '{}', '{body}', X'{chain}');",
            hex(event.id.bytes()),
            hex(event.client.bytes()),
            event.what.kind(),
            hex(subject.0),
            subject.1,
        );
    }
    script += "COMMIT";
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
    runtime.block_on(async {
        let mut c = SqliteConnection::connect(to.to_str().unwrap()).await.unwrap();
        sqlx::raw_sql(sqlx::AssertSqlSafe(script)).execute(&mut c).await.unwrap();
        c.close().await.unwrap();
    });
}

fn hex(bytes: [u8; 16]) -> String {
    format!("{:032x}", u128::from_be_bytes(bytes))
}

/// Lets the process run so long, kills it, and returns its reply if it was complete.
fn killed(mut child: Child, after: Duration) -> (Option<serde_json::Value>, bool) {
    thread::sleep(after);
    let in_flight = child.try_wait().unwrap().is_none();
    child.kill().unwrap();
    let status = child.wait().unwrap();
    let (mut reply, mut talk) = (String::new(), String::new());
    child.stdout.take().unwrap().read_to_string(&mut reply).unwrap();
    child.stderr.take().unwrap().read_to_string(&mut talk).unwrap();
    let refused = status.code().is_some_and(|code| code != 0);
    assert!(!refused, "a command failed by itself: {reply}{talk}");
    (serde_json::from_str(&reply).ok(), in_flight)
}

#[test]
fn a_killed_program_loses_nothing_that_it_acknowledged() {
    let kills = number("SETWRIGHT_KILLS", 40);
    let mut chance = Chance(number("SETWRIGHT_KILLS_SEED", 0x2545_f491_4f6c_dd1d).max(1));
    let mut scene = Scene::new();
    // How long each kind of work takes, learned as it goes, so that kills fall inside of it.
    let mut usual_us = [20_000_u64; WORKS.len()];
    let (mut in_flight, mut replies, mut per_work) = (0, 0, [0_u64; WORKS.len()]);
    let mut round = 0;
    while in_flight < kills {
        round += 1;
        if round % ROUNDS_EACH == 0 {
            scene = Scene::new();
        }
        let which = chance.below(WORKS.len() as u64) as usize;
        let work = WORKS[which];
        if work == Work::Undo && scene.open().last_batch(EventFilter::default()).unwrap().len() < 2 {
            continue;
        }
        let mut command = scene.ready(work);
        // Now and then nothing is killed, to learn how long it takes.
        let (reply, killed_in_flight) = if chance.below(8) == 0 {
            let watch = clock::wall().stopwatch();
            let output = command.output().unwrap();
            usual_us[which] = (watch.elapsed().get() * 1e6) as u64;
            assert!(output.status.success(), "{work:?}: {}", String::from_utf8_lossy(&output.stderr));
            (serde_json::from_slice(&output.stdout).ok(), false)
        } else {
            let after = Duration::from_micros(chance.below(usual_us[which] * 5 / 4));
            killed(command.spawn().unwrap(), after)
        };
        if killed_in_flight {
            in_flight += 1;
            per_work[which] += 1;
        }
        replies += u64::from(reply.is_some());
        scene.examine(work, reply.as_ref());
    }
    for (work, killed) in WORKS.iter().zip(per_work) {
        println!("{work:?}: killed {killed} times");
    }
    println!("{in_flight} kills in flight over {round} rounds, {replies} replies complete, nothing lost");
}
