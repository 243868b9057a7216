//! Problems of the sizes that benchmarks are run on, drawn from the built-in catalogue.

use super::{Instance, plain_brief};
use crate::dice::Dice;
use setwright_gym::catalogue::builtin;
use setwright_model::brief::{Brief, Goal, Lock, MuscleWish, Priority, TrainingAge};
use setwright_model::{Catalogue, Exercise, FractionalSets, Muscle, Pattern};
use setwright_science::rules::Rules;

/// How large a problem is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// Two sessions of 45 minutes, 40 exercises.
    Small,
    /// Four sessions of 60 minutes, 80 exercises.
    Medium,
    /// Six sessions of 60 to 75 minutes, 120 exercises.
    Large,
}

impl Size {
    /// All of them.
    pub const ALL: [Size; 3] = [Size::Small, Size::Medium, Size::Large];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Size::Small => "small",
            Size::Medium => "medium",
            Size::Large => "large",
        }
    }

    const fn sessions(self) -> u32 {
        match self {
            Size::Small => 2,
            Size::Medium => 4,
            Size::Large => 6,
        }
    }

    const fn exercises(self) -> usize {
        match self {
            Size::Small => 40,
            Size::Medium => 80,
            Size::Large => 120,
        }
    }

    fn minutes(self, rng: &mut Dice) -> f64 {
        match self {
            Size::Small => 45.0,
            Size::Medium => 60.0,
            Size::Large => [60.0, 65.0, 70.0, 75.0][rng.below(4)],
        }
    }

    /// Days of the cycle: room for the sessions, and up to fourteen.
    fn cycle_days(self, rng: &mut Dice) -> u32 {
        let cycles: &[u32] = match self {
            Size::Small => &[5, 7, 7, 8],
            Size::Medium => &[7, 7, 9, 10],
            Size::Large => &[7, 9, 12, 14],
        };
        cycles[rng.below(cycles.len())]
    }
}

/// The problem of a size and a seed.
pub fn sized(size: Size, seed: u64) -> Instance {
    let mut rng = Dice::new(seed, 2 + size as u64);
    let rng = &mut rng;
    let age =
        [TrainingAge::Beginner, TrainingAge::Intermediate, TrainingAge::Intermediate, TrainingAge::Advanced]
            [rng.below(4)];
    let age =
        if size == Size::Large { TrainingAge::Advanced.min(age.max(TrainingAge::Intermediate)) } else { age };
    let goal = [Goal::General, Goal::Size, Goal::Strength][rng.below(3)];
    let mut brief = plain_brief(goal, age, size.sessions(), size.minutes(rng));
    brief.time.cycle_days = size.cycle_days(rng);
    brief.time.busy = rng.below(5) == 0;
    let all: Vec<Exercise> = builtin().iter().cloned().collect();
    let exercises = exercises(&all, size.exercises(), Rules::of(&brief).skill, rng);
    let given = super::tiny::given(&brief, &exercises);
    wishes(&mut brief, &given, rng);
    one_lock(&mut brief, &exercises, rng);
    Instance::new(format!("{} {seed}", size.name()), brief, Catalogue::new(exercises))
}

/// One exercise of each pattern first, so that every muscle can be reached; then any.
pub(super) fn exercises(all: &[Exercise], count: usize, skill: u8, rng: &mut Dice) -> Vec<Exercise> {
    let mut pool: Vec<&Exercise> = all.iter().filter(|e| e.skill <= skill).collect();
    for i in (1..pool.len()).rev() {
        pool.swap(i, rng.below(i + 1));
    }
    let mut out: Vec<Exercise> = Vec::new();
    for pattern in Pattern::ALL {
        if out.len() < count
            && let Some(i) = pool.iter().position(|e| e.pattern == *pattern)
        {
            out.push(pool.swap_remove(i).clone());
        }
    }
    out.extend(pool.into_iter().take(count - out.len()).cloned());
    out
}

/// One or two muscles that matter more, one that matters less, a least of what something given trains, and a most.
fn wishes(brief: &mut Brief, given: &[Exercise], rng: &mut Dice) {
    let mut muscles = Muscle::ALL.to_vec();
    let mut draw = || muscles.swap_remove(rng.below(muscles.len()));
    let (top, high, low) = (draw(), draw(), draw());
    let is_trained = |m: &Muscle| given.iter().any(|e| e.direct.contains(m));
    let mut least = draw();
    while !is_trained(&least) {
        least = draw();
    }
    let most = draw();
    let prefer = |p| MuscleWish { priority: Some(p), ..MuscleWish::default() };
    brief.muscles.insert(top, prefer(Priority::Top));
    brief.muscles.insert(high, prefer(Priority::High));
    brief.muscles.insert(low, prefer(Priority::Low));
    brief.muscles.insert(least, MuscleWish { least: Some(FractionalSets(3.0)), ..MuscleWish::default() });
    brief.muscles.insert(most, MuscleWish { most: Some(FractionalSets(9.0)), ..MuscleWish::default() });
}

/// One lift fixed, of those that cost the whole body little; in the larger problems in a session of its own.
fn one_lock(brief: &mut Brief, exercises: &[Exercise], rng: &mut Dice) {
    let light: Vec<&Exercise> =
        exercises.iter().filter(|e| e.systemic <= 1 && e.pattern.is_compound()).collect();
    if let Some(exercise) = rng.pick(&light) {
        let session = (brief.time.sessions > 2).then_some(2);
        brief.locks.push(Lock { exercise: exercise.id.clone(), session, sets: Some(3), with: None });
    }
}
