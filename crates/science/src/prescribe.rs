//! Reps and reps in reserve for an exercise, by goal and training age.

use crate::conditions::Care;
use setwright_model::Exercise;
use setwright_model::brief::{Brief, Goal, TrainingAge};
use setwright_model::exercise::Measure;

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
    let (low, high) = (wanted[0].max(low), wanted[1].min(high));
    // A range of one number is no range.
    if high < low + 2 { [low, (low + 2).min(exercise.reps[1])] } else { [low, high] }
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

/// The scheme of an exercise for a client: that of goal and training age, with as many reps and as much in reserve as
/// conditions, age, a return or a spared joint ask.
pub fn for_client(exercise: &Exercise, brief: &Brief) -> Scheme {
    let usual = scheme(exercise, brief.goal, brief.training_age);
    let care = Care::of(brief);
    let rir = usual.rir.max(care.rir_least(exercise));
    if exercise.measure != Measure::Reps {
        return Scheme { rir, ..usual };
    }
    let more = care.limits().reps_least.saturating_sub(usual.reps[0]);
    Scheme { reps: usual.reps.map(|r| r + more), rir }
}

/// Reps that a main lift's light day has more than the heavy one (common practice, no source (T)).
const MORE_REPS: u32 = 3;

/// Reps and reserve of a main lift's light day: some more reps with clearly less load.
pub fn light_day(heavy: Scheme, exercise: &Exercise) -> Scheme {
    let reps = [heavy.reps[0] + MORE_REPS, heavy.reps[1] + MORE_REPS];
    Scheme { reps: [reps[0], reps[1].min(exercise.reps[1].max(reps[0] + 1))], rir: heavy.rir + 1 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::exercise;

    #[test]
    fn a_light_day_has_more_reps_and_more_in_reserve() {
        let heavy = Scheme { reps: [3, 5], rir: 2 };
        let light = light_day(heavy, &exercise("bench_press"));
        assert_eq!((light.reps, light.rir), ([6, 8], 3));
    }

    #[test]
    fn who_comes_back_keeps_three_in_reserve() {
        let of = |active: bool, other: bool| {
            let text = format!(
                "name = \"A\"\ngoal = \"size\"\ntraining_age = \"intermediate\"\ntime = {{ sessions = 2, minutes = 45 }}\nscreening = {{ active = {active}, other = {other} }}"
            );
            let brief: Brief = toml::from_str(&text).expect("a brief");
            for_client(&exercise("bench_press"), &brief).rir
        };
        assert_eq!((of(true, false), of(false, true)), (2, 3));
    }

    #[test]
    fn a_range_of_reps_is_never_a_single_number() {
        let narrow = Exercise { reps: [8, 15], ..exercise("x") };
        for goal in [Goal::General, Goal::Size, Goal::Strength] {
            for age in [TrainingAge::Beginner, TrainingAge::Intermediate, TrainingAge::Advanced] {
                let reps = scheme(&narrow, goal, age).reps;
                assert!(reps[1] >= reps[0] + 2, "{reps:?}");
            }
        }
    }
}
