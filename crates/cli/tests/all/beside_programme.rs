//! The pages that stand beside a programme: letters of advice, the audit of a sheet, kilograms and pounds.

use super::insight::of_bram_with_advice;
use super::pages::Pages;
use axum::body::Body;
use axum::http::{Request, StatusCode, header};

const NOW: &str = "2026-09-20T09:00:00+02:00";

/// What stands between two pieces of a page, each time.
fn between<'p>(page: &'p str, before: &str, after: &str) -> Vec<&'p str> {
    page.split(before).skip(1).filter_map(|rest| rest.split_once(after).map(|(found, _)| found)).collect()
}

#[test]
fn letters_are_answered_from_the_page_of_all_and_come_back_when_put_off() {
    let coach = of_bram_with_advice();
    let ledger = coach.path("ledger.sqlite3");
    let pages = Pages::at(&ledger, NOW);
    let (status, page) = pages.get("/advice");
    assert_eq!(status, StatusCode::OK);
    assert!(page.contains("Bram") && page.contains("What it would change"), "{page}");
    assert!(!page.contains("Probability 1;"), "nothing is certain");
    let key = between(&page, "name=\"key\" value=\"", "\"")[0];
    let client = between(&page, "action=\"", "/advice\"")[0];
    let asks = |page: &str| page.contains(&format!("name=\"key\" value=\"{key}\""));

    let later = format!("key={key}&back=all&reply=later&days=3&reason=%3Cb%3Eafter+the+holidays");
    assert_eq!(pages.goes(&pages.post(&format!("{client}/advice"), &later)), "/advice");
    for path in ["/advice", client] {
        let (_, page) = pages.get(path);
        assert!(!asks(&page), "{path}");
        assert!(page.contains("comes back on Wed 23 Sep"), "{page}");
        assert!(
            page.contains("(&lt;b&gt;after the holidays)") && !page.contains("<b>after"),
            "what was typed is text"
        );
    }
    assert!(
        !pages.get("/").1.contains("in the coming session"),
        "the roster asks no more for what was answered"
    );

    let after = Pages::at(&ledger, "2026-09-23T09:30:00+02:00");
    assert!(asks(&after.get("/advice").1));
    let declined = format!("key={key}&back=client&reply=declined");
    assert_eq!(after.goes(&after.post(&format!("{client}/advice"), &declined)), format!("{client}#advice"));
    assert!(!asks(&after.get("/advice").1));
}

#[test]
fn an_answer_that_cannot_be_meant_is_refused_and_keeps_nothing() {
    let coach = of_bram_with_advice();
    let pages = Pages::at(&coach.path("ledger.sqlite3"), NOW);
    let (_, before) = pages.get("/advice");
    let key = between(&before, "name=\"key\" value=\"", "\"")[0];
    let client = between(&before, "action=\"", "/advice\"")[0];
    for form in ["reply=perhaps", "reply=later&days=0", "reply=later&days=91", "reply=later&days=soon"] {
        let answer = pages.post(&format!("{client}/advice"), &format!("key={key}&{form}"));
        assert_eq!(answer.status(), StatusCode::UNPROCESSABLE_ENTITY, "{form}");
    }
    assert_eq!(pages.get("/advice").1, before);
}

const SHEET: &str = "day,exercise,sets,reps,load\r\n1,bench press,4,6-8,80 kg\r\n1,plank,3,30 s,\r\n4,back squat,5,5,100 kg\r\n";

/// A text as forms send it.
fn sent(text: &str) -> String {
    text.bytes().map(|b| format!("%{b:02X}")).collect::<Vec<_>>().concat()
}

#[test]
fn a_sheet_stands_beside_what_was_understood_and_what_was_found_hangs_on_its_line() {
    let folder = tempfile::TempDir::new().unwrap();
    let pages = Pages::on(&folder.path().join("ledger.sqlite3"));
    let (status, page) = pages.read(pages.post("/audit", &format!("sheet={}", sent(SHEET))));
    assert_eq!(status, StatusCode::OK);
    let lines = between(&page, "<li value=", "</li>");
    assert_eq!(lines.len(), 4, "{page}");
    assert!(lines[1].contains("1,bench press,4,6-8,80 kg") && lines[1].contains("4 x 6-8"), "{}", lines[1]);
    assert!(
        lines[1].contains("SW140") && !lines[2].contains("SW140") && lines[3].contains("SW140"),
        "{page}"
    );
    assert!(lines[2].contains("Assumed:"), "{}", lines[2]);
    // The sheet does not say what its sessions are for.
    assert!(page.contains(">session 1</a>") && page.contains(">Session 1, day 1</h2>"), "{page}");
    assert!(page.contains("Smallest mend") && page.contains("The mended programme as a file"), "{page}");

    let pounds =
        pages.read(pages.post("/audit", &format!("unit=lb&sheet={}", sent(&SHEET.replace(" kg", ""))))).1;
    assert!(between(&pounds, "<li value=", "</li>")[1].contains("36.29 kg"), "{pounds}");
}

#[test]
fn what_cannot_be_read_is_said_beside_its_line_and_the_sheet_is_kept() {
    let folder = tempfile::TempDir::new().unwrap();
    let pages = Pages::on(&folder.path().join("ledger.sqlite3"));
    let wrong = SHEET.replace("plank", "plnk<b>");
    let (status, page) = pages.read(pages.post("/audit", &format!("sheet={}", sent(&wrong))));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    let lines = between(&page, "<li value=", "</li>");
    assert!(lines[2].contains("SW0") && !lines[1].contains("SW0"), "{page}");
    assert!(page.contains("1,plnk&lt;b&gt;,3") && !page.contains("plnk<b>"), "{page}");
    for (form, code) in [("days=lots", "SW027"), ("client=nobody", "SW049")] {
        let (_, page) = pages.read(pages.post("/audit", &format!("{form}&sheet={}", sent(SHEET))));
        assert!(page.contains(code) && page.contains("role=\"alert\""), "{form}: {page}");
    }
}

#[test]
fn a_browser_that_asks_for_pounds_is_shown_them_and_is_read_in_them() {
    let folder = tempfile::TempDir::new().unwrap();
    let pages = Pages::on(&folder.path().join("ledger.sqlite3"));
    let client = pages.newcomer("Ida");
    let answer = pages.send(
        Request::post("/unit")
            .header(header::HOST, "localhost:8410")
            .header(header::REFERER, format!("http://localhost:8410{client}"))
            .header("sec-fetch-site", "same-origin")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .body(Body::from("unit=lb"))
            .unwrap(),
    );
    assert_eq!(pages.goes(&answer), client);
    let cookie = answer.headers()[header::SET_COOKIE].to_str().unwrap();
    assert!(cookie.starts_with("unit=lb; Path=/;") && cookie.contains("SameSite=Lax"), "{cookie}");

    let asked = |request: axum::http::request::Builder, body: String| {
        let request = request.header(header::HOST, "localhost:8410").header(header::COOKIE, "a=1; unit=lb");
        let request = request.header("sec-fetch-site", "same-origin");
        let request = request.header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        pages.read(pages.send(request.body(Body::from(body)).unwrap())).1
    };
    let get = |path: &str| asked(Request::get(path), String::new());
    // The press was given as 40 kg for eight with two left.
    let (in_kg, in_lb) = (pages.get(&client).1, get(&client));
    assert!(in_kg.contains(" kg</td>") && !in_kg.contains(" lb</td>"), "{in_kg}");
    assert!(
        in_lb.contains(" lb</td>") && !in_lb.contains(" kg</td>") && in_lb.contains("data-unit=\"lb\""),
        "{in_lb}"
    );
    for path in ["programme", "floor", "edit"] {
        let page = get(&format!("{client}/{path}"));
        assert!(page.contains(" lb"), "{path}: {page}");
    }

    // A bare load is in pounds, and stays written so.
    asked(
        Request::post(format!("{client}/log")),
        format!("what=keep&lines={}", sent("bench press: 95 for 8+2\nback squat: 60 kg for 5+2")),
    );
    let sheet = get(&client);
    let session = between(&sheet, "/sessions/", "\"")[0];
    let path = format!("{client}/sessions/{session}");
    let (pounds, kilograms) = (get(&path), pages.get(&path).1);
    assert!(pounds.contains("95 lb for 8+2") && pounds.contains("132.5 lb for 5+2"), "{pounds}");
    assert!(kilograms.contains("43.09 kg for 8+2") && kilograms.contains("60 kg for 5+2"), "{kilograms}");
    assert!(kilograms.contains("bench press: 95 lb for 8+2"), "what was typed stands as it was");
}

#[test]
fn a_new_client_is_weighed_in_the_unit_of_the_form() {
    let folder = tempfile::TempDir::new().unwrap();
    let pages = Pages::on(&folder.path().join("ledger.sqlite3"));
    let form = "name=Ida&unit=lb&goal=general&training_age=beginner&sessions=2&minutes=45&cycle_days=7&days=1%2C4&place=full_gym&age=34&\
                mass_kg=150&press=90&active=yes&known_disease=no&signs=no&other=no";
    let to = pages.goes(&pages.post("/clients/new", form));
    let client = to.split_once("/making/").unwrap().0;
    let (_, brief) = pages.get(&format!("{client}/brief"));
    assert!(brief.contains("mass_kg = 68.039") && brief.contains("load_kg = 40.823"), "{brief}");
}
