//! Kilograms or pounds: a choice of the browser, kept in a cookie of its own.

use crate::http::routes::{ANYBODY, Pages};
use axum::extract::Form;
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use setwright_model::MassUnit;

const COOKIE: &str = "unit";
/// How long a browser keeps the choice: a year.
const KEPT_S: u32 = 31_536_000;

/// The route of the choice.
pub fn routes<S: Clone + Send + Sync + 'static>() -> Pages<S> {
    Pages::new().post(ANYBODY, "/unit", choose)
}

/// What the browser asked for.
pub fn of(headers: &HeaderMap) -> MassUnit {
    let cookies = headers.get_all(header::COOKIE).iter().filter_map(|h| h.to_str().ok());
    let mut pairs = cookies.flat_map(|all| all.split(';')).filter_map(|one| one.trim().split_once('='));
    pairs.find(|(name, _)| *name == COOKIE).and_then(|(_, unit)| MassUnit::of(unit)).unwrap_or_default()
}

#[derive(Deserialize)]
struct Choice {
    unit: String,
}

async fn choose(headers: HeaderMap, Form(choice): Form<Choice>) -> Response {
    let unit = MassUnit::of(&choice.unit).unwrap_or_default();
    let cookie = format!("{COOKIE}={}; Path=/; Max-Age={KEPT_S}; SameSite=Lax; HttpOnly", unit.symbol());
    ([(header::SET_COOKIE, cookie)], Redirect::to(&back(&headers))).into_response()
}

/// The page where the button was pressed: its path alone, so that nobody is sent elsewhere.
fn back(headers: &HeaderMap) -> String {
    let from = headers.get(header::REFERER).and_then(|h| h.to_str().ok()).unwrap_or_default();
    let path = from.split_once("://").and_then(|(_, rest)| rest.split_once('/')).map_or("", |(_, path)| path);
    format!("/{}", path.trim_start_matches(['/', '\\']))
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn with(name: header::HeaderName, value: &'static str) -> HeaderMap {
        HeaderMap::from_iter([(name, HeaderValue::from_static(value))])
    }

    #[test]
    fn the_choice_is_read_from_among_other_cookies() {
        let unit = |cookies| of(&with(header::COOKIE, cookies));
        assert_eq!(
            [unit("a=1; unit=lb"), unit("unit=kg"), unit("unit=stone"), unit("xunit=lb")]
                .map(MassUnit::symbol),
            ["lb", "kg", "kg", "kg"]
        );
        assert_eq!(of(&HeaderMap::new()), MassUnit::Kg);
    }

    #[test]
    fn one_is_sent_back_to_a_page_here_and_nowhere_else() {
        let to = |from| back(&with(header::REFERER, from));
        assert_eq!(to("http://localhost:8410/clients/1?a=b"), "/clients/1?a=b");
        assert_eq!(to("http://localhost:8410//evil.example/"), "/evil.example/");
        assert_eq!([to("http://localhost"), to("evil"), back(&HeaderMap::new())], ["/", "/", "/"]);
    }
}
