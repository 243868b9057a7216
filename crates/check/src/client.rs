//! The client as the rules see them: what is told, what the coach has fixed, how new, how old, what can be done and what
//! may not. Read once for a brief; it judges nothing.

use setwright_gym::room::Room;
use setwright_model::brief::{Brief, Exclude};
use setwright_model::exercise::LoadKind;
use setwright_model::{Belief, Catalogue, Exercise, ExerciseId, Pattern};
use setwright_science::capability::{CHANCE_LEAST, Capability};
use setwright_science::conditions::{self, Care};
use setwright_science::prescribe::for_client;
use setwright_science::rules::Rules;
use std::collections::BTreeSet;

/// Chance of the usual reps from which something is missed where it is not given (judgement: more likely than not).
const LIKELY: f64 = 0.5;

/// A brief read for care, ability and what may be prescribed.
pub(crate) struct Client<'a> {
    /// Stations that the client has; unknown without a brief.
    pub there: Option<Room>,
    /// What conditions, age and pain ask.
    pub care: Option<Care<'a>>,
    /// What can be expected of the client.
    pub capability: Option<Capability<'a>>,
    /// What may be prescribed.
    pub allowed: BTreeSet<&'a ExerciseId>,
}

impl<'a> Client<'a> {
    /// Of a brief, or of nobody.
    pub fn of(brief: Option<&'a Brief>, rules: &Rules, catalogue: &'a Catalogue, belief: &'a Belief) -> Self {
        let mut client = Self {
            there: brief.map(|b| Room::of(&b.equipment)),
            care: brief.map(Care::of),
            capability: brief.map(|b| Capability::of(b, belief)),
            allowed: BTreeSet::new(),
        };
        let may = |e: &&Exercise| client.may(brief, rules, e);
        client.allowed = catalogue.iter().filter(may).map(|e| &e.id).collect();
        client
    }

    /// Whether an exercise may be prescribed: stations, exclusions, conditions, skill, and what can be done.
    fn may(&self, brief: Option<&Brief>, rules: &Rules, exercise: &Exercise) -> bool {
        let Some(brief) = brief else { return exercise.skill <= rules.skill };
        let there = self.there.as_ref().is_none_or(|there| there.can_do(exercise));
        let barred = self.care.as_ref().is_some_and(|c| c.bar(exercise).is_some());
        let told = conditions::told(brief, &exercise.id);
        there
            && !barred
            && why_excluded(exercise, &brief.exclude).is_none()
            && (told || (exercise.skill <= rules.skill && self.is_within_reach(brief, exercise)))
    }

    /// Whether the usual reps are not out of reach.
    pub fn is_within_reach(&self, brief: &Brief, exercise: &Exercise) -> bool {
        self.has_chance(brief, exercise, CHANCE_LEAST)
    }

    /// Whether the usual reps can more likely be done than not.
    pub fn is_likely(&self, brief: &Brief, exercise: &Exercise) -> bool {
        self.has_chance(brief, exercise, LIKELY)
    }

    fn has_chance(&self, brief: &Brief, exercise: &Exercise, least: f64) -> bool {
        let usual = for_client(exercise, brief);
        let chance = self.capability.as_ref().and_then(|c| c.chance(exercise, usual.reps[0], usual.rir));
        chance.is_none_or(|c| c.get() >= least)
    }
}

/// Why the brief leaves an exercise out.
pub(crate) fn why_excluded(exercise: &Exercise, exclude: &Exclude) -> Option<String> {
    if exclude.exercises.contains(&exercise.id) {
        return Some("The brief excludes this exercise.".to_owned());
    }
    if exclude.patterns.contains(&exercise.pattern) {
        return Some(format!("The brief excludes every {}.", exercise.pattern.name()));
    }
    if let Some(ask) = exercise.asks.iter().find(|a| exclude.asks.contains(a)) {
        return Some(format!("The brief excludes what asks \"{}\" of the client.", ask.id()));
    }
    let muscle = exercise.direct.iter().find(|m| exclude.muscles.contains(m))?;
    Some(format!("The brief excludes direct work for the {}.", muscle.name()))
}

/// A squat, a press or a pull from the floor with a bar.
pub(crate) fn is_big_bar(exercise: &Exercise) -> bool {
    let kind = matches!(exercise.pattern, Pattern::Squat | Pattern::HorizontalPress | Pattern::VerticalPress);
    exercise.load == LoadKind::Bar && (kind || is_floor_pull(exercise))
}

/// A pull from the floor that tires the whole body: the deadlift and its family.
pub(crate) fn is_floor_pull(exercise: &Exercise) -> bool {
    exercise.pattern == Pattern::Hinge && exercise.is_taxing()
}

/// Squats, lunges and presses with the legs.
pub(crate) const KNEE: &[Pattern] = &[Pattern::Squat, Pattern::LegPress, Pattern::Lunge];

/// Trunk flexion, braces, rotation and side bends.
pub(crate) const TRUNK: &[Pattern] =
    &[Pattern::TrunkFlexion, Pattern::TrunkBrace, Pattern::TrunkRotation, Pattern::SideBend];

/// Presses with more than one joint.
pub(crate) const PRESSES: &[Pattern] =
    &[Pattern::HorizontalPress, Pattern::InclinePress, Pattern::VerticalPress, Pattern::Dip];
