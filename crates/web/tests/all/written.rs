//! What was done, written by the coach: lines, corrections, undo, the session by itself, and the review at the end of a block.

use super::pages::{Gym, coded};
use axum::http::StatusCode;

fn form(lines: &str, what: &str) -> String {
    format!("lines={}&what={what}", coded(lines))
}

/// The first path of a page that begins so.
fn link(page: &str, begin: &str) -> String {
    let rest = page.split(&format!("\"{begin}")).nth(1).unwrap_or_else(|| panic!("{begin} in {page}"));
    format!("{begin}{}", rest.split('"').next().unwrap())
}

#[test]
fn what_was_done_is_written_corrected_struck_out_and_undone() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let lines = "day: yesterday 18:05\nbench press: warm 20 kg for 8; 40 kg for 8+2 8+1\nsore: chest 3\nnote: slept badly";

    let (status, page) = gym.read(gym.post(&format!("{path}/log"), &form(lines, "look")));
    assert_eq!(status, StatusCode::OK);
    assert!(page.contains("not written yet") && page.contains("bench press: warm 20 kg for 8"), "{page}");
    assert!(gym.get(&path).1.contains("0 sessions"), "nothing was written");

    let (status, page) = gym.read(gym.post(&format!("{path}/log"), &form("bench pres: 40 kg for x", "keep")));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("role=\"alert\"") && page.contains("bench pres: 40 kg for x"), "{page}");

    let to = gym.goes(&gym.post(&format!("{path}/log"), &form(lines, "keep")));
    assert!(to.ends_with("#ledger"));
    let sheet = gym.get(&path).1;
    assert!(sheet.contains("1 session, 3 sets"), "{sheet}");
    let session = link(&sheet, &format!("{path}/sessions/"));
    let (status, page) = gym.get(&session);
    assert_eq!(status, StatusCode::OK);
    for part in
        ["Sore that day", "chest 3 of 10", "slept badly", "40 kg for 8+2 8+1", "followed no programme"]
    {
        assert!(page.contains(part), "{part} in {page}");
    }

    let set = link(&page, &format!("{path}/sets/"));
    gym.goes(
        &gym.post(
            &set,
            &format!("line={}&reason=typo&what=correct", coded("bench press: warm 22.5 kg for 8")),
        ),
    );
    let page = gym.get(&session).1;
    assert!(page.contains("warm 22.5 kg for 8") && page.contains("(corrected)"), "{page}");
    let (status, said) = gym.read(gym.post(&set, &format!("line={}&what=correct", coded("plank: 40 50"))));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(said.contains("A correction is one set"), "{said}");
    gym.goes(&gym.post(&set, "what=strike"));
    assert!(gym.get(&path).1.contains("1 session, 2 sets"));
    gym.goes(&gym.post(&format!("{path}/log"), &form("plank: 45 40", "keep")));
    assert!(gym.get(&path).1.contains("2 sessions, 4 sets"));
    gym.goes(&gym.post(&format!("{path}/undo"), ""));
    assert!(gym.get(&path).1.contains("1 session, 2 sets"), "what was written last is undone");
}

#[test]
fn a_set_is_corrected_by_its_own_client_alone() {
    let gym = Gym::new();
    let (ida, bo) = (gym.newcomer("Ida"), gym.newcomer("Bo"));
    gym.goes(&gym.post(&format!("{ida}/log"), &form("plank: 45", "keep")));
    let session = link(&gym.get(&ida).1, &format!("{ida}/sessions/"));
    let set = link(&gym.get(&session).1, &format!("{ida}/sets/"));
    for (path, body) in
        [(set.replace(&ida, &bo), "what=strike"), (set.replace(&ida, &bo), "line=plank%3A+50")]
    {
        let (_, said) = gym.read(gym.post(&path, body));
        assert!(said.contains("SW059"), "{said}");
    }
    assert!(gym.get(&session.replace(&ida, &bo)).1.contains("SW059"));
    assert!(gym.get(&ida).1.contains("1 session, 1 set."));
}

#[test]
fn a_block_is_looked_back_on() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    assert!(gym.get(&format!("{path}/review")).1.contains("Nothing is logged yet"));
    let lines: Vec<String> = (1..=20)
        .map(|n| {
            let (month, day) = if n <= 10 { (10, 3 * n) } else { (11, 2 * (n - 10)) };
            let load = 40.0 + 2.5 * f64::from(n / 4);
            format!("day: 2026-{month}-{day:02} 18:00\nbench press: {load} kg for 8+2 8+2 8+1")
        })
        .collect();
    gym.goes(&gym.post(&format!("{path}/log"), &form(&lines.join("\n"), "keep")));
    let (status, page) = gym.get(&format!("{path}/review"));
    assert_eq!(status, StatusCode::OK);
    for part in [
        "20 sessions and 60 work sets",
        "bench press: grew",
        "What recovers how fast",
        "Probability over 0.99",
    ] {
        assert!(page.contains(part), "{part} in {page}");
    }
}
