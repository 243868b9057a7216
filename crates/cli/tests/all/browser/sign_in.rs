//! The way in from a network: a link, a password, a session that ends while somebody trains.

use super::access::{axe, examined, in_scheme, too_wide};
use super::cdp::Browser;
use super::chromium;
use super::floor::{eventually, log_as_asked, waiting};
use super::gym::Gym;
use super::page::{Page, Screen};
use serde_json::json;

/// The password that the tests choose.
pub const PASSWORD: &str = "three quiet anvils";

/// Somebody who is not signed in yet.
struct Visitor {
    gym: Gym,
    /// The path of the only client's page, and of the link that sets the coach's password.
    client: String,
    link: String,
    page: Page,
    _profile: tempfile::TempDir,
}

impl Visitor {
    /// With such a screen; nobody where there is no browser.
    fn on(screen: Screen) -> Option<Self> {
        let program = chromium()?;
        let (gym, client, link) = Gym::guarded("Ida");
        let profile = tempfile::TempDir::new().unwrap();
        let page = Page::new(Browser::start(&program, profile.path()), screen, "");
        Some(Self { gym, client, link, page, _profile: profile })
    }
}

pub fn fill(page: &mut Page, field: &str, text: &str) {
    page.press(&format!("input[name={field}]"), "");
    page.types(text);
}

/// Sets the password by the link.
pub fn welcomed(page: &mut Page, gym: &Gym, link: &str) {
    page.go(&gym.at(link));
    fill(page, "password", PASSWORD);
    fill(page, "again", PASSWORD);
    page.press("button", "Set the password");
    page.sees("The password is set");
}

/// Sets the password, signs in on the floor page of a client and logs a set, until it is sent.
fn logs_one_set(page: &mut Page, gym: &Gym, link: &str, client: &str) {
    welcomed(page, gym, link);
    page.go(&gym.at(&format!("{client}/floor")));
    signs_in(page, PASSWORD);
    page.wait("document.querySelector('.target')");
    log_as_asked(page);
    page.wait(ALL_SENT);
}

/// Signs in where the page asks for it.
pub fn signs_in(page: &mut Page, password: &str) {
    signs_in_as(page, "Ada", password);
}

fn signs_in_as(page: &mut Page, name: &str, password: &str) {
    page.eval("document.querySelector('input[name=name]').value = ''; undefined");
    fill(page, "name", name);
    fill(page, "password", password);
    page.press("button", "Sign in");
}

#[test]
fn who_has_the_link_chooses_a_password_and_signs_in_and_out() {
    let Some(Visitor { gym, link, mut page, _profile, .. }) = Visitor::on(Screen::UnitOfWork) else { return };
    page.go(&gym.at(&link));
    fill(&mut page, "password", PASSWORD);
    fill(&mut page, "again", "three quiet hammers");
    page.press("button", "Set the password");
    page.sees("The two are not the same");
    welcomed(&mut page, &gym, &link);
    signs_in(&mut page, "three loud anvils");
    page.sees("do not go together");
    signs_in(&mut page, PASSWORD);
    page.sees("Whoever needs a decision stands first");
    page.press("button", "Sign out");
    page.sees("You are signed out");
    page.go(&gym.at("/"));
    page.sees("Forgotten?");
    page.go(&gym.at(&link));
    page.sees("This link was used");
}

#[test]
fn the_pages_before_signing_in_are_for_everybody() {
    let Some(axe) = axe() else { return };
    let Some(Visitor { gym, link, mut page, _profile, .. }) = Visitor::on(Screen::UnitOfWork) else { return };
    let mut wrong = Vec::new();
    for (name, path) in [("welcome", link.as_str()), ("login", "/login"), ("a void link", "/welcome/none")] {
        page.go(&gym.at(path));
        wrong.extend(too_wide(&mut page, name));
        for scheme in ["light", "dark"] {
            in_scheme(&mut page, scheme);
            wrong.extend(examined(&mut page, &axe, &format!("{name}, {scheme}")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_session_that_ends_while_somebody_trains_loses_no_set() {
    let Some(Visitor { gym, client, link, mut page, _profile }) = Visitor::on(Screen::Phone) else { return };
    logs_one_set(&mut page, &gym, &link, &client);
    page.call("Network.clearBrowserCookies", json!({}));
    log_as_asked(&mut page);
    log_as_asked(&mut page);
    page.sees("You are signed out. All you log is kept on this device");
    assert_eq!(waiting(&mut page).len(), 2);
    page.press("a", "sign in again");
    page.sees("Forgotten?");
    signs_in(&mut page, PASSWORD);
    page.wait(ALL_SENT);
    let (sessions, sets) = gym.logged();
    assert_eq!((sessions.len(), sets.len()), (1, 3));
}

/// All that was logged is in the ledger.
const ALL_SENT: &str = "document.querySelector('.line')?.dataset.waiting === '0'";

#[test]
fn what_one_left_unsent_on_a_phone_is_neither_seen_nor_sent_by_the_next() {
    let Some(Visitor { gym, client, link, mut page, _profile }) = Visitor::on(Screen::Phone) else { return };
    let of_ben = gym.account(&["Ben", "--role", "coach", "--client", "Ida"]);
    let floor = gym.at(&format!("{client}/floor"));
    logs_one_set(&mut page, &gym, &link, &client);
    page.call("Network.clearBrowserCookies", json!({}));
    log_as_asked(&mut page);
    log_as_asked(&mut page);
    page.sees("You are signed out");
    welcomed(&mut page, &gym, &of_ben);
    signs_in_as(&mut page, "Ben", PASSWORD);
    page.sees("Whoever needs a decision stands first");
    page.go(&floor);
    page.wait(ALL_SENT);
    log_as_asked(&mut page);
    page.wait(ALL_SENT);
    assert_eq!(waiting(&mut page).len(), 2, "what is Ada's waits for her");
    assert_eq!(gym.logged().1.len(), 2);
    page.go(&gym.at("/"));
    page.press("button", "Sign out");
    page.sees("You are signed out");
    signs_in(&mut page, PASSWORD);
    page.sees("Whoever needs a decision stands first");
    eventually(|| gym.logged().1.len() == 4);
}

#[test]
fn signing_out_says_what_is_unsent_and_clears_all_else_from_the_phone() {
    let Some(Visitor { gym, client, link, mut page, _profile }) = Visitor::on(Screen::Phone) else { return };
    logs_one_set(&mut page, &gym, &link, &client);
    page.call("Network.enable", json!({}));
    page.call("Network.setBlockedURLs", json!({ "urls": ["*/api/v1/events"] }));
    log_as_asked(&mut page);
    page.go(&gym.at("/"));
    page.press("button", "Sign out");
    page.sees("Not sent yet: 1 set");
    page.press("dialog button", "Stay signed in");
    page.wait("!document.querySelector('dialog')");
    page.press("button", "Sign out");
    page.press("dialog button", "Sign out all the same");
    page.sees("You are signed out");
    assert_eq!(waiting(&mut page).len(), 1);
    let left = page.eval(
        "(async () => { const db = await new Promise((r) => { const a = indexedDB.open('setwright'); \
         a.onsuccess = () => r(a.result); }); const notes = await new Promise((r) => { \
         const a = db.transaction('notes').objectStore('notes').count(); a.onsuccess = () => r(a.result); }); \
         return [notes, await caches.has('pages')]; })()",
    );
    assert_eq!(left, json!([0, false]));
    page.call("Network.setBlockedURLs", json!({ "urls": [] }));
    signs_in(&mut page, PASSWORD);
    eventually(|| gym.logged().1.len() == 2);
}

#[test]
fn who_signs_out_is_out_though_the_storage_of_the_browser_does_not_answer() {
    let Some(Visitor { gym, link, mut page, _profile, .. }) = Visitor::on(Screen::UnitOfWork) else { return };
    welcomed(&mut page, &gym, &link);
    signs_in(&mut page, PASSWORD);
    page.sees("Whoever needs a decision stands first");
    let silent = "IDBFactory.prototype.open = () => ({}); IDBDatabase.prototype.transaction = () => ({});";
    page.call("Page.addScriptToEvaluateOnNewDocument", json!({ "source": silent }));
    page.go(&gym.at("/help"));
    page.press("button", "Sign out");
    page.sees("You are signed out");
    page.go(&gym.at("/"));
    page.sees("Forgotten?");
}

#[test]
fn what_the_ledger_does_not_take_yet_is_kept_and_sent_after_the_wait() {
    let Some(Visitor { gym, client, link, mut page, _profile }) = Visitor::on(Screen::Phone) else { return };
    logs_one_set(&mut page, &gym, &link, &client);
    page.eval(
        "const real = window.fetch; window.asked = []; window.fetch = (path, how) => { \
         if (!String(path).endsWith('/api/v1/events')) return real(path, how); \
         window.asked.push(performance.now()); return window.asked.length > 1 ? real(path, how) : \
         Promise.resolve(new Response('{}', { status: 429, headers: { 'retry-after': '3' } })); }; undefined",
    );
    log_as_asked(&mut page);
    page.sees("1 set waiting to send");
    assert_eq!(waiting(&mut page).len(), 1);
    // A second try that somebody causes waits as well.
    page.eval("window.dispatchEvent(new Event('online')); undefined");
    page.wait(ALL_SENT);
    assert_eq!(gym.logged().1.len(), 2);
    let waited = page.eval("window.asked[1] - window.asked[0] >= 3000");
    assert_eq!(waited, json!(true), "it was sent again sooner than the ledger said");
}
