//! Who gets what over a network: every route for every role, signing in, links, forms of other sessions, foreign origins.

use super::heard::{Lines, heard};
use super::pages::{Pages, machine};
use axum::Router;
use axum::body::Body;
use axum::http::{Method, Request, Response, StatusCode, header};
use setwright_coaching::ledger::{UnitOfWork, clients};
use setwright_coaching::people::accounts::{Book, digest};
use setwright_model::ledger::{ClientId, Note, What};
use setwright_store::{AccountRole, Begin, Lifetimes, Opening, Trace};
use setwright_web::{App, SignIn, log, router};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use tower::ServiceExt;

pub const NOW: &str = "2026-11-27T09:00:00+01:00";
pub const HOST: &str = "gym.example:8410";
pub const FORM: &str = "application/x-www-form-urlencoded";

/// A gym on a network: two clients, two coaches, an owner.
pub struct Gym {
    folder: TempDir,
    pages: Router,
    pub ida: ClientId,
    bo: ClientId,
    pub refusals: Lines,
    pub runtime: tokio::runtime::Runtime,
}

/// Begins a session whose token is `token`.
pub fn begin(book: &mut Book, id: i64, token: &str) {
    let (lasts, trace) = (Lifetimes { idle_ms: 1_000, whole_ms: 1_000 }, Trace::here(book.now_ms()));
    let begin = Begin { session: digest(token), browser: "a test", instead: None };
    book.accounts.begin(id, begin, &trace, lasts).unwrap();
}

/// Those who ask, in the order of the table.
const ASKING: [&str; 6] = ["", "ida", "bo", "cy", "ben", "ada"];

impl Gym {
    pub fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let ledger = folder.path().join("ledger.sqlite3");
        let mut uow = UnitOfWork::open(&ledger, Opening::Create, &machine(NOW)).unwrap();
        let mut add = |name: &str| clients::add(&mut uow, name, "", None).unwrap().id;
        let (ida, bo) = (add("Ida"), add("Zdenko"));
        // Something to undo for everybody who may.
        for text in ["slept badly", "slept well", "came late"] {
            let note = What::Note(Note { about: None, text: text.to_owned() });
            let note = uow.event(ida, None, None, note);
            uow.write(vec![note]).unwrap();
        }
        uow.close().unwrap();
        let mut book = Book::open(&ledger, Opening::Create, &machine(NOW)).unwrap();
        for (name, role, of) in [
            ("ida", AccountRole::Client, vec![ida]),
            ("bo", AccountRole::Client, vec![bo]),
            ("cy", AccountRole::Coach, vec![bo]),
            ("ben", AccountRole::Coach, vec![ida]),
            ("ada", AccountRole::Owner, vec![]),
        ] {
            let of: BTreeSet<ClientId> = of.into_iter().collect();
            let account = book.add(name, role, &of).unwrap();
            begin(&mut book, account.id, name);
        }
        let refusals = Lines::default();
        let pages = pages(&ledger, NOW, &refusals);
        let runtime =
            tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
        Self { folder, pages, ida, bo, refusals, runtime }
    }

    pub fn ledger(&self) -> PathBuf {
        self.folder.path().join("ledger.sqlite3")
    }

    pub fn book(&self) -> Book {
        Book::open(&self.ledger(), Opening::Existing, &machine(NOW)).unwrap()
    }

    pub fn send(&self, request: Request<Body>) -> Response<Body> {
        self.runtime.block_on(self.pages.clone().oneshot(request)).unwrap()
    }

    pub fn get(&self, path: &str, who: &str) -> Response<Body> {
        self.send(asks(Method::GET, path, who).body(Body::empty()).unwrap())
    }

    /// Sends a form with the CSRF token of whoever sends it.
    pub fn post(&self, path: &str, who: &str, form: &str) -> Response<Body> {
        let csrf_token = if who.is_empty() { String::new() } else { self.csrf_token(who) };
        let request = asks(Method::POST, path, who).header(header::CONTENT_TYPE, FORM);
        self.send(request.body(Body::from(format!("csrf_token={csrf_token}&{form}"))).unwrap())
    }

    /// The CSRF token that pages of a session carry.
    pub fn csrf_token(&self, who: &str) -> String {
        let page = self.text(self.get("/account", who));
        let (_, after) = page.split_once("name=\"csrf_token\" value=\"").unwrap();
        after.split_once('"').unwrap().0.to_owned()
    }

    pub fn text(&self, answer: Response<Body>) -> String {
        let bytes = self.runtime.block_on(axum::body::to_bytes(answer.into_body(), 10_000_000)).unwrap();
        String::from_utf8(bytes.to_vec()).unwrap()
    }
}

pub fn pages(ledger: &Path, now: &str, refusals: &Lines) -> Router {
    let book = Book::open(ledger, Opening::Existing, &machine(now)).unwrap();
    let app = App::open(ledger, machine(now)).unwrap().with_sign_in(SignIn::new(book).unwrap());
    heard(log::refusals(router(app)), refusals.log(now))
}

pub fn asks(method: Method, path: &str, who: &str) -> axum::http::request::Builder {
    let request = Request::builder().method(method).uri(path).header(header::HOST, HOST);
    let request = request.header("sec-fetch-site", "same-origin");
    if who.is_empty() {
        request
    } else {
        request.header(header::COOKIE, format!("a=b; __Host-session={who}"))
    }
}

/// Fields that forms ask for.
const FIELDS: &str = "text=x&key=x&reply=declined&active=yes&known_disease=no&signs=no&other=no";

/// What somebody gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Gets {
    /// The route answers: it shows, does, or says what is wrong with what was sent.
    Answered,
    /// Sent to where one signs in.
    SignIn,
    /// Told to sign in.
    Unsigned,
    /// Sent to what is their own.
    Own,
    /// It is another role's.
    Role,
    /// It is not there.
    Missing,
}

use Gets::{Answered as Yes, Missing as Gone, Own, Role, SignIn as In, Unsigned as Out};

/// A page of a coach for a client: whoever is not theirs is not there.
const PAGE: [Gets; 6] = [In, Role, Role, Gone, Yes, Yes];
/// The same for what a coach does.
const DEED: [Gets; 6] = [Out, Role, Role, Gone, Yes, Yes];
/// A page for every coach.
const COACHES: [Gets; 6] = [In, Role, Role, Yes, Yes, Yes];
const COACHES_DO: [Gets; 6] = [Out, Role, Role, Yes, Yes, Yes];
const READS_ALL: [Gets; 6] = COACHES_DO;
/// What a client sees of themselves.
const THEIRS: [Gets; 6] = [In, Yes, Gone, Gone, Yes, Yes];
const THEIRS_API: [Gets; 6] = [Out, Yes, Gone, Gone, Yes, Yes];
/// What everybody who is signed in gets.
const SIGNED: [Gets; 6] = [In, Yes, Yes, Yes, Yes, Yes];
const SIGNED_DO: [Gets; 6] = [Out, Yes, Yes, Yes, Yes, Yes];
const ANYBODY: [Gets; 6] = [Yes; 6];

/// Every route of the router: what anonymous, the client, another client, another coach, the coach and the owner get. A new route
/// gets a line here, and its role with its route in `web`.
const TABLE: &[(&str, &str, [Gets; 6])] = &[
    ("GET", "/", [In, Own, Own, Yes, Yes, Yes]),
    ("GET", "/clients/{id}", [In, Own, Own, Gone, Yes, Yes]),
    ("GET", "/login", ANYBODY),
    ("POST", "/login", [Out; 6]),
    ("POST", "/login/code", [Out; 6]),
    ("POST", "/logout", SIGNED_DO),
    ("GET", "/account", SIGNED),
    ("POST", "/account/end", SIGNED_DO),
    ("POST", "/account/password", SIGNED_DO),
    ("GET", "/account/codes", SIGNED),
    ("POST", "/account/codes", SIGNED_DO),
    ("POST", "/account/codes/new", SIGNED_DO),
    ("POST", "/account/codes/recovery", SIGNED_DO),
    ("POST", "/account/codes/off", SIGNED_DO),
    ("GET", "/record", [In, Role, Role, Role, Role, Yes]),
    ("GET", "/welcome/{link}", ANYBODY),
    ("POST", "/welcome/{link}", ANYBODY),
    ("GET", "/assets/{name}", [Gone; 6]),
    ("GET", "/worker.js", ANYBODY),
    ("GET", "/help", SIGNED),
    ("GET", "/exercises", SIGNED),
    ("GET", "/advice", COACHES),
    ("GET", "/audit", COACHES),
    ("POST", "/audit", COACHES_DO),
    ("GET", "/clients/new", COACHES),
    ("POST", "/clients/new", COACHES_DO),
    ("POST", "/clients/{id}/advice", DEED),
    ("POST", "/clients/{id}/pain/{report}", DEED),
    ("GET", "/clients/{id}/programme", THEIRS),
    ("GET", "/clients/{id}/programme.pdf", THEIRS),
    ("GET", "/clients/{id}/calendar.ics", THEIRS),
    ("GET", "/clients/{id}/sheet.pdf", PAGE),
    ("GET", "/clients/{id}/report.pdf", PAGE),
    ("POST", "/unit", ANYBODY),
    ("GET", "/api/v1/openapi.json", READS_ALL),
    ("GET", "/api/v1/roster", READS_ALL),
    ("GET", "/api/v1/clients/{id}", DEED),
    ("GET", "/api/v1/clients/{id}/programme", DEED),
    ("GET", "/api/v1/clients/{id}/review", DEED),
    ("GET", "/clients/{id}/floor", THEIRS),
    ("GET", "/clients/{id}/brief", PAGE),
    ("POST", "/clients/{id}/brief", DEED),
    ("POST", "/clients/{id}/screening", DEED),
    ("POST", "/clients/{id}/card", DEED),
    ("GET", "/clients/{id}/forget", PAGE),
    ("GET", "/clients/{id}/everything.json", THEIRS),
    ("POST", "/clients/{id}/forget", DEED),
    ("GET", "/clients/{id}/edit", PAGE),
    ("POST", "/clients/{id}/edit", DEED),
    ("GET", "/clients/{id}/edit/choose", PAGE),
    ("POST", "/clients/{id}/edit/solve", DEED),
    ("POST", "/clients/{id}/edit/hand-out", DEED),
    ("GET", "/clients/{id}/plan", PAGE),
    ("POST", "/clients/{id}/plan", DEED),
    ("GET", "/clients/{id}/making/{work}", PAGE),
    ("GET", "/clients/{id}/making/{work}/news", [Out, Role, Role, Gone, Yes, Yes]),
    ("POST", "/clients/{id}/making/{work}/stop", DEED),
    ("POST", "/clients/{id}/making/{work}/hand-out", DEED),
    ("GET", "/clients/{id}/log", PAGE),
    ("POST", "/clients/{id}/log", DEED),
    ("POST", "/clients/{id}/undo", DEED),
    ("GET", "/clients/{id}/sessions/{session}", PAGE),
    ("POST", "/clients/{id}/sets/{set}", DEED),
    ("GET", "/clients/{id}/review", PAGE),
    ("POST", "/api/v1/events", SIGNED_DO),
    ("GET", "/api/v1/clients/{id}/floor", THEIRS_API),
    ("GET", "/api/v1/clients/{id}/sessions/{session}", THEIRS_API),
];

const METHODS: [Method; 5] = [Method::GET, Method::POST, Method::PUT, Method::PATCH, Method::DELETE];

/// Every route with every method that it answers to, read from the router itself.
fn routes(router: &Router, gym: &Gym) -> Vec<(String, String)> {
    let shown = format!("{router:?}");
    let mut patterns: Vec<&str> =
        shown.split("RouteId(").filter_map(|part| part.split_once("): \"")?.1.split('"').next()).collect();
    // What answers where there is no page is no page.
    patterns.retain(|pattern| pattern.starts_with('/') && !pattern.contains("axum_fallback"));
    patterns.sort_unstable();
    patterns.dedup();
    assert!(patterns.len() > 20, "the router shows its routes no more: {shown}");
    let mut all = Vec::new();
    for pattern in patterns {
        for method in METHODS {
            let path = filled(pattern, gym);
            let request =
                Request::builder().method(method.clone()).uri(path).header(header::HOST, "localhost");
            let request = request.header("sec-fetch-site", "same-origin").body(Body::empty()).unwrap();
            let answer = gym.runtime.block_on(router.clone().oneshot(request)).unwrap();
            if answer.status() != StatusCode::METHOD_NOT_ALLOWED {
                all.push((method.to_string(), pattern.to_owned()));
            }
        }
    }
    all
}

/// A path of a route about Ida, and about things that are not there.
fn filled(pattern: &str, gym: &Gym) -> String {
    let nothing = "00000000-0000-7000-8000-000000000000";
    let parts = pattern.split('/').map(|part| match part {
        "{id}" => gym.ida.to_string(),
        part if part.starts_with('{') => nothing.to_owned(),
        part => part.to_owned(),
    });
    parts.collect::<Vec<_>>().join("/")
}

fn got(gym: &Gym, method: &str, pattern: &str, who: &str, wanted: Gets) -> Gets {
    let path = filled(pattern, gym);
    let answer = if method == "GET" {
        gym.get(&path, who)
    } else if path.starts_with("/api/") {
        let request = asks(Method::POST, &path, who).header(header::CONTENT_TYPE, "application/json");
        gym.send(request.body(Body::from("[]")).unwrap())
    } else if wanted == Yes && !matches!(pattern, "/logout" | "/welcome/{link}" | "/unit") {
        // That it gets as far as the form is enough: nothing need be planned here.
        let request = asks(Method::POST, &path, who).header(header::CONTENT_TYPE, "text/plain");
        gym.send(request.body(Body::from(format!("csrf_token={}", gym.csrf_token(who)))).unwrap())
    } else {
        gym.post(&path, who, &format!("name={who}-nobody&{FIELDS}"))
    };
    let to = answer.headers().get(header::LOCATION).map(|to| to.to_str().unwrap().to_owned());
    let own_id = if who == "bo" { gym.bo } else { gym.ida };
    let own = |page: &str| format!("/clients/{own_id}/{page}");
    match (answer.status(), to.as_deref()) {
        (StatusCode::SEE_OTHER, Some(to)) if to.starts_with("/login") && pattern != "/logout" => In,
        (StatusCode::SEE_OTHER, Some(to)) if to == own("floor") || to == own("programme") => Own,
        (StatusCode::UNAUTHORIZED, _) => Out,
        (StatusCode::FORBIDDEN, _) => {
            assert!(gym.text(answer).contains("SW080"), "{method} {pattern} for {who}");
            Role
        }
        // Of two things that are not there, whoever may see the client is told of the other.
        (StatusCode::NOT_FOUND, _) if !gym.text(answer).contains("SW049") && wanted == Yes => Yes,
        (StatusCode::NOT_FOUND, _) => Gone,
        _ => Yes,
    }
}

#[test]
fn every_route_answers_each_role_as_the_table_says() {
    let gym = Gym::new();
    // Asked with every method, and of another gym: some routes do what they are asked.
    let spare = Gym::new();
    let open = router(App::open(&spare.ledger(), machine(NOW)).unwrap());
    let mut wrong: Vec<String> = Vec::new();
    for (method, pattern) in routes(&open, &spare) {
        let Some((_, _, row)) = TABLE.iter().find(|(m, p, _)| *m == method && *p == pattern) else {
            wrong.push(format!("{method} {pattern} has no line in the table of this test"));
            continue;
        };
        for (who, wanted) in ASKING.into_iter().zip(*row) {
            let gets = got(&gym, &method, &pattern, who, wanted);
            if gets != wanted {
                wrong.push(format!("{method} {pattern} gives {who:?} {gets:?}, not {wanted:?}"));
            }
            if pattern == "/logout" && !who.is_empty() {
                let mut book = gym.book();
                let id = book.named(who).unwrap().id;
                begin(&mut book, id, who);
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let refusals = gym.refusals.all().join("\n");
    assert!(
        refusals.contains("refused status=403 code=SW080 method=GET page=/clients/{id}/edit"),
        "{refusals}"
    );
    for name in ["ida", "Ida", &gym.ida.to_string(), &gym.bo.to_string(), "gym.example"] {
        assert!(!refusals.contains(name), "{name} in {refusals}");
    }
}

/// The cookie that an answer sets.
pub fn cookie(answer: &Response<Body>) -> String {
    let set = answer.headers()[header::SET_COOKIE].to_str().unwrap().to_owned();
    for part in ["__Host-session=", "Path=/", "Secure", "HttpOnly", "SameSite=Lax"] {
        assert!(set.contains(part), "{part} in {set}");
    }
    let value = set.split(';').next().unwrap();
    value.strip_prefix("__Host-session=").unwrap().to_owned()
}

pub fn to(answer: &Response<Body>) -> &str {
    assert_eq!(answer.status(), StatusCode::SEE_OTHER);
    answer.headers()[header::LOCATION].to_str().unwrap()
}

const WORDS: &str = "password=four+plain+words+here&again=four+plain+words+here";

#[test]
fn a_link_chooses_a_password_once_and_it_opens_a_session_that_ends() {
    let gym = Gym::new();
    let mut book = gym.book();
    let ben = book.named("ben").unwrap();
    let link = format!("/welcome/{}", book.link(&ben, 72).unwrap());
    assert!(gym.text(gym.get(&link, "")).contains("Welcome, ben"));
    let short = gym.post(&link, "", "password=short&again=short");
    assert_eq!(short.status(), StatusCode::UNPROCESSABLE_ENTITY);
    assert!(gym.text(short).contains("15 to 128 letters"));
    let other = gym.post(&link, "", "password=four+plain+words+here&again=other+plain+words+here");
    assert_eq!(other.status(), StatusCode::UNPROCESSABLE_ENTITY);
    let common = gym.post(&link, "", "password=Password+ben+2026+Password&again=Password+ben+2026+Password");
    assert!(gym.text(common).contains("tried first"));
    assert_eq!(to(&gym.post(&link, "", WORDS)), "/login?after=set");
    assert_eq!(gym.post(&link, "", WORDS).status(), StatusCode::GONE);
    assert!(gym.text(gym.get(&link, "")).contains("SW078"));
    assert_eq!(to(&gym.get("/", "ben")), "/login", "a new password ends the sessions before it");

    let wrong = gym.post("/login", "", "name=ben&password=four+plain+words+there");
    assert_eq!(wrong.status(), StatusCode::UNAUTHORIZED);
    let (wrong, none) = (gym.text(wrong), gym.text(gym.post("/login", "", "name=nix&password=x")));
    assert_eq!(wrong.replace("ben", "nix"), none, "both answer alike");
    let right = "name=Ben&password=four+plain+words+here&to=%2Fclients%2Fnew";
    let entered = gym.post("/login", "", right);
    assert_eq!(to(&entered), "/clients/new");
    let session = cookie(&entered);
    assert!(session.len() == 64 && gym.text(gym.get("/", &session)).contains("Ida"));
    assert!(!gym.text(gym.get("/", &session)).contains("Zdenko"));

    // What is kept is no session by itself.
    assert_eq!(to(&gym.get("/", &digest(&session).to_string())), "/login");
    let later = pages(&gym.ledger(), "2026-12-04T09:00:01+01:00", &gym.refusals);
    let ask = asks(Method::GET, "/", &session).body(Body::empty()).unwrap();
    assert_eq!(
        to(&gym.runtime.block_on(later.clone().oneshot(ask)).unwrap()),
        "/login",
        "seven days without a request"
    );
    assert_eq!(to(&gym.post("/logout", &session, "")), "/login?after=out");
    assert_eq!(to(&gym.get("/", &session)), "/login");
}

#[test]
fn a_coach_who_adds_a_client_has_them_and_a_client_writes_only_their_own() {
    let gym = Gym::new();
    let form = "name=Eva&goal=general&training_age=beginner&sessions=2&minutes=45&cycle_days=7&days=1%2C4&place=full_gym&\
                age=34&mass_kg=70&active=yes&known_disease=no&signs=no&other=no";
    let making = to(&gym.post("/clients/new", "ben", form)).to_owned();
    let path = making.split_once("/making/").unwrap().0;
    assert_eq!(gym.get(path, "ben").status(), StatusCode::OK);
    assert_eq!(gym.get(path, "cy").status(), StatusCode::NOT_FOUND);
    assert_eq!(gym.get(&making, "cy").status(), StatusCode::NOT_FOUND);
    let note = |n: u8, client: ClientId| {
        serde_json::json!([{
            "id": format!("019ac000-0000-7000-8000-0000000000{n:02}"), "at": NOW, "client": client,
            "actor": { "role": "coach" }, "what": { "body_mass": { "mass": { "value": 71.0, "unit": "kg", "kg": 71.0 } } },
        }])
    };
    let send = |who: &str, body: String| {
        let request =
            asks(Method::POST, "/api/v1/events", who).header(header::CONTENT_TYPE, "application/json");
        gym.text(gym.send(request.body(Body::from(body)).unwrap()))
    };
    let own = send("ida", note(1, gym.ida).to_string());
    assert!(own.contains("\"created\""), "{own}");
    let other = send("ida", note(2, gym.bo).to_string());
    assert!(other.contains("\"rejected\"") && !other.contains("\"created\""), "{other}");
    let nobody = send("", note(3, gym.ida).to_string());
    assert!(nobody.contains("SW079"), "{nobody}");
}

#[test]
fn forms_of_another_session_and_of_other_sites_are_refused() {
    let gym = Gym::new();
    let form = |csrf_token: &str| Body::from(format!("csrf_token={csrf_token}&name=Ida&about=&away=no"));
    let card = format!("/clients/{}/card", gym.ida);
    let ask = || asks(Method::POST, &card, "ben").header(header::CONTENT_TYPE, FORM);
    for stale in ["", "0000", &gym.csrf_token("ada")] {
        let answer = gym.send(ask().body(form(stale)).unwrap());
        assert_eq!(answer.status(), StatusCode::FORBIDDEN);
        assert!(gym.text(answer).contains("SW082"), "{stale}");
    }
    let csrf_token = gym.csrf_token("ben");
    assert_eq!(gym.send(ask().body(form(&csrf_token)).unwrap()).status(), StatusCode::SEE_OTHER);
    let foreign = Request::post(&card)
        .header(header::HOST, HOST)
        .header(header::ORIGIN, "https://evil.example")
        .header(header::COOKIE, "__Host-session=ben")
        .header(header::CONTENT_TYPE, FORM);
    let answer = gym.send(foreign.body(form(&csrf_token)).unwrap());
    assert_eq!(answer.status(), StatusCode::FORBIDDEN);
    assert!(gym.text(answer).contains("SW073"));
    let login = Request::post("/login").header(header::HOST, HOST).header("sec-fetch-site", "cross-site");
    let answer = gym.send(login.header(header::CONTENT_TYPE, FORM).body(Body::from("name=ben")).unwrap());
    assert_eq!(answer.status(), StatusCode::FORBIDDEN);
    let huge = gym.send(ask().body(Body::from(vec![b'a'; 3_000_000])).unwrap());
    assert_eq!(huge.status(), StatusCode::PAYLOAD_TOO_LARGE);
}

#[test]
fn wrong_passwords_make_the_next_try_wait() {
    let gym = Gym::new();
    let try_it = || gym.post("/login", "", "name=ada&password=wrong");
    let free = (0..5).map(|_| try_it().status()).collect::<Vec<_>>();
    assert_eq!(free, [StatusCode::UNAUTHORIZED; 5]);
    // However slow the machine is, the waits soon grow longer than a try takes.
    let waits = (0..12).map(|_| try_it()).find(|answer| answer.status() == StatusCode::TOO_MANY_REQUESTS);
    let answer = waits.unwrap();
    assert!(answer.headers().contains_key(header::RETRY_AFTER));
    assert!(gym.text(answer).contains("SW081"));
    assert_eq!(gym.post("/login", "", "name=ben&password=wrong").status(), StatusCode::UNAUTHORIZED);
}

#[test]
fn a_shut_account_is_out_at_once_and_the_machine_itself_needs_none() {
    let gym = Gym::new();
    assert_eq!(gym.get("/", "ben").status(), StatusCode::OK);
    let mut book = gym.book();
    let ben = book.named("ben").unwrap();
    let trace = book.trace("");
    book.accounts.shut(ben.id, true, &trace).unwrap();
    assert_eq!(to(&gym.get("/", "ben")), "/login");
    let here = Pages::on(&gym.ledger());
    assert!(here.get("/").1.contains("Ida"));
    assert_eq!(here.get("/login").0, StatusCode::SEE_OTHER);
    assert!(!here.get("/help").1.contains("Sign out"));
}

#[test]
fn what_a_page_of_somebody_else_sends_is_taken_in_nobodys_name() {
    let gym = Gym::new();
    let mark = |who: &str| {
        let page = gym.text(gym.get("/help", who));
        page.split_once("data-account=\"").unwrap().1.split_once('"').unwrap().0.to_owned()
    };
    let (ben, cy) = (mark("ben"), mark("cy"));
    assert_ne!(ben, cy);
    assert!(!gym.text(gym.get("/login", "")).contains("data-account"));
    let send = |mark: &str| {
        let request =
            asks(Method::POST, "/api/v1/events", "ben").header(header::CONTENT_TYPE, "application/json");
        gym.send(request.header("x-account", mark).body(Body::from("[]")).unwrap()).status().as_u16()
    };
    assert_eq!([send(&ben), send(&cy), send("")], [200, 401, 401]);
}

#[test]
fn a_device_that_sends_too_much_is_told_to_wait_and_others_are_served() {
    let gym = Gym::new();
    let send = |who: &str, events: usize| {
        let request =
            asks(Method::POST, "/api/v1/events", who).header(header::CONTENT_TYPE, "application/json");
        let events = serde_json::to_string(&vec![serde_json::Value::Null; events]).unwrap();
        gym.send(request.body(Body::from(events)).unwrap())
    };
    // However slow the machine is, what goes at once is soon used up.
    let refused = (0..50).map(|_| send("ida", 500)).position(|answer| !answer.status().is_success());
    assert!(refused.is_some_and(|nth| nth >= 6), "three thousand go at once: {refused:?}");
    let answer = send("ida", 500);
    assert_eq!(answer.status(), StatusCode::TOO_MANY_REQUESTS);
    let wait_s: u64 = answer.headers()[header::RETRY_AFTER].to_str().unwrap().parse().unwrap();
    assert!((1..=10).contains(&wait_s), "{wait_s}");
    assert!(gym.text(answer).contains("SW095"));
    assert_eq!(send("ben", 500).status(), StatusCode::OK);
    assert_eq!(gym.get("/help", "ida").status(), StatusCode::OK);
}
