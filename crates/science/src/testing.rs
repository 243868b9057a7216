//! Plain exercises for unit tests; nothing here is sourced.

use setwright_model::exercise::{CurveFamily, LoadKind, Measure};
use setwright_model::{Exercise, Kilograms, Muscle, Pattern, Seconds, Share, Station};

/// A bench press with this identifier, to be changed by what a test is about.
pub(crate) fn exercise(id: &str) -> Exercise {
    Exercise {
        id: id.into(),
        name: id.replace('_', " "),
        also: Vec::new(),
        pattern: Pattern::HorizontalPress,
        direct: vec![Muscle::Chest],
        half: vec![Muscle::Triceps],
        quarter: Vec::new(),
        stations: vec![Station::BenchPressStation],
        load: LoadKind::Bar,
        step_kg: Kilograms(2.5),
        body_share: Share(0.0),
        unilateral: false,
        measure: Measure::Reps,
        seconds_per_rep: Seconds(3.0),
        setup_s: Seconds(60.0),
        changeover_s: Seconds(15.0),
        rest_s: Seconds(150.0),
        curve: CurveFamily::Upper,
        reps: [5, 12],
        systemic: 2,
        spinal: 0,
        grip: 0,
        skill: 2,
        standing: setwright_model::exercise::Standing::Usual,
        asks: Vec::new(),
        easier: Vec::new(),
        harder: Vec::new(),
        anchor: None,
    }
}
