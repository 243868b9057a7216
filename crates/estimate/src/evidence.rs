//! What the likelihood is made of, laid open so that it can be held against a model written by other means. Nothing in
//! the program uses it.

use crate::history::History;
use crate::posterior::Posterior;
use crate::prior::Prior;
use crate::reading;
use setwright_model::{Catalogue, ExerciseId, Muscle};

/// Everything that the likelihood of a client's recovery depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// Sessions in order.
    pub sessions: Vec<SessionSeen>,
    /// One for each exercise of a session that told something, in order.
    pub observations: Vec<Observation>,
    /// Exercises met: which they are, and the share of strength that each muscle stands for.
    pub lifts: Vec<(ExerciseId, Vec<(Muscle, f64)>)>,
    /// Hour at which every muscle is taken to have had a usual session, and what share of strength that took.
    pub start: (f64, f64),
    /// Mean and spread of the loss from set to set, the contrasts within exercises taken in.
    pub order: (f64, f64),
}

/// A session as the filter sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionSeen {
    /// Hour.
    pub at_h: f64,
    /// Variance of the day.
    pub day_variance: f64,
    /// Share of strength taken from each muscle at depth 1, in the order of [`Muscle::ALL`].
    pub drops: [f64; Muscle::COUNT],
}

/// Mean logarithm of the 1RM that the sets of an exercise told in a session, and what it depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observation {
    /// Place among the sessions.
    pub session: usize,
    /// Place among the lifts.
    pub lift: usize,
    /// Logarithm of the 1RM in kilograms.
    pub log_one_rm: f64,
    /// Variance that is its own.
    pub variance: f64,
    /// Loss for a rep of bias.
    pub fall: f64,
    /// Gain for a person factor of e.
    pub bend: f64,
    /// Reps meant easier.
    pub ease: f64,
    /// Sets of it done before.
    pub order: f64,
    /// Fractional sets of its muscles done before.
    pub before: f64,
}

impl Evidence {
    /// What `fit` makes of a history.
    pub fn of(history: &History, catalogue: &Catalogue, prior: &Prior) -> Self {
        let read = reading::read_all(history, catalogue, prior);
        let scales = read.scales;
        let own = scales.exercise_day * scales.exercise_day;
        let mut observations = Vec::new();
        for (session, meeting) in read.meetings.iter().enumerate() {
            observations.extend(meeting.groups.iter().map(|g| Observation {
                session,
                lift: g.lift,
                log_one_rm: g.y,
                variance: (own + scales.set * scales.set * g.noise) * g.doubt,
                fall: g.fall,
                bend: g.bend,
                ease: g.ease,
                order: g.order,
                before: g.before,
            }));
        }
        let day = scales.day * scales.day;
        let sessions = read.meetings.iter().map(|m| SessionSeen {
            at_h: m.at_h,
            day_variance: day * m.doubt,
            drops: m.drops,
        });
        Self {
            sessions: sessions.collect(),
            observations,
            lifts: read.intake.lifts.iter().map(|l| (l.id.clone(), l.weights.clone())).collect(),
            start: reading::start(&read.meetings, &read.intake),
            order: crate::filter::order_effect(&prior.strength, scales, &read.intake.contrasts),
        }
    }
}

/// Log-likelihood of time constants (logarithm of hours) and depths, in the order of [`Muscle::ALL`], beside that of no
/// fatigue at all.
pub fn log_likelihood(
    posterior: &Posterior,
    log_tau: &[f64; Muscle::COUNT],
    depth: &[f64; Muscle::COUNT],
) -> f64 {
    posterior.log_likelihood(log_tau, depth)
}
