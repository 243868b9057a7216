//! What a client can lift: 1RMs from the lifts of a brief, from one exercise to the next by the catalogue's
//! anchors, and the work load for a scheme.
//!
//! It believes no lift that [`implausible`] questions. It knows no log: what training shows is learned by
//! `estimate`, which hands on a belief of the same kind.

use crate::curve::{self, Curve};
use crate::loads::Loadable;
use crate::plausible;
use crate::prescribe::Scheme;
use crate::recovery;
use setwright_model::belief::{Basis, StrengthBelief};
use setwright_model::brief::{Brief, Lift};
use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::{Belief, Catalogue, Exercise, ExerciseId, Kilograms, Reps, Share};
use std::collections::BTreeMap;

/// A set of at most this many reps, those in reserve counted, tells a 1RM better than a longer one (linear
/// equations are not for more: Reynolds 2006, JSCR 20:584 (A); the two reps on top are judgement).
pub const SHARP_REPS_MAX: f64 = 12.0;
/// Reps by which a set may mislead: people under-predict the reps they have left by about one (Halperin 2022,
/// Sports Med 52:377 (A)).
pub const REPS_ERROR: f64 = 1.0;
/// Further error for each rep of the set (Halperin 2022 (A): 0.06 a rep up to 12 reps).
pub const REPS_ERROR_PER_REP: f64 = 0.06;
/// Day-to-day spread of a 1RM as a share of it (judgement).
pub const DAY_SD: f64 = 0.025;
/// Spread that one anchor adds, as a share of the value (judgement: the catalogue's shares are common practice).
pub const ANCHOR_SD: f64 = 0.15;
/// Most anchors between a lift that was done and one that is judged from it (judgement).
pub const ANCHORS_MAX: usize = 3;

/// Strength and recovery as the brief lets them be known.
pub fn belief(brief: &Brief, catalogue: &Catalogue) -> Belief {
    let lifted = lifted(brief, catalogue);
    Belief { one_rm: with_judged(lifted, catalogue), tau: recovery::tau_priors(brief) }
}

/// Load that moves at a given outside load: the share of the body that is lifted counts, help is taken off.
/// None when the body counts and its mass is not known.
pub fn total(exercise: &Exercise, load: Kilograms, body_mass: Option<Kilograms>) -> Option<Kilograms> {
    let body = body_part(exercise, body_mass)?;
    Some(if exercise.load == LoadKind::Assisted { body - load } else { body + load })
}

/// Share of the body that an exercise lifts; none when it counts and the mass is not known.
fn body_part(exercise: &Exercise, body_mass: Option<Kilograms>) -> Option<Kilograms> {
    if exercise.body_share.get() <= 0.0 {
        return Some(Kilograms::ZERO);
    }
    body_mass.map(|mass| mass * exercise.body_share.get())
}

/// The 1RM that a lift tells of, with its spread; none when it cannot tell one or is implausible.
pub fn of_lift(lift: &Lift, exercise: &Exercise, body_mass: Option<Kilograms>) -> Option<StrengthBelief> {
    if exercise.measure != Measure::Reps || implausible(lift, exercise, body_mass).is_some() {
        return None;
    }
    let (reps, rir) = (Reps(f64::from(lift.reps)), Reps(f64::from(lift.rir)));
    let load = total(exercise, lift.load_kg, body_mass).filter(|kg| kg.get() > 0.0)?;
    let curve = Curve::of(exercise.curve);
    let one_rm = curve::one_rm(load, reps, rir, curve);
    Some(StrengthBelief { one_rm, basis: Basis::Lifted, sd: spread(reps + rir, curve) })
}

/// Spread of a 1RM told by a set of so many reps: the curve between some reps more and some fewer.
pub(crate) fn spread(reps: Reps, curve: Curve) -> Share {
    let error = Reps(REPS_ERROR + REPS_ERROR_PER_REP * reps.get());
    let low = curve.share(reps + error).get();
    let high = curve.share((reps - error).max(Reps(1.0))).get();
    let from_reps = (high - low) / (2.0 * curve.share(reps).get());
    Share((DAY_SD * DAY_SD + from_reps * from_reps).sqrt())
}

fn lifted(brief: &Brief, catalogue: &Catalogue) -> BTreeMap<ExerciseId, StrengthBelief> {
    let mut best: BTreeMap<ExerciseId, (bool, StrengthBelief)> = BTreeMap::new();
    for lift in &brief.lifts {
        let Some(exercise) = catalogue.get(&lift.exercise) else { continue };
        let Some(told) = of_lift(lift, exercise, brief.body.mass_kg) else { continue };
        let sharp = f64::from(lift.reps) + f64::from(lift.rir) <= SHARP_REPS_MAX;
        let better =
            best.get(&lift.exercise).is_none_or(|(s, b)| (sharp, told.one_rm.get()) > (*s, b.one_rm.get()));
        if better {
            best.insert(lift.exercise.clone(), (sharp, told));
        }
    }
    best.into_iter().map(|(id, (_, told))| (id, told)).collect()
}

/// Adds what can be judged from the lifts over at most [`ANCHORS_MAX`] anchors, followed either way. The
/// fewest anchors win, then the smaller spread.
pub fn with_judged(
    mut known: BTreeMap<ExerciseId, StrengthBelief>,
    catalogue: &Catalogue,
) -> BTreeMap<ExerciseId, StrengthBelief> {
    for _ in 0..ANCHORS_MAX {
        let mut next: BTreeMap<ExerciseId, StrengthBelief> = BTreeMap::new();
        for (from, to, ratio) in anchors(catalogue) {
            let Some(source) = known.get(from).filter(|_| !known.contains_key(to)) else { continue };
            let judged = judge(source, ratio);
            if next.get(to).is_none_or(|other| judged.sd < other.sd) {
                next.insert(to.clone(), judged);
            }
        }
        known.append(&mut next);
    }
    known
}

/// Every anchor in both directions: from, to, ratio of the 1RMs.
fn anchors(catalogue: &Catalogue) -> impl Iterator<Item = (&ExerciseId, &ExerciseId, f64)> {
    catalogue.iter().filter_map(|e| e.anchor.as_ref().map(|a| (&e.id, a))).flat_map(|(id, anchor)| {
        let share = anchor.share.get();
        let both = [(&anchor.lift, id, share), (id, &anchor.lift, 1.0 / share)];
        both.into_iter().filter(move |_| share > 0.0 && share.is_finite())
    })
}

fn judge(source: &StrengthBelief, ratio: f64) -> StrengthBelief {
    let sd = source.sd.get();
    StrengthBelief {
        one_rm: source.one_rm * ratio,
        basis: Basis::Judged,
        sd: Share((sd * sd + ANCHOR_SD * ANCHOR_SD).sqrt()),
    }
}

/// The load for the middle of a scheme's reps with its reps in reserve, made loadable on the light side; none
/// when nothing is believed of the exercise, nothing can be weighed, or even the lightest is too heavy.
pub fn work_load(
    exercise: &Exercise,
    scheme: Scheme,
    belief: &Belief,
    loadable: &Loadable,
    body_mass: Option<Kilograms>,
) -> Option<Kilograms> {
    if exercise.measure != Measure::Reps || loadable.is_none() {
        return None;
    }
    let max = belief.one_rm.get(&exercise.id)?.one_rm;
    let reps = Reps(f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0);
    let all = curve::load_for(max, reps, Reps(f64::from(scheme.rir)), Curve::of(exercise.curve));
    let body = body_part(exercise, body_mass)?;
    if exercise.load == LoadKind::Assisted {
        return loadable.round_up((body - all).max(Kilograms::ZERO));
    }
    loadable.round_down(all - body)
}

/// Why a lift is questioned, with a way out; none when it is believed.
pub fn implausible(lift: &Lift, exercise: &Exercise, body_mass: Option<Kilograms>) -> Option<String> {
    plausible::doubt(lift, exercise, body_mass)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::exercise;
    use proptest::prelude::*;
    use setwright_model::brief::{Body, Goal, Time, TrainingAge};
    use setwright_model::exercise::Anchor;
    use setwright_model::{Minutes, Muscle};

    fn brief(lifts: &[(&str, f64, u32, u32)], mass_kg: Option<f64>) -> Brief {
        let lift = |&(id, kg, reps, rir): &(&str, f64, u32, u32)| Lift {
            exercise: id.into(),
            load_kg: Kilograms(kg),
            reps,
            rir,
        };
        let time = Time::weekly(2, Minutes(60.0));
        Brief {
            body: Body { mass_kg: mass_kg.map(Kilograms), ..Body::default() },
            lifts: lifts.iter().map(lift).collect(),
            ..Brief::new("a client", Goal::General, TrainingAge::Intermediate, time)
        }
    }

    fn anchored(id: &str, lift: &str, share: f64) -> Exercise {
        Exercise { anchor: Some(Anchor { lift: lift.into(), share: Share(share) }), ..exercise(id) }
    }

    fn catalogue() -> Catalogue {
        let pull_up = Exercise { load: LoadKind::BodyPlus, body_share: Share(1.0), ..exercise("pull_up") };
        let help = Exercise { load: LoadKind::Assisted, ..anchored("assisted_pull_up", "pull_up", 1.0) };
        Catalogue::new([
            exercise("bench_press"),
            anchored("incline_press", "bench_press", 0.8),
            anchored("dumbbell_press", "incline_press", 0.4),
            pull_up,
            Exercise { body_share: Share(1.0), ..help },
            exercise("row"),
        ])
    }

    fn strength(brief: &Brief, id: &str) -> Option<StrengthBelief> {
        belief(brief, &catalogue()).one_rm.get(&id.into()).copied()
    }

    #[test]
    fn reps_in_reserve_count_as_reps() {
        let reserve = strength(&brief(&[("bench_press", 80.0, 6, 2)], None), "bench_press").unwrap();
        let failure = strength(&brief(&[("bench_press", 80.0, 8, 0)], None), "bench_press").unwrap();
        assert_eq!(reserve, failure);
        assert_eq!(reserve.basis, Basis::Lifted);
        assert!((98.0..101.0).contains(&reserve.one_rm.get()), "{reserve:?}");
    }

    #[test]
    fn the_best_of_several_lifts_counts_and_short_sets_before_long_ones() {
        let lifts = [("bench_press", 80.0, 8, 0), ("bench_press", 90.0, 5, 0), ("bench_press", 80.0, 20, 0)];
        let best = strength(&brief(&lifts, None), "bench_press").unwrap();
        assert_eq!(best, strength(&brief(&lifts[1..2], None), "bench_press").unwrap());
        assert!(strength(&brief(&lifts[2..], None), "bench_press").is_some());
    }

    #[test]
    fn other_lifts_are_judged_over_anchors_either_way_with_a_larger_spread() {
        let brief = brief(&[("incline_press", 60.0, 8, 0)], None);
        let incline = strength(&brief, "incline_press").unwrap();
        let bench = strength(&brief, "bench_press").unwrap();
        let dumbbell = strength(&brief, "dumbbell_press").unwrap();
        assert!((bench.one_rm.get() - incline.one_rm.get() / 0.8).abs() < 1e-9);
        assert!((dumbbell.one_rm.get() - incline.one_rm.get() * 0.4).abs() < 1e-9);
        assert_eq!((bench.basis, dumbbell.basis), (Basis::Judged, Basis::Judged));
        assert!(bench.sd > incline.sd && dumbbell.sd > incline.sd);
        assert_eq!(strength(&brief, "row"), None);
    }

    #[test]
    fn anchors_in_a_ring_come_to_an_end() {
        let ring =
            Catalogue::new([anchored("a", "b", 0.5), anchored("b", "c", 0.5), anchored("c", "a", 0.5)]);
        let found = belief(&brief(&[("a", 50.0, 5, 0)], None), &ring);
        assert_eq!(found.one_rm.len(), 3);
    }

    #[test]
    fn the_body_counts_when_it_is_lifted() {
        let lifts = [("pull_up", 10.0, 5, 0)];
        let known = strength(&brief(&lifts, Some(80.0)), "pull_up").unwrap();
        assert!((100.0..108.0).contains(&known.one_rm.get()), "{known:?}");
        assert_eq!(strength(&brief(&lifts, None), "pull_up"), None);
    }

    #[test]
    fn an_implausible_lift_is_not_believed() {
        assert_eq!(strength(&brief(&[("bench_press", 900.0, 1, 0)], Some(60.0)), "bench_press"), None);
    }

    fn work(id: &str, brief: &Brief, reps: [u32; 2], rir: u32) -> Option<Kilograms> {
        let catalogue = catalogue();
        let lift = catalogue.get(&id.into()).unwrap();
        let loadable = Loadable::of(&brief.equipment, lift).unwrap();
        let belief = belief(brief, &catalogue);
        work_load(lift, Scheme { reps, rir }, &belief, &loadable, brief.body.mass_kg)
    }

    #[test]
    fn a_work_load_is_what_was_lifted_for_the_same_reps() {
        let brief = brief(&[("bench_press", 80.0, 8, 2)], None);
        assert_eq!(work("bench_press", &brief, [6, 10], 2), Some(Kilograms(80.0)));
        assert!(work("bench_press", &brief, [6, 10], 3).unwrap() < Kilograms(80.0));
        assert_eq!(work("row", &brief, [6, 10], 2), None);
    }

    #[test]
    fn the_body_is_taken_off_a_belt_and_help_is_rounded_up() {
        let brief = brief(&[("pull_up", 10.0, 5, 0)], Some(80.0));
        assert_eq!(work("pull_up", &brief, [5, 5], 0), Some(Kilograms(10.0)));
        assert_eq!(work("pull_up", &brief, [12, 15], 2), None, "the body alone is too heavy");
        let help = work("assisted_pull_up", &brief, [12, 15], 2).unwrap();
        let max = strength(&brief, "pull_up").unwrap().one_rm;
        let curve = Curve::of(catalogue().get(&"pull_up".into()).unwrap().curve);
        let moved = curve::load_for(max, Reps(13.5), Reps(2.0), curve);
        assert!(80.0 - help.get() <= moved.get() && 85.0 - help.get() > moved.get(), "{help}");
    }

    #[test]
    fn recovery_comes_from_the_priors() {
        let brief = brief(&[], None);
        assert_eq!(belief(&brief, &catalogue()).tau, recovery::tau_priors(&brief));
        assert_eq!(recovery::tau_priors(&brief).len(), Muscle::COUNT);
    }

    proptest! {
        #[test]
        fn a_work_load_is_never_above_what_the_one_rep_maximum_allows(
            kg in 30.0..180.0_f64, reps in 1_u32..15, rir in 0_u32..4, low in 3_u32..12, width in 0_u32..6,
        ) {
            let brief = brief(&[("bench_press", kg, reps, rir)], Some(120.0));
            let Some(max) = strength(&brief, "bench_press") else { return Ok(()) };
            let curve = Curve::of(exercise("x").curve);
            let mid = Reps(f64::from(2 * low + width) / 2.0);
            let allowed = curve::load_for(max.one_rm, mid, Reps(2.0), curve);
            match work("bench_press", &brief, [low, low + width], 2) {
                Some(load) => prop_assert!(load.get() <= allowed.get() + 1e-4),
                None => prop_assert!(allowed.get() < 20.0),
            }
        }
    }
}
