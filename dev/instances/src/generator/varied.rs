//! Briefs as different as clients are, with what a coach may throw in: places, hours, locks, limits, lifts.
//! Most can be met; some cannot.

use super::sized::exercises;
use super::{Instance, plain_brief};
use crate::dice::Dice;
use setwright_gym::catalogue::builtin;
use setwright_gym::room::Room;
use setwright_model::brief::{
    Brief, Condition, Focus, Goal, Hurts, Lift, Lock, MinutesPerSession, MuscleWish, Place, Priority,
    TrainingAge,
};
use setwright_model::exercise::{Ask, Measure};
use setwright_model::{Catalogue, Exercise, FractionalSets, Kilograms, Minutes, Muscle, Pattern};
use setwright_science::rules::Rules;
use setwright_science::strength;

/// The brief of a seed: 2 to 6 sessions in 5 to 14 days, from 40 exercises to all of the catalogue.
pub fn varied(seed: u64) -> Instance {
    let mut rng = Dice::new(seed, 200);
    let rng = &mut rng;
    let ages =
        [TrainingAge::FirstWeeks, TrainingAge::Beginner, TrainingAge::Intermediate, TrainingAge::Advanced];
    let goal = pick(rng, &[Goal::General, Goal::Size, Goal::Strength]);
    let sessions = 2 + rng.below(5) as u32;
    let age = if sessions > 4 { pick(rng, &ages[2..]) } else { pick(rng, &ages) };
    let mut brief = plain_brief(goal, age, sessions, minutes(rng));
    time(&mut brief, rng);
    body(&mut brief, rng);
    brief.equipment.place =
        pick(rng, &[Place::FullGym, Place::FullGym, Place::Garage, Place::HomeDumbbells, Place::Bare]);
    let there = possible(&brief, rng);
    some_station_gone(&mut brief, &there, rng);
    lifts(&mut brief, &there, rng);
    wishes(&mut brief, rng);
    exclude(&mut brief, &there, rng);
    locks(&mut brief, &there, rng);
    life(&mut brief, &mut Dice::new(seed, 201));
    let mut out = Instance::new(format!("varied {seed}"), brief, Catalogue::new(there));
    out.belief = strength::belief(&out.brief, &out.catalogue);
    out
}

fn chance(rng: &mut Dice, percent: usize) -> bool {
    rng.below(100) < percent
}

fn pick<T: Copy>(rng: &mut Dice, list: &[T]) -> T {
    list[rng.below(list.len())]
}

fn minutes(rng: &mut Dice) -> f64 {
    pick(rng, &[15.0, 20.0, 30.0, 37.5, 45.0, 50.0, 60.0, 75.0, 90.0, 120.0])
}

fn time(brief: &mut Brief, rng: &mut Dice) {
    let time = &mut brief.time;
    let sessions = time.sessions as usize;
    time.cycle_days = (time.sessions + 1 + rng.below(9) as u32).clamp(5, 14);
    if chance(rng, 40) {
        time.cycle_days = 7;
    }
    if chance(rng, 25) {
        time.minutes = MinutesPerSession::Each((0..sessions).map(|_| Minutes(minutes(rng))).collect());
    }
    let mut days: Vec<u32> = (1..=time.cycle_days).collect();
    let spare = [0, 1, 2][rng.below(3)];
    while days.len() > sessions + spare {
        days.remove(rng.below(days.len()));
    }
    match rng.below(10) {
        0..2 if spare == 0 => time.days = days,
        2..4 => time.possible_days = days,
        _ => {}
    }
    time.busy = chance(rng, 20);
    time.cold = chance(rng, 20);
    brief.style.alternate = chance(rng, 85);
    let splits: [&[Focus]; 4] = [
        &[Focus::WholeBody],
        &[Focus::Upper, Focus::Lower],
        &[Focus::Push, Focus::Pull, Focus::Legs],
        &[Focus::Lower, Focus::Upper, Focus::WholeBody],
    ];
    if chance(rng, 15) && brief.training_age >= TrainingAge::Intermediate {
        let split = pick(rng, &splits);
        brief.style.focus = (0..sessions).map(|s| split[s % split.len()]).collect();
    }
}

fn body(brief: &mut Brief, rng: &mut Dice) {
    let body = &mut brief.body;
    body.age = chance(rng, 70).then(|| 18 + rng.below(60) as u32);
    body.mass_kg = chance(rng, 70).then(|| Kilograms(48.0 + rng.below(70) as f64));
}

/// Exercises that can be done there, a few or all.
fn possible(brief: &Brief, rng: &mut Dice) -> Vec<Exercise> {
    let room = Room::of(&brief.equipment);
    let can = |e: &&Exercise| room.can_do(e);
    let all: Vec<Exercise> = builtin().iter().filter(can).cloned().collect();
    let count = pick(rng, &[40, 60, 80, 120, 180, usize::MAX]);
    if count >= all.len() {
        return all;
    }
    exercises(&all, count, Rules::of(brief).skill, rng)
}

fn some_station_gone(brief: &mut Brief, there: &[Exercise], rng: &mut Dice) {
    if chance(rng, 20) {
        brief.equipment.without.extend(some(there, rng).stations.first());
    }
}

fn some<'a>(list: &'a [Exercise], rng: &mut Dice) -> &'a Exercise {
    &list[rng.below(list.len())]
}

/// What was lifted lately, light enough to be believed of anyone.
fn lifts(brief: &mut Brief, there: &[Exercise], rng: &mut Dice) {
    for _ in 0..rng.below(5) {
        let exercise = some(there, rng);
        let loads = if exercise.pattern.is_compound() { 20 } else { 5 };
        if exercise.measure == Measure::Reps {
            brief.lifts.push(Lift {
                exercise: exercise.id.clone(),
                load_kg: Kilograms(2.5 * (2 + rng.below(loads)) as f64),
                reps: 3 + rng.below(12) as u32,
                rir: rng.below(4) as u32,
            });
        }
    }
}

fn wishes(brief: &mut Brief, rng: &mut Dice) {
    let mut muscles = Muscle::ALL.to_vec();
    for _ in 0..rng.below(7) {
        let muscle = muscles.swap_remove(rng.below(muscles.len()));
        let mut wish = MuscleWish::default();
        let all = [Priority::None, Priority::Low, Priority::High, Priority::Top];
        match rng.below(5) {
            0 => wish.least = Some(FractionalSets(1.0 + rng.below(6) as f64)),
            1 => wish.most = Some(FractionalSets(3.0 + rng.below(10) as f64)),
            2 => wish.recovery_h = Some(30.0 + rng.below(70) as f64),
            _ => wish.priority = Some(pick(rng, &all)),
        }
        if chance(rng, 10) {
            wish.sessions = Some(rng.below(3) as u32);
        }
        brief.muscles.insert(muscle, wish);
    }
}

/// What a clinician has named, what hurts, and a sport.
fn life(brief: &mut Brief, rng: &mut Dice) {
    if chance(rng, 25) {
        brief.conditions.push(pick(rng, Condition::ALL));
    }
    if chance(rng, 15) {
        brief.hurts.push(pick(rng, Hurts::ALL));
    }
    if chance(rng, 20) {
        let days = brief.time.cycle_days as usize;
        let first = rng.below(days);
        let second = (first + 2 + rng.below(days - 3)) % days;
        brief.sport.hard_days =
            [first, second].iter().take(1 + rng.below(2)).map(|d| 1 + *d as u32).collect();
        if first.is_multiple_of(3) {
            brief.sport.match_days = brief.sport.hard_days.split_off(1);
        }
    }
}

fn exclude(brief: &mut Brief, there: &[Exercise], rng: &mut Dice) {
    let out = &mut brief.exclude;
    for _ in 0..rng.below(3) {
        out.exercises.push(some(there, rng).id.clone());
    }
    if chance(rng, 15) {
        out.patterns.push(pick(rng, Pattern::ALL));
    }
    if chance(rng, 20) {
        out.asks.push(pick(rng, &Ask::ALL));
    }
    if chance(rng, 8) {
        out.muscles.push(pick(rng, &Muscle::ALL));
    }
}

/// Lifts that the coach wants: none is excluded or out of reach.
fn locks(brief: &mut Brief, there: &[Exercise], rng: &mut Dice) {
    let room = Room::of(&brief.equipment);
    let out = &brief.exclude;
    let free: Vec<&Exercise> = there
        .iter()
        .filter(|e| room.can_do(e) && !out.exercises.contains(&e.id))
        .filter(|e| !out.patterns.contains(&e.pattern) && !e.asks.iter().any(|a| out.asks.contains(a)))
        .filter(|e| !e.direct.iter().any(|m| out.muscles.contains(m)))
        .collect();
    for _ in 0..[0, 0, 1, 1, 2, 3][rng.below(6)] {
        let Some(exercise) = rng.pick(&free) else { return };
        if brief.locks.iter().any(|l| l.exercise == exercise.id) {
            continue;
        }
        let session = chance(rng, 50).then(|| 1 + rng.below(brief.time.sessions as usize) as u32);
        let sets = chance(rng, 40).then(|| 1 + rng.below(4) as u32);
        brief.locks.push(Lock { exercise: exercise.id.clone(), session, sets, with: None });
    }
}
