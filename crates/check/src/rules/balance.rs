//! Balance of push and pull, knee and hip, over the cycle and, as a note, within a whole-body session (SW134). Presses, dips and
//! flies are counted against rows, pulls from above, pullovers and rear flies; raises of the arm, curls, extensions of the elbow,
//! shrugs and upright rows are neither.

use crate::rules::movements::ALL_MIN;
use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::brief::{Focus, Goal, Priority};
use setwright_model::pattern::Side;
use setwright_model::{Exercise, Pattern, Severity};
use setwright_science::rules::{BALANCE_SHARE, BALANCE_SLACK_SETS};

/// What a coach counts as pushing and pulling: a lateral raise is no press, a curl no pull (common practice, no source (T)).
const fn counts(pattern: Pattern) -> bool {
    use Pattern::{
        ElbowExtension, ElbowFlexion, FrontRaise, GripHold, LateralRaise, Shrug, UprightRow, Wrist,
    };
    let small = matches!(
        pattern,
        LateralRaise | FrontRaise | ElbowExtension | ElbowFlexion | Shrug | UprightRow | Wrist | GripHold
    );
    !small
}

/// Two sides that keep each other in balance, by name.
type Axis = [(Side, &'static str); 2];

const AXES: [Axis; 2] =
    [[(Side::Push, "push"), (Side::Pull, "pull")], [(Side::Knee, "knee"), (Side::Hip, "hip")]];

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for axis in &AXES {
        if axis.iter().any(|(side, _)| !scene.is_possible(*side)) {
            continue;
        }
        // A cycle of minutes that hold a lift or two has no room for the other side.
        let short = scene.brief.is_some() && scene.minutes() < ALL_MIN;
        let severity = if short || tilts(scene, axis) { Severity::Note } else { Severity::Warning };
        judge(scene, At::Programme, axis, &scene.stages, severity, out);
        if axis == &AXES[0] && severity == Severity::Warning {
            rows(scene, out);
        }
        for stage in scene.stages.iter().filter(|s| scene.is_whole_body(s)) {
            let one = std::slice::from_ref(stage);
            judge(scene, At::Session(stage.rank), axis, one, Severity::Note, out);
        }
    }
}

/// Rows against presses ahead, whatever is pulled from above: under half of them is mended, but for strength, where the press
/// is what is trained (common practice, no source (T)).
fn rows(scene: &Scene<'_>, out: &mut Findings) {
    let sets = |of: &[Pattern]| -> u32 {
        let items = scene.items().map(|(_, i)| i).filter(|i| of.contains(&i.exercise.pattern));
        items.map(Item::sets).sum()
    };
    let strength = scene.brief.is_none_or(|b| b.goal == Goal::Strength);
    let presses = sets(&[Pattern::HorizontalPress, Pattern::InclinePress]);
    let rows = sets(&[Pattern::HorizontalRow]);
    let can = scene.catalogue.iter().any(|e| e.pattern == Pattern::HorizontalRow && scene.is_allowed(e));
    if strength
        || !can
        || rows == 0
        || f64::from(rows) >= ROWS_SHARE * f64::from(presses) - BALANCE_SLACK_SETS
    {
        return;
    }
    let cause = format!("{rows} sets of rows beside {presses} of presses ahead.");
    out.add(At::Programme, Severity::Warning, "SW134", cause, "Give rows sets that presses can spare.");
}

/// Share of the presses ahead that rows have at least (judgement).
const ROWS_SHARE: f64 = 0.5;

/// Whether what the client came for is trained first of all by exercises of one of the sides: then that side may
/// be the greater.
fn tilts(scene: &Scene<'_>, axis: &Axis) -> bool {
    let top = |e: &&Exercise| e.prime().is_some_and(|m| scene.priority(m) == Priority::Top);
    let on_axis = |e: &&Exercise| axis.iter().any(|(side, _)| e.pattern.side() == *side);
    scene.catalogue.iter().filter(on_axis).filter(top).any(|e| scene.is_allowed(e))
}

impl Scene<'_> {
    /// Whether any lift of a side may be prescribed in any session.
    pub(crate) fn is_possible(&self, side: Side) -> bool {
        let focus = self.brief.map_or(&[][..], |b| &b.style.focus);
        let in_focus = focus.is_empty() || focus.iter().any(|f| holds(*f, side));
        let lift = |e: &&Exercise| e.pattern.is_compound() && e.pattern.side() == side;
        in_focus && self.catalogue.iter().filter(lift).any(|e| self.is_allowed(e))
    }

    /// Whether a session is meant to be for the whole body.
    pub(crate) fn is_whole_body(&self, stage: &Stage<'_>) -> bool {
        let asked = self.brief.and_then(|b| b.style.focus.get(stage.rank));
        match asked {
            Some(focus) => *focus == Focus::WholeBody,
            None => self.rules.whole_body_only || stage.session.focus.eq_ignore_ascii_case("whole body"),
        }
    }
}

const fn holds(focus: Focus, side: Side) -> bool {
    match focus {
        Focus::WholeBody => true,
        Focus::Upper => matches!(side, Side::Push | Side::Pull),
        Focus::Lower | Focus::Legs => matches!(side, Side::Knee | Side::Hip),
        Focus::Push => matches!(side, Side::Push),
        Focus::Pull => matches!(side, Side::Pull),
    }
}

/// A side that is not trained at all is named in `movements`, where there is a brief.
fn judge(
    scene: &Scene<'_>,
    at: At,
    axis: &Axis,
    stages: &[Stage<'_>],
    severity: Severity,
    out: &mut Findings,
) {
    let sets = |side: Side| -> u32 {
        let items = stages.iter().flat_map(|s| &s.items);
        let of = |i: &&Item<'_>| i.exercise.pattern.side() == side && counts(i.exercise.pattern);
        items.filter(of).map(Item::sets).sum()
    };
    let [a, b] = axis.map(|(side, name)| (sets(side), name));
    let (lesser, greater) = if a.0 <= b.0 { (a, b) } else { (b, a) };
    if lesser.0 == 0 && at == At::Programme && scene.brief.is_some() {
        return;
    }
    if f64::from(lesser.0) < BALANCE_SHARE * f64::from(greater.0) - BALANCE_SLACK_SETS {
        let needed = (BALANCE_SHARE * f64::from(greater.0) - BALANCE_SLACK_SETS).ceil();
        let cause = format!(
            "{} sets of {} against {} of {}; at least {needed} keep the balance.",
            greater.0, greater.1, lesser.0, lesser.1
        );
        let hint = format!("Add {} sets, or drop {} sets.", lesser.1, greater.1);
        out.add(at, severity, "SW134", cause, hint).by(needed - f64::from(lesser.0));
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{
        Case, NONE, NOTE, WARNING, curl, exercise, hinge, press, row, sets, squat, straight, tally,
    };
    use setwright_model::brief::{Focus, MinutesPerSession, Place, Priority, TrainingAge};
    use setwright_model::station::Station;
    use setwright_model::{Minutes, Muscle, Pattern};

    /// Ten sets of push over two days, and some of pull on a third.
    fn case(pull: u32) -> Case {
        let five = || [straight(sets("press", 5))];
        Case::new([press(), row(), squat(), hinge()])
            .day(1, five())
            .day(4, five())
            .day(6, [straight(sets("row", pull))])
    }

    #[test]
    fn the_lesser_side_gets_its_share_less_the_slack() {
        assert_eq!(case(4).said("SW134"), NONE, "0.6 x 10 - 2 = 4");
        assert_eq!(case(3).said("SW134"), WARNING);
    }

    #[test]
    fn a_top_priority_on_the_axis_makes_it_a_warning() {
        let top = |m: Muscle| case(3).wish(m, |w| w.priority = Some(Priority::Top)).said("SW134");
        assert_eq!(top(Muscle::Chest), NOTE);
        assert_eq!(top(Muscle::Quads), WARNING, "another axis");
        let mut adductors = case(3).wish(Muscle::Adductors, |w| w.priority = Some(Priority::Top));
        adductors.exercises[0].direct = vec![Muscle::Adductors];
        assert_eq!(adductors.said("SW134"), NOTE, "whatever the muscle, if it is what one side trains");
    }

    #[test]
    fn minutes_for_a_lift_or_two_hold_no_balance() {
        let minutes =
            |m| case(3).brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(m))).said("SW134");
        assert_eq!((minutes(9.0), minutes(10.0)), (NOTE, WARNING), "three sessions");
    }

    #[test]
    fn a_side_that_is_impossible_is_not_missed() {
        let excluded = case(0).brief(|b| b.exclude.patterns = vec![Pattern::HorizontalRow]);
        assert_eq!(excluded.said("SW134"), NONE);
        let mut no_bar = case(3).brief(|b| b.equipment.place = Place::Bare);
        no_bar.exercises[1].stations = vec![Station::PullUpBar];
        assert_eq!(no_bar.said("SW134"), NONE);
        let only_push = case(3).brief(|b| b.style.focus = vec![Focus::Push, Focus::Push, Focus::Legs]);
        assert_eq!(only_push.said("SW134"), NONE, "the coach wants no pull");
    }

    #[test]
    fn knee_and_hip_are_an_axis_too() {
        let legs = |knee, hip| {
            let case = Case::new([squat(), hinge()]).day(1, [straight(sets("squat", knee))]);
            case.day(4, [straight(sets("hinge", hip))]).said("SW134")
        };
        assert_eq!(legs(5, 1), NONE);
        assert_eq!(legs(6, 1), WARNING);
        assert_eq!(legs(5, 0), NONE, "a side that is missing altogether is said by `movements`");
    }

    #[test]
    fn raises_and_curls_are_on_neither_side() {
        let week = |id: &str| {
            let raise = exercise("raise", Pattern::LateralRaise, &[Muscle::SideDelts], &[]);
            let fly = exercise("fly", Pattern::ChestFly, &[Muscle::Chest], &[]);
            let day = |id: &str| [straight(sets("press", 3)), straight(sets(id, 4))];
            let case = Case::new([press(), row(), squat(), hinge(), curl(), raise, fly]);
            case.day(1, day(id)).day(4, day(id)).day(6, [straight(sets("row", 3))]).said("SW134")
        };
        assert_eq!((week("raise"), week("curl")), (NONE, NONE), "three rows for six presses");
        assert_eq!(week("fly"), WARNING, "a fly is for the chest");
    }

    #[test]
    fn a_whole_body_session_out_of_balance_is_pointed_out() {
        let beginner = |days: bool| {
            let push = || straight(sets("press", 5));
            let pull = || straight(sets("row", 5));
            let case = Case::new([press(), row()]);
            let case =
                if days { case.day(1, [push()]).day(4, [pull()]) } else { case.day(1, [push(), pull()]) };
            case.brief(|b| b.training_age = TrainingAge::Beginner).said("SW134")
        };
        assert_eq!(beginner(false), NONE);
        assert_eq!(beginner(true), (0, 0, 2), "balanced over the cycle, not in the sessions");
    }

    #[test]
    fn without_a_brief_a_side_that_is_missing_is_said_here() {
        assert_eq!(case(0).said("SW134").1, 0, "`movements` says it");
        assert_eq!(tally(&case(0).report_alone(), "SW134").1, 1);
    }
}
