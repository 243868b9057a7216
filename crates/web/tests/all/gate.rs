//! The gate before training: with a warning sign in force no way through the pages shows a session to do, until a clinician's word
//! is recorded.

use super::pages::Gym;
use axum::http::StatusCode;
use serde_json::Value;

/// Answers before training, with a warning sign or without, and what a clinician said.
fn answers(signs: &str, cleared: &str) -> String {
    format!("active=yes&known_disease=no&signs={signs}&other=no&cleared={cleared}")
}

/// Every way to a session that is to be done.
const WAYS: [&str; 6] = [
    "/floor",
    "/sheet.pdf",
    "/sheet.pdf?sessions=3",
    "/programme.pdf",
    "/calendar.ics?zone=Europe/Zurich",
    "/calendar.ics?zone=Europe/Zurich&weeks=4",
];

#[test]
fn with_a_warning_sign_no_way_shows_a_session_until_a_clinician_has_agreed() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let status = |way: &str| {
        let request = axum::http::Request::get(format!("{path}{way}"))
            .header(axum::http::header::HOST, "localhost:8410")
            .body(axum::body::Body::empty());
        gym.send(request.unwrap()).status()
    };
    for way in WAYS {
        assert_eq!(status(way), StatusCode::OK, "{way}");
    }
    gym.goes(&gym.post(&format!("{path}/screening"), &answers("yes", "")));
    for way in WAYS {
        let (status, said) = gym.get(&format!("{path}{way}"));
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{way}: {said}");
        for part in ["SW089", "Ida", "a warning sign", "A clinician's word comes first", "record it"] {
            assert!(said.replace("&#39;", "'").contains(part), "{way}, {part}: {said}");
        }
    }
    let (status_of_device, said) = gym.get(&format!("/api/v1{path}/floor"));
    assert_eq!(status_of_device, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(serde_json::from_str::<Value>(&said).unwrap()["code"], "SW089");
    gym.goes(&gym.post(&format!("{path}/screening"), &answers("yes", "yes")));
    for way in WAYS {
        assert_eq!(status(way), StatusCode::OK, "{way}");
    }
}

#[test]
fn a_coach_sees_first_that_a_clinicians_word_is_wanted() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    assert!(gym.get(&path).1.contains("Session 1"));
    gym.goes(&gym.post(&format!("{path}/screening"), &answers("yes", "")));
    let page = gym.get(&path).1;
    assert!(page.contains("role=\"alert\"") && page.contains("a warning sign"), "{page}");
    assert!(!page.contains("Session 1,"), "{page}");
    let programme = gym.get(&format!("{path}/programme")).1;
    assert!(programme.contains("role=\"alert\"") && programme.contains("a warning sign"), "{programme}");
    let roster = gym.get("/").1;
    assert!(roster.contains("clinician"), "{roster}");
    let in_force: Value = serde_json::from_str(&gym.get(&format!("/api/v1{path}/programme")).1).unwrap();
    assert!(in_force["withheld"].as_str().unwrap().contains("a warning sign"), "{in_force}");
}

#[test]
fn a_device_that_shows_a_session_already_hears_that_it_is_withheld() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let floor: Value = serde_json::from_str(&gym.get(&format!("/api/v1{path}/floor")).1).unwrap();
    let session = floor["session"].as_str().unwrap().to_owned();
    let now = || -> Value {
        serde_json::from_str(&gym.get(&format!("/api/v1{path}/sessions/{session}")).1).unwrap()
    };
    assert!(now()["withheld"].is_null());
    gym.goes(&gym.post(&format!("{path}/screening"), &answers("yes", "")));
    assert!(now()["withheld"].as_str().unwrap().contains("a warning sign"), "{}", now());
}
