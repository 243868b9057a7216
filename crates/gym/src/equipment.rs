//! Which stations a client has, and what can be done with them.
//!
//! Must not guess: a station that the brief neither implies nor lists is not there.

use setwright_model::brief::{Equipment, Place};
use setwright_model::station::Station;
use std::collections::BTreeSet;

/// Nothing but the floor, a chair and a step. Judgement, as are the other lists.
const BARE: [Station; 3] = [Station::Floor, Station::Chair, Station::Step];

/// Home with dumbbells and bands. A bench is not taken for granted: who has one lists it.
const HOME: [Station; 5] =
    [Station::Floor, Station::Chair, Station::Step, Station::Dumbbells, Station::Bands];

/// A garage with rack, bar, discs, bench, dumbbells and a pull-up bar. A rack and a bench make a bench-press station.
const GARAGE: [Station; 11] = [
    Station::Floor,
    Station::Chair,
    Station::Step,
    Station::Dumbbells,
    Station::Bands,
    Station::Plate,
    Station::StraightBar,
    Station::Bench,
    Station::BenchPressStation,
    Station::Rack,
    Station::PullUpBar,
];

/// The stations of this equipment: those of the place and those listed besides, less those that are missing.
/// What was told apart from a station that is missing is there only if it is listed. The floor is always there.
pub(crate) fn stations(equipment: &Equipment) -> BTreeSet<Station> {
    let of_place = match equipment.place {
        Place::Bare => &BARE[..],
        Place::HomeDumbbells => &HOME[..],
        Place::Garage => &GARAGE[..],
        Place::FullGym => Station::ALL,
    };
    let mut there: BTreeSet<Station> = of_place.iter().chain(&equipment.also).copied().collect();
    let missing = |station: &Station| equipment.without.contains(station);
    there.retain(|station| {
        let went_with = station.once_part_of().is_some_and(|whole| missing(&whole));
        !missing(station) && (!went_with || equipment.also.contains(station))
    });
    there.insert(Station::Floor);
    there
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;
    use crate::room::Room;

    fn at(place: Place) -> Equipment {
        Equipment { place, ..Equipment::default() }
    }

    fn possible(id: &str, equipment: &Equipment) -> bool {
        let exercise = builtin().get(&id.into()).expect("a known exercise");
        Room::of(equipment).can_do(exercise)
    }

    #[test]
    fn each_place_has_all_that_the_smaller_one_has() {
        let places = [Place::Bare, Place::HomeDumbbells, Place::Garage, Place::FullGym];
        let lists = places.map(|place| stations(&at(place)));
        assert!(lists.windows(2).all(|pair| pair[0].is_subset(&pair[1]) && pair[0].len() < pair[1].len()));
        assert_eq!(lists[3].len(), Station::ALL.len());
    }

    #[test]
    fn a_lift_is_possible_only_with_all_its_stations() {
        assert!(possible("press_up", &at(Place::Bare)));
        assert!(!possible("dumbbell_curl", &at(Place::Bare)));
        assert!(possible("dumbbell_curl", &at(Place::HomeDumbbells)));
        assert!(!possible("dumbbell_bench_press", &at(Place::HomeDumbbells)), "a chair is not a bench");
        assert!(possible("bench_press", &at(Place::Garage)));
        assert!(possible("back_squat", &at(Place::Garage)));
        assert!(!possible("leg_press", &at(Place::Garage)));
        assert!(builtin().iter().all(|e| Room::of(&at(Place::FullGym)).can_do(e)));
    }

    #[test]
    fn stations_can_be_added_and_taken_away() {
        let mut home = at(Place::HomeDumbbells);
        home.also.push(Station::Bench);
        assert!(possible("dumbbell_bench_press", &home));
        home.without.push(Station::Dumbbells);
        assert!(!possible("dumbbell_bench_press", &home));
        let mut gym = at(Place::FullGym);
        gym.without.push(Station::LegPressMachine);
        assert!(!possible("leg_press", &gym));
    }

    #[test]
    fn an_older_brief_without_a_station_is_without_what_was_told_apart_from_it() {
        let mut gym = at(Place::FullGym);
        assert!(possible("seated_leg_press", &gym) && possible("machine_incline_press", &gym));
        gym.without = vec![Station::LegPressMachine, Station::ChestPressMachine];
        assert!(!possible("seated_leg_press", &gym) && !possible("machine_incline_press", &gym));
        gym.also.push(Station::SeatedLegPressMachine);
        assert!(possible("seated_leg_press", &gym) && !possible("leg_press", &gym));
        gym.without.push(Station::SeatedLegPressMachine);
        assert!(!possible("seated_leg_press", &gym), "what is missing wins");
    }

    #[test]
    fn a_garage_has_no_bench_or_bar_that_it_did_not_list() {
        let mut garage = at(Place::Garage);
        assert!(!possible("safety_bar_squat", &garage) && !possible("decline_sit_up", &garage));
        garage.also = vec![Station::SafetyBar, Station::DeclineBench];
        assert!(possible("safety_bar_squat", &garage) && possible("decline_sit_up", &garage));
    }

    #[test]
    fn every_station_keeps_its_identifier() {
        for old in
            ["leg_press_machine", "chest_press_machine", "back_extension_bench", "smith_machine", "plate"]
        {
            assert!(Station::from_id(old).is_some(), "{old}");
        }
        for station in Station::ALL {
            assert!(
                station.once_part_of().is_none_or(|whole| whole.once_part_of().is_none()),
                "{}",
                station.id()
            );
        }
    }

    #[test]
    fn what_is_missing_wins_over_what_is_listed_but_the_floor_stays() {
        let equipment = Equipment {
            place: Place::Bare,
            also: vec![Station::Rack],
            without: vec![Station::Rack, Station::Floor],
            ..Equipment::default()
        };
        assert_eq!(stations(&equipment), BTreeSet::from(BARE));
    }
}
