//! A client is forgotten, as a coach does it: asked what that would be, with a slip, done, and looked for in every file afterwards.

use super::kit::root;
use super::ledger::Coach;
use setwright_model::ledger::ClientId;
use std::fs;
use std::path::Path;

/// Every file under a folder that holds any of these words.
fn files_with(folder: &Path, words: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files_with(&path, words));
            continue;
        }
        let bytes = fs::read(&path).unwrap();
        if words.iter().any(|w| bytes.windows(w.len()).any(|at| at == w.as_bytes())) {
            found.push(path.display().to_string());
        }
    }
    found
}

/// What can be read of Tilda: her name in any form, what was noted, and loads that nobody else lifts.
const TILDA: [&str; 5] = ["Tilda", "tilda", "TILDA", "grumbling", "61.75"];

fn gym() -> Coach {
    let coach = Coach::of_mara();
    let brief = root().join("data/demo/busy_adult.toml").display().to_string();
    coach.done(&["client", "add", "Tilda Plume", "--brief", &brief]);
    coach.done(&[
        "log",
        "tilda",
        "bench press: 61.75 kg for 8+2 8+1",
        "note: grumbling shoulder",
        "weighs: 71.4 kg",
    ]);
    coach.done(&["log", "mara", "squat: 100 kg for 5+3", "note: trains with Tilda"]);
    coach.done(&["account", "add", "Tilda P", "--role", "client", "--client", "tilda"]);
    coach
}

#[test]
fn a_client_is_forgotten_and_no_file_of_the_ledger_holds_a_word_of_her() {
    let coach = gym();
    coach.done(&["backup", &coach.at("monday.sqlite3")]);
    let mut told = coach.done(&["forget", "tilda"]);
    assert!(told.talk.starts_with("Nothing was done."), "{}", told.talk);
    for words in [
        "Tilda Plume",
        "1 session, 2 sets",
        "The account \"Tilda P\"",
        "noted of Mara",
        "monday.sqlite3 of 2026-11-25",
        "2026-12-25",
    ] {
        assert!(told.data.replace("\n    ", " ").contains(words), "{words}: {}", told.data);
    }
    let id = coach.json(&["client", "show", "tilda"])["client"]["id"].as_str().unwrap().to_owned();
    told = coach.done(&["forget", "Tilda Plume", "--yes"]);
    assert!(
        told.data.starts_with("Forgotten: Tilda Plume") && told.talk.contains("can be read by nobody"),
        "{told:?}"
    );
    coach.refused(&["client", "show", "tilda"], "SW049", "There is no client \"tilda\"");
    coach.refused(&["client", "show", &id], "SW097", "This client was forgotten.");
    coach.refused(&["forget", "Tilda Plume", "--yes"], "SW049", "no client");
    assert!(coach.done(&["doctor"]).data.contains("Well:"));
    coach.done(&["rebuild"]);
    coach.done(&["backup", &coach.at("tuesday.sqlite3")]);
    coach.done(&["undo"]);
    let found = files_with(&coach.path("."), &TILDA);
    // The account is in the copy of before, as was said; nothing of the ledger can be read even there.
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].ends_with("monday.accounts.sqlite3"), "{found:?}");
    let bytes = id.parse::<ClientId>().unwrap().bytes();
    for file in [
        "ledger.sqlite3",
        "ledger.sqlite3.keys",
        "ledger.accounts.sqlite3",
        "tuesday.sqlite3",
        "tuesday.sqlite3.keys",
    ] {
        let text = fs::read(coach.path(file)).unwrap();
        assert!(!text.windows(16).any(|w| w == bytes), "{file} still has her identifier");
    }
}

#[test]
fn the_name_of_a_coach_is_taken_out_once_the_account_is_shut() {
    let coach = gym();
    coach.done(&["account", "add", "Berit Sandvik", "--role", "coach", "--client", "mara"]);
    coach.refused(&["account", "forget", "Berit Sandvik"], "SW077", "not shut");
    coach.refused(&["account", "forget", "Tilda P"], "SW077", "account of a client");
    coach.refused(&["account", "forget", "Berit"], "SW077", "no account of this name");
    coach.done(&["account", "disable", "Berit Sandvik"]);
    coach.done(&["account", "forget", "berit sandvik"]);
    assert_eq!(files_with(&coach.path("."), &["Berit", "berit", "Sandvik"]), [""; 0]);
    assert!(coach.done(&["doctor"]).data.contains("Well:"));
    assert!(coach.done(&["account", "list"]).data.contains("(forgotten 2)"));
}

#[test]
fn slips_forget_nobody() {
    let coach = gym();
    coach.refused(&["forget", "Tilde Plume", "--yes"], "SW049", "Did you mean \"Tilda Plume\"?");
    coach.refused(&["forget", "til", "--yes"], "SW027", "only the beginning of a name");
    coach.refused(&["forget", "", "--yes"], "SW049", "no client");
    coach.refused(&["forget", "nobody"], "SW049", "no client");
    assert_eq!(coach.run(&["forget"]).code, 2);
    assert_eq!(coach.run(&["forget", "Tilda Plume", "--yess"]).code, 2);
    assert_eq!(coach.json(&["client", "list"]).as_array().unwrap().len(), 2);
    let shown = coach.json(&["client", "show", "tilda"]);
    let digits = shown["client"]["id"].as_str().unwrap().parse::<ClientId>().unwrap().short();
    assert_eq!(coach.json(&["forget", &digits, "--yes"])["forgotten"], true);
    let elsewhere = coach.at("nowhere.sqlite3");
    coach.refused(&["forget", "mara", "--ledger", &elsewhere], "SW040", "no ledger");
}

#[test]
fn a_copy_of_before_forgets_again_where_it_is_brought_back() {
    let coach = gym();
    let copy = coach.at("monday.sqlite3");
    coach.done(&["backup", &copy]);
    coach.done(&["forget", "Tilda Plume", "--yes"]);
    for file in ["ledger.sqlite3", "ledger.sqlite3.head", "ledger.accounts.sqlite3"] {
        fs::remove_file(coach.path(file)).unwrap();
    }
    let ledger = coach.at("ledger.sqlite3");
    coach.done(&["restore", &copy, "--ledger", &ledger]);
    assert!(coach.done(&["doctor"]).data.contains("Well:"));
    assert_eq!(coach.json(&["client", "list"]).as_array().unwrap().len(), 1);
    let found = files_with(&coach.path("."), &TILDA);
    assert!(found.iter().all(|path| path.contains("monday")), "{found:?}");
}

#[test]
fn a_client_is_given_all_that_is_kept_before_being_forgotten_and_consent_and_rules_are_written_down() {
    let coach = gym();
    coach.done(&["consent", "tilda", "--give", "averages", "--wording", "May averages use your log?"]);
    coach.done(&["consent", "tilda", "--withdraw", "averages"]);
    let said = coach.done(&["consent", "tilda"]).data;
    assert!(said.contains("averages") && said.contains("took back") && said.contains("not asked"), "{said}");
    assert_eq!(coach.run(&["consent", "tilda", "--give", "avrages"]).code, 2);
    coach.done(&["retention", "tilda", "--months", "0"]);
    let due = coach.done(&["retention"]);
    assert!(due.data.contains("due") && due.talk.contains("Nobody is forgotten by a rule"), "{due:?}");
    let held = coach.done(&["retention", "tilda", "--hold", "--reason", "a claim is open"]);
    assert!(held.data.contains("held"), "{}", held.data);
    assert!(coach.done(&["retention", "tilda", "--release"]).data.contains("due"));
    assert_eq!(coach.run(&["retention", "--months", "3"]).code, 2, "a rule is a client's");
    let to = coach.at("tilda.json");
    assert!(coach.done(&["export", "--everything", "tilda", "--out", &to]).talk.contains("events"));
    let all: serde_json::Value = serde_json::from_str(&fs::read_to_string(&to).unwrap()).unwrap();
    assert_eq!((&all["name"], &all["accounts"][0]["name"]), (&"Tilda Plume".into(), &"Tilda P".into()));
    let events = all["events"].as_array().unwrap();
    assert!(events.iter().any(|e| e["what"]["note"]["text"] == "grumbling shoulder"));
    assert_eq!(events.iter().filter(|e| !e["what"]["consent"].is_null()).count(), 2);
    assert!(!all.to_string().contains("Mara"), "nothing of anybody else");
    coach.refused(&["export", "--everything", "nobody"], "SW049", "no client");
}
