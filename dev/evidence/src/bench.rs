//! Plain exercises and sessions for tests, so that a check depends on nothing but what it names.

use setwright_model::exercise::{CurveFamily, LoadKind, Measure};
use setwright_model::{
    Block, BlockKind, Exercise, ExerciseId, Kilograms, Muscle, Pattern, Prescription, Seconds, Session,
    Share, Station,
};

/// An exercise of a pattern and a curve family for these muscles; three seconds a rep, nothing to set up.
pub fn exercise(id: &str, pattern: Pattern, curve: CurveFamily, direct: &[Muscle], systemic: u8) -> Exercise {
    Exercise {
        id: ExerciseId::from(id),
        name: id.to_owned(),
        also: Vec::new(),
        pattern,
        direct: direct.to_vec(),
        half: Vec::new(),
        quarter: Vec::new(),
        stations: vec![Station::Cable],
        load: LoadKind::Stack,
        step_kg: Kilograms(2.5),
        body_share: Share::ZERO,
        unilateral: false,
        measure: Measure::Reps,
        seconds_per_rep: Seconds(3.0),
        setup_s: Seconds::ZERO,
        changeover_s: Seconds::ZERO,
        rest_s: Seconds(120.0),
        curve,
        reps: [5, 30],
        systemic,
        spinal: 0,
        grip: 0,
        skill: 1,
        standing: setwright_model::exercise::Standing::Usual,
        asks: Vec::new(),
        easier: Vec::new(),
        harder: Vec::new(),
        anchor: None,
    }
}

/// Bench press.
pub fn bench_press() -> Exercise {
    let chest = [Muscle::Chest];
    let half = vec![Muscle::Triceps, Muscle::FrontDelts];
    Exercise { half, ..exercise("bench", Pattern::HorizontalPress, CurveFamily::Upper, &chest, 2) }
}

/// Leg press.
pub fn leg_press() -> Exercise {
    let direct = [Muscle::Quads, Muscle::Glutes];
    exercise("leg_press", Pattern::LegPress, CurveFamily::Lower, &direct, 2)
}

/// Knee extension.
pub fn knee_extension() -> Exercise {
    exercise("knee_extension", Pattern::KneeExtension, CurveFamily::Small, &[Muscle::Quads], 0)
}

/// Chest fly.
pub fn fly() -> Exercise {
    exercise("fly", Pattern::ChestFly, CurveFamily::Small, &[Muscle::Chest], 0)
}

/// A prescription of sets of so many reps to failure.
pub fn prescription(exercise: &Exercise, sets: u32, reps: u32) -> Prescription {
    Prescription {
        id: exercise.id.clone(),
        sets,
        reps: [reps, reps],
        rir: 0,
        load_kg: None,
        ramp: Vec::new(),
    }
}

/// A block of one exercise or of two unrelated ones.
pub fn block(exercises: &[&Exercise], sets: u32, reps: u32, rest: Seconds) -> Block {
    Block {
        kind: if exercises.len() > 1 { BlockKind::Alternating } else { BlockKind::Straight },
        rest_s: rest,
        exercises: exercises.iter().map(|e| prescription(e, sets, reps)).collect(),
    }
}

/// A session of these exercises, in blocks of `size`.
pub fn session(exercises: &[&Exercise], size: usize, sets: u32, reps: u32, rest: Seconds) -> Session {
    let blocks = exercises.chunks(size.max(1)).map(|pair| block(pair, sets, reps, rest)).collect();
    Session { day: 1, focus: String::new(), blocks }
}
