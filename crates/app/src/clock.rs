//! The only reader of the clock. It measures how long work takes; nothing it says may change an answer, except
//! that an outer limit of time may end a search early.

use setwright_model::Seconds;
use std::time::Instant;

/// Runs from the moment it is made.
#[derive(Clone, Copy, Debug)]
pub struct Stopwatch {
    started: Instant,
}

impl Stopwatch {
    /// Starts now.
    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    pub fn start() -> Self {
        Self { started: Instant::now() }
    }

    /// Time since the start.
    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    pub fn elapsed(&self) -> Seconds {
        Seconds(self.started.elapsed().as_secs_f64())
    }

    /// Whether more than this has passed.
    pub fn is_past(&self, limit: Seconds) -> bool {
        self.elapsed() > limit
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stopwatch_only_runs_forwards() {
        let watch = Stopwatch::start();
        let first = watch.elapsed();
        assert!(watch.elapsed() >= first);
        assert!(!watch.is_past(Seconds(3_600.0)));
        assert!(watch.is_past(Seconds(-1.0)));
    }
}
