//! Keeps strangers out. Without accounts pages are for this machine: a request that names another host, or that another site's page sends, is
//! refused; a page may load nothing from elsewhere and run no code but its own files.

use crate::app::App;
use crate::page::fault::Fault;
use crate::page::frame::PageFrame;
use crate::page::units;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::Response;

const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; \
                      font-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; \
                      frame-ancestors 'none'";

/// For half a year a browser asks for these pages by safe connections alone: RFC 6797 (M); how long is judgement. Other names under this
/// one are not ours to promise for.
const ONLY_SAFE: &str = "max-age=15552000";

/// Lets a request through, and puts the rules of the page on the answer.
pub async fn keep(State(app): State<App>, request: Request, next: Next) -> Response {
    let mut answer = match refusal(request.method(), request.headers(), app.sign_in().is_none()) {
        Some(fault) => fault.page(PageFrame::nobody(units::of(request.headers()))),
        None => next.run(request).await,
    };
    let rules: [(HeaderName, &'static str); 5] = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "same-origin"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    ];
    for (name, rule) in rules {
        answer.headers_mut().insert(name, HeaderValue::from_static(rule));
    }
    if app.sign_in().is_some() {
        answer.headers_mut().insert(header::STRICT_TRANSPORT_SECURITY, HeaderValue::from_static(ONLY_SAFE));
    }
    if !answer.headers().contains_key(header::CACHE_CONTROL) {
        answer.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    answer
}

fn refusal(method: &Method, headers: &HeaderMap, only_here: bool) -> Option<Fault> {
    let host = headers.get(header::HOST).and_then(|h| h.to_str().ok()).unwrap_or_default();
    if host.is_empty() || only_here && !is_this_machine(host) {
        // A foreign name that was made to point here (DNS rebinding) would let a foreign page read everything.
        return Some(Fault::refused(
            StatusCode::MISDIRECTED_REQUEST,
            "These pages answer on this machine alone.",
            "Open them as http://localhost.",
        ));
    }
    let writes = !matches!(*method, Method::GET | Method::HEAD | Method::OPTIONS);
    (writes && !is_own(headers, host)).then(|| {
        Fault::refused(
            StatusCode::FORBIDDEN,
            "This came from another site, and nothing was done.",
            "Open the page here and press the button again.",
        )
    })
}

fn is_this_machine(host: &str) -> bool {
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    matches!(name, "localhost" | "127.0.0.1" | "[::1]")
}

/// Whether a browser says that the request comes from one of our pages. A browser that says nothing at all is too old for
/// the pages; a program that is no browser has no pages open that could be misused.
fn is_own(headers: &HeaderMap, host: &str) -> bool {
    let text = |name: &str| headers.get(name).and_then(|h| h.to_str().ok());
    if let Some(site) = text("sec-fetch-site") {
        return matches!(site, "same-origin" | "none");
    }
    match text("origin") {
        Some(origin) => origin.split_once("://").is_some_and(|(_, from)| from == host),
        None => text("referer").is_none(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
        pairs.iter().map(|(k, v)| (HeaderName::from_static(k), HeaderValue::from_static(v))).collect()
    }

    #[test]
    fn other_hosts_and_other_sites_are_refused() {
        let ok = |method: Method, pairs: &[_]| refusal(&method, &headers(pairs), true).is_none();
        assert!(ok(Method::GET, &[("host", "localhost:8080")]));
        assert!(ok(Method::GET, &[("host", "127.0.0.1:8080")]));
        assert!(!ok(Method::GET, &[("host", "evil.example:8080")]));
        assert!(!ok(Method::GET, &[]));
        assert!(ok(Method::POST, &[("host", "localhost"), ("sec-fetch-site", "same-origin")]));
        assert!(!ok(Method::POST, &[("host", "localhost"), ("sec-fetch-site", "cross-site")]));
        assert!(!ok(Method::POST, &[("host", "localhost"), ("sec-fetch-site", "same-site")]));
        assert!(ok(Method::POST, &[("host", "localhost:1"), ("origin", "http://localhost:1")]));
        assert!(!ok(Method::POST, &[("host", "localhost:1"), ("origin", "http://localhost:2")]));
        assert!(!ok(Method::POST, &[("host", "localhost:1"), ("origin", "null")]));
        let network = |method: Method, pairs: &[_]| refusal(&method, &headers(pairs), false).is_none();
        assert!(network(Method::GET, &[("host", "gym.example")]));
        assert!(!network(Method::GET, &[]));
        assert!(!network(Method::POST, &[("host", "gym.example"), ("origin", "https://evil.example")]));
    }
}
