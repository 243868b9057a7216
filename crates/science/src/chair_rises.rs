//! Rises from a chair in half a minute, by age and sex, and who does fewer than most.

use setwright_model::brief::{Sex, TestKind};
use setwright_model::exercise::LoadKind;
use setwright_model::{Brief, Exercise, Pattern, Station};

/// Rises from a chair in 30 s at 60, 65, ... 90 years, women and men: middle of the band that holds half of them (Rikli
/// and Jones 1999, J Aging Phys Act 7:129 (M)).
const CHAIR_RISES: [[f64; 7]; 2] =
    [[14.5, 13.5, 12.5, 12.5, 11.5, 10.5, 7.5], [16.5, 15.0, 14.5, 14.0, 12.5, 11.0, 9.5]];
/// Half of them lie so near the middle, either way (M).
const CHAIR_RISES_QUARTER: f64 = 2.5;

/// Shares of the rises of a test that a set has (common practice, no source (T)).
const SHARE_OF_RISES: [f64; 2] = [0.5, 0.7];

/// The usual rises of an age; of 60 where it is not known.
pub fn usual_rises(age: Option<u32>, sex: Sex) -> f64 {
    let step = ((age.unwrap_or(60).max(60) - 60) / 5).min(6) as usize;
    CHAIR_RISES[sex as usize][step]
}

/// The most rises that were counted.
fn most_rises(brief: &Brief) -> Option<u32> {
    brief.tests.iter().filter(|t| t.what == TestKind::ChairRises).map(|t| t.count).max()
}

/// Whether a client was seen to rise less often than three in four of that age and sex do; of the more often of the two where
/// the sex is not known.
pub fn rises_seldom(brief: &Brief) -> bool {
    let sexes = [Sex::Female, Sex::Male].into_iter().filter(|s| brief.body.sex.is_none_or(|told| told == *s));
    let usual = sexes.map(|sex| usual_rises(brief.body.age, sex)).fold(0.0, f64::max);
    most_rises(brief).is_some_and(|count| f64::from(count) < usual - CHAIR_RISES_QUARTER)
}

/// Rises in half a minute from which a weight is held (common practice, no source (T)).
const RISES_BEFORE_A_WEIGHT: u32 = 15;

/// Whether rising from a chair with a weight comes after more rises without one than were counted.
pub fn weight_waits(exercise: &Exercise, brief: &Brief) -> bool {
    let chair = exercise.pattern == Pattern::Squat && exercise.stations.contains(&Station::Chair);
    let weight = !matches!(exercise.load, LoadKind::Body | LoadKind::BodyPlus | LoadKind::Band);
    chair && weight && most_rises(brief).is_some_and(|count| count < RISES_BEFORE_A_WEIGHT)
}

/// Reps of rising from a chair after the test: half to seven tenths of what was done in half a minute as fast as possible (common
/// practice, no source (T)); none for any other exercise, or without the test.
pub fn reps(exercise: &Exercise, brief: &Brief) -> Option<[u32; 2]> {
    let rises = exercise.pattern == Pattern::Squat
        && exercise.load == LoadKind::Body
        && exercise.stations.contains(&Station::Chair);
    let count = f64::from(most_rises(brief).filter(|count| rises && *count > 0)?);
    let low = ((SHARE_OF_RISES[0] * count) as u32).max(1);
    Some([low, ((SHARE_OF_RISES[1] * count) as u32).max(low + 1)])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_rises_less_often_than_three_in_four_is_seen_as_weak() {
        let brief = |count: u32, sex: &str| -> Brief {
            let text = format!(
                "name = \"A\"\ngoal = \"general\"\ntraining_age = \"beginner\"\ntime = {{ sessions = 2, minutes = 30 }}\n\
                 body = {{ age = 84{sex} }}\ntest = [{{ what = \"chair_rises\", count = {count} }}]"
            );
            toml::from_str(&text).expect("a brief")
        };
        let woman = ", sex = \"female\"";
        assert!(rises_seldom(&brief(3, woman)) && rises_seldom(&brief(8, woman)));
        assert!(!rises_seldom(&brief(9, woman)) && !rises_seldom(&brief(15, woman)));
        // A man of that age rises once more often; nobody knows which of the two it is.
        assert!(rises_seldom(&brief(9, "")) && !rises_seldom(&brief(10, "")));
    }
}
