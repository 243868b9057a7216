//! The forward simulation: what a client who takes the steps of a roadmap may lift, week by week, as bands.
//!
//! Many clients are drawn from the prior: how strong they are, how fast they grow, how many sets they tolerate, how
//! often they miss a session. Each trains, misjudges reserve, has good and bad days, changes loads by
//! `science::progress`, waits for a step until two sessions running are at the goal, and takes a lighter week when
//! fatigue calls for it. What is read off are the 5th, 50th and 95th percentile: a band, never a line. A seed gives the
//! same bands on any machine; clients have streams of chance of their own.

use crate::prior::StrengthPrior;
use setwright_chance::Chance;
use setwright_model::{Band, Kilograms, Reps};
use setwright_science::progress::{OVER_REPS, SESSIONS_RUNNING};
use setwright_science::roadmap::{AT_GOAL, BLOCK_WEEKS, LIGHTER, LiftLoading, gain};

/// Clients that are drawn.
pub const CLIENTS: u32 = 1000;
/// Spread of the logarithm of how fast a client grows. With [`GROWTH_LIFT_SD`] it gives the coefficient of variation of
/// gains of a 1RM over 12 weeks, 0.55 in men and 0.59 in women (Hubal 2005, MSSE 37:964 (A); its parts are judgement).
const GROWTH_PERSON_SD: f64 = 0.45;
/// The same between the lifts of one client.
const GROWTH_LIFT_SD: f64 = 0.30;
/// Least and most share of its sessions that a client misses, any between them as likely (judgement).
const MISSED: (f64, f64) = (0.02, 0.25);
/// Sets a week that a client tolerates, as a multiple of the most that the steps ask: logarithm of the median and
/// spread (judgement: the steps are those that most clients tolerate).
const TOLERATED: (f64, f64) = (0.15, 0.25);
/// Share of the tolerated sets from which fatigue stays from week to week (judgement).
const FATIGUE_FROM: f64 = 0.8;
/// Loss of strength in a week for each multiple of the tolerated sets beyond that (judgement).
const FATIGUE_GAIN: f64 = 0.08;
/// Days in which such fatigue falls to a third: the slower fatigue of the impulse-response model (evidence section 7).
const FATIGUE_DAYS: f64 = 15.0;
/// Weeks in which loads are still being found: falling short then is no sign of fatigue (judgement: the length of a
/// block).
const FINDING_WEEKS: f64 = BLOCK_WEEKS;
/// Days of a week.
const WEEK: f64 = 7.0;

/// What is simulated.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Steps in order.
    pub steps: Vec<CourseStep>,
    /// The lifts that are followed.
    pub lifts: Vec<CourseLift>,
    /// Weeks of steady training behind.
    pub trained_weeks: f64,
    /// Whether sets go back for good when they were not tolerated: for who has no table to follow.
    pub by_tolerance: bool,
    /// Weeks ahead.
    pub weeks: u32,
}

/// A step.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseStep {
    /// Weeks of steady training from now before it may be taken.
    pub from_week: f64,
    /// Days until its programme repeats.
    pub cycle_days: u32,
    /// Sessions of a cycle in order.
    pub sessions: Vec<CourseSession>,
}

/// A session.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseSession {
    /// Day of the cycle, from 1.
    pub day: u32,
    /// Work sets of all exercises.
    pub sets: u32,
    /// Those of the lifts that are followed.
    pub lifts: Vec<CourseWork>,
}

/// What is asked of a lift in a session.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CourseWork {
    /// Index of the lift.
    pub lift: usize,
    /// Work sets.
    pub sets: u32,
    /// Lowest and highest reps.
    pub reps: [u32; 2],
    /// Reps in reserve.
    pub rir: u32,
}

/// A lift that is followed.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseLift {
    /// 1RM that is believed, all that moves counted; 1 where it is not known.
    pub one_rm: Kilograms,
    /// Its spread, as a share.
    pub sd: f64,
    /// How it is loaded.
    pub loading: LiftLoading,
}

/// A week.
#[derive(Clone, Debug, PartialEq)]
pub struct Week {
    /// Step that half of the clients have reached.
    pub step: usize,
    /// Sets of a session.
    pub sets: Band,
    /// Sessions a cycle.
    pub sessions: Band,
    /// Share of the clients in a lighter week.
    pub lighter: f64,
    /// By lift: load (absent where under half do it) and 1RM.
    pub lifts: Vec<(Option<Band>, Band)>,
}

/// The weeks of a course.
pub fn simulate(course: &Course, seed: u64) -> Vec<Week> {
    simulate_many(course, CLIENTS, seed)
}

/// The same from so many clients.
pub fn simulate_many(course: &Course, clients: u32, seed: u64) -> Vec<Week> {
    let lives: Vec<Vec<Seen>> =
        (0..clients).map(|c| Client::drawn(course, Chance::new(seed, u64::from(c))).live()).collect();
    (0..course.weeks as usize).map(|week| week_of(course, &lives, week)).collect()
}

/// What is seen of a client in a week.
#[derive(Clone, Debug)]
struct Seen {
    step: usize,
    lighter: bool,
    sets: f64,
    loads: Vec<Option<f64>>,
    one_rms: Vec<f64>,
}

fn week_of(course: &Course, lives: &[Vec<Seen>], week: usize) -> Week {
    let seen: Vec<&Seen> = lives.iter().filter_map(|life| life.get(week)).collect();
    let lifts = (0..course.lifts.len()).map(|l| {
        let loads: Vec<f64> = seen.iter().filter_map(|s| s.loads[l]).collect();
        let load = (2 * loads.len() > seen.len()).then(|| band(loads));
        (load, band(seen.iter().map(|s| s.one_rms[l]).collect()))
    });
    let sessions = |s: &&Seen| course.steps.get(s.step).map_or(0.0, |step| step.sessions.len() as f64);
    Week {
        step: band(seen.iter().map(|s| s.step as f64).collect()).median as usize,
        sets: band(seen.iter().map(|s| s.sets).collect()),
        sessions: band(seen.iter().map(sessions).collect()),
        lighter: seen.iter().filter(|s| s.lighter).count() as f64 / seen.len().max(1) as f64,
        lifts: lifts.collect(),
    }
}

/// The 5th, 50th and 95th percentile; values that occur, none between them.
fn band(mut values: Vec<f64>) -> Band {
    values.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let place = (share * values.len() as f64).ceil() as usize;
        values.get(place.saturating_sub(1)).copied().unwrap_or(0.0)
    };
    Band { low: at(0.05), median: at(0.5), high: at(0.95) }
}

/// A lift of one client.
#[derive(Clone, Debug)]
struct Lifter {
    /// Logarithm of the 1RM over what is believed, without growth.
    level: f64,
    /// Growth as a multiple of what is usual.
    growth: f64,
    load: Option<Kilograms>,
    /// What it was loaded for.
    work: Option<CourseWork>,
    /// Reps over the goal of the sessions since the load changed, oldest first.
    over: Vec<Reps>,
    /// 1RMs that the last sessions showed.
    shown: Vec<f64>,
}

/// One simulated client.
struct Client<'a> {
    course: &'a Course,
    prior: StrengthPrior,
    chance: Chance,
    lifts: Vec<Lifter>,
    order: f64,
    missed: f64,
    tolerated: f64,
    fatigue: f64,
    /// Weeks of training done from now on.
    done: f64,
    step: usize,
    /// No step beyond this.
    cap: usize,
    lighter: bool,
    /// Sessions running in which most lifts were at the goal, and in which most went far under it.
    at_goal: usize,
    under: usize,
    /// Day of the next cycle's beginning.
    cycle_from: f64,
}

impl<'a> Client<'a> {
    fn drawn(course: &'a Course, mut chance: Chance) -> Self {
        let prior = StrengthPrior::population();
        // Factors of growth have the mean 1, for the published gains are means.
        let mut factor = |sd: f64| libm::exp(sd * chance.normal() - sd * sd / 2.0);
        let person = factor(GROWTH_PERSON_SD);
        let growth: Vec<f64> = course.lifts.iter().map(|_| person * factor(GROWTH_LIFT_SD)).collect();
        let lifts = course.lifts.iter().zip(growth).map(|(lift, growth)| Lifter {
            level: lift.sd * chance.normal(),
            growth,
            load: None,
            work: None,
            over: Vec::new(),
            shown: Vec::new(),
        });
        let lifts = lifts.collect();
        let order = (prior.order.0 + prior.order.1 * chance.normal()).max(0.0);
        let missed = MISSED.0 + (MISSED.1 - MISSED.0) * chance.unit();
        let most = course.steps.iter().map(CourseStep::sets_a_week).fold(0.0, f64::max);
        let tolerated = most * libm::exp(TOLERATED.0 + TOLERATED.1 * chance.normal());
        Self {
            course,
            prior,
            chance,
            lifts,
            order,
            missed,
            tolerated,
            fatigue: 0.0,
            done: 0.0,
            step: 0,
            cap: course.steps.len().saturating_sub(1),
            lighter: false,
            at_goal: 0,
            under: 0,
            cycle_from: 0.0,
        }
    }

    fn live(mut self) -> Vec<Seen> {
        (0..self.course.weeks).map(|week| self.week(f64::from(week))).collect()
    }

    fn week(&mut self, week: f64) -> Seen {
        let course = self.course;
        let Some(step) = course.steps.get(self.step) else { return self.seen(0.0) };
        let mut kept = 0;
        let due = step.due(self.cycle_from, WEEK * week);
        for session in &due {
            if self.chance.unit() > self.missed {
                kept += 1;
                self.session(session);
            }
        }
        let asked: u32 = step.sessions.iter().map(|s| s.sets).sum();
        let sets =
            f64::from(asked) / step.sessions.len().max(1) as f64 * if self.lighter { LIGHTER } else { 1.0 };
        let seen = self.seen(sets);
        let share = f64::from(kept) / due.len().max(1) as f64;
        self.grow(share, sets * f64::from(kept));
        // A cycle of more than a week may have a week without sessions; it counts as kept.
        let counts = due.is_empty() || 2 * kept as usize >= due.len();
        self.decide(counts, WEEK * (week + 1.0));
        seen
    }

    fn seen(&self, sets: f64) -> Seen {
        let one_rms = (0..self.lifts.len()).map(|l| self.one_rm(l).get()).collect();
        let in_step = |l: usize| {
            let step = self.course.steps.get(self.step);
            step.is_some_and(|s| s.sessions.iter().any(|s| s.lifts.iter().any(|w| w.lift == l)))
        };
        let loads = self.lifts.iter().enumerate();
        let loads = loads.map(|(l, lift)| lift.load.filter(|_| in_step(l)).map(Kilograms::get)).collect();
        Seen { step: self.step, lighter: self.lighter, sets, loads, one_rms }
    }

    /// The 1RM without fatigue and the day.
    fn one_rm(&self, lift: usize) -> Kilograms {
        self.course.lifts[lift].one_rm * libm::exp(self.lifts[lift].level)
    }

    fn session(&mut self, session: &CourseSession) {
        let day = self.prior.day * self.chance.normal();
        let (mut met, mut under) = (0, 0);
        for work in &session.lifts {
            let Some(over) = self.work(*work, day) else { continue };
            met += usize::from(over >= AT_GOAL);
            under += usize::from(over <= -OVER_REPS);
        }
        let all = session.lifts.len();
        self.at_goal = if 2 * met >= all { self.at_goal + 1 } else { 0 };
        self.under = if all > 0 && 2 * under > all { self.under + 1 } else { 0 };
    }

    /// One lift of a session: chooses the load, lifts, and says how far over the goal the last set went.
    fn work(&mut self, work: CourseWork, day: f64) -> Option<f64> {
        let course = self.course;
        let loading = &course.lifts[work.lift].loading;
        let (mid, rir) = (work.mid_reps(), Reps(f64::from(work.rir)));
        let load = self.load_for(work)?;
        let sets = if self.lighter { (f64::from(work.sets) * LIGHTER).ceil() } else { f64::from(work.sets) };
        let noise = self.prior.exercise_day * self.chance.normal() + self.prior.set * self.chance.normal();
        let today = day + noise - self.fatigue - self.order * (sets - 1.0);
        let one_rm = self.one_rm(work.lift) * libm::exp(today);
        // Who stops when the reserve feels like the one asked does the nearest whole number.
        let reps = loading.reps(one_rm, load, rir).get().round().max(0.0);
        let over = reps - mid;
        let lifter = &mut self.lifts[work.lift];
        lifter.load = Some(load);
        lifter.over.push(Reps(over));
        lifter.shown.push(loading.one_rm(load, Reps(reps), rir).get());
        Some(over)
    }

    /// The load for today: what was lifted, changed by the rule; anew where the scheme is another.
    fn load_for(&mut self, work: CourseWork) -> Option<Kilograms> {
        let lift = &self.course.lifts[work.lift];
        let lifter = &mut self.lifts[work.lift];
        let same = lifter.work.is_some_and(|w| w.reps == work.reps && w.rir == work.rir);
        lifter.work = Some(work);
        if let Some(load) = lifter.load.filter(|_| same) {
            let next =
                if self.lighter { load } else { lift.loading.next(load, &lifter.over, work.reps, work.rir) };
            if next != load {
                lifter.over.clear();
            }
            return Some(next);
        }
        let recent = lifter.shown.iter().rev().take(SESSIONS_RUNNING);
        let shown = recent.copied().fold(f64::MAX, f64::min);
        let believed = if lifter.shown.is_empty() { lift.one_rm } else { Kilograms(shown) };
        lifter.over.clear();
        let load = lift.loading.for_reps(believed, Reps(work.mid_reps()), Reps(f64::from(work.rir)));
        load.or_else(|| lift.loading.loadable.as_ref()?.lightest())
    }

    fn grow(&mut self, share: f64, sets: f64) {
        let from = self.course.trained_weeks + self.done;
        let usual = gain(from, from + 1.0) * share;
        for lift in &mut self.lifts {
            lift.level += usual * lift.growth + self.prior.level_drift * self.chance.normal();
        }
        let beyond = (sets / self.tolerated.max(1.0) - FATIGUE_FROM).max(0.0);
        self.fatigue = self.fatigue * libm::exp(-WEEK / FATIGUE_DAYS) + FATIGUE_GAIN * beyond;
    }

    /// What the next week is: lighter, a step on, a step back, or the same.
    fn decide(&mut self, counts: bool, day: f64) {
        self.done += f64::from(u8::from(counts));
        if self.lighter {
            self.lighter = false;
            self.under = 0;
            return;
        }
        if self.under >= SESSIONS_RUNNING && day > WEEK * FINDING_WEEKS {
            self.lighter = true;
            self.at_goal = 0;
            if self.course.by_tolerance && self.step > 0 {
                self.cap = self.step - 1;
                self.enter(self.cap, day);
            }
            return;
        }
        let ready = self.at_goal >= SESSIONS_RUNNING || self.lifts.is_empty();
        let next = self.step + 1;
        let due = self.course.steps.get(next).is_some_and(|s| self.done >= s.from_week);
        if ready && due && next <= self.cap {
            self.enter(next, day);
        }
    }

    fn enter(&mut self, step: usize, day: f64) {
        self.step = step;
        self.at_goal = 0;
        self.under = 0;
        self.cycle_from = day;
    }
}

impl CourseWork {
    fn mid_reps(&self) -> f64 {
        f64::midpoint(f64::from(self.reps[0]), f64::from(self.reps[1]))
    }
}

impl CourseStep {
    /// Sets a week of all sessions.
    fn sets_a_week(&self) -> f64 {
        let sets: u32 = self.sessions.iter().map(|s| s.sets).sum();
        f64::from(sets) * WEEK / f64::from(self.cycle_days.max(1))
    }

    /// Sessions of the week that begins on a day, when cycles follow each other from another.
    fn due(&self, from: f64, day: f64) -> Vec<&CourseSession> {
        let cycle = self.cycle_days.max(1);
        let first = (day - from).max(0.0) as u32;
        (first..first + WEEK as u32)
            .filter_map(|d| self.sessions.iter().find(|s| s.day == d % cycle + 1))
            .collect()
    }
}

#[cfg(test)]
mod tests;
