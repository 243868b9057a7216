//! A history before the pass that learns: what each session tells, which sets cannot be meant, what lies outside, and how large the
//! noise is. Two cheap passes with one column of fatigue, that of the prior's medians.

use crate::fatigue::{Fatigue, Grid, POINTS};
use crate::filter::{Filter, Scales, Surprise};
use crate::history::History;
use crate::intake::{FilteredSession, Intake, LiftInSession};
use crate::prior::Prior;
use crate::sample::FollowedMuscle;
use crate::slips::{self, Slips};
use setwright_model::{Catalogue, FractionalSets, Muscle, Reps};
use setwright_science::recovery;

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

/// A history as the last pass takes it in.
pub struct Read {
    pub ordered: History,
    pub intake: Intake,
    pub slips: Slips,
    pub meetings: Vec<FilteredSession>,
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
pub fn usual_rir(history: &History) -> Option<f64> {
    let sets = history.sessions.iter().flat_map(|s| &s.sets);
    let mut reported: Vec<f64> =
        sets.filter_map(|s| s.rir).map(Reps::get).filter(|r| r.is_finite()).collect();
    reported.sort_by(f64::total_cmp);
    reported.get(reported.len() / 2).copied()
}

pub fn read(
    history: &History,
    intake: &mut Intake,
    slips: &Slips,
    catalogue: &Catalogue,
) -> Vec<FilteredSession> {
    let sessions = history.sessions.iter();
    let mut meetings: Vec<FilteredSession> = sessions
        .map(|s| intake.read(s, history.mark(s.at), &|nth| slips.is_doubted(s.at.get(), nth), catalogue))
        .collect();
    for group in meetings.first_mut().into_iter().flat_map(|m| &mut m.groups) {
        group.doubt = FIRST_DOUBT;
    }
    meetings
}

pub fn followed(intake: &Intake, prior: &Prior) -> Vec<FollowedMuscle> {
    let muscles = Muscle::ALL.into_iter().filter(|m| intake.depends_on(*m));
    let grid = |m: Muscle| Grid::new(prior.tau[m.index()].get(), prior.tau_spread.total(), POINTS);
    muscles.enumerate().map(|(k, m)| FollowedMuscle { muscle: m, grid: grid(m), start: k * POINTS }).collect()
}

/// Finds outliers, marking them, and the size of the noise, both under the prior's medians.
pub fn noise(meetings: &mut [FilteredSession], intake: &Intake, prior: &Prior) -> Scales {
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
    fn of(meetings: &[FilteredSession], intake: &Intake, prior: &Prior) -> Self {
        let taus = Muscle::ALL.map(|m| (m, vec![prior.tau[m.index()].get()]));
        let mut fatigue = started(taus.into(), meetings, intake);
        let expected = meetings.iter().map(|meeting| {
            fatigue.advance(meeting.at_h);
            let missing = |group: &LiftInSession| {
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

    fn pass(&self, meetings: &[FilteredSession], scales: Scales, intake: &Intake, prior: &Prior) -> Filter {
        self.run(meetings, scales, intake, prior, |_, _, _| {})
    }

    fn run(
        &self,
        meetings: &[FilteredSession],
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
    fn doubt(&self, meetings: &mut [FilteredSession], scales: Scales, intake: &Intake, prior: &Prior) {
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

impl FilteredSession {
    /// Widens the noise of the day, by its effect in its own spread, and of each group, by what is to be added to its variance.
    pub fn widen(&mut self, day: f64, groups: &[f64], scales: Scales) {
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
pub fn widening(surprise: Surprise) -> f64 {
    let edge = surprise.innovation * surprise.innovation / (OUTLYING * OUTLYING);
    (edge - surprise.variance).max(0.0)
}

/// Fatigue after the session that everybody is taken to have had before the log starts.
pub fn started(taus_h: Vec<(Muscle, Vec<f64>)>, meetings: &[FilteredSession], intake: &Intake) -> Fatigue {
    let mut fatigue = Fatigue::new(taus_h);
    if !meetings.is_empty() {
        let (at_h, drop) = start(meetings, intake);
        fatigue.advance(at_h);
        fatigue.add(&[drop; Muscle::COUNT]);
    }
    fatigue
}

/// Hour of that session, and the share of strength that it took.
pub fn start(meetings: &[FilteredSession], intake: &Intake) -> (f64, f64) {
    let first_h = meetings.first().map_or(0.0, |first| first.at_h);
    let drop = intake.drop(FractionalSets(recovery::USUAL_SETS), recovery::USUAL_RIR);
    (first_h - BEFORE_START_H, drop)
}
