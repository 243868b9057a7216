//! Briefs that no programme can meet, each from one cause, with the brief that differs only in that cause.

use super::{Instance, plain_brief};
use crate::dice::Dice;
use setwright_gym::catalogue::builtin;
use setwright_model::brief::{Brief, Goal, Lock, MinutesPerSession, MuscleWish, Place, TrainingAge};
use setwright_model::{Catalogue, FractionalSets, Minutes, Muscle};

/// Why nothing fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// An exercise is locked to two numbers of sets in one session.
    LockAgainstLock,
    /// A lock has no partner it may stand with.
    LockWithWhatCompetes,
    /// A locked exercise is excluded.
    LockAgainstExclusion,
    /// The least doses do not fit the minutes.
    TooFewMinutes,
    /// The least dose of a muscle passes what it recovers from.
    Recovery,
    /// Two lifts heavy on the spine are locked to neighbouring days.
    SpineOnNeighbouringDays,
    /// A locked exercise needs a station that is not there.
    EquipmentMissing,
    /// The least doses fit the minutes only where exercises take turns.
    NoTurns,
    /// A least for a muscle whose exercises all train another one, of which little is asked at most.
    MostAgainstLeast,
}

impl Cause {
    /// All of them.
    pub const ALL: [Cause; 9] = [
        Cause::LockAgainstLock,
        Cause::LockWithWhatCompetes,
        Cause::LockAgainstExclusion,
        Cause::TooFewMinutes,
        Cause::Recovery,
        Cause::SpineOnNeighbouringDays,
        Cause::EquipmentMissing,
        Cause::NoTurns,
        Cause::MostAgainstLeast,
    ];
}

/// A brief that cannot be met, and the same without the cause.
#[derive(Clone, Debug)]
pub struct Broken {
    /// Why.
    pub cause: Cause,
    /// What cannot be met.
    pub instance: Instance,
    /// The same without the cause.
    pub mended: Instance,
}

/// The brief of a cause and a seed.
pub fn broken(cause: Cause, seed: u64) -> Broken {
    let mut rng = Dice::new(seed, 90 + cause as u64);
    let sessions = 2 + rng.below(2) as u32;
    let mut mended = plain_brief(Goal::General, TrainingAge::Intermediate, sessions, 60.0);
    mended.time.cycle_days = 7 + rng.below(3) as u32;
    let mut bad = mended.clone();
    breaks(cause, &mut bad, &mut mended, &mut rng);
    let of = |brief: Brief, what: &str| {
        let catalogue = Catalogue::new(builtin().iter().cloned());
        Instance::new(format!("{cause:?} {seed} {what}"), brief, catalogue)
    };
    Broken { cause, instance: of(bad, "broken"), mended: of(mended, "mended") }
}

fn lock(id: &str, session: u32, sets: Option<u32>) -> Lock {
    Lock { exercise: id.into(), session: Some(session), sets, with: None }
}

fn least(per_week: f64) -> MuscleWish {
    MuscleWish { least: Some(FractionalSets(per_week)), ..MuscleWish::default() }
}

fn breaks(cause: Cause, bad: &mut Brief, mended: &mut Brief, rng: &mut Dice) {
    match cause {
        Cause::LockAgainstLock => {
            bad.locks = vec![lock("bench_press", 1, Some(3)), lock("bench_press", 1, Some(4))];
            mended.locks = vec![lock("bench_press", 1, Some(3))];
        }
        Cause::LockWithWhatCompetes => {
            let with = |id: &str| Lock { with: Some(id.into()), ..lock("dumbbell_curl", 1, Some(3)) };
            bad.locks = vec![with("hammer_curl")];
            mended.locks = vec![with("dumbbell_lateral_raise")];
        }
        Cause::LockAgainstExclusion => {
            bad.locks = vec![lock("bench_press", 1, Some(3))];
            bad.exclude.exercises = vec!["bench_press".into()];
            mended.locks.clone_from(&bad.locks);
        }
        Cause::TooFewMinutes => {
            for muscle in [Muscle::Quads, Muscle::Chest, Muscle::Lats, Muscle::Hamstrings] {
                bad.muscles.insert(muscle, least(9.0));
            }
            mended.muscles.clone_from(&bad.muscles);
            bad.time.minutes = MinutesPerSession::Same(Minutes(10.0));
            mended.time.minutes = MinutesPerSession::Same(Minutes(90.0));
        }
        Cause::Recovery => {
            let muscle = [Muscle::Quads, Muscle::Chest, Muscle::Biceps][rng.below(3)];
            bad.muscles.insert(muscle, least(45.0));
            mended.muscles.insert(muscle, least(6.0));
        }
        Cause::SpineOnNeighbouringDays => {
            bad.locks = vec![lock("deadlift", 1, Some(2)), lock("back_squat", 2, Some(2))];
            mended.locks.clone_from(&bad.locks);
            bad.time.days = (0..bad.time.sessions).map(|s| if s < 2 { 1 + s } else { 5 }).collect();
            mended.time.days = (0..bad.time.sessions).map(|s| 1 + 2 * s).collect();
        }
        Cause::EquipmentMissing => {
            bad.locks = vec![lock("leg_press", 1, Some(3))];
            mended.locks.clone_from(&bad.locks);
            bad.equipment.place = Place::Garage;
        }
        Cause::NoTurns => without_turns(bad, mended, rng),
        Cause::MostAgainstLeast => most_against_least(bad, mended, rng),
    }
}

fn without_turns(bad: &mut Brief, mended: &mut Brief, rng: &mut Dice) {
    for brief in [&mut *bad, &mut *mended] {
        (brief.time.cycle_days, brief.time.sessions) = (7, 2);
        brief.time.minutes = MinutesPerSession::Same(Minutes(25.0 + rng.below(2) as f64));
        for muscle in [Muscle::Quads, Muscle::Chest, Muscle::Lats] {
            brief.muscles.insert(muscle, least(8.0));
        }
    }
    bad.time.minutes = mended.time.minutes.clone();
    bad.style.alternate = false;
}

fn most_against_least(bad: &mut Brief, mended: &mut Brief, rng: &mut Dice) {
    for brief in [&mut *bad, &mut *mended] {
        brief.equipment.place = Place::Bare;
        brief.muscles.insert(Muscle::Triceps, least(6.0 + rng.below(2) as f64));
    }
    bad.muscles.clone_from(&mended.muscles);
    for muscle in [Muscle::Chest, Muscle::FrontDelts] {
        let most = MuscleWish { most: Some(FractionalSets(2.0)), ..MuscleWish::default() };
        bad.muscles.insert(muscle, most);
    }
}
