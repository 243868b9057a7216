//! The newcomer's way: the demo's roster on the screen, and a certified programme for a new client, by keyboard and mouse
//! alone. How long each part took is printed; `docs/quality.md` has the figures of a release build.

use super::cdp::Browser;
use super::chromium;
use super::gym::Gym;
use super::page::{Page, Screen};
use setwright::clock;

/// Presses the tab key until a control of this name has the focus.
fn tab_to(page: &mut Page, name: &str) {
    for _ in 0..60 {
        if page.eval("document.activeElement?.name ?? ''") == serde_json::json!(name) {
            return;
        }
        page.key("Tab");
    }
    panic!("no way to {name} by keyboard: {}", page.text());
}

#[test]
fn a_newcomer_sees_the_roster_and_has_a_programme_for_a_new_client() {
    let Some(program) = chromium() else { return };
    let profile = tempfile::TempDir::new().unwrap();
    let watch = clock::wall().stopwatch();
    let gym = Gym::demo();
    let mut page = Page::new(Browser::start(&program, profile.path()), Screen::UnitOfWork, "");
    page.go(&gym.at("/"));
    page.sees("Whoever needs a decision stands first");
    eprintln!("the demo's roster was on the screen after {:.1} s", watch.elapsed().get());

    let watch = clock::wall().stopwatch();
    page.press("nav a", "New client");
    page.sees("Before training");
    tab_to(&mut page, "name");
    page.types("Wilhelmina");
    tab_to(&mut page, "age");
    page.types("41");
    for question in ["active", "known_disease", "signs", "other"] {
        tab_to(&mut page, question);
        // Radio buttons: the arrow goes on to the next, which is "no"; who is active says so with the space bar.
        page.key(" ");
        if question != "active" {
            page.key("ArrowRight");
        }
    }
    page.key("Enter");
    page.sees("Programme of Wilhelmina");
    page.sees("Session 1, day");
    assert!(!page.text().contains("Error."), "{}", page.text());
    eprintln!("the new client had a programme after {:.1} s", watch.elapsed().get());
    assert_eq!(page.browser.complaints, Vec::<String>::new());
}
