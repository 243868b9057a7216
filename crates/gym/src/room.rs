//! What a client has to train with: stations, and what of a kind there are two of.
//!
//! Must not guess: what the brief does not say is as in a usual room of its kind.

use crate::equipment::stations;
use crate::loads;
use setwright_model::brief::Equipment;
use setwright_model::exercise::{Exercise, LoadKind};
use setwright_model::station::Station;
use std::collections::BTreeSet;

/// What a client has to train with: the stations, and whether two kettlebells of one weight are among them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Room {
    stations: BTreeSet<Station>,
    kettlebell_pair: bool,
}

impl Room {
    /// The room of this equipment. A list of kettlebells counts single bells; where nothing is listed they are those of a
    /// usual gym, in pairs.
    pub fn of(equipment: &Equipment) -> Self {
        Self { stations: stations(equipment), kettlebell_pair: loads::has_kettlebell_pair(equipment) }
    }

    /// The stations that are there, in the order of their kind.
    pub fn stations(&self) -> impl Iterator<Item = Station> + '_ {
        self.stations.iter().copied()
    }

    /// Whether a station is there.
    pub fn has(&self, station: Station) -> bool {
        self.stations.contains(&station)
    }

    /// Whether everything that the exercise occupies is there.
    pub fn can_do(&self, exercise: &Exercise) -> bool {
        exercise.stations.iter().all(|s| self.has(*s)) && !self.lacks_second_bell(exercise)
    }

    /// What the exercise needs and is not there, by name.
    pub fn missing_for(&self, exercise: &Exercise) -> Vec<&'static str> {
        let stations = exercise.stations.iter().filter(|s| !self.has(**s)).map(|s| s.name());
        stations.chain(self.lacks_second_bell(exercise).then_some(SECOND_BELL)).collect()
    }

    fn lacks_second_bell(&self, exercise: &Exercise) -> bool {
        exercise.load == LoadKind::KettlebellPair && !self.kettlebell_pair
    }
}

/// What is missing where one kettlebell of each weight is there.
const SECOND_BELL: &str = "second kettlebell of the same weight";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;
    use setwright_model::Kilograms;
    use setwright_model::brief::Place;

    fn possible(id: &str, equipment: &Equipment) -> bool {
        Room::of(equipment).can_do(builtin().get(&id.into()).expect("a known exercise"))
    }

    #[test]
    fn one_kettlebell_of_a_weight_is_no_pair() {
        let with = |weights: &[f64]| Equipment {
            also: vec![Station::Kettlebell],
            kettlebells_kg: weights.iter().copied().map(Kilograms).collect(),
            place: Place::Bare,
            ..Equipment::default()
        };
        let pair = |weights: &[f64]| possible("double_kettlebell_front_squat", &with(weights));
        assert!(possible("kettlebell_goblet_squat", &with(&[20.0])));
        assert!(!pair(&[20.0]) && !pair(&[12.0, 16.0, 20.0]), "single bells");
        assert!(pair(&[16.0, 20.0, 16.0]) && pair(&[]), "two of a weight, or a usual gym");
    }
}
