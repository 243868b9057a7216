//! The shape of a warm-up: which exercise of a session gets how many steps, of how many reps, with which nRM.
//!
//! Loads are made from these shapes by `loads` and `curve`; here nothing is weighed.

use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::pattern::{Region, Side};
use setwright_model::{Exercise, Pattern};

/// What warms what: the first lift of a family in a session is ramped, the next ones find it warm.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RampFamily {
    /// Presses and what belongs to them.
    Push,
    /// Pulls and what belongs to them.
    Pull,
    /// Squats and what belongs to them.
    Knee,
    /// Hinges and what belongs to them.
    Hip,
    /// Lifts of the whole body.
    Whole,
}

impl RampFamily {
    /// All families.
    pub const ALL: [RampFamily; 5] =
        [RampFamily::Push, RampFamily::Pull, RampFamily::Knee, RampFamily::Hip, RampFamily::Whole];

    /// The family of a pattern; trunk, calves and hip sides need no ramp.
    pub const fn of(pattern: Pattern) -> Option<Self> {
        match pattern.side() {
            Side::Push => Some(Self::Push),
            Side::Pull => Some(Self::Pull),
            Side::Knee => Some(Self::Knee),
            Side::Hip => Some(Self::Hip),
            Side::Whole => Some(Self::Whole),
            Side::Other => None,
        }
    }
}

/// The part an exercise plays in a session's warm-up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// The first lift of the session: the whole ramp.
    SessionLead,
    /// The main lift of a family that is not warm yet.
    FamilyLead,
    /// It opens the session before the main lift of its family: one easy step. Nobody then gets the whole ramp, so that the
    /// session takes no longer.
    Opener,
    /// The family is warm.
    Follower,
}

/// A step before it has a load: reps with the load that can be lifted `rm` times at most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StepShape {
    /// Reps of the step.
    pub reps: u32,
    /// The nRM whose load is used.
    pub rm: u32,
}

/// Twelve with the 30RM, eight with the 20RM, four with the 10RM (common practice, no source (T)).
pub const FULL_RAMP: [StepShape; 3] =
    [StepShape { reps: 12, rm: 30 }, StepShape { reps: 8, rm: 20 }, StepShape { reps: 4, rm: 10 }];
/// Before few heavy reps: lighter at first, more steps, fewer reps near the work load, about 0.45, 0.63, 0.78 and 0.88 of
/// it (common practice, no source (T)).
pub const HEAVY_RAMP: [StepShape; 4] = [
    StepShape { reps: 8, rm: 40 },
    StepShape { reps: 5, rm: 25 },
    StepShape { reps: 3, rm: 16 },
    StepShape { reps: 1, rm: 11 },
];
/// One easy set of about five before a second heavy lift for a warm muscle (common practice, no source (T)).
pub const EASY_FIVE: StepShape = StepShape { reps: 5, rm: 20 };
/// Sets of at most this many reps are heavy: another ramp, and an easy set on a warm muscle (judgement).
pub const HEAVY_REPS_MAX: f64 = 6.0;

/// Whether an exercise can be ramped at all: an outside load that can be made lighter, counted in reps; or weight on a
/// belt, before which the body alone is light.
pub fn can_ramp(exercise: &Exercise) -> bool {
    exercise.measure == Measure::Reps
        && RampFamily::of(exercise.pattern).is_some()
        && match exercise.load {
            LoadKind::Body | LoadKind::Band | LoadKind::Assisted | LoadKind::Single => false,
            LoadKind::BodyPlus => is_belted(exercise),
            _ => true,
        }
}

/// A press or pull of the body on which weight is hung.
pub(crate) fn is_belted(exercise: &Exercise) -> bool {
    exercise.load == LoadKind::BodyPlus
        && exercise.pattern.is_compound()
        && exercise.pattern.region() == Region::Upper
}

/// The steps for an exercise in a role. `mid_reps` are the reps of its work sets. `light` is for the first
/// weeks of training, when work loads are themselves light: one step for a lead is enough (judgement). A lift of one
/// joint leads a session only after compounds that have no ramp, and is spared the first step (judgement).
pub fn steps(exercise: &Exercise, role: Role, mid_reps: f64, light: bool) -> Vec<StepShape> {
    if !can_ramp(exercise) {
        return Vec::new();
    }
    if is_belted(exercise) {
        return if role == Role::Follower { Vec::new() } else { vec![EASY_FIVE] };
    }
    let compound = exercise.pattern.is_compound();
    let heavy = compound && mid_reps <= HEAVY_REPS_MAX;
    match role {
        Role::SessionLead | Role::FamilyLead if light => vec![FULL_RAMP[1]],
        Role::SessionLead if heavy => HEAVY_RAMP.to_vec(),
        Role::SessionLead if compound => FULL_RAMP.to_vec(),
        Role::SessionLead => FULL_RAMP[1..].to_vec(),
        Role::FamilyLead if heavy => HEAVY_RAMP[1..].to_vec(),
        Role::FamilyLead if compound => FULL_RAMP[1..].to_vec(),
        Role::FamilyLead => vec![FULL_RAMP[1]],
        Role::Opener if !light => vec![EASY_FIVE],
        Role::Follower if heavy => vec![EASY_FIVE],
        Role::Opener | Role::Follower => Vec::new(),
    }
}

/// Order of exercises within a session: big, skilled, taxing lifts first (Ratamess 2009, MSSE 41:687 (A)).
/// Smaller comes earlier. The lead of a family is its first exercise in this order.
pub fn rank(exercise: &Exercise) -> (u8, u8, u8, &str) {
    let late = u8::from(!exercise.pattern.is_compound());
    (late, 3 - exercise.systemic.min(3), 3 - exercise.skill.min(3), exercise.id.as_str())
}

/// The role of each exercise of a session, given in the order they are done. The lead of a family is its
/// first by [`rank`], wherever it stands; the lead of the session is the first lead in the order given, unless a lift of
/// more than one joint opens the session before the lead of its own family.
pub fn roles(exercises: &[&Exercise]) -> Vec<Role> {
    let mut roles = vec![Role::Follower; exercises.len()];
    for family in RampFamily::ALL {
        let lead = (0..exercises.len())
            .filter(|&i| can_ramp(exercises[i]) && RampFamily::of(exercises[i].pattern) == Some(family))
            .min_by_key(|&i| rank(exercises[i]));
        if let Some(i) = lead {
            roles[i] = Role::FamilyLead;
        }
    }
    let opens = |e: &Exercise| can_ramp(e) && e.pattern.is_compound() && e.systemic > 0;
    match (exercises.first(), roles.first_mut()) {
        (Some(first), Some(role)) if *role == Role::Follower && opens(first) => *role = Role::Opener,
        _ => {
            if let Some(lead) = roles.iter_mut().find(|r| **r == Role::FamilyLead) {
                *lead = Role::SessionLead;
            }
        }
    }
    roles
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;

    fn get(id: &str) -> &'static Exercise {
        builtin().get(&id.into()).unwrap()
    }

    fn roles_of(ids: &[&str]) -> Vec<Role> {
        roles(&ids.iter().map(|id| get(id)).collect::<Vec<_>>())
    }

    fn reps(steps: &[StepShape]) -> u32 {
        steps.iter().map(|s| s.reps).sum()
    }

    #[test]
    fn a_lift_that_opens_before_the_lead_of_its_family_gets_one_easy_step() {
        assert_eq!(roles_of(&["overhead_press", "bench_press"]), [Role::Opener, Role::FamilyLead]);
        assert_eq!(roles_of(&["bench_press", "overhead_press"]), [Role::SessionLead, Role::Follower]);
        assert_eq!(roles_of(&["pull_up", "barbell_row"]), [Role::Opener, Role::FamilyLead]);
        assert_eq!(roles_of(&["pull_up", "lat_pulldown"]), [Role::SessionLead, Role::Follower]);
        assert_eq!(roles_of(&["dumbbell_lateral_raise", "bench_press"]), [Role::Follower, Role::SessionLead]);
        assert_eq!(steps(get("overhead_press"), Role::Opener, 8.0, false), [EASY_FIVE]);
    }

    #[test]
    fn few_reps_get_more_and_shorter_steps_of_at_most_twenty_reps() {
        let squat = get("back_squat");
        assert_eq!(steps(squat, Role::SessionLead, 5.0, false), HEAVY_RAMP);
        assert_eq!(steps(squat, Role::SessionLead, 8.0, false), FULL_RAMP);
        assert!(reps(&HEAVY_RAMP) <= 20 && reps(&HEAVY_RAMP) < reps(&FULL_RAMP));
        assert!(HEAVY_RAMP.windows(2).all(|w| w[0].reps > w[1].reps && w[0].rm > w[1].rm));
    }

    #[test]
    fn who_opens_takes_no_longer_than_the_longer_ramp_of_the_first_lift() {
        for exercise in builtin().iter().filter(|e| can_ramp(e) && !is_belted(e) && e.pattern.is_compound()) {
            for mid_reps in [4.0, 8.0, 12.0] {
                let of = |role| steps(exercise, role, mid_reps, false);
                let longer = reps(&of(Role::SessionLead)) - reps(&of(Role::FamilyLead));
                assert!(reps(&of(Role::Opener)) <= longer, "{}", exercise.id);
                assert!(of(Role::Opener).len() <= of(Role::SessionLead).len() - of(Role::FamilyLead).len());
            }
            assert_eq!(
                steps(exercise, Role::Opener, 8.0, true),
                [],
                "nothing is kept for it in the first weeks"
            );
        }
    }

    #[test]
    fn the_body_alone_comes_before_a_belt_and_help_has_no_ramp() {
        assert_eq!(steps(get("pull_up"), Role::SessionLead, 6.0, false), [EASY_FIVE]);
        assert_eq!(steps(get("pull_up"), Role::Follower, 4.0, false), []);
        assert!(!can_ramp(get("assisted_pull_up")) && !can_ramp(get("press_up")));
        assert!(!can_ramp(get("chair_split_squat")), "a belt on the legs is no opener");
    }
}
