//! What is believed of a client before there is a log: strength from the lifts of the brief, recovery from the
//! population.

use setwright_model::brief::{Brief, Goal, Time, TrainingAge};
use setwright_model::{Belief, Catalogue, Minutes};
use setwright_science::strength;

/// What is believed of the client of a brief.
pub fn of(brief: &Brief, catalogue: &Catalogue) -> Belief {
    strength::belief(brief, catalogue)
}

/// What is believed of nobody in particular: an intermediate client with ordinary aims.
pub fn of_anyone(catalogue: &Catalogue) -> Belief {
    of(&anyone(), catalogue)
}

fn anyone() -> Brief {
    Brief::new("", Goal::General, TrainingAge::Intermediate, Time::weekly(3, Minutes(60.0)))
}
