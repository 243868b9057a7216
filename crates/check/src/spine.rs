//! Load on the spine in neighbouring blocks (SW130) and sessions (SW131), and the budgets of a session for whole
//! body, spine and grip (SW132).

use crate::recovery::gaps;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{count, number};
use setwright_model::{ExerciseId, Severity};
use setwright_science::rules::{SPINE_GAP_H, spine_neighbours};

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        neighbouring_blocks(scene, stage, out);
        too_many(scene, stage, out);
        budgets(scene, stage, out);
    }
    neighbouring_sessions(scene, out);
}

fn spinal<'s>(stage: &'s Stage<'_>) -> Vec<&'s Item<'s>> {
    stage.items.iter().filter(|i| i.exercise.is_spinal()).collect()
}

fn neighbouring_blocks(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    for pair in spinal(stage).windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if b.block == a.block + 1 {
            let cause =
                format!("{} and {} load the spine one after the other.", a.exercise.name, b.exercise.name);
            let severity = scene.bend(stage.rank, &[&a.exercise.id, &b.exercise.id]);
            let hint = "Put a block that rests the spine between them.";
            out.add(At::Block(stage.rank, b.block), severity, "SW130", cause, hint);
        }
    }
}

fn too_many(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let heavy = spinal(stage);
    let (have, most) = (heavy.len() as u32, scene.rules.spine_heavy);
    if have > most {
        let ids: Vec<&ExerciseId> = heavy.iter().map(|i| &i.exercise.id).collect();
        let cause = format!("{} load the spine heavily; {most} may.", count(have, "exercise"));
        let severity = scene.bend(stage.rank, &ids);
        out.add(At::Session(stage.rank), severity, "SW130", cause, "Swap one for a supported movement.");
    }
}

fn neighbouring_sessions(scene: &Scene<'_>, out: &mut Findings) {
    let loaded: Vec<&Stage<'_>> = scene.stages.iter().filter(|s| !spinal(s).is_empty()).collect();
    for (from, to, gap) in gaps(scene, &loaded).into_iter().filter(|(_, _, gap)| spine_neighbours(*gap)) {
        let ids = |s: &Stage<'_>| spinal(s).iter().map(|i| i.exercise.id.clone()).collect::<Vec<_>>();
        let all_locked = ids(from).iter().all(|id| scene.is_locked(from.rank, id))
            && ids(to).iter().all(|id| scene.is_locked(to.rank, id));
        let severity = if all_locked { Severity::Warning } else { Severity::Error };
        let cause = format!(
            "The spine is loaded heavily here and {} h before, on day {}; {} h lie between at least.",
            number(gap.get()),
            from.session.day,
            number(SPINE_GAP_H)
        );
        out.add(At::Session(to.rank), severity, "SW131", cause, "Move one of the lifts to another session.");
    }
}

fn budgets(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let sum = |cost: fn(&Item<'_>) -> u8| -> u32 {
        stage.items.iter().map(|i| u32::from(cost(i)) * i.sets()).sum()
    };
    let parts = [
        ("whole body", sum(|i| i.exercise.systemic), scene.rules.systemic),
        ("spine", sum(|i| i.exercise.spinal), scene.rules.spinal),
        ("grip", sum(|i| i.exercise.grip), scene.rules.grip),
    ];
    for (part, have, most) in parts.into_iter().filter(|(_, have, most)| have > most) {
        let cause = format!("The cost to the {part} (cost times sets) is {have}; {most} is the budget.");
        let hint = "Drop a set of the hardest lift, or swap it for an easier neighbour.";
        out.error(At::Session(stage.rank), "SW132", cause, hint).by(f64::from(have - most));
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, ERROR, NONE, WARNING, curl, exercise, hinge, press, row, sets, squat, straight, with,
    };
    use setwright_model::brief::TrainingAge;
    use setwright_model::{Exercise, Muscle, Pattern};

    fn heavy(exercise: Exercise) -> Exercise {
        with(exercise, |e| e.spinal = 2)
    }

    fn in_order(ids: &[&str]) -> Case {
        let blocks: Vec<_> = ids.iter().map(|id| straight(sets(id, 3))).collect();
        Case::new([heavy(squat()), heavy(hinge()), heavy(row()), press()]).day(1, blocks)
    }

    #[test]
    fn spine_heavy_lifts_are_not_neighbours() {
        assert_eq!(in_order(&["squat", "hinge"]).said("SW130"), ERROR);
        assert_eq!(in_order(&["squat", "press", "hinge"]).said("SW130"), NONE);
    }

    #[test]
    fn a_session_has_few_spine_heavy_lifts() {
        let three = || in_order(&["squat", "press", "hinge"]).day(4, []);
        assert_eq!(three().said("SW130"), NONE);
        assert_eq!(three().brief(|b| b.training_age = TrainingAge::Beginner).said("SW130"), ERROR);
    }

    #[test]
    fn what_the_coach_has_fixed_is_only_pointed_out() {
        let one = in_order(&["squat", "hinge"]).lock("squat", |_| {});
        assert_eq!(one.said("SW130"), ERROR, "the other one can move");
        assert_eq!(one.lock("hinge", |_| {}).said("SW130"), WARNING);
    }

    fn on(days: &[u32], cycle_days: u32) -> (usize, usize, usize) {
        let case = Case::new([heavy(squat())]);
        let mut case = days.iter().fold(case, |c, day| c.day(*day, [straight(sets("squat", 3))]));
        case.programme.cycle_days = cycle_days;
        case.said("SW131")
    }

    #[test]
    fn the_spine_rests_between_sessions_also_round_the_cycle() {
        assert_eq!(on(&[1, 3], 7), NONE, "48 h");
        assert_eq!(on(&[1, 2], 7), ERROR, "24 h");
        assert_eq!(on(&[1, 7], 7), ERROR, "24 h round the end");
        assert_eq!(on(&[1, 6], 7), NONE);
        assert_eq!(on(&[1, 7], 8), NONE, "48 h round the end");
        assert_eq!(on(&[3], 5), NONE, "once a cycle");
    }

    #[test]
    fn light_spines_may_be_neighbours() {
        let light = with(squat(), |e| e.spinal = 1);
        let case = Case::new([light]).day(1, [straight(sets("squat", 3))]);
        assert_eq!(case.day(2, [straight(sets("squat", 3))]).said("SW131"), NONE);
    }

    #[test]
    fn budgets_hold_to_the_last_point() {
        // Intermediate: whole body 36, spine 18, grip 24.
        let cost = |set: fn(&mut Exercise, u8), cost: u8, sets_a: u32, extra: u8| {
            let big = with(squat(), |e| set(e, cost));
            let small = with(curl(), |e| set(e, extra));
            let blocks = [straight(sets("squat", sets_a)), straight(sets("curl", 1))];
            Case::new([big, small]).day(1, blocks).said("SW132")
        };
        assert_eq!(cost(|e, c| e.systemic = c, 3, 12, 0), NONE);
        assert_eq!(cost(|e, c| e.systemic = c, 3, 12, 1), ERROR);
        assert_eq!(cost(|e, c| e.spinal = c, 3, 6, 0), NONE);
        assert_eq!(cost(|e, c| e.spinal = c, 3, 6, 1), ERROR);
        assert_eq!(cost(|e, c| e.grip = c, 3, 8, 0), NONE);
        assert_eq!(cost(|e, c| e.grip = c, 3, 8, 1), ERROR);
    }

    #[test]
    fn without_a_brief_the_loosest_budget_holds() {
        let big = with(exercise("big", Pattern::Squat, &[Muscle::Quads], &[]), |e| e.systemic = 2);
        let fired = |n| {
            let case = Case::new([big.clone()]).day(1, [straight(sets("big", n))]);
            case.report_alone().findings.iter().any(|f| f.code == "SW132")
        };
        assert!(!fired(22), "44 is the budget of the most trained");
        assert!(fired(23));
    }
}
