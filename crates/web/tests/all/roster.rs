//! The roster of a large gym: it answers at once, and what is missing is calculated behind it.

use super::pages::{Pages, machine, open, watch};
use axum::http::StatusCode;
use setwright_coaching::ledger::{UnitOfWork, clients};
use setwright_model::Seconds;
use setwright_model::ledger::{ClientCard, What};
use setwright_store::{Opening, Store};
use std::path::Path;
use std::time::Duration;
use tempfile::TempDir;

fn uow(ledger: &Path) -> UnitOfWork {
    let machine = machine("2026-11-27T09:00:00+01:00");
    UnitOfWork::open(ledger, Opening::Create, &machine).unwrap()
}

/// A gym with so many clients of whom nothing is known but a name.
fn gym(count: usize) -> (TempDir, std::path::PathBuf) {
    let folder = TempDir::new().unwrap();
    let ledger = folder.path().join("ledger.sqlite3");
    let mut uow = uow(&ledger);
    let mut events = Vec::new();
    for nth in 0..count {
        let client = setwright_model::ledger::ClientId::timed(nth as u64, [0; 10]);
        let card = ClientCard { name: format!("Client {nth:04}"), about: String::new(), away: false };
        events.push(uow.event(client, None, None, What::Client(card)));
    }
    uow.store.append_all(&mut events.into_iter()).unwrap();
    uow.close().unwrap();
    (folder, ledger)
}

/// The roster once nothing is being calculated any more.
fn whole(pages: &Pages) -> String {
    let watch = watch();
    loop {
        let (status, page) = pages.get("/");
        assert_eq!(status, StatusCode::OK);
        if !page.contains("being reckoned") {
            return page;
        }
        assert!(!watch.is_past(Seconds(120.0)), "{page}");
        std::thread::sleep(Duration::from_millis(50));
    }
}

#[test]
fn a_large_roster_answers_at_once_and_fills_behind() {
    let (_folder, ledger) = gym(60);
    let app = open(&ledger);
    let pages = Pages::of(app.clone());
    let (_, first) = pages.get("/");
    assert!(first.contains("60 clients") && first.contains("60 lines being reckoned"), "{first}");
    let page = whole(&pages);
    assert_eq!(page.matches("No brief yet").count(), 60, "{page}");
    app.close();
}

#[test]
fn lines_outlive_the_program_and_only_for_the_same_log() {
    let (folder, ledger) = gym(60);
    let app = open(&ledger);
    whole(&Pages::of(app.clone()));
    app.close();
    assert!(!open_page(&ledger).contains("being reckoned"));

    let mut uow = uow(&ledger);
    let one = uow.client("Client 0007").unwrap().client;
    let renamed = ClientCard { name: "Ida".to_owned(), about: String::new(), away: false };
    let event = uow.event(one, None, None, What::Client(renamed));
    uow.write(vec![event]).unwrap();
    uow.close().unwrap();
    let page = open_page(&ledger);
    assert!(page.contains("1 line being reckoned") && page.contains("Ida"), "{page}");

    // Another log of the same clients: nothing of it was calculated.
    let (_other, another) = gym(60);
    std::fs::copy(
        ledger.with_file_name("ledger.sqlite3.lines"),
        another.with_file_name("ledger.sqlite3.lines"),
    )
    .unwrap();
    assert!(open_page(&another).contains("60 lines being reckoned"));
    drop(folder);
}

fn open_page(ledger: &Path) -> String {
    let app = open(ledger);
    let page = Pages::of(app.clone()).get("/").1;
    app.close();
    page
}

#[test]
fn a_thousand_clients_stay_under_the_weight_of_a_page_and_each_can_be_found() {
    let (_folder, ledger) = gym(1_000);
    let app = open(&ledger);
    let (_, page) = Pages::of(app.clone()).get("/");
    assert!(page.len() < 150_000, "{}", page.len());
    assert_eq!(page.matches("href=\"/clients/0").count(), 1_000);
    assert_eq!(page.matches("class=\"reason\"").count(), 200);
    app.close();
}

#[test]
fn a_small_roster_waits_for_every_line() {
    let folder = TempDir::new().unwrap();
    let ledger = folder.path().join("ledger.sqlite3");
    let mut uow = uow(&ledger);
    clients::add(&mut uow, "Ida", "", None).unwrap();
    uow.close().unwrap();
    let page = open_page(&ledger);
    assert!(page.contains("No brief yet") && !page.contains("being reckoned"), "{page}");
}
