//! The client as the rules see them: what is told, what the coach has fixed, how new, how old, what can be done and what
//! may not. Read once for a brief; it judges nothing.

use crate::scene::{Item, Scene, Stage};
use setwright_model::brief::{Brief, Exclude, Goal, Priority, TrainingAge};
use setwright_model::exercise::LoadKind;
use setwright_model::station::Station;
use setwright_model::{Belief, Catalogue, Exercise, ExerciseId, Muscle, Pattern, Severity};
use setwright_science::capability::{CHANCE_LEAST, Capability};
use setwright_science::conditions::{self, Care, Limits};
use setwright_science::equipment::{self, can_do};
use setwright_science::prescribe::scheme;
use setwright_science::rules::Rules;
use std::collections::BTreeSet;

/// From this age on what can hurt the back and the knees is judged more strictly (judgement: bones and discs).
const CAREFUL_FROM: u32 = 60;

/// A brief read for care, ability and what may be prescribed.
pub(crate) struct Client<'a> {
    /// Stations that the client has; unknown without a brief.
    pub there: Option<BTreeSet<Station>>,
    /// What conditions, age and pain ask.
    pub care: Option<Care<'a>>,
    /// What can be expected of the client.
    pub capability: Option<Capability<'a>>,
    allowed: BTreeSet<&'a ExerciseId>,
}

impl<'a> Client<'a> {
    /// Of a brief, or of nobody.
    pub fn of(brief: Option<&'a Brief>, rules: &Rules, catalogue: &'a Catalogue, belief: &'a Belief) -> Self {
        let mut client = Self {
            there: brief.map(|b| equipment::stations(&b.equipment)),
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
        let there = self.there.as_ref().is_none_or(|there| can_do(exercise, there));
        let barred = self.care.as_ref().is_some_and(|c| c.bar(exercise).is_some());
        let told = conditions::told(brief, &exercise.id);
        there
            && !barred
            && why_excluded(exercise, &brief.exclude).is_none()
            && (told || (exercise.skill <= rules.skill && self.is_within_reach(brief, exercise)))
    }

    /// Whether the usual reps are not out of reach.
    fn is_within_reach(&self, brief: &Brief, exercise: &Exercise) -> bool {
        let usual = scheme(exercise, brief.goal, brief.training_age);
        let chance = self.capability.as_ref().and_then(|c| c.chance(exercise, usual.reps[0], usual.rir));
        chance.is_none_or(|c| c.get() >= CHANCE_LEAST)
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

impl Scene<'_> {
    /// Whether the client says that they do this already.
    pub fn told(&self, id: &ExerciseId) -> bool {
        self.brief.is_some_and(|b| conditions::told(b, id))
    }

    /// Whether an exercise may be prescribed: stations, exclusions, conditions, skill, and what can be done.
    pub fn is_allowed(&self, exercise: &Exercise) -> bool {
        self.client.allowed.contains(&exercise.id)
    }

    /// Whether the client can train a muscle directly at all.
    pub fn can_train(&self, muscle: Muscle) -> bool {
        self.catalogue.iter().any(|e| e.direct.contains(&muscle) && self.is_allowed(e))
    }

    /// How hard at most, and in what order, by conditions and age.
    pub fn limits(&self) -> Limits {
        self.client.care.as_ref().map_or(Limits::FREE, Care::limits)
    }

    /// Reps that conditions and age leave in reserve at least.
    pub fn rir_least(&self, exercise: &Exercise) -> u32 {
        self.client.care.as_ref().map_or(0, |c| c.rir_least(exercise))
    }

    /// Whether an exercise is somebody's own choice: told by the client, or fixed by the coach.
    pub fn is_own(&self, id: &ExerciseId) -> bool {
        self.told(id) || self.is_locked_anywhere(id)
    }

    /// The severity for something about one exercise: a warning at most when the coach has fixed it.
    pub fn unless_fixed(&self, rank: usize, id: &ExerciseId, severity: Severity) -> Severity {
        if self.is_locked(rank, id) { severity.min(Severity::Warning) } else { severity }
    }

    /// Whether the amounts for older adults hold.
    pub fn is_older(&self) -> bool {
        self.brief.is_some_and(conditions::is_older)
    }

    /// Whether the client is in the first weeks or under half a year of training.
    pub fn is_new(&self) -> bool {
        self.brief.is_some_and(|b| matches!(b.training_age, TrainingAge::FirstWeeks | TrainingAge::Beginner))
    }

    /// Whether the client trains for strength in the big lifts.
    pub fn is_for_strength(&self) -> bool {
        self.brief.is_some_and(|b| b.goal == Goal::Strength)
    }

    /// Whether the client comes back after a stop or an operation.
    pub fn is_returning(&self) -> bool {
        self.brief.is_some_and(conditions::is_returning)
    }

    /// Whether backs and knees are judged more strictly: new, older, or coming back.
    pub fn needs_care(&self) -> bool {
        let aged = self.brief.and_then(|b| b.body.age).is_some_and(|a| a >= CAREFUL_FROM);
        self.is_new() || aged || self.is_returning()
    }

    /// Whether a muscle is of little or no interest.
    pub fn is_minor(&self, muscle: Muscle) -> bool {
        self.priority(muscle) <= Priority::Low
    }

    /// Weeks of a cycle.
    pub fn weeks(&self) -> f64 {
        f64::from(self.programme.cycle_days.max(1)) / 7.0
    }

    /// All minutes of a cycle; none without a brief.
    pub fn minutes(&self) -> f64 {
        self.stages.iter().filter_map(|s| self.limit(s.rank)).map(setwright_model::Minutes::get).sum()
    }

    /// Every exercise of every session.
    pub fn items(&self) -> impl Iterator<Item = (&Stage<'_>, &Item<'_>)> {
        self.stages.iter().flat_map(|s| s.items.iter().map(move |i| (s, i)))
    }

    /// Whether any exercise of these patterns may be prescribed.
    pub fn has_pattern(&self, patterns: &[Pattern]) -> bool {
        self.catalogue.iter().any(|e| patterns.contains(&e.pattern) && self.is_allowed(e))
    }

    /// A strength client's main lift: told, with a bar, a squat, a press, or a pull from the floor.
    pub fn is_main(&self, exercise: &Exercise) -> bool {
        let lifted = |b: &Brief| b.lifts.iter().any(|l| l.exercise == exercise.id);
        let lifted = self.is_for_strength() && self.brief.is_some_and(lifted);
        lifted && is_big_bar(exercise) && self.is_allowed(exercise)
    }
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

impl Stage<'_> {
    /// Rest of the block of an exercise, in seconds.
    pub fn rest_s(&self, item: &Item<'_>) -> f64 {
        self.session.blocks.get(item.block).map_or(0.0, |b| b.rest_s.get())
    }

    /// Whether an exercise has its block to itself.
    pub fn is_straight(&self, item: &Item<'_>) -> bool {
        self.session.blocks.get(item.block).is_some_and(|b| b.exercises.len() == 1)
    }

    /// Work sets of exercises of a kind.
    pub fn sets_of(&self, kind: impl Fn(&Exercise) -> bool) -> u32 {
        self.items.iter().filter(|i| kind(i.exercise)).map(Item::sets).sum()
    }

    /// Place of the first exercise of a kind, from 0.
    pub fn first(&self, kind: impl Fn(&Exercise) -> bool) -> Option<usize> {
        self.items.iter().position(|i| kind(i.exercise))
    }
}
