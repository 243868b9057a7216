//! A client is forgotten from a page: by their coach or the owner, who types the whole name; devices that come later are told to clear.

use super::sign_in::{Gym, asks};
use axum::body::Body;
use axum::http::{Method, StatusCode, header};
use setwright_model::code::Code;
use setwright_store::{Opening, SqliteStore, Store};

fn names(gym: &Gym) -> Vec<String> {
    let mut store = SqliteStore::open(&gym.ledger(), Opening::Existing).unwrap();
    store.clients().unwrap().into_iter().map(|c| c.card.name).collect()
}

#[test]
fn a_coach_forgets_their_client_by_the_whole_name_and_nobody_else_does() {
    let gym = Gym::new();
    let path = format!("/clients/{}/forget", gym.ida);
    let page = gym.text(gym.get(&path, "ben"));
    let all = gym.text(gym.get(&format!("/clients/{}/everything.json", gym.ida), "ida"));
    assert!(all.contains("slept badly") && !all.contains("Zdenko"), "a client is given their own: {all}");
    assert!(gym.text(gym.get("/account", "ida")).contains("Everything that is kept of you"));
    assert!(page.contains("Forget Ida?") && page.contains("The account \u{201c}ida\u{201d}"), "{page}");
    for (who, whole, status) in [
        ("ida", "Ida", StatusCode::FORBIDDEN),
        ("cy", "Ida", StatusCode::NOT_FOUND),
        ("ben", "Id", StatusCode::UNPROCESSABLE_ENTITY),
        ("ben", "", StatusCode::UNPROCESSABLE_ENTITY),
    ] {
        assert_eq!(gym.post(&path, who, &format!("whole={whole}")).status(), status, "{who} {whole}");
        assert_eq!(names(&gym), ["Ida", "Zdenko"]);
    }
    let told = gym.text(gym.post(&path, "ben", "whole=ida"));
    assert!(told.contains("Ida is forgotten"), "{told}");
    assert_eq!(names(&gym), ["Zdenko"]);
    assert!(!gym.text(gym.get("/", "ada")).contains("Ida"), "not on the roster either");
    assert_eq!(gym.book().named("ida").unwrap_err().code, Code::NoSuchAccount);
    assert!(gym.text(gym.get("/record", "ada")).contains("forgot a client"));
}

#[test]
fn a_device_that_comes_back_is_told_to_clear_what_it_keeps() {
    let gym = Gym::new();
    let late = format!(
        r#"[{{"id":"019370a0-0000-7000-8000-000000000077","at":"2026-11-27T08:00:00.000+01:00","client":"{}","actor":{{"role":"client"}},"what":{{"note":{{"text":"late"}}}}}}]"#,
        gym.ida
    );
    let send = |who: &str| {
        let request =
            asks(Method::POST, "/api/v1/events", who).header(header::CONTENT_TYPE, "application/json");
        gym.send(request.body(Body::from(late.clone())).unwrap())
    };
    gym.post(&format!("/clients/{}/forget", gym.ida), "ada", "whole=Ida");
    // Her own phone, by the session that it still has; pages and programs alike.
    for answer in [send("ida"), gym.get("/", "ida"), gym.get(&format!("/clients/{}/floor", gym.ida), "ida")] {
        assert_eq!(answer.status(), StatusCode::GONE);
        assert_eq!(answer.headers()["clear-site-data"], "\"cache\", \"cookies\", \"storage\"");
    }
    // The phone of whoever trained her, and one on the machine itself.
    for who in ["ben", "ada"] {
        let said = gym.text(send(who));
        assert!(said.contains("\"gone\""), "{who}: {said}");
        for page in ["floor", ""] {
            let path = format!("/clients/{}/{page}", gym.ida);
            assert_eq!(gym.get(path.trim_end_matches('/'), who).status(), StatusCode::GONE, "{who} {page}");
        }
        let session = format!("/api/v1/clients/{}/sessions/019370a0-0000-7000-8000-000000000001", gym.ida);
        assert_eq!(gym.get(&session, who).status(), StatusCode::GONE);
        assert!(!gym.get("/", who).headers().contains_key("clear-site-data"), "others keep theirs");
    }
}
