//! How much a request may bring and how long it may take.

use crate::http::timeouts::TimeoutLimits;
use std::time::Duration;

/// Most bytes of a request: a sheet of a few thousand lines (judgement).
pub const BODY_MOST: usize = 2 * 1024 * 1024;
/// Seconds after which a request is given up (judgement: planning takes a few).
pub const ANSWER_S: u64 = 60;

/// How long connections are waited for (judgement: a head is a kilobyte, a body a sheet; the answer has its own limit).
pub const CONNECTION: TimeoutLimits = TimeoutLimits {
    head: Duration::from_secs(10),
    answer: Duration::from_secs(ANSWER_S + 15),
    idle: Duration::from_mins(2),
};
