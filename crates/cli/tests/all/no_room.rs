//! A disk that is full and a folder that must not be written: a clear refusal, and nothing half written.
#![cfg(target_os = "linux")]

use super::ledger::Coach;
use setwright_store::{Opening, SqliteStore, Store};
use std::fmt::Write as _;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::process::{Command, Output};

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
         cp {ledger} {disk}/l || exit 78\n\
         {program} import {log} --client mara --yes --ledger {disk}/l; echo \"status $?\" >&2\n\
         {program} doctor --ledger {disk}/l && {program} export --ledger {disk}/l | wc -l"
    );
    let output = Command::new("unshare").args(["-m", "sh", "-c", &script]).output();
    let Some(output) = output.ok().filter(|o| o.status.code() != Some(77) && o.status.code() != Some(1))
    else {
        println!("no disk may be mounted here: skipped");
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
    fs::set_permissions(coach.path("ledger.sqlite3"), fs::Permissions::from_mode(0o444)).unwrap();
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
        println!("nobody may run the program here: skipped");
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
    open(0o755);
    assert!(!coach.path("other.sqlite3").exists() && !coach.path("backup.sqlite3").exists());
    fs::set_permissions(coach.path("ledger.sqlite3"), fs::Permissions::from_mode(0o644)).unwrap();
    assert_eq!(coach.json(&["doctor"])["events"], 1);
}
