//! What goes on paper and into calendars, as a coach asks for it.

use super::insight::of_bram;
use super::kit::{file, folder, run};
use super::ledger::Coach;
use super::pages::Pages;
use axum::body::Body;
use axum::http::{Request, StatusCode, header};

const SHEET: &str = "\
day,block,exercise,sets,reps,RIR,load,rest
Mon,A,bench press,4,6-8,2,80 kg,2 min
,B1,chin-up,3,8-10,2,,
,B2,plank,3,30,,,60
Thu,A,back squat,5,5,2,100,3:00
,B,leg curl,3,12,,40,90
";

/// A drawing: whole, named, with these words in it.
fn shows(svg: &str, words: &[&str]) {
    assert!(svg.starts_with("<svg ") && svg.trim_end().ends_with("</svg>"), "{svg}");
    for word in words {
        assert!(svg.contains(word), "{word}: {svg}");
    }
}

#[test]
fn a_programme_is_drawn_from_a_file() {
    let sheet = file("sheet.csv", SHEET);
    let first = run(&["draw", "lanes", &sheet]);
    assert_eq!(first.code, 0, "{}", first.talk);
    shows(&first.data, &["bench press", "4 x 6-8, 80 kg", "plank"]);
    let second = run(&["draw", "lanes", &sheet, "--session", "2", "--width", "360"]);
    shows(&second.data, &["back squat", "width=\"360\""]);
    shows(&run(&["draw", "doses", &sheet]).data, &["chest", "Sets a week by muscle"]);
    let none = run(&["draw", "lanes", &sheet, "--session", "3"]);
    assert!(none.code == 2 && none.talk.contains("the programme has 2"), "{}", none.talk);
    let no_log = run(&["draw", "strip", &sheet]);
    assert!(no_log.code == 2 && no_log.talk.contains("is a file"), "{}", no_log.talk);
}

#[test]
fn a_client_of_the_ledger_is_drawn() {
    let coach = of_bram();
    let strip = coach.done(&["draw", "strip", "bram"]).data;
    shows(&strip, &["Recovery of Bram", "chest"]);
    let strength = coach.done(&["draw", "strength", "bram", "--exercise", "back squat"]).data;
    shows(&strength, &["Strength: back squat", "nine cases of ten"]);
    shows(&coach.done(&["draw", "strength", "bram"]).data, &["Strength: "]);
    shows(&coach.done(&["draw", "lanes", "bram"]).data, &["Session 1"]);
    coach.refused(
        &["draw", "strength", "bram", "--exercise", "hip thrust"],
        "SW069",
        "no log of this exercise",
    );
}

#[test]
fn a_client_without_a_programme_or_a_brief_is_refused_with_the_way_out() {
    let coach = Coach::of_mara();
    coach.refused(&["draw", "lanes", "mara"], "SW069", "no programme in force");
    coach.refused(&["draw", "roadmap", "mara"], "SW069", "no brief");
    coach.refused(&["draw", "strip", "nobody"], "SW049", "nobody");
}

#[test]
fn a_drawing_is_written_as_svg_or_as_an_image() {
    let sheet = file("sheet.csv", SHEET);
    let folder = folder();
    let at = |name: &str| folder.path().join(name).display().to_string();
    let said = run(&["draw", "lanes", &sheet, "--out", &at("a.svg"), "--png", &at("b")]);
    assert_eq!((said.code, said.data.as_str()), (0, ""), "{}", said.talk);
    let svg = std::fs::read_to_string(at("a.svg")).unwrap();
    shows(&svg, &["bench press"]);
    run(&["draw", "lanes", &sheet, "--out", &at("c.PNG")]);
    let [b, c] = ["b", "c.PNG"].map(|name| std::fs::read(at(name)).unwrap());
    assert!(b.starts_with(b"\x89PNG") && b == c, "the same image, whatever asked for it");
}

/// The pages of a PDF, from the bytes that a command wrote.
fn pages(path: &str) -> (Vec<u8>, usize) {
    let bytes = std::fs::read(path).unwrap();
    assert!(bytes.starts_with(b"%PDF-1.7") && bytes.trim_ascii_end().ends_with(b"%%EOF"), "{path}");
    let text = String::from_utf8_lossy(&bytes);
    let count = text.matches("/Type/Page").count() - text.matches("/Type/Pages").count();
    (bytes, count)
}

#[test]
fn sheets_of_a_programme_are_printed_on_both_papers_and_come_out_the_same_twice() {
    let sheet = file("sheet.csv", SHEET);
    let folder = folder();
    let at = |name: &str| folder.path().join(name).display().to_string();
    let print = |name: &str, more: &[&str]| {
        let out = at(name);
        let said = run(&[&["sheet", &sheet, "--out", &out], more].concat());
        assert_eq!((said.code, said.data.as_str()), (0, ""), "{}", said.talk);
        pages(&out)
    };
    let (all, count) = print("all.pdf", &[]);
    assert_eq!(count, 2);
    assert_eq!(print("again.pdf", &["--all"]).0, all);
    assert_eq!(print("one.pdf", &["--session", "2", "--paper", "letter"]).1, 1);
    assert_eq!(print("many.pdf", &["--sessions", "200", "--from", "2026-12-01"]).1, 200);
    let none = run(&["sheet", &sheet, "--session", "3", "--out", &at("none.pdf")]);
    assert!(none.code == 2 && none.talk.contains("the programme has 2"), "{}", none.talk);
    assert!(!folder.path().join("none.pdf").exists());
}

#[test]
fn a_client_gets_the_coming_session_and_no_sheet_before_a_clinician_has_agreed() {
    let coach = of_bram();
    let folder = folder();
    let out = folder.path().join("bram.pdf").display().to_string();
    assert!(coach.done(&["sheet", "bram", "--out", &out]).talk.contains("Wrote"));
    assert!((1..=2).contains(&pages(&out).1), "a session of twelve exercises, on the page or overleaf");
    coach.done(&["sheet", "bram", "--sessions", "5", "--out", &out]);
    assert!((5..=10).contains(&pages(&out).1));
    let sign = ["--active", "yes", "--known-disease", "no", "--signs", "yes", "--other", "no"];
    assert_eq!(coach.run(&[&["screen", "--client", "bram"][..], &sign].concat()).code, 1);
    for which in [&["--all"][..], &[]] {
        coach.refused(&[&["sheet", "bram", "--out", &out], which].concat(), "SW089", "see a clinician");
    }
}

#[test]
fn no_command_shows_a_session_to_do_before_a_clinician_has_agreed() {
    let coach = of_bram();
    let folder = folder();
    let out = folder.path().join("bram.pdf").display().to_string();
    let other = coach.at("bram.toml");
    let ways: [&[&str]; 6] = [
        &["next", "bram"],
        &["calendar", "bram", "--zone", "Europe/Zurich"],
        &["report", "programme", "bram", "--out", &out],
        &["draw", "lanes", "bram"],
        &["sheet", "bram", "--all", "--brief", &other, "--out", &out],
        &["calendar", "bram", "--zone", "Europe/Zurich", "--brief", &other],
    ];
    for way in ways {
        coach.done(way);
    }
    let sign = ["--active", "yes", "--known-disease", "no", "--signs", "yes", "--other", "no"];
    assert_eq!(coach.run(&[&["screen", "--client", "bram"][..], &sign].concat()).code, 1);
    for way in ways {
        coach.refused(way, "SW089", "a warning sign");
        let said = coach.run(way);
        assert!(said.data.is_empty() && said.talk.contains("--cleared yes"), "{way:?}: {}", said.talk);
    }
    let told = coach.run(&["next", "bram", "--json"]).data;
    assert!(told.contains("SW089") && !told.contains("load_kg"), "{told}");
    assert!(coach.done(&["roster"]).data.contains("clinician"));
    coach.done(&[&["screen", "--client", "bram", "--cleared", "yes"][..], &sign].concat());
    for way in ways {
        coach.done(way);
    }
}

#[test]
fn a_programme_an_audit_and_a_block_are_printed() {
    let coach = of_bram();
    let sheet = file("sheet.csv", SHEET);
    let folder = folder();
    let at = |name: &str| folder.path().join(name).display().to_string();
    for (kind, whom) in [("programme", "bram"), ("programme", &sheet), ("audit", &sheet), ("block", "bram")] {
        for paper in ["a4", "letter"] {
            let out = at(&format!("{kind}.pdf"));
            coach.done(&["report", kind, whom, "--paper", paper, "--out", &out]);
            assert!(pages(&out).1 >= 1);
        }
    }
    let out = at("x.pdf");
    coach.refused(&["report", "block", &sheet, "--out", &out], "SW027", "is a file");
    coach.refused(&["report", "audit", "bram", "--out", &out], "SW027", "is no file");
}

/// Lines of a calendar, unfolded.
fn unfolded(calendar: &str) -> Vec<String> {
    assert!(
        calendar.lines().all(|line| line.len() <= 75) && calendar.ends_with("END:VCALENDAR\r\n"),
        "{calendar}"
    );
    calendar.replace("\r\n ", "").split("\r\n").map(str::to_owned).collect()
}

/// What follows a name in a calendar, each time it stands there.
fn values<'l>(lines: &'l [String], name: &str) -> Vec<&'l str> {
    lines.iter().filter_map(|line| line.strip_prefix(name)).collect()
}

#[test]
fn a_calendar_repeats_by_the_cycle_at_the_same_hour_and_keeps_its_entries_when_it_is_written_again() {
    let sheet = file("sheet.csv", SHEET);
    let of = |more: &[&str]| {
        let said =
            run(&[&["calendar", &sheet, "--from", "2026-12-01", "--zone", "Europe/Zurich"], more].concat());
        assert_eq!(said.code, 0, "{}", said.talk);
        unfolded(&said.data)
    };
    let lines = of(&["--weeks", "52", "--cycle-days", "9", "--at", "06:30"]);
    let starts = values(&lines, "DTSTART;TZID=Europe/Zurich:");
    assert_eq!(starts, ["20261201T063000", "20261204T063000"], "days 1 and 4 of the cycle");
    // 364 days hold days 0, 9, ..., 360 and 3, 12, ..., 363.
    assert_eq!(values(&lines, "RRULE:"), ["FREQ=DAILY;INTERVAL=9;COUNT=41"; 2]);
    assert_eq!(
        values(&lines, "TZOFFSETTO:"),
        ["+0100", "+0200", "+0100"],
        "two changes of the clocks in the year"
    );
    assert!(
        lines
            .iter()
            .any(|l| l.starts_with("DESCRIPTION:") && l.contains("bench press") && l.contains("medical"))
    );
    let again = of(&["--weeks", "4"]);
    assert_eq!(values(&lines, "UID:"), values(&again, "UID:"));
    let wrong = run(&["calendar", &sheet, "--from", "2026-12-01", "--zone", "Europe/Nowhere"]);
    assert!(wrong.code == 2 && wrong.talk.contains("SW091"), "{}", wrong.talk);
    let undated = run(&["calendar", &sheet, "--zone", "Europe/Zurich"]);
    assert!(undated.code == 2 && undated.talk.contains("--from"), "{}", undated.talk);
}

#[test]
fn a_clients_page_prints_what_the_commands_print() {
    let coach = of_bram();
    let pages = Pages::on(&coach.path("ledger.sqlite3"));
    let ask = |path: &str| {
        let request = Request::get(path).header(header::HOST, "localhost:8410").body(Body::empty()).unwrap();
        pages.send(request)
    };
    let (_, page) = pages.get("/clients/bram");
    for (path, kind) in [
        ("sheet.pdf", "application/pdf"),
        ("sheet.pdf?paper=letter&sessions=3", "application/pdf"),
        ("programme.pdf?paper=letter", "application/pdf"),
        ("report.pdf?paper=a4", "application/pdf"),
        ("calendar.ics?at=07%3A15&weeks=8&zone=Europe/Zurich", "text/calendar; charset=utf-8"),
    ] {
        let answer = ask(&format!("/clients/bram/{path}"));
        assert_eq!(answer.status(), StatusCode::OK, "{path}");
        assert_eq!(answer.headers()[header::CONTENT_TYPE], kind);
        let name = answer.headers()[header::CONTENT_DISPOSITION].to_str().unwrap().to_owned();
        assert!(name.contains("\"bram"), "{name}");
        assert!(page.contains(path.split('?').next().unwrap()), "a button for {path}: {page}");
    }
    for wrong in
        ["sheet.pdf?paper=foolscap", "sheet.pdf?sessions=0", "calendar.ics?at=noon", "calendar.ics?zone=Mars"]
    {
        assert_eq!(
            ask(&format!("/clients/bram/{wrong}")).status(),
            StatusCode::UNPROCESSABLE_ENTITY,
            "{wrong}"
        );
    }
    assert_eq!(ask("/clients/nobody/sheet.pdf").status(), StatusCode::NOT_FOUND);
}

#[test]
fn a_roadmap_is_drawn_with_its_band() {
    let said = run(&["draw", "roadmap", "data/demo/absolute_beginner.toml", "--weeks", "6"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    shows(&said.data, &["Roadmap for", "sets a session", "class=\"band\""]);
}
