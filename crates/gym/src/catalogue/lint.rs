//! What is wrong with a catalogue, in words; judges the form of the data, never how well an exercise trains.

use crate::names;
use setwright_model::exercise::{Catalogue, Exercise, ExerciseId, LoadKind, Measure};
use setwright_model::muscle::Muscle;
use setwright_model::pattern::Pattern;
use setwright_model::station::{Area, Station};
use std::collections::{BTreeMap, BTreeSet};

/// Everything that is wrong with the catalogue, one sentence each, ordered by exercise; empty when it is sound.
pub fn problems(catalogue: &Catalogue) -> Vec<String> {
    let mut found = Vec::new();
    for exercise in catalogue.iter() {
        let mut said = Vec::new();
        check_id(exercise, &mut said);
        check_muscles(exercise, &mut said);
        check_load(exercise, &mut said);
        check_numbers(exercise, &mut said);
        check_measure(exercise, &mut said);
        check_neighbours(catalogue, exercise, &mut said);
        check_ladder(catalogue, exercise, &mut said);
        check_anchor(catalogue, exercise, &mut said);
        found.extend(said.into_iter().map(|what| format!("{}: {what}", exercise.id)));
    }
    check_names(catalogue, &mut found);
    found
}

fn check_id(exercise: &Exercise, said: &mut Vec<String>) {
    let word = |w: &str| !w.is_empty() && w.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    if !exercise.id.as_str().split('_').all(word) {
        said.push("the identifier is not lower-case words joined by underscores".to_owned());
    }
    if exercise.name.trim().is_empty() || exercise.also.iter().any(|name| name.trim().is_empty()) {
        said.push("a name is empty".to_owned());
    }
}

fn check_muscles(exercise: &Exercise, said: &mut Vec<String>) {
    if exercise.pattern.has_dose() && exercise.direct.is_empty() {
        said.push("no muscle gets the whole set".to_owned());
    }
    if !exercise.pattern.has_dose() && !exercise.direct.is_empty() {
        said.push(format!("a {} is no set of one of the muscle groups", exercise.pattern.name()));
    }
    let mut seen: BTreeSet<Muscle> = BTreeSet::new();
    for muscle in exercise.direct.iter().chain(&exercise.half).chain(&exercise.quarter) {
        if !seen.insert(*muscle) {
            said.push(format!("{muscle} is listed twice"));
        }
    }
    if exercise.pattern.is_compound() && seen.len() < 2 {
        said.push(format!("a {} moves more than one joint but lists one muscle", exercise.pattern.name()));
    }
}

/// The load must be something that the stations provide.
fn check_load(exercise: &Exercise, said: &mut Vec<String>) {
    let at = |wanted: &[Station]| exercise.stations.iter().any(|s| wanted.contains(s));
    let in_area = |area: Area| exercise.stations.iter().any(|s| s.area() == area);
    if exercise.stations.is_empty() {
        said.push("it occupies no station".to_owned());
    }
    let provided = match exercise.load {
        LoadKind::Bar => at(&BAR_STATIONS),
        LoadKind::DumbbellPair | LoadKind::Dumbbell => at(&[Station::Dumbbells]),
        LoadKind::Kettlebell | LoadKind::KettlebellPair => at(&[Station::Kettlebell]),
        LoadKind::Stack => in_area(Area::Cables) || in_area(Area::Machines),
        LoadKind::Discs => in_area(Area::Machines) || at(&[Station::Landmine, Station::Sled]),
        LoadKind::Single => at(&[Station::Plate, Station::MedicineBall, Station::Sandbag]),
        LoadKind::Assisted => at(&[Station::AssistedPullUpMachine]),
        LoadKind::Band => at(&[Station::Bands]),
        LoadKind::Body | LoadKind::BodyPlus => true,
    };
    if !provided {
        said.push("no station provides the load".to_owned());
    }
    let unloaded = matches!(exercise.load, LoadKind::Body | LoadKind::Band);
    if unloaded != (exercise.step_kg.0 == 0.0) {
        said.push("the step of the load must be 0 for the body and bands alone".to_owned());
    }
    let outside =
        !matches!(exercise.load, LoadKind::Body | LoadKind::BodyPlus | LoadKind::Assisted | LoadKind::Band);
    if outside && exercise.body_share.0 > 0.0 {
        said.push("an outside load lifts no share of the body".to_owned());
    }
    if matches!(exercise.load, LoadKind::BodyPlus | LoadKind::Assisted) && exercise.body_share.0 <= 0.0 {
        said.push("a share of the body must be lifted".to_owned());
    }
}

const BAR_STATIONS: [Station; 6] = [
    Station::StraightBar,
    Station::CurlBar,
    Station::BenchPressStation,
    Station::Rack,
    Station::Platform,
    Station::TrapBar,
];

/// Numbers outside what is seen in gyms are slips of the pen (judgement).
fn check_numbers(exercise: &Exercise, said: &mut Vec<String>) {
    let mut range = |what: &str, value: f64, low: f64, high: f64| {
        if !(low..=high).contains(&value) {
            said.push(format!("{what} {value} is outside {low} to {high}"));
        }
    };
    range("seconds_per_rep", exercise.seconds_per_rep.0, 0.5, 30.0);
    range("setup_s", exercise.setup_s.0, 10.0, 90.0);
    range("changeover_s", exercise.changeover_s.0, 5.0, 20.0);
    range("rest_s", exercise.rest_s.0, 45.0, 180.0);
    range("step_kg", exercise.step_kg.0, 0.0, 20.0);
    range("body_share", exercise.body_share.0, 0.0, 1.0);
    range("skill", f64::from(exercise.skill), 1.0, 3.0);
    for (what, cost) in
        [("systemic", exercise.systemic), ("spinal", exercise.spinal), ("grip", exercise.grip)]
    {
        range(what, f64::from(cost), 0.0, 3.0);
    }
    let [low, high] = exercise.reps;
    range("reps", f64::from(low), 1.0, f64::from(high));
    range("reps", f64::from(high), f64::from(low), 60.0);
}

fn check_measure(exercise: &Exercise, said: &mut Vec<String>) {
    let one_second = (exercise.seconds_per_rep.0 - 1.0).abs() < f64::EPSILON;
    if exercise.measure == Measure::Seconds && !one_second {
        said.push("a hold counts seconds, so a rep takes one".to_owned());
    }
    let wanted = match exercise.pattern {
        Pattern::Carry => Measure::Metres,
        Pattern::GripHold => Measure::Seconds,
        _ => return,
    };
    if exercise.measure != wanted {
        said.push(format!("a {} is not counted that way", exercise.pattern.name()));
    }
}

fn check_neighbours(catalogue: &Catalogue, exercise: &Exercise, said: &mut Vec<String>) {
    for (id, is_harder) in neighbours(exercise) {
        let Some(other) = catalogue.get(id) else {
            said.push(format!("its neighbour {id} does not exist"));
            continue;
        };
        let (back, wrong) =
            if is_harder { (&other.easier, &other.harder) } else { (&other.harder, &other.easier) };
        if id == &exercise.id || wrong.contains(&exercise.id) {
            said.push(format!("it is both easier and harder than {id}"));
        } else if !back.contains(&exercise.id) {
            said.push(format!("{id} does not list it in return"));
        }
        let (skill_low, skill_high) =
            if is_harder { (exercise.skill, other.skill) } else { (other.skill, exercise.skill) };
        if skill_low > skill_high {
            said.push(format!("the easier of it and {id} takes more skill"));
        }
        if !is_akin(exercise, other) {
            said.push(format!("{id} trains something else"));
        }
    }
}

/// Going from harder to harder must end.
fn check_ladder(catalogue: &Catalogue, exercise: &Exercise, said: &mut Vec<String>) {
    let mut above: BTreeSet<&ExerciseId> = BTreeSet::new();
    let mut to_visit: Vec<&ExerciseId> = exercise.harder.iter().collect();
    while let Some(id) = to_visit.pop() {
        if above.insert(id) {
            to_visit.extend(catalogue.get(id).into_iter().flat_map(|e| &e.harder));
        }
    }
    if above.contains(&exercise.id) {
        said.push("it is harder than itself by way of its neighbours".to_owned());
    }
}

/// Neighbours, and whether each is harder.
fn neighbours(exercise: &Exercise) -> impl Iterator<Item = (&ExerciseId, bool)> {
    let easier = exercise.easier.iter().map(|id| (id, false));
    easier.chain(exercise.harder.iter().map(|id| (id, true)))
}

/// Of one pattern, or with a muscle that is direct in both.
fn is_akin(a: &Exercise, b: &Exercise) -> bool {
    a.pattern == b.pattern || a.direct.iter().any(|m| b.direct.contains(m))
}

/// Shares of an anchor that can be meant (judgement: a small raise of a press, a sledge of a squat).
const SHARES: std::ops::RangeInclusive<f64> = 0.02..=2.5;

fn check_anchor(catalogue: &Catalogue, exercise: &Exercise, said: &mut Vec<String>) {
    let Some(anchor) = &exercise.anchor else { return };
    if !SHARES.contains(&anchor.share.0) {
        said.push(format!("its share of {} is not plausible", anchor.lift));
    }
    if !has_weight(exercise.load) {
        said.push("it has no load that could be guessed".to_owned());
    }
    let mut seen = BTreeSet::from([&exercise.id]);
    let mut lift = &anchor.lift;
    loop {
        let Some(next) = catalogue.get(lift) else {
            said.push(format!("the lift {lift} that its load is guessed from does not exist"));
            return;
        };
        if !has_weight(next.load) {
            said.push(format!("{lift} has no load to guess from"));
        }
        if !seen.insert(lift) {
            said.push(format!("its load is guessed in a circle through {lift}"));
            return;
        }
        match &next.anchor {
            Some(further) => lift = &further.lift,
            None => return,
        }
    }
}

const fn has_weight(load: LoadKind) -> bool {
    !matches!(load, LoadKind::Body | LoadKind::BodyPlus | LoadKind::Assisted | LoadKind::Band)
}

/// One spoken name must mean one exercise.
fn check_names(catalogue: &Catalogue, found: &mut Vec<String>) {
    let mut owners: BTreeMap<String, &ExerciseId> = BTreeMap::new();
    for exercise in catalogue.iter() {
        for name in names::spoken(exercise) {
            let owner = owners.entry(names::key(name)).or_insert(&exercise.id);
            if *owner != &exercise.id {
                found.push(format!("{}: the name \"{name}\" is also that of {owner}", exercise.id));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;
    use setwright_model::exercise::Anchor;
    use setwright_model::units::{Seconds, Share};

    /// The problems of the built-in catalogue once one exercise has been spoilt.
    fn after(id: &str, spoil: impl FnOnce(&mut Exercise)) -> String {
        let mut all: Vec<Exercise> = builtin().iter().cloned().collect();
        let exercise = all.iter_mut().find(|e| e.id.as_str() == id).expect("a known exercise");
        spoil(exercise);
        problems(&Catalogue::new(all)).join("\n")
    }

    fn check(id: &str, spoil: impl FnOnce(&mut Exercise), expected: &str) {
        let said = after(id, spoil);
        assert!(said.contains(expected), "expected \"{expected}\" in:\n{said}");
    }

    #[test]
    fn each_mistake_is_named() {
        check("plank", |e| e.id = "Plank-2".into(), "lower-case words");
        check("plank", |e| e.name = " ".to_owned(), "a name is empty");
        check("plank", |e| e.direct.clear(), "no muscle gets the whole set");
        check("box_jump", |e| e.direct.push(Muscle::Quads), "a jump is no set of one of the muscle groups");
        check("plank", |e| e.half.push(Muscle::Abs), "abs is listed twice");
        check("plank", |e| e.stations.clear(), "occupies no station");
        check("plank", |e| e.load = LoadKind::Kettlebell, "no station provides the load");
        check("plank", |e| e.seconds_per_rep = Seconds(2.0), "a hold counts seconds");
        check("plank", |e| e.reps = [60, 20], "reps");
        check("plank", |e| e.systemic = 4, "systemic 4");
        check("plank", |e| e.skill = 0, "skill 0");
        check("plank", |e| e.rest_s = Seconds(f64::NAN), "rest_s NaN");
        check("farmer_carry", |e| e.measure = Measure::Reps, "not counted that way");
        check("leg_press", |e| e.also.push("bench-presses".to_owned()), "is also that of bench_press");
        check("bench_press", |e| e.body_share = Share(0.5), "an outside load");
        check("pull_up", |e| e.body_share = Share(0.0), "a share of the body");
        check(
            "bench_press",
            |e| {
                e.half.clear();
                e.quarter.clear();
            },
            "more than one joint",
        );
    }

    #[test]
    fn neighbours_must_exist_answer_and_train_the_same() {
        check("plank", |e| e.harder.push("no_such_thing".into()), "no_such_thing does not exist");
        check("plank", |e| e.harder.push("crunch".into()), "crunch does not list it in return");
        check("plank", |e| e.easier.push("weighted_plank".into()), "both easier and harder");
        check("plank", |e| e.harder.push("leg_extension".into()), "leg_extension trains something else");
        check("weighted_plank", |e| e.skill = 0, "takes more skill");
        check("weighted_plank", |e| e.harder.push("knee_plank".into()), "harder than itself");
    }

    #[test]
    fn a_load_is_never_guessed_in_a_circle() {
        let from = |lift: &str, share: f64| Some(Anchor { lift: lift.into(), share: Share(share) });
        check("bench_press", |e| e.anchor = from("overhead_press", 1.5), "in a circle");
        check("bench_press", |e| e.anchor = from("bench_press", 1.0), "in a circle");
        check("bench_press", |e| e.anchor = from("no_such_lift", 1.0), "no_such_lift that its load");
        check("bench_press", |e| e.anchor = from("deadlift", 9.0), "not plausible");
        check("bench_press", |e| e.anchor = from("press_up", 1.0), "press_up has no load");
        check("press_up", |e| e.anchor = from("bench_press", 0.6), "no load that could be guessed");
    }
}
