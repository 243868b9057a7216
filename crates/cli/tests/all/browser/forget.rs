//! A phone that keeps something of a client who is forgotten meanwhile: at its next contact all of it is cleared.

use super::super::kit::program;
use super::cdp::Browser;
use super::chromium;
use super::floor::{eventually, log_as_asked, waiting};
use super::gym::Gym;
use super::page::{Page, Screen};
use serde_json::json;
use std::process::Command;

/// What the phone keeps: pages, and entries of all its stores that name anybody.
const KEEPS: &str = "(async () => { const db = await new Promise((r) => { const a = indexedDB.open('setwright'); a.onsuccess = () => r(a.result); }); \
     const all = (s) => new Promise((r) => { const a = db.transaction(s).objectStore(s).getAll(); a.onsuccess = () => r(a.result); }); \
     const kept = (await Promise.all(['waiting', 'refused', 'notes'].map(all))).flat().filter((v) => v?.client || v?.event); \
     return kept.length + (await (await caches.open('pages')).keys()).length; })()";

#[test]
fn a_phone_clears_what_it_keeps_of_a_client_who_was_forgotten_while_it_was_away() {
    let Some(browser) = chromium() else { return };
    let (mut gym, path) = Gym::with("Ida");
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = Page::new(Browser::start(&browser, profile.path()), Screen::Phone, "");
    page.go(&gym.at(&format!("{path}/floor")));
    page.wait("document.querySelector('.target')");
    page.wait("document.getElementById('floor').dataset.kept");
    gym.vanish();
    log_as_asked(&mut page);
    assert_eq!(waiting(&mut page).len(), 1);
    let mut forget = Command::new(program());
    let forgot = forget.arg("--ledger").arg(gym.ledger()).args(["forget", "Ida", "--yes"]).output().unwrap();
    assert!(forgot.status.success(), "{}", String::from_utf8_lossy(&forgot.stderr));
    assert_ne!(page.eval(KEEPS), json!(0));
    gym.open();
    page.eval("dispatchEvent(new Event('online')); undefined");
    page.sees("What this device kept of them is cleared");
    eventually(|| page.eval(KEEPS) == json!(0));
    assert!(!page.text().contains("Ida"));
    page.reload();
    page.sees("This client was forgotten.");
}
