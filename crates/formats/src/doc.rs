//! A TOML file taken apart twice: once into a type, once into places, so that a rule that is broken by a value
//! can point at the line and column where the value stands.

use super::near::nearest;
pub use super::positions::{Path, PathStep, Positions};
use super::read::Source;
use serde::de::DeserializeOwned;
use setwright_model::code::Code;
use setwright_model::name::is_unprintable;
use setwright_model::refusal::{Position, Refusal};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A TOML file with the places of its values.
pub struct Doc<'a> {
    source: &'a Source,
    table: Spanned<DeTable<'a>>,
}

impl<'a> Doc<'a> {
    /// Takes the text apart.
    pub fn parse(source: &'a Source) -> Result<Self, Refusal> {
        let table = DeTable::parse(&source.text).map_err(|e| syntax(source, &e))?;
        Ok(Self { source, table })
    }

    /// The file as a type, or what does not fit. `fields` are the names of the outermost table.
    pub fn into_type<T: DeserializeOwned>(&self) -> Result<T, Refusal> {
        toml::from_str(&self.source.text).map_err(|e| self.explain(e.message(), e.span()))
    }

    /// Whether the outermost table has this field.
    pub fn has(&self, field: &str) -> bool {
        self.table.get_ref().get(field).is_some()
    }

    /// The values on the way, as far as they are there.
    fn way(&self, path: Path<'_>) -> Vec<&Spanned<DeValue<'a>>> {
        let mut way: Vec<&Spanned<DeValue<'a>>> = Vec::new();
        for step in path {
            let next = match (way.last(), step) {
                (None, PathStep::Key(key)) => self.table.get_ref().get(*key),
                (None, PathStep::At(_)) => None,
                (Some(value), _) => child(value.get_ref(), step),
            };
            let Some(next) = next else { break };
            way.push(next);
        }
        way
    }

    fn place_of(&self, span: &Range<usize>) -> Position {
        Position::of_byte(self.source.name.as_str(), &self.source.text, span.start)
    }

    fn explain(&self, message: &str, span: Option<Range<usize>>) -> Refusal {
        let problem = in_our_words(message);
        match span {
            Some(span) => problem.at(self.place_of(&span)),
            None => problem.at(Position::file(self.source.name.as_str())),
        }
    }
}

impl Positions for Doc<'_> {
    fn place(&self, path: Path<'_>) -> Position {
        self.place_of(&self.way(path).last().map_or(0..0, |v| v.span()))
    }

    /// The reader of a pair passes over a third number in silence.
    fn entries(&self, path: Path<'_>) -> Option<usize> {
        let way = self.way(path);
        let list = way.last().filter(|_| way.len() == path.len())?;
        list.get_ref().as_array().map(|a| a.len())
    }
}

/// What serde says of a value that does not fit, as a refusal without a place.
pub(crate) fn in_our_words(message: &str) -> Refusal {
    let message = message.trim();
    if let Some(rest) = message.strip_prefix("unknown field ") {
        unknown(rest, Code::UnknownField, "There is no field", "fields here are")
    } else if let Some(rest) = message.strip_prefix("unknown variant ") {
        unknown(rest, Code::UnknownWord, "Nothing is called", "words are")
    } else if let Some(rest) = message.strip_prefix("missing field ") {
        missing(rest)
    } else {
        wrong_kind(message)
    }
}

fn child<'v, 'i>(value: &'v DeValue<'i>, step: &PathStep<'_>) -> Option<&'v Spanned<DeValue<'i>>> {
    match step {
        PathStep::Key(key) => value.as_table()?.get(*key),
        PathStep::At(index) => value.as_array()?.get(*index),
    }
}

fn syntax(source: &Source, error: &toml::de::Error) -> Refusal {
    let message = plain_line(error.message());
    let at = error.span().map_or(0, |s| s.start);
    let hint = if message.contains("duplicate key") {
        "Name each field once; a list of lifts or locks begins each entry with [[lift]] or [[lock]]."
    } else {
        "A line reads name = value; words stand in quotes, lists in [ ]."
    };
    Refusal::new(Code::Syntax, format!("The file is not valid TOML: {message}."), hint).at(Position::of_byte(
        source.name.as_str(),
        &source.text,
        at,
    ))
}

fn plain_line(message: &str) -> String {
    let line: Vec<&str> = message.split_whitespace().collect();
    line.join(" ").trim_end_matches('.').to_owned()
}

/// The words between back-quotes: the first is what was written, the others what was expected.
fn quoted(message: &str) -> Vec<&str> {
    message.split('`').skip(1).step_by(2).collect()
}

/// Above this many the whole list is left to the schema.
const LISTED_MAX: usize = 24;

fn unknown(rest: &str, code: Code, says: &str, list: &str) -> Refusal {
    let words = quoted(rest);
    let (written, known) = words.split_first().map_or(("", &[][..]), |(w, k)| (*w, k));
    let hint = match nearest(written, known.iter().copied()) {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None if known.is_empty() => "Leave it out.".to_owned(),
        None if known.len() > LISTED_MAX => {
            format!("The {list}: {} and others; see setwright schema brief.", known[..LISTED_MAX].join(", "))
        }
        None => format!("The {list}: {}.", known.join(", ")),
    };
    Refusal::new(code, format!("{says} \"{}\".", printable(written)), hint)
}

/// Text from a file as it may stand in a message: nothing that cannot be seen or turns its direction, not endless.
pub fn printable(text: &str) -> String {
    const CHARS_MAX: usize = 60;
    let mut shown: String =
        text.chars().take(CHARS_MAX).map(|c| if is_unprintable(c) { '\u{fffd}' } else { c }).collect();
    if text.chars().nth(CHARS_MAX).is_some() {
        shown.push_str("...");
    }
    shown
}

fn missing(rest: &str) -> Refusal {
    let field = quoted(rest).first().copied().unwrap_or("");
    Refusal::new(
        Code::MissingField,
        format!("The field \"{field}\" is missing."),
        match example(field) {
            Some(example) => format!("Add a line such as: {example}"),
            None => "Add it; setwright schema shows what it takes.".to_owned(),
        },
    )
}

fn example(field: &str) -> Option<&'static str> {
    Some(match field {
        "name" => "name = \"Ines\"",
        "goal" => "goal = \"general\"   (or \"size\", \"strength\")",
        "training_age" => {
            "training_age = \"beginner\"   (or \"first_weeks\", \"intermediate\", \"advanced\")"
        }
        "time" => "time = { sessions = 3, minutes = 60 }",
        "sessions" => "sessions = 3",
        "minutes" => "minutes = 60",
        "exercise" | "id" => "exercise = \"bench_press\"",
        "load_kg" => "load_kg = 60",
        "reps" => "reps = 8",
        "cycle_days" => "cycle_days = 7",
        "day" => "day = 1",
        _ => return None,
    })
}

fn wrong_kind(message: &str) -> Refusal {
    let message = plain_line(message);
    if message.contains("MinutesPerSession") {
        return Refusal::new(
            Code::WrongKind,
            "The minutes are neither a number nor a list of numbers.",
            "Write minutes = 60, or one number for each session: minutes = [60, 45, 60].",
        );
    }
    let (got, wanted) = message.split_once(", expected ").unwrap_or((message.as_str(), ""));
    let got = got.trim_start_matches("invalid type: ").trim_start_matches("invalid value: ");
    let hint = match plain_kind(wanted) {
        "" => "See setwright schema for what belongs here.".to_owned(),
        kind => format!("Write {kind}."),
    };
    Refusal::new(Code::WrongKind, format!("This does not belong here: {}.", printable(got)), hint)
}

fn plain_kind(wanted: &str) -> &str {
    match wanted {
        "u32" | "u8" | "u64" => "a whole number that is not negative",
        "f64" => "a number",
        "a boolean" => "true or false, without quotes",
        "a string" => "a word in quotes",
        "a sequence" => "a list in [ ]",
        "a map" => "a table",
        "an array of length 2" | "array of length 2" => "two numbers in [ ], lowest and highest: [8, 12]",
        w if w.starts_with("struct ") => "a table: a [heading] of its own, or { name = value }",
        w if w.starts_with("enum ") => "one of the words the field takes, in quotes",
        w => w,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::Brief;

    fn refusal(text: &str) -> (String, String) {
        let source = Source { name: "x.toml".to_owned(), text: text.to_owned() };
        let problem = match Doc::parse(&source) {
            Ok(doc) => doc.into_type::<Brief>().unwrap_err(),
            Err(problem) => problem,
        };
        (problem.to_string(), problem.hint)
    }

    const HEAD: &str = "name = \"A\"\ngoal = \"size\"\ntraining_age = \"beginner\"\n";

    #[test]
    fn a_misspelt_field_gets_its_place_and_its_nearest_name() {
        let (what, hint) = refusal("nmae = \"A\"\n");
        assert_eq!(what, "x.toml:1:1: SW007: There is no field \"nmae\".");
        assert_eq!(hint, "Did you mean \"name\"?");
    }

    #[test]
    fn a_misspelt_word_gets_its_place_and_its_nearest_word() {
        let (what, hint) = refusal("name = \"A\"\ngoal = \"sise\"\n");
        assert_eq!(what, "x.toml:2:8: SW010: Nothing is called \"sise\".");
        assert_eq!(hint, "Did you mean \"size\"?");
    }

    #[test]
    fn a_misspelt_muscle_is_found_in_its_heading() {
        let (what, hint) =
            refusal(&format!("{HEAD}time = {{ sessions = 2, minutes = 30 }}\n[muscles.bicep]\nleast = 3\n"));
        assert_eq!(what, "x.toml:5:10: SW010: Nothing is called \"bicep\".");
        assert_eq!(hint, "Did you mean \"biceps\"?");
    }

    #[test]
    fn a_missing_field_gets_an_example() {
        let (what, hint) = refusal(HEAD);
        assert!(what.contains("SW008: The field \"time\" is missing."), "{what}");
        assert!(hint.contains("minutes = 60"), "{hint}");
    }

    #[test]
    fn a_word_for_a_number_and_a_negative_count_are_of_the_wrong_kind() {
        let (what, hint) = refusal(&format!("{HEAD}[time]\nsessions = \"two\"\nminutes = 30\n"));
        assert!(what.starts_with("x.toml:5:12: SW009"), "{what}");
        assert_eq!(hint, "Write a whole number that is not negative.");
        let (what, _) = refusal(&format!("{HEAD}[time]\nsessions = -2\nminutes = 30\n"));
        assert!(what.starts_with("x.toml:5:12: SW009"), "{what}");
        let (_, hint) = refusal(&format!("{HEAD}[time]\nsessions = 2\nminutes = \"30\"\n"));
        assert!(hint.contains("[60, 45, 60]"), "{hint}");
    }

    #[test]
    fn broken_toml_is_refused_with_its_place() {
        let (what, _) = refusal("name = \"A\ngoal = 3\n");
        assert!(what.starts_with("x.toml:1:"), "{what}");
        assert!(what.contains("SW006"), "{what}");
    }

    #[test]
    fn a_value_is_found_by_its_path_and_a_missing_one_by_what_is_around_it() {
        let text = format!("{HEAD}[[lift]]\nreps = 3\n[[lift]]\nexercise = \"squat\"\n");
        let source = Source { name: "x".to_owned(), text };
        let doc = Doc::parse(&source).unwrap();
        assert_eq!(doc.place(&["lift".into(), 1.into(), "exercise".into()]).to_string(), "x:7:12");
        assert_eq!(doc.place(&["lift".into(), 0.into(), "load_kg".into()]).line, Some(4));
        assert_eq!(doc.place(&["nowhere".into()]).to_string(), "x:1:1");
    }
}
