//! A client trains by the plan: loads, reps, reserve as it is felt and said, and the log with its faults.

use crate::client::{Lift, Truth, WEEK_H};
use crate::draws::Draws;
use crate::habits::{Kind, Misfit, Soreness};
use crate::plan::{self, SLOTS, Slot};
use setwright_chance::Chance;
use setwright_estimate::{History, LoggedSession, LoggedSet, Mark, MarkKind, Prior, SorenessReport};
use setwright_model::{Catalogue, ExerciseId, Hours, Kilograms, Muscle, Reps, Share};
use setwright_science::curve::{self, Curve};
use std::collections::BTreeMap;

/// Pounds of a kilogram; exact by definition.
const LB_PER_KG: f64 = 2.204_622_621_848_776;
/// Sessions whose fatigue is still reckoned (numeric: two weeks of time constants under four days).
const RECALLED: usize = 16;

/// A simulated client: what is true, and what was logged.
#[derive(Clone, Debug)]
pub struct Client {
    /// What is true.
    pub truth: Truth,
    /// What was logged.
    pub history: History,
    /// Slips that were made: session and place of the set.
    pub slips: Vec<(Hours, usize)>,
    /// Logarithm of the 1RM that each exercise of a session would have told without chance: what somebody who knows
    /// the truth would forecast.
    pub foretold: BTreeMap<(usize, ExerciseId), f64>,
}

/// A client of a kind, trained to the end.
pub fn client(kind: Kind, prior: &Prior, catalogue: &Catalogue, seed: u64, nth: u64) -> Client {
    client_of(kind, prior, catalogue, Chance::new(seed, nth))
}

/// A client of a kind, trained to the end, all of whose chance comes from there.
pub fn client_of(
    kind: Kind,
    prior: &Prior,
    catalogue: &Catalogue,
    mut chance: impl Draws + 'static,
) -> Client {
    let truth = Truth::draw(kind, prior, catalogue, &mut chance);
    let hours = plan::hours(kind, &mut chance);
    let mut life = Life::new(truth, prior, chance);
    for (session, at_h) in hours.iter().enumerate() {
        life.train(session, *at_h);
    }
    Client { truth: life.truth, history: life.history, slips: life.slips, foretold: life.foretold }
}

/// A session's toll.
struct Toll {
    at_h: f64,
    drops: [f64; Muscle::COUNT],
    /// The same without the person's depth, which soreness does not follow.
    plain: [f64; Muscle::COUNT],
}

/// A client in the middle of training.
pub(crate) struct Life {
    pub(crate) truth: Truth,
    chance: Box<dyn Draws>,
    day_sd: f64,
    exercise_sd: f64,
    tolls: Vec<Toll>,
    /// The coach's running estimate of the logarithm of the 1RM, as told.
    estimates: BTreeMap<usize, f64>,
    pub(crate) history: History,
    slips: Vec<(Hours, usize)>,
    foretold: BTreeMap<(usize, ExerciseId), f64>,
    deload_marked: bool,
}

/// What a session does to all its sets.
struct Day {
    at_h: f64,
    effect: f64,
    bias: f64,
    easy: bool,
}

impl Life {
    pub(crate) fn new(truth: Truth, prior: &Prior, mut chance: impl Draws + 'static) -> Self {
        let mut tolls = Vec::new();
        // Nobody starts a log rested for certain: one session of unknown size before it.
        let mut plain = [0.0; Muscle::COUNT];
        for p in &mut plain {
            *p = 0.14 * chance.unit();
        }
        let drops = std::array::from_fn(|m| plain[m] * truth.depth[m]);
        tolls.push(Toll { at_h: -24.0 - 96.0 * chance.unit(), drops, plain });
        Self {
            truth,
            chance: Box::new(chance),
            day_sd: prior.strength.day,
            exercise_sd: prior.strength.exercise_day,
            tolls,
            estimates: BTreeMap::new(),
            history: History::default(),
            slips: Vec::new(),
            foretold: BTreeMap::new(),
            deload_marked: false,
        }
    }

    pub(crate) fn train(&mut self, session: usize, at_h: f64) {
        self.report_soreness(at_h);
        let day = self.day(at_h);
        let mut doses = [0.0; Muscle::COUNT];
        let mut reserves = [0.0; Muscle::COUNT];
        let mut sets = Vec::new();
        for (place, slot) in SLOTS.iter().enumerate().filter(|(_, s)| s.workout == session % 2) {
            let Some(lift) = self.truth.lifts.get(place).cloned() else { continue };
            self.exercise(place, slot, &lift, &day, &mut doses, &mut reserves, &mut sets);
        }
        let reserve = |m: usize| if doses[m] > 0.0 { reserves[m] / doses[m] } else { 0.0 };
        let drop = |m: Muscle| self.truth.drop(m, doses[m.index()], reserve(m.index()));
        let drops = Muscle::ALL.map(|m| if doses[m.index()] > 0.0 { drop(m) } else { 0.0 });
        let plain = std::array::from_fn(|m| drops[m] / self.truth.depth[m]);
        self.tolls.push(Toll { at_h, drops, plain });
        let late = self.truth.kind.misfit == Misfit::Sloppy && self.chance.unit() < 0.1;
        let logged_h = if late { at_h + 6.0 * self.chance.unit() } else { at_h };
        self.fault(&mut sets, logged_h);
        self.history.sessions.push(LoggedSession { at: Hours(logged_h), sets });
    }

    fn day(&mut self, at_h: f64) -> Day {
        let week = (at_h / WEEK_H) as u32;
        let easy = self.truth.kind.misfit == Misfit::Deloads && week % 6 == 5;
        if easy && !self.history.marks.iter().any(|m| m.from.get() <= at_h && at_h <= m.to.get()) {
            self.deload_marked = !self.deload_marked;
            if self.deload_marked {
                let from = f64::from(week) * WEEK_H;
                let mark = Mark { kind: MarkKind::Deload, from: Hours(from), to: Hours(from + WEEK_H) };
                self.history.marks.push(mark);
            }
        }
        let sick = self.chance.unit() < self.truth.kind.misfit.sick();
        let ill = if sick { 0.06 + 0.03 * self.chance.normal() } else { 0.0 };
        Day {
            at_h,
            effect: self.day_sd * self.chance.normal() - ill.max(0.0),
            bias: 0.4 * self.chance.normal(),
            easy,
        }
    }

    #[expect(clippy::too_many_arguments, reason = "the sums of a session are filled in place")]
    fn exercise(
        &mut self,
        place: usize,
        slot: &Slot,
        lift: &Lift,
        day: &Day,
        doses: &mut [f64; Muscle::COUNT],
        reserves: &mut [f64; Muscle::COUNT],
        sets: &mut Vec<LoggedSet>,
    ) {
        let before: f64 = lift.weights.iter().map(|(m, w)| w * doses[m.index()]).sum();
        let tired: f64 = lift.weights.iter().map(|(m, w)| w * self.missing(*m, day.at_h)).sum();
        let rested = self.truth.level(lift, day.at_h);
        let quiet = rested - tired - self.truth.before * before;
        let start = quiet + day.effect + self.exercise_sd * self.chance.normal();
        let (target, reserve) = self.target(slot, day);
        let load = self.load(place, lift, start, target, reserve);
        let done = if day.easy { slot.sets.div_ceil(2) } else { slot.sets };
        self.foretell(lift, load, quiet - self.truth.order * f64::from(done.saturating_sub(1)) / 2.0);
        let mut told = 0.0;
        for set in 0..done {
            let max = libm::exp(start - self.truth.order * f64::from(set));
            let (reps, said, truly) = self.set(lift, load, max, target, reserve, day);
            for (muscle, share) in &lift.contributions {
                doses[muscle.index()] += share;
                reserves[muscle.index()] += share * truly;
            }
            told += libm::log(
                curve::one_rm(Kilograms(load), Reps(reps), Reps(said), Curve::of(lift.exercise.curve)).get(),
            );
            sets.push(LoggedSet {
                exercise: lift.exercise.id.clone(),
                load: Some(Kilograms(load)),
                reps: Reps(reps),
                rir: Some(Reps(said)),
            });
        }
        let mean = told / f64::from(done.max(1));
        self.estimates.entry(place).and_modify(|e| *e += 0.3 * (mean - *e)).or_insert(mean);
    }

    /// Reps and reserve asked for: reps change from block to block, reserve from one to three.
    fn target(&mut self, slot: &Slot, day: &Day) -> (f64, f64) {
        let block = (day.at_h / (4.0 * WEEK_H)) as u32;
        let span = slot.reps.1 - slot.reps.0 + 1;
        let reps = f64::from(slot.reps.0 + (block * 2) % span);
        let reserve = 1.0 + self.chance.below(3) as f64;
        (reps, if day.easy { reserve + 3.0 } else { reserve })
    }

    fn load(&mut self, place: usize, lift: &Lift, start: f64, reps: f64, reserve: f64) -> f64 {
        let guess = self.estimates.get(&place).copied();
        let guess = guess.unwrap_or_else(|| start + 0.05 * self.chance.normal());
        let wanted = libm::exp(guess) * Curve::of(lift.exercise.curve).share(Reps(reps + reserve)).get();
        let step = lift.exercise.step_kg.get().max(0.5);
        ((wanted / step).round() * step).max(step)
    }

    fn foretell(&mut self, lift: &Lift, load: f64, quiet: f64) {
        let population = Curve::of(lift.exercise.curve);
        let possible = population.with_person(self.truth.curve).reps(Share(load / libm::exp(quiet)));
        let told =
            curve::one_rm(Kilograms(load), possible - Reps(self.truth.rir_bias), Reps::ZERO, population);
        let key = (self.history.sessions.len(), lift.exercise.id.clone());
        self.foretold.insert(key, libm::log(told.get()));
    }

    /// Reps done, reserve said, and reserve that was truly left.
    fn set(
        &mut self,
        lift: &Lift,
        load: f64,
        max: f64,
        target: f64,
        reserve: f64,
        day: &Day,
    ) -> (f64, f64, f64) {
        let curve = Curve::of(lift.exercise.curve).with_person(self.truth.curve);
        let possible = curve.reps(Share(load / max)).get().max(1.0);
        let felt = possible - self.truth.rir_bias - day.bias + self.chance.normal();
        let wanted = (felt - reserve).round().clamp((target - 3.0).max(1.0), target + 3.0);
        if wanted > possible.floor() {
            return (possible.floor(), 0.0, 0.0);
        }
        (wanted, (felt - wanted).round().clamp(0.0, 5.0), possible - wanted)
    }

    fn missing(&self, muscle: Muscle, at_h: f64) -> f64 {
        let recent = self.tolls.iter().rev().take(RECALLED);
        recent.map(|t| t.drops[muscle.index()] * self.truth.left(muscle, at_h - t.at_h)).sum()
    }

    /// Before a session most clients say how sore they are.
    fn report_soreness(&mut self, at_h: f64) {
        if self.truth.kind.soreness == Soreness::None {
            return;
        }
        for muscle in Muscle::ALL {
            let m = muscle.index();
            let recent = self.tolls.iter().rev().take(RECALLED);
            let tau = self.truth.soreness_tau_h[m];
            let left: f64 = recent.map(|t| t.plain[m] * libm::exp(-(at_h - t.at_h) / tau)).sum();
            let felt = self.truth.soreness_gain[m] * left + 1.5 * self.chance.normal();
            if self.chance.unit() < 0.7 {
                let score = felt.round().clamp(0.0, 10.0) as u8;
                self.history.soreness.push(SorenessReport { at: Hours(at_h), muscle, score });
            }
        }
    }

    /// What is wrong in the log.
    fn fault(&mut self, sets: &mut [LoggedSet], at_h: f64) {
        let misfit = self.truth.kind.misfit;
        for (nth, set) in sets.iter_mut().enumerate() {
            if self.chance.unit() < misfit.rir_missing() {
                set.rir = None;
            }
            if self.chance.unit() < misfit.pounds() {
                set.load = set.load.map(|kg| Kilograms((kg.get() * LB_PER_KG).round()));
                self.slips.push((Hours(at_h), nth));
            }
        }
    }
}
