//! The numbers of what a coach would refuse to sign: ceilings, budgets and allowances by training age.
//!
//! They are values only. The planner builds them in; the check tests them with code of its own.

use crate::conditions::is_older;
use setwright_gym::catalogue::builtin;
use setwright_model::brief::{Brief, Ceiling, Goal, Priority, TrainingAge};
use setwright_model::exercise::LoadKind;
use setwright_model::limits::SESSIONS_MAX;
use setwright_model::{Exercise, FractionalSets, Hours, Muscle, Pattern};

/// What is still in a muscle from earlier sessions weighs this much against a new dose (judgement; chosen so
/// that two hard chest sessions a day apart do not fit and three moderate ones a week do).
pub const DEBT_WEIGHT: f64 = 1.5;
/// Strain of a session (dose plus weighted debt) that costs nothing (judgement, within 6.6's flattening).
pub const FREE_STRAIN_SETS: f64 = 6.0;
/// Curvature of the price of strain: at about 11 fractional sets a further set of a muscle brings next to
/// nothing in a session (flattening about 6 to 11 sets; from memory (m)).
pub const STRAIN_PRICE: f64 = 0.016;
/// A muscle counts as trained in a session from this dose on (judgement).
pub const TRAINED_SETS: f64 = 1.0;
/// Hours between the starts of two sessions within which they are neighbours for the spine (judgement).
pub const SPINE_GAP_H: f64 = 40.0;
/// Exercises whose contributions to one muscle both reach this compete in a block (judgement).
pub const COMPETING_CONTRIBUTION: f64 = 0.5;
/// The lesser side of a balance gets at least this share of the greater, over a cycle (judgement).
pub const BALANCE_SHARE: f64 = 0.6;
/// Sets by which the two sides of a balance may always differ (judgement).
pub const BALANCE_SLACK_SETS: f64 = 2.0;
/// A priority muscle may be trained by this many exercises of one pattern in a session (judgement).
pub const VARIANTS_FOR_PRIORITY: usize = 2;
/// Worth of the first, second, ... set of one exercise in a session (judgement: further sets are worth less).
pub const SET_WORTH: [f64; 5] = [1.0, 1.0, 1.0, 0.9, 0.8];
/// Price of one more exercise in a session, in points: it must earn its place (judgement).
pub const EXERCISE_PRICE: f64 = 0.06;
/// Worth of an exercise that stays in the session in which the programme before had it, in points: a change must
/// bring more than this (judgement: three times the price of an exercise, so that small gains change nothing).
pub const KEPT_WORTH: f64 = 0.15;
/// How much dearer an hour is to a client of ordinary ambitions, who came for the most in the least time (judgement).
pub const HOUR_GENERAL: f64 = 2.5;
/// Price of an hour of the client's time, in points, so that time is not spent for nothing (judgement).
pub const HOUR_PRICE: f64 = 0.15;

/// Sessions shorter than this hold about four movements, too few for every major muscle (judgement).
pub const SHORT_SESSION_MIN: f64 = 30.0;

/// Ceilings and allowances for one client.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Least and most work sets of an exercise in a session.
    pub sets: (u32, u32),
    /// Highest skill of an exercise.
    pub skill: u8,
    /// Ceiling of the strain of a muscle in a session.
    pub strain: FractionalSets,
    /// Ceiling of the sum of systemic cost times sets in a session.
    pub systemic: u32,
    /// Ceiling of the sum of spinal cost times sets in a session.
    pub spinal: u32,
    /// Ceiling of the sum of grip cost times sets in a session.
    pub grip: u32,
    /// Most spine-heavy exercises in a session.
    pub spine_heavy: u32,
    /// Most exercises in a session.
    pub exercises: u32,
    /// Whether two exercises for one muscle may stand in a block.
    pub same_muscle: bool,
    /// Whether a taxing lift may share a block with something light.
    pub taxing_may_share: bool,
    /// Whether every session must be whole-body.
    pub whole_body_only: bool,
    /// Least sessions a cycle that must reach every major muscle; all where there are fewer.
    pub major_sessions: u32,
}

impl Rules {
    /// The rules for a brief, by training age and goal. All values are judgement unless marked.
    pub fn of(brief: &Brief) -> Self {
        let base = match brief.training_age {
            TrainingAge::FirstWeeks => Self::first_weeks(),
            TrainingAge::Beginner if knows_a_bar(brief) => Self { spine_heavy: 2, ..Self::beginner() },
            TrainingAge::Beginner if is_idle(brief) => Self { sets: (2, 2), ..Self::beginner() },
            TrainingAge::Beginner => Self::beginner(),
            TrainingAge::Intermediate => Self::intermediate(),
            TrainingAge::Advanced => Self::advanced(),
        };
        let by_goal = match (brief.goal, brief.training_age) {
            (Goal::Strength, TrainingAge::Intermediate) => Self { taxing_may_share: false, skill: 3, ..base },
            _ => base,
        };
        let by_time = by_goal.in_minutes(brief);
        brief.style.step.map_or(by_time, |step| by_time.within(step))
    }

    /// The same for sessions too short to reach every major muscle: the movements have to do.
    fn in_minutes(self, brief: &Brief) -> Self {
        let each = (0..brief.time.sessions as usize).map(|s| brief.time.minutes.of(s).get());
        let short = each.fold(f64::INFINITY, f64::min) < SHORT_SESSION_MIN;
        let least = if short && !self.has_one_set_each() { 0 } else { self.major_sessions };
        Self { major_sessions: self.major_sessions.min(least), ..self }
    }

    /// The same narrowed by a step of a roadmap, never widened.
    fn within(self, step: Ceiling) -> Self {
        let most = self.sets.1.min(step.sets.1).max(self.sets.0);
        let least = self.sets.0.max(step.sets.0).min(most);
        Self { sets: (least, most), exercises: self.exercises.min(step.exercises), ..self }
    }

    /// One set of each of six movements, the whole body in every session (common practice, no source (T)).
    const fn first_weeks() -> Self {
        Self {
            sets: (1, 1),
            skill: 1,
            strain: FractionalSets(5.0),
            systemic: 12,
            spinal: 6,
            grip: 10,
            spine_heavy: 0,
            exercises: 6,
            same_muscle: false,
            taxing_may_share: true,
            whole_body_only: true,
            major_sessions: SESSIONS_MAX,
        }
    }

    /// Up to three sets of whole-body work; the ceilings are judgement.
    const fn beginner() -> Self {
        Self {
            sets: (2, 3),
            skill: 2,
            strain: FractionalSets(8.0),
            systemic: 24,
            spinal: 12,
            grip: 16,
            spine_heavy: 1,
            exercises: 12,
            same_muscle: false,
            taxing_may_share: true,
            whole_body_only: true,
            major_sessions: 2,
        }
    }

    /// From two sets on, focus free; the ceilings are judgement.
    const fn intermediate() -> Self {
        Self {
            sets: (2, 4),
            skill: 2,
            strain: FractionalSets(11.0),
            systemic: 36,
            spinal: 18,
            grip: 24,
            spine_heavy: 2,
            exercises: 14,
            same_muscle: false,
            taxing_may_share: true,
            whole_body_only: false,
            major_sessions: 2,
        }
    }

    /// Everything a lifter of years may be asked; the ceilings are judgement.
    const fn advanced() -> Self {
        Self {
            sets: (2, 5),
            skill: 3,
            strain: FractionalSets(13.0),
            systemic: 44,
            spinal: 22,
            grip: 28,
            spine_heavy: 2,
            exercises: 14,
            same_muscle: true,
            taxing_may_share: false,
            whole_body_only: false,
            major_sessions: 1,
        }
    }
}

impl Rules {
    /// Whether every exercise is done for one set, by whatever made the rules so: the first weeks of training, or a step of a
    /// roadmap. Who means the first weeks themselves asks the brief ([`setwright_model::brief::TrainingAge::is_first_weeks`]).
    pub const fn has_one_set_each(&self) -> bool {
        self.sets.1 == 1
    }
}

/// Whether the client has said to do nothing at present, told of no lift, and names no least for a muscle: two sets are a start
/// (Ratamess 2009, MSSE 41:687 (A): one to three sets for novices).
fn is_idle(brief: &Brief) -> bool {
    let wanted = brief.muscles.values().any(|w| w.least.is_some());
    brief.screening.active == Some(false) && brief.lifts.is_empty() && brief.locks.is_empty() && !wanted
}

/// Whether the client already squats or pulls with a bar: then a squat and a light hinge may stand in one session (common
/// practice, no source (T): beginners' programmes have both).
fn knows_a_bar(brief: &Brief) -> bool {
    let legs = |e: &Exercise| matches!(e.pattern, Pattern::Squat | Pattern::Hinge) && e.load == LoadKind::Bar;
    !is_older(brief) && brief.lifts.iter().any(|l| builtin().get(&l.exercise).is_some_and(legs))
}

/// Sets by which the two sides of a balance may differ: none in the first weeks, when a session holds one set of
/// each movement and must still reach the whole body (judgement).
pub fn balance_slack(rules: &Rules) -> f64 {
    if rules.has_one_set_each() { 0.0 } else { BALANCE_SLACK_SETS }
}

/// Whether two sessions are neighbours for the spine.
pub fn spine_neighbours(gap: Hours) -> bool {
    gap.get() < SPINE_GAP_H
}

/// How much each muscle's benefit counts, in the order of [`Muscle::ALL`] (judgement; far enough apart to be
/// seen in the sets: where the client came for one muscle, the others step back).
pub fn weights(brief: &Brief) -> [f64; Muscle::COUNT] {
    let priority = |m: Muscle| brief.muscles.get(&m).and_then(|w| w.priority);
    let came_for_one = Muscle::ALL.into_iter().any(|m| priority(m) == Some(Priority::Top));
    Muscle::ALL.map(|m| weight(priority(m), m, brief.goal, came_for_one))
}

/// Weight of one muscle (judgement).
fn weight(priority: Option<Priority>, muscle: Muscle, goal: Goal, came_for_one: bool) -> f64 {
    let usual = usual_weight(muscle, goal);
    match priority {
        Some(Priority::None) => 0.0,
        Some(Priority::Low) => 0.5 * usual,
        None | Some(Priority::Normal) if came_for_one => 0.75 * usual,
        None | Some(Priority::Normal) => usual,
        // What the client came for is a major group to them.
        Some(Priority::High) => 1.6 * usual.max(1.0),
        Some(Priority::Top) => 2.5 * usual.max(1.0),
    }
}

/// Weight of a muscle nobody spoke of (judgement): the major groups first, then what is seen, and more so where size is
/// the goal, then the rest.
fn usual_weight(muscle: Muscle, goal: Goal) -> f64 {
    match muscle {
        m if Muscle::MAJOR.contains(&m) => 1.0,
        Muscle::SideDelts if goal == Goal::Size => 0.8,
        Muscle::SideDelts | Muscle::RearDelts | Muscle::Calves => 0.6,
        _ => 0.2,
    }
}
