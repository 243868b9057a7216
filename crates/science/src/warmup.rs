//! The shape of a warm-up: which exercise of a session gets how many steps, of how many reps, with which nRM.
//!
//! Loads are made from these shapes by `loads` and `curve`; here nothing is weighed.

use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::pattern::Side;
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
/// One easy set of about five before a second heavy lift for a warm muscle (common practice, no source (T)).
pub const EASY_FIVE: StepShape = StepShape { reps: 5, rm: 20 };
/// Sets of at most this many reps are heavy enough for an easy set on a warm muscle (judgement).
pub const HEAVY_REPS_MAX: f64 = 6.0;

/// Whether an exercise can be ramped at all: an outside load that can be made lighter, counted in reps.
pub fn can_ramp(exercise: &Exercise) -> bool {
    exercise.measure == Measure::Reps
        && RampFamily::of(exercise.pattern).is_some()
        && !matches!(
            exercise.load,
            LoadKind::Body | LoadKind::BodyPlus | LoadKind::Band | LoadKind::Assisted | LoadKind::Single
        )
}

/// The steps for an exercise in a role. `mid_reps` are the reps of its work sets. `light` is for the first
/// weeks of training, when work loads are themselves light: one step for a lead is enough (judgement). A lift of one
/// joint leads a session only after compounds that have no ramp, and is spared the first step (judgement).
pub fn steps(exercise: &Exercise, role: Role, mid_reps: f64, light: bool) -> Vec<StepShape> {
    if !can_ramp(exercise) {
        return Vec::new();
    }
    let compound = exercise.pattern.is_compound();
    match role {
        Role::SessionLead | Role::FamilyLead if light => vec![FULL_RAMP[1]],
        Role::SessionLead if compound => FULL_RAMP.to_vec(),
        Role::SessionLead => FULL_RAMP[1..].to_vec(),
        Role::FamilyLead if compound => FULL_RAMP[1..].to_vec(),
        Role::FamilyLead => vec![FULL_RAMP[1]],
        Role::Follower if compound && mid_reps <= HEAVY_REPS_MAX => vec![EASY_FIVE],
        Role::Follower => Vec::new(),
    }
}

/// Order of exercises within a session: big, skilled, taxing lifts first (Ratamess 2009, MSSE 41:687 (A)).
/// Smaller comes earlier. The lead of a family is its first exercise in this order.
pub fn rank(exercise: &Exercise) -> (u8, u8, u8, &str) {
    let late = u8::from(!exercise.pattern.is_compound());
    (late, 3 - exercise.systemic.min(3), 3 - exercise.skill.min(3), exercise.id.as_str())
}

/// The role of each exercise of a session, given in the order they are done. The lead of a family is its
/// first by [`rank`], wherever it stands; the lead of the session is the first lead in the order given.
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
    if let Some(first) = roles.iter_mut().find(|r| **r == Role::FamilyLead) {
        *first = Role::SessionLead;
    }
    roles
}
