//! Warm-up: who must have a ramp (SW140), what a ramp may be (SW141) and when it is too much (SW147). A sheet that mentions no
//! warm-up at all leaves it to the client, which is noted. Whether its loads can be made is judged in `loads`.

use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::exercise::LoadKind;
use setwright_model::{Exercise, ExerciseId, Kilograms, Prescription, RampStep, Sentence, Severity};
use setwright_science::curve::Curve;
use setwright_science::ramp::ramp;
use setwright_science::warmup::{self, WarmUpRole};

/// No step of a ramp is above this share of the work load (common practice, no source (T)).
const RAMP_SHARE_MAX: f64 = 0.9;
/// Grams do not count: rounding to loadable weights is judged elsewhere (judgement).
const TOLERANCE_KG: f64 = 0.01;
/// Before sets of so few reps, warm-up reps are kept to so many (common practice, no source (T); the numbers are judgement).
const FEW_REPS: u32 = 5;
const WARM_REPS_MAX: u32 = 20;
/// A load up to here needs no steps (judgement), and a bell up to here one at most (common practice, no source (T)).
const LIGHT_KG: f64 = 8.0;
const LIGHT_BELL_KG: f64 = 20.0;
/// A lift with a bar or in a machine has a step of its own from here on, however warm the muscles are (common practice, no
/// source (T): about twice the empty bar).
const BIG_KG: f64 = 40.0;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        for (item, role) in stage.items.iter().zip(roles(stage)) {
            let at = At::Exercise(stage.rank, item.block, item.lane);
            missing(scene, at, item, role, out);
            unrehearsed(scene, at, item, role, out);
            too_heavy(at, item.prescription, out);
            not_rising(at, item.prescription, out);
            too_much(at, item, out);
        }
    }
}

fn roles(stage: &Stage<'_>) -> Vec<WarmUpRole> {
    let exercises: Vec<&Exercise> = stage.items.iter().map(|i| i.exercise).collect();
    warmup::roles(&exercises)
}

/// The exercises of a session that lack the warm-up they need: block, lane, which.
pub(crate) fn unwarmed(scene: &Scene<'_>, session: usize) -> Vec<(usize, usize, ExerciseId)> {
    let Some(stage) = scene.stages.get(session) else { return Vec::new() };
    let cold = stage.items.iter().zip(roles(stage)).filter(|(i, role)| wanted(scene, i, *role).is_some());
    cold.map(|(i, _)| (i.block, i.lane, i.exercise.id.clone())).collect()
}

/// The warm-up that an exercise should have.
pub(crate) fn proposed(
    scene: &Scene<'_>,
    session: usize,
    block: usize,
    lane: usize,
) -> Option<Vec<RampStep>> {
    let stage = scene.stages.get(session)?;
    let mut items = stage.items.iter().zip(roles(stage));
    let (item, role) = items.find(|(i, _)| i.block == block && i.lane == lane)?;
    Some(ramp_of(scene, item, role))
}

/// The warm-up of an exercise in its role; without loads while the work load is not known.
fn ramp_of(scene: &Scene<'_>, item: &Item<'_>, role: WarmUpRole) -> Vec<RampStep> {
    let p = item.prescription;
    let loadable = scene.loadable(item.exercise).unwrap_or_default();
    let curve = Curve::of(item.exercise.curve);
    let light = scene.is_first_weeks();
    ramp(item.exercise, role, p.mid_reps(), p.rir, p.load_kg, &loadable, curve, light)
}

/// The warm-up that a lead lacks; none when it has one, or needs or can have none.
fn wanted(scene: &Scene<'_>, item: &Item<'_>, role: WarmUpRole) -> Option<Vec<RampStep>> {
    if role == WarmUpRole::Follower || !item.prescription.ramp.is_empty() {
        return None;
    }
    Some(ramp_of(scene, item, role)).filter(|steps| !steps.is_empty())
}

fn missing(scene: &Scene<'_>, at: At, item: &Item<'_>, role: WarmUpRole, out: &mut Findings) {
    let Some(steps) = wanted(scene, item, role) else { return };
    let reps: Vec<String> = steps.iter().map(|s| s.reps.to_string()).collect();
    let first = if role == WarmUpRole::SessionLead { "the session" } else { "its kind in the session" };
    let cause = format!("It is the first big lift of {first} and has no warm-up.");
    let severity = if mentions_none(scene) { Severity::Note } else { Severity::Error };
    out.add(
        at,
        severity,
        "SW140",
        cause,
        format!("Add warm-up sets of {} reps, rising in load.", reps.join(", ")),
    );
}

/// A big lift on warm muscles without a step of its own.
fn unrehearsed(scene: &Scene<'_>, at: At, item: &Item<'_>, role: WarmUpRole, out: &mut Findings) {
    let (e, p) = (item.exercise, item.prescription);
    let big = warmup::can_ramp(e)
        && e.pattern.is_compound()
        && e.systemic > 0
        && !is_bell(e)
        && p.load_kg.is_some_and(|l| l.get() >= BIG_KG);
    if role != WarmUpRole::Follower || !big || !p.ramp.is_empty() || mentions_none(scene) {
        return;
    }
    if !ramp_of(scene, item, role).is_empty() {
        let cause = "The muscles are warm, the load is big, and no step leads up to it.".to_owned();
        out.add(at, Severity::Warning, "SW140", cause, "Add one easy set of five, two from 100 kg on.");
    }
}

const fn is_bell(e: &Exercise) -> bool {
    matches!(
        e.load,
        LoadKind::Dumbbell | LoadKind::DumbbellPair | LoadKind::Kettlebell | LoadKind::KettlebellPair
    )
}

/// Whether no exercise of the programme has a warm-up: then the sheet is silent about it, and nothing was forgotten.
pub(crate) fn mentions_none(scene: &Scene<'_>) -> bool {
    scene.items().all(|(_, i)| i.prescription.ramp.is_empty())
}

/// Many warm-up reps spoil few heavy ones, and a light weight needs no steps.
fn too_much(at: At, item: &Item<'_>, out: &mut Findings) {
    let p = item.prescription;
    let steps = p.ramp.iter().filter(|s| s.load_kg.is_some()).count();
    let reps: u32 = p.ramp.iter().filter(|s| s.load_kg.is_some()).map(|s| s.reps.min(100)).sum();
    if p.reps[1] <= FEW_REPS && reps > WARM_REPS_MAX {
        let cause = format!("{reps} warm-up reps come before sets of {} at most.", p.reps[1]);
        let hint = "Fewer reps in each step, and fewer still near the work load.";
        out.add(at, Severity::Warning, "SW147", cause, hint);
    }
    let light_kg = if is_bell(item.exercise) { LIGHT_BELL_KG } else { LIGHT_KG };
    if steps >= 2 && p.load_kg.is_some_and(|l| l.get() <= light_kg) {
        let cause = format!("{steps} warm-up steps for a load that is light itself.");
        out.add(at, Severity::Warning, "SW147", cause, "One easy set, or none.");
    }
}

/// Whether every step is light enough for the work load.
pub(crate) fn is_light(p: &Prescription) -> bool {
    let most = p.load_kg.map_or(f64::INFINITY, |work| RAMP_SHARE_MAX * work.get() + TOLERANCE_KG);
    p.ramp.iter().filter_map(|s| s.load_kg).all(|l| l.get() <= most)
}

fn too_heavy(at: At, p: &Prescription, out: &mut Findings) {
    let Some(work) = p.load_kg else { return };
    let most = RAMP_SHARE_MAX * work.get() + TOLERANCE_KG;
    for load in p.ramp.iter().filter_map(|s| s.load_kg).filter(|l| l.get() > most) {
        let cause = Sentence::from("A warm-up step of ").load(load).text(" is above 0.9 of the ");
        let cause = cause.load(work).text(" to be lifted.");
        let most = Kilograms(RAMP_SHARE_MAX * work.get());
        let hint = Sentence::from("Make it ").load(most).text(" or less, or drop the step.");
        out.error(at, "SW141", cause, hint);
    }
}

fn not_rising(at: At, p: &Prescription, out: &mut Findings) {
    let loads: Vec<Kilograms> = p.ramp.iter().filter_map(|s| s.load_kg).collect();
    if let Some(pair) = loads.windows(2).find(|w| w[1] <= w[0]) {
        let cause = Sentence::from("A warm-up step of ").load(pair[1]).text(" follows one of ");
        let cause = cause.load(pair[0]).text(".");
        out.error(at, "SW141", cause, "Put the steps in rising order, or merge them.");
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, exercise, loaded, press, row, sets, straight, with};
    use setwright_model::exercise::LoadKind;
    use setwright_model::{Exercise, Muscle, Pattern, Prescription};

    fn barbell(exercise: Exercise) -> Exercise {
        with(exercise, |e| e.load = LoadKind::Bar)
    }

    /// A press, and on another day a lift with a ramp: the sheet mentions warm-ups.
    fn bench(p: Prescription) -> Case {
        let other = [straight(loaded("row", 60.0, &[(8, 30.0)]))];
        Case::new([barbell(press()), barbell(row())]).day(1, [straight(p)]).day(4, other)
    }

    #[test]
    fn a_sheet_that_mentions_no_warm_up_is_noted() {
        let silent = |load| Case::new([barbell(press())]).day(1, [straight(loaded("press", load, &[]))]);
        assert_eq!(silent(80.0).said("SW140"), NOTE);
        assert_eq!(bench(loaded("press", 80.0, &[])).said("SW140"), ERROR, "forgotten here");
    }

    #[test]
    fn few_heavy_reps_are_not_spoilt_by_many_light_ones() {
        let heavy = |reps: u32, ramp: &[(u32, f64)]| {
            bench(Prescription { reps: [3, reps], ..loaded("press", 80.0, ramp) }).said("SW147")
        };
        assert_eq!(heavy(5, &[(12, 40.0), (8, 55.0)]), NONE, "20");
        assert_eq!(heavy(5, &[(12, 40.0), (8, 55.0), (1, 65.0)]), WARNING, "21");
        assert_eq!(heavy(6, &[(12, 40.0), (8, 55.0), (4, 65.0)]), NONE);
    }

    #[test]
    fn a_light_load_needs_no_steps() {
        let light =
            |load, steps: usize| bench(loaded("press", load, &[(8, 3.0), (4, 5.0)][..steps])).said("SW147");
        assert_eq!((light(8.0, 1), light(8.0, 2), light(8.5, 2)), (NONE, WARNING, NONE));
    }

    #[test]
    fn a_light_bell_needs_one_step_at_most() {
        let bells = |load: f64, steps: usize| {
            let bells = with(press(), |e| e.load = LoadKind::DumbbellPair);
            let p = loaded("press", load, &[(8, 8.0), (4, 12.0)][..steps]);
            Case::new([bells]).day(1, [straight(p)]).said("SW147")
        };
        assert_eq!((bells(20.0, 1), bells(20.0, 2), bells(22.5, 2)), (NONE, WARNING, NONE));
    }

    #[test]
    fn a_big_lift_has_a_step_of_its_own_however_warm_the_muscles_are() {
        let incline = || {
            with(exercise("incline", Pattern::InclinePress, &[Muscle::Chest], &[]), |e| {
                (e.load, e.systemic) = (LoadKind::Bar, 2);
            })
        };
        let second = |kg: f64, ramp: &[(u32, f64)]| {
            let blocks = [straight(loaded("press", 80.0, &RAMP)), straight(loaded("incline", kg, ramp))];
            Case::new([barbell(press()), incline()]).day(1, blocks).said("SW140")
        };
        assert_eq!((second(60.0, &[]), second(60.0, &[(5, 40.0)]), second(39.0, &[])), (WARNING, NONE, NONE));
    }

    const RAMP: [(u32, f64); 3] = [(12, 40.0), (8, 55.0), (4, 70.0)];

    #[test]
    fn the_first_lift_needs_a_ramp() {
        assert_eq!(bench(loaded("press", 80.0, &RAMP)).said("SW140"), NONE);
        assert_eq!(bench(loaded("press", 80.0, &[])).said("SW140"), ERROR);
        assert_eq!(bench(loaded("press", 80.0, &RAMP[2..])).said("SW140"), NONE, "steps may be merged");
    }

    #[test]
    fn a_load_to_be_found_on_the_day_still_needs_reps_to_warm_up_with() {
        assert_eq!(bench(sets("press", 3)).said("SW140"), ERROR);
    }

    #[test]
    fn a_work_load_of_the_empty_bar_leaves_no_room_for_a_ramp() {
        assert_eq!(bench(loaded("press", 20.0, &[])).said("SW140"), NONE);
        assert_eq!(bench(loaded("press", 22.0, &[])).said("SW140"), NONE, "the bar is 0.91 of it");
        assert_eq!(bench(loaded("press", 22.5, &[])).said("SW140"), ERROR, "the bar is 0.89 of it");
    }

    #[test]
    fn what_cannot_be_ramped_needs_none() {
        let case = Case::new([press()]).day(1, [straight(sets("press", 3))]);
        assert_eq!(case.said("SW140"), NONE, "a press-up has no lighter load");
    }

    #[test]
    fn a_family_that_is_warm_needs_no_ramp_and_another_does() {
        let fly = barbell(exercise("fly", Pattern::ChestFly, &[Muscle::Chest], &[]));
        let all = [barbell(press()), barbell(row()), fly];
        let second = |id: &str| {
            let blocks = [straight(loaded("press", 80.0, &RAMP)), straight(sets(id, 3))];
            Case::new(all.clone()).day(1, blocks).said("SW140")
        };
        assert_eq!(second("fly"), NONE);
        assert_eq!(second("row"), ERROR);
    }

    #[test]
    fn a_ramp_never_comes_near_the_work_load() {
        assert_eq!(bench(loaded("press", 80.0, &[(12, 40.0), (4, 72.0)])).said("SW141"), NONE);
        assert_eq!(bench(loaded("press", 80.0, &[(12, 40.0), (4, 72.5)])).said("SW141"), ERROR);
    }

    #[test]
    fn a_ramp_rises() {
        assert_eq!(bench(loaded("press", 80.0, &[(12, 40.0), (8, 42.5)])).said("SW141"), NONE);
        assert_eq!(bench(loaded("press", 80.0, &[(12, 40.0), (8, 40.0)])).said("SW141"), ERROR);
        assert_eq!(bench(loaded("press", 80.0, &[(12, 50.0), (8, 40.0)])).said("SW141"), ERROR);
    }
}
