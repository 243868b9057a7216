//! What a client can be expected to do: for every exercise the reps that are possible with the lightest and with the
//! heaviest load that can be made, as a distribution.
//!
//! In order of weight it goes by what was lifted, what is judged from it over anchors, what was tested, and norms by sex,
//! age, body mass and training age. It says what is likely, never what to load: loads come from what was lifted
//! ([`crate::strength`]). It decides nothing: who plans and who judges draws the line.

mod ability;
mod measure;
mod norms;

use crate::curve::Curve;
use crate::prescribe::Scheme;
use crate::told;
use ability::{Ability, Part};
pub use measure::ANCHORS_MAX;
use measure::measure;
pub(crate) use norms::in_fives;
use setwright_gym::loads::Loadable;
use setwright_model::belief::{Basis, StrengthBelief};
use setwright_model::brief::TestKind;
use setwright_model::exercise::{CurveFamily, LoadKind, Measure};
use setwright_model::{Belief, Brief, Exercise, Kilograms, Pattern, Reps, Share};

/// An exercise is usually given when so many in ten could do it (judgement).
pub const CHANCE_USUAL: f64 = 0.7;
/// It is not given when fewer than this could do it (judgement: eight times in ten it would fail).
pub const CHANCE_LEAST: f64 = 0.2;
/// A bell is written without a told lift when so many in ten could do the reps (judgement).
pub const CHANCE_SURE: f64 = 0.9;
/// Reps above the scheme that nine in ten have left with the heaviest load, from which on it is too light
/// (judgement: the last third of a long set, then nothing near failure).
pub const LIGHT_REPS: f64 = 6.0;
/// How sure one must be that a load is too light (judgement).
const LIGHT_CHANCE: f64 = 0.9;
/// Spread between persons of the reps beyond the first at a share, in logarithm (Nuzzo 2024, Sports Med 54:303 (A),
/// less the noise of a test (D)).
const PERSON_SD: f64 = 0.25;
/// The same where reps of the movement itself are known (judgement: loads are near each other then).
const PERSON_KNOWN_SD: f64 = 0.12;
/// Least spread of a strength, in logarithm (numeric).
const SD_MIN: f64 = 0.01;
/// Least load in kilograms, where help takes the whole body away (numeric).
const LOAD_MIN_KG: f64 = 0.1;
/// What bands resist or help, in kilograms, thin to thick (common practice, no source (T); they vary).
const BAND_KG: (f64, f64) = (5.0, 25.0);
/// What the loops resist or help that carry a body at a bar, in kilograms (common practice, no source (T)).
const LOOP_KG: (f64, f64) = (10.0, 35.0);
/// Seconds of a plank, middle for women and men, and spread in logarithm (Strand 2014, J Hum Kinet 40:217, students
/// (m)).
const PLANK_S: ([f64; 2], f64) = ([72.0, 110.0], 0.5);
/// Spread of a hold that was tested, in logarithm (judgement).
const PLANK_TESTED_SD: f64 = 0.2;

/// Nodes and weights of a normal distribution (Gauss and Hermite, five nodes; numeric).
const NODES: [(f64, f64); 5] = [
    (-2.856_970_013_872_806, 0.011_257_411_327_720_7),
    (-1.355_626_179_974_266, 0.222_075_922_005_612_6),
    (0.0, 0.533_333_333_333_333_3),
    (1.355_626_179_974_266, 0.222_075_922_005_612_6),
    (2.856_970_013_872_806, 0.011_257_411_327_720_7),
];

/// The reps that are possible with the lightest and with the heaviest load that can be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Possible {
    /// With the lightest load, or the most help.
    pub lightest: Reach,
    /// With the heaviest load, or no help.
    pub heaviest: Reach,
}

/// How many reps (or seconds) are possible with a load, as a distribution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// How far the strength is above the load, in logarithm; for a hold the logarithm of the seconds.
    parts: [Part; 2],
    /// The load-rep curve; none for a hold.
    curve: Option<CurveFamily>,
    person_sd: f64,
}

impl Reach {
    /// The chance that at least so many can be done.
    pub fn chance(&self, reps: f64) -> Share {
        if reps <= 0.0 {
            return Share(1.0);
        }
        let sum: f64 = self.parts.iter().map(|part| part.weight * self.of_part(part, reps)).sum();
        Share(sum.clamp(0.0, 1.0))
    }

    fn of_part(&self, part: &Part, reps: f64) -> f64 {
        if part.weight <= 0.0 {
            return 0.0;
        }
        let Some(family) = self.curve else {
            return above((part.mean - libm::log(reps)) / part.sd.max(SD_MIN));
        };
        let at = |(node, weight): (f64, f64)| {
            let person = Curve::of(family).with_person(libm::exp(self.person_sd * node));
            let needed = -libm::log(person.share(Reps(reps)).get());
            weight * above((part.mean - needed) / part.sd.max(SD_MIN))
        };
        NODES.into_iter().map(at).sum()
    }

    /// The reps that can be done with this chance, at most [`crate::curve::REPS_MAX`]; seconds for a hold.
    pub fn reps_at(&self, chance: f64) -> Reps {
        let (mut low, mut high) = (0.0, if self.curve.is_some() { crate::curve::REPS_MAX } else { 3600.0 });
        for _ in 0..STEPS {
            let middle = 0.5 * (low + high);
            if self.chance(middle).get() >= chance {
                low = middle;
            } else {
                high = middle;
            }
        }
        Reps(low)
    }

    /// As many as half of such clients can do.
    pub fn reps(&self) -> Reps {
        self.reps_at(0.5)
    }
}

/// Halvings until a rep is known to a thousandth (numeric).
const STEPS: usize = 18;

/// Chance that a standard normal value lies under `z`.
fn above(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// What a client can be expected to do, for questions about many exercises.
#[derive(Clone, Debug)]
pub struct Capability<'a> {
    brief: &'a Brief,
    belief: &'a Belief,
    ability: Ability,
}

impl<'a> Capability<'a> {
    /// What is known of this client.
    pub fn of(brief: &'a Brief, belief: &'a Belief) -> Self {
        Self { brief, belief, ability: Ability::of(brief, belief) }
    }

    /// Of whom.
    pub const fn brief(&self) -> &'a Brief {
        self.brief
    }

    /// What is believed of the client.
    pub const fn belief(&self) -> &'a Belief {
        self.belief
    }

    /// Whether the lift itself was told, or the movement of the body tested: how many reps a load allows need not be judged then.
    pub fn knows_reps(&self, exercise: &Exercise) -> bool {
        let lifted = |b: &StrengthBelief| b.basis == Basis::Lifted;
        self.belief.one_rm.get(&exercise.id).is_some_and(lifted) || self.is_tested(exercise)
    }

    /// Whether the client was tested in the movement of the body that an exercise is, and could do it.
    pub fn is_tested(&self, exercise: &Exercise) -> bool {
        let body = matches!(exercise.load, LoadKind::Body | LoadKind::BodyPlus);
        body && measure(exercise).is_some_and(|m| m.sd <= 0.0 && self.ability.is_tested(m.family))
    }

    /// The reps that are possible with the lightest and the heaviest load; none where nothing can be said: no body mass and
    /// no lift, nothing to weigh, a movement that nobody measured.
    pub fn possible(&self, exercise: &Exercise) -> Option<Possible> {
        if exercise.measure == Measure::Seconds {
            let reach = self.hold(exercise)?;
            return Some(Possible { lightest: reach, heaviest: reach });
        }
        let (light, heavy) = self.extremes(exercise)?;
        let (strength, person_sd) = self.strength(exercise)?;
        let reach = |load: Kilograms| reach_of(exercise, &strength, person_sd, load);
        Some(Possible { lightest: reach(light), heaviest: reach(heavy) })
    }

    /// The reps that are possible with a load as the exercise counts it.
    pub fn with_load(&self, exercise: &Exercise, load: Kilograms) -> Option<Reach> {
        let all = told::total(exercise, load, self.brief.body.mass_kg)?;
        let (strength, person_sd) = self.strength(exercise)?;
        Some(reach_of(exercise, &strength, person_sd, all))
    }

    /// The chance that so many reps with so many in reserve can be done with the lightest load.
    pub fn chance(&self, exercise: &Exercise, reps: u32, rir: u32) -> Option<Share> {
        Some(self.possible(exercise)?.lightest.chance(f64::from(reps + rir)))
    }

    /// The bell of a list that nine in ten such clients can do the reps with, where no lift tells a load; none where that is the
    /// lightest of several: a number that says nothing is worse than none (judgement).
    pub fn expected_bell(&self, exercise: &Exercise, scheme: Scheme) -> Option<Kilograms> {
        let equipment = &self.brief.equipment;
        let listed = match exercise.load {
            LoadKind::Dumbbell | LoadKind::DumbbellPair => !equipment.dumbbells_kg.is_empty(),
            LoadKind::Kettlebell | LoadKind::KettlebellPair => !equipment.kettlebells_kg.is_empty(),
            _ => false,
        };
        if !listed || exercise.measure != Measure::Reps {
            return None;
        }
        let bells: Vec<Kilograms> = Loadable::of_client(self.brief, exercise).ok()?.all().collect();
        let reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0 + f64::from(scheme.rir);
        let can = |load: &&Kilograms| {
            self.with_load(exercise, **load).is_some_and(|r| r.chance(reps).get() >= CHANCE_SURE)
        };
        let best = bells.iter().rev().find(can)?;
        (bells.len() == 1 || Some(best) != bells.first()).then_some(*best)
    }

    /// Whether the heaviest load that can be made leaves nine in ten clients far more reps than the scheme wants.
    /// Where nothing heavier is at hand, light is still better than nothing: that is for the caller to say.
    pub fn is_too_light(&self, exercise: &Exercise, top_reps: u32, rir: u32) -> bool {
        self.possible(exercise).is_some_and(|p| is_light(&p.heaviest, top_reps, rir))
    }

    /// What the body alone is to this client in an exercise that lifts it.
    pub fn body_alone(&self, exercise: &Exercise, reps: [u32; 2], rir: u32) -> Option<BodyAlone> {
        let lifts_body = matches!(exercise.load, LoadKind::Body | LoadKind::BodyPlus);
        if !lifts_body || exercise.body_share.get() <= 0.0 || exercise.measure != Measure::Reps {
            return None;
        }
        let alone = self.with_load(exercise, Kilograms::ZERO)?;
        Some(if alone.chance(f64::from(reps[0] + rir)).get() < CHANCE_LEAST {
            BodyAlone::NeedsHelp
        } else if is_light(&alone, reps[1], rir) {
            BodyAlone::NeedsLoad
        } else {
            BodyAlone::Enough
        })
    }

    /// Strength in an exercise and the spread of the person factor.
    fn strength(&self, exercise: &Exercise) -> Option<([Part; 2], f64)> {
        if let Some(known) = self.belief.one_rm.get(&exercise.id) {
            let part = Part {
                weight: 1.0,
                mean: libm::log(known.one_rm.get().max(LOAD_MIN_KG)),
                sd: known.sd.get(),
            };
            let lifted = known.basis == Basis::Lifted;
            return Some(([part, Part::default()], if lifted { PERSON_KNOWN_SD } else { PERSON_SD }));
        }
        let measure = measure(exercise)?;
        let person_sd = if self.ability.is_tested(measure.family) { PERSON_KNOWN_SD } else { PERSON_SD };
        Some((self.ability.strength(&measure)?, person_sd))
    }

    /// The lightest and the heaviest load, the body included.
    fn extremes(&self, exercise: &Exercise) -> Option<(Kilograms, Kilograms)> {
        let mass = self.brief.body.mass_kg;
        let body = told::total(exercise, Kilograms::ZERO, mass)?;
        if exercise.load == LoadKind::Band {
            return band(exercise, body);
        }
        let loadable = Loadable::of_client(self.brief, exercise).ok()?;
        let all = |load| told::total(exercise, load, mass);
        match (loadable.lightest(), loadable.heaviest()) {
            (Some(most_help), Some(least_help)) if exercise.load == LoadKind::Assisted => {
                Some((all(least_help)?, all(most_help)?))
            }
            (Some(light), Some(heavy)) => Some((all(light)?, all(heavy)?)),
            _ => (body.get() > 0.0).then_some((body, body)),
        }
    }

    /// Seconds of a plank: tested, or by norms. Other holds are not known.
    fn hold(&self, exercise: &Exercise) -> Option<Reach> {
        let plank = exercise.pattern == Pattern::TrunkBrace && exercise.load == LoadKind::Body;
        if !plank || exercise.skill > 1 || exercise.unilateral {
            return None;
        }
        let tested = self.brief.tests.iter().filter(|t| t.what == TestKind::Plank).map(|t| t.count).max();
        let part = |weight, seconds: f64, sd| Part { weight, mean: libm::log(seconds.max(1.0)), sd };
        let parts = match (tested, self.brief.body.sex) {
            (Some(seconds), _) => [part(1.0, f64::from(seconds), PLANK_TESTED_SD), Part::default()],
            (None, Some(sex)) => [part(1.0, self.plank_s(sex as usize), PLANK_S.1), Part::default()],
            (None, None) => [0, 1].map(|sex| part(0.5, self.plank_s(sex), PLANK_S.1)),
        };
        Some(Reach { parts, curve: None, person_sd: 0.0 })
    }

    /// Seconds of a plank by norms; a third less in the first weeks (judgement).
    fn plank_s(&self, sex: usize) -> f64 {
        let new = self.brief.training_age == setwright_model::brief::TrainingAge::FirstWeeks;
        PLANK_S.0[sex] * if new { 2.0 / 3.0 } else { 1.0 }
    }
}

fn reach_of(exercise: &Exercise, strength: &[Part; 2], person_sd: f64, all: Kilograms) -> Reach {
    let load = libm::log(all.get().max(LOAD_MIN_KG));
    let parts = strength.map(|part| Part { mean: part.mean - load, ..part });
    Reach { parts, curve: Some(exercise.curve), person_sd }
}

fn is_light(reach: &Reach, top_reps: u32, rir: u32) -> bool {
    reach.chance(f64::from(top_reps + rir) + LIGHT_REPS).get() > LIGHT_CHANCE
}

/// Bands help where a body hangs, and resist elsewhere; without the body there is nothing to weigh.
fn band(exercise: &Exercise, body: Kilograms) -> Option<(Kilograms, Kilograms)> {
    if body.get() <= 0.0 {
        return None;
    }
    let kg = Kilograms;
    Some(if exercise.pattern == Pattern::VerticalPull {
        (body - kg(LOOP_KG.1), body - kg(LOOP_KG.0))
    } else {
        (body + kg(BAND_KG.0), body + kg(BAND_KG.1))
    })
}

/// What the body alone is to a client in an exercise that lifts it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BodyAlone {
    /// A fair set.
    Enough,
    /// Too light: a belt, a disc, a harder neighbour.
    NeedsLoad,
    /// Too heavy: help, or an easier neighbour.
    NeedsHelp,
}

/// What a chance means for an exercise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Offer {
    /// Not given: eight times in ten it would fail.
    No,
    /// An easier neighbour comes first, where there is one.
    EasierFirst,
    /// Given.
    Usual,
}

impl Offer {
    /// What this chance means.
    pub fn of(chance: Share) -> Self {
        match chance.get() {
            c if c < CHANCE_LEAST => Self::No,
            c if c < CHANCE_USUAL => Self::EasierFirst,
            _ => Self::Usual,
        }
    }
}

/// [`Capability::possible`] for one exercise.
pub fn possible(exercise: &Exercise, brief: &Brief, belief: &Belief) -> Option<Possible> {
    Capability::of(brief, belief).possible(exercise)
}

/// [`Capability::chance`] for one exercise.
pub fn chance(exercise: &Exercise, brief: &Brief, belief: &Belief, reps: u32, rir: u32) -> Option<Share> {
    Capability::of(brief, belief).chance(exercise, reps, rir)
}

/// [`Capability::is_too_light`] for one exercise.
pub fn too_light(exercise: &Exercise, brief: &Brief, belief: &Belief, top_reps: u32, rir: u32) -> bool {
    Capability::of(brief, belief).is_too_light(exercise, top_reps, rir)
}

/// Whether the body alone is too light for this client in an exercise that lifts it.
pub fn needs_load(exercise: &Exercise, brief: &Brief, belief: &Belief, reps: [u32; 2], rir: u32) -> bool {
    Capability::of(brief, belief).body_alone(exercise, reps, rir) == Some(BodyAlone::NeedsLoad)
}

/// Whether the body alone is too heavy for this client in an exercise that lifts it.
pub fn needs_help(exercise: &Exercise, brief: &Brief, belief: &Belief, reps: [u32; 2], rir: u32) -> bool {
    Capability::of(brief, belief).body_alone(exercise, reps, rir) == Some(BodyAlone::NeedsHelp)
}

#[cfg(test)]
mod tests;
