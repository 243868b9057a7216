//! Lifts that are not believed: slips of the pen, and pounds written as kilograms.
//!
//! It judges one lift at a time and changes none; the coach decides. What is judged from other lifts has the same
//! limits.

use crate::curve::{self, Curve};
use crate::told::total;
use setwright_model::brief::Lift;
use setwright_model::exercise::{CurveFamily, LoadKind, Measure};
use setwright_model::{Exercise, Kilograms, Pattern, Reps};

/// Most reps of a set that is taken as meant (judgement).
const REPS_MAX: u32 = 100;
/// Most reps in reserve that are taken as meant (judgement).
const RIR_MAX: u32 = 10;
/// Loads in pounds that a bar of 45 lb and pairs of 45 and 25 lb discs make (arithmetic (D)).
const POUND_BARS: [f64; 12] =
    [135.0, 185.0, 225.0, 275.0, 315.0, 365.0, 405.0, 455.0, 495.0, 545.0, 585.0, 635.0];
/// A 1RM on a bar that is above this share of the limits and was written as a load usual in pounds is
/// questioned too (judgement).
const POUND_SUSPICION: f64 = 0.6;

/// The most that is believed of a 1RM.
#[derive(Clone, Copy)]
struct Most {
    load_kg: f64,
    body_masses: f64,
}

/// Judgement: somewhat above the best ever lifted, by family, so that a strong client is not questioned.
fn most(exercise: &Exercise) -> Most {
    let one_hand = matches!(
        exercise.load,
        LoadKind::Dumbbell | LoadKind::DumbbellPair | LoadKind::Kettlebell | LoadKind::KettlebellPair
    );
    match (exercise.pattern, exercise.curve) {
        _ if one_hand => Most { load_kg: 150.0, body_masses: 2.0 },
        (Pattern::LegPress, _) => Most { load_kg: 800.0, body_masses: 8.0 },
        (_, CurveFamily::Lower) => Most { load_kg: 500.0, body_masses: 6.0 },
        (_, CurveFamily::Upper) => Most { load_kg: 350.0, body_masses: 3.5 },
        (_, CurveFamily::Small) => Most { load_kg: 350.0, body_masses: 4.0 },
    }
}

pub(crate) fn doubt(lift: &Lift, exercise: &Exercise, body_mass: Option<Kilograms>) -> Option<String> {
    malformed(lift, exercise).or_else(|| {
        (exercise.measure == Measure::Reps).then(|| too_strong(lift, exercise, body_mass)).flatten()
    })
}

/// Whether a 1RM that was judged passes what is believed of anybody.
pub(crate) fn is_excessive(exercise: &Exercise, one_rm: Kilograms, body_mass: Option<Kilograms>) -> bool {
    exercise.measure == Measure::Reps && excess(one_rm.get(), most(exercise), body_mass, 1.0).is_some()
}

fn malformed(lift: &Lift, exercise: &Exercise) -> Option<String> {
    let name = &exercise.name;
    let load_kg = lift.load_kg.get();
    if !load_kg.is_finite() || load_kg < 0.0 {
        return Some(format!("{name}: {load_kg} kg is no load; write the kilograms that were lifted"));
    }
    if load_kg <= 0.0 && exercise.body_share.get() <= 0.0 && exercise.load != LoadKind::Band {
        return Some(format!("{name}: 0 kg says nothing of strength; write the load, bar included"));
    }
    if lift.reps == 0 {
        return Some(format!("{name}: 0 reps say nothing of strength; write the reps that were done"));
    }
    if exercise.measure == Measure::Reps && lift.reps > REPS_MAX {
        return Some(format!("{name}: {} reps; at most {REPS_MAX} are read in one set", lift.reps));
    }
    (lift.rir > RIR_MAX)
        .then(|| format!("{name}: {} reps in reserve; nobody can tell more than {RIR_MAX}", lift.rir))
}

/// 1RM of a lift; the outside load alone where the body counts and is not known.
fn one_rm_kg(lift: &Lift, load: Kilograms, exercise: &Exercise, body_mass: Option<Kilograms>) -> f64 {
    let moved = total(exercise, load, body_mass).unwrap_or(load);
    let (reps, rir) = (Reps(f64::from(lift.reps)), Reps(f64::from(lift.rir)));
    curve::one_rm(moved, reps, rir, Curve::of(exercise.curve)).get()
}

fn too_strong(lift: &Lift, exercise: &Exercise, body_mass: Option<Kilograms>) -> Option<String> {
    let max_kg = one_rm_kg(lift, lift.load_kg, exercise, body_mass);
    let cause = excess(max_kg, most(exercise), body_mass, 1.0).or_else(|| {
        let pounds = exercise.load == LoadKind::Bar && POUND_BARS.contains(&lift.load_kg.get());
        let strong = excess(max_kg, most(exercise), body_mass, POUND_SUSPICION)?;
        pounds.then(|| format!("{strong}, and {} is a load usual in pounds", lift.load_kg.get()))
    })?;
    let hint = hint(lift, exercise, body_mass);
    Some(format!("{}: {} for {} would mean {cause}; {hint}", exercise.name, lift.load_kg, lift.reps))
}

/// How a 1RM passes a share of the limits, in words. Where the body mass is known, a share of the limit in
/// kilograms says nothing.
fn excess(max_kg: f64, most: Most, body_mass: Option<Kilograms>, share: f64) -> Option<String> {
    let mass = body_mass.filter(|m| m.get() > 0.0);
    if let Some(mass) = mass {
        let masses = max_kg / mass.get();
        if masses > most.body_masses * share {
            return Some(format!("a 1RM of {max_kg:.0} kg, {masses:.1} times the body mass"));
        }
    }
    let limit_kg = if mass.is_some() { most.load_kg } else { most.load_kg * share };
    (max_kg > limit_kg).then(|| format!("a 1RM of {max_kg:.0} kg"))
}

/// The value as it would be if pounds had been meant.
fn hint(lift: &Lift, exercise: &Exercise, body_mass: Option<Kilograms>) -> String {
    let meant = Kilograms::from_lb(lift.load_kg.get());
    let max_kg = one_rm_kg(lift, meant, exercise, body_mass);
    let (pounds, kg) = (lift.load_kg.get(), meant.get());
    if excess(max_kg, most(exercise), body_mass, 1.0).is_some() {
        return format!("even {pounds} lb would be {kg:.1} kg, so look for a slip of the pen");
    }
    format!("if pounds were meant, write {kg:.1} kg")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::exercise;
    use proptest::prelude::*;
    use setwright_model::Share;

    fn squat() -> Exercise {
        Exercise { pattern: Pattern::Squat, curve: CurveFamily::Lower, ..exercise("back_squat") }
    }

    fn lift(load_kg: f64, reps: u32) -> Lift {
        Lift { exercise: "lift".into(), load_kg: Kilograms(load_kg), reps, rir: 0 }
    }

    /// The doubt about a lift of a client of this body mass.
    fn doubt_at(body_kg: f64, lift: &Lift, exercise: &Exercise) -> Option<String> {
        doubt(lift, exercise, Some(Kilograms(body_kg)))
    }

    #[test]
    fn a_squat_of_nine_hundred_at_sixty_is_questioned_even_in_pounds() {
        let doubt = doubt_at(60.0, &lift(900.0, 1), &squat()).unwrap();
        assert!(doubt.contains("15.0 times the body mass"), "{doubt}");
        assert!(doubt.contains("900 lb would be 408.2 kg"), "{doubt}");
    }

    #[test]
    fn pounds_written_as_kilograms_are_questioned_with_the_value_in_kilograms() {
        let bench = doubt_at(75.0, &lift(225.0, 5), &exercise("bench_press")).unwrap();
        assert!(bench.contains("if pounds were meant, write 102.1 kg"), "{bench}");
        let squat = doubt_at(80.0, &lift(315.0, 3), &squat()).unwrap();
        assert!(squat.contains("write 142.9 kg"), "{squat}");
        assert!(squat.contains("usual in pounds"), "{squat}");
    }

    #[test]
    fn strong_lifters_are_believed() {
        assert_eq!(doubt_at(120.0, &lift(225.0, 1), &exercise("bench_press")), None);
        assert_eq!(doubt_at(93.0, &lift(320.0, 1), &squat()), None);
        assert_eq!(doubt_at(80.0, &lift(100.0, 8), &exercise("bench_press")), None);
        assert_eq!(doubt(&lift(100.0, 8), &exercise("bench_press"), None), None);
    }

    #[test]
    fn each_limit_is_kept_on_both_sides() {
        assert_eq!(doubt_at(60.0, &lift(360.0, 1), &squat()), None);
        assert!(doubt_at(60.0, &lift(361.0, 1), &squat()).is_some());
        assert_eq!(doubt(&lift(500.0, 1), &squat(), None), None);
        assert!(doubt(&lift(501.0, 1), &squat(), None).is_some());
        assert_eq!(doubt(&lift(20.0, 100), &squat(), None), None);
        assert!(doubt(&lift(20.0, 101), &squat(), None).is_some());
        let reserve = |rir| Lift { rir, ..lift(50.0, 5) };
        assert_eq!(doubt(&reserve(10), &squat(), None), None);
        assert!(doubt(&reserve(11), &squat(), None).is_some());
    }

    #[test]
    fn what_is_no_load_is_questioned() {
        for load_kg in [f64::NAN, f64::INFINITY, -5.0, 0.0] {
            assert!(doubt_at(80.0, &lift(load_kg, 5), &squat()).is_some(), "{load_kg}");
        }
        assert!(doubt_at(80.0, &lift(50.0, 0), &squat()).is_some());
        let pull_up = Exercise { load: LoadKind::BodyPlus, body_share: Share(1.0), ..exercise("pull_up") };
        assert_eq!(doubt_at(80.0, &lift(0.0, 5), &pull_up), None);
    }

    proptest! {
        #[test]
        fn a_lift_beyond_six_body_masses_is_never_believed(mass in 40.0..150.0_f64, times in 6.01..20.0_f64, reps in 1_u32..20) {
            prop_assert!(doubt_at(mass, &lift(mass * times, reps), &squat()).is_some());
        }
    }
}
