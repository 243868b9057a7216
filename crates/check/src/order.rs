//! Order within a session (SW133): what is tired must not be needed later in the session.

use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::pattern::Side;
use setwright_model::{Exercise, Muscle, Pattern, Severity};

/// A taxing lift stands in the first blocks of a session: this many (judgement).
const FRESH_BLOCKS: usize = 3;
/// A compound needs a muscle fresh from this contribution on (judgement).
const NEEDED_CONTRIBUTION: f64 = 0.5;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        for later in &stage.items {
            pre_fatigue(stage, later, out);
            spent_grip(stage, later, out);
            late_taxing(stage, later, out);
        }
    }
}

fn earlier<'s>(stage: &'s Stage<'_>, later: &Item<'_>) -> impl Iterator<Item = &'s Item<'s>> {
    let block = later.block;
    stage.items.iter().filter(move |i| i.block < block)
}

fn pre_fatigue(stage: &Stage<'_>, later: &Item<'_>, out: &mut Findings) {
    if !later.exercise.pattern.is_compound() {
        return;
    }
    let tired = earlier(stage, later).find_map(|e| needs(later.exercise, e.exercise).map(|m| (e, m)));
    if let Some((first, muscle)) = tired {
        let cause = format!(
            "{} in block {} tires the {}, which {} needs.",
            first.exercise.name,
            first.block + 1,
            muscle.name(),
            later.exercise.name
        );
        let hint = format!("Do {} before {}.", later.exercise.name, first.exercise.name);
        out.error(At::Exercise(stage.rank, later.block, later.lane), "SW133", cause, hint);
    }
}

/// A muscle that a single-joint exercise trains and a compound needs.
fn needs(compound: &Exercise, earlier: &Exercise) -> Option<Muscle> {
    if earlier.pattern.is_compound() {
        return None;
    }
    earlier.direct.iter().copied().find(|m| compound.contribution(*m) >= NEEDED_CONTRIBUTION)
}

fn spent_grip(stage: &Stage<'_>, later: &Item<'_>, out: &mut Findings) {
    let pattern = later.exercise.pattern;
    if !(pattern.is_compound() && pattern.side() == Side::Pull) {
        return;
    }
    if let Some(first) = earlier(stage, later).find(|e| spends_grip(e.exercise)) {
        let cause = format!(
            "{} in block {} spends the grip that {} needs.",
            first.exercise.name,
            first.block + 1,
            later.exercise.name
        );
        let hint = format!("Do {} before {}.", later.exercise.name, first.exercise.name);
        out.error(At::Exercise(stage.rank, later.block, later.lane), "SW133", cause, hint);
    }
}

fn spends_grip(exercise: &Exercise) -> bool {
    exercise.is_grip_heavy()
        && matches!(exercise.pattern, Pattern::Wrist | Pattern::GripHold | Pattern::Carry)
}

fn late_taxing(stage: &Stage<'_>, later: &Item<'_>, out: &mut Findings) {
    if later.exercise.is_taxing() && later.block >= FRESH_BLOCKS {
        let cause =
            format!("{} tires the whole body and comes in block {}.", later.exercise.name, later.block + 1);
        let at = At::Exercise(stage.rank, later.block, later.lane);
        out.add(at, Severity::Warning, "SW133", cause, "Move it to the first blocks.");
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, ERROR, NONE, WARNING, exercise, extension, press, row, sets, squat, straight, with,
    };
    use setwright_model::{Exercise, Muscle, Pattern};

    fn order(exercises: &[Exercise], ids: &[&str]) -> (usize, usize, usize) {
        let blocks: Vec<_> = ids.iter().map(|id| straight(sets(id, 3))).collect();
        Case::new(exercises.iter().cloned()).day(1, blocks).said("SW133")
    }

    #[test]
    fn a_small_exercise_does_not_tire_what_a_compound_needs() {
        let all = [press(), extension()];
        assert_eq!(order(&all, &["press", "extension"]), NONE);
        assert_eq!(order(&all, &["extension", "press"]), ERROR);
        let quarter = with(press(), |e| {
            e.half = vec![Muscle::FrontDelts];
            e.quarter = vec![Muscle::Triceps];
        });
        assert_eq!(order(&[quarter, extension()], &["extension", "press"]), NONE, "a quarter is no need");
    }

    #[test]
    fn a_compound_before_a_compound_is_no_pre_fatigue() {
        let dip = exercise("dip", Pattern::Dip, &[Muscle::Triceps, Muscle::Chest], &[]);
        assert_eq!(order(&[press(), dip], &["dip", "press"]), NONE);
    }

    #[test]
    fn the_grip_is_not_spent_before_the_pulling_that_needs_it() {
        let hold =
            |grip| with(exercise("hold", Pattern::GripHold, &[Muscle::Forearms], &[]), |e| e.grip = grip);
        assert_eq!(order(&[hold(2), row()], &["hold", "row"]), ERROR);
        assert_eq!(order(&[hold(1), row()], &["hold", "row"]), NONE);
        assert_eq!(order(&[hold(2), row()], &["row", "hold"]), NONE);
        assert_eq!(order(&[hold(2), press()], &["hold", "press"]), NONE, "a press needs no grip");
        let pull = with(exercise("pull", Pattern::VerticalPull, &[Muscle::Lats], &[]), |e| e.grip = 2);
        assert_eq!(order(&[pull, row()], &["pull", "row"]), NONE, "a pulling compound may come first");
    }

    #[test]
    fn a_taxing_lift_comes_in_the_first_three_blocks() {
        let big = with(squat(), |e| e.systemic = 3);
        let calm = |id: &str| exercise(id, Pattern::CalfRaise, &[Muscle::Calves], &[]);
        let all = [big, calm("a"), calm("b"), calm("c")];
        assert_eq!(order(&all, &["a", "b", "squat", "c"]), NONE);
        assert_eq!(order(&all, &["a", "b", "c", "squat"]), WARNING);
    }
}
