//! What is said with loads in it. The words are made last, in the unit of whoever reads them.

use crate::units::{Kilograms, MassUnit};
use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::cmp::Ordering;
use std::fmt::Write as _;

/// A sentence, or a few, in which loads are still loads. Two are the same when they read the same in kilograms, and in a file or an
/// answer to a program they stand in kilograms.
#[derive(Clone, Debug, Default)]
pub struct Sentence(Vec<SentencePart>);

#[derive(Clone, Debug)]
enum SentencePart {
    Text(String),
    Load(Kilograms),
}

impl Sentence {
    /// The same with more words behind it.
    #[must_use]
    pub fn text(mut self, words: impl Into<String>) -> Self {
        let words = words.into();
        if !words.is_empty() {
            self.0.push(SentencePart::Text(words));
        }
        self
    }

    /// The same with a load behind it.
    #[must_use]
    pub fn load(mut self, load: Kilograms) -> Self {
        self.0.push(SentencePart::Load(load));
        self
    }

    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether these words are in it, as it reads in kilograms.
    pub fn contains(&self, words: &str) -> bool {
        self.shown_in(MassUnit::Kg).contains(words)
    }

    /// As it reads in this unit.
    pub fn shown_in(&self, unit: MassUnit) -> String {
        self.0.iter().fold(String::new(), |mut all, part| {
            let _ = match part {
                SentencePart::Text(words) => all.write_str(words),
                SentencePart::Load(load) => all.write_str(&unit.load(*load)),
            };
            all
        })
    }
}

impl<T: Into<String>> From<T> for Sentence {
    fn from(words: T) -> Self {
        Self::default().text(words)
    }
}

impl PartialEq for Sentence {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Sentence {}

impl PartialEq<&str> for Sentence {
    fn eq(&self, other: &&str) -> bool {
        self.shown_in(MassUnit::Kg) == *other
    }
}

impl PartialOrd for Sentence {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Sentence {
    fn cmp(&self, other: &Self) -> Ordering {
        self.shown_in(MassUnit::Kg).cmp(&other.shown_in(MassUnit::Kg))
    }
}

impl Serialize for Sentence {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.shown_in(MassUnit::Kg))
    }
}

impl JsonSchema for Sentence {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        String::schema_name()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        String::json_schema(generator)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_reads_in_the_unit_of_whoever_reads_it() {
        let said = Sentence::from("Load ").load(Kilograms(60.0)).text(" or ").load(Kilograms(62.5)).text(".");
        assert_eq!(said.shown_in(MassUnit::Kg), "Load 60 kg or 62.5 kg.");
        assert_eq!(said.shown_in(MassUnit::Lb), "Load 132.5 lb or 138 lb.");
        assert_eq!(serde_json::to_string(&said).unwrap(), "\"Load 60 kg or 62.5 kg.\"");
        assert_eq!(said, Sentence::from("Load 60 kg or 62.5 kg."));
        assert!(Sentence::from("").is_empty() && said.cmp(&Sentence::from("M")).is_lt());
    }
}
