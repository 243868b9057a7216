//! A session that ran much longer than planned is remarked on the client's page.

use super::pages::{Gym, answers};
use serde_json::{Value, json};

/// The client's page and review after a session whose last set was done so many minutes over, or under, what was planned.
fn after(over_min: f64) -> [String; 2] {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let floor: Value = serde_json::from_str(&gym.get(&format!("/api/v1{path}/floor")).1).unwrap();
    let client = path.trim_start_matches("/clients/");
    let event = |nth: u8, minute: u32, what: Value| {
        let at = format!("2026-11-25T{:02}:{:02}:00+01:00", 17 + minute / 60, minute % 60);
        json!({ "id": format!("019370a0-0000-7000-8000-0000000000{nth:02x}"), "at": at, "client": client,
                "actor": { "role": "client" }, "what": what })
    };
    let started =
        event(1, 0, json!({ "session_started": { "programme": floor["programme"], "day": floor["day"] } }));
    let exercise = &floor["blocks"][0]["lanes"][0]["card"]["id"];
    let set = |nth, minute| {
        let done = json!({ "exercise": exercise, "reps": 8, "rir": 2 });
        event(nth, minute, json!({ "set": { "session": started["id"], "done": done } }))
    };
    let last = (floor["minutes"].as_f64().unwrap() + over_min) as u32;
    assert_eq!(answers(&gym, &[started.clone(), set(2, 6), set(3, last)]), ["created"; 3]);
    [gym.get(&path).1, gym.get(&format!("{path}/review")).1]
}

#[test]
fn a_session_that_ran_much_longer_is_remarked_in_plain_words() {
    for page in after(30.0) {
        let said = page.split("Ran longer than planned").nth(1).unwrap_or_else(|| panic!("{page}"));
        assert!(said.contains("Session 1 on 25 November 2026 took "), "{said}");
        assert!(said.contains(" were planned.") && said.contains("shorter rests"), "{said}");
    }
    assert!(!after(5.0).iter().any(|page| page.contains("Ran longer")), "five minutes are nothing");
}
