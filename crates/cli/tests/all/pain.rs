//! Pain on the command line: reported, kept out of the coming sessions, answered by somebody who is named.

use super::insight::of_bram;
use super::ledger::Coach;

#[test]
fn a_report_stands_open_until_it_is_answered_and_three_ask_for_a_clinician() {
    let mut coach = Coach::of_mara();
    assert!(coach.done(&["pain", "mara"]).data.contains("no pain was reported"));
    let report = ["pain", "mara", "--report", "knee", "--side", "left", "--exercise", "back squat"];
    let said = coach.done(&[&report[..], &["--words", "sharp"]].concat()).data;
    assert!(said.contains("left knee, at back squat") && said.contains("sharp"), "{said}");
    let open = |coach: &Coach| coach.json(&["pain", "mara"])["open"].as_array().unwrap().clone();
    let id = open(&coach)[0]["id"].as_str().unwrap().to_owned();
    let roster = coach.done(&["roster"]).data;
    assert!(roster.contains("pain: knee, at back squat; nobody has answered"), "{roster}");
    let short = id.rsplit('-').next().unwrap();
    let said = coach.done(&["pain", "mara", "--train-again", short, "--reason", "fine now"]).data;
    assert!(said.contains("The coach on 25 November 2026: trained again. fine now"), "{said}");
    assert!(open(&coach).is_empty());
    for day in ["2026-12-05", "2026-12-12"] {
        coach.now = format!("{day}T18:00:00+01:00");
        assert!(!coach.done(&["pain", "mara"]).data.contains("See a clinician"));
        coach.done(&report);
    }
    assert!(coach.done(&["pain", "mara"]).data.contains("3 times in four weeks. See a clinician."));
    coach.refused(&["pain", "mara", "--leave-out", "ffffffff"], "SW059", "report of pain");
    let nowhere = coach.run(&["pain", "mara", "--side", "left"]);
    assert_eq!(nowhere.code, 2, "a place is said, never assumed");
}

#[test]
fn a_movement_that_hurts_is_in_no_coming_session_whatever_way_it_is_asked_for() {
    let coach = of_bram();
    let session = coach.json(&["next", "bram"])["session"].clone();
    let first = session["blocks"][0]["lines"][0]["name"].as_str().unwrap();
    let number = session["number"].to_string();
    let ways: [&[&str]; 3] = [
        &["next", "bram"],
        &["calendar", "bram", "--zone", "Europe/Zurich"],
        &["draw", "lanes", "bram", "--session", &number],
    ];
    // The sentence that says what is left out names it, and nothing else may.
    let asks = |way: &[&str]| {
        let data = coach.done(way).data.replace("\r\n ", "");
        let mut parts = data.split("Left out:");
        let begin = parts.next().unwrap().to_owned();
        let rest = parts.map(|part| part.split_once("answered yet").map_or(part, |(_, after)| after));
        (begin + &rest.collect::<String>()).contains(first)
    };
    assert!(ways.iter().all(|way| asks(way)), "{first}");
    coach.done(&["pain", "bram", "--report", "shoulder", "--exercise", first]);
    for way in ways {
        assert!(!asks(way), "{way:?}: {first}");
    }
    // Wherever the line breaks.
    let said = coach.done(&["next", "bram"]).data;
    let words: Vec<&str> = said.split_whitespace().collect();
    assert!(words.join(" ").contains("nobody has answered yet"), "{said}");
}
