//! A shoulder that is spared (SW146): at least as much rowing and pulling as pressing, the back of the shoulder trained,
//! no session opened with a press, raises well short of failure, no straight bar behind the neck.

use crate::client::PRESSES;
use crate::rules::allowed::swap_hint;
use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::exercise::{Ask, LoadKind};
use setwright_model::pattern::Region;
use setwright_model::{Muscle, Pattern, Severity, Station};

const PULLS: &[Pattern] = &[Pattern::HorizontalRow, Pattern::VerticalPull];

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    if !scene.limits().pulls_lead {
        return;
    }
    more_pulls(scene, out);
    rear(scene, out);
    for stage in &scene.stages {
        opens_with_a_press(scene, stage, out);
        for item in &stage.items {
            raises(scene, stage, item, out);
            bar_behind_the_neck(scene, stage, item, out);
        }
    }
}

fn sets(scene: &Scene<'_>, patterns: &[Pattern]) -> u32 {
    scene.stages.iter().map(|s| s.sets_of(|e| patterns.contains(&e.pattern))).sum()
}

fn more_pulls(scene: &Scene<'_>, out: &mut Findings) {
    let (pull, press) = (sets(scene, PULLS), sets(scene, PRESSES));
    if pull < press && scene.has_pattern(PULLS) {
        let cause = format!(
            "{pull} sets of rows and pulls against {press} of presses for a shoulder that is spared."
        );
        out.error(At::Programme, "SW146", cause, "Row and pull at least as much as is pressed.")
            .by(f64::from(press - pull));
    }
}

fn rear(scene: &Scene<'_>, out: &mut Findings) {
    let rear = [Pattern::RearFly];
    if sets(scene, &rear) == 0 && scene.has_pattern(&rear) {
        let cause = "Nothing trains the back of a shoulder that is spared.";
        out.add(At::Programme, Severity::Warning, "SW146", cause, "Add a face pull or a rear fly.");
    }
}

fn opens_with_a_press(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let Some(first) = stage.items.first().filter(|i| PRESSES.contains(&i.exercise.pattern)) else { return };
    // A main lift opens whatever it is: that it is done at all is the client's and the coach's word.
    if scene.is_locked(stage.rank, &first.exercise.id)
        || scene.is_main(first.exercise)
        || stage.items.len() < 2
    {
        return;
    }
    let cause = format!("The session opens with {} for a shoulder that is spared.", first.exercise.name);
    out.add(At::Exercise(stage.rank, 0, 0), Severity::Warning, "SW146", cause, "Open with legs or a row.");
}

fn raises(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let raise = matches!(item.exercise.pattern, Pattern::LateralRaise | Pattern::FrontRaise);
    let least = scene.rir_least(item.exercise);
    if !raise || item.prescription.rir >= least {
        return;
    }
    let severity = if scene.is_returning() { Severity::Error } else { Severity::Warning };
    let severity = scene.unless_fixed(stage.rank, &item.exercise.id, severity);
    let cause =
        format!("{} at RIR {} for a shoulder that is spared.", item.exercise.name, item.prescription.rir);
    let at = At::Exercise(stage.rank, item.block, item.lane);
    out.add(at, severity, "SW146", cause, format!("Stop at RIR {least}."));
}

/// A straight bar on the back turns the shoulder out as far as it goes, unless the client does it already. A bar on the front of
/// the shoulders, in the elbows, or with handles does not.
fn bar_behind_the_neck(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let e = item.exercise;
    let before = e.asks.contains(&Ask::WristSupport) || e.half.contains(&Muscle::UpperBack);
    let straight = e.stations.contains(&Station::Rack) && !e.stations.contains(&Station::SafetyBar);
    let carried = e.load == LoadKind::Bar && e.pattern.region() == Region::Lower;
    let on_the_back = carried && straight && e.asks.contains(&Ask::SpineLoad) && !before;
    if !on_the_back || scene.is_own(&e.id) {
        return;
    }
    let cause = format!("{} lays a straight bar behind the neck of a shoulder that is spared.", e.name);
    let at = At::Exercise(stage.rank, item.block, item.lane);
    out.add(at, Severity::Warning, "SW146", cause, swap_hint(scene, e));
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, WARNING, exercise, press, row, sets, squat, straight};
    use setwright_gym::catalogue::builtin;
    use setwright_model::exercise::Ask;
    use setwright_model::{Muscle, Pattern, Prescription};

    fn case(press_sets: u32, rows: u32) -> Case {
        let rear = exercise("rear", Pattern::RearFly, &[Muscle::RearDelts], &[]);
        let raise = exercise("raise", Pattern::LateralRaise, &[Muscle::SideDelts], &[]);
        let ids = [("squat", 3), ("row", rows), ("press", press_sets), ("rear", 2)];
        let blocks = ids.map(|(id, n)| straight(sets(id, n)));
        Case::new([press(), row(), squat(), rear, raise])
            .day(1, blocks)
            .brief(|b| b.exclude.asks = vec![Ask::ShoulderExtreme])
    }

    #[test]
    fn rows_and_pulls_are_at_least_as_many_as_presses() {
        assert_eq!(case(3, 3).said("SW146"), NONE);
        assert_eq!(case(4, 3).said("SW146"), ERROR);
        assert_eq!(case(4, 3).brief(|b| b.exclude.asks.clear()).said("SW146"), NONE, "nothing is spared");
    }

    #[test]
    fn the_back_of_the_shoulder_is_trained_and_no_session_opens_with_a_press() {
        let mut none = case(3, 3);
        none.programme.sessions[0].blocks.pop();
        assert_eq!(none.said("SW146"), WARNING);
        let mut first = case(3, 3);
        first.programme.sessions[0].blocks.rotate_left(2);
        assert_eq!(first.said("SW146"), WARNING);
    }

    #[test]
    fn raises_keep_three_in_reserve() {
        let raise = |rir: u32, back: bool| {
            let mut case = case(3, 3);
            let p = Prescription { rir, ..sets("raise", 2) };
            case.programme.sessions[0].blocks.push(straight(p));
            case.brief(|b| {
                b.screening.active = Some(!back);
                b.screening.other = Some(true);
                b.screening.cleared = Some(true);
            })
            .said("SW146")
        };
        assert_eq!(raise(3, true), NONE);
        assert_eq!(raise(2, false), WARNING);
        assert_eq!(raise(2, true), ERROR);
    }

    #[test]
    fn the_coachs_own_press_may_open_and_a_press_alone_has_nothing_before_it() {
        let mut first = case(3, 3);
        first.programme.sessions[0].blocks.rotate_left(2);
        assert_eq!(first.lock("press", |_| {}).said("SW146"), NONE);
        let alone = case(3, 3).day(4, [straight(sets("press", 0))]);
        assert_eq!(alone.said("SW146"), NONE);
    }

    #[test]
    fn raises_to_the_front_keep_reps_in_reserve_too() {
        let raise = |rir| {
            let mut case = case(3, 3);
            case.exercises[4].pattern = Pattern::FrontRaise;
            let p = Prescription { rir, ..sets("raise", 2) };
            case.programme.sessions[0].blocks.push(straight(p));
            case.said("SW146")
        };
        assert_eq!((raise(3), raise(2)), (NONE, WARNING));
    }

    #[test]
    fn no_straight_bar_lies_behind_the_neck_unless_it_was_told() {
        let squat = |id: &str| {
            let case = Case::new(builtin().iter().cloned()).day(1, [straight(sets(id, 3))]);
            case.brief(|b| b.exclude.asks = vec![Ask::ShoulderExtreme])
        };
        let said = |case: Case| {
            case.report().findings.iter().filter(|f| f.code == "SW146" && f.cause.contains("neck")).count()
        };
        assert_eq!(said(squat("back_squat")), 1);
        assert_eq!(said(squat("back_squat").told("back_squat", 80.0, 8)), 0);
        for held in ["front_squat", "safety_bar_squat", "zercher_squat", "goblet_squat", "leg_press"] {
            assert_eq!(said(squat(held)), 0, "{held}");
        }
        assert_eq!(said(squat("back_squat").brief(|b| b.exclude.asks.clear())), 0, "not spared");
    }
}
