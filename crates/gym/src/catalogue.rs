//! The exercise catalogue that is built in, and the reader of any other one.
//!
//! Reads text that is in the program or is handed over; must not open files. Whether a catalogue makes sense
//! is said by [`problems`]; nothing is repaired silently.

#[cfg(test)]
mod anatomy;
#[cfg(test)]
mod anchors;
#[cfg(test)]
mod asks;
mod lint;
#[cfg(test)]
mod page;
mod shown;
#[cfg(test)]
mod standing;

pub use lint::problems;
pub use shown::Shown;

use serde::Deserialize;
use setwright_model::exercise::{Catalogue, Exercise};
use std::sync::LazyLock;

/// The built-in files, each for a few patterns.
const FILES: [&str; 24] = [
    include_str!("../../../data/catalogue/calf_and_hip_side.toml"),
    include_str!("../../../data/catalogue/carry.toml"),
    include_str!("../../../data/catalogue/curl.toml"),
    include_str!("../../../data/catalogue/grip.toml"),
    include_str!("../../../data/catalogue/hinge.toml"),
    include_str!("../../../data/catalogue/hip.toml"),
    include_str!("../../../data/catalogue/jump_and_throw.toml"),
    include_str!("../../../data/catalogue/leg_curl.toml"),
    include_str!("../../../data/catalogue/leg_extension.toml"),
    include_str!("../../../data/catalogue/leg_press.toml"),
    include_str!("../../../data/catalogue/lunge.toml"),
    include_str!("../../../data/catalogue/press_horizontal.toml"),
    include_str!("../../../data/catalogue/press_overhead.toml"),
    include_str!("../../../data/catalogue/pulldown.toml"),
    include_str!("../../../data/catalogue/raise.toml"),
    include_str!("../../../data/catalogue/rear.toml"),
    include_str!("../../../data/catalogue/row.toml"),
    include_str!("../../../data/catalogue/small.toml"),
    include_str!("../../../data/catalogue/squat.toml"),
    include_str!("../../../data/catalogue/triceps.toml"),
    include_str!("../../../data/catalogue/trunk.toml"),
    include_str!("../../../data/catalogue/trunk_flexion.toml"),
    include_str!("../../../data/catalogue/trunk_side.toml"),
    include_str!("../../../data/catalogue/whole.toml"),
];

static BUILTIN: LazyLock<Catalogue> =
    LazyLock::new(|| Catalogue::new(FILES.iter().filter_map(|text| parse(text).ok()).flatten()));

/// A file of exercises: an array of tables named `exercise`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    exercise: Vec<Exercise>,
}

/// The catalogue that comes with the program.
///
/// A built-in file that does not parse would be left out; a test parses each, so none can be released.
pub fn builtin() -> &'static Catalogue {
    &BUILTIN
}

/// The exercises of one catalogue file, in its order. Unknown fields are an error.
pub fn parse(text: &str) -> Result<Vec<Exercise>, toml::de::Error> {
    toml::from_str::<File>(text).map(|file| file.exercise)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn read_all() -> Vec<Exercise> {
        FILES.iter().flat_map(|text| parse(text).expect("a built-in file parses")).collect()
    }

    #[test]
    fn every_built_in_file_parses_and_none_is_left_out() {
        let all = read_all();
        assert!(all.len() >= 180, "only {} exercises", all.len());
        assert_eq!(builtin().len(), all.len(), "an identifier is used twice across the files");
    }

    #[test]
    fn every_file_of_the_folder_is_built_in() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/catalogue");
        let on_disk: BTreeSet<String> = std::fs::read_dir(folder)
            .expect("the folder of the catalogue is there")
            .map(|entry| std::fs::read_to_string(entry.expect("entry").path()).expect("text"))
            .collect();
        let built_in: BTreeSet<String> = FILES.iter().map(|text| (*text).to_owned()).collect();
        assert!(on_disk == built_in, "a file is missing from FILES, or is not in the folder");
    }

    #[test]
    fn the_built_in_catalogue_has_no_problems() {
        assert_eq!(problems(builtin()), Vec::<String>::new());
    }

    #[test]
    fn an_unknown_field_is_an_error() {
        let with_typo = FILES[0].replacen("pattern =", "patern =", 1);
        let message = parse(&with_typo).expect_err("a misspelt field").to_string();
        assert!(message.contains("patern"), "{message}");
        assert!(parse("[[exercises]]").is_err());
    }

    #[test]
    fn an_empty_text_is_an_empty_list() {
        assert_eq!(parse("").expect("nothing is a catalogue too"), Vec::new());
    }
}
