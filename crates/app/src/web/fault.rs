//! What went wrong, as a page: code, what, why, what to do. Nothing of the machine is told.

use super::layout;
use crate::files::Problem;
use crate::files::problem;
use axum::extract::Request;
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use maud::html;

/// The kind of a refusal that programs read (RFC 9457).
const PROBLEM: &str = "application/problem+json";

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
        Self { status, problems: vec![Problem::new(problem::REQUEST_REFUSED, what, hint)] }
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
        let status = if missing { StatusCode::NOT_FOUND } else { StatusCode::UNPROCESSABLE_ENTITY };
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
        (self.status, page).into_response()
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
        (status, [(header::CONTENT_TYPE, PROBLEM)], body.to_string()).into_response()
    }
}

/// Programs get every refusal as JSON, also those that are made before a page is reached: a path that cannot be read, a method
/// that is not answered.
pub async fn for_programs(request: Request, next: Next) -> Response {
    let of_programs = request.uri().path().starts_with("/api/");
    let answer = next.run(request).await;
    let status = answer.status();
    let told = answer.headers().get(header::CONTENT_TYPE).is_some_and(|t| t == PROBLEM);
    if !of_programs || told || !(status.is_client_error() || status.is_server_error()) {
        return answer;
    }
    let (what, hint) = match status {
        StatusCode::NOT_FOUND => ("There is nothing here.", "GET /api/v1/openapi.json says what can be asked."),
        StatusCode::METHOD_NOT_ALLOWED => {
            ("This does not answer to that method.", "GET /api/v1/openapi.json says what can be asked.")
        }
        status if status.is_server_error() => ("A mistake of the program ended this.", "Try again in a moment."),
        _ => ("This request cannot be read.", "GET /api/v1/openapi.json says what can be asked."),
    };
    let mut told = ApiFault(Fault::refused(status, what, hint)).into_response();
    for (name, value) in answer.headers().iter().filter(|(name, _)| **name == header::ALLOW) {
        told.headers_mut().insert(name, value.clone());
    }
    told
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
