//! Loadable weights: which loads can be made with the equipment there is, and rounding to them.
//!
//! What hangs together is added up in whole grams or whole hundredths of a pound, so a load that can be made is made
//! exactly. It does not know how heavy a set should be; which discs hang in which order is the business of
//! [`crate::discs`].

mod weights;

use setwright_model::brief::{Brief, Equipment};
use setwright_model::exercise::LoadKind;
use setwright_model::{Exercise, Kilograms, MassUnit};

/// Whether a pair of kettlebells of one weight can be taken. What is listed wrongly is refused where loads are made.
pub(crate) fn has_kettlebell_pair(equipment: &Equipment) -> bool {
    weights::kettlebells(equipment, true).map_or(true, |bells| !bells.is_empty())
}

/// Float dust that does not count when rounding, in kilograms (numeric).
const DUST_KG: f64 = 1e-5;
/// A load this near to one that can be made is that load: half a gram (numeric).
const NEAR_KG: f64 = 0.000_5;

/// Largest count that is reckoned with, so that sums stay within their type (numeric).
const COUNT_MAX: u32 = u32::MAX / 8;

/// What a piece of equipment is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unit {
    Gram,
    /// A hundredth of a pound: plates go down to a quarter of one.
    CentiPound,
}

impl Unit {
    /// What a person writes such masses in.
    pub(crate) const fn written(self) -> MassUnit {
        match self {
            Self::Gram => MassUnit::Kg,
            Self::CentiPound => MassUnit::Lb,
        }
    }

    /// Mass of so many, in kilograms.
    pub(crate) fn kg(self, count: u32) -> f64 {
        match self {
            Self::Gram => f64::from(count) / 1000.0,
            Self::CentiPound => Kilograms::from_lb(f64::from(count) / 100.0).get(),
        }
    }

    /// The nearest count to a mass.
    pub(crate) fn count(self, kg: f64) -> Option<u32> {
        let count = match self {
            Self::Gram => (kg * 1000.0).round(),
            Self::CentiPound => (Kilograms(kg).to_lb() * 100.0).round(),
        };
        (count >= 0.0 && count <= f64::from(COUNT_MAX)).then_some(count as u32)
    }
}

/// A mass that is a whole number of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Mass {
    pub count: u32,
    pub unit: Unit,
}

impl Mass {
    pub(crate) const fn grams(count: u32) -> Self {
        Self { count, unit: Unit::Gram }
    }

    pub(crate) const fn centi_pounds(count: u32) -> Self {
        Self { count, unit: Unit::CentiPound }
    }

    pub(crate) fn kg(self) -> f64 {
        self.unit.kg(self.count)
    }
}

/// A kind of disc.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Disc {
    /// Mass of one, in the unit of the rack.
    pub mass: u32,
    /// How many there are for one side.
    pub count: u32,
    /// What the number on it is in, whatever the rack is counted in.
    pub marked: MassUnit,
}

/// What discs hang on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Rack {
    /// The bar; nothing for a machine or a belt.
    pub base: Mass,
    /// Two for a bar; one for a belt or the end of a bar.
    pub sides: u32,
    /// What the discs are counted in.
    pub unit: Unit,
    /// Kinds of discs, heaviest first.
    pub discs: Vec<Disc>,
}

/// The loads that can be made.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Loadable {
    /// Every load in kilograms, lightest first.
    loads_kg: Vec<f64>,
    /// The discs, where there are any.
    rack: Option<Rack>,
}

impl Loadable {
    /// The loads that can be made for an exercise with this equipment; a usual gym's where the brief says
    /// nothing.
    ///
    /// # Errors
    /// A sentence about the entry of the equipment that makes no sense.
    pub fn of(equipment: &Equipment, exercise: &Exercise) -> Result<Self, String> {
        weights::loadable(equipment, exercise)
    }

    /// The loads that can be made for a client: besides what the equipment makes, what was told to be lifted in a machine
    /// with a stack, whose pins differ from maker to maker.
    ///
    /// # Errors
    /// A sentence about the entry of the equipment that makes no sense.
    pub fn of_client(brief: &Brief, exercise: &Exercise) -> Result<Self, String> {
        let made = Self::of(&brief.equipment, exercise)?;
        if exercise.load != LoadKind::Stack {
            return Ok(made);
        }
        let told = brief.lifts.iter().filter(|l| l.exercise == exercise.id).map(|l| l.load_kg);
        let told = told.filter(|kg| kg.get() > 0.0 && kg.get() <= weights::MOST_KG && !made.is_loadable(*kg));
        let told: Vec<f64> = told.map(Kilograms::get).collect();
        Ok(Self::sorted(made.loads_kg.into_iter().chain(told).collect(), None))
    }

    /// Nothing that can be weighed: the body alone, a band.
    pub fn none() -> Self {
        Self::default()
    }

    /// A bar and pairs of discs.
    ///
    /// # Errors
    /// A sentence about the bar or disc that makes no sense.
    pub fn bar(bar: Kilograms, pairs: &[(Kilograms, u32)]) -> Result<Self, String> {
        let (unit, discs) = weights::pairs_of(&weights::in_grams(pairs)?)?;
        Ok(Self::hung(Rack { base: weights::mass("bar", bar)?, sides: 2, unit, discs }))
    }

    /// A list of single weights.
    ///
    /// # Errors
    /// A sentence about the weight that makes no sense.
    pub fn list(weights: &[Kilograms]) -> Result<Self, String> {
        let all: Result<Vec<Mass>, String> = weights.iter().map(|w| weights::mass("weight", *w)).collect();
        Ok(Self::listed(all?))
    }

    /// A stack of equal steps.
    ///
    /// # Errors
    /// A sentence about the step when it makes no sense.
    pub fn stack(step: Kilograms, most: Kilograms) -> Result<Self, String> {
        let step = weights::mass("stack step", step)?;
        let most = step.unit.count(most.get()).unwrap_or(0).min(weights::MOST_G);
        Ok(Self::listed((1..=most / step.count).map(|n| Mass { count: n * step.count, ..step })))
    }

    pub(crate) fn listed(masses: impl IntoIterator<Item = Mass>) -> Self {
        Self::sorted(masses.into_iter().map(Mass::kg).collect(), None)
    }

    pub(crate) fn hung(rack: Rack) -> Self {
        let loads_kg = rack.sums().into_iter().map(|sum| rack.load_kg(sum)).collect();
        Self::sorted(loads_kg, Some(rack))
    }

    fn sorted(mut loads_kg: Vec<f64>, rack: Option<Rack>) -> Self {
        loads_kg.sort_by(f64::total_cmp);
        loads_kg.dedup_by(|a, b| (*a - *b).abs() < DUST_KG);
        Self { loads_kg, rack }
    }

    pub(crate) const fn rack(&self) -> Option<&Rack> {
        self.rack.as_ref()
    }

    /// Whether nothing can be weighed.
    pub const fn is_none(&self) -> bool {
        self.loads_kg.is_empty()
    }

    /// The lightest load: the empty bar, the first dumbbell.
    pub fn lightest(&self) -> Option<Kilograms> {
        self.loads_kg.first().copied().map(Kilograms)
    }

    /// The heaviest load.
    pub fn heaviest(&self) -> Option<Kilograms> {
        self.loads_kg.last().copied().map(Kilograms)
    }

    /// All loads, lightest first.
    pub fn all(&self) -> impl Iterator<Item = Kilograms> + '_ {
        self.loads_kg.iter().copied().map(Kilograms)
    }

    /// The heaviest loadable not above `load`; none when even the lightest is too heavy.
    pub fn round_down(&self, load: Kilograms) -> Option<Kilograms> {
        self.place(load).checked_sub(1).and_then(|i| self.at(i))
    }

    /// The lightest loadable not under `load`; none when even the heaviest is too light.
    pub fn round_up(&self, load: Kilograms) -> Option<Kilograms> {
        let wanted_kg = load.get() - DUST_KG;
        self.at(self.loads_kg.partition_point(|kg| *kg < wanted_kg))
    }

    /// The nearest loadable; the lighter one when two are equally near.
    pub fn nearest(&self, load: Kilograms) -> Option<Kilograms> {
        let (below, above) = (self.round_down(load), self.round_up(load));
        match (below, above) {
            (Some(low), Some(high)) if high - load < load - low => Some(high),
            (Some(low), _) => Some(low),
            (None, high) => high,
        }
    }

    /// Whether exactly this load can be made.
    pub fn is_loadable(&self, load: Kilograms) -> bool {
        let from = self.loads_kg.partition_point(|kg| *kg < load.get() - NEAR_KG);
        self.loads_kg.get(from).is_some_and(|kg| (kg - load.get()).abs() <= NEAR_KG)
    }

    /// How many loadable steps lead from `from` to `to`, both rounded down; negative when `to` is lighter.
    pub fn steps_between(&self, from: Kilograms, to: Kilograms) -> i64 {
        self.place(to) as i64 - self.place(from) as i64
    }

    /// The next loadable above `load`.
    pub fn above(&self, load: Kilograms) -> Option<Kilograms> {
        self.at(self.place(load))
    }

    /// The next loadable under `load`.
    pub fn below(&self, load: Kilograms) -> Option<Kilograms> {
        let lower = self.place(load).checked_sub(1)?;
        let i = if self.is_loadable(load) { lower.checked_sub(1)? } else { lower };
        self.at(i)
    }

    /// How many loadables are not above `load`.
    fn place(&self, load: Kilograms) -> usize {
        let wanted_kg = load.get() + DUST_KG;
        self.loads_kg.partition_point(|kg| *kg <= wanted_kg)
    }

    fn at(&self, i: usize) -> Option<Kilograms> {
        self.loads_kg.get(i).copied().map(Kilograms)
    }
}

impl Rack {
    /// The load with so much on each side.
    fn load_kg(&self, side: u32) -> f64 {
        let hung = self.sides * side;
        if self.base.unit == self.unit {
            return self.unit.kg(self.base.count + hung);
        }
        self.base.kg() + self.unit.kg(hung)
    }

    /// What must hang on each side for a load, in the unit of the discs, when it is a whole number of them.
    pub(crate) fn side(&self, load: Kilograms) -> Option<u32> {
        let side = self.unit.count((load.get() - self.base.kg()) / f64::from(self.sides))?;
        ((self.load_kg(side) - load.get()).abs() <= NEAR_KG).then_some(side)
    }

    /// Greatest common divisor of the discs: the step in which a side is counted.
    pub(crate) fn step(&self) -> u32 {
        self.discs.iter().fold(0, |step, d| gcd(step, d.mass)).max(1)
    }

    /// Every sum that a side can have, lightest first, up to the heaviest load that is taken as meant.
    fn sums(&self) -> Vec<u32> {
        let step = self.step();
        let all: u64 = self.discs.iter().map(|d| u64::from(d.mass) * u64::from(d.count)).sum();
        let limit = self.unit.count(weights::MOST_KG).unwrap_or(0) / self.sides;
        let most = all.min(u64::from(limit)) as u32;
        let mut can = vec![false; (most / step) as usize + 1];
        can[0] = true;
        for disc in &self.discs {
            add_disc(&mut can, (disc.mass / step) as usize, disc.count);
        }
        (0..).zip(can).filter(|(_, made)| *made).map(|(n, _): (u32, bool)| n * step).collect()
    }
}

/// Marks the sums that up to `count` more discs of `mass` units reach.
fn add_disc(can: &mut [bool], mass: usize, count: u32) {
    let mut used = vec![0_u32; can.len()];
    for sum in mass..can.len() {
        if !can[sum] && can[sum - mass] && used[sum - mass] < count {
            can[sum] = true;
            used[sum] = used[sum - mass] + 1;
        }
    }
}

fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn garage() -> Loadable {
        let pairs = [(20.0, 2), (10.0, 1), (5.0, 1), (2.5, 1)].map(|(kg, n)| (Kilograms(kg), n));
        Loadable::bar(Kilograms(20.0), &pairs).unwrap()
    }

    #[test]
    fn a_bar_is_rounded_down_to_what_hangs_on_it() {
        let bar = garage();
        assert_eq!(bar.round_down(Kilograms(63.9)), Some(Kilograms(60.0)));
        assert_eq!(bar.round_down(Kilograms(65.0)), Some(Kilograms(65.0)));
        assert_eq!(bar.round_down(Kilograms(500.0)), Some(Kilograms(135.0)));
        assert_eq!(bar.round_down(Kilograms(19.9)), None);
        assert_eq!(bar.round_up(Kilograms(60.1)), Some(Kilograms(65.0)));
        assert_eq!(bar.round_up(Kilograms(136.0)), None);
    }

    #[test]
    fn the_nearest_load_is_the_lighter_one_of_two() {
        let bar = garage();
        assert_eq!(bar.nearest(Kilograms(62.5)), Some(Kilograms(60.0)));
        assert_eq!(bar.nearest(Kilograms(62.6)), Some(Kilograms(65.0)));
        assert_eq!(bar.nearest(Kilograms(4.0)), Some(Kilograms(20.0)));
    }

    #[test]
    fn steps_are_counted_both_ways() {
        let bar = garage();
        assert_eq!(bar.steps_between(Kilograms(60.0), Kilograms(70.0)), 2);
        assert_eq!(bar.steps_between(Kilograms(70.0), Kilograms(60.0)), -2);
        assert_eq!(bar.above(Kilograms(60.0)), Some(Kilograms(65.0)));
        assert_eq!(bar.below(Kilograms(60.0)), Some(Kilograms(55.0)));
        assert_eq!(bar.below(Kilograms(61.0)), Some(Kilograms(60.0)));
        assert_eq!(bar.below(Kilograms(20.0)), None);
    }

    #[test]
    fn no_discs_leave_the_bar() {
        let bar = Loadable::bar(Kilograms(20.0), &[(Kilograms(20.0), 0)]).unwrap();
        assert_eq!(bar.all().collect::<Vec<_>>(), vec![Kilograms(20.0)]);
    }

    #[test]
    fn nothing_to_weigh_gives_no_load() {
        let none = Loadable::none();
        assert!(none.is_none());
        assert_eq!(none.round_down(Kilograms(50.0)), None);
        assert_eq!(none.nearest(Kilograms(50.0)), None);
        assert_eq!(none.steps_between(Kilograms(5.0), Kilograms(50.0)), 0);
    }

    #[test]
    fn what_is_no_number_is_not_loadable() {
        assert!(!garage().is_loadable(Kilograms(f64::NAN)));
        assert_eq!(garage().round_down(Kilograms(f64::NAN)), None);
        assert!(!garage().is_loadable(Kilograms(-20.0)));
    }

    fn any_rack() -> impl Strategy<Value = Loadable> {
        prop::collection::vec((1_u32..40, 0_u32..4), 0..5).prop_map(|discs| {
            let pairs: Vec<_> = discs.iter().map(|(q, n)| (Kilograms(f64::from(*q) * 0.625), *n)).collect();
            Loadable::bar(Kilograms(20.0), &pairs).unwrap()
        })
    }

    /// All sums by trying every number of every disc.
    fn sums_by_trial(discs: &[Disc]) -> Vec<u32> {
        let mut sums = vec![0];
        for disc in discs {
            sums = sums.iter().flat_map(|s| (0..=disc.count).map(move |n| s + n * disc.mass)).collect();
        }
        sums.sort_unstable();
        sums.dedup();
        sums
    }

    proptest! {
        #[test]
        fn every_sum_of_discs_is_known_and_no_other(bar in any_rack()) {
            let rack = bar.rack().unwrap();
            let mut wanted = sums_by_trial(&rack.discs);
            wanted.retain(|g| *g <= weights::MOST_G / 2);
            prop_assert_eq!(rack.sums(), wanted);
        }

        #[test]
        fn rounding_down_never_goes_up_and_stays_loadable(bar in any_rack(), kg in 0.0..300.0_f64) {
            if let Some(load) = bar.round_down(Kilograms(kg)) {
                prop_assert!(load.get() <= kg + 1e-4);
                prop_assert!(bar.is_loadable(load));
                prop_assert_eq!(bar.round_down(load), Some(load));
                prop_assert!(bar.above(load).is_none_or(|next| next.get() > kg));
            } else {
                prop_assert!(kg < 20.0);
            }
        }

        #[test]
        fn the_nearest_load_is_no_farther_than_any_other(bar in any_rack(), kg in 0.0..300.0_f64) {
            let near = bar.nearest(Kilograms(kg)).unwrap();
            for other in bar.all() {
                prop_assert!((near.get() - kg).abs() <= (other.get() - kg).abs() + 1e-4);
            }
        }
    }
}
