//! Roadmaps end to end: steps that grow as the trade has it, within the brief's days and minutes.

use super::kit::{file, root, run};
use serde_json::Value;

const OTTILIE: &str = "data/demo/absolute_beginner.toml";
const QUICK: [&str; 2] = ["--moves", "60000"];

fn roadmap(path: &str, more: &[&str]) -> Value {
    let said = run(&[&["roadmap", path, "--json"][..], &QUICK, more].concat());
    assert_eq!(said.code, 0, "{}", said.talk);
    serde_json::from_str(&said.data).unwrap()
}

/// The demo beginner's brief with a line changed.
fn changed(from: &str, to: &str) -> String {
    let text = std::fs::read_to_string(root().join(OTTILIE)).unwrap();
    assert!(text.contains(from), "{from}");
    text.replace(from, to)
}

fn numbers(value: &Value) -> Vec<u64> {
    value.as_array().unwrap().iter().filter_map(Value::as_u64).collect()
}

fn said(found: &Value) -> String {
    found["reasons"].as_array().unwrap().iter().filter_map(Value::as_str).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_demo_beginner_goes_from_six_sets_to_what_half_an_hour_holds_within_sixteen_weeks() {
    let found = roadmap(OTTILIE, &[]);
    let steps = found["steps"].as_array().unwrap();
    assert_eq!(numbers(&steps[0]["sets"]), [6, 6]);
    let last = steps.last().unwrap();
    assert!(last["week"].as_u64().unwrap() <= 16);
    // Common practice (T) has 20 to 25 sets by then; half an hour holds fewer under the amounts of a session, and
    // docs/models.md reports the miss.
    println!("sets of the last step: {}", last["sets"]);
    assert!(numbers(&last["sets"]).iter().all(|s| (12..=25).contains(s)), "{}", last["sets"]);
    assert!(last["minutes"].as_array().unwrap().iter().all(|m| m.as_f64().unwrap() <= 30.0));
    let weeks = found["weeks"].as_array().unwrap();
    assert_eq!(weeks.len(), 16);
    assert_eq!(weeks[0]["sets"]["high"].as_f64(), Some(6.0));
    assert!(weeks[15]["sets"]["median"].as_f64().unwrap() >= 12.0, "{}", weeks[15]);
}

#[test]
fn a_third_and_a_fourth_day_come_where_the_brief_has_them() {
    let open = file("open.toml", changed("days = [1, 4]", "possible_days = [1, 2, 4, 5]"));
    let found = roadmap(&open, &["--weeks", "70"]);
    let sessions: Vec<u64> =
        found["steps"].as_array().unwrap().iter().map(|s| s["sessions"].as_u64().unwrap()).collect();
    assert_eq!(sessions, [2, 2, 2, 3, 4]);
    assert_eq!(found["weeks"][69]["sessions"]["median"].as_f64(), Some(4.0));
    let fixed = roadmap(OTTILIE, &["--weeks", "70"]);
    assert!(fixed["steps"].as_array().unwrap().iter().all(|s| s["sessions"] == 2));
    assert!(said(&fixed).contains("the brief has days for 2, so they stay"), "{}", said(&fixed));
}

#[test]
fn minutes_that_do_not_hold_the_sets_are_named_with_those_that_would() {
    let short = file("short.toml", changed("minutes = 30", "minutes = 18"));
    let found = roadmap(&short, &[]);
    let last = found["steps"].as_array().unwrap().last().unwrap();
    assert!(numbers(&last["sets"]).iter().any(|s| *s < 20));
    let needed = last["minutes_needed"].as_f64().unwrap();
    assert!(needed > 18.0 && needed <= 45.0, "{needed}");
    assert!(said(&found).contains(&format!("about {needed} min a session would hold them")));
}

#[test]
fn the_same_seed_gives_the_same_roadmap_and_bands_widen() {
    let of = |seed: &str| {
        let mut found = roadmap("data/demo/returning_client.toml", &["--seed", seed]);
        found["seconds"] = Value::Null;
        found
    };
    let found = of("3");
    assert_eq!(found, of("3"));
    assert_ne!(found["weeks"], of("4")["weeks"]);
    let width = |week: usize| {
        let band = &found["weeks"][week]["lifts"][0]["one_rm"];
        band["high"].as_f64().unwrap() / band["low"].as_f64().unwrap()
    };
    assert!(width(15) > width(7) && width(7) > width(0), "{} {} {}", width(0), width(7), width(15));
}

#[test]
fn a_step_that_clashes_names_what_clashes() {
    let said = run(&["roadmap", "data/demo/cannot_be_met.toml"]);
    assert_eq!(said.code, 1, "{}", said.talk);
    assert!(said.data.contains("no programme was found") && said.data.contains("Way out"), "{}", said.data);
}

#[test]
fn a_roadmap_reads_as_a_table_drawings_and_sentences() {
    let said = run(&[&["roadmap", OTTILIE][..], &QUICK].concat());
    for part in ["sets a session", "two sessions running", "nine in ten", "lighter week", "passed the check"]
    {
        assert!(said.data.contains(part), "{part}: {}", said.data);
    }
    assert!(said.data.lines().all(|l| l.chars().count() <= 100), "{}", said.data);
}

#[test]
fn weeks_are_limited() {
    for (weeks, code) in [("1", 0), ("0", 2), ("105", 2)] {
        let said = run(&[&["roadmap", OTTILIE, "--weeks", weeks][..], &QUICK].concat());
        assert_eq!(said.code, code, "{weeks}");
    }
}
