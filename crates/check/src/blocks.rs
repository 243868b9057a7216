//! Who may share a block: competing pairs (SW120), taxing lifts (SW121), same-muscle pairs (SW122), how many
//! exercises a block holds (SW123), and whether the brief wants alternation at all (SW125).

use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::{Block, BlockKind, Exercise, Muscle, Severity};
use setwright_science::rules::COMPETING_CONTRIBUTION;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        for (index, block) in stage.session.blocks.iter().enumerate() {
            size(At::Block(stage.rank, index), block, out);
            if block.kind != BlockKind::Straight
                && let [a, b] = stage.of_block(index)[..]
            {
                pair(scene, stage, block, (a, b), out);
            }
        }
    }
}

fn size(at: At, block: &Block, out: &mut Findings) {
    let (wanted, kind) = match block.kind {
        BlockKind::Straight => (1, "straight"),
        BlockKind::Alternating => (2, "alternating"),
        BlockKind::SameMuscle => (2, "same-muscle"),
    };
    let have = block.exercises.len();
    if have != wanted {
        let cause = format!("A {kind} block has {wanted} and this one has {have} exercises.");
        out.error(at, "SW123", cause, "Split the block, or give it the kind that fits.");
    }
}

fn pair(
    scene: &Scene<'_>,
    stage: &Stage<'_>,
    block: &Block,
    (a, b): (&Item<'_>, &Item<'_>),
    out: &mut Findings,
) {
    let at = At::Block(stage.rank, a.block);
    let locked = scene.locks_pair(stage.rank, &a.exercise.id, &b.exercise.id);
    let severity = if locked { Severity::Warning } else { Severity::Error };
    match block.kind {
        BlockKind::Alternating => alternating(at, severity, a.exercise, b.exercise, out),
        BlockKind::SameMuscle => same_muscle(scene, at, severity, (a.exercise, b.exercise), out),
        BlockKind::Straight => {}
    }
    taxing(scene, at, severity, (a.exercise, b.exercise), out);
    if scene.brief.is_some_and(|b| !b.style.alternate) && block.kind == BlockKind::Alternating {
        let cause = "The brief wants no alternating blocks.";
        out.add(at, severity, "SW125", cause, "Do the two exercises one after the other.");
    }
}

fn alternating(at: At, severity: Severity, a: &Exercise, b: &Exercise, out: &mut Findings) {
    let hint = "Do them in two straight blocks, or give one another partner.";
    let names = format!("{} and {}", a.name, b.name);
    if let Some(muscle) = competing(a, b) {
        out.add(at, severity, "SW120", format!("{names} both train the {}.", muscle.name()), hint);
    }
    if a.is_grip_heavy() && b.is_grip_heavy() {
        out.add(at, severity, "SW120", format!("{names} both need a strong grip."), hint);
    }
    if a.is_spinal() && b.is_spinal() {
        out.add(at, severity, "SW120", format!("{names} both load the spine heavily."), hint);
    }
}

/// A muscle for which two exercises compete.
fn competing(a: &Exercise, b: &Exercise) -> Option<Muscle> {
    let both = |m: &Muscle| a.contribution(*m).min(b.contribution(*m)) >= COMPETING_CONTRIBUTION;
    Muscle::ALL.into_iter().find(both)
}

fn same_muscle(
    scene: &Scene<'_>,
    at: At,
    severity: Severity,
    (a, b): (&Exercise, &Exercise),
    out: &mut Findings,
) {
    let shared = a.prime().filter(|m| b.prime() == Some(*m));
    let cause = match shared {
        None => format!("{} and {} are not chosen for the same muscle.", a.name, b.name),
        Some(_) if !scene.rules.same_muscle => {
            "Two exercises back to back for one muscle are for advanced lifters.".to_owned()
        }
        Some(m) if scene.brief.is_some() && !scene.is_priority(m) => {
            format!("The {} have no high priority in the brief.", m.name())
        }
        Some(_) if a.is_spinal() && b.is_spinal() => {
            format!("{} and {} both load the spine heavily.", a.name, b.name)
        }
        Some(_) => return,
    };
    out.add(at, severity, "SW122", cause, "Do them in two straight blocks.");
}

fn taxing(scene: &Scene<'_>, at: At, severity: Severity, (a, b): (&Exercise, &Exercise), out: &mut Findings) {
    let (big, partner) = match (a.is_taxing(), b.is_taxing()) {
        (false, false) => return,
        (true, _) => (a, b),
        (false, true) => (b, a),
    };
    let is_light = partner.systemic == 0 && partner.spinal == 0;
    if scene.rules.taxing_may_share && is_light {
        return;
    }
    let cause = if scene.rules.taxing_may_share {
        format!("{} tires the whole body, and {} is not light.", big.name, partner.name)
    } else {
        format!("{} tires the whole body and stands alone for this client.", big.name)
    };
    out.add(at, severity, "SW121", cause, format!("Give {} a straight block.", big.name));
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, ERROR, NONE, WARNING, curl, exercise, extension, pair, press, row, sets, squat, straight, with,
    };
    use setwright_model::BlockKind::{self, Alternating, SameMuscle, Straight};
    use setwright_model::brief::{Goal, Priority, TrainingAge};
    use setwright_model::{Exercise, Muscle, Pattern};

    fn together(kind: BlockKind, a: Exercise, b: Exercise) -> Case {
        let block = pair(kind, sets(a.id.as_str(), 3), sets(b.id.as_str(), 3));
        Case::new([a, b]).day(1, [block])
    }

    fn calf() -> Exercise {
        exercise("calf", Pattern::CalfRaise, &[Muscle::Calves], &[])
    }

    #[test]
    fn exercises_that_share_a_muscle_do_not_alternate() {
        assert_eq!(together(Alternating, press(), row()).said("SW120"), NONE);
        assert_eq!(together(Alternating, press(), extension()).said("SW120"), ERROR, "triceps 0.5 and 1");
        let quarter = with(press(), |e| {
            e.half.clear();
            e.quarter = vec![Muscle::Triceps];
        });
        assert_eq!(
            together(Alternating, quarter, extension()).said("SW120"),
            NONE,
            "a quarter does not compete"
        );
    }

    #[test]
    fn two_grips_or_two_spines_do_not_alternate() {
        let grip = |a, b| {
            together(Alternating, with(press(), |e| e.grip = a), with(row(), |e| e.grip = b)).said("SW120")
        };
        assert_eq!(grip(2, 2), ERROR);
        assert_eq!(grip(2, 1), NONE);
        let spine = |a, b| {
            together(Alternating, with(press(), |e| e.spinal = a), with(row(), |e| e.spinal = b))
                .said("SW120")
        };
        assert_eq!(spine(2, 2), ERROR);
        assert_eq!(spine(1, 2), NONE);
    }

    #[test]
    fn sets_of_the_two_need_not_be_equal() {
        let block = pair(Alternating, sets("press", 4), sets("row", 2));
        assert_eq!(Case::new([press(), row()]).day(1, [block]).said("SW120"), NONE);
    }

    #[test]
    fn the_coachs_own_pair_is_only_pointed_out() {
        let case = together(Alternating, press(), extension());
        assert_eq!(case.lock("extension", |l| l.with = Some("press".into())).said("SW120"), WARNING);
    }

    #[test]
    fn a_taxing_lift_stands_alone_or_beside_something_light() {
        let beside = |partner: Exercise| together(Alternating, with(squat(), |e| e.systemic = 3), partner);
        assert_eq!(beside(calf()).said("SW121"), NONE);
        assert_eq!(beside(with(calf(), |e| e.systemic = 1)).said("SW121"), ERROR);
        assert_eq!(beside(with(calf(), |e| e.spinal = 1)).said("SW121"), ERROR);
        let advanced = beside(calf()).brief(|b| b.training_age = TrainingAge::Advanced);
        assert_eq!(advanced.said("SW121"), ERROR, "it stands alone for an advanced lifter");
        assert_eq!(beside(calf()).brief(|b| b.goal = Goal::Strength).said("SW121"), ERROR);
        let hard_not_taxing =
            together(Alternating, with(squat(), |e| e.systemic = 2), with(calf(), |e| e.systemic = 2));
        assert_eq!(hard_not_taxing.said("SW121"), NONE);
    }

    fn curls() -> Case {
        let other = exercise("other_curl", Pattern::ElbowFlexion, &[Muscle::Biceps], &[]);
        together(SameMuscle, curl(), other).brief(|b| b.training_age = TrainingAge::Advanced)
    }

    #[test]
    fn same_muscle_blocks_are_for_an_advanced_lifters_priority_muscle() {
        let with_priority = |p| curls().wish(Muscle::Biceps, |w| w.priority = Some(p));
        assert_eq!(with_priority(Priority::High).said("SW122"), NONE);
        assert_eq!(with_priority(Priority::Normal).said("SW122"), ERROR);
        let intermediate = with_priority(Priority::Top).brief(|b| b.training_age = TrainingAge::Intermediate);
        assert_eq!(intermediate.said("SW122"), ERROR);
    }

    #[test]
    fn a_same_muscle_block_is_for_one_muscle() {
        let case = together(SameMuscle, curl(), extension());
        let case = case.brief(|b| b.training_age = TrainingAge::Advanced);
        let case = case.wish(Muscle::Biceps, |w| w.priority = Some(Priority::Top));
        assert_eq!(case.wish(Muscle::Triceps, |w| w.priority = Some(Priority::Top)).said("SW122"), ERROR);
    }

    #[test]
    fn a_block_holds_what_its_kind_says() {
        let case = |kind, ids: &[&str]| {
            let mut block = straight(sets("press", 3));
            block.kind = kind;
            block.exercises = ids.iter().map(|id| sets(id, 3)).collect();
            Case::new([press(), row(), squat()]).day(1, [block]).said("SW123")
        };
        assert_eq!(case(Straight, &["press"]), NONE);
        assert_eq!(case(Straight, &["press", "row"]), ERROR);
        assert_eq!(case(Straight, &[]), ERROR);
        assert_eq!(case(Alternating, &["press", "row"]), NONE);
        assert_eq!(case(Alternating, &["press"]), ERROR);
        assert_eq!(case(Alternating, &["press", "row", "squat"]), ERROR);
    }

    #[test]
    fn a_brief_can_do_without_alternation() {
        let case = together(Alternating, press(), row());
        assert_eq!(case.said("SW125"), NONE);
        let none = case.brief(|b| b.style.alternate = false);
        assert_eq!(none.said("SW125"), ERROR);
        assert_eq!(none.lock("press", |l| l.with = Some("row".into())).said("SW125"), WARNING);
    }
}
