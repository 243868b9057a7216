//! What went wrong, as a page: code, what, why, what to do. Nothing of the machine is told.

use crate::page::frame::PageFrame;
use crate::page::units;
use axum::extract::Request;
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use maud::html;
use setwright_model::code::{Code, Kind};
use setwright_model::refusal::{self, Refusal};

/// The kind of a refusal that programs read (RFC 9457).
const PROBLEM: &str = "application/problem+json";

/// Why a page was not shown.
pub struct Fault {
    status: StatusCode,
    problems: Vec<Refusal>,
}

/// The status that a refusal of this kind is answered with.
pub const fn status(kind: Kind) -> StatusCode {
    match kind {
        Kind::Input => StatusCode::UNPROCESSABLE_ENTITY,
        Kind::Forbidden => StatusCode::FORBIDDEN,
        Kind::Missing => StatusCode::NOT_FOUND,
        Kind::Gone => StatusCode::GONE,
        Kind::SignIn => StatusCode::UNAUTHORIZED,
        Kind::TooOften => StatusCode::TOO_MANY_REQUESTS,
        Kind::Busy => StatusCode::SERVICE_UNAVAILABLE,
        Kind::NoRoom => StatusCode::INSUFFICIENT_STORAGE,
        Kind::Machine | Kind::Internal => StatusCode::INTERNAL_SERVER_ERROR,
    }
}

/// The status of the worst of these refusals.
pub fn status_of(refusals: &[Refusal]) -> StatusCode {
    status(refusal::kind(refusals))
}

/// What a page of refusal says, so that a program can be told the same.
#[derive(Clone, Debug)]
struct Said(Vec<Refusal>);

fn coded(mut answer: Response, code: Code) -> Response {
    answer.extensions_mut().insert(code);
    answer
}

impl Fault {
    /// The code of the first of its refusals.
    pub fn code(&self) -> Code {
        self.problems.first().map_or(Code::RequestRefused, |p| p.code)
    }

    /// A mistake of the program.
    pub fn internal() -> Self {
        let what = "A mistake of the program ended this page.";
        let problem =
            Refusal::new(Code::Internal, what, "Go back and try again; nothing that was kept is lost.");
        Self::from(problem)
    }

    /// A request that is refused before anything is done, by a rule of HTTP that has a status of its own.
    pub fn refused(status: StatusCode, what: &str, hint: &str) -> Self {
        Self { status, problems: vec![Refusal::new(Code::RequestRefused, what, hint)] }
    }

    /// A refusal with a code of its own, and the status of its kind.
    pub fn of(code: Code, what: &str, hint: &str) -> Self {
        Self::from(Refusal::new(code, what, hint))
    }
}

impl From<Refusal> for Fault {
    fn from(problem: Refusal) -> Self {
        Self::from(vec![problem])
    }
}

impl From<Vec<Refusal>> for Fault {
    fn from(problems: Vec<Refusal>) -> Self {
        let status = status_of(&problems);
        Self { status, problems }
    }
}

impl Fault {
    /// The refusal as a page in a frame.
    pub fn page(self, frame: PageFrame) -> Response {
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
pub fn framed(answer: Response, frame: PageFrame) -> Response {
    let is_worded = answer.headers().contains_key(header::CONTENT_TYPE);
    match answer.extensions().get::<Said>().cloned() {
        Some(Said(problems)) if !is_worded => Fault { status: answer.status(), problems }.page(frame),
        _ => answer,
    }
}

/// Why a program that asked got no answer: problem details as of RFC 9457, with our code and hint.
pub struct ApiFault {
    fault: Fault,
    wait_s: Option<u64>,
}

impl ApiFault {
    /// It may be asked again after so many seconds.
    pub fn later(fault: Fault, wait_s: u64) -> Self {
        Self { fault, wait_s: Some(wait_s) }
    }
}

impl<T: Into<Fault>> From<T> for ApiFault {
    fn from(fault: T) -> Self {
        Self { fault: fault.into(), wait_s: None }
    }
}

impl IntoResponse for ApiFault {
    fn into_response(self) -> Response {
        let code = self.fault.code();
        let Fault { status, problems } = self.fault;
        let first = problems.first();
        let body = serde_json::json!({
            "status": status.as_u16(),
            "title": first.map_or("", |p| p.why()),
            "detail": problems.iter().map(|p| p.what.as_str()).collect::<Vec<_>>().join(" "),
            "code": first.map(|p| p.code),
            "hint": first.map(|p| p.hint.as_str()),
        });
        let mut answer = (status, [(header::CONTENT_TYPE, PROBLEM)], body.to_string()).into_response();
        if let Some(wait_s) = self.wait_s {
            answer.headers_mut().insert(header::RETRY_AFTER, wait_s.into());
        }
        coded(answer, code)
    }
}

/// Every refusal is told clearly, also those that are made before a page is reached: a form or a path that cannot be read, a
/// body that is too large. Programs get theirs as JSON.
pub async fn clear(request: Request, next: Next) -> Response {
    let of_programs = request.uri().path().starts_with("/api/");
    let frame = PageFrame::nobody(units::of(request.headers()));
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
    let mut told = if of_programs { ApiFault::from(fault).into_response() } else { fault.page(frame) };
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
pub fn mark(answer: &mut Response, code: Code) {
    answer.extensions_mut().insert(code);
}

/// One problem: what, why, what to do.
pub fn sentence(problem: &Refusal) -> maud::Markup {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_the_askers_fault_is_not_answered_as_if_it_were() {
        let of = |code| Fault::from(Refusal::new(code, "", "")).into_response().status().as_u16();
        assert_eq!(of(Code::UnknownField), 422);
        assert_eq!(of(Code::LedgerBusy), 503);
        assert_eq!(of(Code::LedgerFull), 507);
        assert_eq!(of(Code::LedgerNotWritable), 500);
        assert_eq!(of(Code::Internal), 500);
    }

    #[test]
    fn of_several_refusals_the_worst_is_answered_for() {
        let both = [Code::OutOfRange, Code::LedgerFull].map(|code| Refusal::new(code, "", ""));
        assert_eq!(Fault::from(both.to_vec()).into_response().status().as_u16(), 507);
    }
}
