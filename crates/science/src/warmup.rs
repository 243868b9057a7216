//! The shape of a warm-up: which exercise of a session gets how many steps, of how many reps, with which nRM.
//!
//! Loads are made from these shapes by `loads` and `curve`; here nothing is weighed.

use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::pattern::{Region, Side};
use setwright_model::{Exercise, Kilograms, Pattern};

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
pub enum WarmUpRole {
    /// The first lift of the session: the whole ramp.
    SessionLead,
    /// The first lift of a family that is not warm yet.
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
/// Before a big lift whose muscles are warm already: at 0.6 and at 0.8 or so of the work load (common practice, no source
/// (T): the muscles are warm, the movement and the load are new to the day).
pub const OWN_RAMP: [StepShape; 2] = [StepShape { reps: 5, rm: 25 }, StepShape { reps: 3, rm: 14 }];
/// In the first weeks every movement is tried once with little before the set that counts (common practice, no source (T)).
pub const PRACTICE: StepShape = FULL_RAMP[1];
/// From this work load on a bar, a sled or a machine has a step of its own however warm the muscles are (common practice,
/// no source (T): about twice the empty bar).
pub const BIG_KG: f64 = 40.0;
/// From this work load on it has two, and a whole ramp starts lighter and is shorter (judgement: the steps are themselves
/// heavy).
pub const STRONG_KG: f64 = 100.0;
/// Up to this load in the hands one easy set is warm-up enough (common practice, no source (T)).
pub const LIGHT_BELL_KG: f64 = 20.0;
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

/// The steps for an exercise in a role. `mid_reps` are the reps of its work sets, `load` what they are done with, where
/// that is known. `learns` is for the first weeks of training: every movement has a set of practice and none a longer ramp,
/// for the work loads are themselves light (judgement). A lift of one joint leads a session only after compounds that have no ramp, and is spared the first
/// step (judgement).
pub fn steps(
    exercise: &Exercise,
    role: WarmUpRole,
    mid_reps: f64,
    learns: bool,
    load: Option<Kilograms>,
) -> Vec<StepShape> {
    if !can_ramp(exercise) {
        return Vec::new();
    }
    if is_belted(exercise) {
        return if role == WarmUpRole::Follower { Vec::new() } else { vec![EASY_FIVE] };
    }
    if learns {
        return vec![PRACTICE];
    }
    let compound = exercise.pattern.is_compound();
    let heavy = compound && mid_reps <= HEAVY_REPS_MAX;
    match role {
        WarmUpRole::SessionLead | WarmUpRole::FamilyLead if is_light_bell(exercise, load) => {
            vec![FULL_RAMP[1]]
        }
        WarmUpRole::SessionLead if heavy => HEAVY_RAMP.to_vec(),
        WarmUpRole::SessionLead if compound => FULL_RAMP.to_vec(),
        WarmUpRole::SessionLead => FULL_RAMP[1..].to_vec(),
        WarmUpRole::FamilyLead if heavy => HEAVY_RAMP[1..].to_vec(),
        WarmUpRole::FamilyLead if compound => FULL_RAMP[1..].to_vec(),
        WarmUpRole::FamilyLead => vec![FULL_RAMP[1]],
        WarmUpRole::Follower => own_steps(exercise, heavy, load),
    }
}

/// What is held in the hands and no heavier than one easy set prepares for.
pub fn is_light_bell(exercise: &Exercise, load: Option<Kilograms>) -> bool {
    let held = matches!(
        exercise.load,
        LoadKind::Dumbbell | LoadKind::DumbbellPair | LoadKind::Kettlebell | LoadKind::KettlebellPair
    );
    held && load.is_some_and(|l| l.get() <= LIGHT_BELL_KG)
}

/// Whether a lift is big enough for a step of its own on warm muscles.
pub fn is_big(exercise: &Exercise, load: Option<Kilograms>) -> bool {
    let held = matches!(
        exercise.load,
        LoadKind::Dumbbell | LoadKind::DumbbellPair | LoadKind::Kettlebell | LoadKind::KettlebellPair
    );
    exercise.pattern.is_compound()
        && exercise.systemic > 0
        && !held
        && load.is_some_and(|l| l.get() >= BIG_KG)
}

/// The steps on warm muscles.
fn own_steps(exercise: &Exercise, heavy: bool, load: Option<Kilograms>) -> Vec<StepShape> {
    match is_big(exercise, load) {
        true if load.is_some_and(|l| l.get() >= STRONG_KG) => OWN_RAMP.to_vec(),
        true => vec![EASY_FIVE],
        false if heavy && !is_light_bell(exercise, load) => vec![EASY_FIVE],
        false => Vec::new(),
    }
}

/// Order of exercises within a session: big, skilled, taxing lifts first (Ratamess 2009, MSSE 41:687 (A)).
/// Smaller comes earlier.
pub fn rank(exercise: &Exercise) -> (u8, u8, u8, &str) {
    let late = u8::from(!exercise.pattern.is_compound());
    (late, 3 - exercise.systemic.min(3), 3 - exercise.skill.min(3), exercise.id.as_str())
}

/// The role of each exercise of a session, given in the order they are done. The lead of a family is its first compound
/// that can be ramped, and where there is none its first lift that can; the lead of the session is the first lead.
pub fn roles(exercises: &[&Exercise]) -> Vec<WarmUpRole> {
    let mut roles = vec![WarmUpRole::Follower; exercises.len()];
    for family in RampFamily::ALL {
        let own = |e: &&Exercise| can_ramp(e) && RampFamily::of(e.pattern) == Some(family);
        let compound = exercises.iter().position(|e| own(e) && e.pattern.is_compound());
        if let Some(i) = compound.or_else(|| exercises.iter().position(own)) {
            roles[i] = WarmUpRole::FamilyLead;
        }
    }
    if let Some(lead) = roles.iter_mut().find(|r| **r == WarmUpRole::FamilyLead) {
        *lead = WarmUpRole::SessionLead;
    }
    roles
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_gym::catalogue::builtin;

    fn get(id: &str) -> &'static Exercise {
        builtin().get(&id.into()).unwrap()
    }

    fn roles_of(ids: &[&str]) -> Vec<WarmUpRole> {
        roles(&ids.iter().map(|id| get(id)).collect::<Vec<_>>())
    }

    fn reps(steps: &[StepShape]) -> u32 {
        steps.iter().map(|s| s.reps).sum()
    }

    #[test]
    fn the_first_compound_of_a_family_is_ramped_whichever_it_is() {
        assert_eq!(
            roles_of(&["overhead_press", "bench_press"]),
            [WarmUpRole::SessionLead, WarmUpRole::Follower]
        );
        assert_eq!(
            roles_of(&["bench_press", "overhead_press"]),
            [WarmUpRole::SessionLead, WarmUpRole::Follower]
        );
        assert_eq!(roles_of(&["pull_up", "lat_pulldown"]), [WarmUpRole::SessionLead, WarmUpRole::Follower]);
        assert_eq!(
            roles_of(&["dumbbell_lateral_raise", "bench_press"]),
            [WarmUpRole::Follower, WarmUpRole::SessionLead]
        );
        let pair = ["bench_press", "dumbbell_row", "lat_pulldown"];
        assert_eq!(roles_of(&pair), [WarmUpRole::SessionLead, WarmUpRole::FamilyLead, WarmUpRole::Follower]);
        assert_eq!(roles_of(&["hammer_curl"]), [WarmUpRole::SessionLead]);
    }

    #[test]
    fn a_big_lift_has_steps_of_its_own_however_warm_the_muscles_are() {
        let of = |id: &str, reps: f64, kg: f64| {
            steps(get(id), WarmUpRole::Follower, reps, false, Some(Kilograms(kg))).len()
        };
        assert_eq!((of("leg_press", 10.0, 39.0), of("leg_press", 10.0, 40.0)), (0, 1));
        assert_eq!((of("leg_press", 10.0, 99.0), of("leg_press", 10.0, 100.0)), (1, 2));
        assert_eq!(of("leg_extension", 10.0, 100.0), 0, "one joint");
        assert_eq!(of("dumbbell_bench_press", 10.0, 45.0), 0, "held in the hands");
        assert!(steps(get("leg_press"), WarmUpRole::Follower, 10.0, false, None).is_empty(), "found by feel");
    }

    #[test]
    fn bells_of_up_to_twenty_kilograms_get_one_easy_set() {
        let of = |role, kg: f64| steps(get("dumbbell_row"), role, 10.0, false, Some(Kilograms(kg)));
        assert_eq!(of(WarmUpRole::SessionLead, 20.0), [FULL_RAMP[1]]);
        assert_eq!(of(WarmUpRole::SessionLead, 22.5), FULL_RAMP);
        assert_eq!(of(WarmUpRole::Follower, 20.0), []);
        let bench = get("bench_press");
        assert_eq!(steps(bench, WarmUpRole::SessionLead, 10.0, false, Some(Kilograms(20.0))), FULL_RAMP);
    }

    #[test]
    fn who_is_new_tries_every_movement_once() {
        for role in [WarmUpRole::SessionLead, WarmUpRole::FamilyLead, WarmUpRole::Follower] {
            assert_eq!(steps(get("leg_press"), role, 12.0, true, Some(Kilograms(120.0))), [PRACTICE]);
            assert!(steps(get("press_up"), role, 12.0, true, None).is_empty(), "nothing lighter can be made");
        }
    }

    #[test]
    fn few_reps_get_more_and_shorter_steps_of_at_most_twenty_reps() {
        let squat = get("back_squat");
        assert_eq!(steps(squat, WarmUpRole::SessionLead, 5.0, false, None), HEAVY_RAMP);
        assert_eq!(steps(squat, WarmUpRole::SessionLead, 8.0, false, None), FULL_RAMP);
        assert!(reps(&HEAVY_RAMP) <= 20 && reps(&HEAVY_RAMP) < reps(&FULL_RAMP));
        assert!(HEAVY_RAMP.windows(2).all(|w| w[0].reps > w[1].reps && w[0].rm > w[1].rm));
    }

    #[test]
    fn the_body_alone_comes_before_a_belt_and_help_has_no_ramp() {
        assert_eq!(steps(get("pull_up"), WarmUpRole::SessionLead, 6.0, false, None), [EASY_FIVE]);
        assert_eq!(steps(get("pull_up"), WarmUpRole::Follower, 4.0, false, None), []);
        assert!(!can_ramp(get("assisted_pull_up")) && !can_ramp(get("press_up")));
        assert!(!can_ramp(get("chair_split_squat")), "a belt on the legs is no opener");
    }
}
