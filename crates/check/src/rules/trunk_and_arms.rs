//! Trunk and arm work has its limits, and trunk work is not done between heavy sets (SW119).

use crate::client::TRUNK;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{count, number};
use setwright_model::{Exercise, Muscle, Pattern, Severity};

/// Trunk sets of a week (common practice, no source (T)), and of a shorter or longer cycle at least.
const TRUNK_WEEKLY: f64 = 10.0;
const TRUNK_ALWAYS: f64 = 6.0;
/// Share of all sets that single joints of the arms may take (judgement).
const ARMS: f64 = 0.34;
/// Arm sets of a cycle that are always well (judgement).
const ARMS_ALWAYS: u32 = 6;
/// Rounding (numeric).
const ROUNDING: f64 = 1.01;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    if scene.brief.is_some() {
        trunk(scene, out);
        arms(scene, out);
    }
    for stage in &scene.stages {
        for item in stage.items.iter().filter(|i| is_trunk(i.exercise)) {
            between_heavy_sets(scene, stage, item, out);
        }
    }
}

fn is_trunk(exercise: &Exercise) -> bool {
    TRUNK.contains(&exercise.pattern)
}

fn is_arms(exercise: &Exercise) -> bool {
    matches!(exercise.pattern, Pattern::ElbowFlexion | Pattern::ElbowExtension | Pattern::Wrist)
}

fn sum(scene: &Scene<'_>, kind: fn(&Exercise) -> bool) -> u32 {
    scene.stages.iter().map(|s| s.sets_of(kind)).sum()
}

fn trunk(scene: &Scene<'_>, out: &mut Findings) {
    let wanted = [Muscle::Abs, Muscle::Obliques].into_iter().any(|m| scene.is_priority(m));
    let have = f64::from(sum(scene, is_trunk));
    let most = (TRUNK_WEEKLY * scene.weeks()).max(TRUNK_ALWAYS);
    if !wanted && have > most * ROUNDING {
        let cause = format!("{} sets of trunk work a cycle; {} are enough.", number(have), number(most));
        out.add(At::Programme, Severity::Warning, "SW119", cause, "Drop some of them.").by(have - most);
    }
}

fn arms(scene: &Scene<'_>, out: &mut Findings) {
    let wanted =
        [Muscle::Biceps, Muscle::Triceps, Muscle::Forearms].into_iter().any(|m| scene.is_priority(m));
    let (have, all) = (sum(scene, is_arms), sum(scene, |_| true));
    if !wanted && have > ARMS_ALWAYS && f64::from(have) > ARMS * f64::from(all) {
        let cause = format!("{} of {} are for the arms alone.", have, count(all, "set"));
        let hint = "Give some of them to presses and rows, which train the arms too.";
        out.add(At::Programme, Severity::Warning, "SW119", cause, hint)
            .by(f64::from(have) - ARMS * f64::from(all));
    }
}

/// A tired trunk does not hold a loaded spine. Turning it between heavy sets is refused.
fn between_heavy_sets(scene: &Scene<'_>, stage: &Stage<'_>, trunk: &Item<'_>, out: &mut Findings) {
    let block = stage.of_block(trunk.block);
    let Some(heavy) = block.iter().find(|i| i.exercise.is_spinal()) else { return };
    let turns = trunk.exercise.pattern == Pattern::TrunkRotation;
    let severity = if turns { Severity::Error } else { Severity::Warning };
    let fixed = scene.locks_pair(stage.rank, &trunk.exercise.id, &heavy.exercise.id);
    let severity = if fixed { Severity::Warning } else { severity };
    let cause = format!(
        "{} tires the trunk between the sets of {}, which needs it.",
        trunk.exercise.name, heavy.exercise.name
    );
    out.add(At::Block(stage.rank, trunk.block), severity, "SW119", cause, "Do the trunk work at the end.");
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, ERROR, NONE, WARNING, curl, exercise, extension, pair, press, sets, squat, straight, with,
    };
    use setwright_model::BlockKind::Alternating;
    use setwright_model::brief::Priority;
    use setwright_model::{Exercise, Muscle, Pattern};

    fn of(pattern: Pattern) -> Exercise {
        exercise("trunk", pattern, &[Muscle::Abs], &[])
    }

    fn week(id: &str, n: [u32; 2]) -> Case {
        let day = |n| [straight(sets("press", 6)), straight(sets(id, n))];
        Case::new([press(), curl(), of(Pattern::TrunkFlexion)]).day(1, day(n[0])).day(4, day(n[1]))
    }

    #[test]
    fn ten_trunk_sets_a_week_are_enough_unless_they_are_wanted() {
        assert_eq!(week("trunk", [5, 5]).said("SW119"), NONE);
        assert_eq!(week("trunk", [6, 5]).said("SW119"), WARNING);
        let wanted = week("trunk", [6, 5]).wish(Muscle::Abs, |w| w.priority = Some(Priority::High));
        assert_eq!(wanted.said("SW119"), NONE);
    }

    #[test]
    fn a_third_of_the_sets_may_be_for_the_arms_unless_they_are_wanted() {
        assert_eq!(week("curl", [3, 3]).said("SW119"), NONE);
        assert_eq!(week("curl", [4, 3]).said("SW119"), WARNING, "7 of 19");
        let wanted = week("curl", [4, 3]).wish(Muscle::Biceps, |w| w.priority = Some(Priority::Top));
        assert_eq!(wanted.said("SW119"), NONE);
    }

    #[test]
    fn no_trunk_work_between_heavy_sets() {
        let beside = |pattern, spinal| {
            let heavy = with(squat(), |e| e.spinal = spinal);
            let block = pair(Alternating, sets("squat", 3), sets("trunk", 3));
            Case::new([heavy, of(pattern)]).day(1, [block])
        };
        assert_eq!(beside(Pattern::TrunkBrace, 1).said("SW119"), NONE);
        assert_eq!(beside(Pattern::TrunkBrace, 2).said("SW119"), WARNING);
        assert_eq!(beside(Pattern::TrunkRotation, 2).said("SW119"), ERROR);
        let own = beside(Pattern::TrunkRotation, 2).lock("trunk", |l| l.with = Some("squat".into()));
        assert_eq!(own.said("SW119"), WARNING);
    }

    #[test]
    fn six_arm_sets_of_a_cycle_are_always_well() {
        let arms = |id: &str, n| {
            let day = [straight(sets("press", 6)), straight(sets(id, n))];
            Case::new([press(), curl(), extension()]).day(1, day).said("SW119")
        };
        assert_eq!((arms("curl", 6), arms("curl", 7)), (NONE, WARNING), "half of the sets");
        assert_eq!(arms("extension", 7), WARNING);
    }

    #[test]
    fn six_trunk_sets_fit_the_shortest_cycle() {
        let trunk = |n| {
            let mut case = Case::new([of(Pattern::TrunkBrace)]).day(1, [straight(sets("trunk", n))]);
            case.programme.cycle_days = 3;
            case.said("SW119")
        };
        assert_eq!((trunk(6), trunk(7)), (NONE, WARNING));
    }
}
