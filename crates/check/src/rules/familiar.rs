//! A newer client meets the same exercises again, and nobody a new one at every turn (SW161).

use crate::scene::{At, Findings, Scene};
use crate::words::{count, number};
use setwright_model::{ExerciseId, Severity};
use std::collections::{BTreeMap, BTreeSet};

/// Share of a newer client's exercises that come back in another session, at least (judgement).
const AGAIN: f64 = 0.4;
/// Different exercises of a cycle: so many, and so many more for each session (judgement).
const KINDS: usize = 8;
const KINDS_A_SESSION: usize = 3;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let mut met: BTreeMap<&ExerciseId, BTreeSet<usize>> = BTreeMap::new();
    for (stage, item) in scene.items() {
        met.entry(&item.exercise.id).or_default().insert(stage.rank);
    }
    let sessions = scene.stages.len();
    let most = KINDS + KINDS_A_SESSION * sessions;
    if met.len() > most && scene.brief.is_some() {
        let cause = format!(
            "{} in {}; {most} are enough to learn and to load.",
            count(met.len() as u32, "different exercise"),
            count(sessions as u32, "session")
        );
        let hint = "Let exercises come back instead of new ones.";
        out.add(At::Programme, Severity::Warning, "SW161", cause, hint).by((met.len() - most) as f64);
    }
    if scene.is_new() && sessions > 1 && !met.is_empty() {
        let again = met.values().filter(|ranks| ranks.len() > 1).count() as f64 / met.len() as f64;
        if again < AGAIN {
            let cause = format!(
                "{} % of the exercises come back in another session; a newer client learns by meeting them again.",
                number((100.0 * again).round())
            );
            let hint = "Give the same session twice, or two sessions in turn.";
            out.add(At::Programme, Severity::Warning, "SW161", cause, hint).by(AGAIN - again);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, NONE, WARNING, exercise, sets, straight};
    use setwright_model::brief::TrainingAge;
    use setwright_model::{Muscle, Pattern};

    /// Two sessions of some exercises each, so many of them in both.
    fn two(each: usize, shared: usize) -> Case {
        let id = |i: usize| format!("e{i}");
        let all = (0..2 * each).map(|i| exercise(&id(i), Pattern::ALL[i], &[Muscle::Calves], &[]));
        let blocks = |from: usize| (from..from + each).map(|i| straight(sets(&id(i), 2))).collect::<Vec<_>>();
        Case::new(all).day(1, blocks(0)).day(4, blocks(each - shared))
    }

    #[test]
    fn a_newer_client_meets_two_in_five_exercises_again() {
        let beginner = |each, shared| two(each, shared).brief(|b| b.training_age = TrainingAge::Beginner);
        assert_eq!(beginner(7, 4).said("SW161"), NONE, "4 of 10");
        assert_eq!(beginner(7, 3).said("SW161"), WARNING, "3 of 11");
        assert_eq!(two(7, 0).said("SW161"), NONE, "an intermediate may have other exercises on each day");
    }

    #[test]
    fn a_cycle_has_not_too_many_different_exercises() {
        assert_eq!(two(7, 0).said("SW161"), NONE, "14 in two sessions");
        assert_eq!(two(8, 1).said("SW161"), WARNING, "15");
    }
}
