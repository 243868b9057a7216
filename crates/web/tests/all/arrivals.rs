//! What devices send, asked without a browser: late, twice, broken, or what is not theirs to write.

use super::pages::{Pages, answers, sent};
use axum::http::StatusCode;
use serde_json::{Value, json};
use tempfile::TempDir;

struct Floor {
    _folder: TempDir,
    pages: Pages,
    client: String,
    plan: Value,
}

impl Floor {
    fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let pages = Pages::on(&folder.path().join("ledger.sqlite3"));
        let client = pages.newcomer("Ida").trim_start_matches("/clients/").to_owned();
        let (status, plan) = pages.get(&format!("/api/v1/clients/{client}/floor"));
        assert_eq!(status, StatusCode::OK);
        Self { _folder: folder, pages, client, plan: serde_json::from_str(&plan).unwrap() }
    }

    fn event(&self, nth: u8, what: &Value) -> Value {
        json!({ "id": format!("019370a0-0000-7000-8000-0000000000{nth:02x}"), "at": format!("2026-11-27T09:00:{nth:02}.000+01:00"),
                "client": self.client, "actor": { "role": "client", "name": "" }, "what": what })
    }

    fn begun(&self) -> Value {
        let started =
            json!({ "session_started": { "programme": self.plan["programme"], "day": self.plan["day"] } });
        let mut event = self.event(1, &started);
        event["id"] = self.plan["session"].clone();
        event
    }

    fn set(&self, nth: u8, reps: u32) -> Value {
        let done = json!({ "exercise": "back_squat", "kind": "work", "load": { "value": 60.0, "unit": "kg", "kg": 60.0 }, "reps": reps, "rir": 2 });
        self.event(nth, &json!({ "set": { "session": self.plan["session"], "done": done } }))
    }

    fn send(&self, body: String) -> (StatusCode, Value) {
        sent(&self.pages, body)
    }

    fn answers(&self, events: &[Value]) -> Vec<String> {
        answers(&self.pages, events)
    }
}

#[test]
fn each_event_is_answered_by_name_and_twice_is_once() {
    let floor = Floor::new();
    let sent = [floor.begun(), floor.set(2, 8), floor.set(3, 7)];
    assert_eq!(floor.answers(&sent), ["created", "created", "created"]);
    assert_eq!(floor.answers(&sent), ["exists", "exists", "exists"]);
    assert_eq!(floor.answers(&[floor.set(2, 9), floor.set(4, 6)]), ["conflict", "created"]);
    let session = floor.plan["session"].as_str().unwrap();
    let (_, now) = floor.pages.get(&format!("/api/v1/clients/{}/sessions/{session}", floor.client));
    let now: Value = serde_json::from_str(&now).unwrap();
    assert_eq!(now["sets"].as_array().unwrap().len(), 3);
    assert_eq!(now["sets"][0]["done"]["reps"], 8);
}

#[test]
fn a_session_that_goes_on_is_the_same_on_the_next_device_with_the_same_loads() {
    let floor = Floor::new();
    floor.answers(&[floor.begun(), floor.set(2, 8)]);
    let (_, again) = floor.pages.get(&format!("/api/v1/clients/{}/floor", floor.client));
    let again: Value = serde_json::from_str(&again).unwrap();
    assert_eq!(again["session"], floor.plan["session"]);
    assert_eq!(again["blocks"], floor.plan["blocks"], "a set of today does not change what today asks");
    assert_eq!(again["done"].as_array().unwrap().len(), 1);
    let finished = json!({ "session_finished": { "session": floor.plan["session"], "effort": 7 } });
    assert_eq!(floor.answers(&[floor.event(5, &finished)]), ["created"]);
    let (_, next) = floor.pages.get(&format!("/api/v1/clients/{}/floor", floor.client));
    let next: Value = serde_json::from_str(&next).unwrap();
    assert_ne!(next["session"], floor.plan["session"]);
    assert_ne!(next["day"], floor.plan["day"]);
}

#[test]
fn broken_events_are_refused_by_name_and_the_others_are_kept() {
    let floor = Floor::new();
    let mut nameless = floor.set(3, 8);
    nameless["id"] = json!("nonsense");
    let far_too_many = floor.set(4, 1_000_000);
    let no_session =
        floor.event(5, &json!({ "session_finished": { "session": "019370a0-0000-7000-8000-00000000ffff" } }));
    let sent = [floor.begun(), nameless, far_too_many, no_session, json!(7), floor.set(6, 8)];
    assert_eq!(floor.answers(&sent), ["created", "rejected", "rejected", "rejected", "rejected", "created"]);
}

#[test]
fn what_is_dated_ahead_is_refused_with_a_word_about_the_clock_and_planning_goes_on() {
    let floor = Floor::new();
    let dated = |nth, at: &str, what: &Value| {
        let mut event = floor.event(nth, what);
        event["at"] = json!(at);
        event
    };
    let started = json!({ "session_started": {} });
    let future = dated(1, "2031-11-27T09:00:00+01:00", &started);
    let (status, said) = floor.send(json!([future]).to_string());
    assert_eq!((status, &said["answers"][0]["answer"]), (StatusCode::OK, &json!("rejected")));
    let why = said["answers"][0]["why"].as_str().unwrap();
    assert!(why.contains("5 years ahead") && why.contains("clock of the device"), "{why}");
    // A clock that fell back to its first year is taken at its word, and plans go on.
    let past = dated(2, "1990-01-01T09:00:00+01:00", &started);
    let mut set = dated(3, "1990-01-01T09:05:00+01:00", &floor.set(3, 8)["what"]);
    set["what"]["set"]["session"] = past["id"].clone();
    assert_eq!(floor.answers(&[past, set]), ["created", "created"]);
    let path = format!("/clients/{}", floor.client);
    for page in ["", "/review", "/plan", "/programme"] {
        assert_eq!(floor.pages.get(&format!("{path}{page}")).0, StatusCode::OK, "{page}");
    }
    let to = floor.pages.goes(&floor.pages.post(&format!("{path}/plan"), "what=plan"));
    floor.pages.post(&format!("{to}/stop"), "");
    floor.pages.made(&to);
    assert!(floor.pages.goes(&floor.pages.post(&format!("{to}/hand-out"), "")).ends_with("/programme"));
}

#[test]
fn a_device_cannot_hand_out_programmes_or_change_cards() {
    let floor = Floor::new();
    let card = floor.event(1, &json!({ "client": { "name": "Another" } }));
    assert_eq!(floor.answers(&[card]), ["rejected"]);
}

#[test]
fn what_is_no_list_of_events_is_a_problem_in_json() {
    let floor = Floor::new();
    let status = |body: &str| {
        let (status, said) = floor.send(body.to_owned());
        assert!(said["code"].as_str().unwrap().starts_with("SW"), "{said}");
        status
    };
    assert_eq!(status("[1,"), StatusCode::BAD_REQUEST);
    assert_eq!(status("{}"), StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(status(&json!(vec![0; 501]).to_string()), StatusCode::PAYLOAD_TOO_LARGE);
    let (status, said) = floor.pages.get("/api/v1/clients/nobody/floor");
    assert_eq!(status, StatusCode::NOT_FOUND);
    assert!(said.starts_with('{'), "{said}");
}
