//! Value as whole numbers: benefit by dose, price of strain and of effort, ranges of dose by muscle, and what lifts bring
//! by being in so many sessions.

use crate::lift::Candidate;
use crate::quotas::Quotas;
use crate::rules::{Client, session_amount, weekly_amount};
pub use crate::units::{DOSE_UNIT, POINT, WORTH_UNIT};
use crate::units::{SESSIONS, TIME_STEP_S};
use setwright_model::brief::{Brief, Goal, MuscleWish};
use setwright_model::{FractionalSets, Hours, Muscle};
use setwright_science::rules::{self, DEBT_WEIGHT};
use setwright_science::{amounts, dose};

/// Units of strain in a set.
pub const STRAIN_UNIT: f64 = (1 << STRAIN_UNIT_BITS) as f64;
const STRAIN_UNIT_BITS: u32 = 10;
/// Longest quality dose of the tables, in sets a cycle.
const DOSE_MAX_SETS: usize = 120;
/// Weekly sets of the target that the table of benefit is made for; others are stretched to it.
const TABLE_TARGET: f64 = 10.0;
/// No limit of a dose.
pub const UNLIMITED: i32 = i32::MAX / 4;

/// Value tables of a problem.
#[derive(Clone, Debug)]
pub struct Tables {
    /// Benefit of a cycle's quality dose of weight one at a target of ten weekly sets, in millionths of a point, by
    /// dose units.
    benefit: Vec<i32>,
    /// Ten over the target of each muscle, in 1/1024.
    stretch: [i64; Muscle::COUNT],
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
    /// 1 where lifts have prices, 0 where only minutes or rules count.
    pub scale: i64,
    /// Worth of an exercise kept from the programme before, in millionths of a point.
    pub kept_worth: i64,
    /// Price of a time step, in millionths.
    pub time_price: i64,
    /// Price of effort, by session and quarters of a set.
    effort: Vec<Vec<i64>>,
    /// By lift: what being in so many sessions of the cycle brings.
    pub lift_value: Vec<[i64; SESSIONS + 1]>,
    /// By lift: how it counts for each of the rules' counts.
    pub signs: Vec<Vec<i16>>,
    /// Cost of a unit of shortfall in the search, in millionths of a point: more than a unit could bring. A plan
    /// that keeps every rule has none.
    pub shortfall_price: i64,
    /// Recovery time constants.
    pub tau: [Hours; Muscle::COUNT],
    /// Whether minutes are minimised instead of benefit maximised.
    pub minutes_mode: bool,
}

impl Tables {
    /// Tables for a client.
    pub fn new(client: &Client<'_>, sets_most: &[u32], minutes_mode: bool) -> Self {
        let brief = client.brief;
        let wish = |m: Muscle| brief.muscles.get(&m);
        let scale = if minutes_mode { 0.0 } else { 1.0 };
        let strain_set_price = (scale * rules::STRAIN_PRICE * POINT).round() as i64;
        let dear = if brief.goal == Goal::General { rules::HOUR_GENERAL } else { 1.0 };
        let hour = rules::HOUR_PRICE * dear;
        let target = |m: Muscle| amounts::weekly_target(brief, m).get();
        Self {
            benefit: benefit_table(brief.time.cycle_days),
            stretch: Muscle::ALL.map(|m| (1024.0 * TABLE_TARGET / target(m)).round() as i64),
            weight: rules::weights(brief).map(|w| (1024.0 * w * scale).round() as i64),
            strain_factor: [strain_set_price as f64 / (STRAIN_UNIT * STRAIN_UNIT); Muscle::COUNT],
            strain_set_price,
            free_strain: (rules::FREE_STRAIN_SETS * STRAIN_UNIT) as i64,
            strain_max: (client.rules.strain.get() * STRAIN_UNIT) as i64,
            least: Muscle::ALL.map(|m| quarters(wish(m).and_then(|w| w.least), brief, true).unwrap_or(0)),
            most: Muscle::ALL.map(|m| most(client, m, minutes_mode)),
            scale: scale as i64,
            kept_worth: (rules::KEPT_WORTH * scale * POINT) as i64,
            time_price: if minutes_mode {
                (POINT * TIME_STEP_S / 60.0) as i64
            } else {
                (hour * POINT * TIME_STEP_S / 3600.0).round() as i64
            },
            effort: sets_most
                .iter()
                .map(|most| {
                    let prices = session_amount::effort_prices(*most).into_iter();
                    prices.map(|p| (scale * POINT * p) as i64).collect()
                })
                .collect(),
            lift_value: Vec::new(),
            signs: Vec::new(),
            shortfall_price: (POINT * if minutes_mode { 8.0 } else { 1.5 }) as i64,
            tau: client.belief.tau,
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

    /// Lays out what depends on the lifts.
    pub fn lay_out(&mut self, client: &Client<'_>, lifts: &[Candidate], quotas: &Quotas) {
        let points = self.scale as f64 * POINT;
        let brings =
            |l: &Candidate| std::array::from_fn(|n| (points * client.brings(&l.exercise, n)).round() as i64);
        self.lift_value = lifts.iter().map(brings).collect();
        let sign = |l: &Candidate| {
            let of = |count: &crate::rules::Count| {
                let own = count.only.is_none_or(|k| client.mains[k] == l.exercise.id)
                    && count.muscle.is_none_or(|m| l.exercise.direct.contains(&m));
                if own { (count.sign)(&l.exercise, client) } else { 0 }
            };
            quotas.counts.iter().map(of).collect()
        };
        self.signs = lifts.iter().map(sign).collect();
    }

    /// Takes all value and price away: only the rules are left.
    pub fn free_of_value(&mut self) {
        self.weight = [0; Muscle::COUNT];
        self.strain_factor = [0.0; Muscle::COUNT];
        self.strain_set_price = 0;
        self.scale = 0;
        self.kept_worth = 0;
        self.time_price = 0;
        self.effort.iter_mut().flatten().for_each(|p| *p = 0);
        self.lift_value.iter_mut().for_each(|v| *v = [0; SESSIONS + 1]);
    }

    /// Benefit of a quality dose for a muscle, in millionths of a point.
    #[inline]
    pub fn benefit(&self, muscle: usize, dose: i64) -> i64 {
        let index = ((dose.max(0) * self.stretch[muscle]) >> 10) as usize;
        let own = self.benefit[index.min(self.benefit.len() - 1)];
        (i64::from(own) * self.weight[muscle]) >> 10
    }

    /// Longest dose for which benefit is tabled.
    pub fn longest_dose(&self) -> usize {
        self.benefit.len() - 1
    }

    /// Price of a strain for a muscle, in millionths of a point.
    #[inline]
    pub fn strain_price(&self, strain: i64) -> i64 {
        const SQUARE_BITS: u32 = 2 * STRAIN_UNIT_BITS;
        let over = (strain - self.free_strain).max(0);
        (over * over * self.strain_set_price) >> SQUARE_BITS
    }

    /// Price of the effort of a session, in millionths of a point.
    #[inline]
    pub fn effort(&self, session: usize, quarters: u32) -> i64 {
        let prices = &self.effort[session];
        prices[(quarters as usize).min(prices.len() - 1)]
    }

    /// Efforts of a session that have a price of their own.
    pub fn efforts(&self, session: usize) -> usize {
        self.effort[session].len()
    }

    /// Strain that a quarter-set given at `from` makes at `to`, in strain units.
    pub fn carry(&self, muscle: usize, from: Hours, to: Hours, cycle: Hours) -> i32 {
        let share = DEBT_WEIGHT * dose::carry(from, to, cycle, self.tau[muscle]);
        (share * STRAIN_UNIT / 4.0).ceil() as i32
    }
}

/// Most quarter-sets of a muscle over the cycle; what the coach has locked always fits.
fn most(client: &Client<'_>, muscle: Muscle, minutes_mode: bool) -> i32 {
    let brief = client.brief;
    let own = brief.muscles.get(&muscle).and_then(|w| w.most);
    let free = minutes_mode || brief.style.step.is_some();
    let wanted = if free { own } else { Some(weekly_amount::most(client, muscle)) };
    let Some(most) = quarters(wanted, brief, false) else { return UNLIMITED };
    if own.is_some() { most } else { most.max(weekly_amount::locked_quarters(client, muscle)) }
}

fn benefit_table(cycle_days: u32) -> Vec<i32> {
    (0..DOSE_MAX_SETS * DOSE_UNIT as usize)
        .map(|units| {
            let sets = FractionalSets(units as f64 / DOSE_UNIT);
            let share = dose::per_week(sets, cycle_days).get() / TABLE_TARGET;
            (amounts::benefit(share) * POINT).round() as i32
        })
        .collect()
}

/// A weekly dose as quarter-sets over the cycle.
fn quarters(per_week: Option<FractionalSets>, brief: &Brief, up: bool) -> Option<i32> {
    let exact = per_week?.get() * 4.0 * f64::from(brief.time.cycle_days) / 7.0;
    Some(if up { (exact - 1e-9).ceil() as i32 } else { (exact + 1e-9).floor() as i32 })
}
