//! Trunk and arm work has its limits, and trunk work is not done between heavy sets (SW119); with time for it there is some
//! trunk work, and the lifts of somebody who trains for strength are more than what is small.

use crate::client::TRUNK;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{count, number};
use setwright_model::brief::{Brief, Goal};
use setwright_model::{Exercise, Muscle, Pattern, Severity};

/// Trunk sets of a week (common practice, no source (T)), and of a shorter or longer cycle at least.
const TRUNK_WEEKLY: f64 = 10.0;
const TRUNK_ALWAYS: f64 = 6.0;
/// Share of all sets that single joints of the arms may take (judgement).
const ARMS: f64 = 0.34;
/// Arm sets of a cycle that are always well (judgement).
const ARMS_ALWAYS: u32 = 6;
/// Minutes a week from which there is trunk work (common practice, no source (T)).
const TRUNK_FROM_MIN: f64 = 60.0;
/// Sets of one side of the arms from which the other is missed (judgement).
const ONE_SIDE_FROM: u32 = 4;
/// Rounding (numeric).
const ROUNDING: f64 = 1.01;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    if let Some(brief) = scene.brief {
        trunk(scene, out);
        no_trunk(scene, out);
        arms(scene, out);
        one_side(scene, brief, out);
        small_beside_lifts(scene, out);
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

fn sum(scene: &Scene<'_>, kind: impl Fn(&Exercise) -> bool) -> u32 {
    scene.stages.iter().map(|s| s.sets_of(&kind)).sum()
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

/// With an hour a week something holds or bends the trunk; squats and pulls from the floor do some of it, so it is pointed out.
fn no_trunk(scene: &Scene<'_>, out: &mut Findings) {
    if misses_the_trunk(scene) {
        let cause = "Nothing is for the trunk in the whole cycle, and there is time for it.";
        let hint = "Two or three sets at the end of a session do.";
        out.add(At::Programme, Severity::Note, "SW128", cause, hint);
    }
}

/// Whether nothing in the cycle is for the trunk, which there is time for.
pub(crate) fn misses_the_trunk(scene: &Scene<'_>) -> bool {
    let wanted = [Muscle::Abs, Muscle::Obliques].into_iter().any(|m| !scene.is_minor(m));
    let short = scene.minutes() / scene.weeks() < TRUNK_FROM_MIN;
    let some = |e: &Exercise| is_trunk(e) || e.pattern == Pattern::Carry;
    wanted && !short && sum(scene, some) == 0 && scene.has_pattern(TRUNK)
}

/// Where size is the goal, arms that are trained from one side alone.
fn one_side(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let of =
        |pattern: Pattern| -> u32 { scene.stages.iter().map(|s| s.sets_of(|e| e.pattern == pattern)).sum() };
    let (curls, extensions) = (of(Pattern::ElbowFlexion), of(Pattern::ElbowExtension));
    let meant = scene.is_priority(Muscle::Biceps) != scene.is_priority(Muscle::Triceps);
    let left_out = scene.is_minor(Muscle::Biceps) || scene.is_minor(Muscle::Triceps);
    if brief.goal != Goal::Size || meant || left_out || curls.min(extensions) > 0 {
        return;
    }
    if curls.max(extensions) >= ONE_SIDE_FROM {
        let (some, none) =
            if curls > 0 { ("the biceps", "the triceps") } else { ("the triceps", "the biceps") };
        let cause = format!("{} for {some} alone and none for {none}.", count(curls.max(extensions), "set"));
        out.add(At::Programme, Severity::Note, "SW119", cause, "Share them between the two sides.");
    }
}

/// Strength is trained by lifts: what moves one joint, and the trunk, is less of it.
fn small_beside_lifts(scene: &Scene<'_>, out: &mut Findings) {
    if !scene.is_for_strength() || scene.is_first_weeks() {
        return;
    }
    let small = sum(scene, |e| !e.pattern.is_compound() && e.pattern.has_dose());
    let lifts = sum(scene, |e| e.pattern.is_compound());
    if lifts > 0 && small > lifts {
        let cause = format!("{small} sets of small work beside {lifts} of lifts, for strength.");
        out.add(At::Programme, Severity::Warning, "SW119", cause, "Give the lifts the sets.")
            .by(f64::from(small - lifts));
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
        Case, ERROR, NONE, NOTE, WARNING, curl, exercise, extension, pair, press, sets, squat, straight, with,
    };
    use setwright_model::BlockKind::Alternating;
    use setwright_model::brief::{Goal, MinutesPerSession, Priority};
    use setwright_model::{Exercise, Minutes, Muscle, Pattern};

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
    fn an_hour_a_week_has_something_for_the_trunk() {
        let with_minutes = |minutes: f64, trunk: bool| {
            let case = Case::new([press(), of(Pattern::TrunkBrace)]);
            let blocks = || {
                let more = trunk.then(|| straight(sets("trunk", 2)));
                [straight(sets("press", 3))].into_iter().chain(more)
            };
            let case = case.day(1, blocks()).day(4, blocks()).wish(Muscle::Chest, |w| w.sessions = Some(2));
            let case = case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(minutes)));
            let report = case.report();
            report.findings.iter().filter(|f| f.code == "SW128" && f.cause.contains("trunk")).count()
        };
        assert_eq!((with_minutes(30.0, false), with_minutes(29.0, false)), (1, 0));
        assert_eq!(with_minutes(30.0, true), 0);
    }

    #[test]
    fn arms_are_trained_from_both_sides_where_size_is_the_goal() {
        let arms = |id: &str, n: u32, goal| {
            let day = [straight(sets("press", 6)), straight(sets("press", 6)), straight(sets(id, n))];
            Case::new([press(), curl(), extension()]).day(1, day).brief(|b| b.goal = goal).said("SW119")
        };
        assert_eq!((arms("curl", 4, Goal::Size), arms("curl", 3, Goal::Size)), (NOTE, NONE));
        assert_eq!(arms("extension", 4, Goal::Size), NOTE);
        assert_eq!(arms("curl", 4, Goal::General), NONE);
    }

    #[test]
    fn small_work_is_less_than_the_lifts_where_strength_is_the_goal() {
        let week = |n: u32, goal| {
            let raise = exercise("raise", Pattern::LateralRaise, &[Muscle::SideDelts], &[]);
            let day = [straight(sets("press", 6)), straight(sets("raise", n))];
            Case::new([press(), raise]).day(1, day).brief(|b| b.goal = goal).said("SW119")
        };
        assert_eq!((week(6, Goal::Strength), week(7, Goal::Strength)), (NONE, WARNING));
        assert_eq!(week(7, Goal::General), NONE);
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
