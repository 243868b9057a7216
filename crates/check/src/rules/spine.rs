//! Load on the spine in neighbouring blocks (SW130) and sessions (SW131), and the budgets of a session for whole body and
//! spine (SW132). Refused to those whose back needs care, mended for the others. A strength client's main lifts may follow
//! each other, in a session and from day to day, when they are rested.

use crate::rules::recovery::gaps;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{count, number};
use setwright_model::{ExerciseId, Pattern, Severity};
use setwright_science::rules::{SPINE_GAP_H, spine_neighbours};

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        neighbouring_blocks(scene, stage, out);
        too_many(scene, stage, out);
        two_hinges(scene, stage, out);
        budgets(scene, stage, out);
    }
    neighbouring_sessions(scene, out);
}

/// Rest in seconds from which main lifts may follow each other (common practice, no source (T): three minutes).
const MAIN_REST_S: f64 = 180.0;

/// Points above a budget that nobody asks about (judgement: one in ten).
const BUDGET_ROUNDING: f64 = 1.1;

/// A strength client's main lift, or a lift for power that they do, with long rests.
fn is_rested_main(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>) -> bool {
    let e = item.exercise;
    let power = e.pattern == Pattern::WholeBody && scene.is_for_strength() && scene.told(&e.id);
    (power || scene.is_main(e)) && stage.rest_s(item) >= MAIN_REST_S
}

/// Refused to those who need care and have not been given it by the coach, otherwise mended.
fn bend(scene: &Scene<'_>, stage: &Stage<'_>, ids: &[&ExerciseId]) -> Severity {
    if scene.needs_care() { scene.bend(stage.rank, ids) } else { Severity::Warning }
}

fn spinal<'s>(stage: &'s Stage<'_>) -> Vec<&'s Item<'s>> {
    stage.items.iter().filter(|i| i.exercise.is_heavy_on_the_back()).collect()
}

fn neighbouring_blocks(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    for pair in spinal(stage).windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if b.block == a.block + 1 && !(is_rested_main(scene, stage, a) && is_rested_main(scene, stage, b)) {
            let cause =
                format!("{} and {} load the spine one after the other.", a.exercise.name, b.exercise.name);
            let severity = bend(scene, stage, &[&a.exercise.id, &b.exercise.id]);
            let hint = "Put a block that rests the spine between them.";
            out.add(At::Block(stage.rank, b.block), severity, "SW130", cause, hint);
        }
    }
}

fn too_many(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let heavy = spinal(stage);
    let mains = heavy.iter().filter(|i| is_rested_main(scene, stage, i)).count() as u32;
    let (have, most) = (heavy.len() as u32, scene.rules.spine_heavy.max(mains));
    if have > most {
        let ids: Vec<&ExerciseId> = heavy.iter().map(|i| &i.exercise.id).collect();
        let cause = format!("{} load the spine heavily; {most} may.", count(have, "exercise"));
        let severity = bend(scene, stage, &ids);
        out.add(At::Session(stage.rank), severity, "SW130", cause, "Swap one for a supported movement.");
    }
}

/// Two hinges that load the back in one session, for whoever does not train for strength and whose count the rule above lets pass: the
/// second is done on a tired back. A second variant of the pattern is mended elsewhere; this stands where a priority allows it.
fn two_hinges(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    if scene.brief.is_none() || scene.is_for_strength() {
        return;
    }
    let hinges = spinal(stage).into_iter().filter(|i| i.exercise.pattern == Pattern::Hinge);
    let hinges: Vec<&Item<'_>> = hinges.filter(|i| !scene.is_locked(stage.rank, &i.exercise.id)).collect();
    if let [first, second, ..] = hinges[..] {
        let cause = format!("{} and {} both hinge heavily.", first.exercise.name, second.exercise.name);
        let severity = if scene.needs_care() { Severity::Warning } else { Severity::Note };
        let hint = "Make one of them a hip thrust, a leg curl or a back extension.";
        out.add(At::Session(stage.rank), severity, "SW130", cause, hint);
    }
}

fn neighbouring_sessions(scene: &Scene<'_>, out: &mut Findings) {
    let loaded: Vec<&Stage<'_>> = scene.stages.iter().filter(|s| !spinal(s).is_empty()).collect();
    for (from, to, gap) in gaps(scene, &loaded).into_iter().filter(|(_, _, gap)| spine_neighbours(*gap)) {
        let all =
            |s: &Stage<'_>, is: &dyn Fn(&Stage<'_>, &Item<'_>) -> bool| spinal(s).iter().all(|i| is(s, i));
        let locked = |s: &Stage<'_>, i: &Item<'_>| scene.is_locked(s.rank, &i.exercise.id);
        let main = |s: &Stage<'_>, i: &Item<'_>| is_rested_main(scene, s, i);
        let severity = if all(from, &main) && all(to, &main) && !same_lift(from, to) {
            Severity::Note
        } else if scene.needs_care() && !(all(from, &locked) && all(to, &locked)) {
            Severity::Error
        } else {
            Severity::Warning
        };
        let cause = format!(
            "The spine is loaded heavily here and {} h before, on day {}; {} h lie between at least.",
            number(gap.get()),
            from.session.day,
            number(SPINE_GAP_H)
        );
        out.add(At::Session(to.rank), severity, "SW131", cause, "Move one of the lifts to another session.");
    }
}

/// Whether a spine-heavy lift is in both sessions.
fn same_lift(a: &Stage<'_>, b: &Stage<'_>) -> bool {
    spinal(a).iter().any(|i| spinal(b).iter().any(|j| i.exercise.id == j.exercise.id))
}

fn budgets(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let sum = |cost: fn(&Item<'_>) -> u8| -> u32 {
        stage.items.iter().map(|i| u32::from(cost(i)) * i.sets()).sum()
    };
    let parts = [
        ("whole body", sum(|i| i.exercise.systemic), scene.rules.systemic),
        ("spine", sum(|i| i.exercise.spinal), scene.rules.spinal),
    ];
    let over = |have: u32, most: u32| f64::from(have) > f64::from(most) * BUDGET_ROUNDING;
    for (part, have, most) in parts.into_iter().filter(|(_, have, most)| over(*have, *most)) {
        let cause = format!("The cost to the {part} (cost times sets) is {have}; {most} is the budget.");
        let hint = "Drop a set of the hardest lift, or swap it for an easier neighbour.";
        out.add(At::Session(stage.rank), Severity::Warning, "SW132", cause, hint).by(f64::from(have - most));
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, ERROR, NONE, NOTE, WARNING, curl, exercise, hinge, press, row, sets, squat, straight, with,
    };
    use setwright_model::brief::{Goal, TrainingAge};
    use setwright_model::exercise::LoadKind;
    use setwright_model::{Block, Brief, Exercise, Muscle, Pattern, Seconds, Severity};

    fn heavy(exercise: Exercise) -> Exercise {
        with(exercise, |e| e.spinal = 2)
    }

    fn in_order(ids: &[&str]) -> Case {
        let blocks: Vec<_> = ids.iter().map(|id| straight(sets(id, 3))).collect();
        Case::new([heavy(squat()), heavy(hinge()), heavy(row()), press()]).day(1, blocks)
    }

    #[test]
    fn spine_heavy_lifts_are_not_neighbours() {
        assert_eq!(in_order(&["squat", "hinge"]).said("SW130"), WARNING);
        let aged = |age| in_order(&["squat", "hinge"]).brief(|b| b.body.age = Some(age)).said("SW130");
        assert_eq!((aged(59), aged(60)), (WARNING, ERROR));
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
        let one = one.brief(|b| b.body.age = Some(60));
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
        assert_eq!(on(&[1, 2], 7), WARNING, "24 h");
        assert_eq!(on(&[1, 7], 7), WARNING, "24 h round the end");
        assert_eq!(on(&[1, 6], 7), NONE);
        assert_eq!(on(&[1, 7], 8), NONE, "48 h round the end");
        assert_eq!(on(&[3], 5), NONE, "once a cycle");
    }

    /// A strength client's squat and deadlift, with so much rest.
    fn mains(rest_s: f64, days: [u32; 2]) -> Case {
        let bar = |e: Exercise| with(heavy(e), |e| (e.load, e.systemic) = (LoadKind::Bar, 3));
        let block = |id| Block { rest_s: Seconds(rest_s), ..straight(sets(id, 3)) };
        let case = Case::new([bar(squat()), bar(hinge())]).brief(|b| b.goal = Goal::Strength);
        let case = case.told("squat", 140.0, 5).told("hinge", 160.0, 5);
        if days[0] == days[1] {
            return case.day(1, [block("squat"), block("hinge")]);
        }
        case.day(days[0], [block("squat")]).day(days[1], [block("hinge")])
    }

    #[test]
    fn rested_main_lifts_may_follow_each_other() {
        assert_eq!(mains(180.0, [1, 1]).said("SW130"), NONE);
        assert_eq!(mains(179.0, [1, 1]).said("SW130"), WARNING);
        assert_eq!(mains(180.0, [1, 2]).said("SW131"), NOTE);
        assert_eq!(mains(179.0, [1, 2]).said("SW131"), WARNING);
        assert_eq!(mains(180.0, [1, 2]).brief(|b| b.goal = Goal::Size).said("SW131"), WARNING);
    }

    #[test]
    fn light_spines_may_be_neighbours() {
        let light = with(squat(), |e| e.spinal = 1);
        let case = Case::new([light]).day(1, [straight(sets("squat", 3))]);
        assert_eq!(case.day(2, [straight(sets("squat", 3))]).said("SW131"), NONE);
    }

    #[test]
    fn budgets_hold_to_the_last_point() {
        // Intermediate: whole body 36, spine 18.
        let cost = |set: fn(&mut Exercise, u8), cost: u8, sets_a: u32, extra: u8| {
            let big = with(squat(), |e| set(e, cost));
            let small = with(curl(), |e| set(e, extra));
            let blocks = [straight(sets("squat", sets_a)), straight(sets("curl", 1))];
            Case::new([big, small]).day(1, blocks).said("SW132")
        };
        assert_eq!(cost(|e, c| e.systemic = c, 3, 12, 0), NONE);
        assert_eq!(cost(|e, c| e.systemic = c, 3, 12, 3), NONE, "39 of 36 are rounding");
        assert_eq!(cost(|e, c| e.systemic = c, 3, 13, 1), WARNING, "40 are not");
        assert_eq!(cost(|e, c| e.spinal = c, 3, 6, 0), NONE);
        assert_eq!(cost(|e, c| e.spinal = c, 3, 6, 1), NONE);
        assert_eq!(cost(|e, c| e.spinal = c, 3, 6, 2), WARNING);
    }

    #[test]
    fn without_a_brief_the_loosest_budget_holds() {
        let big = with(exercise("big", Pattern::Squat, &[Muscle::Quads], &[]), |e| e.systemic = 2);
        let fired = |n| {
            let case = Case::new([big.clone()]).day(1, [straight(sets("big", n))]);
            case.report_alone().findings.iter().any(|f| f.code == "SW132")
        };
        assert!(!fired(24), "44 is the budget of the most trained, and a tenth is rounding");
        assert!(fired(25));
    }

    #[test]
    fn two_heavy_hinges_in_a_session_are_pointed_out() {
        let other = || exercise("other", Pattern::Hinge, &[Muscle::Hamstrings], &[]);
        let said = |second: Exercise, change: &dyn Fn(&mut Brief)| {
            let ids = ["hinge", "press", "other"].map(|id| straight(sets(id, 2)));
            let case = Case::new([heavy(hinge()), press(), second]).day(1, ids).brief(|b| change(b));
            let report = case.report();
            let found = report.findings.iter().find(|f| f.cause.contains("both hinge"));
            found.map(|f| f.severity)
        };
        assert_eq!(said(heavy(other()), &|_| {}), Some(Severity::Note));
        assert_eq!(said(other(), &|_| {}), None, "a light one");
        assert_eq!(said(heavy(other()), &|b| b.body.age = Some(60)), Some(Severity::Warning));
        assert_eq!(said(heavy(other()), &|b| b.goal = Goal::Strength), None);
    }
}
