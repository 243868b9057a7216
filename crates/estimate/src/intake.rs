//! From logged sets to what the filter sees: one observation an exercise and session, and the doses of fatigue.
//!
//! Sets are compressed without loss to the mean of an exercise in a session and the contrasts within it. A set that
//! cannot tell a strength abstains: nothing is made up for it.
//!
//! What a set depends on (the person's curve, the bias of reserve) is reckoned at the repetitions that its load
//! leads to expect from earlier sessions. The load was chosen before the set; repetitions done or reported carry the
//! very noise that the observation carries, and to regress on them biases curve, strength and recovery alike.

use crate::history::{LoggedSession, LoggedSet, MarkKind, PlannedExercise};
use crate::prior::StrengthPrior;
use setwright_model::exercise::{CurveFamily, Measure};
use setwright_model::{Catalogue, Exercise, ExerciseId, FractionalSets, Kilograms, Muscle, Reps, Share};
use setwright_science::curve::{self, Curve};
use setwright_science::recovery;
use std::collections::BTreeMap;

/// Reserve from which a report is open-ended ("five or more") and tells no strength (judgement).
const RIR_OPEN: f64 = 5.0;
/// The same in a marked deload (judgement).
const RIR_OPEN_DELOAD: f64 = 3.0;
/// Most reps, reserve counted, from which a strength is told (judgement).
const REPS_TELLING_MAX: f64 = 30.0;
/// Weight of the newest session in the running mean by which the reps to expect of a load are judged (judgement).
const USUAL_GAIN: f64 = 0.3;
/// Reps beyond which reserve is misjudged faster, and by how much a rep (Halperin 2022, Sports Med 52:377 (A)).
const REPS_HARD_TO_JUDGE: f64 = 12.0;
const MISJUDGED_PER_REP: f64 = 0.47;
/// Fall of the load-rep curve a rep at which the spread of a set is stated.
const FALL_USUAL: f64 = 0.03;
/// Weight of the newest set in the running mean of the reps expected of the loads of an exercise (judgement).
const RANGE_GAIN: f64 = 0.1;
/// Deviation of the reps expected of a load, from that mean, that counts by half as another rep range and by half as
/// another effort (judgement). The person's curve is learned from rep ranges alone: a harder set fails more often,
/// and a failed set tells less than it would have without failing.
const RANGE_BELIEVED: f64 = 1.5;
/// Deviation of a muscle's mean reserve in a session, in reps, that is believed by half (judgement; reports err by
/// one rep a set: Refalo 2023, JSCR (A)).
const REPORT_ERROR: f64 = 1.0;
/// Most reps in reserve that are believed of a set when its toll is reckoned (judgement).
const RIR_BELIEVED_MAX: f64 = 10.0;
/// A set of at most so many reps with at most so many in reserve anchors the absolute 1RM (judgement).
const ANCHOR_REPS_MAX: f64 = 5.0;
const ANCHOR_RIR_MAX: f64 = 1.0;

/// What the model knows of an exercise.
#[derive(Clone, Debug)]
pub struct ModelledLift {
    pub id: ExerciseId,
    /// Share of the exercise's strength that each muscle stands for; together 1.
    pub weights: Vec<(Muscle, f64)>,
    /// Fractional sets of a set.
    contributions: Vec<(Muscle, f64)>,
    family: CurveFamily,
    counts_reps: bool,
}

impl ModelledLift {
    fn of(exercise: &Exercise) -> Self {
        let contributions: Vec<(Muscle, f64)> = exercise.contributions().collect();
        Self {
            id: exercise.id.clone(),
            weights: weights(&contributions),
            contributions,
            family: exercise.curve,
            counts_reps: exercise.measure == Measure::Reps,
        }
    }

    /// Share of the 1RM that can be lifted so often.
    pub fn share(&self, reps: Reps) -> f64 {
        Curve::of(self.family).share(reps).get()
    }

    /// Reps to failure to expect of a load for a logarithm of the 1RM.
    fn reps(&self, load: Kilograms, log_max: f64) -> f64 {
        let share = Share(load.get() / libm::exp(log_max));
        Curve::of(self.family).reps(share).get().clamp(1.0, REPS_TELLING_MAX)
    }

    /// Logarithm of the 1RM that a set tells with this reserve.
    pub fn log_max(&self, load: Kilograms, reps: Reps, rir: Reps) -> f64 {
        libm::log(curve::one_rm(load, reps, rir, Curve::of(self.family)).get())
    }
}

/// Shares of an exercise's strength by the square of the contribution: who gets the whole set limits it (judgement).
/// They add up to one, because an exercise of muscles that all lack a tenth lacks a tenth.
fn weights(contributions: &[(Muscle, f64)]) -> Vec<(Muscle, f64)> {
    let sum: f64 = contributions.iter().map(|(_, c)| c * c).sum();
    contributions.iter().map(|(m, c)| (*m, c * c / sum)).collect()
}

/// An exercise in a session, as one observation of its strength.
#[derive(Clone, Debug, PartialEq)]
pub struct LiftInSession {
    /// Place of the exercise in [`Intake::lifts`].
    pub lift: usize,
    /// Mean logarithm of the 1RM told.
    pub y: f64,
    /// Variance of the mean from its sets, for a spread of one at [`FALL_USUAL`].
    pub noise: f64,
    /// Fall of the logarithm a rep: what one rep of bias costs.
    pub fall: f64,
    /// What the logarithm gains from a person factor of e.
    pub bend: f64,
    /// Reps expected beyond those of the exercise's usual range: more when the sets were meant to be easier.
    pub ease: f64,
    /// Mean number of sets of the exercise done before.
    pub order: f64,
    /// Fractional sets of its muscles done before in the session, weighted.
    pub before: f64,
    /// Factor of the variance, 1 unless it is an outlier.
    pub doubt: f64,
}

/// A session as the filter sees it.
#[derive(Clone, Debug)]
pub struct FilteredSession {
    pub at_h: f64,
    pub groups: Vec<LiftInSession>,
    /// Share of strength taken from each muscle, in the order of [`Muscle::ALL`].
    pub drops: [f64; Muscle::COUNT],
    /// Fractional sets by muscle.
    pub doses: [f64; Muscle::COUNT],
    /// Factor of the variance of the day, 1 unless it is an outlier.
    pub doubt: f64,
}

/// Sums of the contrasts within exercises of a session.
#[derive(Clone, Copy, Debug, Default)]
pub struct Contrasts {
    pub order_order: f64,
    pub order_y: f64,
    pub y_y: f64,
    pub degrees: f64,
}

/// How much of the log can tell something.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tally {
    /// Work sets with reps and load.
    pub sets: usize,
    /// Of them, without reps in reserve.
    pub without_rir: usize,
}

/// The reader of sessions. It grows with new exercises and remembers nothing else but sums.
#[derive(Clone, Debug)]
pub struct Intake {
    pub lifts: Vec<ModelledLift>,
    places: BTreeMap<ExerciseId, usize>,
    pub contrasts: Contrasts,
    pub tally: Tally,
    /// Hour of the last set that anchors the absolute 1RM, by lift.
    pub anchored_h: BTreeMap<usize, f64>,
    /// Running mean of the logarithm of the 1RM told, by lift.
    usual: BTreeMap<usize, f64>,
    /// Running mean of the reps to failure expected, by lift.
    ranges: BTreeMap<usize, f64>,
    rir_bias: f64,
    usual_rir: f64,
}

impl Intake {
    /// A reader for a client whose sets without report are taken to tire like those of `usual_rir`.
    pub fn new(strength: &StrengthPrior, usual_rir: Option<f64>) -> Self {
        Self {
            lifts: Vec::new(),
            places: BTreeMap::new(),
            contrasts: Contrasts::default(),
            tally: Tally::default(),
            anchored_h: BTreeMap::new(),
            usual: BTreeMap::new(),
            ranges: BTreeMap::new(),
            rir_bias: strength.rir_bias.0,
            usual_rir: usual_rir.unwrap_or(recovery::USUAL_RIR),
        }
    }

    /// Place of an exercise; None when the catalogue does not have it.
    pub fn place(&mut self, id: &ExerciseId, catalogue: &Catalogue) -> Option<usize> {
        if let Some(place) = self.places.get(id) {
            return Some(*place);
        }
        self.lifts.push(ModelledLift::of(catalogue.get(id)?));
        self.places.insert(id.clone(), self.lifts.len() - 1);
        Some(self.lifts.len() - 1)
    }

    /// Place of an exercise that was met.
    pub fn known(&self, id: &ExerciseId) -> Option<usize> {
        self.places.get(id).copied()
    }

    /// Whether any exercise met depends on a muscle.
    pub fn depends_on(&self, muscle: Muscle) -> bool {
        self.lifts.iter().any(|lift| lift.weights.iter().any(|(m, _)| *m == muscle))
    }

    /// Drop that a dose takes, with reserve as reported.
    pub fn drop(&self, dose: FractionalSets, rir_reported: f64) -> f64 {
        recovery::drop(dose, self.true_rir(rir_reported)).get()
    }

    /// Mean reserve of a muscle in a session, drawn towards the client's usual one. Reports err by about as much as
    /// they vary, and the error that makes a session look hard makes its strength look low: taken at their word,
    /// they would hide fatigue. A mean far from the usual, as in an easy week, is believed.
    fn calibrated(&self, reported: f64) -> f64 {
        towards(reported, self.usual_rir, REPORT_ERROR)
    }

    /// Reserve to expect behind a report.
    fn true_rir(&self, reported: f64) -> f64 {
        reported.max(0.0) + self.rir_bias
    }

    /// Reads a session. `marked` says what span it lies in, if any; `is_doubted` whether a set, by its place, cannot be meant.
    pub fn read(
        &mut self,
        session: &LoggedSession,
        marked: Option<MarkKind>,
        is_doubted: &dyn Fn(usize) -> bool,
        catalogue: &Catalogue,
    ) -> FilteredSession {
        let at_h = session.at.get();
        let mut doses = [0.0; Muscle::COUNT];
        let mut reserves = [0.0; Muscle::COUNT];
        let mut found: BTreeMap<usize, Builder> = BTreeMap::new();
        for (nth, set) in session.sets.iter().enumerate() {
            let Some(place) = self.place(&set.exercise, catalogue) else { continue };
            let Some(lift) = self.lifts.get(place).cloned() else { continue };
            let before: f64 =
                lift.weights.iter().map(|(m, w)| w * doses.get(m.index()).copied().unwrap_or(0.0)).sum();
            let builder = found.entry(place).or_insert_with(|| Builder::new(before));
            if let Some(told) = self.tell(place, &lift, set, marked).filter(|_| !is_doubted(nth)) {
                builder.add(told);
                if set.reps.get() <= ANCHOR_REPS_MAX && set.rir.is_some_and(|r| r.get() <= ANCHOR_RIR_MAX) {
                    self.anchored_h.insert(place, at_h);
                }
            }
            builder.done += 1.0;
            let rir = set.rir.map_or(self.usual_rir, |r| believed(r.get()));
            for (muscle, share) in &lift.contributions {
                doses[muscle.index()] += share;
                reserves[muscle.index()] += share * rir;
            }
        }
        let mut drops = [0.0; Muscle::COUNT];
        for (m, drop) in drops.iter_mut().enumerate() {
            if doses[m] > 0.0 {
                *drop = self.drop(FractionalSets(doses[m]), self.calibrated(reserves[m] / doses[m]));
            }
        }
        let finish = |(lift, b): (usize, Builder)| b.finish(lift, &mut self.contrasts);
        let groups: Vec<LiftInSession> = found.into_iter().filter_map(finish).collect();
        for group in &groups {
            let usual = self.usual.entry(group.lift).or_insert(group.y);
            *usual += USUAL_GAIN * (group.y - *usual);
        }
        FilteredSession { at_h, groups, drops, doses, doubt: 1.0 }
    }

    /// What a plan would be observed as, exercise by exercise; None where nothing would be told.
    pub fn planned(
        &mut self,
        session: &[PlannedExercise],
        catalogue: &Catalogue,
    ) -> Vec<Option<LiftInSession>> {
        let mut doses = [0.0; Muscle::COUNT];
        let mut groups = Vec::with_capacity(session.len());
        for planned in session {
            let Some(place) = self.place(&planned.exercise, catalogue) else {
                groups.push(None);
                continue;
            };
            let Some(lift) = self.lifts.get(place) else { continue };
            let before: f64 = lift.weights.iter().map(|(m, w)| w * doses[m.index()]).sum();
            groups.push(planned_group(lift, place, planned, before, self.ranges.get(&place).copied()));
            for (muscle, share) in &lift.contributions {
                doses[muscle.index()] += share * f64::from(planned.sets);
            }
        }
        groups
    }

    /// A planned session as the filter would meet it: doses and drops as planned, nothing told yet.
    pub fn foreseen(
        &mut self,
        at_h: f64,
        session: &[PlannedExercise],
        catalogue: &Catalogue,
    ) -> FilteredSession {
        let groups: Vec<LiftInSession> = self.planned(session, catalogue).into_iter().flatten().collect();
        let (mut doses, mut reserves) = ([0.0; Muscle::COUNT], [0.0; Muscle::COUNT]);
        for planned in session {
            let lift = self.known(&planned.exercise).and_then(|place| self.lifts.get(place));
            for (muscle, share) in lift.map_or(&[][..], |lift| &lift.contributions) {
                let dose = share * f64::from(planned.sets);
                doses[muscle.index()] += dose;
                reserves[muscle.index()] += dose * believed(planned.rir.get());
            }
        }
        let drop = |m: usize| self.drop(FractionalSets(doses[m]), self.calibrated(reserves[m] / doses[m]));
        let drops = std::array::from_fn(|m| if doses[m] > 0.0 { drop(m) } else { 0.0 });
        FilteredSession { at_h, groups, drops, doses, doubt: 1.0 }
    }

    /// What a set tells of strength; None when it abstains.
    fn tell(
        &mut self,
        place: usize,
        lift: &ModelledLift,
        set: &LoggedSet,
        marked: Option<MarkKind>,
    ) -> Option<Told> {
        let load = set.load.filter(|kg| kg.get() > 0.0 && kg.get().is_finite())?;
        let reps = set.reps.get();
        if !lift.counts_reps || !(1.0..=REPS_TELLING_MAX).contains(&reps) {
            return None;
        }
        self.tally.sets += 1;
        let Some(rir) = set.rir.map(|r| r.get().max(0.0)).filter(|r| r.is_finite()) else {
            self.tally.without_rir += 1;
            return None;
        };
        let open = if marked == Some(MarkKind::Deload) { RIR_OPEN_DELOAD } else { RIR_OPEN };
        if marked == Some(MarkKind::Illness) || rir >= open || reps + rir > REPS_TELLING_MAX {
            return None;
        }
        let expected = self.usual.get(&place).map_or(reps + rir, |usual| lift.reps(load, *usual));
        let range = self.ranges.entry(place).or_insert(expected);
        let to_failure = towards(expected, *range, RANGE_BELIEVED);
        *range += RANGE_GAIN * (expected - *range);
        Some(Told {
            y: lift.log_max(load, set.reps, Reps(rir)),
            variance: variance(lift.family, to_failure),
            fall: fall(lift.family, to_failure),
            bend: bend(lift.family, to_failure),
            ease: expected - to_failure,
        })
    }
}

/// A report of reserve as far as it is believed; what is no number counts as none.
fn believed(reported: f64) -> f64 {
    if reported.is_nan() { 0.0 } else { reported.clamp(0.0, RIR_BELIEVED_MAX) }
}

/// A value drawn towards the usual: small deviations nearly all the way, large ones hardly, `half` by half.
fn towards(value: f64, usual: f64, half: f64) -> f64 {
    let off = value - usual;
    let square = off * off;
    usual + off * square / (square + half * half)
}

fn planned_group(
    lift: &ModelledLift,
    place: usize,
    planned: &PlannedExercise,
    before: f64,
    range: Option<f64>,
) -> Option<LiftInSession> {
    let sets = f64::from(planned.sets);
    let reps = planned.reps.get();
    if !lift.counts_reps || sets < 1.0 || !(1.0..=REPS_TELLING_MAX).contains(&reps) {
        return None;
    }
    let expected = reps + planned.rir.get();
    let to_failure = range.map_or(expected, |range| towards(expected, range, RANGE_BELIEVED));
    Some(LiftInSession {
        lift: place,
        y: 0.0,
        noise: variance(lift.family, to_failure) / sets,
        fall: fall(lift.family, to_failure),
        bend: bend(lift.family, to_failure),
        ease: expected - to_failure,
        order: (sets - 1.0) / 2.0,
        before,
        doubt: 1.0,
    })
}

/// Variance of a set for a spread of one at [`FALL_USUAL`].
fn variance(family: CurveFamily, to_failure: f64) -> f64 {
    let misjudged = 1.0 + MISJUDGED_PER_REP * (to_failure - REPS_HARD_TO_JUDGE).max(0.0);
    let spread = fall(family, to_failure) / FALL_USUAL * misjudged;
    spread * spread
}

/// How much a rep costs on the logarithm of the load, near `reps`.
fn fall(family: CurveFamily, reps: f64) -> f64 {
    let share = |r: f64| libm::log(Curve::of(family).share(Reps(r)).get());
    share(reps) - share(reps + 1.0)
}

/// Change of the logarithm of the share at `reps` for a change of the logarithm of the person factor.
fn bend(family: CurveFamily, reps: f64) -> f64 {
    const STEP: f64 = 0.05;
    let share = |s: f64| libm::log(Curve::of(family).with_person(libm::exp(s)).share(Reps(reps)).get());
    (share(STEP) - share(-STEP)) / (2.0 * STEP)
}

/// What one set tells.
#[derive(Clone, Copy)]
struct Told {
    y: f64,
    variance: f64,
    fall: f64,
    bend: f64,
    ease: f64,
}

/// The sets of an exercise in a session.
struct Builder {
    told: Vec<(f64, Told)>,
    done: f64,
    before: f64,
}

impl Builder {
    fn new(before: f64) -> Self {
        Self { told: Vec::new(), done: 0.0, before }
    }

    fn add(&mut self, told: Told) {
        self.told.push((self.done, told));
    }

    /// The mean as an observation; the contrasts go to the sums. None when no set told anything.
    fn finish(self, lift: usize, contrasts: &mut Contrasts) -> Option<LiftInSession> {
        let n = self.told.len() as f64;
        if self.told.is_empty() {
            return None;
        }
        let mean = |f: &dyn Fn(&(f64, Told)) -> f64| self.told.iter().map(f).sum::<f64>() / n;
        let (y, order) = (mean(&|(_, t)| t.y), mean(&|(place, _)| *place));
        for (place, told) in &self.told {
            let (dy, dx) = (told.y - y, place - order);
            contrasts.order_order += dx * dx / told.variance;
            contrasts.order_y += dx * dy / told.variance;
            contrasts.y_y += dy * dy / told.variance;
        }
        contrasts.degrees += n - 1.0;
        Some(LiftInSession {
            lift,
            y,
            noise: mean(&|(_, t)| t.variance) / n,
            fall: mean(&|(_, t)| t.fall),
            bend: mean(&|(_, t)| t.bend),
            ease: mean(&|(_, t)| t.ease),
            order,
            before: self.before,
            doubt: 1.0,
        })
    }
}
