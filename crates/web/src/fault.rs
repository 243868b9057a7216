//! What went wrong, as a page: code, what, why, what to do. Nothing of the machine is told.

use crate::frame::Frame;
use crate::units;
use axum::extract::Request;
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use maud::html;
use setwright_formats::{Problem, problem};

/// The kind of a refusal that programs read (RFC 9457).
const PROBLEM: &str = "application/problem+json";

/// Why a page was not shown.
pub struct Fault {
    status: StatusCode,
    problems: Vec<Problem>,
}

/// The code of a refusal, for whoever keeps watch.
#[derive(Clone, Copy, Debug)]
pub struct Code(pub &'static str);

/// What a page of refusal says, so that a program can be told the same.
#[derive(Clone, Debug)]
struct Said(Vec<Problem>);

fn coded(mut answer: Response, code: Code) -> Response {
    answer.extensions_mut().insert(code);
    answer
}

impl Fault {
    fn code(&self) -> Code {
        Code(self.problems.first().map_or(problem::REQUEST_REFUSED, |p| p.code))
    }

    /// A mistake of the program.
    pub fn internal() -> Self {
        let what = "A mistake of the program ended this page.";
        let problem =
            Problem::new(problem::INTERNAL, what, "Go back and try again; nothing that was kept is lost.");
        Self { status: StatusCode::INTERNAL_SERVER_ERROR, problems: vec![problem] }
    }

    /// A request that is refused before anything is done.
    pub fn refused(status: StatusCode, what: &str, hint: &str) -> Self {
        Self::of(status, problem::REQUEST_REFUSED, what, hint)
    }

    /// A refusal with a code of its own.
    pub fn of(status: StatusCode, code: &'static str, what: &str, hint: &str) -> Self {
        Self { status, problems: vec![Problem::new(code, what, hint)] }
    }
}

impl From<Problem> for Fault {
    fn from(problem: Problem) -> Self {
        Self::from(vec![problem])
    }
}

impl From<Vec<Problem>> for Fault {
    fn from(problems: Vec<Problem>) -> Self {
        let missing =
            problems.iter().any(|p| p.code == problem::NO_SUCH_CLIENT || p.code == problem::NO_MATCH);
        let role = problems.iter().any(|p| p.code == problem::NOT_FOR_THIS_ROLE);
        let status = match (missing, role) {
            (true, _) => StatusCode::NOT_FOUND,
            (false, true) => StatusCode::FORBIDDEN,
            (false, false) => StatusCode::UNPROCESSABLE_ENTITY,
        };
        Self { status, problems }
    }
}

impl Fault {
    /// The refusal as a page in a frame.
    pub fn page(self, frame: Frame) -> Response {
        let page = frame.page(
            "Not done",
            None,
            &html! {
                h1 { "That was not done" }
                @for problem in &self.problems { (sentence(problem)) }
                p { a href="/" { "Back to the roster" } }
            },
        );
        let code = self.code();
        let mut answer = coded((self.status, page).into_response(), code);
        answer.extensions_mut().insert(Said(self.problems));
        answer
    }
}

/// Without its words yet: [`framed`] and [`clear`] know for whom it is.
impl IntoResponse for Fault {
    fn into_response(self) -> Response {
        let code = self.code();
        let mut answer = coded(self.status.into_response(), code);
        answer.extensions_mut().insert(Said(self.problems));
        answer
    }
}

/// A refusal that is not in words yet becomes a page in this frame; everything else stays.
pub fn framed(answer: Response, frame: Frame) -> Response {
    let is_worded = answer.headers().contains_key(header::CONTENT_TYPE);
    match answer.extensions().get::<Said>().cloned() {
        Some(Said(problems)) if !is_worded => Fault { status: answer.status(), problems }.page(frame),
        _ => answer,
    }
}

/// Why a program that asked got no answer: problem details as of RFC 9457, with our code and hint.
pub struct ApiFault(Fault);

impl<T: Into<Fault>> From<T> for ApiFault {
    fn from(fault: T) -> Self {
        Self(fault.into())
    }
}

impl IntoResponse for ApiFault {
    fn into_response(self) -> Response {
        let code = self.0.code();
        let Fault { status, problems } = self.0;
        let first = problems.first();
        let body = serde_json::json!({
            "status": status.as_u16(),
            "title": first.map_or("", |p| p.why()),
            "detail": problems.iter().map(|p| p.what.as_str()).collect::<Vec<_>>().join(" "),
            "code": first.map(|p| p.code),
            "hint": first.map(|p| p.hint.as_str()),
        });
        let answer = (status, [(header::CONTENT_TYPE, PROBLEM)], body.to_string()).into_response();
        coded(answer, code)
    }
}

/// Every refusal is told clearly, also those that are made before a page is reached: a form or a path that cannot be read, a
/// body that is too large. Programs get theirs as JSON.
pub async fn clear(request: Request, next: Next) -> Response {
    let of_programs = request.uri().path().starts_with("/api/");
    let frame = Frame::nobody(units::of(request.headers()));
    let answer = next.run(request).await;
    let status = answer.status();
    // A page is ours, a form that came back with what was typed among them.
    let kind =
        answer.headers().get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    let told = if of_programs { kind == PROBLEM } else { kind.starts_with("text/html") };
    if told || !(status.is_client_error() || status.is_server_error()) {
        return answer;
    }
    let fault = if let Some(said) = answer.extensions().get::<Said>() {
        Fault { status, problems: said.0.clone() }
    } else {
        let (what, hint) = in_words(status, of_programs);
        Fault::refused(status, what, hint)
    };
    let mut told = if of_programs { ApiFault(fault).into_response() } else { fault.page(frame) };
    for (name, value) in answer.headers().iter().filter(|(name, _)| **name == header::ALLOW) {
        told.headers_mut().insert(name, value.clone());
    }
    told
}

fn in_words(status: StatusCode, of_programs: bool) -> (&'static str, &'static str) {
    match status {
        StatusCode::NOT_FOUND if of_programs => {
            ("There is nothing here.", "GET /api/v1/openapi.json says what can be asked.")
        }
        StatusCode::NOT_FOUND => ("There is no such page.", "The roster is the way in."),
        StatusCode::PAYLOAD_TOO_LARGE => {
            ("That is more than one request may bring.", "Send it in smaller parts.")
        }
        StatusCode::REQUEST_TIMEOUT | StatusCode::SERVICE_UNAVAILABLE => {
            ("This took too long, and was given up.", "Nothing that was kept is lost. Try again in a moment.")
        }
        status if status.is_server_error() => {
            ("A mistake of the program ended this.", "Nothing that was kept is lost. Try again in a moment.")
        }
        _ if of_programs => {
            ("This request cannot be read.", "GET /api/v1/openapi.json says what can be asked.")
        }
        _ => (
            "What was sent cannot be read, and nothing was done.",
            "Go back, load the page again and use its form.",
        ),
    }
}

/// Writes the code beside an answer.
pub fn mark(answer: &mut Response, code: &'static str) {
    answer.extensions_mut().insert(Code(code));
}

/// One problem: what, why, what to do.
pub fn sentence(problem: &Problem) -> maud::Markup {
    html! {
        div class="fault" {
            p { strong { (problem.what) } " " (problem.hint) }
            p class="soft" { (problem.code) ": " (problem.why()) }
        }
    }
}

/// There is no such page.
pub async fn not_found() -> Fault {
    Fault::refused(StatusCode::NOT_FOUND, "There is no such page.", "The roster is the way in.")
}

/// A page that is asked for in a way it does not answer.
pub async fn not_allowed() -> Fault {
    Fault::refused(
        StatusCode::METHOD_NOT_ALLOWED,
        "This page does not answer to that.",
        "Go back and use its buttons.",
    )
}
