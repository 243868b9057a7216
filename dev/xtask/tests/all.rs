//! The rules of the tree, held against this repository: one test for each, so that the name says what broke.
#![cfg(test)]

use setwright_xtask::cargo::Metadata;
use setwright_xtask::tree::Tree;
use setwright_xtask::{RULES, root};

fn holds(name: &str) {
    let tree = Tree::read(&root()).unwrap();
    let metadata = Metadata::read(&root()).unwrap();
    let rule = RULES.iter().find(|rule| rule.name == name).unwrap();
    let breaches: Vec<String> = rule.breaches(&tree, &metadata).iter().map(ToString::to_string).collect();
    assert!(breaches.is_empty(), "{name}:\n{}", breaches.join("\n"));
}

macro_rules! rules_hold {
    ($($test:ident = $name:literal;)*) => {
        $(#[test] fn $test() { holds($name); })*

        #[test]
        fn every_rule_has_its_test() {
            let tested = [$($name),*];
            assert_eq!(RULES.iter().map(|rule| rule.name).collect::<Vec<_>>(), tested);
        }
    };
}

rules_hold! {
    crates_know_each_other_in_one_direction = "crates know each other in one direction";
    libraries_stay_in_their_crates = "libraries stay in their crates";
    libraries_stay_in_their_files = "libraries stay in their files";
    files_of_a_crate_know_each_other_in_one_direction = "files of a crate know each other in one direction";
    dependencies_are_explained = "dependencies are explained";
    the_architecture_page_knows_every_crate = "the architecture page knows every crate";
    tables_of_modules_are_whole = "tables of modules are whole";
    files_are_short = "files are short";
    crates_are_small_enough_to_be_known_whole = "crates are small enough to be known whole";
    paths_named_in_the_documentation_exist = "paths named in the documentation exist";
    constants_name_their_source = "constants name their source";
    figures_inside_functions_name_their_source = "figures inside functions name their source";
    names_are_plain_or_in_the_glossary = "names are plain or in the glossary";
    no_two_public_types_have_one_name = "no two public types have one name";
    unwanted_words_are_absent = "unwanted words are absent";
    files_open_with_what_they_are_for = "files open with what they are for";
    lints_are_kept = "lints are kept";
    inner_crates_stay_pure = "inner crates stay pure";
}
