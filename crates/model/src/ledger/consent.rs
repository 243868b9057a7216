//! What a client agreed to and took back, and how long what is said of them is kept.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a client can agree to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Purpose {
    /// That answers about health are kept.
    HealthAnswers,
    /// That another coach sees what is said of them.
    Sharing,
    /// That averages over their log move what other clients start from.
    Averages,
}

impl Purpose {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::HealthAnswers, Self::Sharing, Self::Averages];

    /// As it is typed.
    pub const fn id(self) -> &'static str {
        match self {
            Self::HealthAnswers => "health-answers",
            Self::Sharing => "sharing",
            Self::Averages => "averages",
        }
    }
}

/// A client agreed to something, or took it back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Consent {
    /// To what.
    pub purpose: Purpose,
    /// Whether they agreed, rather than took it back.
    pub given: bool,
    /// In which words they were asked.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub wording: String,
}

/// How long what is said of a client is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Retention {
    /// Months after the last session from which on it is proposed to forget the client; never when absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub months: Option<u32>,
    /// Whether it is to be kept all the same, for a reason that is written down.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub hold: bool,
}
