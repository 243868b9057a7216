//! What should not be sent: broken forms, huge bodies, paths that climb, clients that never finish. Each is refused with a clear
//! answer, and told in a line without names.

use super::heard::{Lines, heard};
use super::pages::{Pages, open, watch};
use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use setwright_model::Seconds;
use setwright_web::timeouts::{ConnectionTimeouts, TimeoutLimits};
use setwright_web::{App, log, router};
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::time::Duration;
use tempfile::TempDir;
use tokio::net::TcpListener;
use tracing::dispatcher::with_default;

const NOW: &str = "2026-11-27T09:00:00+01:00";

/// A gym whose refusals are written down.
struct Gym {
    _folder: TempDir,
    pages: Pages,
    lines: Lines,
}

impl Gym {
    fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let lines = Lines::default();
        let pages = log::refusals(router(open(&folder.path().join("ledger.sqlite3"))));
        let pages = heard(pages, lines.log(NOW));
        Self { _folder: folder, pages: Pages::through(pages), lines }
    }

    /// Status and text of a request, and the line that was told of it.
    fn ask(
        &self,
        method: &str,
        path: &str,
        kind: &str,
        body: impl Into<Body>,
    ) -> (StatusCode, String, String) {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::HOST, "localhost")
            .header("sec-fetch-site", "same-origin")
            .header(header::CONTENT_TYPE, kind);
        let (status, text) = self.pages.read(self.pages.send(request.body(body.into()).unwrap()));
        (status, text, self.lines.last())
    }
}

const FORM: &str = "application/x-www-form-urlencoded";

#[test]
fn broken_forms_are_refused_in_our_words() {
    let gym = Gym::new();
    for (kind, body) in
        [(FORM, "reply"), (FORM, "%%%=%ff"), ("text/plain", "key=a"), ("application/json", "{")]
    {
        let (status, text, line) = gym.ask("POST", "/clients/Secretname/advice", kind, body);
        assert!(status.is_client_error(), "{status} {text}");
        assert!(text.contains("That was not done") && text.contains("SW0"), "{kind} {body}: {text}");
        assert!(
            line.contains("method=POST page=/clients/{id}/advice") && !line.contains("Secretname"),
            "{line}"
        );
    }
}

#[test]
fn huge_bodies_are_refused_before_they_are_read_whole() {
    let gym = Gym::new();
    let huge = "a=".to_owned() + &"x".repeat(3 * 1024 * 1024);
    let (status, text, line) = gym.ask("POST", "/clients/new", FORM, huge.clone());
    assert_eq!(status, StatusCode::PAYLOAD_TOO_LARGE, "{text}");
    assert!(text.contains("more than one request may bring"), "{text}");
    let wanted =
        "2026-11-27T09:00:00+01:00  INFO request refused status=413 code=SW073 method=POST page=/clients/new";
    assert_eq!(line, wanted);
    let (status, text, _) = gym.ask("POST", "/api/v1/events", "application/json", huge);
    assert_eq!(status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(text.starts_with('{') && text.contains("\"code\":\"SW0"), "{text}");
}

#[test]
fn paths_that_climb_lead_nowhere() {
    let gym = Gym::new();
    let paths = [
        "/assets/../../etc/passwd",
        "/assets/..%2f..%2fetc%2fpasswd",
        "/clients/..%2f..%2fetc%2fpasswd",
        "/clients/%00",
        "/clients/%ff%fe",
        "//etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/clients/a%0d%0aSet-Cookie:x/programme",
        "/api/v1/clients/%ff/floor",
    ];
    for path in paths {
        let (status, text, line) = gym.ask("GET", path, "text/plain", "");
        assert!(matches!(status.as_u16(), 400 | 404), "{path}: {status}");
        assert!(!text.contains("root:") && text.contains("SW0"), "{path}: {text}");
        assert!(
            line.contains("refused status=40") && !line.contains("passwd") && !line.contains("Cookie"),
            "{line}"
        );
    }
    let (status, _, line) = gym.ask("GET", &format!("/clients/{}", "x".repeat(20_000)), "text/plain", "");
    assert_eq!(status, StatusCode::NOT_FOUND);
    let said = line.strip_prefix(NOW).expect("the moment stands first");
    assert!(said.len() < 120, "{line}");
}

#[test]
fn foreign_origins_and_unknown_methods_are_told_without_what_was_sent() {
    let gym = Gym::new();
    let request = Request::post("/clients/Secretname/advice")
        .header(header::HOST, "localhost")
        .header(header::ORIGIN, "https://evil.example")
        .header(header::CONTENT_TYPE, FORM);
    let answer = gym.pages.send(request.body(Body::from("reply=accepted")).unwrap());
    assert_eq!(answer.status(), StatusCode::FORBIDDEN);
    let line = gym.lines.last();
    let wanted = "2026-11-27T09:00:00+01:00  INFO request refused status=403 code=SW073 method=POST page=/clients/{id}/advice";
    assert_eq!(line, wanted);
    let (status, _, line) = gym.ask("SECRETNAME", "/", "text/plain", "");
    assert_eq!(status, StatusCode::METHOD_NOT_ALLOWED);
    assert!(line.contains("method=other page=/") && !line.contains("SECRETNAME"), "{line}");
}

/// The pages on a port of this machine, with timeouts this short. What is held ends in the right order.
fn served(limit: Duration) -> (TempDir, App, tokio::runtime::Runtime, SocketAddr, Lines) {
    let folder = TempDir::new().unwrap();
    let app = open(&folder.path().join("ledger.sqlite3"));
    let pages = router(app.clone());
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
    let lines = Lines::default();
    let listener = runtime.block_on(TcpListener::bind("127.0.0.1:0")).unwrap();
    let at = listener.local_addr().unwrap();
    let limits = TimeoutLimits { head: limit, answer: limit, idle: Duration::from_mins(1) };
    let listener = with_default(&lines.log(NOW), || ConnectionTimeouts::new(listener, limits));
    runtime.spawn(async move { axum::serve(listener, pages).await });
    (folder, app, runtime, at, lines)
}

/// Writes a piece every so often until the other side ends it; how long that took.
fn drip(at: SocketAddr, head: &str) -> Seconds {
    let mut stream = TcpStream::connect(at).unwrap();
    stream.set_read_timeout(Some(Duration::from_millis(50))).unwrap();
    let watch = watch();
    stream.write_all(head.as_bytes()).unwrap();
    while !watch.is_past(Seconds(20.0)) {
        let mut byte = [0; 256];
        match stream.read(&mut byte) {
            Ok(0) => break,
            Err(e) if !matches!(e.kind(), std::io::ErrorKind::WouldBlock | std::io::ErrorKind::TimedOut) => {
                break;
            }
            _ => {}
        }
        if stream.write_all(b"a").is_err() {
            break;
        }
    }
    watch.elapsed()
}

#[test]
fn who_never_finishes_a_request_is_cut_and_others_are_served() {
    let (_folder, _app, _runtime, at, lines) = served(Duration::from_secs(2));
    let slow_head = drip(at, "GET / HTTP/1.1\r\nHost: localhost\r\nX-Slow: ");
    assert!(slow_head.get() < 15.0, "{slow_head:?}");
    let form = format!("Host: localhost\r\nContent-Type: {FORM}\r\nContent-Length: 100000");
    let slow_body = drip(at, &format!("POST /clients/new HTTP/1.1\r\n{form}\r\n\r\nname="));
    assert!(slow_body.get() < 15.0, "{slow_body:?}");
    let cut = |why: &str| format!("{NOW}  INFO connection cut why={why}");
    assert_eq!(
        lines.all(),
        ["the head of a request took too long", "a request took too long to arrive or to be answered"]
            .map(cut)
    );
    let mut stream = TcpStream::connect(at).unwrap();
    stream.write_all(b"GET /help HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n").unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
}
