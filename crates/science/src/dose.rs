//! Dose and benefit: fractional sets, what they are worth over a cycle, and the strain of a session.

use crate::rules::{DEBT_WEIGHT, FREE_STRAIN_SETS, SET_WORTH, STRAIN_PRICE};
use setwright_model::{Catalogue, Exercise, FractionalSets, Hours, Muscle, Session};

/// Fractional sets that `sets` sets of an exercise give to a muscle: 1 direct, 0.5 or 0.25 indirect
/// (Pelland 2025, Sports Med, doi 10.1007/s40279-025-02344-w (A): 1 direct and 0.5 indirect fit best).
pub fn of_sets(exercise: &Exercise, muscle: Muscle, sets: u32) -> FractionalSets {
    FractionalSets(exercise.contribution(muscle) * f64::from(sets))
}

/// Fractional sets by muscle, in the order of [`Muscle::ALL`].
pub type Doses = [FractionalSets; Muscle::COUNT];

/// Fractional sets by muscle of a session, in the order of [`Muscle::ALL`]. Exercises that the catalogue does
/// not have count for nothing here; the check names them.
pub fn of_session(session: &Session, catalogue: &Catalogue) -> Doses {
    let mut doses = [FractionalSets::ZERO; Muscle::COUNT];
    for prescription in session.prescriptions() {
        if let Some(exercise) = catalogue.get(&prescription.id) {
            for (muscle, share) in exercise.contributions() {
                doses[muscle.index()] += FractionalSets(share * f64::from(prescription.sets));
            }
        }
    }
    doses
}

/// Worth of `sets` sets of one exercise in a session, in sets of full worth: further sets are worth less.
pub fn worth(sets: u32) -> f64 {
    (0..sets as usize).map(|k| SET_WORTH.get(k).or(SET_WORTH.last()).copied().unwrap_or(0.0)).sum()
}

/// Benefit of a muscle's weekly dose, in points: diminishing, near a square root (Pelland 2025 (A) for
/// diminishing returns; the square root from memory (m)).
pub fn benefit(sets_per_week: FractionalSets) -> f64 {
    sets_per_week.get().max(0.0).sqrt()
}

/// A dose over a cycle scaled to a week.
pub fn per_week(sets: FractionalSets, cycle_days: u32) -> FractionalSets {
    FractionalSets(sets.get() * 7.0 / f64::from(cycle_days.max(1)))
}

/// Price of the strain of a muscle in a session, in points: nothing up to a few sets, then ever steeper.
pub fn strain_price(strain: FractionalSets) -> f64 {
    let over = (strain.get() - FREE_STRAIN_SETS).max(0.0);
    STRAIN_PRICE * over * over
}

/// Share of a dose that is still there after `gap`, with time constant `tau`.
pub fn remaining(gap: Hours, tau: Hours) -> f64 {
    libm::exp(-gap.get() / tau.get().max(1e-6))
}

/// What is left in a muscle at the start of each session from all earlier ones, in fractional sets, in the
/// steady state of a cycle that repeats for ever. `starts` are the hours of the sessions' starts in the cycle.
pub fn debts(doses: &[FractionalSets], starts: &[Hours], cycle: Hours, tau: Hours) -> Vec<FractionalSets> {
    (0..doses.len())
        .map(|s| {
            let sum =
                (0..doses.len()).map(|p| doses[p].get() * carry(starts[p], starts[s], cycle, tau)).sum();
            FractionalSets(sum)
        })
        .collect()
}

/// Share of a dose given at `from` that is there at `to`, summed over all past cycles. A session finds its
/// own dose of earlier cycles, not of this one.
pub fn carry(from: Hours, to: Hours, cycle: Hours, tau: Hours) -> f64 {
    let mut gap_h = to.get() - from.get();
    while gap_h <= 0.0 {
        gap_h += cycle.get();
    }
    remaining(Hours(gap_h), tau) / (1.0 - remaining(cycle, tau))
}

/// Strain of a muscle in a session: its dose and the weighted debt that it meets.
pub fn strain(dose: FractionalSets, debt: FractionalSets) -> FractionalSets {
    FractionalSets(dose.get() + DEBT_WEIGHT * debt.get())
}
