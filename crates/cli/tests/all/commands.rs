//! Each command's output, whole.

use super::kit::{file, folder, plain, root, run, run_with};

const SHEET: &str = "\
day,block,exercise,sets,reps,RIR,load,rest
Mon,A,bench press,4,6-8,2,80 kg,2 min
,B1,chin-up,3,8-10,2,,
,B2,plank,3,30,,,60
Thu,A1,back squat,5,5,2,100,
,A2,deadlift,5,5,,120,90
";

#[test]
fn help_teaches() {
    insta::assert_snapshot!("help", run(&["--help"]).data);
    for command in [
        "plan",
        "curve",
        "roadmap",
        "audit",
        "draw",
        "ramp",
        "screen",
        "exercises",
        "client",
        "log",
        "export",
        "publish",
        "pain",
        "undo",
        "backup",
        "restore",
    ] {
        let said = run(&[command, "--help"]);
        assert_eq!(said.code, 0);
        assert!(said.data.contains(&format!("setwright {command} ")), "{command} has an example");
        assert!(said.data.lines().all(|l| l.chars().count() <= 100), "{command} fits 100 columns");
    }
}

#[test]
fn exercises_are_looked_up() {
    let said = run(&["exercises", "row", "--place", "home_dumbbells", "--by-name"]);
    assert_eq!(said.code, 0);
    insta::assert_snapshot!("exercises", said.data);
    let all = run(&["exercises"]).data;
    assert!(
        all.lines().count() > 180 && all.lines().all(|l| l.chars().count() <= 100),
        "all fit 100 columns"
    );
    let none = run(&["exercises", "--muscle", "calves", "--station", "bench_press_station"]);
    assert_eq!((none.code, none.data.as_str()), (1, ""));
    let json = run(&["exercises", "bench", "press", "--json"]);
    let list: serde_json::Value = serde_json::from_str(&json.data).unwrap();
    assert!(
        list.as_array()
            .unwrap()
            .iter()
            .any(|e| e["id"] == "bench_press" && e["sets_per_minute"].as_f64() > Some(0.0))
    );
}

#[test]
fn a_ramp_names_the_discs() {
    let said = run(&["ramp", "bench press", "100"]);
    assert_eq!(said.code, 0);
    insta::assert_snapshot!("ramp", said.data);
    insta::assert_snapshot!(
        "ramp_second",
        run(&["ramp", "incline dumbbell press", "30", "--after", "bench press"]).data
    );
    insta::assert_snapshot!(
        "ramp_pounds",
        run(&["ramp", "back squat", "225", "--units", "lb", "--reps", "5"]).data
    );
}

#[test]
fn plates_are_named_by_what_is_cast_on_them_and_read_by_programs_in_kilograms() {
    let brief = std::fs::read_to_string(root().join("data/demo/busy_adult.toml")).unwrap();
    let (before, equipment) = brief.split_once("[equipment]").unwrap();
    let rest = equipment.split_once("\n[").map_or("", |(_, rest)| rest);
    let in_pounds =
        "place = \"garage\"\nbar_lb = 45.0\ndisc_pairs_lb = { \"45\" = 3, \"10\" = 2, \"5\" = 1 }";
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("brief.toml");
    std::fs::write(&path, format!("{before}[equipment]\n{in_pounds}\n[{rest}")).unwrap();
    let ramp = |more: &[&str]| {
        let args = [&["ramp", "back squat", "225 lb", "--brief", path.to_str().unwrap()], more].concat();
        let said = run(&args);
        assert_eq!(said.code, 0, "{}", said.talk);
        said.data
    };
    let pounds = ramp(&["--units", "lb"]);
    assert!(pounds.contains("45 45") && !pounds.contains("20.41"), "{pounds}");
    let kilograms = ramp(&[]);
    assert!(kilograms.contains("45 45 lb") && !kilograms.contains("20.41"), "{kilograms}");
    let data: serde_json::Value = serde_json::from_str(&ramp(&["--json"])).unwrap();
    assert_eq!(data["work"]["load"]["discs"].to_string(), "[20.41165665,20.41165665]");
}

#[test]
fn screening_takes_answers_and_says_what_they_mean() {
    let answers = |signs: &str| {
        run(&["screen", "--active", "no", "--known-disease", "no", "--signs", signs, "--other", "no"])
    };
    let well = answers("no");
    assert_eq!(well.code, 0);
    insta::assert_snapshot!("screen", well.data);
    assert_eq!(answers("yes").code, 1);
    let open = run(&["screen", "--active", "yes"]);
    assert_eq!(open.code, 2);
    assert!(open.talk.contains("--known-disease yes|no"), "{}", open.talk);
}

#[test]
fn an_audit_says_what_it_understood_and_what_is_wrong() {
    let path = file("old.csv", SHEET);
    let said = run(&["audit", &path]);
    assert_eq!(said.code, 1);
    insta::assert_snapshot!("audit", plain(&said.data, &path));
    let json = run(&["audit", &path, "--json"]);
    let value: serde_json::Value = serde_json::from_str(&json.data).unwrap();
    assert_eq!(value["understood"].as_array().unwrap().len(), 5);
    assert_eq!(value["fit"], false);
}

#[test]
fn who_reads_pounds_finds_no_kilogram_in_what_the_check_says() {
    let path = file(
        "steep.toml",
        "cycle_days = 7\n[[sessions]]\nday = 1\n[[sessions.blocks]]\nkind = \"straight\"\nrest_s = 180\n\
         exercises = [{ id = \"bench_press\", sets = 3, reps = [5, 8], rir = 2, load_kg = 60.0, \
         ramp = [{ reps = 8, load_kg = 58 }] }]\n",
    );
    let said = run(&["audit", &path]).data;
    assert!(said.contains("A warm-up step of 58 kg is above 0.9 of the 60 kg"), "{said}");
    let said = run(&["audit", &path, "--units", "lb"]).data;
    assert!(said.contains("A warm-up step of 128 lb is above 0.9 of the 132.5 lb"), "{said}");
    assert!(said.contains("Smallest mend that was found") && !said.contains(" kg"), "{said}");
}

#[test]
fn a_mend_is_written_and_can_be_audited_again() {
    let path = file("old.csv", SHEET);
    let folder = folder();
    let out = folder.path().join("mended.toml").display().to_string();
    let said = run(&["audit", &path, "--mend", &out]);
    assert!(said.talk.contains("Wrote "), "{}", said.talk);
    let before = errors(&said.data);
    let after = run(&["audit", &out]);
    assert!(after.code <= 1, "{}", after.talk);
    assert!(errors(&after.data) < before, "{}", after.data);
}

/// How many errors the last paragraph counts.
fn errors(page: &str) -> u32 {
    let line = page.lines().find(|l| l.contains(" warning") && l.contains(" note")).unwrap();
    line.split(' ').next().unwrap().parse().unwrap()
}

#[test]
fn codes_and_constants_are_explained() {
    insta::assert_snapshot!("explain", run(&["explain", "sw017"]).data);
    insta::assert_snapshot!("explain_constant", run(&["explain", "debt weight"]).data);
    let all = run(&["explain"]).data;
    assert!(all.contains("SW001") && all.contains("SW101"), "readers and check are both there");
}

#[test]
fn the_interface_for_programs_is_printed_as_the_pages_describe_it() {
    let printed: serde_json::Value = serde_json::from_str(&run(&["schema", "api"]).data).unwrap();
    assert_eq!(printed, serde_json::to_value(setwright_web::api_description()).unwrap());
}

#[test]
fn every_schema_is_a_schema() {
    for kind in ["brief", "programme", "catalogue", "answer", "curve", "roadmap", "event"] {
        let value: serde_json::Value = serde_json::from_str(&run(&["schema", kind]).data).unwrap();
        assert!(value["$schema"].as_str().unwrap().contains("json-schema"), "{kind}");
        assert_eq!(value["type"], "object", "{kind}");
    }
}

#[test]
fn completions_are_made_for_every_shell() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        assert!(run(&["completions", shell]).data.contains("setwright"), "{shell}");
    }
}

#[test]
fn nothing_is_coloured_away_from_a_terminal() {
    let path = file("old.csv", SHEET);
    for environment in [&[][..], &[("NO_COLOR", "1")], &[("TERM", "xterm-256color")]] {
        let said = run_with(&["audit", &path], "", environment);
        assert!(!said.data.contains('\u{1b}') && !said.talk.contains('\u{1b}'));
    }
}
