//! The floor page on a phone: a full session, lost reception, a killed phone, double presses, two devices, wrong clocks.

use super::cdp::Browser;
use super::chromium;
use super::gym::Gym;
use super::page::{Page, Screen};
use setwright::clock;
use setwright_model::ledger::SetKind;
use setwright_store::SetState;
use std::collections::BTreeSet;
use std::path::Path;

/// The page is kept on the device.
const KEPT: &str = "document.getElementById('floor').dataset.kept && navigator.serviceWorker.controller";

/// A phone with its memory in this folder, on the floor page of a client.
fn phone(program: &Path, profile: &Path, address: &str, before: &str) -> Page {
    let mut page = Page::new(Browser::start(program, profile), Screen::Phone, before);
    page.go(address);
    page.wait("document.querySelector('.target')");
    page
}

/// When the sets that wait were done, as they are written down.
pub fn waiting(page: &mut Page) -> Vec<String> {
    let ats = page.eval(
        "(async () => { const db = await new Promise((r) => { const a = indexedDB.open('setwright'); \
         a.onsuccess = () => r(a.result); }); return new Promise((r) => { \
         const a = db.transaction('waiting').objectStore('waiting').getAll(); \
         a.onsuccess = () => r(a.result.filter((k) => k.event.what.set).map((k) => k.event.at)); }); })()",
    );
    serde_json::from_value(ats).unwrap()
}

/// What the screen asks for now: the exercise, the step, the target.
fn step(page: &mut Page) -> String {
    let said = page.eval(
        "[document.querySelector('.field.now')?.dataset.exercise, document.querySelector('.field.now p.soft')?.textContent].join('|')",
    );
    said.as_str().unwrap().to_owned()
}

#[test]
fn the_focus_stays_when_the_page_draws_itself_anew() {
    let Some(program) = chromium() else { return };
    let (gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = phone(&program, profile.path(), &gym.at(&format!("{path}/floor")), "");
    page.eval(
        "window.before = document.querySelector('.target'); before.focus(); dispatchEvent(new Event('visibilitychange')); undefined",
    );
    page.wait("!window.before.isConnected");
    assert!(page.eval("document.activeElement.matches('.target')") == serde_json::json!(true));
}

/// Waits until the screen asks for another movement.
fn asks_for_another(page: &mut Page, before: &str) {
    let exercise = before.split('|').next().unwrap();
    page.wait(&format!(
        "document.querySelector('.field.now').dataset.exercise !== {}",
        serde_json::json!(exercise)
    ));
}

/// Presses the target, and waits until the screen asks for something else. Waits out the guard against a second press.
pub fn log_as_asked(page: &mut Page) {
    let before = step(page);
    std::thread::sleep(std::time::Duration::from_millis(1_550));
    page.press("button.target", "Press when it is done");
    page.wait("!document.querySelector('dialog[open]') || document.querySelector('dialog .main')");
    if page.eval("Boolean(document.querySelector('dialog[open]'))") == serde_json::json!(true) {
        page.press("dialog button.main", "Log it");
    }
    page.wait(&format!(
        "[document.querySelector('.field.now')?.dataset.exercise, document.querySelector('.field.now p.soft')?.textContent].join('|') !== {}",
        serde_json::json!(before)
    ));
}

/// Waits until something holds in the ledger.
pub fn eventually(mut holds: impl FnMut() -> bool) {
    let watch = clock::wall().stopwatch();
    while !holds() {
        assert!(!watch.is_past(super::cdp::ANSWER_WITHIN), "it never came to hold");
        std::thread::sleep(std::time::Duration::from_millis(100));
    }
}

/// Every set once, in order, in one session.
fn check(sets: &[SetState], sessions: usize, sets_wanted: usize) {
    assert_eq!(sessions, 1);
    assert_eq!(sets.len(), sets_wanted);
    assert_eq!(sets.iter().map(|s| s.id).collect::<BTreeSet<_>>().len(), sets_wanted);
    assert!(sets.windows(2).all(|w| w[0].at.unix_ms() < w[1].at.unix_ms()), "in order");
}

#[test]
fn a_session_is_logged_with_one_press_a_set() {
    let Some(program) = chromium() else { return };
    let (gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = phone(&program, profile.path(), &gym.at(&format!("{path}/floor")), "");
    let mut pressed = 0;
    while !page.text().contains("That was the session") {
        log_as_asked(&mut page);
        pressed += 1;
        assert!(pressed < 80, "a session has an end");
    }
    page.press("button.target", "End the session");
    page.press("dialog button.main", "End the session");
    page.sees("The session is over");
    page.wait("document.querySelector('.line').dataset.waiting === '0'");
    let (sessions, sets) = gym.logged();
    check(&sets, sessions.len(), pressed);
    assert!(sessions[0].finished.is_some() && sessions[0].started.programme.is_some());
    assert!(
        sets.iter().any(|s| s.done.kind == SetKind::Work && s.done.load.is_some() && s.done.rir.is_some())
    );
    assert_eq!(page.browser.complaints, Vec::<String>::new());
}

#[test]
fn a_session_without_reception_survives_a_reload_and_a_killed_phone() {
    let Some(program) = chromium() else { return };
    let (mut gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let address = gym.at(&format!("{path}/floor"));
    let mut page = phone(&program, profile.path(), &address, "");
    // The page has to be kept before the reception goes.
    page.wait(KEPT);
    gym.vanish();
    for _ in 0..3 {
        log_as_asked(&mut page);
    }
    page.sees("3 sets and 1 other line waiting to send");
    page.reload();
    page.wait("document.querySelector('.target')");
    page.sees("3 sets and 1 other line waiting to send");
    log_as_asked(&mut page);
    page.browser.kill();
    let mut page = phone(&program, profile.path(), &address, "");
    page.sees("4 sets and 1 other line waiting to send");
    log_as_asked(&mut page);
    assert_eq!(waiting(&mut page).len(), 5);
    gym.open();
    page.wait("document.querySelector('.line').dataset.waiting === '0'");
    let (sessions, sets) = gym.logged();
    check(&sets, sessions.len(), 5);
}

#[test]
fn two_presses_of_a_wet_thumb_are_one_set() {
    let Some(program) = chromium() else { return };
    let (gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = phone(&program, profile.path(), &gym.at(&format!("{path}/floor")), "");
    page.press_often("button.target", "Press when it is done", 4);
    page.sees("Change it");
    page.wait("document.querySelector('.line').dataset.waiting === '0'");
    let (sessions, sets) = gym.logged();
    check(&sets, sessions.len(), 1);
}

#[test]
fn two_phones_go_on_with_one_session_also_when_neither_has_reception() {
    let Some(program) = chromium() else { return };
    let (mut gym, path) = Gym::with("Ida");
    let address = gym.at(&format!("{path}/floor"));
    let (one, two) = (tempfile::TempDir::new().unwrap(), tempfile::TempDir::new().unwrap());
    let mut first = phone(&program, one.path(), &address, "");
    let mut second = phone(&program, two.path(), &address, "");
    gym.vanish();
    log_as_asked(&mut first);
    log_as_asked(&mut first);
    log_as_asked(&mut second);
    gym.open();
    for page in [&mut first, &mut second] {
        page.wait("document.querySelector('.line').dataset.waiting === '0'");
    }
    let (sessions, sets) = gym.logged();
    check(&sets, sessions.len(), 3);
    // What the one logged is seen on the other before long.
    let before = step(&mut second);
    log_as_asked(&mut first);
    eventually(|| step(&mut second) != before && step(&mut second) == step(&mut first));
}

#[test]
fn a_phone_whose_clock_is_wrong_by_two_days_writes_the_right_time() {
    let Some(program) = chromium() else { return };
    let (gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let wrong = "{ const right = Date.now.bind(Date); Date.now = () => right() - 2 * 86400000; }";
    let mut page = phone(&program, profile.path(), &gym.at(&format!("{path}/floor")), wrong);
    page.wait("Number(localStorage.getItem('setwright-skew-ms')) > 86400000");
    log_as_asked(&mut page);
    log_as_asked(&mut page);
    page.wait("document.querySelector('.line').dataset.waiting === '0'");
    let (sessions, sets) = gym.logged();
    check(&sets, sessions.len(), 2);
    let off_ms = clock::wall().now().unix_ms() - sets[0].at.unix_ms();
    assert!((0..600_000).contains(&off_ms), "{off_ms} ms off");
}

#[test]
fn a_session_across_midnight_and_a_clock_change_stays_one_and_in_order() {
    let Some(program) = chromium() else { return };
    let (mut gym, path) = Gym::with("Ida");
    let address = gym.at(&format!("{path}/floor"));
    let profile = tempfile::TempDir::new().unwrap();
    // The clocks of Berlin go back at 01:00 UTC on 25 October 2026; from 21:58 UTC on it is one night with both. The page is
    // moved forward by an hour at each press, without reception, so that nothing corrects it.
    let night = "{ const base = Date.parse('2026-10-24T21:58:00Z'), from = performance.timeOrigin; let hours = 0; \
                 const perf = performance.now.bind(performance); \
                 window.later = () => { hours += 1; }; Date.now = () => base + perf() + hours * 3600000; \
                 const mono = performance.now.bind(performance); performance.now = () => mono() + hours * 3600000; }";
    let mut page = Page::new(Browser::start(&program, profile.path()), Screen::Phone, night);
    page.call("Emulation.setTimezoneOverride", serde_json::json!({ "timezoneId": "Europe/Berlin" }));
    page.go(&address);
    page.wait("document.querySelector('.target')");
    page.wait(KEPT);
    gym.vanish();
    // The time that was learned while there was reception is forgotten again.
    page.eval("localStorage.setItem('setwright-skew-ms', '0')");
    page.reload();
    page.wait("document.querySelector('.target')");
    for _ in 0..5 {
        log_as_asked(&mut page);
        page.eval("window.later()");
    }
    let ats = waiting(&mut page);
    assert!(ats[0].starts_with("2026-10-24T23:58") && ats[0].ends_with("+02:00"), "{ats:?}");
    assert!(ats[1].starts_with("2026-10-25T00:5") && ats[1].ends_with("+02:00"), "{ats:?}");
    assert!(ats[3].starts_with("2026-10-25T02:5") && ats[3].ends_with("+02:00"), "{ats:?}");
    assert!(
        ats[4].starts_with("2026-10-25T02:5") && ats[4].ends_with("+01:00"),
        "the hour that comes twice: {ats:?}"
    );
    gym.open();
    page.wait("document.querySelector('.line').dataset.waiting === '0'");
    let (sessions, sets) = gym.logged();
    check(&sets, sessions.len(), 5);
}

#[test]
fn pain_shows_the_caution_and_can_end_the_session_or_leave_the_movement_out() {
    let Some(program) = chromium() else { return };
    let (gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = phone(&program, profile.path(), &gym.at(&format!("{path}/floor")), "");
    let before = step(&mut page);
    page.press("button.hurts", "Something hurts");
    page.sees("see a clinician");
    assert!(
        page.eval(
            "document.getElementById('where').value === '' && document.querySelector('dialog .main').disabled"
        ) == serde_json::json!(true),
        "nobody's pain is chosen for them"
    );
    says_where(&mut page, "knee");
    page.press("dialog button", "Go on without");
    page.wait("!document.querySelector('dialog[open]')");
    asks_for_another(&mut page, &before);
    log_as_asked(&mut page);
    page.press("button.hurts", "Something hurts");
    says_where(&mut page, "shoulder");
    page.press("dialog button.main", "End the session");
    page.sees("The session ended early");
    page.wait("document.querySelector('.line').dataset.waiting === '0'");
    assert!(!gym.logged().0[0].counts(), "it does not count as done");
    let pains = gym.pains();
    assert_eq!(pains.len(), 2);
    assert!(pains.iter().all(|pain| pain.report.exercise.is_some() && pain.answer.is_none()), "{pains:?}");
    page.reload();
    page.sees("nobody has answered yet");
    page.press("button.target", "Take it up again");
    page.wait("document.querySelector('.line').dataset.waiting === '0'");
    eventually(|| gym.logged().0[0].counts());
}

/// Chooses where it hurts.
fn says_where(page: &mut Page, place: &str) {
    page.eval(&format!(
        "{{ const where = document.getElementById('where'); where.value = '{place}'; where.dispatchEvent(new Event('change')); undefined }}"
    ));
}

#[test]
fn a_taken_station_is_answered_with_neighbours_and_a_wrong_set_is_mended() {
    let Some(program) = chromium() else { return };
    let (gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = phone(&program, profile.path(), &gym.at(&format!("{path}/floor")), "");
    let before = step(&mut page);
    page.press(".field.now button", "Station taken");
    page.sees("Instead of");
    page.press("dialog button.choice", "");
    asks_for_another(&mut page, &before);
    page.press("button.otherwise", "It went otherwise");
    page.press("dialog button[aria-label='Less: reps']", "");
    page.press("dialog button.main", "Log it");
    page.sees("Change it");
    page.press(".previous button", "Change it");
    page.press("dialog button[aria-label='More: reps']", "");
    page.press("dialog button.main", "Keep this instead");
    eventually(|| matches!(gym.logged().1.as_slice(), [set] if set.corrected.is_some()));
    page.press(".previous button", "Change it");
    page.press("dialog button", "take it away");
    page.wait("!document.querySelector('.previous')");
    eventually(|| gym.logged().1.is_empty());
}
