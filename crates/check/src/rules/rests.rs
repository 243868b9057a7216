//! Rest follows effort (SW149): a compound near its limit gets its minutes, alone or after a round, and none are spent on
//! sets that stay far from it, on one joint, or on a light bell.

use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::number;
use setwright_model::exercise::LoadKind;
use setwright_model::{BlockKind, Severity};

/// Reps in reserve up to which a set is near its limit (judgement).
const NEAR_RIR: u32 = 1;
/// Seconds of rest that it wants, alone and after a round (Ratamess 2009, MSSE 41:687 (A): two to three minutes; in a round
/// the partner's set is rest too, common practice, no source (T)).
const ALONE_S: f64 = 120.0;
const ROUND_S: f64 = 90.0;
/// Share of it that another coach may have a reason for (judgement: trials have 60 and 90 s).
const NOTED: f64 = 0.5;
/// Reps in reserve from which five minutes are for nothing, and how long is too long (judgement).
const FAR_RIR: u32 = 4;
const LONG_S: f64 = 240.0;
/// Longest rest of one joint, the trunk, or a bell up to so many kilograms (common practice, no source (T): one to two minutes; a
/// third is another coach's).
const LIGHT_REST_S: f64 = 180.0;
const LIGHT_BELL_KG: f64 = 20.0;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for (stage, item) in scene.items() {
        if scene.is_locked(stage.rank, &item.exercise.id) {
            continue;
        }
        if item.exercise.pattern.is_compound() {
            short(stage, item, out);
            long(stage, item, out);
        }
        light(stage, item, out);
    }
}

fn kind(stage: &Stage<'_>, item: &Item<'_>) -> Option<BlockKind> {
    stage.session.blocks.get(item.block).map(|b| b.kind)
}

fn short(stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let (p, rest_s) = (item.prescription, stage.rest_s(item));
    let wanted_s = match kind(stage, item) {
        Some(BlockKind::Straight) => ALONE_S,
        Some(BlockKind::Alternating) => ROUND_S,
        _ => return,
    };
    if p.rir > NEAR_RIR || p.sets < 2 || rest_s >= wanted_s {
        return;
    }
    let severity = if rest_s < wanted_s * NOTED { Severity::Warning } else { Severity::Note };
    let cause = format!(
        "{} ends {} short of its limit and rests {} s; {} s are the least for it.",
        item.exercise.name,
        p.rir,
        number(rest_s),
        number(wanted_s)
    );
    let hint = "Rest longer, or leave out an exercise: minutes are not found in the rests.";
    out.add(At::Exercise(stage.rank, item.block, item.lane), severity, "SW149", cause, hint);
}

fn long(stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let (p, rest_s) = (item.prescription, stage.rest_s(item));
    if p.rir >= FAR_RIR && rest_s > LONG_S {
        let cause = format!(
            "{} leaves {} in reserve and rests {} s, which such sets do not need.",
            item.exercise.name,
            p.rir,
            number(rest_s)
        );
        let at = At::Exercise(stage.rank, item.block, item.lane);
        out.add(at, Severity::Note, "SW149", cause, "Three minutes are plenty.");
    }
}

/// One joint, the trunk or a light bell does not take the minutes of a heavy lift.
fn light(stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    use LoadKind::{Dumbbell, DumbbellPair, Kettlebell, KettlebellPair};
    let (e, p, rest_s) = (item.exercise, item.prescription, stage.rest_s(item));
    let bell = matches!(e.load, Dumbbell | DumbbellPair | Kettlebell | KettlebellPair)
        && p.load_kg.is_some_and(|kg| kg.get() <= LIGHT_BELL_KG);
    let small = !e.pattern.is_compound() || bell;
    if !small || !stage.is_straight(item) || p.sets < 2 || rest_s <= LIGHT_REST_S {
        return;
    }
    let cause = format!("{} rests {} s, which it does not need.", e.name, number(rest_s));
    let at = At::Exercise(stage.rank, item.block, item.lane);
    out.add(at, Severity::Note, "SW149", cause, "One to two minutes are plenty.");
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, NONE, NOTE, WARNING, curl, pair, press, row, sets, straight, with};
    use setwright_model::exercise::LoadKind;
    use setwright_model::{Block, BlockKind, Kilograms, Prescription, Seconds};

    fn said(block: Block, rest_s: f64) -> (usize, usize, usize) {
        let block = Block { rest_s: Seconds(rest_s), ..block };
        Case::new([press(), row(), curl()]).day(1, [block]).said("SW149")
    }

    fn of(id: &str, rir: u32) -> Prescription {
        Prescription { rir, ..sets(id, 3) }
    }

    #[test]
    fn a_compound_near_its_limit_rests_two_minutes() {
        let alone = |rir, s| said(straight(of("press", rir)), s);
        assert_eq!((alone(1, 120.0), alone(1, 60.0), alone(1, 59.0)), (NONE, NOTE, WARNING));
        assert_eq!(alone(2, 60.0), NONE);
        assert_eq!(said(straight(of("curl", 0)), 60.0), NONE, "one joint");
    }

    #[test]
    fn after_a_round_a_minute_and_a_half() {
        let round = |s| said(pair(BlockKind::Alternating, of("press", 1), of("row", 2)), s);
        assert_eq!((round(90.0), round(45.0), round(44.0)), (NONE, NOTE, WARNING));
    }

    #[test]
    fn what_stays_far_from_its_limit_needs_no_five_minutes() {
        let far = |rir, s| said(straight(of("press", rir)), s);
        assert_eq!((far(4, 240.0), far(4, 300.0), far(3, 300.0)), (NONE, NOTE, NONE));
    }

    #[test]
    fn one_joint_and_a_light_bell_need_no_more_than_three_minutes() {
        let small = |s| said(straight(of("curl", 1)), s);
        assert_eq!((small(180.0), small(181.0)), (NONE, NOTE));
        let bell = |kg: f64| {
            let light = with(press(), |e| e.load = LoadKind::DumbbellPair);
            let p = Prescription { load_kg: Some(Kilograms(kg)), ..of("press", 2) };
            let block = Block { rest_s: Seconds(200.0), ..straight(p) };
            Case::new([light]).day(1, [block]).said("SW149")
        };
        assert_eq!((bell(20.0), bell(22.0)), (NOTE, NONE));
        assert_eq!(said(straight(of("press", 2)), 200.0), NONE);
    }

    #[test]
    fn a_single_set_has_no_rest_and_the_coachs_own_is_let_be() {
        let case = |n| {
            let block =
                Block { rest_s: Seconds(50.0), ..straight(Prescription { sets: n, ..of("press", 1) }) };
            Case::new([press()]).day(1, [block])
        };
        assert_eq!((case(1).said("SW149"), case(2).said("SW149")), (NONE, WARNING));
        assert_eq!(case(2).lock("press", |_| {}).said("SW149"), NONE);
    }
}
