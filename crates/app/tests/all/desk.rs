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
