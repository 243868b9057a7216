//! Reps and reps in reserve for an exercise, by goal and training age.

use crate::conditions::{Care, Limits, told};
use setwright_model::brief::{Brief, Goal, TrainingAge};
use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::pattern::Region;
use setwright_model::{Exercise, Pattern};

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
        (Goal::Strength, TrainingAge::Beginner) if is_big(exercise) => [4, 6],
        (Goal::Strength, TrainingAge::Beginner) if compound => [6, 10],
        (_, TrainingAge::Beginner) => [8, 12],
        (Goal::Strength, _) if is_big(exercise) => [3, 5],
        (Goal::Strength, _) if compound => [5, 8],
        (Goal::Strength, _) => [8, 12],
        (Goal::Size, _) if compound => [6, 10],
        (Goal::General, _) if compound => [8, 12],
        (Goal::Size | Goal::General, _) => [10, 15],
    };
    Scheme { reps: within(wanted, exercise), rir: reserve(exercise, age) }
}

/// A lift that strength is trained with: more than one joint, to be learnt, and taxing.
const fn is_big(exercise: &Exercise) -> bool {
    exercise.pattern.is_compound() && exercise.skill >= 2 && exercise.systemic >= 2
}

fn within(wanted: [u32; 2], exercise: &Exercise) -> [u32; 2] {
    let [low, high] = exercise.reps;
    if exercise.measure != Measure::Reps {
        return [low, high];
    }
    // The nearest that the exercise is done for, in a range as narrow as the one that is wanted.
    let width = (wanted[1] - wanted[0]).max(2);
    if wanted[1] < low {
        return [low, high.min(low + width)];
    }
    if wanted[0] > high {
        return [low.max(high.saturating_sub(width)), high];
    }
    let (low, high) = (wanted[0].max(low), wanted[1].min(high));
    // A range of one number is no range.
    if high < low + 2 { [low, (low + 2).min(exercise.reps[1])] } else { [low, high] }
}

/// Reps in reserve: the newer the lifter and the more taxing the lift, the more (training to failure adds
/// little to growth: Refalo 2022, Sports Med 53:649 (A); it adds 24 to 48 h of recovery: Moran-Navarro 2017,
/// EJAP 117:2387 (A)).
fn reserve(exercise: &Exercise, age: TrainingAge) -> u32 {
    let base: u32 = match age {
        TrainingAge::FirstWeeks => 4,
        TrainingAge::Beginner => 3,
        TrainingAge::Intermediate => 2,
        TrainingAge::Advanced => 1,
    };
    (base + u32::from(exercise.is_taxing())).min(RESERVE_MOST.max(base))
}

/// Most reps in reserve of a taxing lift once the first weeks are over (judgement: with four left a set of five is light).
const RESERVE_MOST: u32 = 3;
/// Least reps in reserve of a compound that the client has not told of: nobody knows yet what it takes (common practice, no
/// source (T)).
const UNTOLD_RIR: u32 = 2;
/// The same of one with a bar (common practice, no source (T)).
const UNTOLD_BAR_RIR: u32 = 3;
/// Fewest reps of such a lift (common practice, no source (T): nobody is tested in a lift they have not done).
const UNTOLD_REPS: u32 = 5;

/// Reps in reserve that a lift has at least as long as the client has not told of it.
pub fn untold_rir(exercise: &Exercise) -> u32 {
    match exercise.pattern.is_compound() {
        true if exercise.load == LoadKind::Bar => UNTOLD_BAR_RIR,
        true => UNTOLD_RIR,
        false => 0,
    }
}

/// The scheme of an exercise for a client: that of goal and training age, with as many reps and as much in reserve as
/// conditions, age, a return or a spared joint ask, and a compound that was not told further from its limit.
pub fn for_client(exercise: &Exercise, brief: &Brief) -> Scheme {
    let usual = scheme(exercise, brief.goal, brief.training_age);
    let care = Care::of(brief);
    let is_told = told(brief, &exercise.id);
    let untold = if is_told { 0 } else { untold_rir(exercise) };
    let rir = usual.rir.max(care.rir_least(exercise)).max(untold).max(sport_rir(exercise, brief));
    if exercise.measure != Measure::Reps {
        return Scheme { rir, ..usual };
    }
    let untold = if is_told || !exercise.pattern.is_compound() { 0 } else { UNTOLD_REPS };
    let more =
        reps_least(&care.limits(), own_reps(exercise, brief)).max(untold).saturating_sub(usual.reps[0]);
    Scheme { reps: usual.reps.map(|r| r + more), rir }
}

/// The most reps that an exercise is done for, where legs carry nothing but the body of somebody trained.
pub fn bare_reps(exercise: &Exercise, brief: &Brief) -> Option<[u32; 2]> {
    let reps = [exercise.reps[1].saturating_sub(BARE_WIDTH), exercise.reps[1]];
    (is_bare_for_the_trained(exercise, brief) && !told(brief, &exercise.id)).then_some(reps)
}

/// Legs that carry nothing but the body of somebody trained.
fn is_bare_for_the_trained(exercise: &Exercise, brief: &Brief) -> bool {
    let trained = matches!(brief.training_age, TrainingAge::Intermediate | TrainingAge::Advanced);
    let legs = exercise.pattern.is_compound() && exercise.pattern.region() == Region::Lower;
    trained && legs && exercise.load == LoadKind::Body
}

/// Between the fewest and the most reps of these, which are the most that the exercise is done for (common practice, no source
/// (T)).
const BARE_WIDTH: u32 = 5;

/// Reps in reserve that legs keep beside a sport (common practice, no source (T): strong, not sore).
const SPORT_RIR: u32 = 2;
/// The same of hinges and curls of the legs, which leave the hamstrings sore (common practice, no source (T)).
const SPORT_HAMSTRINGS_RIR: u32 = 3;

/// Least reps in reserve of what tires the legs of somebody with a sport.
pub fn sport_rir(exercise: &Exercise, brief: &Brief) -> u32 {
    let legs = exercise.pattern.is_compound() && exercise.pattern.region() == Region::Lower;
    match exercise.pattern {
        _ if !brief.sport.has_days() => 0,
        Pattern::Hinge | Pattern::KneeFlexion => SPORT_HAMSTRINGS_RIR,
        _ if legs => SPORT_RIR,
        _ => 0,
    }
}

/// Fewest reps that conditions and age ask of a lift that was told with some: age alone takes nobody off the reps that they
/// train with (Fragala 2019, J Strength Cond Res 33:2019 (B): up to 85 % of 1RM at any age), a condition does.
fn reps_least(limits: &Limits, told: Option<u32>) -> u32 {
    limits.age_reps_least.min(told.unwrap_or(u32::MAX)).max(limits.reps_least)
}

/// The fewest reps that a lift is trained with at present: as it was told, or any where only that it is done was told.
fn own_reps(exercise: &Exercise, brief: &Brief) -> Option<u32> {
    let done = brief.present.exercises.contains(&exercise.id).then_some(1);
    told_reps(exercise, brief).map(|told| told.0).or(done)
}

/// Fewest reps of a small lift, whatever the lightest load is (common practice, no source (T): what is too heavy for eight is
/// trained with something else).
const SMALL_REPS_LEAST: u32 = 8;

/// The fewest reps that the reps of a lift may bend to where no lighter load can be made: what conditions and age ask, and eight
/// of what moves one joint.
pub fn fewest_reps(exercise: &Exercise, brief: &Brief) -> u32 {
    let told = own_reps(exercise, brief);
    let small =
        if exercise.pattern.is_compound() { 1 } else { SMALL_REPS_LEAST.min(told.unwrap_or(u32::MAX)) };
    reps_least(&Care::of(brief).limits(), told).max(small)
}

/// The fewest and the most reps that a lift was told with.
pub fn told_reps(exercise: &Exercise, brief: &Brief) -> Option<(u32, u32)> {
    let told = || brief.lifts.iter().filter(|l| l.exercise == exercise.id).map(|l| l.reps);
    told().min().zip(told().max())
}

/// Reps that a main lift's light day has more than the heavy one (common practice, no source (T)).
const MORE_REPS: u32 = 3;

/// Reps that it has more at least where the lift is seldom done for so many, and that lie between its fewest and its most: one can add a
/// rep twice before the load rises (common practice, no source (T)).
const SOME_REPS: u32 = 2;

/// Reps and reserve of a main lift's light day: some more reps with clearly less load, and not so far from the limit that
/// the set is none.
pub fn light_day(heavy: Scheme, exercise: &Exercise) -> Scheme {
    let most = (heavy.reps[1] + MORE_REPS).min(exercise.reps[1].max(heavy.reps[1] + SOME_REPS));
    let least =
        (heavy.reps[0] + MORE_REPS).min(most.saturating_sub(SOME_REPS)).max(heavy.reps[0] + SOME_REPS);
    let rir = (heavy.rir + 1).min(RESERVE_MOST).max(heavy.rir);
    Scheme { reps: [least, most.max(least)], rir }
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
        for reps in [[3, 5], [5, 7], [6, 8], [8, 10], [10, 12]] {
            let light = light_day(Scheme { reps, rir: 2 }, &exercise("bench_press"));
            assert!(
                light.reps[0] >= reps[0] + 2 && light.reps[1] >= light.reps[0] + 2,
                "{reps:?}: {light:?}"
            );
        }
    }

    fn brief(text: &str) -> Brief {
        let time = "time = { sessions = 2, minutes = 45 }";
        toml::from_str(&format!("name = \"A\"\n{time}\n{text}")).expect("a brief")
    }

    #[test]
    fn a_compound_that_was_not_told_stays_off_its_limit_and_is_never_done_in_triples() {
        let strong = "goal = \"strength\"\ntraining_age = \"advanced\"\n";
        let told = "lift = [{ exercise = \"bench_press\", load_kg = 100.0, reps = 5, rir = 1 }]";
        let bench = exercise("bench_press");
        let bench = Exercise { load: LoadKind::Bar, skill: 2, systemic: 2, reps: [3, 12], ..bench };
        let own = for_client(&bench, &brief(&format!("{strong}{told}")));
        assert_eq!((own.reps, own.rir), ([3, 5], 1));
        let new = for_client(&bench, &brief(strong));
        assert_eq!((new.reps, new.rir), ([5, 7], 3));
        let bells = Exercise { load: LoadKind::DumbbellPair, skill: 1, ..bench };
        assert_eq!(for_client(&bells, &brief(strong)).rir, 2);
    }

    #[test]
    fn a_beginner_for_strength_does_fives_and_no_set_is_five_short_of_its_end() {
        let squat =
            Exercise { load: LoadKind::Bar, skill: 2, systemic: 3, reps: [3, 12], ..exercise("squat") };
        let heavy = scheme(&squat, Goal::Strength, TrainingAge::Beginner);
        assert_eq!((heavy.reps, heavy.rir), ([4, 6], 3));
        let light = light_day(heavy, &squat);
        assert_eq!((light.reps, light.rir), ([7, 9], 3));
        assert_eq!(scheme(&squat, Goal::Strength, TrainingAge::Advanced).rir, 2);
    }

    #[test]
    fn who_comes_back_keeps_three_in_reserve() {
        let of = |active: bool, other: bool| {
            let text = format!(
                "name = \"A\"\ngoal = \"size\"\ntraining_age = \"intermediate\"\ntime = {{ sessions = 2, minutes = 45 }}\nscreening = {{ active = {active}, other = {other} }}\nlift = [{{ exercise = \"bench_press\", load_kg = 60.0, reps = 8, rir = 2 }}]"
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
