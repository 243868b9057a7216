//! Value as whole numbers: benefit by dose, price of strain, ranges of dose, by muscle.

use setwright_model::brief::{Brief, MuscleWish};
use setwright_model::{Belief, FractionalSets, Hours, Muscle};
use setwright_science::rules::{self, Rules};
use setwright_science::{dose, rules::DEBT_WEIGHT};

/// Worth is counted in this many parts of a set.
pub const WORTH_UNIT: f64 = 64.0;
/// Millionths of a point.
pub const POINT: f64 = 1e6;
/// Units of a quality dose in a set: quarter contributions times worth.
pub const DOSE_UNIT: f64 = 4.0 * WORTH_UNIT;
/// Units of strain in a set.
pub const STRAIN_UNIT: f64 = (1 << STRAIN_UNIT_BITS) as f64;
const STRAIN_UNIT_BITS: u32 = 10;
/// Longest quality dose of the tables, in sets a cycle.
const DOSE_MAX_SETS: usize = 120;

/// Value tables of a problem.
#[derive(Clone, Debug)]
pub struct Tables {
    /// Benefit of a cycle's quality dose of weight one, in millionths of a point, by dose units.
    pub benefit: Vec<i32>,
    /// Weight of each muscle in 1/1024.
    pub weight: [i64; Muscle::COUNT],
    /// Price of a strain unit squared above what is free, by muscle, in millionths of a point.
    pub strain_factor: [f64; Muscle::COUNT],
    /// The same, times the square of the units of a set: a whole number, so that the search needs no floats.
    strain_set_price: i64,
    /// Strain that costs nothing, in strain units.
    pub free_strain: i64,
    /// Ceiling of strain, in strain units.
    pub strain_max: i64,
    /// Least raw dose over the cycle, in quarter-sets.
    pub least: [i32; Muscle::COUNT],
    /// Most raw dose over the cycle, in quarter-sets.
    pub most: [i32; Muscle::COUNT],
    /// Price of an exercise in a session, in millionths.
    pub exercise_price: i64,
    /// Worth of an exercise kept from the programme before, in millionths of a point.
    pub kept_worth: i64,
    /// Price of a time step, in millionths.
    pub time_price: i64,
    /// Cost of a unit of shortfall in the search, in millionths of a point: more than a unit could bring. A plan
    /// that keeps every rule has none.
    pub shortfall_price: i64,
    /// Recovery time constants.
    pub tau: [Hours; Muscle::COUNT],
    /// Whether minutes are minimised instead of benefit maximised.
    pub minutes_mode: bool,
}

impl Tables {
    /// Tables for a brief.
    pub fn new(brief: &Brief, belief: &Belief, rules: &Rules, minutes_mode: bool) -> Self {
        let wish = |m: Muscle| brief.muscles.get(&m);
        let weights = rules::weights(brief);
        let scale = if minutes_mode { 0.0 } else { 1.0 };
        let strain_set_price = (scale * rules::STRAIN_PRICE * POINT).round() as i64;
        let step_h = crate::problem::TIME_STEP_S / 3600.0;
        Self {
            benefit: benefit_table(brief.time.cycle_days),
            weight: weights.map(|w| (1024.0 * w * scale).round() as i64),
            strain_factor: [strain_set_price as f64 / (STRAIN_UNIT * STRAIN_UNIT); Muscle::COUNT],
            strain_set_price,
            free_strain: (rules::FREE_STRAIN_SETS * STRAIN_UNIT) as i64,
            strain_max: (rules.strain.get() * STRAIN_UNIT) as i64,
            least: Muscle::ALL.map(|m| quarters(wish(m).and_then(|w| w.least), brief, true).unwrap_or(0)),
            most: Muscle::ALL
                .map(|m| quarters(wish(m).and_then(|w| w.most), brief, false).unwrap_or(i32::MAX / 4)),
            exercise_price: (rules::EXERCISE_PRICE * scale * POINT) as i64,
            kept_worth: (rules::KEPT_WORTH * scale * POINT) as i64,
            time_price: if minutes_mode {
                (POINT * crate::problem::TIME_STEP_S / 60.0) as i64
            } else {
                (rules::HOUR_PRICE * POINT * step_h).round() as i64
            },
            shortfall_price: (POINT * if minutes_mode { 8.0 } else { 1.5 }) as i64,
            tau: belief.tau,
            minutes_mode,
        }
        .with_default_least(brief, minutes_mode)
    }

    /// Fewest minutes needs doses to reach: where the brief names none, four weekly sets of each major muscle
    /// (the least that matters: Iversen 2021, Sports Med 51:2079 (A)).
    fn with_default_least(mut self, brief: &Brief, minutes_mode: bool) -> Self {
        let names_none = brief.muscles.values().all(|w: &MuscleWish| w.least.is_none());
        if minutes_mode && names_none {
            for muscle in Muscle::MAJOR {
                if !brief.exclude.muscles.contains(&muscle) {
                    self.least[muscle.index()] =
                        quarters(Some(FractionalSets(4.0)), brief, true).unwrap_or(0);
                }
            }
        }
        self
    }

    /// Takes all value and price away: only the rules are left.
    pub fn free_of_value(&mut self) {
        self.weight = [0; Muscle::COUNT];
        self.strain_factor = [0.0; Muscle::COUNT];
        self.strain_set_price = 0;
        self.exercise_price = 0;
        self.kept_worth = 0;
        self.time_price = 0;
    }

    /// Benefit of a quality dose for a muscle, in millionths of a point.
    pub fn benefit(&self, muscle: usize, dose: i64) -> i64 {
        let index = (dose.max(0) as usize).min(self.benefit.len() - 1);
        (i64::from(self.benefit[index]) * self.weight[muscle]) >> 10
    }

    /// Price of a strain for a muscle, in millionths of a point.
    pub fn strain_price(&self, strain: i64) -> i64 {
        const SQUARE_BITS: u32 = 2 * STRAIN_UNIT_BITS;
        let over = (strain - self.free_strain).max(0);
        (over * over * self.strain_set_price) >> SQUARE_BITS
    }

    /// Strain that a quarter-set given at `from` makes at `to`, in strain units.
    pub fn carry(&self, muscle: usize, from: Hours, to: Hours, cycle: Hours) -> i32 {
        let share = DEBT_WEIGHT * dose::carry(from, to, cycle, self.tau[muscle]);
        (share * STRAIN_UNIT / 4.0).ceil() as i32
    }
}

fn benefit_table(cycle_days: u32) -> Vec<i32> {
    (0..DOSE_MAX_SETS * DOSE_UNIT as usize)
        .map(|units| {
            let sets = FractionalSets(units as f64 / DOSE_UNIT);
            (dose::benefit(dose::per_week(sets, cycle_days)) * POINT).round() as i32
        })
        .collect()
}

/// A weekly dose as quarter-sets over the cycle.
fn quarters(per_week: Option<FractionalSets>, brief: &Brief, up: bool) -> Option<i32> {
    let exact = per_week?.get() * 4.0 * f64::from(brief.time.cycle_days) / 7.0;
    Some(if up { (exact - 1e-9).ceil() as i32 } else { (exact + 1e-9).floor() as i32 })
}
