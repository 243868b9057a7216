//! The pages of somebody's own account in a browser: where one is signed in, one-time codes, who came.

use super::access::{axe, examined, in_scheme, too_wide};
use super::cdp::Browser;
use super::chromium;
use super::gym::Gym;
use super::page::{Page, Screen};
use super::sign_in::{PASSWORD, fill, signs_in, welcomed};
use serde_json::json;
use setwright_store::{Accounts, Opening};
use totp_rs::{Algorithm, Builder, Secret};

/// The code that the app of the only account shows now.
fn code(gym: &Gym) -> String {
    let mut accounts = Accounts::open(&Accounts::of(&gym.ledger()), Opening::Existing).unwrap();
    let secret = accounts.secret(1).unwrap().unwrap().bytes;
    let builder = Builder::new().with_algorithm(Algorithm::SHA1).with_digits(6).with_step_duration(30);
    let now = setwright::clock::wall().now().unix_ms() / 1_000;
    builder
        .with_secret(Secret::from(secret))
        .build()
        .unwrap()
        .generate(u64::try_from(now).unwrap())
        .to_string()
}

/// Signs in, sets up one-time codes, signs out and in again by a recovery code, and looks at every page on the way.
pub fn goes_through(page: &mut Page, gym: &Gym, link: &str, look: &mut impl FnMut(&mut Page, &str)) {
    welcomed(page, gym, link);
    signs_in(page, PASSWORD);
    page.sees("Whoever needs a decision stands first");
    page.press("nav a", "Account");
    page.sees("Where you are signed in");
    look(page, "account");
    page.press("a", "Set up one-time codes");
    page.sees("Any app for such codes will do");
    look(page, "codes-off");
    fill(page, "password", PASSWORD);
    page.press("button", "Set up one-time codes");
    page.sees("Type the code that the app shows");
    look(page, "codes-begun");
    fill(page, "code", "000000");
    page.press("button", "Turn on one-time codes");
    page.sees("This code is not right");
    look(page, "codes-wrong");
    let now = code(gym);
    fill(page, "code", &now);
    page.press("button", "Turn on one-time codes");
    page.sees("Recovery codes");
    look(page, "recovery");
    let recovery = page.eval("document.querySelector('.codes code').textContent");
    page.press("a", "Written down");
    page.press("a", "Recovery codes and off");
    page.sees("10 recovery codes are left");
    look(page, "codes-on");
    page.press("button", "Sign out");
    page.sees("You are signed out");
    signs_in(page, PASSWORD);
    page.sees("The password is right");
    look(page, "code");
    fill(page, "code", recovery.as_str().unwrap());
    page.press("button", "Sign in");
    page.sees("Whoever needs a decision stands first");
    page.go(&gym.at("/record"));
    page.sees("used a recovery code");
    look(page, "record");
}

#[test]
fn one_sets_up_codes_signs_in_by_them_and_reads_who_came_and_every_page_of_it_is_for_everybody() {
    let Some(program) = chromium() else { return };
    let axe = axe();
    let (gym, _, link) = Gym::guarded("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = Page::new(Browser::start(&program, profile.path()), Screen::UnitOfWork, "");
    let mut wrong = Vec::new();
    goes_through(&mut page, &gym, &link, &mut |page, name| {
        wrong.extend(too_wide(page, name));
        // As wide as the window again: what is pressed beyond it is not felt.
        page.call(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": 1_280, "height": 900, "deviceScaleFactor": 1, "mobile": false }),
        );
        page.eval("for (const d of document.querySelectorAll('details')) d.open = true; undefined");
        for scheme in ["light", "dark"] {
            in_scheme(page, scheme);
            wrong.extend(axe.iter().flat_map(|axe| examined(page, axe, &format!("{name}, {scheme}"))));
        }
    });
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_session_that_is_ended_from_another_browser_is_over() {
    let Some(program) = chromium() else { return };
    let (gym, _, link) = Gym::guarded("Ida");
    let open = || {
        let profile = tempfile::TempDir::new().unwrap();
        (Page::new(Browser::start(&program, profile.path()), Screen::Phone, ""), profile)
    };
    let ((mut phone, _kept), (mut desk, _too)) = (open(), open());
    welcomed(&mut phone, &gym, &link);
    signs_in(&mut phone, PASSWORD);
    phone.sees("Whoever needs a decision stands first");
    desk.go(&gym.at("/account"));
    signs_in(&mut desk, PASSWORD);
    desk.sees("Where you are signed in");
    desk.press("button", "End it");
    desk.sees("is asked to sign in");
    assert_eq!(desk.eval("document.querySelectorAll('tbody tr').length"), json!(1));
    phone.go(&gym.at("/"));
    phone.sees("Forgotten?");
}
