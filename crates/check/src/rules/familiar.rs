//! A newer client meets the same exercises again, and nobody a new one at every turn (SW161). For the others one movement
//! does not fill every day (SW162).

use crate::scene::{At, Findings, Scene};
use crate::words::{count, list, number};
use setwright_model::{Exercise, ExerciseId, Severity};
use std::collections::{BTreeMap, BTreeSet};

/// Share of a newer client's exercises that come back in another session, at least (judgement).
const AGAIN: f64 = 0.4;
/// Different exercises of a cycle: so many, and so many more for each session (judgement).
const KINDS: usize = 8;
const KINDS_A_SESSION: usize = 3;
/// Sessions of a cycle from which a movement is not in all of them (judgement: noted from here, mended beyond).
const MANY_SESSIONS: usize = 4;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let mut met: BTreeMap<&ExerciseId, BTreeSet<usize>> = BTreeMap::new();
    for (stage, item) in scene.items() {
        met.entry(&item.exercise.id).or_default().insert(stage.rank);
    }
    let sessions = scene.stages.len();
    everywhere(scene, &met, out);
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

/// What nobody asked for is not in every session of many.
fn everywhere(scene: &Scene<'_>, met: &BTreeMap<&ExerciseId, BTreeSet<usize>>, out: &mut Findings) {
    let sessions = scene.stages.len();
    if scene.brief.is_none() || scene.is_new() || sessions < MANY_SESSIONS {
        return;
    }
    let own = |id: &ExerciseId| {
        let wanted = scene.catalogue.get(id).and_then(Exercise::prime).is_some_and(|m| scene.is_priority(m));
        scene.is_own(id) || wanted
    };
    let found = met.iter().filter(|(id, ranks)| ranks.len() == sessions && !own(id));
    let names: Vec<String> = found.map(|(id, _)| scene.name(id)).collect();
    if !names.is_empty() {
        let severity = if sessions > MANY_SESSIONS { Severity::Warning } else { Severity::Note };
        let cause = format!("In every session, and nobody asked for it: {}.", list(&names));
        out.add(At::Programme, severity, "SW162", cause, "Let something else take its place on some days.");
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, NONE, NOTE, WARNING, exercise, sets, straight, tally};
    use setwright_model::brief::{Priority, TrainingAge};
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

    #[test]
    fn one_movement_does_not_fill_every_day() {
        let days = |n: u32| {
            let all = [exercise("a", Pattern::LateralRaise, &[Muscle::SideDelts], &[])];
            (1..=n).fold(Case::new(all), |case, day| case.day(day, [straight(sets("a", 2))]))
        };
        assert_eq!(
            (days(3).said("SW162"), days(4).said("SW162"), days(5).said("SW162")),
            (NONE, NOTE, WARNING)
        );
        assert_eq!(days(5).told("a", 5.0, 12).said("SW162"), NONE);
        let beginner = days(5).brief(|b| b.training_age = TrainingAge::Beginner);
        assert_eq!(beginner.said("SW162"), NONE, "who is new learns by it");
    }

    #[test]
    fn what_the_client_came_for_may_fill_every_day() {
        let raise = || exercise("a", Pattern::LateralRaise, &[Muscle::SideDelts], &[Muscle::Traps]);
        let days = (1..=5).fold(Case::new([raise()]), |case, day| case.day(day, [straight(sets("a", 2))]));
        let wished =
            |muscle, priority| days.clone().wish(muscle, |w| w.priority = Some(priority)).said("SW162");
        assert_eq!(wished(Muscle::SideDelts, Priority::High), NONE);
        assert_eq!(wished(Muscle::SideDelts, Priority::Normal), WARNING);
        assert_eq!(wished(Muscle::Traps, Priority::High), WARNING, "it is not what the movement is for");
        assert_eq!(tally(&days.report_alone(), "SW162"), NONE);
    }

    #[test]
    fn one_session_meets_nothing_again() {
        let all = [exercise("a", Pattern::LateralRaise, &[Muscle::SideDelts], &[])];
        let one = Case::new(all).day(1, [straight(sets("a", 2))]);
        assert_eq!(one.brief(|b| b.training_age = TrainingAge::Beginner).said("SW161"), NONE);
    }
}
