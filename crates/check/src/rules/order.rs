//! Order within a session (SW133): what is tired must not be needed later, what matters comes early, the squat before the
//! pull from the floor. The grip has a file of its own; a strength client's main lifts too.

use crate::client::{TRUNK, is_floor_pull};
use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::brief::Priority;
use setwright_model::pattern::{Region, Side};
use setwright_model::{BlockKind, Exercise, Muscle, Pattern, Severity};

/// A taxing lift stands in the first blocks of a session: this many (judgement).
const FRESH_BLOCKS: usize = 3;
/// A compound needs a muscle fresh from this contribution on (judgement).
const NEEDED_CONTRIBUTION: f64 = 0.5;
/// A whole-body session of so many exercises has legs before its last two (judgement).
const LONG_SESSION: usize = 5;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        for later in &stage.items {
            pre_fatigue(scene, stage, later, out);
            late_taxing(stage, later, out);
        }
        squat_first(scene, stage, out);
        legs_last(stage, out);
        opening(scene, stage, out);
        trunk_before_the_back(scene, stage, out);
        calves_before_the_squat(scene, stage, out);
        small_first(scene, stage, out);
        same_again(scene, stage, out);
        if scene.brief.is_some() && !scene.is_for_strength() {
            priority_late(scene, stage, out);
        }
    }
    if scene.is_for_strength() {
        always_last(scene, out);
    }
}

fn say(at: At, cause: String, hint: &str, out: &mut Findings) {
    out.add(at, Severity::Warning, "SW133", cause, hint);
}

/// A loaded squat comes before the pull from the floor, which tires the back that holds it.
fn squat_first(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let free = |i: &&Item<'_>| !scene.is_locked(stage.rank, &i.exercise.id);
    let pull = stage.items.iter().find(|i| is_floor_pull(i.exercise) && free(i));
    let squat = stage.items.iter().find(|i| i.exercise.pattern == Pattern::Squat && i.exercise.is_spinal());
    if let (Some(pull), Some(squat)) = (pull, squat)
        && pull.block < squat.block
    {
        let cause =
            format!("{} comes after {}, which tires the back.", squat.exercise.name, pull.exercise.name);
        let at = At::Exercise(stage.rank, squat.block, squat.lane);
        say(at, cause, "Squat before the pull from the floor.", out);
    }
}

/// In a whole-body session the legs do not come last.
fn legs_last(stage: &Stage<'_>, out: &mut Findings) {
    let has = |side: Side| stage.items.iter().any(|i| i.exercise.pattern.side() == side);
    let many = stage.items.len() >= LONG_SESSION && has(Side::Push) && has(Side::Pull);
    let leg = |e: &Exercise| e.pattern.is_compound() && matches!(e.pattern.side(), Side::Knee | Side::Hip);
    if let Some(first) = stage.first(leg).filter(|first| many && first + 2 >= stage.items.len()) {
        let name = &stage.items[first].exercise.name;
        let cause = format!("The legs come last: {name} is at {} of {}.", first + 1, stage.items.len());
        say(At::Session(stage.rank), cause, "Open with the legs, or put them in the middle.", out);
    }
}

/// A session does not open with trunk work, nor with a muscle of low priority.
fn opening(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let Some(first) = stage.items.first().filter(|i| !scene.is_locked(stage.rank, &i.exercise.id)) else {
        return;
    };
    let only = stage.items.iter().all(|i| i.exercise.pattern.region() == Region::Trunk);
    let at = At::Exercise(stage.rank, first.block, first.lane);
    if TRUNK.contains(&first.exercise.pattern) && !only {
        let cause = format!("The session opens with {}.", first.exercise.name);
        say(at, cause, "Do the trunk work at the end.", out);
    }
    let low = first.exercise.prime().filter(|m| scene.priority(*m) <= Priority::Low);
    let other = |m: &Muscle| {
        stage.items.iter().any(|i| i.exercise.prime().is_some_and(|p| p != *m && !scene.is_minor(p)))
    };
    // A told lift that tires the whole body stands first wherever it stands.
    let big = first.exercise.systemic >= 3 && scene.told(&first.exercise.id);
    if let Some(muscle) = low.filter(other).filter(|_| !big && !scene.is_main(first.exercise)) {
        let cause = format!("The session opens with the {}, which matter least.", muscle.name());
        say(at, cause, "Open with what matters more.", out);
    }
}

/// A trunk that is tired holds no loaded back: what loads it heavily comes first. Trunk work that opens is said above.
fn trunk_before_the_back(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let trunk = |i: &&Item<'_>| TRUNK.contains(&i.exercise.pattern);
    let free = |i: &&Item<'_>| !scene.is_locked(stage.rank, &i.exercise.id);
    let Some(first) = stage.items.iter().skip(1).find(|i| trunk(i) && free(i)) else { return };
    let heavy = stage.items.iter().find(|i| i.exercise.is_heavy_on_the_back() && i.block > first.block);
    if let Some(heavy) = heavy {
        let cause = format!("{} tires the trunk before {}.", first.exercise.name, heavy.exercise.name);
        let at = At::Exercise(stage.rank, first.block, first.lane);
        say(at, cause, "Do the trunk work after what loads the back.", out);
    }
}

/// Calves wait for the squat and the lunge, whose feet they steady, whatever the client came for.
fn calves_before_the_squat(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let calves = stage.items.iter().find(|i| i.exercise.pattern == Pattern::CalfRaise);
    let Some(calves) = calves.filter(|i| !scene.is_locked(stage.rank, &i.exercise.id)) else { return };
    let stands = |e: &Exercise| matches!(e.pattern, Pattern::Squat | Pattern::Lunge);
    if let Some(squat) = stage.items.iter().find(|i| stands(i.exercise) && i.block > calves.block) {
        let cause = format!("{} tires the calves before {}.", calves.exercise.name, squat.exercise.name);
        let at = At::Exercise(stage.rank, calves.block, calves.lane);
        out.add(at, Severity::Note, "SW133", cause, "Squat before the calves.");
    }
}

/// A strength client's main lifts open, and still what they came for is not always at the end.
fn always_last(scene: &Scene<'_>, out: &mut Findings) {
    let late = |muscle: &Muscle| {
        let visits = scene.stages.iter().filter_map(|s| {
            let first = s.first(|e| e.direct.contains(muscle))?;
            Some(!waits(s, *muscle) && s.items.len() > LONG_SESSION && first + 1 >= s.items.len())
        });
        let visits: Vec<bool> = visits.collect();
        !visits.is_empty() && visits.iter().all(|last| *last)
    };
    let wanted = |m: &Muscle| scene.is_priority(*m);
    for muscle in Muscle::ALL.into_iter().filter(wanted).filter(late) {
        let cause = format!("The {} are what the client came for, and always come last.", muscle.name());
        let hint = "Put them after the main lifts, before the rest.";
        out.add(At::Muscle(muscle), Severity::Note, "SW133", cause, hint);
    }
}

/// A session does not open with one joint while lifts of several joints wait, unless the two are a block for one muscle.
fn small_first(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let Some(first) = stage.items.first().filter(|i| !scene.is_locked(stage.rank, &i.exercise.id)) else {
        return;
    };
    let kind = stage.session.blocks.get(first.block).map(|b| b.kind);
    let alone =
        stage.items.iter().filter(|i| i.block == first.block).all(|i| !i.exercise.pattern.is_compound());
    let waits = stage.items.iter().find(|i| i.exercise.pattern.is_compound() && i.exercise.systemic > 0);
    let trunk = TRUNK.contains(&first.exercise.pattern);
    if let Some(big) = waits.filter(|_| alone && !trunk && kind != Some(BlockKind::SameMuscle)) {
        let cause =
            format!("The session opens with {}, and {} waits.", first.exercise.name, big.exercise.name);
        let at = At::Exercise(stage.rank, first.block, first.lane);
        say(at, cause, "Big before small.", out);
    }
}

/// Two exercises of one joint for one muscle do not follow each other.
fn same_again(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let small = |i: &Item<'_>| {
        let e = i.exercise;
        let upper = matches!(e.pattern.region(), Region::Upper | Region::Lower);
        !e.pattern.is_compound() && upper && !scene.is_locked(stage.rank, &e.id)
    };
    for later in stage.items.iter().filter(|i| small(i)) {
        let before = stage.items.iter().filter(|i| i.block + 1 == later.block && small(i));
        let same =
            |i: &&Item<'_>| i.exercise.prime().is_some() && i.exercise.prime() == later.exercise.prime();
        if let Some(first) = before.into_iter().find(same) {
            let cause =
                format!("{} follows {}, for the same muscle.", later.exercise.name, first.exercise.name);
            let at = At::Exercise(stage.rank, later.block, later.lane);
            out.add(at, Severity::Note, "SW133", cause, "Put something else between them.");
        }
    }
}

/// What waits in a session for the lifts that need it fresh, whatever the client came for: calves for the squat, forearms for what takes
/// a grip, the trunk for what loads the back (common practice, no source (T)).
fn waits(stage: &Stage<'_>, muscle: Muscle) -> bool {
    let has = |need: fn(&Exercise) -> bool| stage.items.iter().any(|i| need(i.exercise));
    match muscle {
        Muscle::Calves => true,
        Muscle::Forearms => has(|e| e.grip >= 1 && e.pattern.is_compound()),
        Muscle::Abs | Muscle::Obliques => has(Exercise::is_heavy_on_the_back),
        _ => false,
    }
}

/// What the client came for stands in the first half of the session, legs days apart.
fn priority_late(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let legs = stage.items.iter().filter(|i| i.exercise.pattern.region() == Region::Lower).count();
    let lower = stage.session.focus.eq_ignore_ascii_case("lower") || 2 * legs > stage.items.len();
    if lower {
        return;
    }
    let half = stage.items.len().div_ceil(2);
    let wanted = |m: &Muscle| scene.is_priority(*m) && !waits(stage, *m);
    for muscle in Muscle::ALL.into_iter().filter(wanted) {
        if let Some(first) = stage.first(|e| e.direct.contains(&muscle)).filter(|first| *first >= half) {
            let cause = format!(
                "The {} are what the client came for, and come at {} of {}.",
                muscle.name(),
                first + 1,
                stage.items.len()
            );
            say(At::MuscleIn(stage.rank, muscle), cause, "Put them in the first half of the session.", out);
        }
    }
}

fn earlier<'s>(stage: &'s Stage<'_>, later: &Item<'_>) -> impl Iterator<Item = &'s Item<'s>> {
    let block = later.block;
    stage.items.iter().filter(move |i| i.block < block)
}

/// A single joint of a muscle that matters, or one the coach has fixed, may come before the compound. Where that is for something that
/// matters as much, it is pointed out: both want to be fresh.
fn pre_fatigue(scene: &Scene<'_>, stage: &Stage<'_>, later: &Item<'_>, out: &mut Findings) {
    if !later.exercise.pattern.is_compound() {
        return;
    }
    let most = |e: &Exercise| e.direct.iter().map(|m| scene.priority(*m)).max();
    let bound = later.exercise.direct.iter().any(|m| scene.is_priority(*m));
    let matters = |e: &Item<'_>| e.exercise.prime().is_some_and(|m| scene.is_priority(m));
    let wanted = |e: &Item<'_>| matters(e) && (!bound || most(e.exercise) > most(later.exercise));
    let own = |e: &&Item<'_>| wanted(e) || scene.is_locked(stage.rank, &e.exercise.id);
    let before = earlier(stage, later).filter(|e| !own(e));
    let tired = before.into_iter().find_map(|e| needs(later.exercise, e.exercise).map(|m| (e, m)));
    if let Some((first, muscle)) = tired {
        let cause = format!(
            "{} in block {} tires the {}, which {} needs.",
            first.exercise.name,
            first.block + 1,
            muscle.name(),
            later.exercise.name
        );
        let hint = format!("Do {} before {}.", later.exercise.name, first.exercise.name);
        let severity = if matters(first) { Severity::Note } else { Severity::Warning };
        out.add(At::Exercise(stage.rank, later.block, later.lane), severity, "SW133", cause, hint);
    }
}

/// A muscle that a single-joint exercise trains and a compound needs.
fn needs(compound: &Exercise, earlier: &Exercise) -> Option<Muscle> {
    if earlier.pattern.is_compound() {
        return None;
    }
    earlier.direct.iter().copied().find(|m| compound.contribution(*m) >= NEEDED_CONTRIBUTION)
}

fn late_taxing(stage: &Stage<'_>, later: &Item<'_>, out: &mut Findings) {
    if later.exercise.is_taxing() && later.block >= FRESH_BLOCKS {
        let cause =
            format!("{} tires the whole body and comes in block {}.", later.exercise.name, later.block + 1);
        let at = At::Exercise(stage.rank, later.block, later.lane);
        say(at, cause, "Move it to the first blocks.", out);
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, NONE, NOTE, WARNING, curl, exercise, extension, hinge, press, row, sets, squat, straight, with,
    };
    use setwright_model::brief::{Goal, Priority};
    use setwright_model::{Exercise, Muscle, Pattern};

    fn order(exercises: &[Exercise], ids: &[&str]) -> (usize, usize, usize) {
        let blocks: Vec<_> = ids.iter().map(|id| straight(sets(id, 3))).collect();
        Case::new(exercises.iter().cloned()).day(1, blocks).said("SW133")
    }

    #[test]
    fn a_small_exercise_does_not_tire_what_a_compound_needs() {
        let all = [press(), extension()];
        assert_eq!(order(&all, &["press", "extension"]), NONE);
        assert_eq!(order(&all, &["extension", "press"]), WARNING);
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
    fn a_session_does_not_open_with_one_joint_while_big_lifts_wait() {
        let big = with(press(), |e| e.systemic = 2);
        let blocks = || ["raise", "press"].map(|id| straight(sets(id, 3)));
        let raise = || exercise("raise", Pattern::LateralRaise, &[Muscle::SideDelts], &[]);
        let case = Case::new([big, raise()]).day(1, blocks());
        assert_eq!(case.said("SW133"), WARNING);
        assert_eq!(case.clone().lock("raise", |_| {}).said("SW133"), NONE);
        let wanted = case.wish(Muscle::SideDelts, |w| w.priority = Some(Priority::Top));
        assert_eq!(wanted.said("SW133"), WARNING, "what matters most waits for the big lifts too");
        assert_eq!(order(&[raise(), curl()], &["raise", "curl"]), NONE, "nothing big waits");
    }

    #[test]
    fn two_single_joints_for_one_muscle_are_parted() {
        let other = exercise("other", Pattern::ElbowFlexion, &[Muscle::Biceps], &[]);
        let all = [curl(), other, extension()];
        assert_eq!(order(&all, &["curl", "other", "extension"]), NOTE);
        assert_eq!(order(&all, &["curl", "extension", "other"]), NONE);
    }

    #[test]
    fn a_taxing_lift_comes_in_the_first_three_blocks() {
        let big = with(squat(), |e| e.systemic = 3);
        let calm = |id: &str| exercise(id, Pattern::HorizontalRow, &[Muscle::UpperBack], &[]);
        let all = [big, calm("a"), calm("b"), calm("c")];
        assert_eq!(order(&all, &["a", "b", "squat", "c"]), NONE);
        assert_eq!(order(&all, &["a", "b", "c", "squat"]), WARNING);
    }

    #[test]
    fn a_single_joint_of_a_muscle_that_matters_may_come_first() {
        let blocks = || ["extension", "press"].map(|id| straight(sets(id, 3)));
        let case = Case::new([press(), extension()]).day(1, blocks());
        let wanted = |p| case.clone().wish(Muscle::Triceps, |w| w.priority = Some(p)).said("SW133");
        assert_eq!((wanted(Priority::Normal), wanted(Priority::High)), (WARNING, NONE));
        assert_eq!(case.clone().lock("extension", |_| {}).said("SW133"), NONE, "the coach put it there");
        let chest = |p| case.clone().wish(Muscle::Chest, |w| w.priority = Some(p));
        let both = |p| chest(Priority::High).wish(Muscle::Triceps, |w| w.priority = Some(p)).said("SW133");
        // What is second of two is late besides.
        let notes = |p| both(p).2;
        assert_eq!((notes(Priority::High), notes(Priority::Top)), (1, 0), "the press is for the chest too");
    }

    #[test]
    fn calves_wait_for_the_squat_whatever_the_client_came_for() {
        let small = |id: &str, muscle| exercise(id, Pattern::RearFly, &[muscle], &[]);
        let said = |muscle| {
            let all = [press(), row(), small("small", muscle)];
            let blocks = ["press", "row", "small"].map(|id| straight(sets(id, 3)));
            let case = Case::new(all).day(1, blocks);
            case.wish(muscle, |w| w.priority = Some(Priority::High)).said("SW133")
        };
        assert_eq!((said(Muscle::Forearms), said(Muscle::Calves)), (WARNING, NONE));
    }

    #[test]
    fn the_squat_comes_before_the_pull_from_the_floor() {
        let heavy = |e| with(e, |e: &mut Exercise| (e.spinal, e.systemic) = (2, 3));
        let all = [heavy(squat()), heavy(hinge())];
        assert_eq!(order(&all, &["squat", "hinge"]), NONE);
        assert_eq!(order(&all, &["hinge", "squat"]), WARNING);
    }

    fn whole_body(ids: &[&str]) -> Case {
        let of = |id: &str, pattern, muscle| exercise(id, pattern, &[muscle], &[]);
        let plank = of("plank", Pattern::TrunkBrace, Muscle::Abs);
        let raise = of("raise", Pattern::LateralRaise, Muscle::SideDelts);
        let blocks: Vec<_> = ids.iter().map(|id| straight(sets(id, 3))).collect();
        Case::new([press(), row(), squat(), plank, raise, curl()]).day(1, blocks)
    }

    #[test]
    fn in_a_whole_body_session_the_legs_do_not_come_last() {
        assert_eq!(whole_body(&["press", "row", "squat", "raise", "curl"]).said("SW133"), NONE);
        assert_eq!(whole_body(&["press", "row", "raise", "squat", "curl"]).said("SW133"), WARNING);
        assert_eq!(whole_body(&["press", "row", "squat", "curl"]).said("SW133"), NONE, "four exercises");
    }

    #[test]
    fn a_session_opens_with_what_matters() {
        assert_eq!(whole_body(&["plank", "press", "squat"]).said("SW133"), WARNING);
        assert_eq!(whole_body(&["plank"]).said("SW133"), NONE, "there is nothing else");
        let low = whole_body(&["press", "row"]).wish(Muscle::Chest, |w| w.priority = Some(Priority::Low));
        assert_eq!(low.said("SW133"), WARNING);
    }

    #[test]
    fn what_the_client_came_for_is_in_the_first_half() {
        let wanted = |ids: &[&str]| {
            whole_body(ids).wish(Muscle::SideDelts, |w| w.priority = Some(Priority::Top)).said("SW133")
        };
        assert_eq!(wanted(&["press", "raise", "row", "curl"]), NONE);
        assert_eq!(wanted(&["press", "row", "raise", "curl"]), WARNING);
    }

    #[test]
    fn forearms_wait_for_what_takes_a_grip_and_the_trunk_for_what_loads_the_back() {
        let said = |pattern, muscle, grip: u8, spinal: u8| {
            let small = exercise("small", pattern, &[muscle], &[]);
            let pull = with(row(), |e| e.grip = grip);
            let legs = with(squat(), |e| e.spinal = spinal);
            let blocks = ["squat", "press", "row", "small"].map(|id| straight(sets(id, 3)));
            let case = Case::new([press(), pull, legs, small]).day(1, blocks);
            case.wish(muscle, |w| w.priority = Some(Priority::Top)).said("SW133")
        };
        let forearms = |grip| said(Pattern::Wrist, Muscle::Forearms, grip, 0);
        assert_eq!((forearms(0), forearms(1)), (WARNING, NONE));
        let abs = |spinal| said(Pattern::TrunkFlexion, Muscle::Abs, 0, spinal);
        assert_eq!((abs(1), abs(2)), (WARNING, NONE));
    }

    #[test]
    fn trunk_work_waits_for_what_loads_the_back() {
        let heavy = || with(hinge(), |e| e.spinal = 2);
        let plank = || exercise("plank", Pattern::TrunkBrace, &[Muscle::Abs], &[]);
        let all = [press(), plank(), heavy()];
        assert_eq!(order(&all, &["press", "plank", "hinge"]), WARNING);
        assert_eq!(order(&all, &["press", "hinge", "plank"]), NONE);
        assert_eq!(order(&[press(), plank(), hinge()], &["press", "plank", "hinge"]), NONE, "a light one");
        let case = Case::new(all).day(1, ["press", "plank", "hinge"].map(|id| straight(sets(id, 3))));
        assert_eq!(case.lock("plank", |_| {}).said("SW133"), NONE);
    }

    #[test]
    fn calves_before_the_squat_are_pointed_out() {
        let calves = exercise("calf", Pattern::CalfRaise, &[Muscle::Calves], &[]);
        let all = [press(), squat(), calves];
        assert_eq!(order(&all, &["press", "calf", "squat"]), NOTE);
        assert_eq!(order(&all, &["press", "squat", "calf"]), NONE);
    }

    #[test]
    fn for_strength_what_the_client_came_for_is_not_always_last() {
        let week = |second: &[&str], goal| {
            let day = |ids: &[&str]| ids.iter().map(|id| straight(sets(id, 2))).collect::<Vec<_>>();
            let first = day(&["press", "row", "squat", "plank", "curl", "raise"]);
            let case = whole_body(&["press"]);
            let mut case = case.day(4, day(second));
            case.programme.sessions[0].blocks = first;
            case.brief(|b| b.goal = goal).wish(Muscle::SideDelts, |w| w.priority = Some(Priority::High))
        };
        let said = |second: &[&str]| {
            let report = week(second, Goal::Strength).report();
            report.findings.iter().filter(|f| f.code == "SW133" && f.cause.contains("always")).count()
        };
        assert_eq!(said(&["press", "row", "squat", "plank", "curl", "raise"]), 1);
        assert_eq!(said(&["press", "row", "raise", "squat", "plank", "curl"]), 0);
    }
}
