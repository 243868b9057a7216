//! While a session goes on, pages step what is believed by its sets and do not read the whole log again: nothing is left out
//! or counted twice, and what they say lies near what the whole log says.

use super::insight::of_bram;
use super::pages::{Pages, answers};
use axum::http::StatusCode;
use serde_json::{Value, json};

const NOW: &str = "2026-09-21T19:00:00+02:00";

fn id(nth: u8) -> String {
    format!("019370a0-0000-7000-8000-0000000000{nth:02x}")
}

struct Bram {
    coach: super::ledger::Coach,
    pages: Pages,
    client: String,
}

impl Bram {
    fn new() -> Self {
        let mut coach = of_bram();
        NOW.clone_into(&mut coach.now);
        let client = coach.json(&["client", "list"])[0]["id"].as_str().unwrap().to_owned();
        let pages = Pages::at(&coach.path("ledger.sqlite3"), NOW);
        Self { coach, pages, client }
    }

    fn asked(&self, path: &str) -> Value {
        let (status, text) = self.pages.get(&format!("/api/v1/clients/{}/{path}", self.client));
        assert_eq!(status, StatusCode::OK, "{text}");
        serde_json::from_str(&text).unwrap()
    }

    fn sends(&self, nth: u8, what: &Value) {
        let event = json!({ "id": id(nth), "client": self.client,
                            "at": format!("2026-09-21T18:{nth:02}:00.000+02:00"), "actor": { "role": "coach", "name": "" }, "what": what });
        assert_eq!(answers(&self.pages, &[event]), ["created"]);
    }

    fn begins(&self, nth: u8) -> String {
        let floor = self.asked("floor");
        let started = json!({ "session_started": { "programme": floor["programme"], "day": floor["day"] } });
        self.sends(nth, &started);
        id(nth)
    }

    fn lifts(&self, nth: u8, session: &str, exercise: &str, kg: f64) {
        let load = json!({ "value": kg, "unit": "kg", "kg": kg });
        let done = json!({ "exercise": exercise, "kind": "work", "load": load, "reps": 8, "rir": 2 });
        self.sends(nth, &json!({ "set": { "session": session, "done": done } }));
    }

    /// Sessions, sets, and the middle of the bench press.
    fn reviewed(&self) -> (u64, u64, f64) {
        let view = self.asked("review");
        let bench = view["lifts"].as_array().unwrap().iter().find(|l| l["id"] == "bench_press").unwrap();
        let counts = (view["sessions"].as_u64().unwrap(), view["sets"].as_u64().unwrap());
        (counts.0, counts.1, bench["e1rm_kg"]["median"].as_f64().unwrap())
    }
}

#[test]
fn each_set_is_known_at_once_and_none_twice() {
    let bram = Bram::new();
    let (sessions, sets, before) = bram.reviewed();
    assert_eq!((sessions, sets), (48, 432));
    let session = bram.begins(1);
    assert_eq!(bram.reviewed(), (48, 432, before));
    for nth in 2..8 {
        bram.lifts(nth, &session, "bench_press", 70.0);
        let (sessions, sets, _) = bram.reviewed();
        assert_eq!((sessions, sets), (49, 431 + u64::from(nth)));
    }
    // A correction is of the session as well; a note and a soreness are not of it.
    let load = json!({ "value": 72.5, "unit": "kg", "kg": 72.5 });
    let done = json!({ "exercise": "bench_press", "kind": "work", "load": load, "reps": 8, "rir": 2 });
    bram.sends(20, &json!({ "set_corrected": { "set": id(2), "done": done } }));
    bram.sends(21, &json!({ "note": { "text": "Slept badly." } }));
    assert_eq!(bram.reviewed().1, 438);
    bram.sends(22, &json!({ "soreness": { "muscle": "chest", "level": 3 } }));
    assert_eq!(bram.reviewed().1, 438);
    bram.lifts(23, &session, "barbell_row", 65.0);
    assert_eq!(bram.reviewed().1, 439);
    bram.sends(24, &json!({ "session_finished": { "session": session, "effort": 7 } }));
    let another = bram.begins(25);
    bram.lifts(26, &another, "back_squat", 90.0);
    let (sessions, sets, _) = bram.reviewed();
    assert_eq!((sessions, sets), (50, 440));
}

/// Asks after a session of four bench presses with a load, by the step and by the whole log: the intervals of strength are
/// apart by so much at most.
fn compared(kg: f64, apart: f64) {
    let bram = Bram::new();
    bram.reviewed();
    let session = bram.begins(1);
    for nth in 2..6 {
        bram.lifts(nth, &session, "bench_press", kg);
    }
    let stepped = bram.asked("review");
    let whole = bram.coach.json(&["review", "Bram"]);
    let lift = |view: &Value, id: &str, end: &str| {
        let all = view["lifts"].as_array().unwrap();
        all.iter().find(|l| l["id"] == id).unwrap()["e1rm_kg"][end].as_f64().unwrap()
    };
    for id in ["bench_press", "back_squat", "barbell_row"] {
        for end in ["low", "median", "high"] {
            let (step, all) = (lift(&stepped, id, end), lift(&whole, id, end));
            assert!(
                (step / all - 1.0).abs() <= apart,
                "{id} {end}: {step} by a step, {all} by the whole log"
            );
        }
    }
    for (step, all) in stepped["muscles"].as_array().unwrap().iter().zip(whole["muscles"].as_array().unwrap())
    {
        assert_eq!(step["name"], all["name"]);
        let ready = |v: &Value| v["ready_h"]["median"].as_f64().unwrap();
        assert!((ready(step) - ready(all)).abs() <= 0.1 * ready(all) + 1.0, "{step} {all}");
    }
}

#[test]
fn a_step_says_nearly_what_the_whole_log_says() {
    compared(67.5, 0.01);
}

/// A fifth more than ever: both doubt it, each from what it knew.
#[test]
fn a_step_doubts_what_the_whole_log_doubts() {
    compared(77.5, 0.03);
}
