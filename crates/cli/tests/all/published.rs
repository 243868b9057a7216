//! Publishing from files that lay about: what somebody wrote since is not undone, and nobody is given a programme unscreened.

use super::kit::{BRIEF, file, run};
use super::ledger::Coach;

const ANSWERS: &str = "\n[screening]\nactive = true\nknown_disease = false\nsigns = false\nother = false\n";
const SPARED: &str = "\n[exclude]\nexercises = [\"back_squat\"]\n";

/// A coach of Mara, whose brief leaves something out; and the brief of before, which does not.
fn of_mara() -> (Coach, super::kit::Kept, super::kit::Kept) {
    let mut coach = Coach::new();
    let old = file("old.toml", format!("{BRIEF}{ANSWERS}"));
    let new = file("new.toml", format!("{BRIEF}{SPARED}{ANSWERS}"));
    coach.done(&["client", "add", "Mara", "--brief", &new]);
    "2026-11-25T18:06:00+01:00".clone_into(&mut coach.now);
    (coach, old, new)
}

#[test]
fn an_old_file_does_not_undo_a_newer_brief() {
    let (mut coach, old, new) = of_mara();
    coach.refused(
        &["plan", &old, "--moves", "20000", "--publish", "mara"],
        "SW093",
        "they differ in exclude",
    );
    assert_eq!(coach.json(&["client", "list"])[0]["has_programme"], false);
    let said = coach.done(&["plan", &new, "--moves", "20000", "--publish", "mara"]).talk;
    assert!(said.contains("Published for Mara") && !said.contains("now the one in force"), "{said}");
    "2026-11-25T18:07:00+01:00".clone_into(&mut coach.now);
    let said = coach.done(&["plan", "--from-ledger", "mara", "--moves", "20000", "--publish", "mara"]).talk;
    assert!(said.contains("takes the place of the programme of 2026-11-25"), "{said}");
    let events = coach.done(&["export", "--format", "jsonl"]).data;
    let last = events.lines().rfind(|line| line.contains("\"provenance\"")).unwrap();
    for part in ["\"brief\":\"", "\"screening\":\"", "\"belief\":\"", "\"catalogue\":\""] {
        assert!(last.contains(part), "{part}: {last}");
    }
    assert!(
        !last.contains("known_disease") && events.contains("known_disease"),
        "answers are an event of their own"
    );
}

#[test]
fn an_old_file_does_not_undo_a_warning_sign() {
    let (mut coach, _, new) = of_mara();
    let screen = ["screen", "--active", "yes", "--known-disease", "no", "--signs", "yes", "--other", "no"];
    coach.run(&[&screen[..], &["--cleared", "no", "--client", "mara"]].concat());
    "2026-11-25T18:07:00+01:00".clone_into(&mut coach.now);
    coach.refused(&["plan", &new, "--moves", "20000", "--publish", "mara"], "SW089", "a warning sign");
    coach.refused(&["client", "change", "mara", "--brief", &new], "SW093", "setwright screen --client");
    coach.refused(&["sheet", "mara", "--out", &coach.at("s.pdf")], "SW089", "a warning sign");
}

#[test]
fn an_unscreened_client_gets_a_draft_and_it_is_not_published() {
    let brief = file("b.toml", BRIEF);
    let said = run(&["plan", &brief, "--moves", "20000"]).data;
    let top: Vec<&str> = said.lines().take(4).collect();
    assert!(top.join(" ").contains("This is a draft"), "{said}");
    let screened = file("b.toml", format!("{BRIEF}{ANSWERS}"));
    assert!(!run(&["plan", &screened, "--moves", "20000"]).data.contains("This is a draft"));
    let coach = Coach::of_mara();
    coach.refused(
        &["plan", &brief, "--moves", "20000", "--publish", "mara"],
        "SW094",
        "setwright screen --client",
    );
    assert_eq!(coach.json(&["client", "list"])[0]["has_programme"], false);
}
