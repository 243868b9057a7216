//! The grip: two heavy ones in a block (SW120), its budget in a session (SW132), and none spent before the pulling that
//! needs it (SW133). Carries are judged in `carries`. All of it is mended: a tired grip ends a set early and harms nobody.

use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::pattern::Side;
use setwright_model::{BlockKind, Exercise, Pattern, Severity};

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        pairs(scene, stage, out);
        budget(scene, stage, out);
        for later in &stage.items {
            spent(scene, stage, later, out);
        }
    }
}

fn pairs(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    for (index, block) in stage.session.blocks.iter().enumerate() {
        let [a, b] = stage.of_block(index)[..] else { continue };
        let fixed = scene.locks_pair(stage.rank, &a.exercise.id, &b.exercise.id);
        let both = a.exercise.is_grip_heavy() && b.exercise.is_grip_heavy();
        let hangs = hinge_and_pull(a, b) || hinge_and_pull(b, a);
        if block.kind == BlockKind::Alternating && !both && hangs && !fixed {
            let cause = format!("{} and {} in turn spend grip and back.", a.exercise.name, b.exercise.name);
            let hint = "Give each a press or the trunk for a partner.";
            out.add(At::Block(stage.rank, index), Severity::Note, "SW120", cause, hint);
        }
        if block.kind == BlockKind::Alternating && both && !fixed {
            let cause = format!("{} and {} both need a strong grip.", a.exercise.name, b.exercise.name);
            let hint = "Do them in two straight blocks, or give one another partner.";
            out.add(At::Block(stage.rank, index), Severity::Warning, "SW120", cause, hint);
        }
    }
}

/// A load that hangs from the hands in a hinge, and a pull that is held.
fn hinge_and_pull(a: &Item<'_>, b: &Item<'_>) -> bool {
    let hangs = a.exercise.pattern == Pattern::Hinge && a.exercise.grip >= 1;
    hangs && is_held_pull(b.exercise)
}

fn budget(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let have: u32 = stage.items.iter().map(|i| u32::from(i.exercise.grip) * i.sets()).sum();
    let most = scene.rules.grip;
    if have > most {
        let cause = format!("The cost to the grip (cost times sets) is {have}; {most} is the budget.");
        let hint = "Drop a set of what grips hardest, or swap it for an easier neighbour.";
        out.add(At::Session(stage.rank), Severity::Warning, "SW132", cause, hint).by(f64::from(have - most));
    }
}

fn spent(scene: &Scene<'_>, stage: &Stage<'_>, later: &Item<'_>, out: &mut Findings) {
    if !is_held_pull(later.exercise) {
        return;
    }
    let before = stage.items.iter().filter(|i| i.block < later.block);
    let spends = |i: &&Item<'_>| spends_grip(i.exercise) && !scene.is_locked(stage.rank, &i.exercise.id);
    if let Some(first) = before.into_iter().find(spends) {
        let cause = format!(
            "{} in block {} spends the grip that {} needs.",
            first.exercise.name,
            first.block + 1,
            later.exercise.name
        );
        let hint = format!("Do {} before {}.", later.exercise.name, first.exercise.name);
        out.add(At::Exercise(stage.rank, later.block, later.lane), Severity::Warning, "SW133", cause, hint);
    }
}

/// A pull of several joints that is held in the hands.
pub(crate) fn is_held_pull(exercise: &Exercise) -> bool {
    let pattern = exercise.pattern;
    pattern.is_compound() && pattern.side() == Side::Pull && exercise.grip >= 1
}

fn spends_grip(exercise: &Exercise) -> bool {
    exercise.is_grip_heavy() && matches!(exercise.pattern, Pattern::Wrist | Pattern::GripHold)
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, NONE, NOTE, WARNING, curl, exercise, pair, press, row, sets, squat, straight, with,
    };
    use setwright_model::BlockKind::{Alternating, SameMuscle};
    use setwright_model::{Exercise, Muscle, Pattern};

    fn grip(exercise: Exercise, grip: u8) -> Exercise {
        with(exercise, |e| e.grip = grip)
    }

    #[test]
    fn two_heavy_grips_do_not_alternate() {
        let block = || [pair(Alternating, sets("press", 3), sets("row", 3))];
        let said = |a, b| Case::new([grip(press(), a), grip(row(), b)]).day(1, block()).said("SW120");
        assert_eq!(said(2, 2), WARNING);
        assert_eq!(said(2, 1), NONE);
        let own = Case::new([grip(press(), 2), grip(row(), 2)]).day(1, block());
        assert_eq!(own.lock("press", |l| l.with = Some("row".into())).said("SW120"), NONE);
    }

    #[test]
    fn a_hinge_from_the_hands_and_a_held_pull_in_turn_are_noted() {
        let hinge = exercise("hinge", Pattern::Hinge, &[Muscle::Hamstrings], &[]);
        let said = |a, b| {
            let block = [pair(Alternating, sets("hinge", 3), sets("row", 3))];
            Case::new([grip(hinge.clone(), a), grip(row(), b)]).day(1, block).said("SW120")
        };
        assert_eq!((said(1, 1), said(0, 1), said(1, 0)), (NOTE, NONE, NONE));
    }

    #[test]
    fn the_budget_holds_to_the_last_point() {
        // Intermediate: 24.
        let said = |extra| {
            let blocks = [straight(sets("squat", 8)), straight(sets("curl", 1))];
            Case::new([grip(squat(), 3), grip(curl(), extra)]).day(1, blocks).said("SW132")
        };
        assert_eq!(said(0), NONE);
        assert_eq!(said(1), WARNING);
    }

    #[test]
    fn the_grip_is_not_spent_before_the_pulling_that_needs_it() {
        let hold = |n| grip(exercise("hold", Pattern::GripHold, &[Muscle::Forearms], &[]), n);
        let order = |all: &[Exercise], ids: [&str; 2]| {
            let blocks = ids.map(|id| straight(sets(id, 3)));
            Case::new(all.iter().cloned()).day(1, blocks).said("SW133")
        };
        let pull = grip(row(), 1);
        assert_eq!(order(&[hold(2), pull.clone()], ["hold", "row"]), WARNING);
        assert_eq!(order(&[hold(1), pull.clone()], ["hold", "row"]), NONE);
        assert_eq!(order(&[hold(2), pull], ["row", "hold"]), NONE);
        assert_eq!(order(&[hold(2), press()], ["hold", "press"]), NONE, "a press needs no grip");
    }

    #[test]
    fn wrist_work_spends_the_grip_too_and_what_the_coach_fixed_is_let_be() {
        let case = |pattern| {
            let first = grip(exercise("first", pattern, &[Muscle::Forearms], &[]), 2);
            let blocks = ["first", "row"].map(|id| straight(sets(id, 3)));
            Case::new([first, grip(row(), 1)]).day(1, blocks)
        };
        assert_eq!(case(Pattern::Wrist).said("SW133"), WARNING);
        assert_eq!(case(Pattern::ElbowFlexion).said("SW133"), NONE, "a curl that grips is no grip work");
        assert_eq!(case(Pattern::Wrist).lock("first", |_| {}).said("SW133"), NONE);
    }

    #[test]
    fn heavy_grips_back_to_back_for_one_muscle_are_judged_elsewhere() {
        let block = [pair(SameMuscle, sets("press", 3), sets("row", 3))];
        assert_eq!(Case::new([grip(press(), 2), grip(row(), 2)]).day(1, block).said("SW120"), NONE);
    }
}
