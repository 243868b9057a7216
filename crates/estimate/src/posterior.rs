//! What is believed after the log, and the answers it gives: recovery, strength, stalls, forecasts.
//!
//! Every answer comes with the interval that holds nine cases in ten and with the reasons why it may not yet be this
//! client's. Nothing here decides what to do about it.

use crate::fatigue::POINTS;
use crate::filter::Gram;
use crate::frequency::{self, Frequency};
use crate::history::{LoggedSession, MarkKind, PlannedExercise, SorenessReport};
use crate::interval::{self, Interval};
use crate::landscape::{Landscape, Mix, value};
use crate::learner::Learner;
use crate::prior::Prior;
use crate::sample::{DRAWS, Draw, FollowedMuscle};
use crate::slips::Slip;
use setwright_chance::Chance;
use setwright_model::belief::{Basis, StrengthBelief};
use setwright_model::{Belief, Catalogue, ExerciseId, FractionalSets, Hours, Kilograms, Muscle, Reps, Share};
use setwright_science::recovery;
use std::sync::{Arc, OnceLock};

/// Share of the prior's variance that must be gone before a value is the client's own (the project's rule).
pub const LEARNED_MIN: f64 = 0.2;
/// Share of sets without reserve from which most are missing.
const WITHOUT_RIR: f64 = 0.5;
/// Spreads of the prior by which the person's load-rep curve may stray before the reported reserve is doubted instead
/// (judgement: one client in a hundred strays so far).
const CURVE_STRANGE: f64 = 2.5;
/// Weeks for which an absolute 1RM stays anchored by a heavy set (judgement).
const ANCHOR_WEEKS: f64 = 26.0;
/// Growth in a week under which a client stands still (judgement: about 2.5 % a year).
pub const STALL_GROWTH: f64 = 0.0005;
/// Weeks that a stall must last to be told from chance (found on simulated clients, docs/quality.md).
pub const STALL_WEEKS: f64 = 12.0;

/// Spread of the logarithms of time constant and depth by which the equations may be off (judgement; simulated
/// clients who break their assumptions: docs/models.md).
const OFF_SD: f64 = 0.10;

/// Share of the draws that must stay effective before they are made anew (numeric).
const EFFECTIVE_MIN: f64 = 0.5;

/// Streams of chance for what a draw does not settle, and for what the equations do not.
const STREAM_REST: u64 = 3;
const STREAM_OFF: u64 = 4;

/// Why an answer is not yet this client's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NotYet {
    /// Less than a fifth of the prior's variance is gone: the population's value.
    PopulationValue,
    /// The muscle was never observed about so long after a dose.
    GapNeverSeen,
    /// Most sets came without reps in reserve.
    RirMostlyMissing,
    /// Reported reserve does not answer to load and reps: it may have been copied from the plan.
    ReserveDoesNotFit,
    /// No set near a maximum anchors the absolute 1RM: changes are better known than the value.
    NoHeavySet,
    /// A stall younger than twelve weeks cannot be told from chance.
    StallTooYoung,
    /// One exercise alone does not show a stall.
    StallOfOneExercise,
}

/// Recovery of a muscle after a dose.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovery {
    /// Time constant of fatigue.
    pub tau: Interval<Hours>,
    /// Time until the muscle is ready again.
    pub ready: Interval<Hours>,
    /// Share of the prior's variance that the log has removed.
    pub learned: Share,
    /// Why it is not yet the client's own.
    pub not_yet: Vec<NotYet>,
}

/// Strength that a muscle still lacks some time after a dose.
#[derive(Clone, Debug, PartialEq)]
pub struct Residual {
    /// Share of strength that is missing.
    pub missing: Interval<Share>,
    /// Why it is not yet the client's own.
    pub not_yet: Vec<NotYet>,
}

/// Strength in an exercise, rested.
#[derive(Clone, Debug, PartialEq)]
pub struct Strength {
    /// 1RM as total load, the share of the body included.
    pub one_rm: Interval<Kilograms>,
    /// Growth in a week as a share of it.
    pub growth_per_week: Interval<Share>,
    /// Why it is not yet the client's own.
    pub not_yet: Vec<NotYet>,
}

/// Whether the client as a whole stands still.
#[derive(Clone, Debug, PartialEq)]
pub struct Stall {
    /// Probability that growth is under [`STALL_GROWTH`].
    pub probability: Share,
    /// Growth of all exercises in a week.
    pub growth_per_week: Interval<Share>,
    /// Why it cannot be told yet.
    pub not_yet: Vec<NotYet>,
}

/// What an exercise would show.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// The 1RM that its sets would show, taken at their word: tired as the client will be, and with the client's
    /// habit of misjudging reserve.
    pub shown: Interval<Kilograms>,
    /// Total load with which the repetitions leave the reserve that was asked for.
    pub load: Interval<Kilograms>,
}

/// What is believed of a client after a log.
#[derive(Clone, Debug)]
pub struct Posterior {
    learner: Learner,
    seed: u64,
    /// Draws from the last time that they were made, with their coefficients of the fatigue columns, and the
    /// logarithms of the weights that sessions have given them since.
    base: Arc<Vec<(Draw, Vec<Mix>)>>,
    log_weights: Vec<f64>,
    /// Of the base, the places that stand for the present belief, all equally likely.
    places: Vec<usize>,
    before: Arc<Vec<Draw>>,
    luck: Arc<Luck>,
    /// How far the middle of the person's load-rep curve has strayed, in spreads of its prior.
    strayed: OnceLock<f64>,
}

/// Chance that every answer meets alike, by draw: what a draw does not settle, and what the equations do not.
#[derive(Debug)]
struct Luck {
    rest: Vec<f64>,
    off: Vec<Off>,
}

impl Luck {
    fn of(seed: u64) -> Self {
        let (mut rest, mut off) = (Chance::new(seed, STREAM_REST), Chance::new(seed, STREAM_OFF));
        Self {
            rest: (0..DRAWS).map(|_| rest.normal()).collect(),
            off: (0..DRAWS).map(|_| Off::draw(&mut off)).collect(),
        }
    }
}

impl Posterior {
    pub(crate) fn new(learner: Learner, before: Arc<Vec<Draw>>, seed: u64) -> Self {
        Self::drawn(learner, before, seed, Arc::new(Luck::of(seed)))
    }

    fn drawn(learner: Learner, before: Arc<Vec<Draw>>, seed: u64, luck: Arc<Luck>) -> Self {
        let with_mixes = |d: Draw| {
            let mixes = learner.followed.iter().map(|f| f.mix(&d)).collect();
            (d, mixes)
        };
        let base: Vec<(Draw, Vec<Mix>)> = learner.draws(seed).into_iter().map(with_mixes).collect();
        let (log_weights, places) = (vec![0.0; base.len()], (0..base.len()).collect());
        let (base, strayed) = (Arc::new(base), OnceLock::new());
        Self { learner, seed, base, log_weights, places, before, luck, strayed }
    }

    /// The belief after one more session, at a cost that does not depend on how long the log is. A muscle that no
    /// earlier exercise depended on is learned only by the next [`crate::fit`].
    #[must_use]
    pub fn after(&self, session: &LoggedSession, marked: Option<MarkKind>, catalogue: &Catalogue) -> Self {
        let mut learner = self.learner.clone();
        learner.learn(session, marked, &self.weights_of_columns(), catalogue);
        let more = |mixes: &[Mix]| -> f64 {
            let one = |(innovation, variance): &(Vec<f64>, f64)| {
                let off = value(innovation, mixes);
                -0.5 * off * off / variance
            };
            learner.filter.latest.iter().map(one).sum()
        };
        let log_weights: Vec<f64> =
            self.base.iter().zip(&self.log_weights).map(|((_, mixes), w)| w + more(mixes)).collect();
        let Some(places) = resampled(&log_weights) else {
            return self.anew(learner);
        };
        let (base, before, luck) = (Arc::clone(&self.base), Arc::clone(&self.before), Arc::clone(&self.luck));
        let strayed = OnceLock::new();
        Self { learner, seed: self.seed, base, log_weights, places, before, luck, strayed }
    }

    /// The belief after one more report of soreness.
    #[must_use]
    pub fn after_soreness(&self, report: &SorenessReport) -> Self {
        let mut learner = self.learner.clone();
        learner.learn_soreness(report);
        self.anew(learner)
    }

    /// By how much each column counts in what is expected: the first, what was seen, whole, the others by the mean of the draws.
    fn weights_of_columns(&self) -> Vec<f64> {
        let mut weights = vec![0.0; 1 + self.learner.followed.len() * POINTS];
        weights[0] = 1.0;
        let share = 1.0 / self.places.len().max(1) as f64;
        for (column, value) in self.believed().flat_map(|(_, mixes)| mixes.iter().flat_map(Mix::terms)) {
            weights[1 + column] += share * value;
        }
        weights
    }

    fn anew(&self, learner: Learner) -> Self {
        Self::drawn(learner, Arc::clone(&self.before), self.seed, Arc::clone(&self.luck))
    }

    /// Draws of the recovery parameters, all equally likely.
    pub fn draws(&self) -> impl ExactSizeIterator<Item = &Draw> {
        self.believed().map(|(draw, _)| draw)
    }

    fn believed(&self) -> impl ExactSizeIterator<Item = &(Draw, Vec<Mix>)> {
        self.places.iter().map(|place| &self.base[*place])
    }

    /// Log-likelihood of time constants and depths beside that of no fatigue.
    pub(crate) fn log_likelihood(&self, log_tau: &[f64; Muscle::COUNT], depth: &[f64; Muscle::COUNT]) -> f64 {
        let draw = Draw { log_tau: *log_tau, depth: *depth };
        let mixes: Vec<Mix> = self.learner.followed.iter().map(|f| f.mix(&draw)).collect();
        Landscape::of(&self.learner.filter.gram, mixes.len()).log_likelihood(&mixes)
    }

    /// Muscles with their columns.
    pub(crate) fn columns(&self) -> &[FollowedMuscle] {
        &self.learner.followed
    }

    /// The sums that sessions to come would leave, whatever they show.
    pub(crate) fn foreseen(
        &self,
        sessions: &[Vec<PlannedExercise>],
        at: &[Hours],
        catalogue: &Catalogue,
    ) -> Gram {
        let mut learner = self.learner.clone();
        learner.filter.begin_sums();
        for (session, at) in sessions.iter().zip(at) {
            let meeting = learner.intake.foreseen(at.get(), session, catalogue);
            learner.take(&meeting);
        }
        learner.filter.gram
    }

    /// By session to come, the fractional sets of each muscle followed and the share of strength that it is expected to
    /// lack at the start.
    pub(crate) fn lacking(
        &self,
        sessions: &[Vec<PlannedExercise>],
        at: &[Hours],
        catalogue: &Catalogue,
    ) -> Vec<Vec<(Muscle, f64, f64)>> {
        let (mut intake, mut fatigue) = (self.learner.intake.clone(), self.learner.fatigue.clone());
        let one = |(session, at): (&Vec<PlannedExercise>, &Hours)| {
            let meeting = intake.foreseen(at.get(), session, catalogue);
            fatigue.advance(at.get());
            let of = |(place, f): (usize, &FollowedMuscle)| {
                let lacks = |mixes: &Vec<Mix>| -> f64 {
                    let left = fatigue.left(place);
                    let terms = mixes.get(place).map(Mix::terms).into_iter().flatten();
                    terms.map(|(c, v)| v * left.get(c - f.start).copied().unwrap_or(0.0)).sum()
                };
                let sum: f64 = self.believed().map(|(_, mixes)| lacks(mixes)).sum();
                (f.muscle, meeting.doses[f.muscle.index()], sum / self.places.len().max(1) as f64)
            };
            let all: Vec<_> = self.learner.followed.iter().enumerate().map(of).collect();
            fatigue.add(&meeting.drops);
            all
        };
        sessions.iter().zip(at).map(one).collect()
    }

    /// The belief before the log was read.
    pub const fn prior(&self) -> &Prior {
        &self.learner.prior
    }

    /// Draws from the prior, to compare with.
    pub fn prior_draws(&self) -> &[Draw] {
        &self.before
    }

    /// Muscles that some exercise of the log depends on.
    pub fn followed(&self) -> impl Iterator<Item = Muscle> {
        self.learner.followed.iter().map(|f| f.muscle)
    }

    /// Sets that look mistyped. They told nothing about strength.
    pub fn slips(&self) -> &[Slip] {
        &self.learner.seen.slips
    }

    /// Exercises of the log that the catalogue does not have.
    pub fn unknown_exercises(&self) -> impl Iterator<Item = &ExerciseId> {
        self.learner.seen.unknown.iter()
    }

    /// Exercises that told a strength.
    pub fn exercises(&self) -> impl Iterator<Item = &ExerciseId> {
        let lifts = self.learner.intake.lifts.iter().enumerate();
        lifts.filter(|(place, _)| self.learner.filter.level(*place).is_some()).map(|(_, lift)| &lift.id)
    }

    /// Time until a muscle is ready again after a dose whose sets are reported with `rir` in reserve.
    pub fn ready(&self, muscle: Muscle, dose: FractionalSets, rir: Reps) -> Interval<Hours> {
        let (m, drop) = (muscle.index(), self.learner.intake.drop(dose, rir.get()));
        self.interval_inexact(|d, off| off.tau_h(d, m) * depth_h(off.depth(d, m) * drop), Hours)
    }

    /// Whether less than a fifth of the prior's variance is gone after a dose: the population's value.
    pub fn is_of_population(&self, muscle: Muscle, dose: FractionalSets, rir: Reps) -> bool {
        self.learned(muscle, dose, rir).get() < LEARNED_MIN
    }

    /// Recovery of a muscle after a dose whose sets are reported with `rir` in reserve.
    pub fn recovery(&self, muscle: Muscle, dose: FractionalSets, rir: Reps) -> Recovery {
        let m = muscle.index();
        let learned = self.learned(muscle, dose, rir);
        let mut not_yet = self.not_yet_of_log();
        if learned.get() < LEARNED_MIN {
            not_yet.push(NotYet::PopulationValue);
        }
        let ready = self.ready(muscle, dose, rir);
        if !self.learner.seen.reaches(muscle, ready.median.get()) {
            not_yet.push(NotYet::GapNeverSeen);
        }
        not_yet.sort_unstable();
        Recovery { tau: self.interval_inexact(|d, off| off.tau_h(d, m), Hours), ready, learned, not_yet }
    }

    /// Median time to be ready after such a dose before the log was read.
    pub fn ready_before(&self, muscle: Muscle, dose: FractionalSets, rir: Reps) -> Hours {
        let drop = self.learner.intake.drop(dose, rir.get());
        let draws = self.before.iter().map(|d| ready_h(d, muscle.index(), drop));
        interval::of(draws.collect(), Hours).median
    }

    /// Share of the prior's variance of a muscle that is gone: of its time constant or of the time after the dose,
    /// whichever was learned better.
    pub fn learned(&self, muscle: Muscle, dose: FractionalSets, rir: Reps) -> Share {
        let m = muscle.index();
        let drop = self.learner.intake.drop(dose, rir.get());
        let gone = |of: &dyn Fn(&Draw) -> f64| {
            let before = variance(self.before.iter(), of);
            if before > 0.0 { 1.0 - variance(self.draws(), of) / before } else { 0.0 }
        };
        Share(gone(&|d| d.log_tau[m]).max(gone(&|d| ready_h(d, m, drop))).clamp(0.0, 1.0))
    }

    /// Strength that a muscle still lacks so long after a dose, rested before it.
    pub fn residual(&self, muscle: Muscle, dose: FractionalSets, rir: Reps, gap: Hours) -> Residual {
        let m = muscle.index();
        let drop = self.learner.intake.drop(dose, rir.get());
        let mut not_yet = self.recovery(muscle, dose, rir).not_yet;
        if !self.learner.seen.has_gap(muscle, gap.get()) && !not_yet.contains(&NotYet::GapNeverSeen) {
            not_yet.push(NotYet::GapNeverSeen);
            not_yet.sort_unstable();
        }
        Residual {
            missing: self.interval_inexact(
                |d, off| off.depth(d, m) * drop * libm::exp(-gap.get().max(0.0) / off.tau_h(d, m)),
                Share,
            ),
            not_yet,
        }
    }

    /// Strength that a muscle lacks at an hour from all that was logged. None for a muscle that no exercise of the
    /// log depends on.
    pub fn missing_at(&self, muscle: Muscle, at: Hours) -> Option<Interval<Share>> {
        let place = self.learner.followed.iter().position(|f| f.muscle == muscle)?;
        let start = self.learner.followed.get(place)?.start;
        let mut fatigue = self.learner.fatigue.clone();
        fatigue.advance(at.get());
        let left = fatigue.left(place);
        let of = |mixes: &Vec<Mix>| {
            mixes.get(place).map_or(0.0, |mix| {
                mix.terms().map(|(c, v)| v * left.get(c - start).copied().unwrap_or(0.0)).sum()
            })
        };
        Some(interval::of(self.believed().map(|(_, mixes)| of(mixes)).collect(), Share))
    }

    /// Probability that a muscle lacks no more than the threshold at an hour, from all that was logged; one for a
    /// muscle that nothing in the log depends on.
    pub fn ready_probability(&self, muscle: Muscle, at: Hours) -> Share {
        let Some(place) = self.learner.followed.iter().position(|f| f.muscle == muscle) else {
            return Share(1.0);
        };
        let start = self.learner.followed.get(place).map_or(0, |f| f.start);
        let mut fatigue = self.learner.fatigue.clone();
        fatigue.advance(at.get());
        let left = fatigue.left(place);
        let lacks = |mixes: &Vec<Mix>| -> f64 {
            let terms = mixes.get(place).map(Mix::terms).into_iter().flatten();
            terms.map(|(c, v)| v * left.get(c - start).copied().unwrap_or(0.0)).sum()
        };
        let ready = self.believed().filter(|(_, mixes)| lacks(mixes) <= recovery::READY_DROP).count();
        Share(ready as f64 / self.places.len().max(1) as f64)
    }

    /// Hours after the last session until a muscle is ready again; zero if it is.
    pub fn ready_after_last(&self, muscle: Muscle) -> Option<Interval<Hours>> {
        let m = muscle.index();
        let last = self.learner.filter.at_h().unwrap_or(0.0);
        let place = self.learner.followed.iter().position(|f| f.muscle == muscle)?;
        let start = self.learner.followed.get(place)?.start;
        let mut fatigue = self.learner.fatigue.clone();
        fatigue.advance(last);
        let left = fatigue.left(place);
        let hours = |(draw, mixes): &(Draw, Vec<Mix>)| {
            let terms = mixes.get(place).map(Mix::terms).into_iter().flatten();
            let now: f64 = terms.map(|(c, v)| v * left.get(c - start).copied().unwrap_or(0.0)).sum();
            libm::exp(draw.log_tau[m]) * depth_h(now)
        };
        Some(interval::of(self.believed().map(hours).collect(), Hours))
    }

    /// What training a muscle once, twice or three times a week is worth at the same weekly sets, whose reserve is
    /// reported as `rir`: expected over the belief, with the probability that each is best.
    pub fn frequencies(&self, muscle: Muscle, weekly: FractionalSets, rir: Reps) -> Vec<Frequency> {
        let drop = |dose| self.learner.intake.drop(dose, rir.get());
        frequency::compare(&self.draws().collect::<Vec<_>>(), muscle.index(), weekly, drop)
    }

    /// The same for anybody, before the log was read.
    pub fn frequencies_before(&self, muscle: Muscle, weekly: FractionalSets, rir: Reps) -> Vec<Frequency> {
        let drop = |dose| self.learner.intake.drop(dose, rir.get());
        frequency::compare(&self.before.iter().collect::<Vec<_>>(), muscle.index(), weekly, drop)
    }

    /// Share of strength that a dose takes from a muscle of the population, its reserve read as this client reports it.
    pub fn drop_of(&self, dose: FractionalSets, rir: Reps) -> f64 {
        self.learner.intake.drop(dose, rir.get())
    }

    /// Probability that the client as a whole gets weaker.
    pub fn falls(&self) -> Share {
        let (means, var) = self.learner.filter.growth();
        let draws = self.with_rest(&means, var);
        Share(draws.iter().filter(|g| **g < 0.0).count() as f64 / draws.len().max(1) as f64)
    }

    /// Strength in an exercise, rested, as of the last session. None when it told nothing.
    pub fn strength(&self, exercise: &ExerciseId) -> Option<Strength> {
        let lift = self.learner.intake.known(exercise)?;
        let (means, var) = self.learner.filter.level(lift)?;
        let (growth, growth_var) = self.learner.filter.growth_of(lift)?;
        let mut not_yet = self.not_yet_of_log();
        let now = self.learner.filter.at_h().unwrap_or(0.0);
        let anchored = self.learner.intake.anchored_h.get(&lift);
        if anchored.is_none_or(|at| now - at > ANCHOR_WEEKS * crate::filter::WEEK_H) {
            not_yet.push(NotYet::NoHeavySet);
        }
        not_yet.push(NotYet::StallOfOneExercise);
        Some(Strength {
            one_rm: self.spread(means, var, |log| Kilograms(libm::exp(log))),
            growth_per_week: self.spread(&growth, growth_var, Share),
            not_yet,
        })
    }

    /// Whether the client as a whole stands still.
    pub fn stall(&self) -> Stall {
        let (means, var) = self.learner.filter.growth();
        let draws = self.with_rest(&means, var);
        let still = draws.iter().filter(|g| **g < STALL_GROWTH).count();
        let probability = Share(still as f64 / draws.len().max(1) as f64);
        let first = self.learner.seen.first_h.unwrap_or(0.0);
        let weeks = (self.learner.filter.at_h().unwrap_or(first) - first) / crate::filter::WEEK_H;
        let not_yet = if weeks < STALL_WEEKS { vec![NotYet::StallTooYoung] } else { Vec::new() };
        Stall { probability, growth_per_week: interval::of(draws, Share), not_yet }
    }

    /// What a session at an hour would show, exercise by exercise in the order given. None for an exercise that
    /// told nothing so far.
    pub fn forecast(
        &self,
        at: Hours,
        session: &[PlannedExercise],
        catalogue: &Catalogue,
    ) -> Vec<Option<Forecast>> {
        let mut filter = self.learner.filter.clone();
        let mut fatigue = self.learner.fatigue.clone();
        filter.advance(at.get());
        fatigue.advance(at.get());
        let mut intake = self.learner.intake.clone();
        let groups = intake.planned(session, catalogue);
        let forecasts = groups.into_iter().zip(session).map(|(group, planned)| {
            let group = group?;
            let (mut means, var) = filter.forecast(&group)?;
            let mut columns = vec![0.0; means.len()];
            self.learner.missing(&group, &mut columns, &fatigue);
            for (m, c) in means.iter_mut().zip(&columns) {
                *m -= c;
            }
            let shown = self.spread(&means, var, |log| Kilograms(libm::exp(log)));
            let share = intake.lifts.get(group.lift)?.share(planned.reps + planned.rir);
            let load = |kg: Kilograms| kg * share;
            let load = Interval { low: load(shown.low), median: load(shown.median), high: load(shown.high) };
            Some(Forecast { shown, load })
        });
        forecasts.collect()
    }

    /// The belief that the planner uses: strength that was told replaces what `base` has, and each muscle gets the
    /// time constant that gives its median time to be ready after a usual session.
    pub fn belief(&self, base: &Belief) -> Belief {
        let mut belief = base.clone();
        for id in self.exercises() {
            let Some(told) = self.learner.intake.known(id).and_then(|l| self.learner.filter.level(l)) else {
                continue;
            };
            let draws = self.with_rest(told.0, told.1);
            let (mean, var) = moments(&draws);
            let one_rm = Kilograms(libm::exp(mean));
            let strength = StrengthBelief { one_rm, basis: Basis::Lifted, sd: Share(var.sqrt()) };
            belief.one_rm.insert(id.clone(), strength);
        }
        let (dose, rir) = (FractionalSets(recovery::USUAL_SETS), Reps(recovery::USUAL_RIR));
        let usual = depth_h(recovery::drop(dose, rir.get()).get());
        for f in &self.learner.followed {
            let ready = self.recovery(f.muscle, dose, rir).ready.median.get();
            let tau = Hours((ready / usual).clamp(recovery::TAU_H.0, recovery::TAU_H.1));
            belief.tau[f.muscle.index()] = tau;
        }
        belief
    }

    /// Reps in reserve beyond those reported: mean and spread.
    pub fn rir_bias(&self) -> Interval<Reps> {
        let (means, var) = self.learner.filter.bias();
        self.spread(means, var, Reps)
    }

    /// The client's factor of the load-rep curve: 1.2 does a fifth more repetitions at a share of the 1RM.
    pub fn curve_factor(&self) -> Interval<Share> {
        let (means, var) = self.learner.filter.bend();
        self.spread(means, var, |log| Share(libm::exp(log)))
    }

    fn not_yet_of_log(&self) -> Vec<NotYet> {
        let tally = self.learner.intake.tally;
        let missing = tally.without_rir as f64 > WITHOUT_RIR * tally.sets as f64;
        let strange = self.strayed.get_or_init(|| self.bend_in_spreads()).abs() > CURVE_STRANGE;
        let doubts = [(missing, NotYet::RirMostlyMissing), (strange, NotYet::ReserveDoesNotFit)];
        doubts.into_iter().filter(|(holds, _)| *holds).map(|(_, why)| why).collect()
    }

    /// How far the middle of the person's load-rep curve has strayed, in spreads of its prior.
    fn bend_in_spreads(&self) -> f64 {
        let (means, _) = self.learner.filter.bend();
        let sum: f64 = self.believed().map(|(_, mixes)| value(means, mixes)).sum();
        sum / self.places.len().max(1) as f64 / self.learner.prior.strength.curve
    }

    /// The interval of an equation's answer: the draws, and by how much the equation itself may be off.
    fn interval_inexact<T>(&self, of: impl Fn(&Draw, Off) -> f64, unit: impl Fn(f64) -> T) -> Interval<T> {
        let draws = self.draws().zip(&self.luck.off).map(|(d, off)| of(d, *off));
        interval::of(draws.collect(), unit)
    }

    /// Draws of a quantity with a mean by column and a variance that the draws do not settle.
    fn with_rest(&self, means: &[f64], var: f64) -> Vec<f64> {
        let sd = var.max(0.0).sqrt();
        let draws = self.believed().zip(&self.luck.rest);
        draws.map(|((_, mixes), rest)| value(means, mixes) + sd * rest).collect()
    }

    fn spread<T>(&self, means: &[f64], var: f64, unit: impl Fn(f64) -> T) -> Interval<T> {
        interval::of(self.with_rest(means, var), unit)
    }
}

/// By how much the equations of recovery may be off for a client whom they do not quite fit: the decay is not one
/// exponential, the dose law and the map of exercises are approximations.
#[derive(Clone, Copy, Debug)]
struct Off {
    log_tau: f64,
    depth: f64,
}

impl Off {
    fn draw(chance: &mut Chance) -> Self {
        Self { log_tau: OFF_SD * chance.normal(), depth: libm::exp(OFF_SD * chance.normal()) }
    }

    fn tau_h(self, draw: &Draw, muscle: usize) -> f64 {
        libm::exp(draw.log_tau[muscle] + self.log_tau)
    }

    fn depth(self, draw: &Draw, muscle: usize) -> f64 {
        draw.depth[muscle] * self.depth
    }
}

/// Hours until what a dose takes from a muscle has fallen to the threshold.
fn ready_h(draw: &Draw, muscle: usize, drop: f64) -> f64 {
    libm::exp(draw.log_tau[muscle]) * depth_h(draw.depth[muscle] * drop)
}

/// How many time constants a deficit takes to fall to the threshold.
fn depth_h(deficit: f64) -> f64 {
    libm::log((deficit / recovery::READY_DROP).max(1.0))
}

fn variance<'a>(draws: impl Iterator<Item = &'a Draw>, of: &dyn Fn(&Draw) -> f64) -> f64 {
    moments(&draws.map(of).collect::<Vec<_>>()).1
}

/// As many places as there are weights, each as often as its weight asks, by systematic resampling. None when the
/// weight lies on so few that new draws are due.
fn resampled(log_weights: &[f64]) -> Option<Vec<usize>> {
    let most = log_weights.iter().copied().fold(f64::MIN, f64::max);
    let weights: Vec<f64> = log_weights.iter().map(|w| libm::exp(w - most)).collect();
    let sum: f64 = weights.iter().sum();
    let squares: f64 = weights.iter().map(|w| w * w).sum();
    let count = weights.len();
    if count == 0 || !sum.is_finite() || sum * sum < EFFECTIVE_MIN * squares * count as f64 {
        return None;
    }
    let mut places = Vec::with_capacity(count);
    let mut passed = 0.0;
    for (place, weight) in weights.iter().enumerate() {
        passed += weight / sum * count as f64;
        while places.len() < count && places.len() as f64 + 0.5 < passed {
            places.push(place);
        }
    }
    places.resize(count, count - 1);
    Some(places)
}

fn moments(values: &[f64]) -> (f64, f64) {
    let n = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / n)
}
