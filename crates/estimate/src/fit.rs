//! From a history to a posterior, and from a posterior and one more session to the next.
//!
//! A fit is two cheap passes that find outliers and the size of the noise, one pass with the columns of fatigue, and
//! the draws. One more session goes through the last pass alone: its cost does not depend on how long the log is.

use crate::fatigue::{Fatigue, Grid, POINTS};
use crate::filter::{Filter, Scales, Surprise};
use crate::history::{History, LoggedSession, MarkKind, SorenessReport};
use crate::intake::{Group, Intake, Meeting};
use crate::landscape::Landscape;
use crate::posterior::Posterior;
use crate::prior::Prior;
use crate::sample::{self, Followed};
use crate::seen::Seen;
use crate::slips::{self, Slips};
use crate::soreness::Soreness;
use setwright_chance::Chance;
use setwright_model::{Catalogue, FractionalSets, Muscle, Reps};
use setwright_science::recovery;
use std::sync::Arc;

/// Hours before the first session at which every muscle is taken to have had a usual session: nobody starts a log
/// rested for certain (judgement).
const BEFORE_START_H: f64 = 72.0;
/// Doubt of the first session, whose fatigue is unknown (judgement).
const FIRST_DOUBT: f64 = 2.0;
/// Spreads beyond which an exercise or a day counts as an outlier (numeric: 3 is one in 370, 2.5 one in 80).
const OUTLYING: f64 = 3.0;
const OUTLYING_DAY: f64 = 2.5;
/// Factors of the noise that are tried, and the spread of their prior (numeric; judgement).
const FACTORS: [f64; 6] = [0.5, 0.7, 0.85, 1.0, 1.25, 1.6];
const FACTOR_SD: f64 = 0.35;

/// Streams of chance.
const STREAM_DRAWS: u64 = 1;
const STREAM_PRIOR: u64 = 2;

/// What a history tells about a client, starting from a prior. The same arguments give the same answer.
///
/// Exercises that the catalogue does not have are left out; [`Posterior::unknown_exercises`] names them.
pub fn fit(history: &History, catalogue: &Catalogue, prior: &Prior, seed: u64) -> Posterior {
    let Read { ordered, intake, slips, meetings, scales } = read_all(history, catalogue, prior);
    let followed = followed(&intake, prior);
    let mut learner = Learner::new(prior, intake, followed, scales, &meetings);
    for (session, meeting) in ordered.sessions.iter().zip(&meetings) {
        learner.take(meeting);
        learner.seen.session(meeting, &learner.intake);
        learner.seen.unknown(session, catalogue);
    }
    learner.sore(&ordered, &meetings);
    learner.seen.slips = slips.list;
    let mut chance = Chance::new(seed, STREAM_PRIOR);
    let before = sample::prior_draws(prior, &mut chance);
    Posterior::new(learner, Arc::new(before), seed)
}

/// A history as the last pass takes it in.
pub struct Read {
    pub ordered: History,
    pub intake: Intake,
    pub slips: Slips,
    pub meetings: Vec<Meeting>,
    pub scales: Scales,
}

/// Reads a history, finds outliers and the size of the noise.
pub fn read_all(history: &History, catalogue: &Catalogue, prior: &Prior) -> Read {
    let ordered = history.in_order();
    let mut intake = Intake::new(&prior.strength, usual_rir(&ordered));
    let slips = slips::find(&ordered, &mut intake.clone(), catalogue);
    let mut meetings = read(&ordered, &mut intake, &slips, catalogue);
    let scales = noise(&mut meetings, &intake, prior);
    Read { ordered, intake, slips, meetings, scales }
}

/// Median reserve reported, for sets without report to tire by.
fn usual_rir(history: &History) -> Option<f64> {
    let sets = history.sessions.iter().flat_map(|s| &s.sets);
    let mut reported: Vec<f64> =
        sets.filter_map(|s| s.rir).map(Reps::get).filter(|r| r.is_finite()).collect();
    reported.sort_by(f64::total_cmp);
    reported.get(reported.len() / 2).copied()
}

fn read(history: &History, intake: &mut Intake, slips: &Slips, catalogue: &Catalogue) -> Vec<Meeting> {
    let sessions = history.sessions.iter();
    let mut meetings: Vec<Meeting> =
        sessions.map(|s| intake.read(s, history.mark(s.at), slips, catalogue)).collect();
    for group in meetings.first_mut().into_iter().flat_map(|m| &mut m.groups) {
        group.doubt = FIRST_DOUBT;
    }
    meetings
}

fn followed(intake: &Intake, prior: &Prior) -> Vec<Followed> {
    let muscles = Muscle::ALL.into_iter().filter(|m| intake.depends_on(*m));
    let grid = |m: Muscle| Grid::new(prior.tau[m.index()].get(), prior.tau_spread.total(), POINTS);
    muscles.enumerate().map(|(k, m)| Followed { muscle: m, grid: grid(m), start: k * POINTS }).collect()
}

/// Finds outliers, marking them, and the size of the noise, both under the prior's medians.
fn noise(meetings: &mut [Meeting], intake: &Intake, prior: &Prior) -> Scales {
    let usual = Usual::of(meetings, intake, prior);
    let mut scales = Scales::of(&prior.strength, &intake.contrasts);
    usual.doubt(meetings, scales, intake, prior);
    let best = |of: &dyn Fn(f64) -> Scales| {
        let value = |f: f64| {
            let log = libm::log(f) / FACTOR_SD;
            usual.pass(meetings, of(f), intake, prior).log_likelihood() - 0.5 * log * log
        };
        let tried = FACTORS.map(|f| (value(f), f));
        tried.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)).map_or(1.0, |(_, f)| f)
    };
    let start = scales;
    let factor = best(&|f| Scales { exercise_day: start.exercise_day * f, ..start });
    scales.exercise_day *= factor;
    let start = scales;
    let factor = best(&|f| Scales { day: start.day * f, ..start });
    scales.day *= factor;
    scales
}

/// The fatigue that the prior's medians expect, by session and group.
struct Usual(Vec<Vec<f64>>);

impl Usual {
    fn of(meetings: &[Meeting], intake: &Intake, prior: &Prior) -> Self {
        let taus = Muscle::ALL.map(|m| (m, vec![prior.tau[m.index()].get()]));
        let mut fatigue = started(taus.into(), meetings, intake);
        let expected = meetings.iter().map(|meeting| {
            fatigue.advance(meeting.at_h);
            let missing = |group: &Group| {
                let weights = intake.lifts.get(group.lift).map_or(&[][..], |l| &l.weights);
                let one = |(m, w): &(Muscle, f64)| {
                    w * prior.depth[m.index()] * fatigue.left(m.index()).first().copied().unwrap_or(0.0)
                };
                weights.iter().map(one).sum()
            };
            let all = meeting.groups.iter().map(missing).collect();
            fatigue.add(&meeting.drops);
            all
        });
        Self(expected.collect())
    }

    fn pass(&self, meetings: &[Meeting], scales: Scales, intake: &Intake, prior: &Prior) -> Filter {
        self.run(meetings, scales, intake, prior, |_, _, _| {})
    }

    fn run(
        &self,
        meetings: &[Meeting],
        scales: Scales,
        intake: &Intake,
        prior: &Prior,
        mut seen: impl FnMut(usize, &[Surprise], f64),
    ) -> Filter {
        let mut filter = Filter::new(&prior.strength, scales, &intake.contrasts, 1);
        for (nth, (meeting, missing)) in meetings.iter().zip(&self.0).enumerate() {
            let mut missing = missing.iter();
            let (surprises, day) = filter.take(meeting, |_, columns| {
                columns[0] = missing.next().copied().unwrap_or(0.0);
            });
            seen(nth, &surprises, day);
        }
        filter
    }

    /// Widens the noise of what lies outside, so far that it would lie at the edge.
    fn doubt(&self, meetings: &mut [Meeting], scales: Scales, intake: &Intake, prior: &Prior) {
        let mut doubts = Vec::new();
        self.run(meetings, scales, intake, prior, |nth, surprises, day| {
            let groups: Vec<f64> = surprises.iter().map(|s| widening(*s)).collect();
            doubts.push((nth, groups, day));
        });
        for (nth, groups, day) in doubts {
            if let Some(meeting) = meetings.get_mut(nth) {
                meeting.widen(day, &groups, scales);
            }
        }
    }
}

impl Meeting {
    /// Widens the noise of the day, by its effect in its own spread, and of each group, by what is to be added to its variance.
    fn widen(&mut self, day: f64, groups: &[f64], scales: Scales) {
        let day = (day / OUTLYING_DAY).abs().max(1.0);
        self.doubt = day * day;
        let own = scales.exercise_day * scales.exercise_day;
        for (group, added) in self.groups.iter_mut().zip(groups) {
            let noise = own + scales.set * scales.set * group.noise;
            group.doubt += added / noise;
        }
    }
}

/// Variance to add so that a surprise is no larger than an outlier's edge.
fn widening(surprise: Surprise) -> f64 {
    let edge = surprise.innovation * surprise.innovation / (OUTLYING * OUTLYING);
    (edge - surprise.variance).max(0.0)
}

/// Fatigue after the session that everybody is taken to have had before the log starts.
fn started(taus_h: Vec<(Muscle, Vec<f64>)>, meetings: &[Meeting], intake: &Intake) -> Fatigue {
    let mut fatigue = Fatigue::new(taus_h);
    if !meetings.is_empty() {
        let (at_h, drop) = start(meetings, intake);
        fatigue.advance(at_h);
        fatigue.add(&[drop; Muscle::COUNT]);
    }
    fatigue
}

/// Hour of that session, and the share of strength that it took.
pub fn start(meetings: &[Meeting], intake: &Intake) -> (f64, f64) {
    let first_h = meetings.first().map_or(0.0, |first| first.at_h);
    let drop = intake.drop(FractionalSets(recovery::USUAL_SETS), recovery::USUAL_RIR);
    (first_h - BEFORE_START_H, drop)
}

/// All that is carried from session to session.
#[derive(Clone, Debug)]
pub struct Learner {
    pub prior: Prior,
    pub intake: Intake,
    pub followed: Vec<Followed>,
    pub filter: Filter,
    pub fatigue: Fatigue,
    pub soreness: Soreness,
    pub seen: Seen,
}

impl Learner {
    fn new(
        prior: &Prior,
        intake: Intake,
        followed: Vec<Followed>,
        scales: Scales,
        meetings: &[Meeting],
    ) -> Self {
        let taus = followed.iter().map(|f| (f.muscle, f.grid.values())).collect();
        Self {
            prior: prior.clone(),
            filter: Filter::new(&prior.strength, scales, &intake.contrasts, 1 + followed.len() * POINTS),
            fatigue: started(taus, meetings, &intake),
            soreness: Soreness::new(prior),
            seen: Seen::default(),
            intake,
            followed,
        }
    }

    /// A session through the pass, then its doses to the fatigue.
    pub fn take(&mut self, meeting: &Meeting) {
        self.fatigue.advance(meeting.at_h);
        let Self { filter, fatigue, followed, intake, .. } = self;
        filter.take(meeting, |group, columns| missing(group, columns, intake, followed, fatigue));
        self.fatigue.add(&meeting.drops);
    }

    fn sore(&mut self, history: &History, meetings: &[Meeting]) {
        let mut reports = history.soreness.iter().peekable();
        for (session, meeting) in history.sessions.iter().zip(meetings) {
            while let Some(report) = reports.next_if(|r| r.at <= session.at) {
                self.soreness.report(report);
            }
            self.soreness.session(session, &meeting.drops);
        }
        reports.for_each(|report| self.soreness.report(report));
    }

    /// Draws of the parameters as they are believed now.
    pub fn draws(&self, seed: u64) -> Vec<sample::Draw> {
        let landscape = Landscape::of(&self.filter.gram, self.followed.len());
        let mut chance = Chance::new(seed, STREAM_DRAWS);
        sample::draws(landscape, &self.followed, &self.soreness, &self.prior, &mut chance)
    }

    /// Columns of fatigue of an observation, at the time of `fatigue`.
    pub fn missing(&self, group: &Group, columns: &mut [f64], fatigue: &Fatigue) {
        missing(group, columns, &self.intake, &self.followed, fatigue);
    }

    /// Reads one more session and takes it in. A set half as far again from the client's usual is doubted, and what lies
    /// outside of what is believed counts less. `believed` weighs the columns.
    pub fn learn(
        &mut self,
        session: &LoggedSession,
        marked: Option<MarkKind>,
        believed: &[f64],
        catalogue: &Catalogue,
    ) {
        let doubted = self.doubted(session);
        let mut meeting = self.intake.read(session, marked, &doubted, catalogue);
        self.doubt(&mut meeting, believed);
        self.take(&meeting);
        self.soreness.session(session, &meeting.drops);
        self.seen.session(&meeting, &self.intake);
        self.seen.unknown(session, catalogue);
        self.seen.slips.extend(doubted.list);
    }

    /// Takes in one more report of soreness.
    pub fn learn_soreness(&mut self, report: &SorenessReport) {
        self.soreness.report(report);
    }

    /// Widens the noise of what lies outside, as far as a whole fit does.
    fn doubt(&self, meeting: &mut Meeting, believed: &[f64]) {
        let (mut filter, mut fatigue) = (self.filter.clone(), self.fatigue.clone());
        fatigue.advance(meeting.at_h);
        filter.take(meeting, |group, columns| self.missing(group, columns, &fatigue));
        let at = |columns: &[f64]| columns.iter().zip(believed).map(|(c, b)| c * b).sum::<f64>();
        let surprise = |(innovation, variance): &(Vec<f64>, f64)| {
            widening(Surprise { innovation: at(innovation), variance: *variance })
        };
        let groups: Vec<f64> = filter.latest.iter().map(surprise).collect();
        let day = at(filter.day()) / self.filter.scales.day.max(1e-9);
        meeting.widen(day, &groups, self.filter.scales);
    }

    fn doubted(&self, session: &LoggedSession) -> Slips {
        slips::against(session, &self.intake, |lift| {
            self.filter.level(lift).and_then(|(means, _)| means.first().copied())
        })
    }
}

fn missing(group: &Group, columns: &mut [f64], intake: &Intake, followed: &[Followed], fatigue: &Fatigue) {
    let Some(lift) = intake.lifts.get(group.lift) else { return };
    for (place, f) in followed.iter().enumerate() {
        if let Some((_, weight)) = lift.weights.iter().find(|(m, _)| *m == f.muscle) {
            for (column, left) in columns[1 + f.start..].iter_mut().zip(fatigue.left(place)) {
                *column = weight * left;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::history::LoggedSet;
    use crate::landscape::Mix;
    use setwright_model::{Hours, Kilograms};
    use setwright_science::catalogue;

    /// A log of four lifts with gaps and loads that wander.
    fn history() -> History {
        let mut chance = Chance::new(4, 4);
        let mut at_h = 0.0;
        let mut history = History::default();
        for _ in 0..40 {
            at_h += 20.0 + 80.0 * chance.unit();
            let mut sets = Vec::new();
            for (id, kg) in
                [("bench_press", 80.0), ("barbell_row", 70.0), ("barbell_curl", 30.0), ("back_squat", 100.0)]
            {
                let load = Kilograms(kg * libm::exp(0.04 * chance.normal()));
                let rir = Some(Reps(1.0 + chance.below(3) as f64));
                let set = LoggedSet { exercise: id.into(), load: Some(load), reps: Reps(8.0), rir };
                sets.extend([set.clone(), set.clone(), set]);
            }
            history.sessions.push(LoggedSession { at: Hours(at_h), sets });
        }
        history
    }

    /// The likelihood of parameters by a pass of its own, with their fatigue added to what was seen.
    fn direct(learner: &Learner, meetings: &[Meeting], taus_h: &[f64], depths: &[f64]) -> f64 {
        let taus = learner.followed.iter().zip(taus_h).map(|(f, t)| (f.muscle, vec![*t])).collect();
        let mut fatigue = started(taus, meetings, &learner.intake);
        let contrasts = &learner.intake.contrasts;
        let mut filter = Filter::new(&learner.prior.strength, learner.filter.scales, contrasts, 1);
        for meeting in meetings {
            fatigue.advance(meeting.at_h);
            filter.take(meeting, |group, columns| {
                let weights = &learner.intake.lifts[group.lift].weights;
                for (place, f) in learner.followed.iter().enumerate() {
                    let weight = weights.iter().find(|(m, _)| *m == f.muscle).map_or(0.0, |(_, w)| *w);
                    columns[0] += depths[place] * weight * fatigue.left(place)[0];
                }
            });
            fatigue.add(&meeting.drops);
        }
        filter.log_likelihood()
    }

    #[test]
    fn the_quadratic_form_is_the_likelihood_of_a_pass_for_these_parameters_alone() {
        let (prior, history) = (Prior::population(), history());
        let catalogue = catalogue::builtin();
        let mut intake = Intake::new(&prior.strength, usual_rir(&history));
        let mut meetings = read(&history, &mut intake, &Slips::default(), catalogue);
        let followed = followed(&intake, &prior);
        let scales = noise(&mut meetings, &intake, &prior);
        let mut learner = Learner::new(&prior, intake, followed, scales, &meetings);
        for meeting in &meetings {
            learner.take(meeting);
        }
        let landscape = Landscape::of(&learner.filter.gram, learner.followed.len());
        let mut chance = Chance::new(9, 9);
        let count = learner.followed.len();
        let none = direct(&learner, &meetings, &vec![24.0; count], &vec![0.0; count]);
        let mut largest = 0.0_f64;
        for _ in 0..20 {
            let taus: Vec<f64> = (0..count).map(|_| 24.0 * libm::exp(0.4 * chance.normal())).collect();
            let depths: Vec<f64> = (0..count).map(|_| libm::exp(0.4 * chance.normal())).collect();
            let mix = |(f, (t, d)): (&Followed, (&f64, &f64))| Mix::of(&f.grid, f.start, libm::log(*t), *d);
            let mixes: Vec<Mix> = learner.followed.iter().zip(taus.iter().zip(&depths)).map(mix).collect();
            let by_form = landscape.log_likelihood(&mixes);
            let by_pass = direct(&learner, &meetings, &taus, &depths) - none;
            largest = largest.max((by_form - by_pass).abs());
        }
        println!("largest difference of log-likelihoods: {largest:.4}");
        assert!(largest < 0.05, "{largest}");
    }
}
