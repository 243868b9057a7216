//! HTTP's own machinery: which page answers to what, how much a request may bring and how long it may take, safe connections, proxies, the
//! log. It knows no page and nobody who asks.

pub mod limits;
pub mod log;
pub mod openapi;
mod permits;
pub mod proxy;
pub mod routes;
pub mod timeouts;
pub mod tls;
