//! The ledger as a coach meets it: adding, logging, correcting, undoing, taking out, publishing, caring.

use super::kit::{BRIEF, Said, file, run_with};
use serde_json::Value;
use setwright::problems::exit;
use setwright_model::code::Code;
use std::fs;
use std::path::PathBuf;
use tempfile::{TempDir, tempdir};

/// A coach with a ledger of her own and a clock that stands still.
pub struct Coach {
    folder: TempDir,
    pub now: String,
}

impl Coach {
    pub fn new() -> Self {
        Self { folder: tempdir().unwrap(), now: "2026-11-25T18:05:00+01:00".to_owned() }
    }

    /// A coach who has added Mara.
    pub fn of_mara() -> Self {
        let coach = Self::new();
        coach.done(&["client", "add", "Mara"]);
        coach
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn at(&self, name: &str) -> String {
        self.path(name).display().to_string()
    }

    pub fn run(&self, args: &[&str]) -> Said {
        self.run_with(args, "")
    }

    pub fn run_with(&self, args: &[&str], input: &str) -> Said {
        let ledger = self.at("ledger.sqlite3");
        run_with(args, input, &[("SETWRIGHT_LEDGER", &ledger), ("SETWRIGHT_NOW", &self.now)])
    }

    /// Runs a command that must succeed.
    pub fn done(&self, args: &[&str]) -> Said {
        let said = self.run(args);
        assert_eq!(said.code, 0, "{args:?}: {}{}", said.data, said.talk);
        said
    }

    pub fn json(&self, args: &[&str]) -> Value {
        serde_json::from_str(&self.done(&[args, &["--json"]].concat()).data).unwrap()
    }

    /// The rows of sets as they stand, without identifiers.
    pub fn sets(&self) -> Vec<String> {
        let csv = self.done(&["export"]).data;
        let plain = |line: &str| {
            let cells: Vec<&str> = line.split(',').collect();
            [&cells[1..5], &cells[6..]].concat().join(",")
        };
        csv.lines().skip(1).map(plain).collect()
    }

    /// Runs a command that must be refused as bad input, with this code and these words.
    pub fn refused(&self, args: &[&str], code: &str, words: &str) {
        let said = self.run(args);
        let kind = Code::ALL.iter().find(|c| c.as_str() == code).map(|c| c.kind());
        assert_eq!(said.code, i32::from(kind.map_or(2, exit)), "{args:?}: {}{}", said.data, said.talk);
        assert!(said.talk.contains(code) && said.talk.contains(words), "{args:?}: {}", said.talk);
    }
}

/// A text with the eight digits that tell things apart made the same every time.
fn plain(text: &str) -> String {
    let digits = |word: &str| word.len() == 8 && word.chars().all(|c| c.is_ascii_hexdigit());
    let mut out = String::new();
    let mut word = String::new();
    for c in text.chars().chain(['\0']) {
        if c.is_ascii_alphanumeric() {
            word.push(c);
            continue;
        }
        out.push_str(if digits(&word) { "12345678" } else { &word });
        word.clear();
        out.push(c);
    }
    out.trim_end_matches('\0').to_owned()
}

#[test]
fn a_ledger_is_begun_by_the_first_client_and_by_nothing_else() {
    let coach = Coach::new();
    for args in [&["client", "list"][..], &["log", "mara", "plank: 45"], &["doctor"], &["export"], &["undo"]]
    {
        coach.refused(args, "SW040", "client add");
    }
    assert!(!coach.path("ledger.sqlite3").exists());
    coach.done(&["client", "add", "Mara"]);
    assert!(coach.path("ledger.sqlite3").exists());
}

#[test]
fn clients_are_added_listed_changed_and_meant_by_the_beginning_of_their_names() {
    let coach = Coach::new();
    let brief = file("b.toml", BRIEF);
    coach.done(&["client", "add", "Mara", "--about", "Two sessions, likes rows.", "--brief", &brief]);
    coach.done(&["client", "add", "Marius"]);
    coach.refused(&["client", "add", "mara "], "SW050", "client change");
    coach.refused(&["client", "show", "mar"], "SW049", "may be Mara");
    coach.refused(&["client", "show", "Mraius"], "SW049", "Did you mean \"Marius\"");
    coach.refused(&["client", "change", "Marius"], "SW027", "--brief FILE");
    coach.done(&["client", "change", "mari", "--away", "--reason", "moved"]);
    let all = coach.json(&["client", "list"]);
    assert_eq!((&all[0]["name"], &all[1]["away"]), (&"Mara".into(), &true.into()));
    assert_eq!((&all[0]["has_brief"], &all[1]["has_brief"]), (&true.into(), &false.into()));
    coach.done(&["log", "mara", "squat: 60 kg for 8+3"]);
    insta::assert_snapshot!("client_list", plain(&coach.done(&["client", "list"]).data));
    insta::assert_snapshot!("client_show", plain(&coach.done(&["client", "show", "MARA"]).data));
}

#[test]
fn a_whole_session_is_logged_as_it_was_typed() {
    let coach = Coach::of_mara();
    let said = coach.done(&[
        "log",
        "mara",
        "squat: warm 60 kg for 5; 100 kg for 2 of 5+3 5+2",
        "pull-up: body+5 kg for 6+1, 5+0; 5",
        "bench press: 135 lb for 8",
        "sore: quads 4",
        "weighs: 71.4 kg",
        "note: slept badly",
        "effort: 7",
    ]);
    insta::assert_snapshot!("log", plain(&said.data));
    assert_eq!(
        coach.sets()[..2],
        [
            "2026-11-25,18:05:00,+01:00,Mara,back_squat,warm-up,60,kg,5,",
            "2026-11-25,18:05:01,+01:00,Mara,back_squat,work,100,kg,5,3",
        ]
    );
    assert_eq!(coach.sets()[7], "2026-11-25,18:05:07,+01:00,Mara,bench_press,work,135,lb,8,");
}

#[test]
fn sets_of_a_day_go_into_one_session_until_an_hour_is_named() {
    let coach = Coach::of_mara();
    let log = |args: &[&str]| {
        let view = coach.json(&[&["log", "mara"], args].concat());
        view["sessions"][0]["id"].as_str().unwrap().to_owned()
    };
    let first = log(&["squat: 100 kg for 5"]);
    assert_eq!(log(&["squat: 100 kg for 5"]), first);
    let yesterday = log(&["--day", "yesterday", "squat: 90 kg for 5"]);
    assert_ne!(yesterday, first);
    assert_eq!(log(&["day: 2026-11-24", "plank: 45"]), yesterday);
    let evening = log(&["day: 2026-11-24 20:00", "plank: 45"]);
    assert_ne!(evening, yesterday);
    assert_eq!(log(&["day: 2026-11-24 20:00", "plank: 40"]), evening);
    let order = coach.sets();
    assert_eq!(order.len(), 6);
    assert!(order.is_sorted(), "{order:?}");
}

#[test]
fn a_line_that_is_not_understood_writes_nothing_of_the_others() {
    let coach = Coach::of_mara();
    coach.refused(&["log", "mara", "squat: 100 kg for 5", "bench pres: 80 kg for 8"], "SW011", "log:2:1");
    coach.refused(&["log", "mara", "squat: 100 kg for x"], "SW051", "log:1:7");
    coach.refused(&["log", "mara"], "SW005", "exercise: load");
    coach.refused(&["log", "mara", "--day", "someday", "plank: 45"], "SW027", "yesterday");
    assert!(coach.sets().is_empty());
    let dry = coach.done(&["log", "mara", "--dry-run", "squat: 100 kg for 5"]);
    assert!(dry.talk.contains("Nothing was written") && dry.data.contains("100 kg"));
    assert!(coach.sets().is_empty());
}

#[test]
fn a_set_is_corrected_by_a_new_entry_and_undone_to_what_it_was() {
    let coach = Coach::of_mara();
    let view = coach.json(&["log", "mara", "squat: 100 kg for 5+3"]);
    let id = view["sessions"][0]["sets"][0]["id"].as_str().unwrap().to_owned();
    let digits = id.get(id.len() - 8..).unwrap();
    coach.refused(&["log", "mara", "--correct", digits, "squat: 100 kg for 5 5"], "SW027", "one set");
    coach.refused(&["log", "mara", "--correct", "00000000", "squat: 100 kg for 5"], "SW059", "client show");
    coach.done(&["log", "mara", "--correct", digits, "squat: 110 kg for 5+2", "--reason", "two more discs"]);
    assert!(coach.sets()[0].ends_with("110,kg,5,2"));
    let events = coach.done(&["export", "--format", "jsonl"]).data;
    assert!(events.contains("two more discs") && events.contains("\"value\":100.0"), "both are kept");
    assert!(coach.done(&["undo", "mara"]).data.contains("correction"));
    assert!(coach.sets()[0].ends_with("100,kg,5,3"));
    coach.done(&["undo", "mara"]);
    assert!(coach.sets().is_empty());
    coach.done(&["undo"]);
    coach.refused(&["undo"], "SW057", "has been undone");
    assert_eq!(coach.done(&["export", "--format", "jsonl"]).data.lines().count(), 8);
}

#[test]
fn one_event_can_be_undone_alone() {
    let coach = Coach::of_mara();
    let view = coach.json(&["log", "mara", "squat: 100 kg for 5 4 3"]);
    let id = view["sessions"][0]["sets"][1]["id"].as_str().unwrap();
    coach.done(&["undo", "--event", id]);
    coach.refused(&["undo", "--event", "7"], "SW059", "whole identifier");
    let reps: Vec<String> = coach.sets().iter().map(|s| s.rsplit(',').nth(1).unwrap().to_owned()).collect();
    assert_eq!(reps, ["5", "3"]);
}

#[test]
fn only_a_programme_that_passes_the_check_is_published() {
    let mut coach = Coach::new();
    let brief = file("b.toml", BRIEF);
    coach.done(&["client", "add", "Mara"]);
    let answers = ["--active", "yes", "--known-disease", "no", "--signs", "no", "--other", "no"];
    coach.done(&[&["screen", "--client", "mara"][..], &answers].concat());
    let out = coach.at("p.toml");
    coach.now = "2026-11-25T18:06:00+01:00".to_owned();
    let said = coach.done(&["plan", &brief, "--moves", "30000", "--publish", "mara", "--out", &out]);
    assert!(
        said.talk.contains("Published for Mara") && said.talk.contains("now the one in force"),
        "{}",
        said.talk
    );
    assert_eq!(coach.json(&["client", "list"])[0]["has_programme"], true);
    let events = coach.done(&["export", "--format", "jsonl"]).data;
    assert!(
        events.contains("\"provenance\":{\"program\":\"setwright 0.1.0\",\"brief\":\"")
            && events.contains("\"seed\":1")
    );
    let text = fs::read_to_string(&out).unwrap();
    let by_hand = file("by_hand.toml", &text);
    coach.now = "2026-11-25T18:07:00+01:00".to_owned();
    assert!(!coach.done(&["publish", "mara", &by_hand]).talk.contains("now the one in force"));
    let one_session = text.split("[[sessions]]").take(2).collect::<Vec<_>>().join("[[sessions]]");
    let bad = file("bad.toml", one_session);
    coach.refused(&["publish", "mara", &bad], "SW058", "SW1");
    let no_brief = Coach::of_mara();
    no_brief.refused(&["publish", "mara", &by_hand], "SW058", "--brief FILE");
}

#[test]
fn a_ledger_is_examined_rebuilt_backed_up_and_restored() {
    let coach = Coach::of_mara();
    coach.done(&["log", "mara", "squat: 100 kg for 3 of 5+3"]);
    let well = coach.json(&["doctor"]);
    assert_eq!((&well["events"], &well["faults"]), (&5.into(), &Value::Array(Vec::new())));
    assert!(coach.done(&["doctor"]).data.contains("Well: the file is whole"));
    let rebuilt = coach.json(&["rebuild"]);
    assert_eq!((&rebuilt["changed"], &rebuilt["fingerprint"]), (&false.into(), &well["fingerprint"]));
    let copy = coach.at("backup.sqlite3");
    coach.done(&["backup", &copy]);
    coach.refused(&["backup", &copy], "SW041", "already there");
    coach.refused(&["restore", &copy], "SW041", "already there");
    let before = coach.sets();
    fs::rename(coach.path("ledger.sqlite3"), coach.path("lost.sqlite3")).unwrap();
    assert_eq!(coach.json(&["restore", &copy])["fingerprint"], well["fingerprint"]);
    assert_eq!(coach.sets(), before);
    coach.refused(&["restore", &coach.at("none.sqlite3")], "SW040", "none.sqlite3");
    fs::write(coach.path("text.sqlite3"), "a list of things to buy, and more of it ".repeat(50)).unwrap();
    coach.refused(&["--ledger", &coach.at("text.sqlite3"), "doctor"], "SW042", "not a ledger");
}

#[test]
fn an_option_names_the_ledger_before_the_environment_does() {
    let coach = Coach::of_mara();
    let other = coach.at("other/ledger.sqlite3");
    coach.done(&["client", "add", "Bram", "--ledger", &other]);
    let names = |args: &[&str]| coach.json(args)[0]["name"].as_str().unwrap().to_owned();
    assert_eq!(names(&["client", "list"]), "Mara");
    assert_eq!(names(&["client", "list", "--ledger", &other]), "Bram");
}

#[test]
fn what_the_client_says_is_kept_as_such() {
    let coach = Coach::of_mara();
    coach.done(&["log", "mara", "--by-client", "sore: quads 6"]);
    assert!(coach.done(&["export", "--format", "jsonl"]).data.contains("\"actor\":{\"role\":\"client\"}"));
}
