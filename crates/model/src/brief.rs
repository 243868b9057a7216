//! The brief: what a client brings. Goal, time, equipment, limits, a few lifts, and what the coach has fixed.

use crate::exercise::{Ask, ExerciseId};
use crate::muscle::Muscle;
use crate::pattern::Pattern;
use crate::programme::Programme;
use crate::station::Station;
use crate::units::{FractionalSets, Kilograms, Minutes, Pounds, Share};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

pub use crate::person::{Aim, Condition, Hurts, Present, Sport, Tick};

/// What the training is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Goal {
    /// Health, some muscle, some strength.
    General,
    /// Muscle size.
    Size,
    /// Strength in the big lifts.
    Strength,
}

/// How long the client has trained.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TrainingAge {
    /// The first weeks: whole-body sessions, one set of each movement.
    FirstWeeks,
    /// Under about six months.
    Beginner,
    /// Up to a few years.
    Intermediate,
    /// Years of steady training.
    Advanced,
}

impl TrainingAge {
    /// Whether these are the first weeks of training, in which everything is lighter and done once.
    pub const fn is_first_weeks(self) -> bool {
        matches!(self, Self::FirstWeeks)
    }
}

/// How much a muscle matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Priority {
    /// Counts for nothing; trained only in passing.
    None,
    /// Kept as it is.
    Low,
    /// The rule.
    Normal,
    /// Should grow.
    High,
    /// What the client came for.
    Top,
}

/// What a session may be made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Focus {
    /// Everything.
    WholeBody,
    /// Arms, shoulders, chest, back, trunk.
    Upper,
    /// Hips, legs, trunk.
    Lower,
    /// Presses and what helps them.
    Push,
    /// Pulls and what helps them.
    Pull,
    /// Legs (the same as lower, without the trunk).
    Legs,
}

/// Time: how many days, which, how long.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Time {
    /// Days until the programme repeats (5 to 14; 7 when not given).
    #[serde(default = "seven")]
    pub cycle_days: u32,
    /// Sessions in a cycle.
    pub sessions: u32,
    /// Minutes of a session: one number for all, or one for each session in order.
    pub minutes: MinutesPerSession,
    /// Days of the cycle (from 1) on which the sessions are, when they are fixed.
    #[serde(default)]
    pub days: Vec<u32>,
    /// Days of the cycle (from 1) that are possible, when the planner may choose. All when neither is given.
    #[serde(default)]
    pub possible_days: Vec<u32>,
    /// The gym is busy then: a block must not hold two stations.
    #[serde(default)]
    pub busy: bool,
    /// The client or the room is cold: five brisk minutes come first.
    #[serde(default)]
    pub cold: bool,
    /// The sessions are early in the morning, within about an hour of getting up.
    #[serde(default)]
    pub early: bool,
}

impl Time {
    /// So many sessions a week of so many minutes each, on any days.
    pub const fn weekly(sessions: u32, minutes: Minutes) -> Self {
        Self {
            cycle_days: seven(),
            sessions,
            minutes: MinutesPerSession::Same(minutes),
            days: Vec::new(),
            possible_days: Vec::new(),
            busy: false,
            cold: false,
            early: false,
        }
    }
}

const fn seven() -> u32 {
    7
}

/// One number of minutes for all sessions, or one each.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum MinutesPerSession {
    /// The same for all.
    Same(Minutes),
    /// One each, in order.
    Each(Vec<Minutes>),
}

impl MinutesPerSession {
    /// Minutes of session `index` (from 0).
    pub fn of(&self, index: usize) -> Minutes {
        match self {
            Self::Same(m) => *m,
            Self::Each(list) => list.get(index).or(list.last()).copied().unwrap_or(Minutes::ZERO),
        }
    }
}

/// Sex, as far as norms of strength are published by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Sex {
    /// Female.
    Female,
    /// Male.
    Male,
}

/// Who the client is, as far as training needs it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// Age in years.
    #[serde(default)]
    pub age: Option<u32>,
    /// Body mass.
    #[serde(default)]
    pub mass_kg: Option<Kilograms>,
    /// Height in metres.
    #[serde(default)]
    pub height_m: Option<f64>,
    /// Sex, for norms of strength alone; both are reckoned with when it is not given.
    #[serde(default)]
    pub sex: Option<Sex>,
}

/// A ready-made list of stations.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// Nothing but the floor, a chair and a step.
    Bare,
    /// Home with dumbbells, bands and a bench or chair.
    HomeDumbbells,
    /// A garage: rack, bar, bench, dumbbells, pull-up bar.
    Garage,
    /// Everything.
    #[default]
    FullGym,
}

/// What can be trained with.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Equipment {
    /// Where the list starts from.
    #[serde(default)]
    pub place: Place,
    /// Stations there besides.
    #[serde(default)]
    pub also: Vec<Station>,
    /// Stations that are not there.
    #[serde(default)]
    pub without: Vec<Station>,
    /// The bar.
    #[serde(default)]
    pub bar_kg: Option<Kilograms>,
    /// Discs and how many pairs of each: `{ "20" = 4, "2.5" = 1 }`.
    #[serde(default)]
    pub disc_pairs: BTreeMap<String, u32>,
    /// Dumbbells there are, one number each.
    #[serde(default)]
    pub dumbbells_kg: Vec<Kilograms>,
    /// Kettlebells there are, one number each: two of a weight stand in it twice.
    #[serde(default)]
    pub kettlebells_kg: Vec<Kilograms>,
    /// Step of the machine stacks.
    #[serde(default)]
    pub stack_step_kg: Option<Kilograms>,
    /// The bar, in pounds.
    #[serde(default)]
    pub bar_lb: Option<Pounds>,
    /// Discs in pounds and how many pairs of each: `{ "45" = 4, "2.5" = 1 }`.
    #[serde(default)]
    pub disc_pairs_lb: BTreeMap<String, u32>,
    /// Dumbbells in pounds there are, one number each.
    #[serde(default)]
    pub dumbbells_lb: Vec<Pounds>,
    /// Kettlebells in pounds there are, one number each: two of a weight stand in it twice.
    #[serde(default)]
    pub kettlebells_lb: Vec<Pounds>,
    /// Step of the machine stacks, in pounds.
    #[serde(default)]
    pub stack_step_lb: Option<Pounds>,
}

/// What a muscle is to get.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MuscleWish {
    /// How much it matters.
    #[serde(default)]
    pub priority: Option<Priority>,
    /// Least fractional sets a week.
    #[serde(default)]
    pub least: Option<FractionalSets>,
    /// Most fractional sets a week.
    #[serde(default)]
    pub most: Option<FractionalSets>,
    /// Least sessions a cycle that train it.
    #[serde(default)]
    pub sessions: Option<u32>,
    /// Hours the muscle needs after a usual session, when the coach knows better than the default.
    #[serde(default)]
    pub recovery_h: Option<f64>,
}

/// A set that was lifted. A file may give its load in pounds instead, as `load_lb`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "LiftAsWritten")]
pub struct Lift {
    /// Which exercise.
    pub exercise: ExerciseId,
    /// With what load.
    pub load_kg: Kilograms,
    /// How many reps.
    pub reps: u32,
    /// Reps left in reserve.
    #[serde(default)]
    pub rir: u32,
}

/// A lift as a file has it.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "Lift")]
struct LiftAsWritten {
    /// Which exercise.
    exercise: ExerciseId,
    /// With what load; this or `load_lb`.
    #[serde(default)]
    load_kg: Option<Kilograms>,
    /// With what load in pounds.
    #[serde(default)]
    load_lb: Option<Pounds>,
    /// How many reps.
    reps: u32,
    /// Reps left in reserve.
    #[serde(default)]
    rir: u32,
}

impl TryFrom<LiftAsWritten> for Lift {
    type Error = String;

    fn try_from(lift: LiftAsWritten) -> Result<Self, String> {
        let load_kg = match (lift.load_kg, lift.load_lb) {
            (Some(kg), None) => kg,
            (None, Some(lb)) => lb.to_kg(),
            (None, None) => return Err("missing field `load_kg`".to_owned()),
            (Some(_), Some(_)) => return Err("load_kg and load_lb, expected one of the two".to_owned()),
        };
        Ok(Self { exercise: lift.exercise, load_kg, reps: lift.reps, rir: lift.rir })
    }
}

/// What was tried without a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TestKind {
    /// Press-ups on the toes, without a pause.
    PressUps,
    /// Press-ups on the knees, without a pause.
    KneePressUps,
    /// Pull-ups or chin-ups from a hang.
    PullUps,
    /// A plank on the forearms, in seconds.
    Plank,
    /// Rises from a chair in 30 seconds, arms crossed.
    ChairRises,
}

/// A test of what the client can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Test {
    /// What was tried.
    pub what: TestKind,
    /// How many, or how many seconds; 0 when not one was possible.
    pub count: u32,
}

/// Something the coach has fixed; the planner works around it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lock {
    /// Which exercise.
    pub exercise: ExerciseId,
    /// In which session (from 1); anywhere when not given.
    #[serde(default)]
    pub session: Option<u32>,
    /// How many sets; free when not given.
    #[serde(default)]
    pub sets: Option<u32>,
    /// The exercise it alternates with; free when not given.
    #[serde(default)]
    pub with: Option<ExerciseId>,
}

/// What must not be asked of the client.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Exclude {
    /// Single exercises.
    #[serde(default)]
    pub exercises: Vec<ExerciseId>,
    /// Everything that asks this of the joints.
    #[serde(default)]
    pub asks: Vec<Ask>,
    /// Whole patterns.
    #[serde(default)]
    pub patterns: Vec<Pattern>,
    /// Everything that trains these muscles directly.
    #[serde(default)]
    pub muscles: Vec<Muscle>,
}

/// Answers to the questions before training (evidence section 10).
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Screening {
    /// Planned exercise, at least 30 minutes at moderate effort, three days a week, for the last three months.
    #[serde(default)]
    pub active: Option<bool>,
    /// A known disease of heart, vessels, metabolism or kidneys.
    #[serde(default)]
    pub known_disease: Option<bool>,
    /// Any of the warning signs.
    #[serde(default)]
    pub signs: Option<bool>,
    /// Pain, pregnancy, a recent operation, or anything else outside the rules.
    #[serde(default)]
    pub other: Option<bool>,
    /// A clinician has cleared the client for this training.
    #[serde(default)]
    pub cleared: Option<bool>,
}

/// How the planner may work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Style {
    /// Whether unrelated exercises may alternate.
    #[serde(default = "yes")]
    pub alternate: bool,
    /// The focus of each session in order; the planner chooses when not given.
    #[serde(default)]
    pub focus: Vec<Focus>,
    /// Gap at which the search may stop.
    #[serde(default)]
    pub tolerance: Option<Share>,
    /// The programme that this one follows: what need not change is kept. Handed in by whoever plans, never part of
    /// a brief's file.
    #[serde(skip)]
    pub before: Option<Programme>,
    /// What a step of a roadmap narrows the rules of the training age to. Handed in by whoever plans a roadmap, never
    /// part of a brief's file.
    #[serde(skip)]
    pub step: Option<Ceiling>,
}

/// How much a session of a roadmap's step may hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ceiling {
    /// Least and most sets of an exercise.
    pub sets: (u32, u32),
    /// Most exercises of a session.
    pub exercises: u32,
}

const fn yes() -> bool {
    true
}

impl Default for Style {
    fn default() -> Self {
        Self { alternate: true, focus: Vec::new(), tolerance: None, before: None, step: None }
    }
}

/// A client's brief.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Brief {
    /// What the client is called.
    pub name: String,
    /// A sentence for people.
    #[serde(default)]
    pub about: String,
    /// What the training is for.
    pub goal: Goal,
    /// How long the client has trained.
    pub training_age: TrainingAge,
    /// What the client wants to be able to do. Left out where there is none: a brief of before is written as it was.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub aims: Vec<Aim>,
    /// Conditions that a clinician has named. The clinician's word comes before anything that is made of them.
    #[serde(default)]
    pub conditions: Vec<Condition>,
    /// Movements of everyday life that hurt.
    #[serde(default)]
    pub hurts: Vec<Hurts>,
    /// What was tried and can be done.
    #[serde(default)]
    pub can: Vec<Tick>,
    /// What was tried and cannot be done, or surely cannot.
    #[serde(default)]
    pub cannot: Vec<Tick>,
    /// Whether nobody is there to take the bar (`true`) or somebody is (`false`).
    #[serde(default)]
    pub alone: Option<bool>,
    /// What the place is called where the client trains.
    #[serde(default)]
    pub gym: String,
    /// Time.
    pub time: Time,
    /// The week as it is now.
    #[serde(default)]
    pub present: Present,
    /// A sport beside the training.
    #[serde(default)]
    pub sport: Sport,
    /// The body.
    #[serde(default)]
    pub body: Body,
    /// What there is to train with.
    #[serde(default)]
    pub equipment: Equipment,
    /// What single muscles are to get.
    #[serde(default)]
    pub muscles: BTreeMap<Muscle, MuscleWish>,
    /// What was lifted lately.
    #[serde(default, rename = "lift")]
    pub lifts: Vec<Lift>,
    /// What was tried.
    #[serde(default, rename = "test")]
    pub tests: Vec<Test>,
    /// What the coach has fixed.
    #[serde(default, rename = "lock")]
    pub locks: Vec<Lock>,
    /// What must not be asked.
    #[serde(default)]
    pub exclude: Exclude,
    /// Answers before training.
    #[serde(default)]
    pub screening: Screening,
    /// How the planner may work.
    #[serde(default)]
    pub style: Style,
}

impl Brief {
    /// A brief that says only what every brief must.
    pub fn new(name: &str, goal: Goal, training_age: TrainingAge, time: Time) -> Self {
        Self {
            name: name.to_owned(),
            about: String::new(),
            goal,
            training_age,
            aims: Vec::new(),
            conditions: Vec::new(),
            hurts: Vec::new(),
            can: Vec::new(),
            cannot: Vec::new(),
            alone: None,
            gym: String::new(),
            time,
            present: Present::default(),
            sport: Sport::default(),
            body: Body::default(),
            equipment: Equipment::default(),
            muscles: BTreeMap::new(),
            lifts: Vec::new(),
            tests: Vec::new(),
            locks: Vec::new(),
            exclude: Exclude::default(),
            screening: Screening::default(),
            style: Style::default(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lift(json: &str) -> Result<Lift, String> {
        serde_json::from_str(json).map_err(|e| e.to_string())
    }

    #[test]
    fn a_lift_is_told_in_kilograms_or_in_pounds_and_not_in_both() {
        let kg = lift(r#"{ "exercise": "bench_press", "load_kg": 100, "reps": 5 }"#).unwrap();
        assert_eq!(kg.load_kg, Kilograms(100.0));
        let lb = lift(r#"{ "exercise": "bench_press", "load_lb": 225, "reps": 5, "rir": 1 }"#).unwrap();
        assert_eq!(lb.load_kg, Kilograms::from_lb(225.0));
        let both = lift(r#"{ "exercise": "bench_press", "load_kg": 100, "load_lb": 225, "reps": 5 }"#);
        assert!(both.unwrap_err().contains("one of the two"));
        let neither = lift(r#"{ "exercise": "bench_press", "reps": 5 }"#);
        assert!(neither.unwrap_err().contains("missing field `load_kg`"));
        let slip = lift(r#"{ "exercise": "bench_press", "lode": 5, "reps": 5 }"#);
        assert!(slip.unwrap_err().contains("unknown field"));
    }

    #[test]
    fn a_lift_in_pounds_reads_the_same_after_writing() {
        let lb = lift(r#"{ "exercise": "bench_press", "load_lb": 225, "reps": 5 }"#).unwrap();
        assert_eq!(lift(&serde_json::to_string(&lb).unwrap()), Ok(lb));
    }
}
