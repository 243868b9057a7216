//! The interface for programs: it answers as it is described, and everything is described.

use super::pages::Pages;
use axum::http::StatusCode;
use serde_json::Value;
use setwright_web::{api_description, described};
use std::collections::BTreeSet;
use tempfile::TempDir;

/// Paths under `/api/v1` that the pages' sources answer, with their methods.
fn answered() -> BTreeSet<(String, String)> {
    let mut found = BTreeSet::new();
    let mut folders = vec![std::path::PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/src"))];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text = std::fs::read_to_string(path).unwrap();
                // `.read(COACH, "/api/v1/roster", roster_of, ..)`, on one line or several; `get` and `post` describe nothing.
                for (before, route) in text.match_indices("\"/api/v1/").map(|(at, _)| text.split_at(at)) {
                    let path = route.trim_start_matches('"').split_once("\",").map(|(path, _)| path);
                    let call = before.rsplit_once('(').map_or("", |(call, _)| call);
                    let ways = [("get", "get"), ("post", "post"), ("read", "get"), ("take", "post")];
                    let method = ways.into_iter().find(|(way, _)| call.ends_with(&format!(".{way}")));
                    found.extend(method.zip(path).map(|((_, m), p)| (m.to_owned(), p.to_owned())));
                }
            }
        }
    }
    found
}

#[test]
fn every_route_is_described_and_nothing_else() {
    let told: BTreeSet<_> = described().into_iter().map(|(m, p)| (m.to_owned(), p.to_owned())).collect();
    assert!(told.len() >= 8);
    assert_eq!(told, answered());
}

#[test]
fn the_description_is_whole_and_the_one_that_the_program_prints() {
    let folder = TempDir::new().unwrap();
    let pages = Pages::on(&folder.path().join("ledger.sqlite3"));
    let (status, text) = pages.get("/api/v1/openapi.json");
    assert_eq!(status, StatusCode::OK);
    let whole: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(whole["openapi"], "3.1.0");
    assert_eq!(serde_json::to_value(api_description()).unwrap(), whole);
    let schemas = whole["components"]["schemas"].as_object().unwrap();
    for name in text.split("#/components/schemas/").skip(1) {
        let name = name.split('"').next().unwrap();
        assert!(schemas.contains_key(name), "{name} is pointed at and not there");
    }
}

#[test]
fn who_may_not_ask_and_what_the_ledger_cannot_do_is_described() {
    let whole = serde_json::to_value(api_description()).unwrap();
    for (path, operations) in whole["paths"].as_object().unwrap() {
        for (method, operation) in operations.as_object().unwrap() {
            for status in ["401", "403", "500", "503"] {
                let says = &operation["responses"][status]["description"];
                assert!(says.is_string(), "{method} {path} is silent about {status}");
            }
        }
    }
    assert_eq!(whole["components"]["securitySchemes"]["session"]["in"], "cookie");
    assert_eq!(whole["security"].as_array().unwrap().len(), 2, "a session, or this machine");
}

#[test]
fn programs_read_what_the_pages_show() {
    let folder = TempDir::new().unwrap();
    let pages = Pages::on(&folder.path().join("ledger.sqlite3"));
    let path = pages.newcomer("Ida");
    let read = |path: &str| -> Value {
        let (status, text) = pages.get(&format!("/api/v1{path}"));
        assert_eq!(status, StatusCode::OK, "{text}");
        serde_json::from_str(&text).unwrap()
    };
    let roster = read("/roster");
    assert_eq!(roster["clients"][0]["name"], "Ida");
    assert_eq!(roster["clients"][0]["being_reckoned"], false);
    assert_eq!(read(&path)["client"]["has_programme"], true);
    assert_eq!(read(&format!("{path}/review"))["sessions"], 0);
    let in_force = read(&format!("{path}/programme"));
    assert_eq!(in_force["shown"]["sessions"].as_array().unwrap().len(), 2);
    assert_eq!(in_force["programme"]["sessions"].as_array().unwrap().len(), 2);
}

#[test]
fn programs_are_refused_in_json_whatever_they_ask() {
    let folder = TempDir::new().unwrap();
    let pages = Pages::on(&folder.path().join("ledger.sqlite3"));
    for path in
        ["/api/v1/nothing", "/api/v1/clients/nobody", "/api/v1/clients/%ff", "/api/v1/clients/a/sessions/b"]
    {
        let (status, text) = pages.get(path);
        assert!(status.is_client_error(), "{path}: {status}");
        let said: Value = serde_json::from_str(&text).unwrap_or_else(|_| panic!("{path}: {text}"));
        assert!(said["code"].as_str().unwrap().starts_with("SW"), "{said}");
    }
}
