//! A lift that tires the whole body and its partner (SW121): light beside it, with a minute and a half of rest, and for
//! the strong nothing at all.

use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::number;
use setwright_model::{BlockKind, Severity};

/// Rest after a round with a taxing lift, in seconds (common practice, no source (T)).
const REST_S: f64 = 90.0;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        for (index, block) in stage.session.blocks.iter().enumerate() {
            if block.kind != BlockKind::Straight
                && let [a, b] = stage.of_block(index)[..]
            {
                pair(scene, stage, (a, b), out);
            }
        }
    }
}

fn pair(scene: &Scene<'_>, stage: &Stage<'_>, (a, b): (&Item<'_>, &Item<'_>), out: &mut Findings) {
    let (big, partner) = match (a.exercise.is_taxing(), b.exercise.is_taxing()) {
        (false, false) => return,
        (true, _) => (a.exercise, b.exercise),
        (false, true) => (b.exercise, a.exercise),
    };
    let at = At::Block(stage.rank, a.block);
    let fixed = scene.locks_pair(stage.rank, &big.id, &partner.id);
    let refused = if fixed { Severity::Warning } else { Severity::Error };
    let hint = format!("Give {} a straight block.", big.name);
    let may_share = scene.rules.taxing_may_share;
    let rest_s = stage.rest_s(a);
    if !may_share {
        let cause = format!("{} tires the whole body and stands alone for this client.", big.name);
        out.add(at, refused, "SW121", cause, hint);
    } else if partner.systemic > 0 || partner.spinal > 0 {
        let both = partner.is_taxing() || partner.is_spinal();
        let severity = if both { refused } else { Severity::Warning };
        let cause = format!("{} tires the whole body, and {} is not light.", big.name, partner.name);
        out.add(at, severity, "SW121", cause, hint);
    } else if rest_s < REST_S {
        let cause = format!(
            "{} is paired with {} s of rest; {} s are the least for it.",
            big.name,
            number(rest_s),
            number(REST_S)
        );
        out.add(at, Severity::Warning, "SW121", cause, hint);
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, WARNING, exercise, pair, sets, squat, with};
    use setwright_model::BlockKind::Alternating;
    use setwright_model::brief::{Goal, TrainingAge};
    use setwright_model::{Exercise, Muscle, Pattern, Seconds};

    fn calf() -> Exercise {
        exercise("calf", Pattern::CalfRaise, &[Muscle::Calves], &[])
    }

    fn beside(partner: Exercise, rest_s: f64) -> Case {
        let mut block = pair(Alternating, sets("squat", 3), sets("calf", 3));
        block.rest_s = Seconds(rest_s);
        Case::new([with(squat(), |e| e.systemic = 3), partner]).day(1, [block])
    }

    #[test]
    fn it_stands_alone_or_beside_something_light() {
        assert_eq!(beside(calf(), 90.0).said("SW121"), NONE);
        assert_eq!(beside(with(calf(), |e| e.systemic = 1), 90.0).said("SW121"), WARNING);
        assert_eq!(beside(with(calf(), |e| e.spinal = 1), 90.0).said("SW121"), WARNING);
        assert_eq!(beside(with(calf(), |e| e.spinal = 2), 90.0).said("SW121"), ERROR, "two loaded spines");
        assert_eq!(beside(with(calf(), |e| e.systemic = 3), 90.0).said("SW121"), ERROR);
    }

    #[test]
    fn a_minute_and_a_half_of_rest_is_the_least() {
        assert_eq!(beside(calf(), 89.0).said("SW121"), WARNING);
    }

    #[test]
    fn for_the_strong_it_stands_alone() {
        let advanced = beside(calf(), 180.0).brief(|b| b.training_age = TrainingAge::Advanced);
        assert_eq!(advanced.said("SW121"), ERROR);
        assert_eq!(beside(calf(), 180.0).brief(|b| b.goal = Goal::Strength).said("SW121"), ERROR);
        assert_eq!(advanced.lock("calf", |l| l.with = Some("squat".into())).said("SW121"), WARNING);
    }

    #[test]
    fn a_hard_lift_that_is_not_taxing_may_share() {
        let mut case = beside(with(calf(), |e| e.systemic = 2), 30.0);
        case.exercises[0].systemic = 2;
        assert_eq!(case.said("SW121"), NONE);
    }

    #[test]
    fn the_light_one_may_stand_first() {
        let mut case = beside(calf(), 90.0);
        case.programme.sessions[0].blocks[0].exercises.reverse();
        assert_eq!(case.said("SW121"), NONE);
        case.programme.sessions[0].blocks[0].rest_s = Seconds(89.0);
        assert_eq!(case.said("SW121"), WARNING);
    }
}
