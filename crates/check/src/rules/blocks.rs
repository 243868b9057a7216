//! Who may share a block: competing pairs (SW120), how many exercises a block holds (SW123), and whether the brief wants
//! alternation at all (SW125). Taxing lifts, same-muscle pairs and the grip have files of their own.

use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::{Block, BlockKind, Exercise, Muscle, Severity};
use setwright_science::rules::COMPETING_CONTRIBUTION;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        for (index, block) in stage.session.blocks.iter().enumerate() {
            size(At::Block(stage.rank, index), block, out);
            if block.kind == BlockKind::Alternating
                && let [a, b] = stage.of_block(index)[..]
            {
                alternating(scene, stage, (a, b), out);
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

fn alternating(scene: &Scene<'_>, stage: &Stage<'_>, (a, b): (&Item<'_>, &Item<'_>), out: &mut Findings) {
    let at = At::Block(stage.rank, a.block);
    let fixed = scene.locks_pair(stage.rank, &a.exercise.id, &b.exercise.id);
    let names = format!("{} and {}", a.exercise.name, b.exercise.name);
    let hint = "Do them in two straight blocks, or give one another partner.";
    if let Some(muscle) = competing(a.exercise, b.exercise).filter(|_| !fixed) {
        out.add(at, Severity::Warning, "SW120", format!("{names} both train the {}.", muscle.name()), hint);
    }
    let refused = if fixed { Severity::Warning } else { Severity::Error };
    if a.exercise.is_spinal() && b.exercise.is_spinal() {
        out.add(at, refused, "SW120", format!("{names} both load the spine heavily."), hint);
    }
    if scene.brief.is_some_and(|b| !b.style.alternate) {
        let cause = "The brief wants no alternating blocks.";
        out.add(at, refused, "SW125", cause, "Do the two exercises one after the other.");
    }
}

/// A muscle for which two exercises compete.
fn competing(a: &Exercise, b: &Exercise) -> Option<Muscle> {
    let both = |m: &Muscle| a.contribution(*m).min(b.contribution(*m)) >= COMPETING_CONTRIBUTION;
    Muscle::ALL.into_iter().find(both)
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, WARNING, extension, pair, press, row, sets, squat, straight, with};
    use setwright_model::BlockKind::{self, Alternating, SameMuscle, Straight};
    use setwright_model::{Exercise, Muscle};

    fn together(kind: BlockKind, a: Exercise, b: Exercise) -> Case {
        let block = pair(kind, sets(a.id.as_str(), 3), sets(b.id.as_str(), 3));
        Case::new([a, b]).day(1, [block])
    }

    #[test]
    fn exercises_that_share_a_muscle_do_not_alternate() {
        assert_eq!(together(Alternating, press(), row()).said("SW120"), NONE);
        assert_eq!(together(Alternating, press(), extension()).said("SW120"), WARNING, "triceps 0.5 and 1");
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
    fn two_loaded_spines_do_not_alternate() {
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
        assert_eq!(case.lock("extension", |l| l.with = Some("press".into())).said("SW120"), NONE);
        let heavy = |e| with(e, |e: &mut Exercise| e.spinal = 2);
        let spines = together(Alternating, heavy(press()), heavy(row()));
        assert_eq!(spines.lock("row", |l| l.with = Some("press".into())).said("SW120"), WARNING);
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
        assert_eq!((case(SameMuscle, &["press", "row"]), case(SameMuscle, &["press"])), (NONE, ERROR));
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
