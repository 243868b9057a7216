//! Each programme bends the knees and the hips, presses and pulls; with time enough it rows and pulls from above; and each
//! whole-body or lower session bends the knees, each whole-body session pulls and presses (SW128).

use crate::client::{KNEE, PRESSES};
use crate::rules::sport_days::spares_legs;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::list;
use setwright_model::pattern::{Region, Side};
use setwright_model::{Exercise, Muscle, Pattern, Severity};

/// Minutes of a cycle from which row and pull from above stand apart (common practice, no source (T): two sessions of 40).
const APART_MIN: f64 = 80.0;
/// Minutes of a cycle from which all movements are asked (judgement).
pub(crate) const ALL_MIN: f64 = 30.0;
/// From this age on a session without a squat, lunge or leg press is refused (judgement: rising from a chair).
const RISE_FROM: u32 = 60;
/// A lift of the whole body stands for a movement from this contribution on (judgement).
const STANDS_FOR: f64 = 0.5;

/// A movement, the patterns that are it, and the muscles it is there for.
struct Movement {
    name: &'static str,
    patterns: &'static [Pattern],
    muscles: &'static [Muscle],
    /// What a programme without it gets.
    severity: Severity,
}

const MOVEMENTS: [Movement; 4] = [
    Movement {
        name: "squat, lunge or leg press",
        patterns: KNEE,
        muscles: &[Muscle::Quads],
        severity: Severity::Error,
    },
    Movement {
        name: "hinge, hip thrust or leg curl",
        patterns: &[Pattern::Hinge, Pattern::HipExtension, Pattern::KneeFlexion, Pattern::BackExtension],
        muscles: &[Muscle::Hamstrings, Muscle::Glutes],
        // Squats and leg presses train the hips too, so this is mended.
        severity: Severity::Warning,
    },
    Movement {
        name: "press",
        patterns: PRESSES,
        muscles: &[Muscle::Chest, Muscle::FrontDelts],
        severity: Severity::Error,
    },
    Movement {
        name: "row or pull from above",
        patterns: &[Pattern::HorizontalRow, Pattern::VerticalPull],
        muscles: &[Muscle::Lats, Muscle::UpperBack],
        severity: Severity::Error,
    },
];

const ROWS: &[Pattern] = &[Pattern::HorizontalRow, Pattern::RearFly];
const FROM_ABOVE: &[Pattern] = &[Pattern::VerticalPull, Pattern::Pullover];

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    if scene.brief.is_none() || scene.stages.is_empty() {
        return;
    }
    for movement in &MOVEMENTS {
        nowhere(scene, movement, out);
    }
    apart(scene, out);
    for stage in &scene.stages {
        no_knee(scene, stage, out);
        for movement in &MOVEMENTS[2..] {
            no_upper(scene, stage, movement, out);
        }
    }
}

/// Whether an exercise is a movement, or a lift of the whole body that does its work.
fn is(exercise: &Exercise, movement: &Movement) -> bool {
    let whole = exercise.pattern.side() == Side::Whole;
    let reaches = |m: &Muscle| exercise.contribution(*m) >= STANDS_FOR;
    movement.patterns.contains(&exercise.pattern) || (whole && movement.muscles.iter().any(reaches))
}

/// Whether a movement is wanted at all: its muscles matter, a focus has room for it, and something of it can be done.
fn is_wanted(scene: &Scene<'_>, movement: &Movement) -> bool {
    let matters = movement.muscles.iter().any(|m| !scene.is_minor(*m));
    let side = movement.patterns.first().map(|p| p.side());
    matters && side.is_some_and(|s| scene.is_possible(s)) && scene.has_pattern(movement.patterns)
}

fn nowhere(scene: &Scene<'_>, movement: &Movement, out: &mut Findings) {
    if scene.items().any(|(_, i)| is(i.exercise, movement)) || !is_wanted(scene, movement) {
        return;
    }
    let cause = format!("There is no {} in the whole cycle.", movement.name);
    // A cycle of minutes that hold a lift or two cannot have them all.
    let severity = if scene.minutes() < ALL_MIN { Severity::Note } else { movement.severity };
    out.add(At::Programme, severity, "SW128", cause, "Put one in.").by(1.0);
}

fn apart(scene: &Scene<'_>, out: &mut Findings) {
    if scene.is_first_weeks() || scene.minutes() < APART_MIN || !is_wanted(scene, &MOVEMENTS[3]) {
        return;
    }
    let has = |patterns: &[Pattern]| scene.items().any(|(_, i)| patterns.contains(&i.exercise.pattern));
    let (row, above) = (has(ROWS), has(FROM_ABOVE));
    let missing = match (row, above) {
        (false, true) if scene.has_pattern(&ROWS[..1]) => "row",
        (true, false) if scene.has_pattern(&FROM_ABOVE[..1]) => "pull from above",
        _ => return,
    };
    let cause =
        format!("There is no {missing} in the whole cycle, and there is time for both kinds of pull.");
    out.add(At::Programme, Severity::Warning, "SW128", cause, "Put one in.").by(1.0);
}

/// Whole-body and lower sessions bend the knees.
fn no_knee(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let bends = |i: &&Item<'_>| is(i.exercise, &MOVEMENTS[0]);
    if scene.is_for_strength() || !trains_legs(stage) || stage.items.iter().find(bends).is_some() {
        return;
    }
    let to_a_match = scene.brief.is_some_and(|b| spares_legs(b, stage.session.day));
    if to_a_match || !is_wanted(scene, &MOVEMENTS[0]) {
        return;
    }
    let aged = scene.brief.and_then(|b| b.body.age).is_some_and(|a| a >= RISE_FROM);
    let strict = aged || scene.is_returning() || scene.stages.len() <= 2;
    // The coach may have said how much the thighs get at most.
    let capped = scene.brief.and_then(|b| b.muscles.get(&Muscle::Quads)).is_some_and(|w| w.most.is_some());
    let severity = match strict {
        _ if capped || scene.minutes() < ALL_MIN => Severity::Note,
        true => Severity::Error,
        false => Severity::Warning,
    };
    let names: Vec<String> = stage.items.iter().map(|i| i.exercise.name.clone()).collect();
    let cause = format!("No squat, lunge or leg press among {}.", list(&names));
    out.add(At::Session(stage.rank), severity, "SW128", cause, "Put one in.").by(1.0);
}

/// Minutes from which a whole-body session pulls and presses (common practice, no source (T)).
const UPPER_FROM_MIN: f64 = 20.0;

/// A session for the whole body that never pulls or never presses: mended where it is called so, pointed out where only what is in
/// it says so. Newer clients' sessions are judged in `focus`; for strength a session may be for one lift.
fn no_upper(scene: &Scene<'_>, stage: &Stage<'_>, movement: &Movement, out: &mut Findings) {
    let short = scene.limit(stage.rank).is_some_and(|m| m.get() < UPPER_FROM_MIN);
    let has = |i: &Item<'_>| is(i.exercise, movement);
    if scene.is_for_strength() || scene.is_new() || short || stage.items.iter().any(has) {
        return;
    }
    let in_cycle = scene.items().any(|(_, i)| has(i));
    let asked = scene.is_whole_body(stage);
    if !in_cycle || !(asked || looks_whole(stage)) || !is_wanted(scene, movement) {
        return;
    }
    let pulls = movement.patterns.contains(&Pattern::HorizontalRow);
    let severity = if asked && pulls { Severity::Warning } else { Severity::Note };
    let cause = format!("No {} in a session for the whole body.", movement.name);
    out.add(
        At::Session(stage.rank),
        severity,
        "SW128",
        cause,
        "Put one in, or call the session by what it is.",
    )
    .by(1.0);
}

/// A session without a name that has legs and one of the sides of the upper body in lifts of several joints.
fn looks_whole(stage: &Stage<'_>) -> bool {
    let lift = |sides: &[Side]| {
        stage
            .items
            .iter()
            .any(|i| i.exercise.pattern.is_compound() && sides.contains(&i.exercise.pattern.side()))
    };
    stage.session.focus.is_empty() && lift(&[Side::Knee, Side::Hip]) && lift(&[Side::Push, Side::Pull])
}

/// Whether a session is for the whole body or for the legs: by its name, or by what is in it.
fn trains_legs(stage: &Stage<'_>) -> bool {
    let name = stage.session.focus.to_ascii_lowercase();
    if !name.is_empty() {
        return ["whole body", "lower", "legs"].contains(&name.as_str());
    }
    let has = |side: Side| stage.items.iter().any(|i| i.exercise.pattern.side() == side);
    let lower = |i: &&Item<'_>| i.exercise.pattern.region() == Region::Lower;
    let legs = stage.items.iter().filter(lower).count();
    let whole = has(Side::Push) && has(Side::Pull);
    let compound = stage.items.iter().filter(lower).any(|i| i.exercise.pattern.is_compound());
    (whole && compound) || (legs > 0 && 2 * legs >= stage.items.len())
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, exercise, hinge, press, row, sets, squat, straight};
    use setwright_model::brief::{Focus, Goal, MinutesPerSession, Priority};
    use setwright_model::{Exercise, Minutes, Muscle, Pattern};

    fn all() -> Vec<Exercise> {
        let pulldown = exercise("pulldown", Pattern::VerticalPull, &[Muscle::Lats], &[]);
        let both = exercise("thruster", Pattern::WholeBody, &[Muscle::Quads, Muscle::FrontDelts], &[]);
        let curl = exercise("leg_curl", Pattern::KneeFlexion, &[Muscle::Hamstrings], &[]);
        vec![press(), row(), squat(), hinge(), pulldown, both, curl]
    }

    #[test]
    fn minutes_for_a_lift_or_two_are_not_asked_for_every_movement() {
        let of = |minutes: f64| {
            let case = Case::new(all()).day(1, [straight(sets("press", 3)), straight(sets("row", 3))]);
            case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(minutes))).said("SW128")
        };
        assert_eq!((of(29.0).0, of(30.0).0 > 0), (0, true));
    }

    /// The same session three times a week.
    fn thrice(ids: &[&str]) -> Case {
        let blocks = || ids.iter().map(|id| straight(sets(id, 3))).collect::<Vec<_>>();
        [1, 3, 5].into_iter().fold(Case::new(all()), |c, day| c.day(day, blocks()))
    }

    #[test]
    fn knees_presses_and_pulls_are_refused_when_missing_and_hips_are_mended() {
        assert_eq!(thrice(&["squat", "hinge", "press", "row", "pulldown"]).said("SW128"), NONE);
        assert_eq!(thrice(&["squat", "hinge", "row", "pulldown"]).said("SW128"), ERROR, "no press");
        assert_eq!(thrice(&["squat", "hinge", "press"]).said("SW128"), ERROR, "no pull");
        assert_eq!(thrice(&["squat", "press", "row", "pulldown"]).said("SW128"), WARNING, "no hip");
    }

    #[test]
    fn the_eve_of_a_match_has_no_squat_to_miss() {
        let of = |matches: &[u32]| {
            let day = |ids: &[&str]| ids.iter().map(|id| straight(sets(id, 3))).collect::<Vec<_>>();
            let legs = day(&["squat", "hinge", "press", "row", "pulldown"]);
            let case = Case::new(all()).day(2, legs).day(5, day(&["hinge", "press", "row"]));
            case.brief(|b| (b.sport.match_days, b.body.age) = (matches.to_vec(), Some(62))).said("SW128")
        };
        assert_eq!((of(&[]), of(&[6])), (ERROR, NONE));
    }

    #[test]
    fn a_lift_of_the_whole_body_stands_for_what_it_trains() {
        assert_eq!(thrice(&["thruster", "leg_curl", "row", "pulldown"]).said("SW128"), NONE);
    }

    #[test]
    fn less_than_half_a_set_stands_for_nothing() {
        let mut case = thrice(&["thruster", "leg_curl", "row", "pulldown"]);
        case.exercises[5].direct = vec![Muscle::Quads];
        case.exercises[5].half = vec![Muscle::FrontDelts];
        assert_eq!(case.said("SW128"), NONE);
        case.exercises[5].half.clear();
        case.exercises[5].quarter = vec![Muscle::FrontDelts];
        assert_eq!(case.said("SW128"), ERROR, "no press");
    }

    #[test]
    fn what_is_unwanted_or_off_the_focus_is_not_missed() {
        let case = thrice(&["squat", "hinge", "row", "pulldown"]);
        let low = [Muscle::Chest, Muscle::FrontDelts].into_iter();
        let unwanted = low.fold(case.clone(), |c, m| c.wish(m, |w| w.priority = Some(Priority::None)));
        assert_eq!(unwanted.said("SW128"), NONE);
        let focus = [Focus::Pull, Focus::Legs, Focus::Pull];
        assert_eq!(case.clone().brief(|b| b.style.focus = focus.to_vec()).said("SW128"), NONE);
        assert_eq!(case.brief(|b| b.exclude.patterns = vec![Pattern::HorizontalPress]).said("SW128"), NONE);
    }

    #[test]
    fn row_and_pull_from_above_stand_apart_when_there_is_time() {
        let minutes = |m| {
            let case = thrice(&["squat", "hinge", "press", "row"]);
            case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(m))).said("SW128")
        };
        assert_eq!((minutes(26.0), minutes(27.0)), (NONE, WARNING));
        let no_row = thrice(&["squat", "hinge", "press", "pulldown"]);
        assert_eq!(no_row.said("SW128"), WARNING);
        assert_eq!(no_row.brief(|b| b.exclude.patterns = vec![Pattern::HorizontalRow]).said("SW128"), NONE);
    }

    /// Two ordinary sessions and one without a squat.
    fn without(days: u32) -> Case {
        let full = ["squat", "hinge", "press", "row", "pulldown"];
        let blocks = |ids: &[&str]| ids.iter().map(|id| straight(sets(id, 3))).collect::<Vec<_>>();
        let case = Case::new(all()).day(1, blocks(&["hinge", "press", "row"]));
        (1..days).fold(case, |c, i| c.day(2 * i + 1, blocks(&full)))
    }

    #[test]
    fn a_session_called_whole_body_pulls_and_presses() {
        let week = |second: &[&str], focus: &str| {
            let blocks = |ids: &[&str]| ids.iter().map(|id| straight(sets(id, 3))).collect::<Vec<_>>();
            let full = ["squat", "hinge", "press", "row", "pulldown"];
            let mut case = Case::new(all()).day(1, blocks(&full)).day(4, blocks(second));
            case.programme.sessions[1].focus = focus.to_owned();
            case
        };
        let no_pull = ["squat", "hinge", "press"];
        assert_eq!(week(&no_pull, "whole body").said("SW128"), WARNING);
        assert_eq!(week(&no_pull, "").said("SW128"), NOTE, "only what is in it says so");
        assert_eq!(week(&["squat", "hinge", "row"], "whole body").said("SW128"), NOTE, "no press");
        assert_eq!(week(&["squat", "press", "row"], "whole body").said("SW128"), NONE);
        assert_eq!(week(&["squat", "hinge"], "lower").said("SW128"), NONE);
        let strong = week(&no_pull, "whole body").brief(|b| b.goal = Goal::Strength);
        assert_eq!(strong.said("SW128"), NONE);
        let short = |m: f64| {
            let case = week(&no_pull, "whole body");
            case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(m))).said("SW128")
        };
        assert_eq!((short(19.0), short(20.0)), (NONE, WARNING));
    }

    #[test]
    fn every_session_with_legs_bends_the_knees() {
        assert_eq!(without(3).said("SW128"), WARNING);
        assert_eq!(without(2).said("SW128"), ERROR, "with two sessions each has to");
        assert_eq!(without(3).brief(|b| b.body.age = Some(60)).said("SW128"), ERROR);
        assert_eq!(without(3).brief(|b| b.goal = Goal::Strength).said("SW128"), NONE);
        let mut upper = without(3);
        upper.programme.sessions[0].focus = "pull".to_owned();
        assert_eq!(upper.said("SW128"), NONE);
    }
}
