//! Which role a route asks for at least. What it then shows is the service's to decide; a route that has no line here answers to
//! the owner alone.

use axum::http::Method;
use setwright_store::AccountRole;

/// Who may ask at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Least {
    /// Anybody, signed in or not.
    Anybody,
    /// Whoever has at least this role.
    Role(AccountRole),
}

const ANYBODY: Least = Least::Anybody;
const CLIENT: Least = Least::Role(AccountRole::Client);
const COACH: Least = Least::Role(AccountRole::Coach);

/// Method, route, least.
const RULES: &[(Method, &str, Least)] = &[
    (Method::GET, "/assets/{name}", ANYBODY),
    (Method::GET, "/worker.js", ANYBODY),
    (Method::GET, "/login", ANYBODY),
    (Method::POST, "/login", ANYBODY),
    (Method::GET, "/welcome/{link}", ANYBODY),
    (Method::POST, "/welcome/{link}", ANYBODY),
    (Method::POST, "/logout", CLIENT),
    (Method::GET, "/exercises", CLIENT),
    (Method::GET, "/help", CLIENT),
    (Method::GET, "/clients/{id}/floor", CLIENT),
    (Method::GET, "/clients/{id}/programme", CLIENT),
    (Method::GET, "/clients/{id}/programme.pdf", CLIENT),
    (Method::GET, "/clients/{id}/calendar.ics", CLIENT),
    (Method::POST, "/unit", ANYBODY),
    (Method::POST, "/api/v1/events", CLIENT),
    (Method::GET, "/api/v1/clients/{id}/floor", CLIENT),
    (Method::GET, "/api/v1/clients/{id}/sessions/{session}", CLIENT),
    (Method::GET, "/", COACH),
    (Method::GET, "/audit", COACH),
    (Method::POST, "/audit", COACH),
    (Method::GET, "/clients/new", COACH),
    (Method::POST, "/clients/new", COACH),
    (Method::GET, "/clients/{id}", COACH),
    (Method::POST, "/clients/{id}/advice", COACH),
    (Method::GET, "/clients/{id}/brief", COACH),
    (Method::POST, "/clients/{id}/brief", COACH),
    (Method::POST, "/clients/{id}/screening", COACH),
    (Method::POST, "/clients/{id}/card", COACH),
    (Method::GET, "/clients/{id}/edit", COACH),
    (Method::POST, "/clients/{id}/edit", COACH),
    (Method::GET, "/clients/{id}/edit/choose", COACH),
    (Method::POST, "/clients/{id}/edit/solve", COACH),
    (Method::POST, "/clients/{id}/edit/hand-out", COACH),
    (Method::GET, "/clients/{id}/plan", COACH),
    (Method::POST, "/clients/{id}/plan", COACH),
    (Method::GET, "/clients/{id}/making/{work}", COACH),
    (Method::GET, "/clients/{id}/making/{work}/news", COACH),
    (Method::POST, "/clients/{id}/making/{work}/stop", COACH),
    (Method::POST, "/clients/{id}/making/{work}/hand-out", COACH),
    (Method::GET, "/clients/{id}/log", COACH),
    (Method::POST, "/clients/{id}/log", COACH),
    (Method::POST, "/clients/{id}/undo", COACH),
    (Method::GET, "/clients/{id}/sessions/{session}", COACH),
    (Method::POST, "/clients/{id}/sets/{set}", COACH),
    (Method::GET, "/clients/{id}/review", COACH),
    (Method::GET, "/clients/{id}/report.pdf", COACH),
    (Method::GET, "/clients/{id}/sheet.pdf", COACH),
    (Method::GET, "/advice", COACH),
    (Method::GET, "/api/v1/openapi.json", COACH),
    (Method::GET, "/api/v1/roster", COACH),
    (Method::GET, "/api/v1/clients/{id}", COACH),
    (Method::GET, "/api/v1/clients/{id}/programme", COACH),
    (Method::GET, "/api/v1/clients/{id}/review", COACH),
];

/// The least role that a request asks for. What matches no route is answered to whoever is signed in: it is not there.
pub fn least(method: &Method, route: Option<&str>) -> Least {
    let Some(route) = route else { return CLIENT };
    let method = if *method == Method::HEAD { Method::GET } else { method.clone() };
    let rule = RULES.iter().find(|(m, r, _)| *m == method && *r == route);
    rule.map_or(Least::Role(AccountRole::Owner), |(_, _, least)| *least)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_route_without_a_line_is_the_owners() {
        assert_eq!(least(&Method::GET, Some("/brand-new")), Least::Role(AccountRole::Owner));
        assert_eq!(least(&Method::DELETE, Some("/help")), Least::Role(AccountRole::Owner));
        assert_eq!(least(&Method::HEAD, Some("/help")), CLIENT);
    }
}
