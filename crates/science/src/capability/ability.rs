//! Strength of one client in each family: norms, moved by what was lifted and tested.
//!
//! Families share one factor, so that a strong bench press also says something of pull-ups. Where the sex is not told
//! both norms are kept, weighed by how well they fit what is known. It judges no load: what is inferred here only says
//! what is likely to be possible.

use super::measure::{Measure, measure};
use super::norms::{Family, SHARED};
use crate::chair_rises::usual_rises;
use crate::curve::Curve;
use crate::told;
use setwright_gym::catalogue::builtin;
use setwright_model::belief::{Basis, StrengthBelief};
use setwright_model::brief::{Sex, Test, TestKind, Tick};
use setwright_model::exercise::{CurveFamily, LoadKind};
use setwright_model::{Belief, Brief, Exercise, Kilograms, Reps};

/// Share of the body in a press-up and from the knees (Ebben 2011, JSCR 25:2891 (M): 0.64 and 0.49; as the catalogue
/// has them).
const PRESS_UP_BODY: f64 = 0.65;
/// See [`PRESS_UP_BODY`] (M).
const KNEE_PRESS_UP_BODY: f64 = 0.5;
/// Machines differ in levers and friction: further spread of what one tells (judgement).
const MACHINE_SD: f64 = 0.2;
/// Least strength besides the body, in body masses, that a lift is taken to show: less is as much (numeric).
const OWN_MIN: f64 = 0.05;
/// Least variance that a lift is taken to have (numeric).
const VAR_MIN: f64 = 1e-4;
/// A norm steps back where the movement itself was done: its variance is taken for so much (judgement: twice the spread,
/// since a client is not drawn from the volunteers of a table).
const STEPS_BACK: f64 = 4.0;
/// Ticks that say as much as one repetition of a test.
const TICKS: [(Tick, TestKind); 2] =
    [(Tick::FullPressUp, TestKind::PressUps), (Tick::PullUp, TestKind::PullUps)];
/// Spread of how far below the load somebody is who could not lift it once, or above who could (judgement).
const NOT_ONCE_SD: f64 = 0.12;
/// Spread of rises from a chair (arithmetic (D): half of the people lie within 2.5 of the middle).
const CHAIR_RISES_SD: f64 = 3.7;
/// Correlation of that count with the leg press (Rikli and Jones 1999 (M): 0.71 women, 0.78 men).
const CHAIR_RISES_R: f64 = 0.75;

/// A normal distribution of the logarithm of strength in body masses, with its weight beside the other sex's.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Part {
    pub weight: f64,
    pub mean: f64,
    pub sd: f64,
}

/// Something known of a family: the logarithm of the strength in body masses.
#[derive(Clone, Copy)]
struct Seen {
    family: Family,
    value: f64,
    var: f64,
}

/// Mean and variance of every family.
type Families = [(f64, f64); Family::COUNT];

/// What is known of a client's strength, by family and for each sex that is possible.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ability {
    mass_kg: Option<f64>,
    families: [[Part; 2]; Family::COUNT],
    tested: [bool; Family::COUNT],
}

impl Ability {
    pub(crate) fn of(brief: &Brief, belief: &Belief) -> Self {
        let mass_kg = brief.body.mass_kg.map(Kilograms::get).filter(|kg| kg.is_finite() && *kg > 0.0);
        let done = |t: &&Test| t.count > 0;
        let of = |f: Family| move |t: &Test| counted(t.what).is_some_and(|c| c.0 == f);
        let tested = Family::ALL.map(|f| brief.tests.iter().filter(done).any(of(f)));
        let mut out = Self { mass_kg, families: Default::default(), tested };
        let Some(mass_kg) = mass_kg else { return out };
        let lifted: Vec<Seen> = lifted(belief, mass_kg).collect();
        let sexes =
            [Sex::Female, Sex::Male].into_iter().filter(|s| brief.body.sex.is_none_or(|told| told == *s));
        let found: Vec<(Sex, f64, Families)> = sexes.map(|s| weigh(brief, s, mass_kg, &lifted)).collect();
        let best = found.iter().map(|f| f.1).fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = found.iter().map(|f| libm::exp(f.1 - best)).sum();
        for (sex, evidence, families) in found {
            let weight = libm::exp(evidence - best) / sum;
            for (parts, (mean, var)) in out.families.iter_mut().zip(families) {
                parts[sex as usize] = Part { weight, mean, sd: libm::sqrt(var) };
            }
        }
        out
    }

    /// Strength in an exercise: the logarithm of kilograms; none while the body mass is not known.
    pub(crate) fn strength(&self, measure: &Measure) -> Option<[Part; 2]> {
        let mass_kg = self.mass_kg?;
        Some(self.families[measure.family as usize].map(|part| {
            let own = libm::exp(part.mean);
            let all = own + measure.body;
            let passed = part.sd * own / all;
            Part {
                weight: part.weight,
                mean: libm::log(mass_kg * measure.ratio * all),
                sd: libm::sqrt(passed * passed + measure.sd * measure.sd),
            }
        }))
    }

    /// Whether the client was tested in the movement that a family counts.
    pub(crate) const fn is_tested(&self, family: Family) -> bool {
        self.tested[family as usize]
    }
}

/// Evidence and families of a client of one sex.
fn weigh(brief: &Brief, sex: Sex, mass_kg: f64, lifted: &[Seen]) -> (Sex, f64, Families) {
    let prior = Family::ALL.map(|f| {
        let (mean, sd) = f.prior(brief, sex, mass_kg);
        (mean, sd * sd)
    });
    let tests = brief.tests.iter().filter_map(|t| {
        if t.what == TestKind::ChairRises {
            return Some(chair_rises(brief, sex, t.count, prior[Family::Squat as usize]));
        }
        let (family, body, curve) = counted(t.what)?;
        test(family, body, curve, t.count, prior[family as usize].0)
    });
    let ticks = TICKS.iter().filter_map(|(tick, kind)| {
        let (family, body, curve) = counted(*kind)?;
        ticked(brief, *tick, (*kind, family, body, curve), prior[family as usize].0)
    });
    let seen: Vec<Seen> = lifted.iter().copied().chain(tests).chain(ticks).collect();
    let (evidence, families) = posterior(&prior, &pooled(&seen));
    (sex, evidence, families)
}

/// The family, share of the body and curve of a test that counts repetitions to failure.
const fn counted(what: TestKind) -> Option<(Family, f64, CurveFamily)> {
    match what {
        TestKind::PressUps => Some((Family::PressUp, PRESS_UP_BODY, CurveFamily::Upper)),
        TestKind::KneePressUps => Some((Family::PressUp, KNEE_PRESS_UP_BODY, CurveFamily::Upper)),
        TestKind::PullUps => Some((Family::PullUp, 1.0, CurveFamily::Upper)),
        TestKind::Plank | TestKind::ChairRises => None,
    }
}

/// What a count tells. Not one says only that the strength is under the load: it tells nothing of somebody who was
/// expected to be weaker still.
fn test(family: Family, body: f64, curve: CurveFamily, count: u32, expected: f64) -> Option<Seen> {
    let curve = Curve::of(curve);
    let reps = Reps(f64::from(count));
    if count == 0 {
        let value = libm::log(body) - NOT_ONCE_SD;
        return (expected > value).then_some(Seen { family, value, var: NOT_ONCE_SD * NOT_ONCE_SD });
    }
    let value = libm::log(body / curve.share(reps).get());
    let sd = told::spread(reps, curve).get();
    Some(Seen { family, value, var: sd * sd })
}

/// What a tick tells where nobody counted: one can be done, or not one. It tells nothing of somebody who was expected to be
/// stronger, or weaker, still.
fn ticked(
    brief: &Brief,
    tick: Tick,
    of: (TestKind, Family, f64, CurveFamily),
    expected: f64,
) -> Option<Seen> {
    let (kind, family, body, curve) = of;
    if brief.tests.iter().any(|t| t.what == kind) {
        return None;
    }
    if brief.cannot.contains(&tick) {
        return test(family, body, curve, 0, expected);
    }
    let value = libm::log(body) + NOT_ONCE_SD;
    let tells = brief.can.contains(&tick) && expected < value;
    tells.then_some(Seen { family, value, var: NOT_ONCE_SD * NOT_ONCE_SD })
}

/// What rises from a chair tell of the legs: as many spreads above the middle, as far as the two go together.
fn chair_rises(brief: &Brief, sex: Sex, count: u32, (mean, var): (f64, f64)) -> Seen {
    let middle = usual_rises(brief.body.age, sex);
    let over = (f64::from(count) - middle) / CHAIR_RISES_SD;
    let r = CHAIR_RISES_R;
    Seen {
        family: Family::Squat,
        value: mean + libm::sqrt(var) * over / r,
        var: var * (1.0 - r * r) / (r * r),
    }
}

/// What lifts tell: those of more than one joint, whatever the tool.
fn lifted(belief: &Belief, mass_kg: f64) -> impl Iterator<Item = Seen> + '_ {
    belief.one_rm.iter().filter(|(_, b)| b.basis == Basis::Lifted).filter_map(move |(id, known)| {
        let exercise = builtin().get(id).filter(|e| e.pattern.is_compound())?;
        told(exercise, known, mass_kg)
    })
}

fn told(exercise: &Exercise, known: &StrengthBelief, mass_kg: f64) -> Option<Seen> {
    let measure = measure(exercise)?;
    let all = known.one_rm.get() / mass_kg / measure.ratio;
    let own = (all - measure.body).max(OWN_MIN);
    if !own.is_finite() {
        return None;
    }
    let machine = matches!(exercise.load, LoadKind::Stack | LoadKind::Discs | LoadKind::Assisted);
    let machine_sd = if machine { MACHINE_SD } else { 0.0 };
    let (known_sd, step_sd) = (known.sd.get() * all / own, measure.sd * all / own);
    let var = known_sd * known_sd + step_sd * step_sd + machine_sd * machine_sd;
    Some(Seen { family: measure.family, value: libm::log(own), var: var.max(VAR_MIN) })
}

/// One value for each family, by the weight of each.
fn pooled(seen: &[Seen]) -> [Option<(f64, f64)>; Family::COUNT] {
    Family::ALL.map(|family| {
        let of = seen.iter().filter(|s| s.family == family);
        let (sum, precision) =
            of.fold((0.0, 0.0), |(sum, precision), s| (sum + s.value / s.var, precision + 1.0 / s.var));
        (precision > 0.0).then_some((sum / precision, 1.0 / precision))
    })
}

/// Evidence and posterior under one shared factor: deviation of a family = sd (sqrt(shared) g + sqrt(1 - shared) e).
fn posterior(prior: &Families, seen: &[Option<(f64, f64)>; Family::COUNT]) -> (f64, Families) {
    // Of each family that was seen: how the factor moves it, its variance without the factor, how far it is off.
    let rows: Vec<(usize, f64, f64, f64)> = (0..Family::COUNT)
        .filter_map(|f| {
            let ((mean, var), (value, noise)) = (prior[f], seen[f]?);
            Some((f, libm::sqrt(SHARED * var), (1.0 - SHARED) * var + noise, value - mean))
        })
        .collect();
    let factor = |without: Option<usize>| {
        let others = rows.iter().filter(|r| Some(r.0) != without);
        let (precision, pull) =
            others.fold((1.0, 0.0), |(p, m), (_, by, var, off)| (p + by * by / var, m + by * off / var));
        (pull / precision, 1.0 / precision)
    };
    let families = std::array::from_fn(|f| {
        let (mean, var) = prior[f];
        let (g, g_var) = factor(Some(f));
        let expected = mean + libm::sqrt(SHARED * var) * g;
        let open = var * (SHARED * g_var + 1.0 - SHARED);
        seen[f].map_or((expected, open), |(value, noise)| {
            let open = open * STEPS_BACK;
            let trust = open / (open + noise);
            (expected + trust * (value - expected), open * noise / (open + noise))
        })
    });
    let (g, g_var) = factor(None);
    let sums: f64 = rows.iter().map(|(_, _, var, off)| libm::log(*var) + off * off / var).sum();
    (-0.5 * (sums - libm::log(g_var) - g * g / g_var), families)
}
