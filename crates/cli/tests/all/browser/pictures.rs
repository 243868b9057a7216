//! Pictures of every page on both screens, light and dark, to be looked at by a person:
//! `cargo test -p setwright --test all pictures -- --ignored`, then look into `target/pictures`.

use super::super::kit::root;
use super::access::in_scheme;
use super::account;
use super::cdp::Browser;
use super::chromium;
use super::gym::Gym;
use super::page::{Page, Screen};
use std::path::{Path, PathBuf};

/// Name and path of every page; `CLIENT` is a client of the demo who has a log, `SESSION` the last of it.
pub const PAGES: [(&str, &str); 16] = [
    ("roster", "/"),
    ("advice", "/advice"),
    ("client", "/clients/CLIENT"),
    ("brief", "/clients/CLIENT/brief"),
    ("programme", "/clients/CLIENT/programme"),
    ("review", "/clients/CLIENT/review"),
    ("log", "/clients/CLIENT/log"),
    ("session", "/clients/CLIENT/sessions/SESSION"),
    ("plan", "/clients/CLIENT/plan"),
    ("edit", "/clients/CLIENT/edit?e=sets.0.0.0.5~rest.0.0.150~lock.0.0.0"),
    ("choose", "/clients/CLIENT/edit/choose?at=0.0.0"),
    ("floor", "/clients/CLIENT/floor"),
    ("new-client", "/clients/new"),
    ("audit", "/audit"),
    ("exercises", "/exercises?words=row"),
    ("help", "/help"),
];

/// Addresses of the demo's pages.
pub struct Places {
    client: String,
    session: String,
}

impl Places {
    /// As the roster and the client's page link them.
    pub fn of(page: &mut Page, gym: &Gym) -> Self {
        let mut link = |at: &str, selector: &str| {
            page.go(&gym.at(at));
            let path = page.eval(&format!("document.querySelector('{selector}').getAttribute('href')"));
            path.as_str().unwrap().to_owned()
        };
        let client = link("/", ".ledger a");
        let session = link(&client, ".sessions a");
        let last = |path: &str| path.rsplit('/').next().unwrap().to_owned();
        Self { client: last(&client), session: last(&session) }
    }

    /// The address of a page of the list.
    pub fn at(&self, gym: &Gym, path: &str) -> String {
        gym.at(&path.replace("CLIENT", &self.client).replace("SESSION", &self.session))
    }
}

/// Where pictures are kept.
fn folder() -> PathBuf {
    let target = std::env::var_os("CARGO_TARGET_DIR").map(PathBuf::from);
    let folder = target.unwrap_or_else(|| root().join("target")).join("pictures");
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
#[ignore = "makes pictures for a person to look at"]
fn pictures() {
    let Some(program) = chromium() else { return };
    let gym = Gym::demo();
    let folder = folder();
    for screen in [Screen::Phone, Screen::UnitOfWork] {
        let profile = tempfile::TempDir::new().unwrap();
        let mut page = Page::new(Browser::start(&program, profile.path()), screen, "");
        let places = Places::of(&mut page, &gym);
        for scheme in ["light", "dark"] {
            in_scheme(&mut page, scheme);
            for (name, path) in PAGES {
                page.go(&places.at(&gym, path));
                std::thread::sleep(std::time::Duration::from_millis(300));
                keep(&mut page, &folder, &format!("{name}-{screen:?}-{scheme}").to_lowercase());
            }
        }
        in_the_making(&mut page, &gym, &folder, &places.client, screen);
        on_the_floor(&mut page, &gym, &folder, screen);
    }
}

#[test]
#[ignore = "makes pictures for a person to look at"]
fn pictures_of_accounts() {
    let Some(program) = chromium() else { return };
    let folder = folder();
    for screen in [Screen::Phone, Screen::UnitOfWork] {
        let profile = tempfile::TempDir::new().unwrap();
        let mut page = Page::new(Browser::start(&program, profile.path()), screen, "");
        at_the_door(&mut page, &folder, screen);
    }
}

/// What somebody sees who comes over a network.
fn at_the_door(page: &mut Page, folder: &Path, screen: Screen) {
    let (gym, _, link) = Gym::guarded("Ida");
    for scheme in ["light", "dark"] {
        in_scheme(page, scheme);
        for (name, path) in [("welcome", link.as_str()), ("login", "/login?after=out")] {
            page.go(&gym.at(path));
            keep(page, folder, &format!("{name}-{screen:?}-{scheme}").to_lowercase());
        }
    }
    account::goes_through(page, &gym, &link, &mut |page, name| {
        for scheme in ["light", "dark"] {
            in_scheme(page, scheme);
            keep(page, folder, &format!("{name}-{screen:?}-{scheme}").to_lowercase());
        }
    });
}

/// A plan in the making and beside the one before, and the curve.
fn in_the_making(page: &mut Page, gym: &Gym, folder: &Path, client: &str, screen: Screen) {
    let name = |what: &str| format!("{what}-{screen:?}").to_lowercase();
    page.go(&gym.at(&format!("/clients/{client}/plan")));
    page.press("button", "Plan the next block");
    page.wait("document.getElementById('news-share')?.hidden === false");
    keep(page, folder, &name("making"));
    page.press("button", "Stop with what was found");
    page.wait("document.body.innerText.includes('Beside the one before')");
    keep(page, folder, &name("compare"));
    page.go(&gym.at(&format!("/clients/{client}/plan")));
    page.press("button", "Minutes against benefit");
    page.sees("Plan a point");
    keep(page, folder, &name("curve"));
}

/// The sheets that open over the floor page, and the rest.
fn on_the_floor(page: &mut Page, gym: &Gym, folder: &Path, screen: Screen) {
    let name = |what: &str| format!("floor-{what}-{screen:?}").to_lowercase();
    page.go(&gym.at("/"));
    let path = page
        .eval("[...document.querySelectorAll('.ledger a')].find((a) => a.textContent === 'Bram').pathname");
    page.go(&gym.at(&format!("{}/floor", path.as_str().unwrap())));
    page.wait("document.querySelector('.target')");
    for (what, selector, words) in [
        ("otherwise", ".otherwise", "It went"),
        ("taken", ".row button", "Station taken"),
        ("whole", ".foot button", "Whole session"),
        ("hurts", ".hurts", "Something hurts"),
    ] {
        page.press(selector, words);
        page.wait("document.querySelector('dialog[open]')");
        keep(page, folder, &name(what));
        page.key("Escape");
        page.wait("!document.querySelector('dialog[open]')");
    }
    keep(page, folder, &name("asked"));
    page.press("button.target", "Press when it is done");
    page.wait("document.querySelector('.side-1.now')");
    std::thread::sleep(std::time::Duration::from_millis(1_600));
    page.press("button.target", "Press when it is done");
    page.wait("document.querySelector('.resting')");
    keep(page, folder, &name("rest"));
}

fn keep(page: &mut Page, folder: &Path, name: &str) {
    let file = folder.join(format!("{name}.png"));
    std::fs::write(file, decoded(&page.picture())).unwrap();
}

/// Bytes of base64 (RFC 4648, the common alphabet).
fn decoded(text: &str) -> Vec<u8> {
    const ALPHABET: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut bytes = Vec::with_capacity(text.len() / 4 * 3);
    let (mut bits, mut held) = (0_u32, 0);
    for value in text.bytes().filter_map(|c| ALPHABET.iter().position(|a| *a == c)) {
        bits = (bits << 6 | value as u32) & 0x00ff_ffff;
        held += 6;
        if held >= 8 {
            held -= 8;
            bytes.push((bits >> held & 0xff) as u8);
        }
    }
    bytes
}
