//! What sets are worth when rest is short: the tables the planner builds its blocks from.

use super::{Aim, FatigueState, equal_reps, load_for};
use setwright_model::{Exercise, Reps, Seconds, Share};

/// A set is never reckoned worth less than this (judgement: it is still a set).
pub const WORTH_MIN: f64 = 0.4;

/// Worth of a set in which `possible` of `fresh` repetitions are there: the share that is left, with a floor
/// (judgement; see the models page for what it says of short rest against Singer 2024).
pub fn worth(possible: Reps, fresh: Reps) -> Share {
    Share((possible.get() / fresh.get().max(1.0)).clamp(WORTH_MIN, 1.0))
}

/// Work sets of an exercise in a block.
#[derive(Clone, Copy, Debug)]
pub struct Effort<'a> {
    /// The exercise.
    pub exercise: &'a Exercise,
    /// Its sets.
    pub sets: u32,
    /// The middle of its range of reps.
    pub mid_reps: f64,
    /// Reps in reserve.
    pub rir: f64,
}

/// Mean worth of `sets` sets of an exercise when `between` passes from the end of one to the start of the next
/// (straight: the rest; alternating: the partner's set, the walk and the rest). 1 for a single set.
pub fn set_quality(exercise: &Exercise, sets: u32, mid_reps: f64, rir: f64, between: Seconds) -> Share {
    let effort = Effort { exercise, sets, mid_reps, rir };
    block_quality(&mut FatigueState::new(), &[effort], between)[0]
}

/// Mean worth of the sets of each of two exercises done back to back for one muscle, `sets` rounds with `rest`
/// after each. The second is limited by the tired muscle from its first repetition.
pub fn same_muscle_quality(
    first: &Exercise,
    second: &Exercise,
    sets: u32,
    mid_reps: f64,
    rir: f64,
    rest: Seconds,
) -> [Share; 2] {
    let efforts = [first, second].map(|exercise| Effort { exercise, sets, mid_reps, rir });
    let both = block_quality(&mut FatigueState::new(), &efforts, rest);
    [both[0], both[1]]
}

/// Does a block from the state that it meets: rounds of a set of each exercise, a walk between two, `rest` after
/// each round. Gives the mean worth of the sets of each; the state is then that after the last set.
pub fn block_quality(state: &mut FatigueState, efforts: &[Effort<'_>], rest: Seconds) -> Vec<Share> {
    let mut lanes: Vec<Lane<'_>> = efforts.iter().map(Lane::new).collect();
    let walk_s = |a: &Effort<'_>, b: &Effort<'_>| {
        f64::midpoint(a.exercise.changeover_s.get(), b.exercise.changeover_s.get())
    };
    let rest_s = rest.get() + if let [alone] = efforts { other_side_s(alone) } else { 0.0 };
    let rounds = efforts.iter().map(|e| e.sets.max(1)).max().unwrap_or(0);
    for round in 0..rounds {
        if round > 0 {
            state.rest(Seconds(rest_s));
        }
        for (index, lane) in lanes.iter_mut().enumerate() {
            if index > 0 {
                state.rest(Seconds(walk_s(&efforts[index - 1], &efforts[index])));
            }
            lane.do_set(state);
        }
    }
    lanes.iter().map(Lane::mean).collect()
}

/// One side rests while the other works.
fn other_side_s(effort: &Effort<'_>) -> f64 {
    let exercise = effort.exercise;
    if exercise.unilateral { exercise.work(effort.mid_reps).get() / 2.0 } else { 0.0 }
}

struct Lane<'a> {
    exercise: &'a Exercise,
    target: Reps,
    rir: Reps,
    load: Share,
    worths: Vec<Share>,
}

impl<'a> Lane<'a> {
    fn new(effort: &Effort<'a>) -> Self {
        let exercise = effort.exercise;
        let (target, rir) = (equal_reps(exercise, effort.mid_reps), Reps(effort.rir).max(Reps::ZERO));
        Self { exercise, target, rir, load: load_for(exercise, target, rir), worths: Vec::new() }
    }

    fn do_set(&mut self, state: &mut FatigueState) {
        let possible = state.possible(self.exercise, self.load);
        self.worths.push(worth(possible, self.target + self.rir));
        state.do_set(self.exercise, self.load, Aim::Target { reps: self.target, rir: self.rir });
    }

    fn mean(&self) -> Share {
        let total: Share = self.worths.iter().copied().sum();
        Share(total.get() / self.worths.len().max(1) as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acute::tests::{bench, curl, exercise};
    use proptest::prelude::*;
    use setwright_model::Muscle;
    use setwright_model::exercise::CurveFamily;

    #[test]
    fn a_single_set_is_worth_one() {
        assert!((set_quality(&bench(), 1, 10.0, 2.0, Seconds(60.0)).get() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_second_movement_for_a_tired_muscle_is_worth_less_than_the_first() {
        let fly = exercise("fly", CurveFamily::Small, &[Muscle::Chest], &[], 0);
        let [first, second] = same_muscle_quality(&bench(), &fly, 3, 10.0, 1.0, Seconds(90.0));
        assert!(second < first, "{first} {second}");
        let [_, unrelated] = same_muscle_quality(&bench(), &curl(), 3, 10.0, 1.0, Seconds(90.0));
        assert!(second < unrelated, "{second} {unrelated}");
    }

    fn family() -> impl Strategy<Value = CurveFamily> {
        prop_oneof![Just(CurveFamily::Upper), Just(CurveFamily::Lower), Just(CurveFamily::Small)]
    }

    proptest! {
        #[test]
        fn longer_rest_never_lowers_quality(
            family in family(), sets in 1_u32..=6, reps in 3.0..30.0, rir in 0.0..4.0,
            between in 5.0..400.0, more in 0.0..200.0, systemic in 0_u8..=3,
        ) {
            let e = exercise("e", family, &[Muscle::Chest], &[Muscle::Triceps], systemic);
            let short = set_quality(&e, sets, reps, rir, Seconds(between)).get();
            let long = set_quality(&e, sets, reps, rir, Seconds(between + more)).get();
            prop_assert!(long >= short - 1e-9, "{short} {long}");
            prop_assert!((0.0..=1.0).contains(&short));
        }

        #[test]
        fn more_sets_never_raise_mean_quality(
            family in family(), sets in 1_u32..=6, reps in 3.0..30.0, rir in 0.0..4.0, between in 5.0..400.0,
        ) {
            let e = exercise("e", family, &[Muscle::Chest], &[Muscle::Triceps], 1);
            let fewer = set_quality(&e, sets, reps, rir, Seconds(between)).get();
            let more = set_quality(&e, sets + 1, reps, rir, Seconds(between)).get();
            prop_assert!(more <= fewer + 1e-9, "{fewer} {more}");
        }
    }
}
