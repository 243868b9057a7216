//! Tiny problems: a few exercises and a few minutes, so that all programmes can be gone through, with wishes
//! thrown in at random. Many cannot be met.

use super::{Instance, plain_brief};
use crate::dice::Dice;
use setwright_gym::catalogue::builtin;
use setwright_gym::room::Room;
use setwright_model::brief::{
    Brief, Focus, Goal, Lock, MinutesPerSession, MuscleWish, Priority, TrainingAge,
};
use setwright_model::exercise::{Ask, ExerciseId, LoadKind, Standing};
use setwright_model::{
    Block, BlockKind, Catalogue, Exercise, FractionalSets, Minutes, Muscle, Pattern, Prescription, Programme,
    Seconds, Session,
};

/// The tiny problem of a seed.
pub fn tiny(seed: u64) -> Instance {
    let mut rng = Dice::new(seed, 1);
    let rng = &mut rng;
    let exercises = exercises(rng);
    let sessions = [1, 2, 2, 2, 2, 2, 2, 2, 2, 3][rng.below(10)];
    let age = pick(
        rng,
        &[TrainingAge::FirstWeeks, TrainingAge::Beginner, TrainingAge::Intermediate, TrainingAge::Advanced],
    );
    let goal = pick(rng, &[Goal::General, Goal::Size, Goal::Strength]);
    let longest = if sessions == 3 { 8 } else { 13 };
    let mut brief = plain_brief(goal, age, sessions, 5.0 + rng.below(longest) as f64);
    spread_time(&mut brief, longest, rng);
    let given = given(&brief, &exercises);
    wish(&mut brief, &given, rng);
    lock(&mut brief, &exercises, rng);
    exclude(&mut brief, &exercises, rng);
    follow(&mut brief, &exercises, rng);
    let mut out = Instance::new(format!("tiny {seed}"), brief, Catalogue::new(exercises));
    out.minutes_mode = chance(rng, 10);
    out
}

fn chance(rng: &mut Dice, percent: usize) -> bool {
    rng.below(100) < percent
}

fn pick<T: Copy>(rng: &mut Dice, list: &[T]) -> T {
    list[rng.below(list.len())]
}

/// Four to seven exercises, real or made up, so drawn that patterns and muscles meet.
fn exercises(rng: &mut Dice) -> Vec<Exercise> {
    // What needs a reason is never given, so a problem made of it would hold nothing.
    let plain = |e: &&Exercise| e.standing != Standing::Special && e.pattern.has_dose() && e.skill <= 2;
    let all: Vec<&Exercise> = builtin().iter().filter(plain).collect();
    let n = 4 + rng.below(4);
    let mut out: Vec<Exercise> = Vec::new();
    while out.len() < n {
        let mut exercise = (*pick(rng, &all)).clone();
        if chance(rng, 50) {
            alter(&mut exercise, out.first(), rng);
            exercise.id = ExerciseId(format!("made_up_{}", out.len()));
        }
        if out.iter().all(|e| e.id != exercise.id) {
            out.push(exercise);
        }
    }
    out
}

/// Patterns that need no reason to be given.
const PATTERNS: &[Pattern] = &[
    Pattern::HorizontalPress,
    Pattern::InclinePress,
    Pattern::VerticalPress,
    Pattern::LateralRaise,
    Pattern::ElbowExtension,
    Pattern::HorizontalRow,
    Pattern::VerticalPull,
    Pattern::ElbowFlexion,
    Pattern::Squat,
    Pattern::LegPress,
    Pattern::Lunge,
    Pattern::KneeExtension,
    Pattern::Hinge,
    Pattern::HipExtension,
    Pattern::KneeFlexion,
    Pattern::CalfRaise,
    Pattern::TrunkBrace,
    Pattern::Carry,
];

fn alter(e: &mut Exercise, other: Option<&Exercise>, rng: &mut Dice) {
    e.pattern = match other {
        Some(other) if chance(rng, 25) => other.pattern,
        _ => pick(rng, PATTERNS),
    };
    let mut muscles = Muscle::ALL.to_vec();
    let mut draw = |n: usize| -> Vec<Muscle> {
        (0..n).map(|_| muscles.swap_remove(rng.below(muscles.len().min(9)))).collect()
    };
    e.direct = draw(1);
    e.half = draw(2);
    e.quarter = draw(1);
    e.half.truncate(rng.below(3));
    e.quarter.truncate(rng.below(2));
    e.systemic = rng.below(4) as u8;
    e.spinal = rng.below(4) as u8;
    e.grip = rng.below(4) as u8;
    e.skill = 1 + rng.below(2) as u8;
    e.setup_s = Seconds(5.0 * rng.below(12) as f64);
    e.changeover_s = Seconds(5.0 * rng.below(6) as f64);
    e.seconds_per_rep = Seconds(2.0 + 0.5 * rng.below(5) as f64);
    e.unilateral = chance(rng, 20);
    e.load =
        pick(rng, &[LoadKind::Bar, LoadKind::DumbbellPair, LoadKind::Stack, LoadKind::Body, LoadKind::Discs]);
}

fn spread_time(brief: &mut Brief, longest: usize, rng: &mut Dice) {
    let time = &mut brief.time;
    let sessions = time.sessions as usize;
    time.cycle_days = 5 + rng.below(10) as u32;
    if chance(rng, 25) {
        let each = (0..sessions).map(|_| Minutes(5.0 + rng.below(longest) as f64)).collect();
        time.minutes = MinutesPerSession::Each(each);
    }
    let mut days: Vec<u32> = (1..=time.cycle_days).collect();
    while days.len() > sessions + 2 {
        days.remove(rng.below(days.len()));
    }
    match rng.below(10) {
        0..3 => {
            while days.len() > sessions {
                days.remove(rng.below(days.len()));
            }
            time.days = days;
        }
        3..5 => time.possible_days = days,
        _ => {}
    }
    time.busy = chance(rng, 20);
    time.cold = chance(rng, 10);
    brief.style.alternate = chance(rng, 85);
    if chance(rng, 15) {
        let all = [Focus::WholeBody, Focus::Upper, Focus::Lower, Focus::Push, Focus::Pull, Focus::Legs];
        brief.style.focus = (0..=rng.below(sessions)).map(|_| pick(rng, &all)).collect();
    }
}

/// Those that the planner would give: wishes for what nobody here may do could not be met.
pub(super) fn given(brief: &Brief, exercises: &[Exercise]) -> Vec<Exercise> {
    let plain = Instance::new(String::new(), brief.clone(), Catalogue::new(exercises.to_vec()));
    plain.problem().lifts.into_iter().map(|l| l.exercise).collect()
}

fn wish(brief: &mut Brief, exercises: &[Exercise], rng: &mut Dice) {
    let free = chance(rng, 80);
    for muscle in Muscle::ALL {
        let mut wish = MuscleWish::default();
        if free || chance(rng, 50) {
            wish.sessions = Some(0);
        }
        if chance(rng, 20) {
            let all = [Priority::None, Priority::Low, Priority::Normal, Priority::High, Priority::Top];
            wish.priority = Some(pick(rng, &all));
        }
        if exercises.iter().any(|e| e.prime() == Some(muscle)) {
            if chance(rng, 8) {
                wish.least = Some(FractionalSets(0.5 + 0.5 * rng.below(5) as f64));
            }
            if chance(rng, 8) {
                wish.most = Some(FractionalSets(1.0 + 0.5 * rng.below(8) as f64));
            }
            if chance(rng, 8) {
                wish.sessions = Some(1 + rng.below(2) as u32);
            }
        }
        brief.muscles.insert(muscle, wish);
    }
}

fn lock(brief: &mut Brief, exercises: &[Exercise], rng: &mut Dice) {
    let locks = [0, 0, 0, 1, 1, 2][rng.below(6)];
    for _ in 0..locks {
        let id = |rng: &mut Dice| exercises[rng.below(exercises.len())].id.clone();
        let exercise = id(rng);
        let with = Some(id(rng)).filter(|w| *w != exercise && chance(rng, 20));
        let session = chance(rng, 50).then(|| 1 + rng.below(brief.time.sessions as usize) as u32);
        let sets = chance(rng, 40).then(|| 1 + rng.below(3) as u32);
        brief.locks.push(Lock { exercise, session, sets, with });
    }
}

/// Some follow a programme.
fn follow(brief: &mut Brief, exercises: &[Exercise], rng: &mut Dice) {
    if !chance(rng, 20) {
        return;
    }
    let session = |day: u32, rng: &mut Dice| {
        let some = exercises.iter().filter(|_| chance(rng, 40));
        let done = some.map(|e| Prescription {
            id: e.id.clone(),
            sets: 2,
            reps: e.reps,
            rir: 2,
            load_kg: None,
            ramp: Vec::new(),
        });
        let block = |p| Block { kind: BlockKind::Straight, rest_s: Seconds(90.0), exercises: vec![p] };
        Session { day, focus: String::new(), blocks: done.map(block).collect() }
    };
    let sessions = (1..=brief.time.sessions).map(|day| session(day, rng)).collect();
    let client = brief.name.clone();
    brief.style.before = Some(Programme { client, cycle_days: brief.time.cycle_days, sessions });
}

fn exclude(brief: &mut Brief, exercises: &[Exercise], rng: &mut Dice) {
    let some = |rng: &mut Dice| &exercises[rng.below(exercises.len())];
    if chance(rng, 6) {
        brief.exclude.exercises.push(some(rng).id.clone());
    }
    if chance(rng, 4) {
        brief.exclude.patterns.push(some(rng).pattern);
    }
    if chance(rng, 6) {
        brief.exclude.asks.push(pick(rng, &Ask::ALL));
    }
    if chance(rng, 4) {
        brief.exclude.muscles.extend(some(rng).prime());
    }
    if chance(rng, 6) {
        let there: Vec<_> = Room::of(&brief.equipment).stations().collect();
        let gone = some(rng).stations.first().copied();
        brief.equipment.without.push(gone.unwrap_or(pick(rng, &there)));
    }
}
