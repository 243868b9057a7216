//! What is typed or written wrongly: each with a clear error and exit code 2.

use super::kit::{BRIEF, file, folder, plain, run, run_with};

/// Plans a brief and expects a refusal with this code whose text holds all of these.
fn refused(bytes: impl AsRef<[u8]>, code: &str, holds: &[&str]) {
    let path = file("client.toml", bytes);
    let said = run(&["plan", &path]);
    assert_eq!(said.code, 2, "{}", said.talk);
    assert_eq!(said.data, "", "nothing but data goes to the standard output");
    assert!(said.talk.contains(&format!("error {code}: ")), "{code}: {}", said.talk);
    for part in holds {
        assert!(said.talk.contains(part), "{part:?} is not in: {}", said.talk);
    }
}

fn brief_with(more: &str) -> String {
    format!("{BRIEF}\n{more}\n")
}

#[test]
fn an_unknown_field_is_named_with_the_nearest_and_its_place() {
    refused(
        BRIEF.replace("minutes", "minuts"),
        "SW007",
        &["\"minuts\"", "client.toml:7:1", "Did you mean \"minutes\"?"],
    );
}

#[test]
fn an_unknown_exercise_gets_the_nearest_names() {
    let lift = "[[lift]]\nexercise = \"bench_pres\"\nload_kg = 60\nreps = 8";
    refused(brief_with(lift), "SW011", &["\"bench_pres\"", "\"bench press\"", "client.toml:13:12"]);
    refused(brief_with("[[lock]]\nexercise = \"zzzzzz\""), "SW011", &["setwright exercises"]);
    refused(brief_with("[exclude]\nexercises = [\"dip\", \"sqwat\"]"), "SW011", &["client.toml:13:21"]);
}

#[test]
fn minutes_that_cannot_be_meant_are_refused() {
    for minutes in ["-5", "0", "nan", "inf", "-inf", "9.9", "180.1", "1e300"] {
        refused(BRIEF.replace("= 60\n\n", &format!("= {minutes}\n\n")), "SW012", &["between 10 and 180"]);
    }
    refused(BRIEF.replace("= 60\n\n", "= [60, -5, 60]\n\n"), "SW012", &["-5 minutes"]);
    refused(BRIEF.replace("= 60\n\n", "= [60, 60]\n\n"), "SW013", &["2 numbers of minutes for 3 sessions"]);
    refused(BRIEF.replace("= 60\n\n", "= \"an hour\"\n\n"), "SW009", &["[60, 45, 60]"]);
}

#[test]
fn no_discs_are_refused() {
    refused(brief_with("[equipment.disc_pairs]\n\"20\" = 0"), "SW016", &["0 pairs of 20 kg discs"]);
    refused(brief_with("[equipment.disc_pairs]\n\"big\" = 2"), "SW016", &["\"big\""]);
}

#[test]
fn cycles_of_no_days_and_of_a_year_are_refused() {
    for days in [0, 4, 15, 400] {
        let text = BRIEF.replace("sessions = 3", &format!("sessions = 3\ncycle_days = {days}"));
        refused(text, "SW012", &[&format!("{days} days of the cycle"), "between 5 and 14"]);
    }
}

#[test]
fn days_must_fit_the_sessions() {
    let with = |line: &str| BRIEF.replace("sessions = 3", &format!("sessions = 3\n{line}"));
    refused(with("days = [1, 2, 3, 5]"), "SW013", &["4 days are fixed for 3 sessions"]);
    refused(with("days = [1, 3, 8]"), "SW013", &["Day 8 is not in a cycle of 7 days"]);
    refused(with("days = [1, 3, 3]"), "SW013", &["Day 3 is named twice"]);
    refused(with("days = [5, 3, 1]"), "SW013", &["Day 3 comes after day 5"]);
    refused(with("possible_days = [1, 2]"), "SW013", &["only 2 days are possible"]);
    refused(BRIEF.replace("sessions = 3", "sessions = 8"), "SW013", &["8 sessions do not fit"]);
    refused(BRIEF.replace("sessions = 3", "sessions = 11"), "SW012", &["between 1 and 10"]);
    refused(BRIEF.replace("sessions = 3", "sessions = 0"), "SW012", &["between 1 and 10"]);
}

#[test]
fn locks_that_contradict_are_refused() {
    let twice = "[[lock]]\nexercise = \"back_squat\"\nsession = 1\nsets = 3\n[[lock]]\nexercise = \"back squat\"\nsession = 1\nsets = 5";
    refused(brief_with(twice), "SW014", &["with 3 sets and with 5 sets"]);
    let excluded = "[exclude]\nexercises = [\"back_squat\"]\n[[lock]]\nexercise = \"back_squat\"";
    refused(brief_with(excluded), "SW014", &["the brief excludes it"]);
    let asks = "[exclude]\nasks = [\"overhead\"]\n[[lock]]\nexercise = \"overhead_press\"";
    refused(brief_with(asks), "SW014", &["excludes what it asks"]);
    let away = "[equipment]\nplace = \"bare\"\n[[lock]]\nexercise = \"leg_press\"";
    refused(brief_with(away), "SW014", &["there is no leg-press sled"]);
    refused(brief_with("[[lock]]\nexercise = \"dip\"\nsession = 4"), "SW012", &["between 1 and 3"]);
    refused(brief_with("[[lock]]\nexercise = \"dip\"\nsets = 6"), "SW012", &["between 1 and 5"]);
    refused(brief_with(&"[[lock]]\nexercise = \"dip\"\n".repeat(4)), "SW014", &["locked 4 times"]);
}

#[test]
fn a_least_above_the_most_is_refused() {
    refused(brief_with("[muscles.chest]\nleast = 12\nmost = 8"), "SW015", &["at least 12 and at most 8"]);
}

#[test]
fn pounds_typed_as_kilograms_are_questioned() {
    let lift = |kg: u32| format!("[[lift]]\nexercise = \"back_squat\"\nload_kg = {kg}\nreps = 1");
    refused(brief_with(&lift(900)), "SW017", &["times the body mass", "408.2 kg"]);
    refused(brief_with(&lift(400)), "SW017", &["181.4 kg"]);
}

#[test]
fn files_that_are_no_text_are_refused() {
    refused(b"name = \"M\xfcller\"", "SW004", &["UTF-8", "client.toml:1:10"]);
    refused("", "SW005", &["is empty"]);
    refused("\u{feff}  \n", "SW005", &["is empty"]);
    refused(BRIEF.replace("\"Test\"", "\"Te\\u0007st\""), "SW018", &["control character"]);
    refused(BRIEF.replace("\"Test\"", &format!("\"{}\"", "a".repeat(81))), "SW018", &["81 characters"]);
    refused(BRIEF.replace("[time]", "[time"), "SW006", &["client.toml:5:"]);
}

#[test]
fn a_file_of_fifty_megabytes_is_refused_before_it_is_read() {
    let folder = folder();
    let path = folder.path().join("large.toml");
    std::fs::File::create(&path).unwrap().set_len(50 * 1024 * 1024).unwrap();
    let said = run(&["plan", &path.display().to_string()]);
    assert_eq!(said.code, 2);
    assert!(said.talk.contains("SW003") && said.talk.contains("larger than 4 MB"), "{}", said.talk);
}

#[test]
fn a_missing_file_and_a_folder_are_refused() {
    let said = run(&["plan", "data/demo/busy_adlut.toml"]);
    assert_eq!(said.code, 2);
    assert!(said.talk.contains("Did you mean data/demo/busy_adult.toml?"), "{}", said.talk);
    assert!(run(&["plan", "data/demo"]).talk.contains("SW002"));
    assert!(run(&["audit", "data/demo/busy_adult.toml"]).talk.contains("This looks like a brief"));
}

#[test]
fn typed_slips_get_what_was_meant() {
    for (args, hint) in [
        (&["paln", "x.toml"][..], "'plan'"),
        (&["curv", "x.toml"], "'curve'"),
        (&["curve", "data/demo/busy_adlut.toml"], "busy_adult.toml"),
        (&["curve", "x.toml", "--sede", "3"], "'--seed'"),
        (&["exercises", "--musle", "lats"], "'--muscle'"),
        (&["exercises", "--muscle", "bicep"], "'biceps'"),
        (&["schema", "breif"], "'brief'"),
        (&["explain", "SW07"], "SW007"),
        (&["demo", "--client", "otilie"], "Ottilie"),
        (&["ramp", "benhc press", "60"], "bench press"),
    ] {
        let said = run(args);
        assert_eq!(said.code, 2, "{args:?}");
        assert!(said.talk.contains(hint), "{args:?}: {}", said.talk);
    }
}

#[test]
fn every_problem_of_a_sheet_is_told_at_once_with_line_and_cell() {
    let sheet = "day,block,exercise,sets,reps,RIR,load,rest\n1,A,bench press,3,8-6,2,60,90\n1,B,blargh,0,8,2,heavy,90\n";
    let path = file("old.csv", sheet);
    let said = run(&["audit", &path]);
    assert_eq!(said.code, 2);
    insta::assert_snapshot!("sheet_problems", plain(&said.talk, &path));
}

#[test]
fn errors_are_json_on_request() {
    let path = file("client.toml", BRIEF.replace("minutes", "minuts"));
    let said = run(&["plan", &path, "--json"]);
    assert_eq!((said.code, said.talk.as_str()), (2, ""));
    let value: serde_json::Value = serde_json::from_str(&said.data).unwrap();
    let error = &value["errors"][0];
    assert_eq!(error["code"], "SW007");
    assert_eq!(error["where"]["line"], 7);
    assert!(error["hint"].as_str().unwrap().contains("minutes"));
}

#[test]
fn a_brief_may_come_from_the_standard_input() {
    let said = run_with(&["plan", "-"], "goal = 3", &[]);
    assert_eq!(said.code, 2);
    assert!(said.talk.contains("standard input:1:"), "{}", said.talk);
}

#[test]
fn what_lies_on_a_limit_is_accepted() {
    use setwright_formats::{Source, brief};
    use setwright_gym::catalogue::builtin;
    let accepted = |text: String| {
        let source = Source { name: "b.toml".to_owned(), text };
        if let Err(problems) = brief::parse(&source, builtin()) {
            panic!("{}: {:?}", source.text, problems);
        }
    };
    for days in [5, 14] {
        accepted(BRIEF.replace("sessions = 3", &format!("sessions = 3\ncycle_days = {days}")));
    }
    for minutes in ["10", "180", "[10, 180, 45.5]"] {
        accepted(BRIEF.replace("= 60\n\n", &format!("= {minutes}\n\n")));
    }
    accepted(BRIEF.replace("sessions = 3", "sessions = 10\ncycle_days = 10"));
    accepted(BRIEF.replace("sessions = 3", "sessions = 3\npossible_days = [1, 3, 7]"));
    accepted(BRIEF.replace("\"Test\"", &format!("\"{}\"", "é".repeat(80))));
    for more in [
        "[muscles.chest]\nleast = 8\nmost = 8\nsessions = 3\nrecovery_h = 6",
        "[muscles.chest]\nleast = 0\nmost = 60\nsessions = 0\nrecovery_h = 336",
        "[equipment]\nbar_kg = 40\nstack_step_kg = 0.5\ndumbbells_kg = [0.5, 120]\n[equipment.disc_pairs]\n\"0.1\" = 1\n\"50\" = 40",
        "[[lock]]\nexercise = \"dip\"\nsession = 3\nsets = 5\nwith = \"plank\"",
        "[style]\nfocus = [\"upper\", \"lower\", \"whole_body\"]\ntolerance = 0.5",
        "[[lift]]\nexercise = \"back squat\"\nload_kg = 150\nreps = 1",
    ] {
        accepted(brief_with(more));
    }
}

#[test]
fn what_lies_past_a_limit_is_refused() {
    refused(BRIEF.replace("mass_kg = 60", "mass_kg = 24.9"), "SW012", &["between 25 and 300"]);
    refused(BRIEF.replace("mass_kg = 60", "age = 15"), "SW012", &["between 16 and 100"]);
    refused(BRIEF.replace("mass_kg = 60", "height_m = 176"), "SW012", &["between 1 and 2.5"]);
    for (more, limits) in [
        ("[muscles.chest]\nleast = -1", "between 0 and 60"),
        ("[muscles.chest]\nmost = nan", "between 0 and 60"),
        ("[muscles.chest]\nsessions = 4", "between 0 and 3"),
        ("[muscles.chest]\nrecovery_h = 5.9", "between 6 and 336"),
        ("[equipment]\nbar_kg = -20", "between 1 and 40"),
        ("[equipment]\ndumbbells_kg = [10, 0]", "between 0.5 and 120"),
        ("[equipment.disc_pairs]\n\"50.1\" = 1", "between 0.1 and 50"),
        ("[equipment.disc_pairs]\n\"50\" = 41", "between 1 and 40"),
        ("[style]\ntolerance = 0.51", "between 0 and 0.5"),
        ("[[lift]]\nexercise = \"plank\"\nload_kg = 601\nreps = 5", "between 0 and 600"),
        ("[[lift]]\nexercise = \"dip\"\nload_kg = 10\nreps = 61", "between 1 and 60"),
        ("[[lift]]\nexercise = \"dip\"\nload_kg = 10\nreps = 6\nrir = 11", "between 0 and 10"),
    ] {
        refused(brief_with(more), "SW012", &[limits]);
    }
}

#[test]
fn a_programme_that_cannot_be_meant_is_refused_where_it_is_wrong() {
    let programme = |set: &str| {
        format!(
            "cycle_days = 7\n[[sessions]]\nday = 1\n[[sessions.blocks]]\nkind = \"straight\"\nrest_s = 120\n\
             exercises = [\n  {{ id = \"bench_press\", {set} }},\n]\n"
        )
    };
    for (set, code, holds) in [
        ("sets = 0, reps = [8, 12], rir = 2", "SW012", "between 1 and 30"),
        ("sets = 31, reps = [8, 12], rir = 2", "SW012", "between 1 and 30"),
        ("sets = 3, reps = [12, 8], rir = 2", "SW015", "reps = [8, 12]"),
        ("sets = 3, reps = [8, 12, 15], rir = 2", "SW009", ":8:"),
        ("sets = 3, reps = [8, 12], rir = 2, load_kg = -5", "SW012", "between 0 and 600"),
        ("sets = 3, reps = [8, 12]", "SW008", "\"rir\" is missing"),
        ("sets = 3, reps = [8, 12], rir = 2, laod = 5", "SW007", "\"load_kg\""),
    ] {
        let path = file("p.toml", programme(set));
        let said = run(&["audit", &path]);
        assert_eq!(said.code, 2, "{set}: {}{}", said.data, said.talk);
        assert!(said.talk.contains(code) && said.talk.contains(holds), "{set}: {}", said.talk);
    }
    let fine = file("p.toml", programme("sets = 30, reps = [1, 600], rir = 10, load_kg = 600"));
    assert_eq!(run(&["audit", &fine]).code, 1, "it is read, and found wanting");
}
