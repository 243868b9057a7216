//! Pages and what they ask of whoever comes, said in one line: a handler cannot be reached without a role that reaches it. What is shown
//! then is the service's to decide. What programs ask is entered with its description, from which the document of the interface is made.

use crate::http::openapi::{Described, Operation};
use axum::Router;
use axum::handler::Handler;
use axum::http::Method;
use axum::routing::{MethodRouter, get, post};
use setwright_store::AccountRole;
use std::sync::Arc;

/// Who may ask at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Least {
    /// Anybody, signed in or not.
    Anybody,
    /// Whoever has at least this role.
    Role(AccountRole),
}

/// Anybody, signed in or not.
pub const ANYBODY: Least = Least::Anybody;
/// A client, and whoever has more to say.
pub const CLIENT: Least = Least::Role(AccountRole::Client);
/// A coach, and whoever has more to say.
pub const COACH: Least = Least::Role(AccountRole::Coach);
/// The owner alone.
pub const OWNER: Least = Least::Role(AccountRole::Owner);

/// The least role of each page.
#[derive(Clone, Debug, Default)]
pub struct RouteRules(Vec<(Method, &'static str, Least)>);

impl RouteRules {
    /// The least role that a request asks for. What matches no route is answered to whoever is signed in: it is not there. A route
    /// without a line is the owner's.
    pub fn least(&self, method: &Method, route: Option<&str>) -> Least {
        let Some(route) = route else { return CLIENT };
        let method = if *method == Method::HEAD { &Method::GET } else { method };
        let rule = self.0.iter().find(|(m, r, _)| m == method && *r == route);
        rule.map_or(Least::Role(AccountRole::Owner), |(_, _, least)| *least)
    }
}

/// Handlers with their routes, the roles that reach them, and for programs what is said of them.
pub struct Pages<S> {
    router: Router<S>,
    rules: RouteRules,
    asks: Vec<Operation>,
}

impl<S: Clone + Send + Sync + 'static> Pages<S> {
    /// None yet.
    pub fn new() -> Self {
        Self { router: Router::new(), rules: RouteRules::default(), asks: Vec::new() }
    }

    /// A page that is looked at.
    pub fn get<H, T>(self, least: Least, path: &'static str, handler: H) -> Self
    where
        H: Handler<T, S>,
        T: 'static,
    {
        self.page(Method::GET, least, path, get(handler))
    }

    /// Something that is sent.
    pub fn post<H, T>(self, least: Least, path: &'static str, handler: H) -> Self
    where
        H: Handler<T, S>,
        T: 'static,
    {
        self.page(Method::POST, least, path, post(handler))
    }

    /// What a program reads.
    pub fn read<H, T>(self, least: Least, path: &'static str, handler: H, described: Described) -> Self
    where
        H: Handler<T, S>,
        T: 'static,
    {
        self.get(least, path, handler).with(Operation { method: "get", path, described })
    }

    /// What a program sends.
    pub fn take<H, T>(self, least: Least, path: &'static str, handler: H, described: Described) -> Self
    where
        H: Handler<T, S>,
        T: 'static,
    {
        self.post(least, path, handler).with(Operation { method: "post", path, described })
    }

    fn with(mut self, ask: Operation) -> Self {
        self.asks.push(ask);
        self
    }

    fn page(self, method: Method, least: Least, path: &'static str, handler: MethodRouter<S>) -> Self {
        let Self { router, mut rules, asks } = self;
        rules.0.push((method, path, least));
        Self { router: router.route(path, handler), rules, asks }
    }

    /// These and those.
    pub fn merge(mut self, other: Self) -> Self {
        self.rules.0.extend(other.rules.0);
        self.asks.extend(other.asks);
        Self { router: self.router.merge(other.router), rules: self.rules, asks: self.asks }
    }

    /// What programs can ask.
    pub fn asks(&self) -> Arc<[Operation]> {
        self.asks.as_slice().into()
    }

    /// The router, and the rules for whoever guards it.
    pub fn parts(self) -> (Router<S>, RouteRules) {
        (self.router, self.rules)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_route_without_a_line_is_the_owners() {
        let (_, rules) = Pages::<()>::new().get(CLIENT, "/help", async || "help").parts();
        assert_eq!(rules.least(&Method::GET, Some("/brand-new")), Least::Role(AccountRole::Owner));
        assert_eq!(rules.least(&Method::DELETE, Some("/help")), Least::Role(AccountRole::Owner));
        assert_eq!(rules.least(&Method::HEAD, Some("/help")), CLIENT);
        assert_eq!(rules.least(&Method::GET, None), CLIENT);
    }
}
