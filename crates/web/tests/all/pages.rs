//! The pages of a ledger, asked without a network, and the clock they stand under. The program's own tests read this file too.
#![allow(dead_code, reason = "two test binaries read this file, and each uses a part of it")]

use axum::Router;
use axum::body::Body;
use axum::http::{Request, Response, StatusCode, header};
use serde_json::{Value, json};
use setwright_coaching::clock::{Clock, Stopwatch, Wall};
use setwright_coaching::machine::Machine;
use setwright_model::Seconds;
use setwright_model::ledger::{Date, Moment};
use setwright_web::{App, router};
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Instant, SystemTime};
use tempfile::TempDir;
use tower::ServiceExt;

/// A clock that shows one moment; watches run and devices count on.
struct Shown {
    shows: Wall,
    begun: Instant,
}

impl Clock for Shown {
    fn now(&self) -> Moment {
        self.shows.now()
    }

    #[allow(clippy::disallowed_methods, reason = "a test's clock")]
    fn device_ms(&self) -> u64 {
        SystemTime::now().duration_since(SystemTime::UNIX_EPOCH).map_or(0, |d| d.as_millis() as u64)
    }

    fn on(&self, date: Date, second_of_day: u32) -> Option<Moment> {
        self.shows.on(date, second_of_day)
    }

    #[allow(clippy::disallowed_methods, reason = "a test's clock")]
    fn running(&self) -> Seconds {
        Seconds(self.begun.elapsed().as_secs_f64())
    }
}

/// The clock, showing this moment.
#[allow(clippy::disallowed_methods, reason = "a test's clock")]
pub fn wall(now: &str) -> Wall {
    Wall::of(Shown { shows: Wall::stopped(now.parse().unwrap()), begun: Instant::now() })
}

/// The machine, its clock showing this moment. Each draws identifiers of its own, as another machine would.
pub fn machine(now: &str) -> Machine {
    static MADE: AtomicU64 = AtomicU64::new(0);
    let wall = wall(now);
    Machine::stopped(wall.now(), MADE.fetch_add(1, Ordering::Relaxed)).with_wall(wall)
}

/// A watch that runs from now on.
pub fn watch() -> Stopwatch {
    wall(NOW).stopwatch()
}

/// When everything happens.
const NOW: &str = "2026-11-27T09:00:00+01:00";

/// The form of a new client but for the name.
pub const FORM: &str = "goal=general&training_age=beginner&sessions=2&minutes=45&cycle_days=7&days=1%2C4&place=full_gym&age=34&\
                    mass_kg=70&press=40&active=yes&known_disease=no&signs=no&other=no";

/// A ledger that lies open, the clock stopped.
pub fn open(ledger: &Path) -> App {
    App::open(ledger, machine(NOW)).unwrap()
}

/// A gym with an empty ledger.
pub struct Gym {
    _folder: TempDir,
    pages: Pages,
}

impl Gym {
    /// Opens one.
    pub fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let pages = Pages::on(&folder.path().join("ledger.sqlite3"));
        Self { _folder: folder, pages }
    }
}

impl std::ops::Deref for Gym {
    type Target = Pages;

    fn deref(&self) -> &Pages {
        &self.pages
    }
}

/// The pages of a ledger, asked without a network.
pub struct Pages {
    pages: Router,
    runtime: tokio::runtime::Runtime,
}

impl Pages {
    /// The pages of the ledger that is, or will be, here.
    pub fn on(ledger: &Path) -> Self {
        Self::of(open(ledger))
    }

    /// The pages of a ledger that lies open.
    pub fn of(app: App) -> Self {
        Self::through(router(app))
    }

    /// These pages, asked without a network.
    pub fn through(pages: Router) -> Self {
        let runtime =
            tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
        Self { pages, runtime }
    }

    /// The pages of a ledger that is here, at this moment.
    pub fn at(ledger: &Path, now: &str) -> Self {
        let app = App::open(ledger, machine(now)).unwrap();
        Self { pages: router(app), ..Self::on(ledger) }
    }

    /// The answer to a request.
    pub fn send(&self, request: Request<Body>) -> Response<Body> {
        self.runtime.block_on(self.pages.clone().oneshot(request)).unwrap()
    }

    /// Status and text of a page.
    pub fn get(&self, path: &str) -> (StatusCode, String) {
        let request = Request::get(path).header(header::HOST, "localhost:8410").body(Body::empty()).unwrap();
        self.read(self.send(request))
    }

    /// The answer to a form that a page of ours sent.
    pub fn post(&self, path: &str, form: &str) -> Response<Body> {
        let request = Request::post(path)
            .header(header::HOST, "localhost:8410")
            .header("sec-fetch-site", "same-origin")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.send(request.body(Body::from(form.to_owned())).unwrap())
    }

    /// Status and text of an answer.
    pub fn read(&self, answer: Response<Body>) -> (StatusCode, String) {
        let status = answer.status();
        (status, String::from_utf8(self.bytes(answer)).unwrap())
    }

    /// What an answer brings, as it comes.
    pub fn bytes(&self, answer: Response<Body>) -> Vec<u8> {
        let bytes = self.runtime.block_on(axum::body::to_bytes(answer.into_body(), 10_000_000)).unwrap();
        bytes.to_vec()
    }

    /// The path of a client who was written down by the form, once the programme is in force.
    pub fn newcomer(&self, name: &str) -> String {
        let to = self.goes(&self.post("/clients/new", &format!("name={name}&{FORM}")));
        self.made(&to);
        to.split_once("/making/").unwrap().0.to_owned()
    }

    /// Where an answer sends the browser.
    #[expect(clippy::unused_self, reason = "read beside what was sent")]
    pub fn goes(&self, answer: &Response<Body>) -> String {
        assert_eq!(answer.status(), StatusCode::SEE_OTHER);
        answer.headers()[header::LOCATION].to_str().unwrap().to_owned()
    }

    /// Listens to a work until it is done; what was heard.
    pub fn made(&self, path: &str) -> String {
        let (status, news) = self.get(&format!("{path}/news"));
        assert_eq!(status, StatusCode::OK, "{news}");
        assert!(news.contains("\"open\":false"), "{news}");
        news
    }
}

/// A text as a form sends it.
pub fn coded(text: &str) -> String {
    text.bytes().map(|b| format!("%{b:02x}")).collect::<Vec<_>>().concat()
}

/// Status and answer to what a device sends.
pub fn sent(pages: &Pages, body: String) -> (StatusCode, Value) {
    let request = Request::post("/api/v1/events")
        .header(header::HOST, "localhost")
        .header("sec-fetch-site", "same-origin")
        .header(header::CONTENT_TYPE, "application/json");
    let (status, text) = pages.read(pages.send(request.body(Body::from(body)).unwrap()));
    (status, serde_json::from_str(&text).unwrap_or_else(|_| panic!("no JSON: {text}")))
}

/// Sends events as a device does; what is answered to each.
pub fn answers(pages: &Pages, events: &[Value]) -> Vec<String> {
    let (status, said) = sent(pages, json!(events).to_string());
    assert_eq!(status, StatusCode::OK, "{said}");
    said["answers"].as_array().unwrap().iter().map(|a| a["answer"].as_str().unwrap().to_owned()).collect()
}
