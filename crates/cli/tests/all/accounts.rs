//! `account`: who may come over a network, from the command line.

use super::ledger::Coach;
use setwright_store::{Accounts, Begin, Lifetimes, Opening, Trace, sha256};

#[test]
fn an_account_is_added_linked_shut_and_told_of() {
    let coach = Coach::of_mara();
    let none = coach.run(&["account", "list"]);
    assert_eq!(none.code, 2, "there is no account to begin with");
    assert!(none.talk.contains("SW077"), "{}", none.talk);
    let added = coach.done(&["account", "add", "Ada", "--role", "owner", "--at", "https://gym.example/"]);
    let secret = added.data.trim().strip_prefix("https://gym.example/welcome/").unwrap().to_owned();
    assert!(secret.len() == 64 && secret.chars().all(|c| c.is_ascii_hexdigit()), "{secret}");
    let again = coach.json(&["account", "link", "ada"]);
    assert!(!again["link"].as_str().unwrap().contains(&secret));
    coach.done(&["account", "add", "Mara", "--role", "client", "--client", "mara"]);
    coach.done(&["account", "add", "Ben", "--role", "coach"]);
    coach.done(&["account", "give", "ben", "mara"]);
    let list = coach.json(&["account", "list"]);
    let told: Vec<String> = list
        .as_array()
        .unwrap()
        .iter()
        .map(|a| format!("{} {} {}", a["name"], a["state"], a["clients"]))
        .collect();
    assert_eq!(
        told,
        [
            "\"Ada\" \"waits for its link\" []",
            "\"Ben\" \"waits for its link\" [\"Mara\"]",
            "\"Mara\" \"waits for its link\" [\"Mara\"]"
        ]
    );
    coach.done(&["account", "disable", "ben"]);
    assert_eq!(coach.run(&["account", "link", "ben"]).code, 2, "what is shut gets no link");
    coach.done(&["account", "enable", "ben"]);
    coach.done(&["account", "end", "ben"]);
    // No secret lies in the file as it is.
    let kept = std::fs::read(coach.at("ledger.accounts.sqlite3")).unwrap();
    let wal = std::fs::read(coach.at("ledger.accounts.sqlite3-wal")).unwrap_or_default();
    assert!(![kept, wal].concat().windows(64).any(|w| w == secret.as_bytes()));
}

#[test]
fn accounts_are_backed_up_restored_and_examined_with_the_ledger() {
    let coach = Coach::of_mara();
    assert_eq!(coach.json(&["doctor"])["accounts"], serde_json::Value::Null);
    coach.done(&["account", "add", "Ada", "--role", "owner"]);
    coach.done(&["account", "add", "Ben", "--role", "coach", "--client", "mara"]);
    let list = coach.json(&["account", "list"]);
    assert!(coach.done(&["doctor"]).data.contains("2 accounts"));
    let copy = coach.at("monday.sqlite3");
    assert_eq!(coach.json(&["backup", &copy])["accounts"], 2);
    let sums = std::fs::read_to_string(coach.path("monday.sqlite3.sha256")).unwrap();
    assert!(sums.contains("  monday.sqlite3\n") && sums.contains("  monday.accounts.sqlite3\n"), "{sums}");
    let again = coach.at("again/ledger.sqlite3");
    let restored = coach.done(&["--ledger", &again, "restore", &copy]);
    assert!(
        restored.talk.contains("2 accounts") && restored.talk.contains("signs in anew"),
        "{}",
        restored.talk
    );
    assert_eq!(coach.json(&["--ledger", &again, "account", "list"]), list);
    let damaged = coach.path("ledger.accounts.sqlite3");
    let mut bytes = std::fs::read(&damaged).unwrap();
    let at = bytes.windows(3).position(|w| w == b"Ben").unwrap();
    bytes[at] ^= 1;
    std::fs::write(&damaged, bytes).unwrap();
    let unwell = coach.run(&["doctor"]);
    assert!(unwell.code == 1 && unwell.data.contains("accounts.sqlite3 is damaged"), "{}", unwell.data);
    coach.refused(&["account", "list"], "SW046", "accounts.sqlite3");
    coach.refused(&["backup", &coach.at("tuesday.sqlite3")], "SW046", "accounts.sqlite3");
}

#[test]
fn clients_fit_the_role_and_names_are_taken_once() {
    let coach = Coach::of_mara();
    for wrong in [
        &["account", "add", "Mara", "--role", "client"][..],
        &["account", "add", "Ada", "--role", "owner", "--client", "mara"],
        &["account", "add", " ", "--role", "owner"],
        &["account", "add", "Mara", "--role", "client", "--client", "nobody"],
    ] {
        assert_eq!(coach.run(wrong).code, 2, "{wrong:?}");
    }
    coach.done(&["account", "add", "Ada", "--role", "owner"]);
    assert_eq!(coach.run(&["account", "add", "ADA", "--role", "owner"]).code, 2);
}

#[test]
fn a_client_is_taken_from_a_coach_by_who_they_are_and_not_by_who_is_called_like_their_identifier() {
    let coach = Coach::of_mara();
    let mara = coach.json(&["client", "list"])[0]["id"].as_str().unwrap().to_owned();
    let digits = mara.chars().skip(28).collect::<String>();
    coach.done(&["client", "add", &digits]);
    coach.done(&["account", "add", "Ben", "--role", "coach", "--client", &mara]);
    let other = coach
        .json(&["client", "list"])
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["id"] != mara.as_str())
        .unwrap()["id"]
        .as_str()
        .unwrap()
        .to_owned();
    coach.done(&["account", "give", "ben", &other]);
    let either = coach.run(&["account", "take", "ben", &digits]);
    assert_eq!(either.code, 2);
    assert!(either.talk.contains(&mara) && either.talk.contains(&other), "{}", either.talk);
    assert!(coach.run(&["import", "-", "--client", &digits]).code != 0, "nor is a log brought in for either");
    let taken = coach.done(&["account", "take", "ben", &mara]);
    assert!(taken.talk.contains(&format!("Mara ({digits})")), "{}", taken.talk);
    assert_eq!(coach.json(&["account", "list"])[0]["clients"], serde_json::json!([digits]));
}

#[test]
fn where_an_account_is_signed_in_is_shown_and_ended() {
    let coach = Coach::of_mara();
    coach.done(&["account", "add", "Ben", "--role", "coach"]);
    let path = coach.path("ledger.accounts.sqlite3");
    let now: setwright_model::ledger::Moment = coach.now.parse().unwrap();
    let lasts = Lifetimes { idle_ms: 1_000, whole_ms: 1_000 };
    for (n, browser) in ["Firefox, Linux", "Chrome, Android", "Safari, iPhone"].into_iter().enumerate() {
        let mut accounts = Accounts::open(&path, Opening::Existing).unwrap();
        let trace = Trace { at_ms: now.unix_ms(), place: format!("192.0.2.{n}") };
        let begin = Begin { session: sha256(&[browser.as_bytes()]), browser, instead: None };
        accounts.begin(1, begin, &trace, lasts).unwrap();
    }
    let shown = coach.done(&["account", "sessions", "ben"]);
    assert!(shown.data.contains("Chrome, Android") && shown.data.contains("192.0.2.1"), "{}", shown.data);
    let sessions = coach.json(&["account", "sessions", "ben"]);
    assert_eq!(sessions.as_array().unwrap().len(), 3);
    let phone = sha256(&[b"Chrome, Android"]).to_string().chars().take(8).collect::<String>();
    coach.refused(&["account", "end", "ben", "--session", "00000000"], "SW077", "no session");
    coach.refused(&["account", "end", "ben", "--session", ""], "SW077", "no session");
    let ended = coach.done(&["account", "end", "ben", "--session", &phone]);
    assert!(ended.talk.contains("Chrome, Android"), "{}", ended.talk);
    assert!(coach.done(&["account", "end", "ben"]).talk.contains("2 sessions"));
    assert_eq!(coach.json(&["account", "sessions", "ben"]), serde_json::json!([]));
}

#[test]
fn codes_are_required_of_a_role_and_taken_away_from_who_lost_them() {
    let coach = Coach::of_mara();
    coach.done(&["account", "add", "Ada", "--role", "owner"]);
    coach.done(&["account", "add", "Ben", "--role", "coach"]);
    let codes = || {
        let list = coach.json(&["account", "list"]);
        let codes =
            list.as_array().unwrap().iter().map(|account| account["codes"].as_str().unwrap().to_owned());
        codes.collect::<Vec<_>>()
    };
    assert_eq!(codes(), ["off", "off"]);
    coach.done(&["account", "require", "owner"]);
    assert_eq!(codes(), ["wanted", "off"]);
    let mut accounts = Accounts::open(&coach.path("ledger.accounts.sqlite3"), Opening::Existing).unwrap();
    accounts.propose_secret(1, &[1; 20]).unwrap();
    accounts.confirm_secret(1, 1, &[], None, &Trace::here(0)).unwrap();
    assert_eq!(codes(), ["on", "off"]);
    assert!(coach.done(&["account", "reset-codes", "ada"]).talk.contains("signed out everywhere"));
    assert!(coach.done(&["account", "reset-codes", "ada"]).talk.contains("has no one-time codes"));
    assert_eq!(codes(), ["wanted", "off"]);
    coach.done(&["account", "require", "owner", "--off"]);
    assert_eq!(codes(), ["off", "off"]);
}

#[test]
fn the_record_says_what_was_done_with_accounts_and_comes_back_with_a_backup() {
    let coach = Coach::of_mara();
    coach.done(&["account", "add", "Ben", "--role", "coach"]);
    coach.done(&["account", "give", "ben", "mara"]);
    coach.done(&["account", "disable", "ben"]);
    let what = |list: &serde_json::Value| {
        let list = list.as_array().unwrap().iter();
        list.map(|entry| format!("{} {}", entry["what"], entry["client"])).collect::<Vec<_>>()
    };
    let record = coach.json(&["account", "record"]);
    assert_eq!(
        what(&record),
        [
            "\"account_shut\" null",
            "\"client_given\" \"Mara\"",
            "\"link_made\" null",
            "\"account_added\" null",
        ]
    );
    assert_eq!(coach.json(&["account", "record", "--client", "mara"]).as_array().unwrap().len(), 1);
    assert_eq!(coach.json(&["account", "record", "--most", "2"]).as_array().unwrap().len(), 2);
    let shown = coach.done(&["account", "record", "--account", "ben", "--changes"]).data;
    assert!(shown.contains("was given a client") && shown.contains("this machine"), "{shown}");
    coach.refused(&["account", "record", "--account", "nobody"], "SW077", "no account");
    let copy = coach.at("monday.sqlite3");
    coach.done(&["backup", &copy]);
    let again = coach.at("again/ledger.sqlite3");
    coach.done(&["--ledger", &again, "restore", &copy]);
    assert_eq!(coach.json(&["--ledger", &again, "account", "record"]), record);
}
