//! Logs brought in: shown before they are written, all of them or nothing, and only once.

use super::kit::{BRIEF, file};
use super::ledger::Coach;
use std::fmt::Write as _;
use std::fs;

const LOG: &str = "\
date,client,exercise,load,reps,rir,kind,note,mood
2026-11-20,Mara,squat,60 kg,5,,warm-up,,good
2026-11-20,Mara,squat,100 kg,5,2,,,
2026-11-20,Mara,squat,100 kg,5,2,,felt heavy,
2026-11-20,Mara,pull ups,,8,1,,,
2026-11-22,Bram,DB curls,25 lb,12,,,,
2026-11-23,Mara,bench press,62.5 kg,8,2,,,
";

#[test]
fn an_import_shows_what_it_understood_and_writes_nothing_until_it_may() {
    let coach = Coach::new();
    let path = coach.at("log.csv");
    fs::write(&path, LOG).unwrap();
    let said = coach.done(&["import", &path]);
    insta::assert_snapshot!("import", said.data.replace(&path, "log.csv") + &said.talk);
    assert!(!coach.path("ledger.sqlite3").exists(), "looking begins no ledger");
    let view = coach.json(&["import", &path, "--yes"]);
    assert_eq!((&view["new"], &view["sessions"], &view["written"]), (&6.into(), &3.into(), &true.into()));
    assert_eq!(coach.sets().len(), 6);
    assert_eq!(
        coach.sets()[2],
        "2026-11-20,12:00:00,+01:00,Mara,back_squat,warm-up,60,kg,5,"
            .replace("12:00:00", "12:00:01")
            .replace("warm-up,60", "work,100")
            + "2"
    );
    assert!(coach.done(&["client", "show", "mara"]).data.contains("felt heavy"));
}

#[test]
fn a_second_import_finds_everything_there_and_a_longer_file_brings_only_what_is_new() {
    let coach = Coach::new();
    let log = file("log.csv", LOG);
    coach.done(&["import", &log, "--yes"]);
    let before = coach.json(&["doctor"])["events"].clone();
    let again = coach.json(&["import", &log, "--yes"]);
    assert_eq!((&again["new"], &again["there"], &again["sessions"]), (&0.into(), &6.into(), &0.into()));
    assert_eq!(coach.json(&["doctor"])["events"], before);
    let (head, rest) = LOG.split_once('\n').unwrap();
    let longer =
        format!("{head}\n2026-11-20,Mara,squat,100 kg,5,2,,,\n2026-11-18,Mara,plank,,45,,,,\n{rest}");
    let longer = file("longer.csv", longer);
    let view = coach.json(&["import", &longer, "--yes"]);
    assert_eq!((&view["new"], &view["there"], &view["sessions"]), (&2.into(), &6.into(), &1.into()));
    assert_eq!(coach.sets().len(), 8);
}

#[test]
fn an_import_is_undone_in_one_go_and_can_then_be_brought_in_again() {
    let coach = Coach::of_mara();
    coach.done(&["log", "mara", "squat: 90 kg for 5"]);
    let log = file("log.csv", LOG);
    coach.done(&["import", &log, "--yes"]);
    coach.done(&["undo"]);
    assert_eq!(coach.sets().len(), 1);
    assert_eq!(coach.json(&["client", "list"]).as_array().unwrap().len(), 1, "Bram is gone with it");
    let again = coach.json(&["import", &log, "--yes"]);
    assert_eq!((&again["new"], &again["there"]), (&6.into(), &0.into()));
    assert_eq!((coach.sets().len(), coach.json(&["client", "list"]).as_array().unwrap().len()), (7, 2));
    assert_eq!(coach.json(&["import", &log, "--yes"])["there"], 6);
    assert_eq!(coach.json(&["doctor"])["faults"].as_array().unwrap().len(), 0);
}

#[test]
fn one_bad_row_keeps_all_others_out() {
    let coach = Coach::of_mara();
    let bad = file("bad.csv", LOG.replace("62.5 kg", "62.5"));
    coach.refused(&["import", &bad, "--yes"], "SW055", "bad.csv:7:4");
    let bad = file("bad.csv", LOG.replace("2026-11-22", "22/11/2026"));
    coach.refused(&["import", &bad, "--yes"], "SW054", "bad.csv:6:1");
    coach.refused(&["import", &coach.at("none.csv")], "SW001", "none.csv");
    assert!(coach.sets().is_empty());
    let said = coach.run(&["import", &bad, "--json"]);
    let errors: serde_json::Value = serde_json::from_str(&said.data).unwrap();
    assert_eq!(
        (&errors["errors"][0]["where"]["line"], &errors["errors"][0]["where"]["column"]),
        (&6.into(), &1.into())
    );
}

#[test]
fn what_is_taken_out_can_be_brought_in_again_in_both_forms() {
    let coach = Coach::of_mara();
    coach.done(&[
        "log",
        "mara",
        "day: 2026-11-20 18:05",
        "squat: warm 60 kg for 5; 225 lb for 5+3 5",
        "pull-up: 8 7",
    ]);
    coach.done(&["log", "mara", "plank: 45 40", "sore: quads 4", "note: slept badly"]);
    let (csv, lines) = (coach.at("sets.csv"), coach.at("ledger.jsonl"));
    coach.done(&["export", "--out", &csv]);
    coach.done(&["export", "--format", "jsonl", "--out", &lines]);
    assert_eq!(coach.json(&["import", &csv, "--yes"])["there"], 7);
    assert_eq!(coach.json(&["import", &lines, "--yes"])["there"], 12);

    let from_csv = Coach::new();
    let view = from_csv.json(&["import", &csv, "--yes"]);
    assert_eq!((&view["new"], &view["sessions"]), (&7.into(), &2.into()));
    assert_eq!(from_csv.done(&["export"]).data, coach.done(&["export"]).data, "identifiers included");

    let from_lines = Coach::new();
    assert_eq!(from_lines.json(&["import", &lines, "--yes"])["new"], 12);
    let export = |coach: &Coach| coach.done(&["export", "--format", "jsonl"]).data;
    assert_eq!(export(&from_lines), export(&coach));
    assert_eq!(from_lines.json(&["doctor"])["fingerprint"], coach.json(&["doctor"])["fingerprint"]);
}

#[test]
fn a_row_that_says_other_than_the_ledger_under_the_same_identifier_is_refused() {
    let coach = Coach::of_mara();
    coach.done(&["log", "mara", "squat: 100 kg for 5+3"]);
    let csv = coach.done(&["export"]).data;
    let other = file("sets.csv", csv.replace(",100,", ",110,"));
    coach.refused(&["import", &other, "--yes"], "SW056", "sets.csv:2:1");
    coach.refused(&["import", &other], "SW056", "The ledger has back_squat 100 kg, 5+3");
}

#[test]
fn lines_that_are_no_events_are_refused_where_they_stand() {
    let coach = Coach::of_mara();
    coach.done(&["log", "mara", "squat: 100 kg for 5+3"]);
    let lines = coach.done(&["export", "--format", "jsonl"]).data;
    let refused = |from: &str, to: &str, code: &str, words: &str| {
        let bad = file("l.jsonl", lines.replace(from, to));
        coach.refused(&["import", &bad, "--yes"], code, words);
    };
    refused("\"reps\":5", "\"reps\":5,\"tempo\":3", "SW053", "unknown field `tempo`");
    refused("\"reps\":5", "\"reps\":\"five\"", "SW053", "l.jsonl:3:");
    refused("\"reps\":5", "\"reps\":6", "SW056", "another event has this identifier");
    let first = lines.lines().next().unwrap();
    let orphans = file("l.jsonl", lines.replace(&format!("{first}\n"), ""));
    let other = Coach::new();
    other.refused(&["import", &orphans, "--yes"], "SW056", "no such client in the ledger");
    other.refused(&["import", &orphans], "SW056", "l.jsonl:1:1");
}

#[test]
fn a_client_who_is_not_there_is_added_with_a_plain_name() {
    let coach = Coach::of_mara();
    let log = file("log.csv", "date,exercise,reps\n2026-11-20,press-up,10\n");
    assert_eq!(coach.json(&["import", &log, "--client", "mar"])["clients"][0]["name"], "Mara");
    assert_eq!(coach.json(&["import", &log, "--client", "Nadia", "--yes"])["clients"][0]["new"], true);
    coach.refused(&["import", &log], "SW053", "--client NAME");
    let brief = file("b.toml", BRIEF);
    coach.done(&["client", "change", "nadia", "--brief", &brief]);
}

#[test]
fn ten_years_of_a_roster_are_brought_in() {
    let mut log = String::from("date;client;exercise;load kg;reps;rir\n");
    for i in 0..20_000 {
        let (day, client) = (1 + i / 20 % 28, i % 7);
        let _ = writeln!(
            log,
            "{day}.{}.{};client {client};squat;{},5;5;2",
            1 + i / 560 % 12,
            2017 + i / 6_720 % 9,
            60 + i % 40
        );
    }
    let coach = Coach::new();
    let log = file("log.csv", log);
    let view = coach.json(&["import", &log, "--yes"]);
    assert_eq!(view["new"], 20_000);
    assert_eq!(coach.json(&["import", &log, "--yes"])["there"], 20_000);
    assert_eq!(coach.json(&["doctor"])["faults"].as_array().unwrap().len(), 0);
}
