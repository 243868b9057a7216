//! What a simulated coach asks for: two whole-body workouts in turn, on fixed or on varied days.

use crate::client::WEEK_H;
use crate::draws::Draws;
use crate::habits::{Kind, Misfit};

/// An exercise of a workout.
pub struct Slot {
    /// Exercise of the built-in catalogue.
    pub exercise: &'static str,
    /// Which workout it is in, 0 or 1.
    pub workout: usize,
    /// Sets.
    pub sets: u32,
    /// Range from which the target reps of a block are taken.
    pub reps: (u32, u32),
    /// 1RM beside that of the bench press (invented).
    pub share_of_bench: f64,
}

const fn slot(exercise: &'static str, workout: usize, sets: u32, reps: (u32, u32), share: f64) -> Slot {
    Slot { exercise, workout, sets, reps, share_of_bench: share }
}

/// Both workouts.
pub const SLOTS: [Slot; 14] = [
    slot("back_squat", 0, 3, (5, 10), 1.3),
    slot("bench_press", 0, 4, (5, 10), 1.0),
    slot("barbell_row", 0, 3, (6, 12), 0.9),
    slot("lying_leg_curl", 0, 3, (8, 14), 0.5),
    slot("dumbbell_lateral_raise", 0, 3, (10, 15), 0.18),
    slot("barbell_curl", 0, 3, (8, 14), 0.5),
    slot("triceps_pushdown", 0, 2, (8, 14), 0.5),
    slot("romanian_deadlift", 1, 3, (6, 12), 1.4),
    slot("incline_dumbbell_press", 1, 4, (6, 12), 0.4),
    slot("lat_pulldown", 1, 3, (8, 12), 0.9),
    slot("leg_extension", 1, 3, (10, 15), 0.8),
    slot("overhead_press", 1, 3, (5, 10), 0.62),
    slot("cable_overhead_extension", 1, 3, (8, 14), 0.45),
    slot("standing_calf_machine_raise", 1, 3, (10, 15), 1.3),
];

/// Hours at which sessions start, those missed left out.
pub fn hours(kind: Kind, chance: &mut dyn Draws) -> Vec<f64> {
    let mut all = Vec::new();
    for week in 0..kind.weeks {
        let holiday = kind.misfit == Misfit::Sloppy && (20..22).contains(&week);
        for day in days(kind, chance) {
            let hour = if kind.varied { 7.0 + 13.0 * chance.unit() } else { 17.0 + 2.0 * chance.unit() };
            let missed = chance.unit() < 0.08;
            if !missed && !holiday {
                all.push(f64::from(week) * WEEK_H + f64::from(day) * 24.0 + hour);
            }
        }
    }
    all
}

/// Days of a week, in order.
fn days(kind: Kind, chance: &mut dyn Draws) -> Vec<u32> {
    let fixed: &[u32] = match kind.sessions {
        0 | 1 => &[0],
        2 => &[0, 3],
        3 => &[0, 2, 4],
        _ => &[0, 1, 3, 4],
    };
    if !kind.varied {
        return fixed.to_vec();
    }
    let mut all: Vec<u32> = (0..7).collect();
    while all.len() > fixed.len() {
        all.remove(chance.below(all.len()));
    }
    all
}
