//! A compound that the client has not told of is new to the plan: it stays two reps or more from its limit, three with a bar,
//! and is never done in triples. The reps and the reserve of every prescription say so (`science::prescribe`).

use super::Rule;

/// The rule. It is kept by the scheme of each exercise.
pub struct UntoldLifts;

impl Rule for UntoldLifts {
    fn name(&self) -> &'static str {
        "untold_lifts"
    }
}
