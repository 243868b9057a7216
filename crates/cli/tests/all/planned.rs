//! Plans end to end: what comes out keeps its contract, whatever the planner chose.

use super::kit::{BRIEF, file, folder, run};
use serde_json::Value;
use setwright_coaching::{belief, demo};
use setwright_gym::catalogue::builtin;
use setwright_optimise::{Budget, Objective, solve};
use std::sync::atomic::{AtomicU64, Ordering};

/// Moves of a quick search: enough for a programme, far from the usual.
const QUICK: [&str; 2] = ["--moves", "60000"];

fn plan(path: &str, more: &[&str]) -> super::kit::Said {
    run(&[&["plan", path][..], &QUICK, more].concat())
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn the_answer_keeps_the_contract_and_passes_the_check() {
    let said = plan("data/demo/busy_adult.toml", &["--json"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let answer = json(&said.data);
    for key in [
        "status",
        "value",
        "bound",
        "gap",
        "seed",
        "nodes",
        "seconds",
        "cycle_days",
        "sessions",
        "muscles",
        "reasons",
        "conflict",
        "cautions",
    ] {
        assert!(answer.get(key).is_some(), "{key}");
    }
    assert!(answer["value"].as_f64() <= answer["bound"].as_f64().map(|b| b + 1e-6));
    let exercise = &answer["sessions"][0]["blocks"][0]["exercises"][0];
    for key in ["id", "sets", "reps", "rir", "load_kg", "ramp"] {
        assert!(exercise.get(key).is_some(), "{key}");
    }
    let findings = answer["findings"].as_array().unwrap();
    assert!(findings.iter().all(|f| f["severity"] != "error"), "{findings:?}");
}

#[test]
fn the_same_seed_gives_the_same_programme() {
    let mut a = json(&plan("data/demo/home_dumbbells.toml", &["--json", "--seed", "7"]).data);
    let mut b = json(&plan("data/demo/home_dumbbells.toml", &["--json", "--seed", "7"]).data);
    a["seconds"] = Value::Null;
    b["seconds"] = Value::Null;
    assert_eq!(a, b);
}

#[test]
fn a_plan_reads_like_a_sheet_and_ends_with_what_is_known() {
    let said = plan("data/demo/absolute_beginner.toml", &[]);
    assert_eq!(said.code, 0, "{}", said.talk);
    assert!(said.data.starts_with("Ottilie: 2 sessions in 7 days\n"), "{}", said.data);
    assert_eq!(said.data.matches("\nSession ").count(), 2);
    assert!(said.data.contains("not medical advice"));
    let last = said.data.trim_end().lines().rev().take(2).collect::<Vec<_>>().join(" ");
    assert!(last.contains("ound ") && (last.contains("passes") || last.contains("proven")), "{last}");
    assert!(said.data.lines().all(|l| l.chars().count() <= 110), "{}", said.data);
    assert!(!said.data.contains('\u{1b}'));
}

#[test]
fn a_programme_that_is_kept_passes_its_own_audit() {
    let folder = folder();
    let out = folder.path().join("programme.toml").display().to_string();
    let said = plan("data/demo/absolute_beginner.toml", &["--out", &out]);
    assert!(said.talk.contains("Wrote "), "{}", said.talk);
    let audit = run(&["audit", &out, "--brief", "data/demo/absolute_beginner.toml", "--json"]);
    assert_eq!(json(&audit.data)["fit"], true, "{}", audit.data);
}

#[test]
fn a_brief_that_cannot_be_met_names_the_clash() {
    let said = plan("data/demo/cannot_be_met.toml", &[]);
    assert_eq!(said.code, 1, "{}", said.talk);
    assert!(said.data.contains("What clashes"), "{}", said.data);
    assert!(said.data.trim_end().ends_with("no programme keeps every rule of this brief."), "{}", said.data);
}

#[test]
fn nobody_is_planned_for_who_should_see_a_clinician_first() {
    let path = file("client.toml", format!("{BRIEF}\n[screening]\nactive = false\nsigns = true\n"));
    let said = plan(&path, &["--json"]);
    assert_eq!(said.code, 1);
    let answer = json(&said.data);
    assert_eq!(answer["status"], "infeasible");
    assert!(answer["conflict"][0].as_str().unwrap().contains("clinician"));
}

#[test]
fn every_client_of_the_demo_comes_out_as_meant() {
    let said = run(&["demo", "--json", "--moves", "60000"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let all = json(&said.data);
    let clients = all.as_array().unwrap();
    assert_eq!(clients.len(), 8);
    for client in clients {
        let planned = !client["answer"]["sessions"].as_array().unwrap().is_empty();
        assert_eq!(planned, client["client"] != "Leopold", "{}", client["client"]);
    }
}

#[test]
fn more_minutes_never_bring_less_and_no_point_passes_its_bound() {
    let curve = |seed: &str| {
        let said =
            run(&["curve", "data/demo/absolute_beginner.toml", "--json", "--moves", "20000", "--seed", seed]);
        assert_eq!(said.code, 0, "{}", said.talk);
        json(&said.data)
    };
    let found = curve("3");
    let points = found["points"].as_array().unwrap();
    assert!(points.len() >= 10, "{}", points.len());
    let (mut value, mut bound, mut minutes) = (0.0, 0.0, 0.0);
    for point in points {
        let now = |name: &str| point[name].as_f64().unwrap();
        assert!(now("value") >= value && now("bound") >= bound && now("minutes_per_cycle") > minutes);
        assert!(now("bound") >= now("value") - 1e-9);
        (value, bound, minutes) = (now("value"), now("bound"), now("minutes_per_cycle"));
    }
    assert_eq!(points[found["own"].as_u64().unwrap() as usize]["change_min"], 0.0);
    assert_eq!(curve("3")["points"], found["points"], "the same seed gives the same curve");
}

#[test]
fn the_point_of_the_brief_is_no_worse_than_its_plan() {
    let path = "data/demo/home_dumbbells.toml";
    let planned = json(&plan(path, &["--json"]).data);
    let found = json(&run(&[&["curve", path, "--json"][..], &QUICK].concat()).data);
    let own = &found["points"][found["own"].as_u64().unwrap() as usize];
    assert!(own["value"].as_f64() >= planned["value"].as_f64());
}

#[test]
fn a_curve_of_a_brief_that_cannot_be_met_sends_to_the_plan() {
    let said = run(&[&["curve", "data/demo/cannot_be_met.toml"][..], &QUICK].concat());
    assert_eq!(said.code, 1, "{}", said.talk);
    assert!(said.data.contains("brief's own minutes no programme"), "{}", said.data);
    assert!(said.data.contains("setwright plan"), "{}", said.data);
    assert!(said.data.lines().all(|l| l.chars().count() <= 80), "{}", said.data);
    let path = file("client.toml", format!("{BRIEF}\n[screening]\nactive = false\nsigns = true\n"));
    let stopped = run(&["curve", &path]);
    assert_eq!(stopped.code, 1);
    assert!(stopped.data.contains("clinician"), "{}", stopped.data);
    let wrong = run(&["curve", &file("client.toml", BRIEF.replace("minutes", "minuts"))]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.talk.contains("SW007") && wrong.talk.contains("Did you mean"), "{}", wrong.talk);
}

/// Time may be up between any two steps: when the search has found something and the bound has not begun, for one.
#[test]
fn a_search_ends_whenever_time_is_up() {
    let brief = &demo::roster(Some("Ottilie")).unwrap()[0];
    let belief = belief::of(brief, builtin());
    for asked in [0, 1, 10, 100, 300, 1_000, 3_000, 10_000] {
        let left = AtomicU64::new(asked);
        let over = || left.fetch_update(Ordering::Relaxed, Ordering::Relaxed, |l| l.checked_sub(1)).is_err();
        let budget = Budget { moves: 20_000, seed: 1, out_of_time: Some(&over) };
        let found = solve(brief, builtin(), &belief, Objective::Benefit, &budget, &mut |_| {});
        if let (Some(value), Some(bound)) = (found.value, found.bound) {
            assert!(bound >= value - 1e-9, "after {asked}: {bound} under {value}");
        }
    }
}
