//! What went wrong, as a page: code, what, why, what to do. Nothing of the machine is told.

use super::layout;
use crate::files::Problem;
use crate::files::problem;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use maud::html;

/// Why a page was not shown.
pub struct Fault {
    status: StatusCode,
    problems: Vec<Problem>,
}

impl Fault {
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

impl IntoResponse for Fault {
    fn into_response(self) -> Response {
        let page = layout::page(
            "Not done",
            None,
            &html! {
                h1 { "That was not done" }
                @for problem in &self.problems { (sentence(problem)) }
                p { a href="/" { "Back to the roster" } }
            },
        );
        let mut answer = (self.status, page).into_response();
        mark(&mut answer, self.problems.first().map_or("", |p| p.code));
        answer
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
        let Fault { status, problems } = self.0;
        let first = problems.first();
        let body = serde_json::json!({
            "status": status.as_u16(),
            "title": first.map_or("", |p| p.why()),
            "detail": problems.iter().map(|p| p.what.as_str()).collect::<Vec<_>>().join(" "),
            "code": first.map(|p| p.code),
            "hint": first.map(|p| p.hint.as_str()),
        });
        let kind = [(header::CONTENT_TYPE, "application/problem+json")];
        let mut answer = (status, kind, body.to_string()).into_response();
        mark(&mut answer, first.map_or("", |p| p.code));
        answer
    }
}

/// The code of an answer that refuses, for whoever keeps a log.
#[derive(Clone, Copy, Debug)]
pub struct Code(pub &'static str);

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
