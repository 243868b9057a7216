//! What a client can lift: 1RMs from the lifts of a brief, what they tell of other exercises (`judge`), and the
//! work load for a scheme.
//!
//! It believes no lift that [`implausible`] questions. It knows no log: what training shows is learned by
//! `estimate`, which hands on a belief of the same kind.

pub(crate) mod judge;

use crate::capability::Capability;
use crate::chair_rises;
use crate::conditions::{Care, has_stopped};
use crate::curve::{self, Curve};
use crate::plausible;
use crate::prescribe::{self, Scheme};
use crate::recovery;
use crate::told::body_part;
pub use crate::told::{DAY_SD, REPS_ERROR, REPS_ERROR_PER_REP, spread, total};
use judge::{Step, Web};
use setwright_gym::loads::Loadable;
use setwright_model::belief::{Basis, StrengthBelief};
use setwright_model::brief::{Brief, Lift};
use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::pattern::{Region, Side};
use setwright_model::{Belief, Catalogue, Exercise, ExerciseId, Kilograms, Pattern, Reps, Share};
use std::collections::BTreeMap;

/// Part of the strength from before a stop that the first loads go by (common practice, no source (T): about a tenth less, and
/// nobody tests a maximum on the first day).
const KEPT_AFTER_A_STOP: f64 = 0.9;
/// A set of at most this many reps, those in reserve counted, tells a 1RM better than a longer one (linear
/// equations are not for more: Reynolds 2006, JSCR 20:584 (A); the two reps on top are judgement).
pub const SHARP_REPS_MAX: f64 = 12.0;
/// A first load of a lift that is judged from another stands where nine in ten could lift more: so many spreads under
/// the middle (exact by definition of the lower tenth of a normal distribution).
pub const FIRST_LOAD_SDS: f64 = 1.2816;
/// The same in a machine, and of pulls, single joints and bells that hang, where the spine carries little: what is too heavy
/// there is put down or let go (judgement: three in four could lift more).
pub const FIRST_LOAD_GUIDED_SDS: f64 = 0.6745;
/// Where the nearest load that can be made is above that, it is taken if it is still so many spreads under the middle
/// (judgement: seven in ten can lift more).
pub const FIRST_LOAD_LEAST_SDS: f64 = 0.5;
/// With a wider spread than this nothing is judged: the first set finds the load (judgement: its lower tenth is then
/// under two thirds of the middle).
pub const JUDGED_SD_MAX: f64 = 0.33;
/// Chance of them from which the legs of somebody trained are given the most reps that an exercise is done for (judgement).
pub const BARE_CHANCE: f64 = 0.5;
/// A first load that can be made only at less than this share of what is likely is none: the first set finds it (judgement).
pub const FIRST_LOAD_LEAST_SHARE: f64 = 0.7;
/// The same where the next load that can be made is too near to what is likely (judgement).
pub const FIRST_LOAD_LAST_SHARE: f64 = 0.65;
/// More than a load, and no other (numeric).
const A_GRAM: Kilograms = Kilograms(0.001);
/// Of a lift that was done, what can be made beneath the work load counts as too light when it is so much under it, and the
/// nearest load is taken up to so much above (judgement: two reps and three; people under-predict the reps they have left by
/// about one: Halperin 2022, Sports Med 52:377 (A)).
pub const TOLD_UNDER: f64 = 0.05;
/// See [`TOLD_UNDER`] (judgement).
pub const TOLD_ABOVE: f64 = 0.09;
/// Reps that may be left beside those in reserve before a set with the heaviest load there is gets more of them (judgement).
const MORE_REPS_FREE: u32 = 1;
/// Reps in reserve of a set that is shorter than the scheme wants because its load cannot be made lighter (judgement: with two of
/// four in reserve nothing is left of the set).
const FEWER_REPS_RIR: u32 = 1;
/// Fewest told reps with help that are taken for a set's most (judgement).
const HELPED_REPS_LEAST: u32 = 4;
/// Between its fewest and most reps (judgement).
const FEWER_REPS_WIDTH: u32 = 2;
/// Fewest reps of a set that is given with a load too heavy for the reps that are wanted (judgement).
pub const FEWER_REPS_LEAST: f64 = 4.0;

/// Strength and recovery as the brief lets them be known.
pub fn belief(brief: &Brief, catalogue: &Catalogue) -> Belief {
    let mass = brief.body.mass_kg;
    let mut one_rm = with_judged(lifted(brief, catalogue), catalogue);
    one_rm.retain(|id, known| {
        known.basis == Basis::Lifted
            || catalogue.get(id).is_none_or(|e| !plausible::is_excessive(e, known.one_rm, mass))
    });
    Belief { one_rm, tau: recovery::tau_priors(brief) }
}

/// The 1RM that a lift tells of, with its spread; none when it cannot tell one or is implausible.
pub fn of_lift(lift: &Lift, exercise: &Exercise, body_mass: Option<Kilograms>) -> Option<StrengthBelief> {
    if exercise.measure != Measure::Reps || implausible(lift, exercise, body_mass).is_some() {
        return None;
    }
    let (reps, rir) = (Reps(f64::from(lift.reps)), Reps(f64::from(lift.rir)));
    let load = total(exercise, lift.load_kg, body_mass).filter(|kg| kg.get() > 0.0)?;
    let curve = Curve::of(exercise.curve);
    let one_rm = curve::one_rm(load, reps, rir, curve);
    Some(StrengthBelief { one_rm, basis: Basis::Lifted, sd: spread(reps + rir, curve) })
}

fn lifted(brief: &Brief, catalogue: &Catalogue) -> BTreeMap<ExerciseId, StrengthBelief> {
    let mut best: BTreeMap<ExerciseId, (bool, StrengthBelief)> = BTreeMap::new();
    let kept = if has_stopped(brief) { KEPT_AFTER_A_STOP } else { 1.0 };
    for lift in &brief.lifts {
        let Some(exercise) = catalogue.get(&lift.exercise) else { continue };
        let Some(told) = of_lift(lift, exercise, brief.body.mass_kg) else { continue };
        let sharp = f64::from(lift.reps) + f64::from(lift.rir) <= SHARP_REPS_MAX;
        let better =
            best.get(&lift.exercise).is_none_or(|(s, b)| (sharp, told.one_rm.get()) > (*s, b.one_rm.get()));
        if better {
            best.insert(lift.exercise.clone(), (sharp, told));
        }
    }
    let faded = |told: StrengthBelief| StrengthBelief { one_rm: told.one_rm * kept, ..told };
    best.into_iter().map(|(id, (_, told))| (id, faded(told))).collect()
}

/// Adds what can be judged from the lifts that were done, each over one step. The step with the smallest spread counts,
/// of equal ones the lower value; what is too wide, or beyond what anybody lifts, is left open.
pub fn with_judged(
    mut known: BTreeMap<ExerciseId, StrengthBelief>,
    catalogue: &Catalogue,
) -> BTreeMap<ExerciseId, StrengthBelief> {
    let web = Web::of(catalogue);
    let judged: Vec<(ExerciseId, StrengthBelief)> = web
        .all()
        .filter(|e| !known.contains_key(&e.id))
        .filter_map(|e| Some((e.id.clone(), judged(e, &known, &web)?)))
        .collect();
    known.extend(judged);
    known
}

fn judged(
    exercise: &Exercise,
    known: &BTreeMap<ExerciseId, StrengthBelief>,
    web: &Web<'_>,
) -> Option<StrengthBelief> {
    let lifted = known.iter().filter(|(_, source)| source.basis == Basis::Lifted);
    let all = lifted.filter_map(|(id, source)| Some(judge(source, web.tells(id, &exercise.id)?)));
    all.filter(|judged| judged.sd.get() <= JUDGED_SD_MAX)
        .min_by(|a, b| a.sd.get().total_cmp(&b.sd.get()).then(a.one_rm.get().total_cmp(&b.one_rm.get())))
        .filter(|judged| !plausible::is_excessive(exercise, judged.one_rm, None))
}

fn judge(source: &StrengthBelief, step: Step) -> StrengthBelief {
    let (own, further) = (source.sd.get(), step.sd);
    StrengthBelief {
        one_rm: source.one_rm * step.ratio,
        basis: Basis::Judged,
        sd: Share(libm::sqrt(own * own + further * further)),
    }
}

/// The 1RM so many spreads under the middle; of what was lifted the value itself.
fn under(known: &StrengthBelief, sds: f64) -> Kilograms {
    match known.basis {
        Basis::Lifted => known.one_rm,
        Basis::Judged => known.one_rm * libm::exp(-sds * known.sd.get()),
    }
}

/// The load for the middle of a scheme's reps with its reps in reserve, made loadable on the light side; none
/// when nothing is believed of the exercise, nothing can be weighed, or even the lightest is too heavy. Of a lift that was done
/// the nearest load is taken where steps are wide ([`TOLD_UNDER`]). What is judged
/// from another lift stands at its lower end, or a little over it where the steps are wide; none where that is far under what
/// is likely ([`FIRST_LOAD_LEAST_SHARE`]).
pub fn work_load(
    exercise: &Exercise,
    scheme: Scheme,
    belief: &Belief,
    loadable: &Loadable,
    body_mass: Option<Kilograms>,
) -> Option<Kilograms> {
    if exercise.measure != Measure::Reps || loadable.is_none() {
        return None;
    }
    let known = belief.one_rm.get(&exercise.id)?;
    let body = body_part(exercise, body_mass)?;
    let all = |sds| load_of(exercise, scheme, under(known, sds));
    let first = first_load_sds(exercise);
    if exercise.load == LoadKind::Assisted {
        return loadable.round_up((body - all(first)).max(Kilograms::ZERO));
    }
    let middle = all(0.0);
    if known.basis == Basis::Lifted {
        return of_told(middle, least_reps_load(exercise, scheme, known.one_rm), body, loadable);
    }
    let (low, most) = (all(first) - body, all(FIRST_LOAD_LEAST_SDS) - body);
    let near = loadable.nearest(low).filter(|near| *near <= most);
    let load = near.or_else(|| loadable.round_down(low))?;
    let share = (body + load).get() / middle.get();
    // Of bells and dumbbells with nothing between, the last that is light enough.
    let last = loadable.round_up(load + A_GRAM).is_none_or(|next| next > most);
    (share >= if last { FIRST_LOAD_LAST_SHARE } else { FIRST_LOAD_LEAST_SHARE }).then_some(load)
}

/// The load of a lift that was done: the heaviest that can be made beneath, or the nearest where that is far lighter.
fn of_told(all: Kilograms, most: Kilograms, body: Kilograms, loadable: &Loadable) -> Option<Kilograms> {
    let down = loadable.round_down(all - body);
    let light = down.is_none_or(|d| (body + d).get() < (1.0 - TOLD_UNDER) * all.get());
    let most = Kilograms(most.get().min((1.0 + TOLD_ABOVE) * all.get()));
    let near = loadable.nearest(all - body).filter(|n| body + *n <= most);
    if light { near.or(down) } else { down }
}

/// Part by which a bell lies under the told one from which the reps bend instead (judgement).
const TOLD_BELL_UNDER: f64 = 0.2;
/// Fewest reps to which they bend (judgement).
const TOLD_BELL_REPS_LEAST: u32 = 4;

/// All that can be moved for the fewest reps of a scheme with one fewer in reserve.
fn least_reps_load(exercise: &Exercise, scheme: Scheme, max: Kilograms) -> Kilograms {
    let (reps, rir) = (Reps(f64::from(scheme.reps[0])), Reps(f64::from(scheme.rir.saturating_sub(1))));
    curve::load_for(max, reps, rir, Curve::of(exercise.curve))
}

/// How far under the middle a first load stands: less where nothing falls on the client and the spine is not loaded.
fn first_load_sds(exercise: &Exercise) -> f64 {
    let seated = matches!(exercise.load, LoadKind::Stack)
        || exercise.load == LoadKind::Discs && exercise.pattern == Pattern::LegPress;
    let hangs = exercise.pattern == Pattern::Hinge && exercise.load != LoadKind::Bar;
    let let_go = exercise.pattern.side() == Side::Pull
        || exercise.pattern.region() != Region::Whole && !exercise.pattern.is_compound();
    if exercise.spinal <= 1
        && exercise.load != LoadKind::Assisted
        && (seated || (let_go || hangs) && exercise.body_share.get() <= 0.0)
    {
        FIRST_LOAD_GUIDED_SDS
    } else {
        FIRST_LOAD_SDS
    }
}

/// All that moves in a set of a scheme, for a 1RM.
fn load_of(exercise: &Exercise, scheme: Scheme, max: Kilograms) -> Kilograms {
    let reps = Reps(f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0);
    curve::load_for(max, reps, Reps(f64::from(scheme.rir)), Curve::of(exercise.curve))
}

/// What a scheme asks for of a lift that was done, whatever can be made: without the body's own part.
pub fn wanted_load(exercise: &Exercise, scheme: Scheme, belief: &Belief, brief: &Brief) -> Option<Kilograms> {
    let known = belief.one_rm.get(&exercise.id).filter(|b| b.basis == Basis::Lifted)?;
    let weighed = exercise.measure == Measure::Reps && exercise.load != LoadKind::Assisted;
    let body = body_part(exercise, brief.body.mass_kg)?;
    weighed.then(|| load_of(exercise, scheme, known.one_rm) - body)
}

/// Where even the lightest load is too heavy for the reps that are wanted: that load and the fewer reps that it allows
/// with the reserve of the scheme; none when these are no set any more.
pub fn fewer_reps(
    exercise: &Exercise,
    scheme: Scheme,
    belief: &Belief,
    loadable: &Loadable,
    brief: &Brief,
) -> Option<(Kilograms, [u32; 2])> {
    let body_mass = brief.body.mass_kg;
    let is_help = exercise.load == LoadKind::Assisted;
    if is_help || work_load(exercise, scheme, belief, loadable, body_mass).is_some() {
        return None;
    }
    let known = belief.one_rm.get(&exercise.id).filter(|_| exercise.measure == Measure::Reps)?;
    let lightest = loadable.lightest()?;
    let share = total(exercise, lightest, body_mass)?.get() / under(known, first_load_sds(exercise)).get();
    let reps = Curve::of(exercise.curve).reps(Share(share)).get() - f64::from(scheme.rir);
    let low = (reps - 1.0).max(0.0) as u32;
    let enough = reps >= FEWER_REPS_LEAST && low >= prescribe::fewest_reps(exercise, brief);
    (enough && low < scheme.reps[0]).then_some((lightest, [low, low + 2]))
}

/// The scheme of an exercise for a client. Where it is known how many reps a load allows, because the lift was told or its
/// movement tested, the reps give way where the load cannot: they grow where the load that will be made leaves more in reserve
/// than the scheme asks, and shrink where even the lightest leaves less. Who rises from a chair so many times in a test
/// does not rise more often in a set.
pub fn scheme_of(exercise: &Exercise, capability: &Capability<'_>) -> Scheme {
    let brief = capability.brief();
    let usual = prescribe::for_client(exercise, brief);
    if exercise.measure != Measure::Reps {
        return usual;
    }
    if exercise.load == LoadKind::Assisted {
        // No more help than was told: what was done for six is not done for ten with more.
        let told = prescribe::told_reps(exercise, brief).map(|told| told.1);
        let least = HELPED_REPS_LEAST.max(prescribe::fewest_reps(exercise, brief) + FEWER_REPS_WIDTH);
        let few = told.filter(|most| (least..usual.reps[1]).contains(most));
        return few.map_or(usual, |most| Scheme { reps: [most - FEWER_REPS_WIDTH, most], ..usual });
    }
    let rises = chair_rises::reps(exercise, brief).filter(|reps| reps[1] < usual.reps[1]);
    let likely = |reps: &[u32; 2]| {
        let chance = capability.chance(exercise, reps[0], usual.rir);
        reps[1] > usual.reps[1] && chance.is_none_or(|chance| chance.get() >= BARE_CHANCE)
    };
    let bare = || prescribe::bare_reps(exercise, brief).filter(likely);
    let own = rises.or_else(bare).map(|reps| Scheme { reps, ..usual });
    own.or_else(|| with_known_reps(exercise, usual, capability))
        .or_else(|| over_a_gap(exercise, usual, capability))
        .unwrap_or(usual)
}

/// Share of what is likely right for a scheme under which the reps grow instead (judgement: further down than a first load stands for
/// safety's sake).
const GAP_SHARE: f64 = 0.78;
/// The same of where a first load would stand if it could be made (judgement).
const FIRST_SHARE: f64 = 0.9;

/// The most reps that an exercise is done for, where the next load down is far under the one that is judged right: what a coach does
/// between two bells (common practice, no source (T)). Where loads are so fine that one is near, nothing changes.
fn over_a_gap(exercise: &Exercise, usual: Scheme, capability: &Capability<'_>) -> Option<Scheme> {
    let brief = capability.brief();
    let mass = brief.body.mass_kg;
    let known = capability.belief().one_rm.get(&exercise.id).filter(|b| b.basis == Basis::Judged)?;
    let loadable = Loadable::of_client(brief, exercise).ok()?;
    let made = total(exercise, work_load(exercise, usual, capability.belief(), &loadable, mass)?, mass)?;
    let wanted = load_of(exercise, usual, known.one_rm);
    let first = load_of(exercise, usual, under(known, first_load_sds(exercise)));
    let width = usual.reps[1] - usual.reps[0];
    let most = exercise.reps[1].min(usual.reps[1] + MORE_REPS_GAP);
    let gap = made.get() < GAP_SHARE * wanted.get() && made.get() < FIRST_SHARE * first.get();
    let longer = most > usual.reps[1] + MORE_REPS_FREE && gap;
    longer.then(|| Scheme { reps: [most - width, most], ..usual })
}

/// Reps that are added between two bells at most (judgement).
const MORE_REPS_GAP: u32 = 5;

fn with_known_reps(exercise: &Exercise, usual: Scheme, capability: &Capability<'_>) -> Option<Scheme> {
    if !capability.knows_reps(exercise) {
        return None;
    }
    let brief = capability.brief();
    let loadable = Loadable::of_client(brief, exercise).ok();
    let bare = matches!(exercise.load, LoadKind::Body | LoadKind::BodyPlus).then_some(Kilograms::ZERO);
    let at = |end: Option<Kilograms>| {
        capability.with_load(exercise, end.or(bare)?).map(|reach| reach.reps().get().round() as u32)
    };
    let told = prescribe::told_reps(exercise, brief).map_or(0, |told| told.1);
    let mass = brief.body.mass_kg;
    let made = |loads: &Loadable| {
        work_load(exercise, usual, capability.belief(), loads, mass).or_else(|| loads.heaviest())
    };
    let load = loadable.as_ref().and_then(made);
    if let Some(told) = with_the_told_bell(exercise, usual, load, capability) {
        return Some(told);
    }
    let most = at(load)?;
    // A heavier load for later is a better way to grow than reps beyond those that were told.
    let heaviest = load == loadable.as_ref().and_then(Loadable::heaviest);
    let cap = if heaviest { exercise.reps[1].max(told) } else { told };
    let high = most.saturating_sub(usual.rir).min(cap);
    if high > usual.reps[1] + MORE_REPS_FREE {
        return Some(Scheme { reps: [high - (usual.reps[1] - usual.reps[0]), high], ..usual });
    }
    // Half of what can be done, up to what leaves the least in reserve that this client may.
    let most = at(loadable.as_ref().and_then(Loadable::lightest))?;
    let care = Care::of(brief);
    let rir = care.rir_least(exercise).max(FEWER_REPS_RIR).min(usual.rir);
    let high = most.saturating_sub(rir);
    // Of three or four that can be done one or two are a set.
    let low = high.saturating_sub(FEWER_REPS_WIDTH).max(most / 2).min(high.saturating_sub(1));
    let fewer = most <= usual.reps[0] + usual.rir && high > low;
    (fewer && low >= prescribe::fewest_reps(exercise, brief)).then_some(Scheme { reps: [low, high], rir })
}

/// Reps under those of the scheme with the bell or dumbbell that was told, where the next one down is far lighter: the reps bend
/// to the bell that there is (common practice, no source (T)).
fn with_the_told_bell(
    exercise: &Exercise,
    usual: Scheme,
    made: Option<Kilograms>,
    capability: &Capability<'_>,
) -> Option<Scheme> {
    use LoadKind::{Dumbbell, DumbbellPair, Kettlebell, KettlebellPair};
    let brief = capability.brief();
    let bell = matches!(exercise.load, Dumbbell | DumbbellPair | Kettlebell | KettlebellPair);
    let told = brief.lifts.iter().filter(|l| l.exercise == exercise.id && bell);
    let told = told.max_by(|a, b| a.load_kg.get().total_cmp(&b.load_kg.get()))?;
    let is_there = Loadable::of_client(brief, exercise).is_ok_and(|l| l.is_loadable(told.load_kg));
    let far = made.is_none_or(|made| made.get() < (1.0 - TOLD_BELL_UNDER) * told.load_kg.get());
    let high = (told.reps + told.rir).saturating_sub(usual.rir);
    let low = high.saturating_sub(FEWER_REPS_WIDTH);
    let least = prescribe::fewest_reps(exercise, brief).max(TOLD_BELL_REPS_LEAST);
    let fits = is_there && far && exercise.pattern.is_compound() && high < usual.reps[1] && low >= least;
    fits.then_some(Scheme { reps: [low, high], ..usual })
}

/// What stands behind a load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Support {
    /// The exercise itself was lifted.
    Told,
    /// It is judged from another lift, and the load is not above the upper end.
    Judged {
        /// The heaviest load that is still supported.
        upper: Kilograms,
    },
    /// It is judged from another lift, and the load is above the upper end.
    Above {
        /// The heaviest load that is still supported.
        upper: Kilograms,
    },
    /// No lift tells of it; norms say how likely it is that so many reps can be done.
    Norms {
        /// The chance that a client like this one can do it.
        chance: Share,
    },
    /// Nothing tells of it.
    Unsupported,
}

/// What stands behind a load for a scheme. A judged load is supported up to where one in ten could lift as much.
pub fn supported(
    exercise: &Exercise,
    load: Kilograms,
    scheme: Scheme,
    brief: &Brief,
    belief: &Belief,
) -> Support {
    let Some(known) = belief.one_rm.get(&exercise.id) else {
        let reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0 + f64::from(scheme.rir);
        let reach = Capability::of(brief, belief).with_load(exercise, load);
        return reach.map_or(Support::Unsupported, |r| Support::Norms { chance: r.chance(reps) });
    };
    if known.basis == Basis::Lifted {
        return Support::Told;
    }
    let most = known.one_rm * libm::exp(FIRST_LOAD_SDS * known.sd.get());
    let all = if exercise.measure == Measure::Reps { load_of(exercise, scheme, most) } else { most };
    let (Some(body), Some(lifted)) =
        (body_part(exercise, brief.body.mass_kg), total(exercise, load, brief.body.mass_kg))
    else {
        return Support::Unsupported;
    };
    let upper = if exercise.load == LoadKind::Assisted { body - all } else { all - body };
    if lifted <= all { Support::Judged { upper } } else { Support::Above { upper } }
}

/// Why a lift is questioned, with a way out; none when it is believed.
pub fn implausible(lift: &Lift, exercise: &Exercise, body_mass: Option<Kilograms>) -> Option<String> {
    plausible::doubt(lift, exercise, body_mass)
}

#[cfg(test)]
mod tests;
