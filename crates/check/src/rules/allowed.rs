//! Whether an exercise may be asked of the client at all: known (SW110), stations there (SW111), not excluded (SW112); and
//! how much of it: once a session (SW114), sets and exercises within the rules (SW115), one variant of a pattern (SW116).
//! Amounts are mended, never refused. Skill is judged in `ability`, conditions in `conditions`.

use crate::client::why_excluded;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{count, list};
use setwright_model::{Exercise, Pattern, Severity};
use setwright_science::rules::VARIANTS_FOR_PRIORITY;
use std::collections::{BTreeMap, BTreeSet};

/// Sets of a strength client's main lift (common practice, no source (T): five or six sets of few reps).
const MAIN_SETS: u32 = 6;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        unknown(scene, stage, out);
        for item in &stage.items {
            let at = At::Exercise(stage.rank, item.block, item.lane);
            missing_station(scene, at, item.exercise, out);
            excluded(scene, at, item.exercise, out);
            sets(scene, stage, at, item, out);
        }
        repeated(stage, out);
        too_many(scene, stage, out);
        variants(scene, stage, out);
    }
}

fn unknown(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    for (block, b) in stage.session.blocks.iter().enumerate() {
        for (lane, p) in b.exercises.iter().enumerate() {
            if scene.catalogue.get(&p.id).is_none() {
                let cause = format!("The catalogue has no exercise \"{}\".", p.id);
                let hint = "Look for its name with `setwright exercises`; it counts for nothing here.";
                out.error(At::Exercise(stage.rank, block, lane), "SW110", cause, hint);
            }
        }
    }
}

fn missing_station(scene: &Scene<'_>, at: At, exercise: &Exercise, out: &mut Findings) {
    let Some(there) = &scene.client.there else { return };
    let missing: Vec<String> = there.missing_for(exercise).into_iter().map(str::to_owned).collect();
    if !missing.is_empty() {
        let cause = format!("There is no {} where the client trains.", list(&missing));
        out.error(at, "SW111", cause, swap_hint(scene, exercise));
    }
}

fn excluded(scene: &Scene<'_>, at: At, exercise: &Exercise, out: &mut Findings) {
    if let Some(cause) = scene.brief.and_then(|b| why_excluded(exercise, &b.exclude)) {
        out.error(at, "SW112", cause, swap_hint(scene, exercise));
    }
}

/// Exercises that may be prescribed instead: the easier neighbours, the harder ones, then any of the pattern.
pub(crate) fn neighbours<'c>(
    scene: &'c Scene<'_>,
    exercise: &'c Exercise,
) -> impl Iterator<Item = &'c Exercise> {
    let listed = || exercise.easier.iter().chain(&exercise.harder);
    let like = |e: &&Exercise| e.pattern == exercise.pattern && e.prime() == exercise.prime();
    let others = scene.catalogue.iter().filter(like).filter(move |e| listed().all(|id| *id != e.id));
    let all = listed().filter_map(|id| scene.catalogue.get(id)).chain(others);
    all.filter(|e| e.id != exercise.id && scene.is_allowed(e))
}

/// Says what could be done instead.
pub(crate) fn swap_hint(scene: &Scene<'_>, exercise: &Exercise) -> String {
    neighbours(scene, exercise).next().map_or_else(
        || "Take it out; the catalogue has no neighbour that may be done.".to_owned(),
        |e| format!("Swap it, for example for {}.", e.name),
    )
}

fn sets(scene: &Scene<'_>, stage: &Stage<'_>, at: At, item: &Item<'_>, out: &mut Findings) {
    let (least, most) = scene.rules.sets;
    let most = if scene.is_main(item.exercise) { most.max(MAIN_SETS) } else { most };
    let have = item.prescription.sets;
    if have == 0 || (least..=most).contains(&have) {
        return;
    }
    if scene.locks_sets(stage.rank, &item.exercise.id, have) {
        return;
    }
    let range = if least == most { least.to_string() } else { format!("{least} to {most}") };
    let cause = format!("{} of it; the rule for this client is {range}.", count(have, "set"));
    let hint =
        if have < least { "Add a set, or take it out." } else { "Drop a set, or add another exercise." };
    let off = if have < least { least - have } else { have - most };
    out.add(at, Severity::Warning, "SW115", cause, hint).by(f64::from(off));
}

fn repeated(stage: &Stage<'_>, out: &mut Findings) {
    let mut seen = BTreeMap::new();
    for item in &stage.items {
        if let Some(first) = seen.insert(&item.exercise.id, item.block) {
            let cause = format!("It is already in block {}.", first + 1);
            let at = At::Exercise(stage.rank, item.block, item.lane);
            out.add(at, Severity::Warning, "SW114", cause, "Put the sets together in one place.");
        }
    }
}

fn too_many(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let (have, most) = (stage.items.len() as u32, scene.rules.exercises);
    if have > most {
        let cause = format!("{}; the rule for this client is {most} at most.", count(have, "exercise"));
        let hint = "Take out the exercises that add least.";
        out.add(At::Session(stage.rank), Severity::Warning, "SW115", cause, hint).by(f64::from(have - most));
    }
}

/// One exercise of a pattern a session, two for a priority muscle. What the coach has fixed is not counted.
fn variants(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let mut by_pattern: BTreeMap<Pattern, Vec<&Exercise>> = BTreeMap::new();
    for item in stage.items.iter().filter(|i| !scene.is_locked(stage.rank, &i.exercise.id)) {
        by_pattern.entry(item.exercise.pattern).or_default().push(item.exercise);
    }
    for (pattern, found) in by_pattern {
        let wanted = found.iter().filter_map(|e| e.prime()).any(|m| scene.is_priority(m));
        let most = if wanted { VARIANTS_FOR_PRIORITY } else { 1 };
        let different: BTreeSet<_> = found.iter().map(|e| &e.id).collect();
        if different.len() > most {
            let names: Vec<String> = found.iter().map(|e| e.name.clone()).collect();
            let cause = format!(
                "{} are {} variants of one pattern ({}); {most} may be.",
                list(&names),
                different.len(),
                pattern.name()
            );
            let hint = "Keep one and give it the sets.";
            out.add(At::Session(stage.rank), Severity::Warning, "SW116", cause, hint)
                .by((different.len() - most) as f64);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, WARNING, curl, exercise, press, row, sets, squat, straight, with};
    use setwright_model::brief::{Place, Priority};
    use setwright_model::exercise::Ask;
    use setwright_model::station::Station;
    use setwright_model::{Exercise, Muscle, Pattern};

    fn one(exercise: Exercise) -> Case {
        let block = straight(sets(exercise.id.as_str(), 3));
        Case::new([exercise]).day(1, [block])
    }

    #[test]
    fn unknown_exercises_are_named() {
        let case = one(press()).day(3, [straight(sets("prss", 3))]);
        assert_eq!(case.said("SW110"), ERROR);
        assert!(case.report().findings.iter().any(|f| f.cause.contains("prss")));
        assert_eq!(one(press()).said("SW110"), NONE);
    }

    #[test]
    fn stations_must_be_there() {
        let at = |place| {
            let bench = with(press(), |e| e.stations = vec![Station::Bench]);
            one(bench).brief(|b| b.equipment.place = place).said("SW111")
        };
        assert_eq!(at(Place::FullGym), NONE);
        assert_eq!(at(Place::Bare), ERROR);
    }

    #[test]
    fn exclusions_are_kept_in_all_four_forms() {
        let asks = with(press(), |e| e.asks = vec![Ask::WristSupport]);
        let case = one(asks);
        assert_eq!(case.said("SW112"), NONE);
        assert_eq!(case.clone().brief(|b| b.exclude.exercises = vec!["press".into()]).said("SW112"), ERROR);
        assert_eq!(case.clone().brief(|b| b.exclude.exercises = vec!["row".into()]).said("SW112"), NONE);
        assert_eq!(case.clone().brief(|b| b.exclude.asks = vec![Ask::WristSupport]).said("SW112"), ERROR);
        assert_eq!(case.clone().brief(|b| b.exclude.asks = vec![Ask::Overhead]).said("SW112"), NONE);
        let pattern = |p| case.clone().brief(|b| b.exclude.patterns = vec![p]).said("SW112");
        assert_eq!(pattern(Pattern::HorizontalPress), ERROR);
        assert_eq!(pattern(Pattern::InclinePress), NONE);
        let muscle = |m| case.clone().brief(|b| b.exclude.muscles = vec![m]).said("SW112");
        assert_eq!(muscle(Muscle::Chest), ERROR);
        assert_eq!(muscle(Muscle::Triceps), NONE, "only direct work is excluded");
    }

    #[test]
    fn hints_name_a_neighbour_that_may_be_done() {
        let hard = with(press(), |e| {
            e.stations = vec![Station::Bench];
            e.easier = vec!["machine".into(), "press_up".into()];
        });
        let like = |id: &str, station| {
            with(exercise(id, Pattern::HorizontalPress, &[Muscle::Chest], &[]), |e| {
                e.stations = vec![station];
            })
        };
        let all = [hard, like("machine", Station::ChestPressMachine), like("press_up", Station::Floor)];
        let case =
            Case::new(all).day(1, [straight(sets("press", 3))]).brief(|b| b.equipment.place = Place::Bare);
        let report = case.report();
        let finding = report.findings.iter().find(|f| f.code == "SW111").expect("no bench there");
        assert!(finding.hint.contains("press up"), "{:?}", finding.hint);
    }

    #[test]
    fn an_exercise_stands_once_in_a_session() {
        let twice =
            Case::new([press(), row()]).day(1, ["press", "row", "press"].map(|id| straight(sets(id, 3))));
        assert_eq!(twice.said("SW114"), WARNING);
        let two_days = one(press()).day(4, [straight(sets("press", 3))]);
        assert_eq!(two_days.said("SW114"), NONE);
    }

    #[test]
    fn sets_are_within_the_rules_unless_the_coach_fixed_them() {
        let n = |n| Case::new([press()]).day(1, [straight(sets("press", n))]);
        assert_eq!(n(2).said("SW115"), NONE);
        assert_eq!(n(4).said("SW115"), NONE);
        assert_eq!(n(1).said("SW115"), WARNING);
        assert_eq!(n(5).said("SW115"), WARNING);
        assert_eq!(n(5).lock("press", |l| l.sets = Some(5)).said("SW115"), NONE);
        assert_eq!(n(5).lock("press", |_| {}).said("SW115"), WARNING, "the lock leaves the sets free");
    }

    #[test]
    fn a_session_has_not_too_many_exercises() {
        let many = |n: usize| {
            let all: Vec<_> =
                (0..n).map(|i| exercise(&format!("e{i}"), Pattern::ALL[i], &[Muscle::Calves], &[])).collect();
            let blocks: Vec<_> = all.iter().map(|e| straight(sets(e.id.as_str(), 2))).collect();
            Case::new(all).day(1, blocks).said("SW115")
        };
        assert_eq!(many(14), NONE);
        assert_eq!(many(15), WARNING);
    }

    fn presses(n: usize) -> Case {
        let ids = ["a", "b", "c"].map(|id| exercise(id, Pattern::HorizontalPress, &[Muscle::Chest], &[]));
        let blocks: Vec<_> = ids.iter().take(n).map(|e| straight(sets(e.id.as_str(), 2))).collect();
        Case::new(ids).day(1, blocks)
    }

    #[test]
    fn one_variant_of_a_pattern_is_enough() {
        assert_eq!(presses(1).said("SW116"), NONE);
        assert_eq!(presses(2).said("SW116"), WARNING);
        let other = Case::new([squat(), curl()]).day(1, ["squat", "curl"].map(|id| straight(sets(id, 2))));
        assert_eq!(other.said("SW116"), NONE);
    }

    #[test]
    fn a_priority_muscle_may_have_two_variants() {
        let high = |n| presses(n).wish(Muscle::Chest, |w| w.priority = Some(Priority::High));
        assert_eq!(high(2).said("SW116"), NONE);
        assert_eq!(high(3).said("SW116"), WARNING);
    }

    #[test]
    fn a_fixed_variant_is_not_counted() {
        assert_eq!(presses(2).lock("a", |_| {}).said("SW116"), NONE);
        assert_eq!(presses(3).lock("a", |_| {}).said("SW116"), WARNING);
    }

    #[test]
    fn a_strength_clients_main_lift_may_have_six_sets() {
        let bar = with(press(), |e| e.load = setwright_model::exercise::LoadKind::Bar);
        let case = |n| Case::new([bar.clone()]).day(1, [straight(sets("press", n))]).told("press", 100.0, 5);
        let strong = |n| case(n).brief(|b| b.goal = setwright_model::brief::Goal::Strength).said("SW115");
        assert_eq!((strong(6), strong(7)), (NONE, WARNING));
        assert_eq!(case(5).said("SW115"), WARNING, "not for size");
    }
}
