//! Carries are no filler: few of them, never before the pulls that need the grip, and never first (SW145).

use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::number;
use setwright_model::pattern::Side;
use setwright_model::{Exercise, Pattern, Severity};

/// Sets of carries a week (judgement).
const WEEKLY: f64 = 6.0;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let sets: u32 = scene.stages.iter().map(|s| s.sets_of(is_carry)).sum();
    let weekly = f64::from(sets) / scene.weeks();
    // A cycle that is not a week holds whole sets.
    let most = (WEEKLY * scene.weeks()).round();
    if scene.brief.is_some() && f64::from(sets) > most {
        let cause = format!("{} sets of carries a week; {} are enough.", number(weekly), number(WEEKLY));
        out.add(At::Programme, Severity::Warning, "SW145", cause, "Drop some of them.").by(weekly - WEEKLY);
    }
    for stage in &scene.stages {
        opening(scene, stage, out);
        before_pulls(scene, stage, out);
    }
}

fn is_carry(exercise: &Exercise) -> bool {
    exercise.pattern == Pattern::Carry
}

fn opening(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let Some(first) = stage.items.first().filter(|i| is_carry(i.exercise)) else { return };
    if stage.items.iter().all(|i| is_carry(i.exercise)) {
        return;
    }
    let severity = if scene.limits().carry_may_open { Severity::Warning } else { Severity::Error };
    let cause = format!("The session opens with {}.", first.exercise.name);
    let severity = scene.unless_fixed(stage.rank, &first.exercise.id, severity);
    out.add(At::Exercise(stage.rank, 0, 0), severity, "SW145", cause, "Do it at the end.");
}

fn before_pulls(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let Some(carry) = stage.items.iter().find(|i| is_carry(i.exercise) && i.exercise.is_grip_heavy()) else {
        return;
    };
    if let Some(pull) = stage.items.iter().find(|i| i.block > carry.block && needs_grip(i)) {
        let cause = format!("{} spends the grip that {} needs.", carry.exercise.name, pull.exercise.name);
        let at = At::Exercise(stage.rank, pull.block, pull.lane);
        let severity = scene.unless_fixed(stage.rank, &carry.exercise.id, Severity::Warning);
        out.add(at, severity, "SW145", cause, format!("Do {} after it.", carry.exercise.name));
    }
}

fn needs_grip(item: &Item<'_>) -> bool {
    let pattern = item.exercise.pattern;
    let pulls = pattern.is_compound() && pattern.side() == Side::Pull;
    item.exercise.grip >= 1 && (pulls || pattern == Pattern::Hinge)
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, WARNING, exercise, pair, press, row, sets, straight, with};
    use setwright_model::BlockKind::Alternating;
    use setwright_model::{Muscle, Pattern};

    fn session(ids: &[&str], n: u32) -> Case {
        let carry = with(exercise("carry", Pattern::Carry, &[Muscle::Traps], &[]), |e| e.grip = 3);
        let pull = with(row(), |e| e.grip = 1);
        Case::new([press(), pull, carry])
            .day(1, ids.iter().map(|id| straight(sets(id, n))).collect::<Vec<_>>())
    }

    #[test]
    fn six_sets_a_week_are_enough() {
        assert_eq!(session(&["press", "carry"], 6).said("SW145"), NONE);
        assert_eq!(session(&["press", "carry"], 7).said("SW145"), WARNING);
        let mut longer = session(&["press", "carry"], 7);
        longer.programme.cycle_days = 9;
        assert_eq!(longer.said("SW145"), NONE);
    }

    #[test]
    fn a_carry_never_opens_a_session() {
        assert_eq!(session(&["carry", "press"], 2).said("SW145"), WARNING);
        let back = session(&["carry", "press"], 2).brief(|b| {
            b.screening.active = Some(false);
            b.screening.other = Some(true);
            b.screening.cleared = Some(true);
        });
        assert_eq!(back.said("SW145"), ERROR);
        assert_eq!(session(&["carry"], 2).said("SW145"), NONE, "nothing else to open with");
    }

    #[test]
    fn the_grip_is_kept_for_the_pulls() {
        assert_eq!(session(&["press", "carry", "row"], 2).said("SW145"), WARNING);
        assert_eq!(session(&["press", "row", "carry"], 2).said("SW145"), NONE);
        let mut light = session(&["press", "carry", "row"], 2);
        light.exercises[2].grip = 1;
        assert_eq!(light.said("SW145"), NONE);
    }

    #[test]
    fn a_hinge_that_grips_is_a_pull_too_and_a_partner_does_not_come_after() {
        let hinge = |grip| {
            let mut case = session(&["press", "carry", "row"], 2);
            (case.exercises[1].pattern, case.exercises[1].grip) = (Pattern::Hinge, grip);
            case.said("SW145")
        };
        assert_eq!((hinge(1), hinge(0)), (WARNING, NONE));
        let mut together = session(&["press"], 2);
        together.programme.sessions[0].blocks.push(pair(Alternating, sets("carry", 2), sets("row", 2)));
        assert_eq!(together.said("SW145"), NONE);
    }
}
