//! What a check, a reader or the planner says: one type for terminal, page and JSON.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

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

/// A finding: what, about whom, why, and what to do.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Finding {
    /// How serious.
    pub severity: Severity,
    /// Stable code, `SW` and three digits; `setwright explain CODE` says more.
    pub code: &'static str,
    /// What it is about: "session 2 (day 3), block 1".
    pub subject: String,
    /// What is wrong and by how much.
    pub cause: String,
    /// What can be done.
    pub hint: String,
}

impl Finding {
    /// A finding of this code.
    pub fn new(
        severity: Severity,
        code: &'static str,
        subject: impl Into<String>,
        cause: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self { severity, code, subject: subject.into(), cause: cause.into(), hint: hint.into() }
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
