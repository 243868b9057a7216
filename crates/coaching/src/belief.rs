//! What is believed of a client before there is a log: strength from the lifts of the brief, recovery from the
//! population.

use setwright_model::brief::{
    Body, Brief, Equipment, Exclude, Goal, MinutesPerSession, Screening, Style, Time, TrainingAge,
};
use setwright_model::{Belief, Catalogue, Minutes};
use setwright_science::strength;
use std::collections::BTreeMap;

/// What is believed of the client of a brief.
pub fn of(brief: &Brief, catalogue: &Catalogue) -> Belief {
    strength::belief(brief, catalogue)
}

/// What is believed of nobody in particular: an intermediate client with ordinary aims.
pub fn of_anyone(catalogue: &Catalogue) -> Belief {
    of(&anyone(), catalogue)
}

fn anyone() -> Brief {
    Brief {
        name: String::new(),
        about: String::new(),
        goal: Goal::General,
        training_age: TrainingAge::Intermediate,
        time: Time {
            cycle_days: 7,
            sessions: 3,
            minutes: MinutesPerSession::Same(Minutes(60.0)),
            days: Vec::new(),
            possible_days: Vec::new(),
            busy: false,
            cold: false,
        },
        body: Body::default(),
        equipment: Equipment::default(),
        muscles: BTreeMap::new(),
        lifts: Vec::new(),
        locks: Vec::new(),
        exclude: Exclude::default(),
        screening: Screening::default(),
        style: Style::default(),
    }
}
