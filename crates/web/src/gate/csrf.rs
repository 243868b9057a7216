//! The CSRF token of a form: a mark that follows from the session and nothing else. Every page that leaves gets it into its forms, and a
//! form that comes back without it, or with that of another session, is refused.

use crate::page::fault::Fault;
use axum::body::{Body, to_bytes};
use axum::extract::Request;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::Response;
use setwright_coaching::people::secrets::same;
use setwright_model::code::Code;
use setwright_store::sha256;

/// The field of a form, and in small letters the end of a header that programs may send instead.
const FIELD: &str = "csrf_token";
const HEADER: &str = "x-csrf-token";
/// Most bytes of a page (judgement: the largest is under one million).
const PAGE_MOST: usize = 64 * 1024 * 1024;

/// The CSRF token of a session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsrfToken(String);

impl CsrfToken {
    /// The token that goes with a session.
    pub fn of(session: &str) -> Self {
        Self(sha256(&[b"setwright csrf token of ", session.as_bytes()]).to_string())
    }
}

/// Lets a request through that carries the token. JSON needs none: a page of another site cannot send it without asking first,
/// and is then refused.
pub async fn checked(request: Request, token: &CsrfToken, most: usize) -> Result<Request, Fault> {
    let kind = text(request.headers(), "content-type").to_owned();
    if kind.starts_with("application/json") || same(text(request.headers(), HEADER), &token.0) {
        return Ok(request);
    }
    let (parts, body) = request.into_parts();
    let Ok(bytes) = to_bytes(body, most).await else {
        let status = StatusCode::PAYLOAD_TOO_LARGE;
        return Err(Fault::refused(status, "That is too much at once.", "Send less, or in parts."));
    };
    if !carries(&bytes, kind.starts_with("multipart/"), &token.0) {
        return Err(Fault::of(
            Code::StaleForm,
            "This form is from before you signed in, and nothing was done.",
            "Load the page again, and send it from there.",
        ));
    }
    Ok(Request::from_parts(parts, Body::from(bytes)))
}

fn text<'h>(headers: &'h HeaderMap, name: &str) -> &'h str {
    headers.get(name).and_then(|h| h.to_str().ok()).unwrap_or_default()
}

fn carries(body: &[u8], in_parts: bool, token: &str) -> bool {
    if in_parts {
        let wanted = format!("name=\"{FIELD}\"\r\n\r\n{token}\r\n");
        return body.windows(wanted.len()).any(|window| window == wanted.as_bytes());
    }
    let body = String::from_utf8_lossy(body);
    let mut given = body.split('&').filter_map(|pair| pair.strip_prefix("csrf_token="));
    given.next().is_some_and(|given| same(given, token))
}

/// Puts the token into the forms of a page.
pub async fn put(answer: Response, token: &CsrfToken) -> Response {
    if !text(answer.headers(), "content-type").starts_with("text/html") {
        return answer;
    }
    let (mut parts, body) = answer.into_parts();
    let Ok(bytes) = to_bytes(body, PAGE_MOST).await else {
        return axum::response::IntoResponse::into_response(Fault::internal());
    };
    parts.headers.remove(header::CONTENT_LENGTH);
    let page = with_token(&String::from_utf8_lossy(&bytes), &token.0);
    Response::from_parts(parts, Body::from(page))
}

/// Pages are made by code that escapes what people wrote, so a form is a form.
fn with_token(page: &str, token: &str) -> String {
    let mut pieces = page.split("<form");
    let mut out = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        out.push_str("<form");
        match piece.split_once('>') {
            Some((tag, rest)) if tag.contains("method=\"post\"") => {
                out.push_str(tag);
                out.push_str("><input type=\"hidden\" name=\"csrf_token\" value=\"");
                out.push_str(token);
                out.push_str("\">");
                out.push_str(rest);
            }
            _ => out.push_str(piece),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_that_write_carry_the_token_and_others_do_not() {
        let page = "<p>a<form method=\"post\" class=\"x\"><b></b></form><form method=\"get\"></form>";
        let field = "<input type=\"hidden\" name=\"csrf_token\" value=\"5ea1\">";
        let with = format!(
            "<p>a<form method=\"post\" class=\"x\">{field}<b></b></form><form method=\"get\"></form>"
        );
        assert_eq!(with_token(page, "5ea1"), with);
    }

    #[test]
    fn a_form_carries_its_own_token_or_is_refused() {
        assert!(carries(b"a=1&csrf_token=5ea1&b=2", false, "5ea1"));
        assert!(carries(b"--x\r\nc: d; name=\"csrf_token\"\r\n\r\n5ea1\r\n--x--", true, "5ea1"));
        for wrong in [
            &b"a=1"[..],
            b"csrf_token=5ea",
            b"csrf_token=5ea12",
            b"xcsrf_token=5ea1",
            b"csrf_token=0000&csrf_token=5ea1",
            b"",
        ] {
            assert!(!carries(wrong, false, "5ea1"), "{wrong:?}");
        }
        assert_ne!(CsrfToken::of("one"), CsrfToken::of("other"));
    }
}
