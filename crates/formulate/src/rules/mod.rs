//! What a coach would ask of a programme, one rule a file.
//!
//! A rule says which exercises, ways and pairs it forbids, what it counts over a session and over the cycle, and what it
//! pays or charges. [`RULES`] is the one list that puts them together. The search and the bound know none of them by
//! name: they see what is allowed, what is counted ([`Count`]) and what it is worth, so that a rule costs them nothing
//! but its sums. The check judges the same rules from their words, in files of the same names, and `docs/models.md` has
//! a section for each.

pub mod ability;
pub mod aims;
pub mod balance;
pub mod carries;
mod client;
pub mod conditions;
pub mod days;
pub mod familiar;
pub mod floor_pulls;
pub mod grip;
pub mod main_lifts;
pub mod movements;
pub mod order;
pub mod plain_choice;
pub mod rests;
pub mod same_muscle;
pub mod session_amount;
pub mod spared_shoulder;
pub mod spine;
pub mod sport_days;
pub mod stations;
pub mod taxing_pairs;
pub mod told_lifts;
pub mod trunk_and_arms;
pub mod untold_lifts;
pub mod weekly_amount;

pub use client::Client;

use crate::modes::Mode;
use setwright_model::Muscle;
use setwright_model::brief::Focus;
use setwright_model::exercise::Exercise;

/// A rule. Every part has an answer for a rule that has nothing to say.
pub trait Rule: Sync {
    /// Its name: that of its file here and in the check, and of its section in `docs/models.md`.
    fn name(&self) -> &'static str;

    /// Why an exercise is not given to this client at all, for a coach to read.
    fn keeps_out(&self, _exercise: &Exercise, _client: &Client<'_>) -> Option<String> {
        None
    }

    /// Whether an exercise needs a reason that this client does not give: it is only given where a movement has
    /// nothing else.
    fn is_odd(&self, _exercise: &Exercise, _client: &Client<'_>) -> bool {
        false
    }

    /// Whether an exercise may be done in a mode with so many sets.
    fn allows(&self, _exercise: &Exercise, _mode: Mode, _sets: u32, _client: &Client<'_>) -> bool {
        true
    }

    /// Whether two exercises may not alternate.
    fn parts(&self, _a: &Exercise, _b: &Exercise, _client: &Client<'_>) -> bool {
        false
    }

    /// Part of the worth of its sets that an exercise keeps.
    fn share(&self, _exercise: &Exercise, _client: &Client<'_>) -> f64 {
        1.0
    }

    /// What having an exercise in a session costs, in points; negative where it is wanted.
    fn price(&self, _exercise: &Exercise, _mode: Mode, _client: &Client<'_>) -> f64 {
        0.0
    }

    /// What being in so many sessions of the cycle brings an exercise, in points.
    fn brings(&self, _exercise: &Exercise, _sessions: usize, _client: &Client<'_>) -> f64 {
        0.0
    }

    /// What it counts over a session or over the cycle.
    fn counts(&self, _client: &Client<'_>) -> Vec<Count> {
        Vec::new()
    }
}

/// All rules, in the order in which they are asked.
pub const RULES: &[&dyn Rule] = &[
    &conditions::Conditions,
    &ability::Ability,
    &plain_choice::PlainChoice,
    &told_lifts::ToldLifts,
    &untold_lifts::UntoldLifts,
    &main_lifts::MainLifts,
    &movements::Movements,
    &aims::Aims,
    &floor_pulls::FloorPulls,
    &familiar::Familiar,
    &session_amount::SessionAmount,
    &weekly_amount::WeeklyAmount,
    &trunk_and_arms::TrunkAndArms,
    &carries::Carries,
    &taxing_pairs::TaxingPairs,
    &same_muscle::SameMuscle,
    &spine::Spine,
    &grip::Grip,
    &stations::Stations,
    &rests::Rests,
    &balance::Balance,
    &spared_shoulder::SparedShoulder,
    &days::Days,
    &sport_days::SportDays,
    &order::Order,
];

/// Where there is no programme with all that is asked, what rounds it off is given up first, then that it starts near the present
/// week, then what the client came for most (judgement).
pub const GIVEN_UP_FIRST: u8 = 1;
/// See [`GIVEN_UP_FIRST`].
pub const GIVEN_UP_NEXT: u8 = 2;
/// See [`GIVEN_UP_FIRST`].
pub const GIVEN_UP_LAST: u8 = 3;

/// What a thing counts as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Once, however many sets.
    Exercise,
    /// Every set.
    Set,
}

/// Whether something is asked of sessions of a focus.
pub type OfFocus = fn(Focus) -> bool;

/// Something counted over each session and over the cycle, and how much of it there may or must be. What must be there
/// is asked only where some exercise can serve; what the coach has locked is never too much.
#[derive(Clone, Debug)]
pub struct Count {
    /// The rule it belongs to.
    pub rule: &'static str,
    /// What is counted, for a coach to read.
    pub what: &'static str,
    /// In what.
    pub unit: Unit,
    /// How each exercise counts: 1 where it does, also -1 where it counts against; 0 where it does not.
    pub sign: fn(&Exercise, &Client<'_>) -> i16,
    /// Counts only this exercise (an index into the client's main lifts).
    pub only: Option<usize>,
    /// Counts only what trains this muscle directly.
    pub muscle: Option<Muscle>,
    /// Least of a session of these foci.
    pub session_least: Option<(i16, OfFocus)>,
    /// Most of a session.
    pub session_most: Option<i16>,
    /// Least of a cycle.
    pub cycle_least: Option<i16>,
    /// Most of a cycle.
    pub cycle_most: Option<i16>,
    /// Units of shortfall that one missing counts as in the search.
    pub weight: i64,
    /// How soon it is given up where there is no programme with it, 1 first; 0 is never.
    pub soft: u8,
    /// Whether its least holds whatever the coach has locked: the other side is brought up to what is locked on this one.
    pub is_firm: bool,
}

impl Count {
    /// A count without any limit yet.
    pub const fn new(
        rule: &'static str,
        what: &'static str,
        unit: Unit,
        sign: fn(&Exercise, &Client<'_>) -> i16,
    ) -> Self {
        Self {
            rule,
            what,
            unit,
            sign,
            only: None,
            muscle: None,
            session_least: None,
            session_most: None,
            cycle_least: None,
            cycle_most: None,
            weight: 1,
            soft: 0,
            is_firm: false,
        }
    }
}

/// All counts of a client's problem.
pub fn counts(client: &Client<'_>) -> Vec<Count> {
    RULES.iter().flat_map(|r| r.counts(client)).collect()
}
