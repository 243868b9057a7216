//! What is learned from a log, session by session: the pass with the columns of fatigue, soreness, and what was seen. One more
//! session goes through it at a cost that does not depend on how long the log is.

use crate::fatigue::{Fatigue, POINTS};
use crate::filter::{Filter, Scales, Surprise};
use crate::history::{History, LoggedSession, MarkKind, SorenessReport};
use crate::intake::{FilteredSession, Intake, LiftInSession};
use crate::landscape::Landscape;
use crate::prior::Prior;
use crate::reading::{started, widening};
use crate::sample::{self, FollowedMuscle};
use crate::seen::Seen;
use crate::slips::{self, Slips};
use crate::soreness::SorenessReports;
use setwright_chance::Chance;
use setwright_model::Catalogue;

/// The stream of the draws.
const STREAM_DRAWS: u64 = 1;

/// All that is carried from session to session.
#[derive(Clone, Debug)]
pub struct Learner {
    pub prior: Prior,
    pub intake: Intake,
    pub followed: Vec<FollowedMuscle>,
    pub filter: Filter,
    pub fatigue: Fatigue,
    pub soreness: SorenessReports,
    pub seen: Seen,
}

impl Learner {
    /// Nothing learned yet.
    pub fn new(
        prior: &Prior,
        intake: Intake,
        followed: Vec<FollowedMuscle>,
        scales: Scales,
        meetings: &[FilteredSession],
    ) -> Self {
        let taus = followed.iter().map(|f| (f.muscle, f.grid.values())).collect();
        Self {
            prior: prior.clone(),
            filter: Filter::new(&prior.strength, scales, &intake.contrasts, 1 + followed.len() * POINTS),
            fatigue: started(taus, meetings, &intake),
            soreness: SorenessReports::new(prior),
            seen: Seen::default(),
            intake,
            followed,
        }
    }

    /// A session through the pass, then its doses to the fatigue.
    pub fn take(&mut self, meeting: &FilteredSession) {
        self.fatigue.advance(meeting.at_h);
        let Self { filter, fatigue, followed, intake, .. } = self;
        filter.take(meeting, |group, columns| missing(group, columns, intake, followed, fatigue));
        self.fatigue.add(&meeting.drops);
    }

    /// Takes in what was said of soreness, in its order among the sessions.
    pub fn sore(&mut self, history: &History, meetings: &[FilteredSession]) {
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
    pub fn missing(&self, group: &LiftInSession, columns: &mut [f64], fatigue: &Fatigue) {
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
        let mut meeting =
            self.intake.read(session, marked, &|nth| doubted.is_doubted(session.at.get(), nth), catalogue);
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
    fn doubt(&self, meeting: &mut FilteredSession, believed: &[f64]) {
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

fn missing(
    group: &LiftInSession,
    columns: &mut [f64],
    intake: &Intake,
    followed: &[FollowedMuscle],
    fatigue: &Fatigue,
) {
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
    use crate::reading::{followed, noise, read, usual_rir};
    use setwright_gym::catalogue;
    use setwright_model::{Hours, Kilograms, Reps};

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
    fn direct(learner: &Learner, meetings: &[FilteredSession], taus_h: &[f64], depths: &[f64]) -> f64 {
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
        // Beyond a grid its ends hold, in the form alone: nothing is claimed there.
        let on_grid = |f: &FollowedMuscle, tau: f64| {
            let values = f.grid.values();
            tau.clamp(values[0], values[values.len() - 1])
        };
        for _ in 0..500 {
            let mut tau = |f: &FollowedMuscle| on_grid(f, 24.0 * libm::exp(0.4 * chance.normal()));
            let taus: Vec<f64> = learner.followed.iter().map(&mut tau).collect();
            let depths: Vec<f64> = (0..count).map(|_| libm::exp(0.4 * chance.normal())).collect();
            let mix =
                |(f, (t, d)): (&FollowedMuscle, (&f64, &f64))| Mix::of(&f.grid, f.start, libm::log(*t), *d);
            let mixes: Vec<Mix> = learner.followed.iter().zip(taus.iter().zip(&depths)).map(mix).collect();
            let by_form = landscape.log_likelihood(&mixes);
            let by_pass = direct(&learner, &meetings, &taus, &depths) - none;
            largest = largest.max((by_form - by_pass).abs());
        }
        println!("largest difference of log-likelihoods: {largest:.4}");
        assert!(largest < 0.05, "{largest}");
    }
}
