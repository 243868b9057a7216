//! The audit: every rule over one programme, and the certificate that only a clean one gets. It changes nothing.

use crate::scene::{Findings, Scene, Stage};
use crate::{
    allowed, balance, blocks, days, focus, loads, locks, order, recovery, safety, sane, spine, stations,
};
use crate::{time, warm, wishes};
use setwright_model::{
    Belief, Brief, Catalogue, Finding, FractionalSets, Minutes, Muscle, MuscleSummary, Programme, Seconds,
    Severity,
};
use setwright_science::clock::Activity;

/// What an audit says.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// Worst first, then in the order of the sessions.
    pub findings: Vec<Finding>,
    /// Each session, timed and counted, in order of days.
    pub sessions: Vec<SessionReport>,
    /// Each muscle, in the order of [`Muscle::ALL`].
    pub muscles: Vec<MuscleSummary>,
}

impl Report {
    /// How many findings are this serious.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|f| f.severity == severity).count()
    }

    /// Whether nothing stands against certifying the programme.
    pub fn is_clean(&self) -> bool {
        self.count(Severity::Error) == 0
    }
}

/// A session, timed and counted. Work, rest and idle time add up to the whole. Exercises that the catalogue does
/// not have count for nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionReport {
    /// Day of the cycle, from 1.
    pub day: u32,
    /// Length by the session clock.
    pub minutes: Minutes,
    /// Minutes that the brief allows.
    pub limit: Option<Minutes>,
    /// Warm-up and work sets, and the brisk minutes of a cold client.
    pub work: Seconds,
    /// Rest.
    pub rest: Seconds,
    /// Making stations ready, and walking between them.
    pub idle: Seconds,
    /// Work sets.
    pub sets: u32,
    /// Fractional sets in the order of [`Muscle::ALL`].
    pub doses: [FractionalSets; Muscle::COUNT],
}

/// Something that [`certify`] has passed; nothing else can make one.
#[derive(Clone, Debug, PartialEq)]
pub struct Certified<T>(T);

impl<T> Certified<T> {
    /// What was certified.
    pub const fn get(&self) -> &T {
        &self.0
    }

    /// What was certified, giving the certificate up.
    pub fn into_inner(self) -> T {
        self.0
    }
}

/// Audits a programme. Without a brief only what needs none is judged, with the ceilings of the most trained.
pub fn audit(programme: &Programme, brief: Option<&Brief>, catalogue: &Catalogue, belief: &Belief) -> Report {
    let scene = Scene::new(programme, brief, catalogue, belief);
    Report {
        findings: judge(&scene).sorted(&scene),
        sessions: scene.stages.iter().map(|s| session(&scene, s)).collect(),
        muscles: recovery::summaries(&scene),
    }
}

/// All findings of a scene, in no order.
pub(crate) fn judge(scene: &Scene<'_>) -> Findings {
    let mut out = Findings::default();
    for rule in RULES {
        rule(scene, &mut out);
    }
    out
}

/// Certifies a programme for a brief.
///
/// # Errors
/// The report, when it holds an error.
pub fn certify(
    programme: Programme,
    brief: &Brief,
    catalogue: &Catalogue,
    belief: &Belief,
) -> Result<Certified<Programme>, Report> {
    let report = audit(&programme, Some(brief), catalogue, belief);
    if report.is_clean() { Ok(Certified(programme)) } else { Err(report) }
}

type Rule = fn(&Scene<'_>, &mut Findings);

const RULES: &[Rule] = &[
    safety::check,
    sane::check,
    days::check,
    time::check,
    recovery::check,
    wishes::check,
    allowed::check,
    blocks::check,
    stations::check,
    spine::check,
    order::check,
    balance::check,
    focus::check,
    warm::check,
    loads::check,
    locks::check,
];

fn session(scene: &Scene<'_>, stage: &Stage<'_>) -> SessionReport {
    let timeline = &stage.timeline;
    let rest = timeline.spent(|a| a == Activity::Rest);
    let idle = timeline.spent(|a| matches!(a, Activity::SetUp | Activity::Walk));
    SessionReport {
        day: stage.session.day,
        minutes: timeline.minutes(),
        limit: scene.limit(stage.rank),
        work: timeline.total - rest - idle,
        rest,
        idle,
        sets: stage.items.iter().map(crate::scene::Item::sets).sum(),
        doses: stage.doses,
    }
}
