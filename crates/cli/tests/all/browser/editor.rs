//! The programme editor in a browser: by buttons, by pulling at the drawing and by the way back; a lock, and a new plan
//! around it that is looked at, survives a reload, and is handed out.

use super::cdp::Browser;
use super::chromium;
use super::gym::Gym;
use super::page::{Page, Screen};
use serde_json::json;

/// Pulls the first thing that fits a selector by so many pixels, with the mouse.
fn pull(page: &mut Page, selector: &str, (dx, dy): (f64, f64)) {
    let place = page.eval(&format!(
        "(() => {{ const n = document.querySelector({}); n.scrollIntoView({{ block: 'center', behavior: 'instant' }}); \
         const r = n.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; }})()",
        json!(selector)
    ));
    let (x, y) = (place[0].as_f64().unwrap(), place[1].as_f64().unwrap());
    let mouse = |page: &mut Page, kind: &str, x: f64, y: f64| {
        let params = json!({ "type": kind, "x": x, "y": y, "button": "left", "buttons": 1, "clickCount": 1 });
        page.call("Input.dispatchMouseEvent", params);
    };
    mouse(page, "mousePressed", x, y);
    for step in 1..=4 {
        let share = f64::from(step) / 4.0;
        mouse(page, "mouseMoved", x + dx * share, y + dy * share);
    }
    mouse(page, "mouseReleased", x + dx, y + dy);
}

#[test]
fn a_programme_is_edited_by_buttons_by_pulling_and_by_the_way_back() {
    let Some(program) = chromium() else { return };
    let (gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = Page::new(Browser::start(&program, profile.path()), Screen::UnitOfWork, "");
    page.go(&gym.at(&format!("{path}/programme")));
    page.press("main a", "Edit");
    page.sees("0 changes");
    page.wait("document.querySelector('[data-armed]')");

    // By keyboard: the focus stays on the button, so that it can be pressed again.
    let more = "button[aria-label*='One set more']";
    page.eval(&format!("document.querySelector({}).focus()", json!(more)));
    let focus = "document.activeElement.getAttribute('aria-label')";
    let said = page.eval(focus);
    page.key("Enter");
    page.sees("1 change;");
    assert_eq!(page.eval(focus), said);
    page.press("button", "Undo");
    page.sees("0 changes");

    // By pulling: the last set to the right is one more, a block down goes later.
    let order = "[...document.querySelectorAll('[data-session=\"0\"] .exercise .name')].map((n) => n.textContent.slice(3).trim()).join()";
    let before = page.eval(order);
    pull(&mut page, "[data-session='0'] .desk .lane .work", (26.0, 0.0));
    page.sees("1 change;");
    let end = page.eval(
        "(() => { const b = [...document.querySelectorAll(\"[data-session='0'] .desk g.block\")]; \
         return b.at(-1).getBoundingClientRect().bottom - b[0].getBoundingClientRect().top; })()",
    );
    pull(&mut page, "[data-session='0'] .desk .lane text", (0.0, end.as_f64().unwrap()));
    page.sees("2 changes;");
    assert_ne!(page.eval(order), before, "the first block went to the end");
    page.eval("history.back()");
    page.sees("1 change;");
    assert_eq!(page.eval(order), before, "the way back undoes");
    page.reload();
    page.sees("1 change;");
    page.wait("document.querySelector('[data-armed]')");

    page.press("a", "swap");
    page.sees("What changes least");
    page.press(".choices button", "");
    page.sees("2 changes;");
    assert_eq!(page.browser.complaints, Vec::<String>::new());
}

#[test]
fn the_rest_is_planned_around_a_lock_while_the_page_tells_what_was_found() {
    let Some(program) = chromium() else { return };
    let (mut gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = Page::new(Browser::start(&program, profile.path()), Screen::UnitOfWork, "");
    page.go(&gym.at(&format!("{path}/edit")));
    page.sees("0 changes");
    let locked = page.eval("document.querySelector('.pin').getAttribute('aria-label').replace('Lock ', '')");
    let locked = locked.as_str().unwrap().to_owned();
    page.press("button.pin", "");
    page.sees("1 change;");
    page.press("button", "Solve around my locks");
    page.sees("around your locks");
    let work = page.eval("location.pathname").as_str().unwrap().to_owned();
    page.reload();
    page.wait("document.querySelector('[data-news]') || document.body.innerText.includes('Hand out')");
    if page.text().contains("Stop with what was found") {
        page.press("button", "Stop with what was found");
    }
    page.wait("document.body.innerText.includes('Beside the one before')");
    assert!(page.text().contains(&locked), "{}", page.text());
    page.press("button", "Hand out");
    page.sees("Programme of Ida");
    page.go(&gym.at(&format!("{path}/edit")));
    page.wait("document.querySelector('.pin[aria-pressed=true]')");
    assert_eq!(page.browser.complaints, Vec::<String>::new());

    // A program that was killed has no plans in the making, and says so; what was handed out is there.
    gym.vanish();
    gym.open();
    page.go(&gym.at(&work));
    page.sees("no longer there");
    page.go(&gym.at(&format!("{path}/edit")));
    page.wait("document.querySelector('.pin[aria-pressed=true]')");
}
