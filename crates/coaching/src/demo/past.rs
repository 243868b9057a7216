//! Six months of invented logs for the demo roster: each client trains by the programme that was planned, on about the days
//! that it says, tires, recovers at a pace of their own, gets stronger, misjudges what is left, and now and then mistypes.
//! All of it is made up from a seed.

use crate::belief;
use crate::insight;
use crate::ledger::{UnitOfWork, clients, of_store};
use crate::plan::Planned;
use crate::publish;
use setwright_chance::Chance;
use setwright_gym::loads::Loadable;
use setwright_model::MassUnit;
use setwright_model::brief::Lift;
use setwright_model::exercise::Measure;
use setwright_model::ledger::{
    ClientId, Event, EventId, Load, Moment, SessionFinished, SessionStarted, SetDone, SetKind, SetLogged,
    Soreness, What,
};
use setwright_model::refusal::Refusal;
use setwright_model::{
    Belief, Brief, Catalogue, Exercise, FractionalSets, Kilograms, Muscle, Prescription, Programme, Reps,
    Seconds, Session, Share,
};
use setwright_science::clock;
use setwright_science::curve::{self, Curve};
use setwright_science::prescribe::Scheme;
use setwright_science::{recovery, strength};
use setwright_store::Store;
use std::collections::BTreeMap;

/// Days of log.
pub const DAYS: i64 = 182;
const DAY_H: f64 = 24.0;
const NOON_S: u32 = 12 * 3_600;
/// Noise of a day, of a set and of what is felt to be left, as the estimator assumes (invented).
const DAY_SD: f64 = 0.018;
const FELT_SD: f64 = 0.9;
const SKIPPED: f64 = 0.07;
/// Scatter of a session's length about what the session clock says, how often the room is full, and what that does (invented).
const PACE_SD: f64 = 0.06;
const CROWDED: f64 = 0.04;
const CROWDED_PACE: f64 = 1.45;
/// 1RM of an exercise of which nothing is known, as a share of the bench press (invented).
const UNKNOWN_SHARE: f64 = 0.3;

/// How one invented client differs from the next: growth a week, pace of recovery, days since the last session, a slip.
#[derive(Clone, Copy)]
struct Habits {
    growth: f64,
    slower: f64,
    away_days: i64,
    slips: bool,
}

const HABITS: [Habits; 8] = [
    Habits { growth: 0.006, slower: 0.9, away_days: 1, slips: false },
    Habits { growth: 0.003, slower: 1.3, away_days: 2, slips: false },
    Habits { growth: 0.004, slower: 0.8, away_days: 1, slips: true },
    Habits { growth: 0.0, slower: 1.0, away_days: 1, slips: false },
    Habits { growth: 0.002, slower: 1.1, away_days: 2, slips: false },
    Habits { growth: 0.005, slower: 1.2, away_days: 12, slips: false },
    Habits { growth: 0.002, slower: 1.4, away_days: 3, slips: false },
    Habits { growth: 0.003, slower: 1.0, away_days: 1, slips: false },
];

/// Adds the client of a brief with the programme planned for it, and lets half a year pass.
///
/// # Errors
/// A ledger that cannot be written.
pub fn live(
    uow: &mut UnitOfWork,
    nth: usize,
    brief: &Brief,
    planned: &Planned,
    catalogue: &Catalogue,
) -> Result<(), Refusal> {
    live_for(uow, nth, brief, planned, DAYS, catalogue)
}

/// The same for so many days.
///
/// # Errors
/// A ledger that cannot be written.
pub fn live_for(
    uow: &mut UnitOfWork,
    nth: usize,
    brief: &Brief,
    planned: &Planned,
    days: i64,
    catalogue: &Catalogue,
) -> Result<(), Refusal> {
    let habits = HABITS[nth % HABITS.len()];
    let today = uow.wall.clone();
    let now = today.now();
    uow.wall = today.standing(today.on(now.date().plus(-days), NOON_S).unwrap_or(now));
    let begun = begin(uow, brief, planned, catalogue);
    uow.wall = today;
    let (client, Some(programme_id)) = begun? else { return Ok(()) };
    let Some(certified) = &planned.programme else { return Ok(()) };
    let mut life = Life::new(brief, habits, nth as u64, catalogue);
    let programme = certified.get();
    let mut events = Vec::new();
    let mut day = now.date().plus(-days);
    let last = now.date().plus(-habits.away_days);
    while day <= last {
        for session in &programme.sessions {
            let on = day.plus(i64::from(session.day) - 1);
            if on > last || life.chance.unit() < SKIPPED {
                continue;
            }
            let minute = (17.5 * 60.0 + 90.0 * life.chance.unit()) as u32;
            let Some(at) = uow.wall.on(on, minute * 60) else { continue };
            let begun = SessionStarted { programme: Some(programme_id), day: Some(session.day) };
            life.train(uow, client, at, begun, programme, session.day, &mut events);
        }
        day = day.plus(i64::from(programme.cycle_days.max(1)));
    }
    let outcome = uow.store.append_all(&mut events.into_iter()).map_err(|e| of_store(&e))?;
    outcome.refused.first().map_or(Ok(()), |first| Err(crate::ledger::refused(first)))
}

/// The client with the brief and, if there is one, the programme.
fn begin(
    uow: &mut UnitOfWork,
    brief: &Brief,
    planned: &Planned,
    catalogue: &Catalogue,
) -> Result<(ClientId, Option<EventId>), Refusal> {
    let client = clients::add(uow, &brief.name, &brief.about, Some(brief.clone()))?;
    if planned.programme.is_none() {
        return Ok((client.id, None));
    }
    let client_now = uow.client(&client.id.to_string())?;
    let known = insight::known_of(uow, client_now, catalogue)?;
    let from = known.current.of_brief_alone();
    let published = publish::planned(uow, &known, &from, (brief, planned), catalogue)?;
    Ok((client.id, Some(published.programme)))
}

/// A block of a session and an exercise of it, from 0.
type LiftAt = (usize, usize);

/// What is done in a session, with its places.
fn places(session: &Session) -> impl Iterator<Item = (LiftAt, &Prescription)> {
    session
        .blocks
        .iter()
        .enumerate()
        .flat_map(|(nth, block)| block.exercises.iter().enumerate().map(move |(lane, p)| ((nth, lane), p)))
}

struct Life<'a> {
    brief: &'a Brief,
    habits: Habits,
    catalogue: &'a Catalogue,
    chance: Chance,
    /// How fast sessions go, apart from all else.
    pace: Chance,
    /// What is true at the start.
    truly: BTreeMap<String, f64>,
    /// What the coach believes, from which loads are chosen.
    belief: Belief,
    tolls: Vec<(f64, [f64; Muscle::COUNT])>,
    start_h: Option<f64>,
}

impl<'a> Life<'a> {
    fn new(brief: &'a Brief, habits: Habits, nth: u64, catalogue: &'a Catalogue) -> Self {
        let mut with_lifts = brief.clone();
        if with_lifts.lifts.is_empty() {
            let lift =
                |id: &str, kg: f64| Lift { exercise: id.into(), load_kg: Kilograms(kg), reps: 8, rir: 2 };
            with_lifts.lifts =
                vec![lift("bench_press", 35.0), lift("back_squat", 45.0), lift("barbell_row", 35.0)];
        }
        let belief = belief::of(&with_lifts, catalogue);
        Self {
            brief,
            habits,
            catalogue,
            chance: Chance::new(20_261, nth),
            pace: Chance::new(20_262, nth),
            truly: BTreeMap::new(),
            belief,
            tolls: Vec::new(),
            start_h: None,
        }
    }

    #[expect(clippy::too_many_arguments, reason = "what a session is, once")]
    fn train(
        &mut self,
        uow: &UnitOfWork,
        client: ClientId,
        at: Moment,
        begun: SessionStarted,
        programme: &Programme,
        day: u32,
        events: &mut Vec<Event>,
    ) {
        let at_h = at.unix_ms() as f64 / 3_600_000.0;
        self.start_h.get_or_insert(at_h);
        let batch = Some(uow.batch());
        let start = uow.event(client, Some(at), batch, What::SessionStarted(begun));
        let session = start.id;
        self.soreness(uow, client, at, batch, events);
        events.push(start);
        let today = DAY_SD * self.chance.normal();
        let mut doses = [0.0; Muscle::COUNT];
        let Some(planned) = programme.sessions.iter().find(|s| s.day == day) else { return };
        let (ends, total) = self.ends(planned);
        let mut sets = Vec::new();
        for (place, prescription) in places(planned) {
            let Some(exercise) = self.catalogue.get(&prescription.id) else { continue };
            for (nth, done) in self.exercise(exercise, prescription, at_h, today).into_iter().enumerate() {
                sets.push((ends.get(&(place, nth as u32)).copied().unwrap_or(total), done));
                for (muscle, share) in exercise.contributions() {
                    doses[muscle.index()] += share;
                }
            }
        }
        sets.sort_by(|a, b| a.0.get().total_cmp(&b.0.get()));
        let after = |time: Seconds| {
            Moment::new(at.unix_ms() + (1_000.0 * time.get()) as i64, at.offset_min()).unwrap_or(at)
        };
        for (end, done) in sets {
            let set = What::Set(SetLogged { session, done });
            events.push(uow.event(client, Some(after(end)), batch, set));
        }
        let finished = What::SessionFinished(SessionFinished { session, effort: None, early: false });
        events.push(uow.event(client, Some(after(total)), batch, finished));
        let drop = |dose: f64| if dose > 0.0 { recovery::drop(FractionalSets(dose), 2.0).get() } else { 0.0 };
        self.tolls.push((at_h, doses.map(drop)));
    }

    /// When each set of a session ends and when the last one does: as the session clock has it, at the pace of the day.
    fn ends(&mut self, session: &Session) -> (BTreeMap<(LiftAt, u32), Seconds>, Seconds) {
        let crowded = if self.pace.unit() < CROWDED { CROWDED_PACE } else { 1.0 };
        let pace = crowded * libm::exp(PACE_SD * self.pace.normal());
        let timeline = clock::session(session, self.catalogue, self.brief.time.cold).unwrap_or_default();
        let end = |e: &clock::ClockSpan| match e.activity {
            clock::Activity::Work(nth) => {
                Some((((e.block, e.lane), nth), Seconds(pace * (e.start + e.length).get())))
            }
            _ => None,
        };
        (timeline.events.iter().filter_map(end).collect(), Seconds(pace * timeline.total.get()))
    }

    /// Sets of an exercise: a load that the belief asks for, reps that this day allows, reserve as it is felt.
    fn exercise(&mut self, exercise: &Exercise, p: &Prescription, at_h: f64, today: f64) -> Vec<SetDone> {
        if exercise.measure != Measure::Reps {
            let set = |reps| SetDone {
                exercise: p.id.clone(),
                kind: SetKind::Work,
                load: None,
                reps,
                rir: None,
                rest_s: None,
            };
            return (0..p.sets).map(|_| set(p.reps[0].max(1))).collect();
        }
        let loadable = Loadable::of_client(self.brief, exercise).unwrap_or_else(|_| Loadable::none());
        let truly = self.one_rm(exercise, p, at_h) * libm::exp(today);
        let mass = self.brief.body.mass_kg;
        let scheme = Scheme { reps: p.reps, rir: p.rir };
        let load = strength::work_load(exercise, scheme, &self.belief, &loadable, mass);
        let total =
            strength::total(exercise, load.unwrap_or(Kilograms::ZERO), mass).filter(|kg| kg.get() > 0.0);
        let curve = Curve::of(exercise.curve);
        let slip = self.habits.slips && self.chance.unit() < 0.004;
        let mut told = Vec::new();
        let mut sets = Vec::new();
        for nth in 0..p.sets {
            let tired = libm::exp(-0.012 * f64::from(nth));
            let possible = total
                .map_or(f64::from(p.reps[1]) + 2.0, |kg| curve.reps(Share(kg.get() / (truly * tired))).get());
            let felt = possible - 0.4 + FELT_SD * self.chance.normal();
            let reps = (felt - f64::from(p.rir))
                .round()
                .clamp(1.0, f64::from(p.reps[1]) + 2.0)
                .min(possible.floor().max(1.0));
            let rir = (felt - reps).round().clamp(0.0, 5.0);
            if let Some(kg) = total {
                told.push(curve::one_rm(kg, Reps(reps), Reps(rir), curve).get());
            }
            let kilograms = load.filter(|kg| kg.get() > 0.0).map(|kg| {
                let factor = if slip && nth == 0 { 2.2 } else { 1.0 };
                Load::new((kg.get() * factor * 4.0).round() / 4.0, MassUnit::Kg)
            });
            sets.push(SetDone {
                exercise: p.id.clone(),
                kind: SetKind::Work,
                load: kilograms,
                reps: reps as u32,
                rir: Some(rir as u32),
                rest_s: None,
            });
        }
        self.learn(exercise, &told);
        sets
    }

    /// What the client can lift at an hour, once, tired as they are.
    fn one_rm(&mut self, exercise: &Exercise, p: &Prescription, at_h: f64) -> f64 {
        let bench = self.belief.one_rm.get(&"bench_press".into()).map_or(50.0, |b| b.one_rm.get());
        // What is done with the body alone is planned for who can do it: about the reps that are asked.
        let body = strength::total(exercise, Kilograms::ZERO, self.brief.body.mass_kg);
        let asked = Curve::of(exercise.curve).share(Reps(p.mid_reps() + f64::from(p.rir))).get();
        let usual =
            body.filter(|kg| kg.get() > 0.0).map_or(bench * UNKNOWN_SHARE, |kg| kg.get() / asked.max(0.1));
        let known = self.belief.one_rm.get(&exercise.id).map_or(usual, |b| b.one_rm.get());
        let luck = libm::exp(0.05 * self.chance.normal());
        let first = *self.truly.entry(exercise.id.to_string()).or_insert(known * luck);
        let weeks = (at_h - self.start_h.unwrap_or(at_h)) / (7.0 * DAY_H);
        let sum: f64 = exercise.contributions().map(|(_, c)| c * c).sum();
        let lacks: f64 =
            exercise.contributions().map(|(m, c)| c * c / sum.max(1e-9) * self.left(m, at_h)).sum();
        first * libm::exp(self.habits.growth * weeks - lacks)
    }

    fn left(&self, muscle: Muscle, at_h: f64) -> f64 {
        let tau = recovery::median_tau_h(muscle) * self.habits.slower;
        let recent = self.tolls.iter().rev().take(8);
        recent.map(|(then, drops)| drops[muscle.index()] * libm::exp(-(at_h - then) / tau)).sum()
    }

    fn learn(&mut self, exercise: &Exercise, told: &[f64]) {
        let Some(best) = told.iter().copied().reduce(f64::max) else { return };
        if let Some(belief) = self.belief.one_rm.get_mut(&exercise.id) {
            belief.one_rm = Kilograms(belief.one_rm.get() * 0.7 + best * 0.3);
        }
    }

    /// Now and then how sore a muscle is, before the session.
    fn soreness(
        &mut self,
        uow: &UnitOfWork,
        client: ClientId,
        at: Moment,
        batch: Option<EventId>,
        events: &mut Vec<Event>,
    ) {
        let at_h = at.unix_ms() as f64 / 3_600_000.0;
        for muscle in [Muscle::Quads, Muscle::Chest, Muscle::Hamstrings] {
            let felt = 35.0 * self.left(muscle, at_h) + self.chance.normal();
            if self.chance.unit() < 0.2 {
                let level = felt.round().clamp(0.0, 10.0) as u32;
                events.push(uow.event(client, Some(at), batch, What::Soreness(Soreness { muscle, level })));
            }
        }
    }
}

#[cfg(test)]
mod tests;
