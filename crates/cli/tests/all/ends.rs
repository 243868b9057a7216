//! A server and the files of its ledger: what rests is in the ledger itself, also when the system ends the program; a ledger that is moved
//! away under it is not written any more.
#![cfg(target_os = "linux")]

use super::ledger::Coach;
use super::no_room::{Server, only_client};
use std::fs;
use std::process::Command;
use std::thread::sleep;
use std::time::Duration;

fn log_bytes(coach: &Coach) -> u64 {
    fs::metadata(coach.path("ledger.sqlite3-wal")).map_or(0, |m| m.len())
}

#[test]
fn a_server_that_the_system_ends_leaves_one_whole_file() {
    let coach = Coach::of_mara();
    let client = only_client(&coach);
    let mut server = Server::on(&coach, &["--no-open", "--port", "0"]);
    assert_eq!(server.note(client, 1).0, 200);
    assert!(log_bytes(&coach) > 0, "it is at work");
    let pid = server.child.id().to_string();
    assert!(Command::new("kill").args(["-TERM", &pid]).status().unwrap().success());
    let ended = server.child.wait().unwrap();
    assert_eq!(ended.code(), Some(0), "it ends by itself: {ended}");
    assert_eq!(log_bytes(&coach), 0);
    assert_eq!(coach.json(&["doctor"])["events"], 2);
}

#[test]
fn a_server_at_rest_puts_what_was_written_into_the_ledger() {
    let coach = Coach::of_mara();
    let client = only_client(&coach);
    let server = Server::on(&coach, &["--no-open", "--port", "0"]);
    assert_eq!(server.note(client, 1).0, 200);
    assert!(log_bytes(&coach) > 0);
    for _ in 0..300 {
        if log_bytes(&coach) == 0 {
            break;
        }
        sleep(Duration::from_millis(200));
    }
    assert_eq!(log_bytes(&coach), 0, "after a minute without a word");
    assert_eq!(server.note(client, 2).0, 200);
}

#[test]
fn a_server_whose_ledger_is_moved_or_replaced_writes_nothing_until_it_is_back() {
    let coach = Coach::of_mara();
    let client = only_client(&coach);
    let server = Server::on(&coach, &["--no-open", "--port", "0"]);
    assert_eq!(server.note(client, 1).0, 200);
    let (ledger, aside) = (coach.path("ledger.sqlite3"), coach.path("aside.sqlite3"));
    fs::rename(&ledger, &aside).unwrap();
    for nth in 2..8 {
        let (status, answer) = server.note(client, nth);
        assert!(status == 500 && answer.contains("no longer the file"), "{answer}");
    }
    assert!(!ledger.exists(), "no other ledger is begun");
    fs::copy(&aside, &ledger).unwrap();
    let other = fs::read(&ledger).unwrap();
    for nth in 2..8 {
        let (status, answer) = server.note(client, nth);
        assert!(status == 500 && answer.contains("SW043"), "{answer}");
    }
    assert_eq!(fs::read(&ledger).unwrap(), other, "what took its place is left alone");
    fs::rename(&aside, &ledger).unwrap();
    assert_eq!(server.note(client, 2).0, 200);
    drop(server);
    assert_eq!(coach.json(&["doctor"])["events"], 3);
}
