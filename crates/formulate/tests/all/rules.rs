//! One rule, one file, one section of the documentation.

use setwright_formulate::rules::RULES;
use std::collections::BTreeSet;

#[test]
fn every_rule_has_its_file_and_every_file_its_rule() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/rules");
    let files: BTreeSet<String> = std::fs::read_dir(folder)
        .expect("the rules lie in a folder")
        .filter_map(|f| Some(f.ok()?.path().file_stem()?.to_string_lossy().into_owned()))
        .filter(|stem| !matches!(stem.as_str(), "mod" | "client"))
        .collect();
    let names: BTreeSet<String> = RULES.iter().map(|r| r.name().to_owned()).collect();
    assert_eq!(files, names);
    assert_eq!(names.len(), RULES.len());
}

#[test]
fn every_rule_is_explained() {
    let docs = include_str!("../../../../docs/models.md");
    for rule in RULES {
        let head = format!("### `{}`\n", rule.name());
        assert!(docs.contains(&head), "docs/models.md has no section {}", rule.name());
    }
}

#[test]
fn what_the_planner_keeps_the_check_judges_and_what_is_explained_is_there() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../check/src/rules");
    let judged: BTreeSet<String> = std::fs::read_dir(folder)
        .expect("the rules of the check lie in a folder")
        .filter_map(|f| Some(f.ok()?.path().file_stem()?.to_string_lossy().into_owned()))
        .collect();
    let planned = RULES.iter().map(|r| r.name());
    let unjudged: Vec<&str> = planned.filter(|name| !judged.contains(*name)).collect();
    assert!(unjudged.is_empty(), "nobody judges {unjudged:?}");
    let docs = include_str!("../../../../docs/models.md");
    let explained = docs.lines().filter_map(|line| line.strip_prefix("### `")?.strip_suffix('`'));
    let gone: Vec<&str> = explained.filter(|name| !judged.contains(*name)).collect();
    assert!(gone.is_empty(), "docs/models.md explains {gone:?}, which is no rule");
}
