//! The generated page of errors is up to date, and what the guides show is true.

use super::kit::{file, root, run};
use setwright::problems::exit;
use setwright_model::code::{Code, Kind};
use setwright_present::explain;
use setwright_web::fault::status;
use std::fmt::Write as _;

fn page() -> String {
    let mut out = String::from(
        "# Errors and findings\n\nGenerated from the code tables; `UPDATE_DOCS=1 cargo test -p setwright --test all docs` \
         writes it anew.\n`setwright explain CODE` shows the same.\n\nCodes up to SW099 are refusals, each with the status \
         that a page or the interface answers with and that a command ends with.\nCodes from SW100 are findings of the \
         check; a command ends with 1 when it finds a warning or an error.\n",
    );
    out.push_str(&statuses());
    let answered = |name: &str| {
        let code = Code::ALL.iter().find(|code| code.as_str() == name)?;
        let (http, exit) = (status(code.kind()).as_u16(), exit(code.kind()));
        Some(format!("HTTP {http}, exit status {exit}.\n\n"))
    };
    for code in explain::codes() {
        let _ = write!(out, "\n## {}: {}\n\n{}\n\n", code.code, code.title, code.why);
        let mut answered = answered(code.code).unwrap_or_default();
        if code.code == Code::RequestRefused.as_str() {
            // What HTTP itself refuses, it refuses with its own status.
            answered = answered.replace(
                ", exit",
                ", or the status of the rule of HTTP that was broken (403, 404, 405, 413, 421), exit",
            );
        }
        let _ = writeln!(out, "{answered}Source: {}.", code.source);
    }
    out
}

/// What a command ends with, and a page answers with, by whose matter it is.
fn statuses() -> String {
    let mut out = String::from(
        "\n| exit status | HTTP | when |\n|--|--|--|\n| 0 | 200 | Done. |\n\
         | 1 | 200 | Done, and there is a warning or an error to look at, or no programme keeps the brief. |\n",
    );
    for kind in Kind::ALL {
        let _ = writeln!(out, "| {} | {} | {} |", exit(kind), status(kind).as_u16(), kind.meaning());
    }
    out
}

#[test]
fn the_page_of_errors_is_up_to_date() {
    let path = root().join("docs/errors.md");
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, page()).unwrap();
    }
    let have = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(have == page(), "docs/errors.md is stale: UPDATE_DOCS=1 cargo test -p setwright --test all docs");
}

/// The first fenced part of a page after this heading.
fn fenced(page: &str, kind: &str) -> String {
    let text = std::fs::read_to_string(root().join(page)).unwrap();
    let (_, after) = text.split_once(&format!("```{kind}\n")).unwrap();
    after.split_once("\n```").unwrap().0.to_owned() + "\n"
}

#[test]
fn the_readme_shows_what_is_printed() {
    let said = run(&["plan", "data/demo/absolute_beginner.toml"]).data;
    let mut printed = said.lines();
    for line in fenced("README.md", "text").lines().skip(1) {
        assert!(printed.any(|l| l == line), "README.md shows \"{line}\", the program prints:\n{said}");
    }
}

#[test]
fn the_brief_of_the_guide_can_be_planned() {
    let path = file("mara.toml", fenced("docs/guide/first-brief.md", "toml"));
    let said = run(&["plan", &path, "--moves", "60000"]);
    assert_eq!(said.code, 0, "{}", said.talk);
}

#[test]
fn the_sheet_of_the_guide_can_be_audited() {
    let path = file("sheet.csv", fenced("docs/guide/spreadsheet.md", "csv"));
    let said = run(&["audit", &path]);
    assert!(said.code <= 1, "{}", said.talk);
    assert!(said.data.contains("What was understood"), "{}", said.data);
}

#[test]
fn the_lines_of_the_guide_can_be_logged() {
    let coach = super::ledger::Coach::of_mara();
    let path = file("week.txt", fenced("docs/guide/logging.md", "text"));
    coach.done(&["log", "mara", "--file", &path]);
    assert_eq!(coach.sets().len(), 12);
}

#[test]
fn the_log_of_the_guide_can_be_brought_in() {
    let coach = super::ledger::Coach::new();
    let path = file("log.csv", fenced("docs/guide/importing.md", "csv"));
    coach.done(&["import", &path, "--yes"]);
    assert_eq!(coach.sets().len(), 4);
}
