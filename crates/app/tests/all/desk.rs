//! The pages of the desk that stand beside a programme: letters of advice, the audit of a sheet, kilograms and pounds.

use super::insight::of_bram_with_advice;
use super::web::Pages;
use axum::http::StatusCode;

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
    let keys: Vec<String> =
        between(&page, "name=\"key\" value=\"", "\"").into_iter().map(str::to_owned).collect();
    assert!(keys.len() >= 2, "{keys:?}");
    let client = between(&page, "action=\"", "/advice\"")[0].to_owned();
    let asks = |page: &str, key: &str| page.contains(&format!("name=\"key\" value=\"{key}\""));

    let answer = |form: &str| pages.post(&format!("{client}/advice"), form);
    let later = format!("key={}&back=all&reply=later&days=3&reason=after+the+holidays", keys[0]);
    assert_eq!(pages.goes(&answer(&later)), "/advice");
    let declined = format!("key={}&back=client&reply=declined&reason=%3Cb%3Eno", keys[1]);
    assert_eq!(pages.goes(&answer(&declined)), format!("{client}#advice"));
    for path in ["/advice", &client] {
        let (_, page) = pages.get(path);
        assert!(!asks(&page, &keys[0]) && !asks(&page, &keys[1]), "{path}");
        assert!(page.contains("comes back on Wed 23 Sep") && page.contains("(after the holidays)"), "{page}");
        assert!(page.contains("&lt;b&gt;no") && !page.contains("<b>no"), "what was typed is text");
    }
    let after = Pages::at(&ledger, "2026-09-23T09:30:00+02:00");
    let (_, page) = after.get("/advice");
    assert!(asks(&page, &keys[0]) && !asks(&page, &keys[1]), "{page}");
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
