//! What a check, a reader or the planner says: one type for terminal, page and JSON.

use crate::muscle::Muscle;
use crate::sentence::Sentence;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::cmp::Ordering;

/// How serious a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// A coach would want to look.
    Warning,
    /// The programme cannot be certified.
    Error,
}

/// Where in a programme a finding is: what a page hangs it on. Sessions count from 0 in the order of their days, blocks and exercises
/// of a block from 0 in their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FindingPlace {
    /// The client.
    Client,
    /// The whole programme.
    Programme,
    /// A muscle over the whole cycle.
    Muscle(Muscle),
    /// A session.
    Session(usize),
    /// A muscle in a session.
    MuscleIn(usize, Muscle),
    /// A block of a session.
    Block(usize, usize),
    /// An exercise: session, block, lane.
    Exercise(usize, usize, usize),
}

impl FindingPlace {
    /// The session that it is in, if it is in one.
    pub const fn session(self) -> Option<usize> {
        match self {
            Self::Client | Self::Programme | Self::Muscle(_) => None,
            Self::Session(s) | Self::MuscleIn(s, _) | Self::Block(s, _) | Self::Exercise(s, _, _) => Some(s),
        }
    }

    const fn order(self) -> (usize, usize, usize) {
        match self {
            Self::Client => (0, 0, 0),
            Self::Programme => (0, 1, 0),
            Self::Muscle(m) => (0, 2, m.index()),
            Self::Session(s) => (s + 1, 0, 0),
            Self::MuscleIn(s, m) => (s + 1, 0, 1 + m.index()),
            Self::Block(s, b) => (s + 1, b + 1, 0),
            Self::Exercise(s, b, lane) => (s + 1, b + 1, lane + 1),
        }
    }
}

/// What is about the whole comes first, then session by session, in each what is about all of it, then block by block.
impl Ord for FindingPlace {
    fn cmp(&self, other: &Self) -> Ordering {
        self.order().cmp(&other.order())
    }
}

impl PartialOrd for FindingPlace {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// A finding: what, about whom, why, and what to do.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Finding {
    /// How serious.
    pub severity: Severity,
    /// Stable code, `SW` and three digits; `setwright explain CODE` says more.
    pub code: &'static str,
    /// Where it is, for whoever shows it beside the programme.
    #[serde(skip)]
    pub place: FindingPlace,
    /// The same in words: "session 2 (day 3), block 1".
    pub subject: String,
    /// What is wrong and by how much.
    pub cause: Sentence,
    /// What can be done.
    pub hint: Sentence,
}

impl Finding {
    /// A finding of this code.
    pub fn new(
        severity: Severity,
        code: &'static str,
        (place, subject): (FindingPlace, impl Into<String>),
        cause: impl Into<Sentence>,
        hint: impl Into<Sentence>,
    ) -> Self {
        Self { severity, code, place, subject: subject.into(), cause: cause.into(), hint: hint.into() }
    }
}

/// A registered code, for `explain` and the generated page of errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CodeInfo {
    /// Stable code.
    pub code: &'static str,
    /// A short title.
    pub title: &'static str,
    /// Why the rule exists.
    pub why: &'static str,
    /// Where the rule comes from.
    pub source: &'static str,
}

#[cfg(test)]
mod tests {
    use super::FindingPlace::{Block, Client, Exercise, Muscle as Whole, MuscleIn, Programme, Session};
    use crate::muscle::Muscle;

    #[test]
    fn what_is_about_the_whole_comes_before_its_parts() {
        let places = [
            Client,
            Programme,
            Whole(Muscle::ALL[0]),
            Whole(Muscle::ALL[1]),
            Session(0),
            MuscleIn(0, Muscle::ALL[0]),
            Block(0, 0),
            Exercise(0, 0, 0),
            Exercise(0, 0, 1),
            Block(0, 1),
            Session(1),
        ];
        assert!(places.is_sorted(), "{places:?}");
        assert_eq!((Whole(Muscle::ALL[3]).session(), Exercise(2, 0, 1).session()), (None, Some(2)));
    }
}
