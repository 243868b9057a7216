//! Which norm speaks for which exercise, and how: the strength in an exercise as a share of the strength of a family.
//!
//! All of it is judgement where no source is named: the movements that were measured are few. An exercise of which
//! nothing can be said (the trunk, holds, carries, bands without the body) has no measure.

use super::norms::Family;
use setwright_gym::catalogue::builtin;
use setwright_model::exercise::{LoadKind, Measure as Counted};
use setwright_model::{Exercise, ExerciseId, Pattern};

/// Most anchors that are followed from an exercise (judgement: as many as the catalogue sets over one another).
pub const ANCHORS_MAX: usize = 4;

/// Strength in an exercise, in its own unit and with the share of the body that it lifts:
/// body mass x `ratio` x (strength of the family in body masses + `body`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Measure {
    pub family: Family,
    pub ratio: f64,
    /// Body masses that are lifted besides what the family counts.
    pub body: f64,
    /// Spread that the step from the family to the exercise adds, in logarithm.
    pub sd: f64,
}

/// The movement itself (numeric).
const SAME: f64 = 0.0;
/// A variant: another tool, grip or angle of the movement that was measured (judgement).
const VARIANT: f64 = 0.15;
/// Another movement (judgement).
const OTHER: f64 = 0.25;

/// Share of body mass that a squat moves besides the bar (judgement: all but the shanks and feet).
const SQUAT_BODY: f64 = 0.88;
/// Deadlift as a share of the squat: 3.25 / 2.83 and 2.66 / 2.26 at the 90th percentile (van den Hoek 2024 (A); the
/// lesser of the two (D)).
const PULL_OF_SQUAT: f64 = 1.15;
/// What a further grade of skill takes from the strength that comes through, in logarithm (judgement).
const PER_SKILL: f64 = 0.1;
/// Lowering is stronger than lifting (Hollander 2007, JSCR 21:34 (m): by a fifth to a half).
const LOWERING: f64 = 1.3;
/// From this many seconds a rep on, a pull of the body alone is only lowered (judgement).
const LOWERING_S: f64 = 5.0;

/// The measure of an exercise; none when nothing can be said.
pub(crate) fn measure(exercise: &Exercise) -> Option<Measure> {
    if exercise.measure != Counted::Reps {
        return None;
    }
    if exercise.body_share.get() > 0.0 {
        return of_body(exercise);
    }
    if exercise.load == LoadKind::Band {
        return None;
    }
    of_load(exercise)
}

/// Measure of a movement of the body (judgement: each figure sets a well-known movement right. A press-up with one arm
/// takes nearly twice the strength, a deep squat on one leg is rare, a step up is not; the leg that lets the body down
/// with straight hips fails most people; a calf lifts the body a dozen times or two).
fn of_body(exercise: &Exercise) -> Option<Measure> {
    let arm = if exercise.unilateral { 0.55 } else { 1.0 };
    let upper = |family, ratio: f64, usual: u8, sd| {
        let skill = f64::from(exercise.skill.saturating_sub(usual));
        Some(Measure { family, ratio: ratio * arm * libm::exp(-PER_SKILL * skill), body: 0.0, sd })
    };
    let legs = |both: f64, one: f64| {
        let (ratio, sd) = if exercise.unilateral { (one, OTHER) } else { (both, VARIANT) };
        Some(Measure { family: Family::Squat, ratio, body: SQUAT_BODY, sd })
    };
    match exercise.pattern {
        Pattern::HorizontalPress | Pattern::InclinePress => upper(Family::PressUp, 1.0, 1, SAME),
        Pattern::VerticalPress => upper(Family::PressUp, 0.75, 2, OTHER),
        Pattern::Dip => upper(Family::PressUp, 1.0, 2, VARIANT),
        Pattern::ElbowExtension => upper(Family::PressUp, 0.6, 2, OTHER),
        Pattern::ChestFly => upper(Family::PressUp, 0.55, 2, OTHER),
        Pattern::VerticalPull if is_lowering(exercise) => upper(Family::PullUp, LOWERING, 1, VARIANT),
        Pattern::VerticalPull => upper(Family::PullUp, 1.0, 2, SAME),
        Pattern::HorizontalRow => upper(Family::Row, 1.1, 1, VARIANT),
        Pattern::ElbowFlexion | Pattern::RearFly => upper(Family::Row, 0.6, 2, OTHER),
        Pattern::WholeBody if exercise.curve == setwright_model::exercise::CurveFamily::Upper => {
            upper(Family::PullUp, 0.8, 2, OTHER)
        }
        Pattern::WholeBody => upper(Family::PressUp, 1.2, 1, OTHER),
        Pattern::Squat => legs(1.0, 0.4),
        Pattern::Lunge => legs(0.72, 0.72),
        Pattern::Hinge => legs(0.9, 0.45),
        Pattern::HipExtension => legs(0.7, 0.35),
        Pattern::KneeExtension => legs(0.35, 0.2),
        Pattern::KneeFlexion => legs(0.28, 0.14),
        Pattern::CalfRaise => legs(1.6, 0.8),
        Pattern::BackExtension => legs(0.5, 0.25),
        _ => None,
    }
}

fn is_lowering(exercise: &Exercise) -> bool {
    exercise.load == LoadKind::Body && exercise.seconds_per_rep.get() >= LOWERING_S
}

/// Measure of an outside load, over the catalogue's anchors.
fn of_load(exercise: &Exercise) -> Option<Measure> {
    let (root, share) = root(exercise)?;
    let bare = |family, ratio, sd| Measure { family, ratio, body: 0.0, sd };
    let near = |hub: &str| if exercise.id.as_str() == hub { SAME } else { VARIANT };
    // The exercise that a table was made on is the table; its neighbours go by their shares beside it.
    let of_hub = |family, hub: &str| {
        let (same, hub_share) = builtin().get(&hub.into()).and_then(self::root)?;
        (same == root).then(|| bare(family, share / hub_share, near(hub)))
    };
    let of_root = |family, ratio: f64, pattern| {
        let sd = if exercise.pattern == pattern { near(root.as_str()) } else { OTHER };
        bare(family, ratio, sd)
    };
    Some(match root.as_str() {
        "bench_press" => match exercise.pattern {
            Pattern::VerticalPull => of_hub(Family::Pulldown, "lat_pulldown")?,
            Pattern::HorizontalRow => of_hub(Family::Row, "seated_cable_row")?,
            _ => of_root(Family::Bench, share, Pattern::HorizontalPress),
        },
        "back_squat" if exercise.pattern == Pattern::LegPress => {
            of_hub(Family::LegPress, "seated_leg_press")?
        }
        "back_squat" => of_root(Family::Squat, share, Pattern::Squat),
        "deadlift" => Measure { sd: OTHER, ..of_root(Family::Squat, share * PULL_OF_SQUAT, Pattern::Hinge) },
        _ => return None,
    })
}

/// The lift at the end of the anchors, and the share of it.
fn root(exercise: &Exercise) -> Option<(ExerciseId, f64)> {
    let (mut id, mut share) = (exercise.id.clone(), 1.0);
    let mut anchor = exercise.anchor.as_ref();
    for _ in 0..ANCHORS_MAX {
        let Some(step) = anchor else { break };
        share *= step.share.get();
        id = step.lift.clone();
        anchor = builtin().get(&id).and_then(|e| e.anchor.as_ref());
    }
    (share > 0.0 && share.is_finite()).then_some((id, share))
}
