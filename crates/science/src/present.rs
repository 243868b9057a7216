//! What the present week and the sport beside the training leave room for: a start near what is done now, and legs
//! that are fresh on hard days.
//!
//! Values only: the amounts of a session and of a muscle (`amounts`) hold them.

use crate::conditions::{Limits, has_stopped};
use setwright_model::brief::Brief;
use setwright_model::{FractionalSets, Muscle, Share};

/// Sets a week of the first cycle as a multiple of those of the present week (Scarpelli 2022, J Strength Cond Res
/// 36:1153 (A): 1.2 times the logged sets grew more muscle than a fixed 22 sets).
pub const GROWTH: f64 = 1.2;
/// Sets a week that may always be added to a muscle, where there are few or none (judgement).
pub const ADDED_SETS: f64 = 3.0;
/// Sets a week in all that may always be added (judgement: one short session).
pub const ADDED_SETS_IN_ALL: f64 = 8.0;
/// What is told of a muscle that presses, pulls and squats train beside their own, as a multiple in fractional sets (judgement: a
/// coach counts the sets for the muscle alone, and the others bring it half as many again).
pub const BESIDE: f64 = 1.5;
/// Share of the leg sets that a session holds on a hard day of the sport or the day before (judgement).
pub const LEGS_SHARE: f64 = 0.5;

/// How near a day is to a hard day of the sport.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SportDay {
    /// The hard day itself.
    Hard,
    /// The day before one.
    Before,
    /// Neither.
    Free,
}

/// Most fractional sets a week of a muscle in the first cycle, where the present week tells.
pub fn most_of(brief: &Brief, muscle: Muscle) -> Option<FractionalSets> {
    let told = brief.present.muscles.get(&muscle)?.get();
    let now = if is_trained_beside(muscle) { told * BESIDE } else { told };
    Some(FractionalSets(room(now, ADDED_SETS)))
}

const fn is_trained_beside(muscle: Muscle) -> bool {
    matches!(
        muscle,
        Muscle::Biceps
            | Muscle::Triceps
            | Muscle::FrontDelts
            | Muscle::SideDelts
            | Muscle::RearDelts
            | Muscle::Forearms
            | Muscle::Traps
            | Muscle::LowerBack
            | Muscle::Glutes
            | Muscle::Adductors
    )
}

/// Most work sets a week in all in the first cycle, where the present week tells of some. Somebody who trains little may add one
/// short session's worth.
pub fn most_sets(brief: &Brief) -> Option<f64> {
    // After a stop what is cut is what was done before it: the sets of a return say how much.
    let now = brief.present.sets.filter(|sets| *sets > 0 && !has_stopped(brief))?;
    Some(room(f64::from(now), ADDED_SETS_IN_ALL))
}

fn room(now: f64, added: f64) -> f64 {
    (now * GROWTH).max(now + added)
}

/// How near a day of the cycle is to a hard day of the sport; the cycle goes round.
pub fn sport_day(brief: &Brief, day: u32) -> SportDay {
    let next = if day >= brief.time.cycle_days { 1 } else { day + 1 };
    if brief.sport.is_hard(day) {
        SportDay::Hard
    } else if brief.sport.is_hard(next) {
        SportDay::Before
    } else {
        SportDay::Free
    }
}

/// How near a day of the cycle is to a match, whatever else it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MatchDay {
    /// None of the others.
    Free,
    /// The day after one.
    After,
    /// The day before one.
    Eve,
    /// The day itself.
    Match,
}

/// How near a day of the cycle is to a match; the cycle goes round.
pub fn match_day(brief: &Brief, day: u32) -> MatchDay {
    let next = if day >= brief.time.cycle_days { 1 } else { day + 1 };
    let last = if day <= 1 { brief.time.cycle_days } else { day - 1 };
    let is_match = |day| brief.sport.match_days.contains(&day);
    match (is_match(day), is_match(next), is_match(last)) {
        (true, _, _) => MatchDay::Match,
        (_, true, _) => MatchDay::Eve,
        (_, _, true) => MatchDay::After,
        _ => MatchDay::Free,
    }
}

/// How hard a session on this day may be for the legs and the whole body: near a hard day of the sport nothing that
/// tires the whole body, and half of the leg sets (common practice, no source (T)). The share is that of the sets
/// of exercises of the lower and the whole body.
pub fn limits_on(brief: &Brief, day: u32) -> (Limits, Share) {
    match sport_day(brief, day) {
        SportDay::Free => (Limits::FREE, Share(1.0)),
        SportDay::Hard | SportDay::Before => {
            (Limits { systemic_max: 2, spinal_max: 1, ..Limits::FREE }, Share(LEGS_SHARE))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use SportDay::{Before, Free, Hard};
    use setwright_model::Minutes;
    use setwright_model::brief::{Goal, Time, TrainingAge};

    fn brief() -> Brief {
        Brief::new("A", Goal::General, TrainingAge::Intermediate, Time::weekly(3, Minutes(60.0)))
    }

    #[test]
    fn nothing_is_known_of_a_week_that_was_not_told() {
        assert_eq!(most_of(&brief(), Muscle::Chest), None);
        assert_eq!(most_sets(&brief()), None);
    }

    #[test]
    fn a_full_week_grows_by_a_fifth_and_an_empty_one_by_a_few_sets() {
        let mut brief = brief();
        brief.present.muscles.insert(Muscle::Chest, FractionalSets(20.0));
        brief.present.muscles.insert(Muscle::Glutes, FractionalSets(0.0));
        assert_eq!(most_of(&brief, Muscle::Chest), Some(FractionalSets(24.0)));
        assert_eq!(most_of(&brief, Muscle::Glutes), Some(FractionalSets(3.0)));
        brief.present.sets = Some(0);
        assert_eq!(most_sets(&brief), None, "how to begin anew is said by the return");
        brief.present.sets = Some(10);
        assert_eq!(most_sets(&brief), Some(18.0));
        brief.present.sets = Some(60);
        assert_eq!(most_sets(&brief), Some(72.0));
    }

    #[test]
    fn the_day_before_the_first_day_is_the_last_of_the_cycle() {
        let mut brief = brief();
        brief.sport.hard_days = vec![1, 4];
        let days: Vec<SportDay> = (1..=7).map(|day| sport_day(&brief, day)).collect();
        assert_eq!(days, [Hard, Free, Before, Hard, Free, Free, Before]);
        assert_eq!(limits_on(&brief, 2), (Limits::FREE, Share(1.0)));
        assert_eq!(limits_on(&brief, 3).0.systemic_max, 2);
    }

    #[test]
    fn a_match_has_an_eve_and_a_day_after_whatever_else_is_hard() {
        use MatchDay::{After, Eve, Match};
        let mut brief = brief();
        (brief.sport.hard_days, brief.sport.match_days) = (vec![1, 4, 6], vec![7]);
        let days: Vec<MatchDay> = (1..=7).map(|day| match_day(&brief, day)).collect();
        let free = MatchDay::Free;
        assert_eq!(days, [After, free, free, free, free, Eve, Match], "practice hides neither");
        assert_eq!((sport_day(&brief, 7), sport_day(&brief, 3)), (Hard, Before));
    }
}
