//! What the client wants to be able to do is trained itself, or a step towards it, and more than once a week (SW164).

use crate::scene::{At, Findings, Scene, Stage};
use crate::words::number;
use setwright_model::brief::Aim;
use setwright_model::{Brief, Exercise, Severity};
use setwright_science::aims;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief.filter(|_| !scene.stages.is_empty()) else { return };
    for aim in aims::trained(brief, scene.catalogue).into_iter().filter(|aim| is_possible(scene, *aim)) {
        often_enough(scene, brief, aim, out);
    }
}

/// Whether something that serves an aim can be done by this client, likely enough to be asked for.
fn is_possible(scene: &Scene<'_>, aim: Aim) -> bool {
    let may =
        |e: &Exercise| aims::serves(aim, e) && scene.is_allowed(e) && scene.is_possible(e.pattern.side());
    scene.catalogue.iter().any(|e| may(e) && scene.brief.is_none_or(|b| scene.client.is_likely(b, e)))
}

/// None in the whole cycle is mended, fewer visits than two a week are pointed out.
fn often_enough(scene: &Scene<'_>, brief: &Brief, aim: Aim, out: &mut Findings) {
    let trains = |s: &&Stage<'_>| s.items.iter().any(|i| aims::serves(aim, i.exercise));
    let visits = scene.stages.iter().filter(trains).count();
    let asked = aims::visits(brief) as usize;
    if visits >= asked {
        return;
    }
    let (severity, cause) = if visits == 0 {
        let cause =
            format!("The client wants to be better at {}, and nothing is it or leads to it.", aim.name());
        (Severity::Warning, cause)
    } else {
        let visits = number(visits as f64);
        let cause = format!(
            "The client wants to be better at {}, which is in {visits} of {} visits.",
            aim.name(),
            scene.stages.len()
        );
        (Severity::Note, cause)
    };
    let hint = format!("Train it, or a step towards it, in {asked} visits of the cycle.");
    out.add(At::Programme, severity, "SW164", cause, hint);
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, NONE, NOTE, WARNING, sets, straight};
    use setwright_gym::catalogue::builtin;
    use setwright_model::Muscle;
    use setwright_model::brief::{Aim, Place, Priority, Test, TestKind};

    fn week(days: [&[&str]; 2]) -> Case {
        let day = |ids: &[&str]| ids.iter().map(|id| straight(sets(id, 3))).collect::<Vec<_>>();
        let case = Case::new(builtin().iter().cloned()).day(1, day(days[0])).day(4, day(days[1]));
        case.brief(|b| b.equipment.place = Place::FullGym)
    }

    #[test]
    fn what_is_wanted_is_trained_twice_a_week() {
        let said = |days, aim| week(days).brief(|b| b.aims = vec![aim]).said("SW164");
        let sitting: &[&str] = &["seated_leg_press", "machine_row"];
        let stepping: &[&str] = &["dumbbell_step_up", "machine_row"];
        assert_eq!(said([sitting, sitting], Aim::Stairs), WARNING);
        assert_eq!(said([stepping, sitting], Aim::Stairs), NOTE);
        assert_eq!(said([stepping, stepping], Aim::Stairs), NONE);
        assert_eq!(said([sitting, sitting], Aim::LessWeight), NONE, "no exercise is for that");
    }

    #[test]
    fn pulldowns_are_no_pull_ups_for_who_came_for_them() {
        let said = |id: &'static str, count: u32| {
            let ids: [&[&str]; 2] = [&[id], &[id]];
            let case = week(ids).wish(Muscle::Lats, |w| w.priority = Some(Priority::High));
            case.brief(|b| b.tests = vec![Test { what: TestKind::PullUps, count }]).said("SW164")
        };
        assert_eq!(said("lat_pulldown", 1), WARNING);
        assert_eq!(said("assisted_pull_up", 1), NONE);
        assert_eq!(said("lat_pulldown", 0), NONE, "nobody did one yet");
    }

    #[test]
    fn nothing_is_asked_that_cannot_be_done() {
        let case = week([&["machine_row"], &["machine_row"]]);
        let knees = case.brief(|b| {
            b.aims = vec![Aim::Stairs];
            b.exclude.patterns = vec![setwright_model::Pattern::Lunge];
        });
        assert_eq!(knees.said("SW164"), NONE);
    }
}
