//! Looking up the catalogue: by words, muscles, stations, patterns, place and skill.

use serde::Serialize;
use setwright_gym::{names, room::Room};
use setwright_model::brief::{Equipment, Place};
use setwright_model::{
    Block, BlockKind, Catalogue, Exercise, Muscle, Pattern, Prescription, Session, Station,
};
use setwright_science::clock;

/// What is looked for; an empty list asks for nothing.
#[derive(Clone, Debug, Default)]
pub struct Query {
    /// Words that must all occur in a name, pattern, muscle or station.
    pub words: String,
    /// Muscles trained directly, all of them.
    pub muscles: Vec<Muscle>,
    /// Stations used, all of them.
    pub stations: Vec<Station>,
    /// Patterns, any of them.
    pub patterns: Vec<Pattern>,
    /// Only what can be done there.
    pub place: Option<Place>,
    /// Highest skill.
    pub skill_most: Option<u8>,
    /// What comes first.
    pub sort: Sort,
}

/// What comes first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sort {
    /// Most fractional sets a minute.
    #[default]
    Value,
    /// By name.
    Name,
}

/// What was found.
#[derive(Clone, Debug, Default)]
pub struct SearchHits {
    /// In the order asked for.
    pub exercises: Vec<ExerciseView>,
    /// Whether nothing had the words and these only come near.
    pub by_likeness: bool,
    /// Near names, when nothing at all was found.
    pub near: Vec<String>,
}

/// An exercise as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExerciseView {
    /// Identifier for files.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// Other spoken names.
    pub also: Vec<String>,
    /// Movement pattern.
    pub pattern: &'static str,
    /// Muscles that get the whole set.
    pub direct: Vec<&'static str>,
    /// Muscles that get half a set.
    pub half: Vec<&'static str>,
    /// Muscles that get a quarter of a set.
    pub quarter: Vec<&'static str>,
    /// Stations by identifier.
    pub stations: Vec<&'static str>,
    /// Stations by plain name.
    #[serde(skip)]
    pub station_names: Vec<&'static str>,
    /// Skill from 1 to 3.
    pub skill: u8,
    /// What it asks of the joints.
    pub asks: Vec<&'static str>,
    /// Fractional sets of all muscles together that a minute brings.
    pub sets_per_minute: f64,
}

impl ExerciseView {
    /// The view of an exercise.
    pub fn of(exercise: &Exercise, catalogue: &Catalogue) -> Self {
        let names = |muscles: &[Muscle]| muscles.iter().map(|m| m.name()).collect();
        Self {
            id: exercise.id.to_string(),
            name: exercise.name.clone(),
            also: exercise.also.clone(),
            pattern: exercise.pattern.id(),
            direct: names(&exercise.direct),
            half: names(&exercise.half),
            quarter: names(&exercise.quarter),
            stations: exercise.stations.iter().map(|s| s.id()).collect(),
            station_names: exercise.stations.iter().map(|s| s.name()).collect(),
            skill: exercise.skill,
            asks: exercise.asks.iter().map(|a| a.id()).collect(),
            sets_per_minute: sets_per_minute(exercise, catalogue),
        }
    }

    /// The muscles that get the whole set, in words; some exercises are no set of any.
    pub fn trains(&self) -> String {
        if self.direct.is_empty() { "no dose".to_owned() } else { self.direct.join(", ") }
    }
}

/// Sets by which exercises are compared.
const COMPARED_SETS: u32 = 3;

/// Fractional sets of all muscles together in three straight sets at the usual reps and rest, divided by the
/// minutes they take on the session clock, set-up included.
pub fn sets_per_minute(exercise: &Exercise, catalogue: &Catalogue) -> f64 {
    let prescription = Prescription {
        id: exercise.id.clone(),
        sets: COMPARED_SETS,
        reps: exercise.reps,
        rir: 2,
        load_kg: None,
        ramp: Vec::new(),
    };
    let block = Block { kind: BlockKind::Straight, rest_s: exercise.rest_s, exercises: vec![prescription] };
    let session = Session { day: 1, focus: String::new(), blocks: vec![block] };
    let minutes = clock::session(&session, catalogue, false).map_or(0.0, |t| t.minutes().get());
    let sets: f64 = exercise.contributions().map(|(_, share)| share).sum::<f64>() * f64::from(COMPARED_SETS);
    if minutes > 0.0 { sets / minutes } else { 0.0 }
}

/// How many near exercises are shown when no name has the words.
const NEAR_SHOWN: usize = 5;

/// Looks up the catalogue.
pub fn search(catalogue: &Catalogue, query: &Query) -> SearchHits {
    let there = query.place.map(|place| Room::of(&Equipment { place, ..Equipment::default() }));
    let fits = |e: &&Exercise| {
        query.muscles.iter().all(|m| e.direct.contains(m))
            && query.stations.iter().all(|s| e.stations.contains(s))
            && (query.patterns.is_empty() || query.patterns.contains(&e.pattern))
            && query.skill_most.is_none_or(|most| e.skill <= most)
            && there.as_ref().is_none_or(|there| there.can_do(e))
    };
    let words = words(&query.words);
    let named: Vec<&Exercise> = catalogue.iter().filter(fits).filter(|e| has_words(e, &words)).collect();
    if !named.is_empty() || words.is_empty() {
        return SearchHits { exercises: sorted(&named, catalogue, query.sort), ..SearchHits::default() };
    }
    let near = names::find(catalogue, &query.words);
    let fitting: Vec<ExerciseView> = near
        .iter()
        .map(|(e, _)| *e)
        .filter(fits)
        .take(NEAR_SHOWN)
        .map(|e| ExerciseView::of(e, catalogue))
        .collect();
    let near = near.iter().take(NEAR_SHOWN).map(|(e, _)| format!("\"{}\"", e.name)).collect();
    SearchHits { by_likeness: !fitting.is_empty(), exercises: fitting, near }
}

fn sorted(exercises: &[&Exercise], catalogue: &Catalogue, sort: Sort) -> Vec<ExerciseView> {
    let mut views: Vec<ExerciseView> = exercises.iter().map(|e| ExerciseView::of(e, catalogue)).collect();
    match sort {
        Sort::Name => views.sort_by(|a, b| a.name.cmp(&b.name)),
        Sort::Value => {
            views.sort_by(|a, b| b.sets_per_minute.total_cmp(&a.sets_per_minute).then(a.name.cmp(&b.name)));
        }
    }
    views
}

fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Whether every word begins a word of some name of the exercise, its pattern, its prime muscles or stations.
fn has_words(exercise: &Exercise, wanted: &[String]) -> bool {
    let names = names::spoken(exercise).map(str::to_owned);
    let around = std::iter::once(exercise.pattern.name())
        .chain(exercise.direct.iter().map(|m| m.name()))
        .chain(exercise.stations.iter().map(|s| s.name()));
    let all: Vec<String> = names.chain(around.map(str::to_owned)).flat_map(|n| words(&n)).collect();
    wanted.iter().all(|w| all.iter().any(|have| have.starts_with(w.as_str())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_gym::catalogue::builtin;

    fn ids(query: &Query) -> Vec<String> {
        search(builtin(), query).exercises.into_iter().map(|e| e.id).collect()
    }

    #[test]
    fn every_condition_narrows_the_search() {
        let chest = Query { muscles: vec![Muscle::Chest], ..Query::default() };
        let at_home = Query { place: Some(Place::HomeDumbbells), ..chest.clone() };
        let easy = Query { skill_most: Some(1), ..at_home.clone() };
        let (all, home, simple) = (ids(&chest), ids(&at_home), ids(&easy));
        assert!(all.len() > home.len() && home.len() >= simple.len() && !simple.is_empty());
        assert!(all.contains(&"bench_press".to_owned()) && !home.contains(&"bench_press".to_owned()));
    }

    #[test]
    fn the_best_value_comes_first() {
        let found = search(builtin(), &Query::default()).exercises;
        assert_eq!(found.len(), builtin().len());
        assert!(found.windows(2).all(|w| w[0].sets_per_minute >= w[1].sets_per_minute));
        let dosed = |id: &str| builtin().get(&id.into()).is_some_and(|e| e.pattern.has_dose());
        assert!(found.iter().all(|e| !dosed(&e.id) || e.sets_per_minute > 0.0));
    }

    #[test]
    fn a_misspelt_word_finds_what_is_near_and_says_so() {
        let found = search(builtin(), &Query { words: "benhc pres".to_owned(), ..Query::default() });
        assert!(found.by_likeness);
        assert!(found.exercises.iter().any(|e| e.id == "bench_press"));
    }

    #[test]
    fn value_is_sets_of_all_muscles_over_the_minutes_of_three_sets() {
        let exercise = builtin().get(&"leg_extension".into()).expect("known");
        let work = exercise.work(f64::from(exercise.reps[0] + exercise.reps[1]) / 2.0).get() * 3.0;
        let minutes = (exercise.setup_s.get() + work + 2.0 * exercise.rest_s.get()) / 60.0;
        let sets: f64 = exercise.contributions().map(|(_, c)| 3.0 * c).sum();
        assert!((sets_per_minute(exercise, builtin()) - sets / minutes).abs() < 1e-9);
    }
}
