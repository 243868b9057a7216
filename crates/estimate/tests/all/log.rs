//! Logs made by hand, without chance: a client whose strength follows the equations exactly.

use setwright_estimate::{History, LoggedSession, LoggedSet, Prior};
use setwright_gym::catalogue;
use setwright_model::{ExerciseId, FractionalSets, Hours, Kilograms, Muscle, Reps};
use setwright_science::{curve, recovery};

/// Gaps between sessions that come round again, in hours: short and long.
const GAPS_H: [f64; 5] = [24.0, 72.0, 36.0, 96.0, 48.0];

/// A log of curls whose elbow flexors recover with `tau_h`: so many sessions of six sets.
pub fn curls(sessions: usize, tau_h: f64) -> History {
    let id = ExerciseId::from("barbell_curl");
    let family = catalogue::builtin().get(&id).unwrap().curve;
    let share = biceps_share();
    let bias = Prior::population().strength.rir_bias.0;
    let (mut at_h, mut left) = (0.0, 0.0);
    let mut history = History::default();
    for nth in 0..sessions {
        let gap_h = GAPS_H[nth % GAPS_H.len()];
        at_h += gap_h;
        left *= libm::exp(-gap_h / tau_h);
        let now = 40.0 * libm::exp(-share * left);
        let load = curve::load_for(Kilograms(now), Reps(8.0), Reps(2.0), curve::Curve::of(family));
        history.sessions.push(LoggedSession { at: Hours(at_h), sets: vec![set(&id, load, Some(2.0)); 6] });
        left += recovery::drop(FractionalSets(6.0), 2.0 + bias).get();
    }
    history
}

/// A set of eight.
pub fn set(id: &ExerciseId, load: Kilograms, rir: Option<f64>) -> LoggedSet {
    LoggedSet { exercise: id.clone(), load: Some(load), reps: Reps(8.0), rir: rir.map(Reps) }
}

/// What the elbow flexors stand for in a curl, the forearms taking the rest.
fn biceps_share() -> f64 {
    let exercise = catalogue::builtin().get(&"barbell_curl".into()).unwrap();
    let square = |m: Muscle| exercise.contribution(m) * exercise.contribution(m);
    square(Muscle::Biceps) / Muscle::ALL.map(square).iter().sum::<f64>()
}
