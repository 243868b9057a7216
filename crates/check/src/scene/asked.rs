//! What rules ask of the client whom a scene is about.

use super::{Item, Scene, Stage};
use crate::client::is_big_bar;
use setwright_model::brief::{Brief, Goal, Priority, TrainingAge};
use setwright_model::{Exercise, ExerciseId, Muscle, Pattern, Severity};
use setwright_science::conditions::{self, Care, Limits};

/// From this age on what can hurt the back and the knees is judged more strictly (judgement: bones and discs).
const CAREFUL_FROM: u32 = 60;

impl Scene<'_> {
    /// Whether the client says that they do this already.
    pub fn told(&self, id: &ExerciseId) -> bool {
        self.brief.is_some_and(|b| conditions::told(b, id))
    }

    /// Whether an exercise may be prescribed: stations, exclusions, conditions, skill, and what can be done.
    pub fn is_allowed(&self, exercise: &Exercise) -> bool {
        self.client.allowed.contains(&exercise.id)
    }

    /// Whether the usual reps can be done: what was told once, or with next to nothing, need not be a set.
    pub fn is_within_reach(&self, exercise: &Exercise) -> bool {
        self.brief.is_none_or(|b| self.client.is_within_reach(b, exercise))
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
        self.is_new() || self.falls_hard()
    }

    /// Whether a fall would be worst: sixty and more, or coming back.
    pub fn falls_hard(&self) -> bool {
        let aged = self.brief.and_then(|b| b.body.age).is_some_and(|a| a >= CAREFUL_FROM);
        aged || self.is_returning()
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

    /// Whether any exercise of these patterns may be prescribed, and is not one that only somebody seen at it does: what
    /// taxes the whole body, fails under the client, or can less likely be done than not.
    pub fn has_pattern(&self, patterns: &[Pattern]) -> bool {
        let may = |e: &Exercise| {
            let likely = || self.brief.is_none_or(|b| self.client.is_likely(b, e));
            let shown = || self.is_own(&e.id) || likely() && !(e.is_taxing() || conditions::fails_under(e));
            self.is_allowed(e) && self.is_within_reach(e) && shown()
        };
        self.catalogue.iter().any(|e| patterns.contains(&e.pattern) && may(e))
    }

    /// A strength client's main lift: told, with a bar, a squat, a press, or a pull from the floor.
    pub fn is_main(&self, exercise: &Exercise) -> bool {
        let lifted = |b: &Brief| b.lifts.iter().any(|l| l.exercise == exercise.id);
        let lifted = self.is_for_strength() && self.brief.is_some_and(lifted);
        lifted && is_big_bar(exercise) && self.is_allowed(exercise) && self.is_within_reach(exercise)
    }
}

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
