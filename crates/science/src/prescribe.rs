//! Reps and reps in reserve for an exercise, by goal and training age.

use setwright_model::Exercise;
use setwright_model::Pattern;
use setwright_model::brief::{Goal, TrainingAge};
use setwright_model::exercise::{Measure, Standing};

/// Lowest and highest reps, and reps in reserve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scheme {
    /// Lowest and highest reps (seconds or metres where the exercise is measured so).
    pub reps: [u32; 2],
    /// Reps left at the end of a set.
    pub rir: u32,
}

/// The scheme for an exercise (common practice, no source (T); the growth of size over a wide range of reps
/// and of strength with heavier loads follows Ratamess 2009, MSSE 41:687 (A)).
pub fn scheme(exercise: &Exercise, goal: Goal, age: TrainingAge) -> Scheme {
    let compound = exercise.pattern.is_compound();
    let wanted = match (goal, age) {
        (_, TrainingAge::FirstWeeks) => [10, 15],
        (Goal::Strength, TrainingAge::Beginner) if compound => [6, 10],
        (_, TrainingAge::Beginner) => [8, 12],
        (Goal::Strength, _) if compound && exercise.skill >= 2 && exercise.systemic >= 2 => [3, 5],
        (Goal::Strength, _) if compound => [5, 8],
        (Goal::Strength, _) => [8, 12],
        (Goal::Size, _) if compound => [6, 10],
        (Goal::General, _) if compound => [8, 12],
        (Goal::Size | Goal::General, _) => [10, 15],
    };
    Scheme { reps: within(wanted, exercise), rir: reserve(exercise, age) }
}

fn within(wanted: [u32; 2], exercise: &Exercise) -> [u32; 2] {
    let [low, high] = exercise.reps;
    if exercise.measure != Measure::Reps || wanted[1] < low || wanted[0] > high {
        return [low, high];
    }
    [wanted[0].max(low), wanted[1].min(high)]
}

/// Reps in reserve: the newer the lifter and the more taxing the lift, the more (training to failure adds
/// little to growth: Refalo 2022, Sports Med 53:649 (A); it adds 24 to 48 h of recovery: Moran-Navarro 2017,
/// EJAP 117:2387 (A)).
fn reserve(exercise: &Exercise, age: TrainingAge) -> u32 {
    let base = match age {
        TrainingAge::FirstWeeks => 4,
        TrainingAge::Beginner => 3,
        TrainingAge::Intermediate => 2,
        TrainingAge::Advanced => 1,
    };
    base + u32::from(exercise.is_taxing())
}

/// How well an exercise suits a client, as a share of the worth of its sets: light loads that cannot be made
/// heavier serve a trained lifter less, strength is trained with bars, and a staple comes before a speciality (judgement).
pub fn suits(exercise: &Exercise, goal: Goal, age: TrainingAge) -> f64 {
    use setwright_model::exercise::LoadKind;
    let trained = matches!(age, TrainingAge::Intermediate | TrainingAge::Advanced);
    let trunk = exercise.pattern.region() == setwright_model::pattern::Region::Trunk;
    let by_load = match exercise.load {
        LoadKind::Band if trained || goal == Goal::Strength => 0.75,
        LoadKind::Body if age != TrainingAge::FirstWeeks && is_easy(exercise) => 0.4,
        LoadKind::Body if trained && !trunk => 0.7,
        LoadKind::Body if trained && exercise.pattern == Pattern::TrunkBrace && exercise.skill == 1 => 0.85,
        LoadKind::Kettlebell if trained && exercise.pattern.is_compound() => 0.85,
        LoadKind::Single if trained && !trunk => 0.85,
        LoadKind::Band | LoadKind::Kettlebell | LoadKind::KettlebellPair if goal != Goal::Strength => 0.95,
        LoadKind::Bar => 1.0,
        _ if goal == Goal::Strength && exercise.pattern.is_compound() => 0.9,
        _ => 1.0,
    };
    let plain = if age == TrainingAge::FirstWeeks { plainness(exercise) } else { 1.0 };
    let carried = if exercise.pattern == Pattern::Carry && goal != Goal::General { 0.85 } else { 1.0 };
    by_load * plain * carried * by_standing(exercise.standing)
}

/// A compound in which less than half of the body is moved, or a plain squat with nothing in the hands: once the
/// first weeks are over it is no work set any more (judgement).
fn is_easy(exercise: &Exercise) -> bool {
    let share = exercise.body_share.get();
    let both_legs = exercise.pattern == Pattern::Squat && !exercise.unilateral && exercise.skill == 1;
    exercise.pattern.is_compound() && exercise.step_kg.get() <= 0.0 && (share < 0.5 || both_legs)
}

/// In the first weeks a client meets one plain movement at a time (judgement): anything that has to be taught,
/// is not a staple, or moves the whole body at once waits.
fn plainness(exercise: &Exercise) -> f64 {
    let taught = if exercise.skill > 1 { 0.8 } else { 1.0 };
    let rare = if exercise.standing == Standing::Staple { 1.0 } else { 0.7 };
    let many = if matches!(exercise.pattern, Pattern::WholeBody | Pattern::Carry) { 0.3 } else { 1.0 };
    taught * rare * many
}

/// A usual exercise gives way to a staple that does nearly as much; a special one is worth giving where it does
/// clearly more, or where nothing else is left (judgement).
const fn by_standing(standing: Standing) -> f64 {
    match standing {
        Standing::Staple => 1.0,
        Standing::Usual => 0.93,
        Standing::Special => 0.65,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;

    #[test]
    fn a_staple_suits_better_than_its_usual_and_its_special_neighbour() {
        let suit = |id: &str| {
            let exercise = builtin().get(&id.into()).expect("a known exercise");
            suits(exercise, Goal::Size, TrainingAge::Intermediate)
        };
        assert!(suit("barbell_curl") > suit("reverse_curl"));
        assert!(suit("reverse_curl") > suit("drag_curl"));
        assert!(suit("deadlift") > suit("snatch_grip_deadlift"));
    }

    #[test]
    fn what_is_too_easy_after_the_first_weeks_gives_way_and_a_press_up_does_not() {
        let suit =
            |id: &str, age| suits(builtin().get(&id.into()).expect("a known exercise"), Goal::General, age);
        let first = |id: &str| suit(id, TrainingAge::FirstWeeks);
        let later = |id: &str| suit(id, TrainingAge::Beginner);
        for id in ["wall_press_up", "bodyweight_squat"] {
            assert!(later(id) < 0.5 && later(id) < first(id), "{id}: {} {}", later(id), first(id));
        }
        assert!(later("press_up") > 0.9);
    }
}
