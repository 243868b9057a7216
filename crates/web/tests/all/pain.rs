//! Pain is heard: a report stands first until somebody answers it, and what hurt is out of the coming sessions until then.

use super::pages::{Gym, answers};
use axum::http::StatusCode;
use serde_json::{Value, json};

struct Ida {
    gym: Gym,
    path: String,
}

impl Ida {
    fn new() -> Self {
        let gym = Gym::new();
        let path = gym.newcomer("Ida");
        Self { gym, path }
    }

    fn floor(&self) -> Value {
        let (status, floor) = self.gym.get(&format!("/api/v1{}/floor", self.path));
        assert_eq!(status, StatusCode::OK, "{floor}");
        serde_json::from_str(&floor).unwrap()
    }

    fn event(&self, nth: u8, at: &str, what: &Value) -> Value {
        json!({ "id": format!("019370a0-0000-7000-8000-0000000000{nth:02x}"), "at": at,
                "client": self.path.trim_start_matches("/clients/"), "actor": { "role": "client" }, "what": what })
    }

    /// Reports that this exercise hurts.
    fn hurts(&self, nth: u8, day: u8, exercise: &str) {
        let what =
            json!({ "pain": { "place": "knee", "side": "left", "exercise": exercise, "words": "sharp" } });
        let at = format!("2026-11-{day:02}T08:00:{nth:02}.000+01:00");
        assert_eq!(answers(&self.gym, &[self.event(nth, &at, &what)]), ["created"]);
    }

    /// The report that stands open, as the client's page links it.
    fn report(&self) -> String {
        let page = self.gym.get(&self.path).1;
        let begin = format!("{}/pain/", self.path);
        let rest = page.split(&format!("\"{begin}")).nth(1).unwrap_or_else(|| panic!("no report in {page}"));
        format!("{begin}{}", rest.split('"').next().unwrap())
    }
}

fn exercises(floor: &Value) -> Vec<String> {
    let blocks = floor["blocks"].as_array().unwrap().iter();
    let lanes = blocks.flat_map(|b| b["lanes"].as_array().unwrap());
    lanes.map(|lane| lane["card"]["id"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn what_hurts_is_out_of_the_coming_session_until_a_coach_answers_and_is_named() {
    let ida = Ida::new();
    let before = exercises(&ida.floor());
    let hurts = before[0].clone();
    ida.hurts(1, 27, &hurts);
    let floor = ida.floor();
    assert!(!exercises(&floor).contains(&hurts), "{floor}");
    assert!(floor["left_out"][0].as_str().unwrap().contains("nobody has answered yet"), "{floor}");
    let calendar =
        || ida.gym.get(&format!("{}/calendar.ics?zone=Europe/Zurich", ida.path)).1.replace("\r\n ", "");
    assert!(calendar().contains("nobody has answered yet"), "{}", calendar());

    let answer = ida.report();
    ida.gym.goes(&ida.gym.post(&answer, "reply=leave_out&reason=seen+it"));
    assert!(!exercises(&ida.floor()).contains(&hurts), "left out by a coach");
    ida.gym.goes(&ida.gym.post(&answer, "reply=train_again&reason=fine+now"));
    assert_eq!(exercises(&ida.floor()), before);
    assert!(!calendar().contains("answered"), "nothing is left out any more");
    let page = ida.gym.get(&ida.path).1;
    assert!(page.contains("The coach on 27 November 2026: trained again. fine now"), "{page}");
    let (status, _) = ida.gym.read(ida.gym.post(&answer, "reply="));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[test]
fn a_report_stands_first_on_the_roster_and_on_the_clients_page_until_it_is_answered() {
    let ida = Ida::new();
    ida.gym.newcomer("Aaron");
    let first = |page: &str| page.find("Ida").unwrap() < page.find("Aaron").unwrap();
    assert!(!first(&ida.gym.get("/").1), "by name, with nothing to decide");
    ida.hurts(1, 27, "back_squat");
    let roster = ida.gym.get("/").1;
    assert!(first(&roster) && roster.contains("Pain: knee, at back squat; nobody has answered"), "{roster}");
    let page = ida.gym.get(&ida.path).1;
    let at = |part: &str| page.find(part).unwrap_or_else(|| panic!("{part} in {page}"));
    assert!(
        at("Something hurts") < at("id=\"advice\"") && at("left knee, at back squat") < at("Coming session")
    );
    assert!(page.contains("sharp"), "in the client's words");
    ida.gym.goes(&ida.gym.post(&ida.report(), "reply=train_again"));
    assert!(!first(&ida.gym.get("/").1));
    assert!(!ida.gym.get(&ida.path).1.contains("Something hurts"));
}

#[test]
fn three_reports_of_one_place_in_four_weeks_say_see_a_clinician_answered_or_not() {
    let ida = Ida::new();
    for (nth, day) in [(1, 2), (2, 12)] {
        ida.hurts(nth, day, "back_squat");
        ida.gym.goes(&ida.gym.post(&ida.report(), "reply=train_again"));
    }
    assert!(!ida.gym.get(&ida.path).1.contains("See a clinician"));
    ida.hurts(3, 27, "leg_press");
    ida.gym.goes(&ida.gym.post(&ida.report(), "reply=train_again"));
    let page = ida.gym.get(&ida.path).1;
    assert!(page.contains("Knee: pain was reported 3 times in four weeks. See a clinician."), "{page}");
    assert!(ida.gym.get("/").1.contains("See a clinician"));
}

#[test]
fn a_session_that_ended_early_is_not_done_and_is_taken_up_again() {
    let ida = Ida::new();
    let floor = ida.floor();
    let session = floor["session"].clone();
    let at = |nth: u8| format!("2026-11-27T08:{nth:02}:00.000+01:00");
    let started = json!({ "session_started": { "programme": floor["programme"], "day": floor["day"] } });
    let mut begun = ida.event(1, &at(1), &started);
    begun["id"] = session.clone();
    let done = json!({ "exercise": "back_squat", "reps": 8, "rir": 2 });
    let set = |nth: u8| ida.event(nth, &at(nth), &json!({ "set": { "session": session, "done": done } }));
    let ends = |nth: u8, early: bool| {
        ida.event(
            nth,
            &at(nth),
            &json!({ "session_finished": { "session": session, "effort": null, "early": early } }),
        )
    };
    assert_eq!(answers(&ida.gym, &[begun, set(2), ends(3, true)]), ["created"; 3]);
    let again = ida.floor();
    assert_eq!((&again["session"], &again["day"]), (&session, &floor["day"]), "the same session");
    assert!(again["ended_early"].is_string() && again["begun"] == true, "{again}");
    let review: Value = serde_json::from_str(&ida.gym.get(&format!("/api/v1{}/review", ida.path)).1).unwrap();
    assert_eq!(review["recent_sessions"], 0, "not counted as done");
    let resumed = ida.event(4, &at(4), &json!({ "session_resumed": { "session": session } }));
    assert_eq!(answers(&ida.gym, &[resumed, set(5)]), ["created"; 2]);
    assert!(ida.floor()["ended_early"].is_null());
    assert_eq!(answers(&ida.gym, &[ends(6, false)]), ["created"]);
    assert_ne!(ida.floor()["day"], floor["day"], "now the next one comes");
}

#[test]
fn a_client_reports_pain_and_does_not_answer_it() {
    let ida = Ida::new();
    ida.hurts(1, 27, "back_squat");
    let what = json!({ "pain_answered": { "report": "019370a0-0000-7000-8000-000000000001", "reply": "train_again" } });
    let answered = ida.event(2, "2026-11-27T08:00:09.000+01:00", &what);
    assert_eq!(
        answers(&ida.gym, &[answered]),
        ["rejected"],
        "a device writes what was felt, a coach answers on a page"
    );
}
