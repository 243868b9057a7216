//! Pulls from the floor are rationed as a family (SW129).

use crate::client::is_floor_pull;
use crate::scene::{At, Findings, Scene, Stage};
use crate::words::number;
use setwright_model::Severity;
use setwright_model::brief::Condition;

/// Sessions a week that pull from the floor: what is usual for strength, and what nobody recovers from (judgement).
const USUAL: f64 = 2.0;
const TOO_MANY: f64 = 3.0;
/// The same for a client who does not train for strength: one is usual, more is worth a look (judgement).
const USUAL_OTHERWISE: f64 = 1.0;
/// Rounding of a cycle that is not a week (numeric).
const ROUNDING: f64 = 0.01;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let pulls = |s: &&Stage<'_>| s.items.iter().any(|i| is_floor_pull(i.exercise));
    let sessions = scene.stages.iter().filter(pulls).count();
    let weekly = sessions as f64 / scene.weeks();
    let refused = if scene.needs_care() { USUAL } else { TOO_MANY };
    // A cycle that is not a week holds whole sessions.
    let over = |usual: f64| sessions as f64 > (usual * scene.weeks()).round().max(1.0);
    let troubled = scene.brief.is_some_and(|b| b.conditions.contains(&Condition::LowBackPain));
    let twice = scene.is_for_strength() && !scene.is_older() && !troubled;
    let severity = if weekly > refused + ROUNDING {
        Severity::Error
    } else if over(USUAL) {
        Severity::Warning
    } else if over(USUAL_OTHERWISE) && scene.brief.is_some() && !twice {
        Severity::Note
    } else {
        return;
    };
    let usual = if twice { USUAL } else { USUAL_OTHERWISE };
    let cause =
        format!("{} sessions a week pull from the floor; {} is usual.", number(weekly), number(usual));
    let hint = "Do a hinge that starts from standing on the other days, or none.";
    let severity = if is_fixed(scene) { severity.min(Severity::Warning) } else { severity };
    out.add(At::Programme, severity, "SW129", cause, hint).by(weekly - usual);
}

/// Whether the coach has fixed each of them.
fn is_fixed(scene: &Scene<'_>) -> bool {
    scene
        .items()
        .filter(|(_, i)| is_floor_pull(i.exercise))
        .all(|(s, i)| scene.is_locked(s.rank, &i.exercise.id))
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, exercise, hinge, sets, straight, tally, with};
    use setwright_model::brief::{Goal, TrainingAge};
    use setwright_model::{Muscle, Pattern};

    fn days(n: usize) -> Case {
        let pull = |id| with(exercise(id, Pattern::Hinge, &[Muscle::Hamstrings], &[]), |e| e.systemic = 3);
        let case = Case::new([pull("deadlift"), pull("trap_bar"), hinge()]);
        let ids = ["deadlift", "trap_bar", "deadlift", "trap_bar"];
        (0..n).fold(case, |c, i| c.day(2 * i as u32 + 1, [straight(sets(ids[i], 3))]))
    }

    #[test]
    fn a_cycle_of_six_days_holds_two_as_a_week_does() {
        let said = |n: usize, cycle| {
            let mut case = days(n).brief(|b| b.goal = Goal::Strength);
            case.programme.cycle_days = cycle;
            case.said("SW129")
        };
        assert_eq!((said(2, 6), said(3, 8), said(3, 7)), (NONE, WARNING, WARNING));
    }

    #[test]
    fn strength_has_two_sessions_a_week_and_others_one() {
        let strength = |n| days(n).brief(|b| b.goal = Goal::Strength).said("SW129");
        assert_eq!([strength(1), strength(2), strength(3), strength(4)], [NONE, NONE, WARNING, ERROR]);
        let general = |n| days(n).said("SW129");
        assert_eq!([general(1), general(2), general(3), general(4)], [NONE, NOTE, WARNING, ERROR]);
    }

    #[test]
    fn who_needs_care_is_not_given_three() {
        let new = |n| days(n).brief(|b| b.training_age = TrainingAge::Beginner).said("SW129");
        assert_eq!((new(2), new(3)), (NOTE, ERROR));
        assert_eq!(days(3).brief(|b| b.body.age = Some(60)).said("SW129"), ERROR);
    }

    #[test]
    fn from_sixty_five_on_once_a_week_is_usual_for_strength_too() {
        let strong =
            |n, age| days(n).brief(|b| (b.goal, b.body.age) = (Goal::Strength, Some(age))).said("SW129");
        assert_eq!((strong(2, 64), strong(2, 65), strong(1, 65)), (NONE, NOTE, NONE));
    }

    #[test]
    fn a_longer_cycle_is_scaled_and_the_coachs_own_is_pointed_out() {
        let mut case = days(3).brief(|b| b.goal = Goal::Strength);
        case.programme.cycle_days = 11;
        assert_eq!(case.said("SW129"), NONE, "1.9 a week");
        let own = days(4).lock("deadlift", |_| {}).lock("trap_bar", |_| {});
        assert_eq!(own.said("SW129"), WARNING);
        assert_eq!(tally(&days(2).report_alone(), "SW129"), NONE);
    }

    #[test]
    fn one_of_two_lifts_that_is_fixed_does_not_excuse_the_other() {
        assert_eq!(days(4).lock("deadlift", |_| {}).said("SW129"), ERROR);
    }
}
