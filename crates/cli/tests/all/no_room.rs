//! A disk that is full and a folder that must not be written: a clear refusal, and nothing half written.
#![cfg(target_os = "linux")]

use super::kit::{serving, skipped};
use super::ledger::Coach;
use super::network::{pem, send};
use setwright_model::ledger::{Actor, ClientId, Event, EventId, Note, What};
use setwright_store::{Opening, SqliteStore, Store};
use std::fmt::Write as _;
use std::fs;
use std::io::{Read, Write as _};
use std::net::TcpStream;
use std::os::unix::fs::PermissionsExt;
use std::process::{Child, Command, Output};

fn log_of(rows: usize) -> String {
    let mut log = "date,exercise,load kg,reps\n".to_owned();
    for i in 0..rows {
        let _ = writeln!(log, "2026-10-{:02},squat,{},5", 1 + i / 60 % 28, 60 + i % 60);
    }
    log
}

/// Runs the program by way of a shell that first does something else.
fn by_shell(coach: &Coach, first: &str, args: &[&str]) -> Output {
    Command::new("sh")
        .args(["-c", &format!("{first} && exec \"$0\" \"$@\""), env!("CARGO_BIN_EXE_setwright")])
        .args(args)
        .env("SETWRIGHT_LEDGER", coach.path("ledger.sqlite3"))
        .output()
        .unwrap()
}

fn talk(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Fails at the first write, then at a later one, and so on until none fails.
#[test]
fn wherever_the_room_runs_out_the_import_is_there_wholly_or_not_at_all() {
    let coach = Coach::of_mara();
    let log = coach.at("log.csv");
    fs::write(&log, log_of(600)).unwrap();
    let events = |coach: &Coach| {
        let health =
            SqliteStore::open(&coach.path("ledger.sqlite3"), Opening::Existing).unwrap().doctor().unwrap();
        assert_eq!(health.faults, [""; 0]);
        health.events
    };
    let (mut blocks, mut refusals) = (0, 0);
    loop {
        // A limit on the size of files stands in for a full disk; the signal that goes with it is not wanted.
        let first = format!("trap '' XFSZ && ulimit -f {blocks}");
        let output = by_shell(&coach, &first, &["import", &log, "--client", "mara", "--yes"]);
        if output.status.success() {
            break;
        }
        assert_eq!(output.status.code(), Some(5), "{}", talk(&output));
        assert!(talk(&output).contains("SW044: There is no room left"), "{blocks}: {}", talk(&output));
        assert_eq!(events(&coach), 1, "at {blocks} blocks");
        refusals += 1;
        blocks += if blocks < 400 { 16 } else { 128 };
        assert!(blocks < 100_000, "it never fitted");
    }
    println!("refused {refusals} times, up to {blocks} blocks");
    assert!(refusals > 10, "the limit was felt");
    assert!(events(&coach) > 600);
}

#[test]
fn a_backup_that_does_not_fit_leaves_nothing_behind() {
    let coach = Coach::of_mara();
    let log = coach.at("log.csv");
    fs::write(&log, log_of(600)).unwrap();
    coach.done(&["import", &log, "--client", "mara", "--yes"]);
    fs::create_dir(coach.path("backups")).unwrap();
    let to = coach.at("backups/monday.sqlite3");
    for blocks in [0, 8, 100, 400] {
        let output = by_shell(&coach, &format!("trap '' XFSZ && ulimit -f {blocks}"), &["backup", &to]);
        assert_eq!(output.status.code(), Some(5), "{}", talk(&output));
        assert!(talk(&output).contains("SW044"), "{blocks}: {}", talk(&output));
        assert_eq!(fs::read_dir(coach.path("backups")).unwrap().count(), 0, "{blocks}");
    }
    coach.done(&["backup", &to]);
}

/// A disk of its own that is really full; only where the machine lets a test mount one.
#[test]
fn a_full_disk_is_said_and_the_ledger_is_whole() {
    let coach = Coach::of_mara();
    let log = coach.at("log.csv");
    fs::write(&log, log_of(2_000)).unwrap();
    let disk = coach.at("disk");
    fs::create_dir(&disk).unwrap();
    let program = env!("CARGO_BIN_EXE_setwright");
    let ledger = coach.at("ledger.sqlite3");
    let script = format!(
        "mount -t tmpfs -o size=500k tmpfs {disk} 2>/dev/null || exit 77\n\
         for e in '' .head .keys .root; do cp {ledger}$e {disk}/l$e || exit 78; done\n\
         {program} import {log} --client mara --yes --ledger {disk}/l; echo \"status $?\" >&2\n\
         {program} doctor --ledger {disk}/l && {program} export --ledger {disk}/l | wc -l"
    );
    let may_mount = Command::new("unshare").args(["-m", "true"]).status().is_ok_and(|s| s.success());
    let output =
        may_mount.then(|| Command::new("unshare").args(["-m", "sh", "-c", &script]).output().unwrap());
    let Some(output) = output.filter(|o| o.status.code() != Some(77)) else {
        skipped("no disk may be mounted here");
        return;
    };
    let (said, talk) = (String::from_utf8_lossy(&output.stdout).into_owned(), talk(&output));
    assert!(talk.contains("SW044: There is no room left") && talk.contains("status 5"), "{said}{talk}");
    assert!(said.contains("1 event,") && said.contains("Well: the file is whole"), "{said}{talk}");
    assert_eq!(said.lines().last().map(str::trim), Some("1"), "the header alone: {said}");
}

#[test]
fn a_folder_that_must_not_be_written_is_said() {
    let coach = Coach::of_mara();
    let open = |mode| fs::set_permissions(coach.path("."), fs::Permissions::from_mode(mode)).unwrap();
    for ending in ["", ".head", ".keys", ".root"] {
        let file = format!("ledger.sqlite3{ending}");
        fs::set_permissions(coach.path(&file), fs::Permissions::from_mode(0o444)).unwrap();
    }
    open(0o555);
    let other = coach.at("other.sqlite3");
    let backup = coach.at("backup.sqlite3");
    // Rights bind everyone but the superuser, who therefore becomes nobody.
    let is_root = fs::write(coach.path("probe"), "").is_ok();
    let run = |args: &[&str]| {
        let program = env!("CARGO_BIN_EXE_setwright");
        let mut command = if is_root { Command::new("setpriv") } else { Command::new(program) };
        if is_root {
            command.args(["--reuid", "65534", "--clear-groups", program]);
        }
        command.args(args).env("SETWRIGHT_LEDGER", coach.path("ledger.sqlite3")).output()
    };
    let can_run = run(&["--version"]).is_ok_and(|o| o.status.success());
    if !can_run {
        open(0o755);
        skipped("nobody may run the program here");
        return;
    }
    for args in [
        &["log", "mara", "plank: 45"][..],
        &["client", "add", "Bram", "--ledger", &other],
        &["backup", &backup],
    ] {
        let output = run(args).unwrap();
        assert_eq!(output.status.code(), Some(5), "{args:?}: {}", talk(&output));
        assert!(talk(&output).contains("SW043"), "{args:?}: {}", talk(&output));
    }
    // What only reads needs no more than to read; the copy goes to where one may write.
    let elsewhere = tempfile::tempdir().unwrap();
    fs::set_permissions(elsewhere.path(), fs::Permissions::from_mode(0o777)).unwrap();
    let copy = elsewhere.path().join("copy.sqlite3").display().to_string();
    for args in [&["doctor"][..], &["export", "--format", "jsonl"], &["backup", &copy]] {
        let output = run(args).unwrap();
        assert_eq!(output.status.code(), Some(0), "{args:?}: {}", talk(&output));
    }
    assert!(fs::metadata(&copy).unwrap().len() > 0);
    open(0o755);
    assert!(!coach.path("other.sqlite3").exists() && !coach.path("backup.sqlite3").exists());
    fs::set_permissions(coach.path("ledger.sqlite3"), fs::Permissions::from_mode(0o644)).unwrap();
    assert_eq!(coach.json(&["doctor"])["events"], 1);
}

/// A server that survives what a full disk raises, so that the disk can be filled under it and emptied again.
pub struct Server {
    pub child: Child,
    at: String,
}

impl Server {
    pub fn on(coach: &Coach, args: &[&str]) -> Self {
        let mut shell = Command::new("sh");
        shell.args(["-c", "trap '' XFSZ && exec \"$0\" \"$@\"", env!("CARGO_BIN_EXE_setwright"), "serve"]);
        shell
            .args(args)
            .env("SETWRIGHT_LEDGER", coach.path("ledger.sqlite3"))
            .env("SETWRIGHT_NOW", &coach.now);
        let (child, at) = serving(shell);
        Self { child, at }
    }

    /// No file may grow past so many bytes from now on: what is written behind is refused, as on a full disk.
    fn room(&self, bytes: &str) {
        let pid = self.child.id().to_string();
        let set =
            Command::new("prlimit").args(["--pid", &pid, &format!("--fsize={bytes}:unlimited")]).status();
        assert!(set.unwrap().success());
    }

    /// Sends a note of the client; status and text of the answer.
    pub fn note(&self, client: ClientId, nth: u64) -> (u16, String) {
        let note = What::Note(Note { about: None, text: format!("note {nth}") });
        let event = Event {
            id: EventId::timed(1_764_000_000_000 + nth, [7; 10]),
            at: "2026-11-25T18:00:00+01:00".parse().unwrap(),
            client,
            actor: Actor::COACH,
            batch: None,
            reason: None,
            what: note,
        };
        let body = serde_json::to_string(&[event]).unwrap();
        self.plain(&posted("/api/v1/events", "application/json", &body))
    }

    fn plain(&self, request: &str) -> (u16, String) {
        let mut stream = TcpStream::connect(&self.at).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        (status(&answer), answer)
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn posted(path: &str, kind: &str, body: &str) -> String {
    let length = body.len();
    format!(
        "POST {path} HTTP/1.1\r\nhost: localhost\r\nsec-fetch-site: same-origin\r\ncontent-type: {kind}\r\n\
         content-length: {length}\r\nconnection: close\r\n\r\n{body}"
    )
}

fn status(answer: &str) -> u16 {
    answer.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or_default()
}

pub fn only_client(coach: &Coach) -> ClientId {
    let mut store = SqliteStore::open(&coach.path("ledger.sqlite3"), Opening::Existing).unwrap();
    store.clients().unwrap()[0].client
}

/// More often than the server keeps connections, so that each has met the full disk.
const MEETINGS: u64 = 6;

#[test]
fn a_server_whose_disk_was_full_writes_again_as_soon_as_there_is_room() {
    let coach = Coach::of_mara();
    let client = only_client(&coach);
    let server = Server::on(&coach, &["--no-open", "--port", "0"]);
    assert_eq!(server.note(client, 0).0, 200);
    let wal = fs::metadata(coach.path("ledger.sqlite3-wal")).unwrap().len();
    let mut nth = 1;
    // Room for nothing, and for part of what is written.
    for room in [0, wal, wal + 4_200, wal + 9_000] {
        server.room(&room.to_string());
        for _ in 0..MEETINGS {
            let (status, answer) = server.note(client, nth);
            assert!(status == 507 && answer.contains("SW044"), "with {room} bytes: {answer}");
        }
        let (status, answer) = server.plain("GET / HTTP/1.1\r\nhost: localhost\r\nconnection: close\r\n\r\n");
        assert_eq!(status, 200, "what is there can be read with {room} bytes: {answer}");
        server.room("unlimited");
        for _ in 0..MEETINGS {
            let (status, answer) = server.note(client, nth);
            assert!(status == 200 && answer.contains("created"), "after {room} bytes: {answer}");
            nth += 1;
        }
    }
    drop(server);
    assert_eq!(coach.json(&["doctor"])["events"], nth + 1);
}

#[test]
fn accounts_whose_disk_was_full_are_written_again_as_soon_as_there_is_room() {
    let coach = Coach::of_mara();
    let added = coach.json(&["account", "add", "Ada", "--role", "owner"]);
    let link = added["link"].as_str().unwrap().rsplit('/').next().unwrap().to_owned();
    let (cert, key) = (pem("cert.pem"), pem("key.pem"));
    let server = Server::on(&coach, &["--listen", "127.0.0.1:0", "--cert", &cert, "--key", &key]);
    let at = server.at.parse().unwrap();
    let form = "password=chair+lamp+window+seven&again=chair+lamp+window+seven";
    let choose = posted(&format!("/welcome/{link}"), "application/x-www-form-urlencoded", form);
    server.room("0");
    for _ in 0..3 {
        let answer = send(at, &choose);
        assert!(status(&answer) == 507 && answer.contains("SW044"), "{answer}");
    }
    server.room("unlimited");
    let answer = send(at, &choose);
    assert!(status(&answer) == 303 && answer.contains("/login?after=set"), "{answer}");
}
