//! The audit: every rule over one programme, and the certificate that only a clean one gets. It changes nothing.

use crate::rules::{RULES, recovery};
use crate::scene::{Findings, Scene, Stage};
use setwright_model::{
    Belief, Brief, Catalogue, Finding, FractionalSets, Minutes, Muscle, MuscleSummary, Programme, Seconds,
    Severity,
};
use setwright_science::clock::Activity;
use std::collections::BTreeSet;

/// Most things to be mended with which a programme is still signed (judgement: a coach puts two right in passing).
pub const MENDS_MAX: usize = 2;
/// Mends that alone stand against a signature: amounts far beyond what a coach gives, and loads far too light.
const NEVER_SIGNED: [&str; 2] = ["SW118", "SW173"];

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

    /// Whether a coach could sign the programme: see [`could_be_signed`].
    pub fn could_be_signed(&self) -> bool {
        could_be_signed(&self.findings)
    }
}

/// Whether a coach could sign a programme of which this is said: nothing is refused, at most [`MENDS_MAX`] things are to
/// be mended, and none of them is of the kind that makes another programme of it. The same thing said of several
/// sessions or exercises counts once.
pub fn could_be_signed(findings: &[Finding]) -> bool {
    let of = |severity| findings.iter().filter(move |f| f.severity == severity);
    let different: BTreeSet<_> = of(Severity::Warning).map(|f| (f.code, &f.cause)).collect();
    let never = of(Severity::Warning).any(|f| NEVER_SIGNED.contains(&f.code));
    of(Severity::Error).next().is_none() && different.len() <= MENDS_MAX && !never
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
    for (_, rule) in RULES {
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

#[cfg(test)]
mod tests {
    use super::{MENDS_MAX, Report};
    use setwright_model::{Finding, Severity};

    fn report(findings: &[(Severity, &'static str, &str)]) -> Report {
        let of = |(severity, code, cause): &(Severity, &'static str, &str)| {
            Finding::new(*severity, code, "a session".to_owned(), (*cause).to_owned(), "a hint".to_owned())
        };
        Report { findings: findings.iter().map(of).collect(), sessions: Vec::new(), muscles: Vec::new() }
    }

    #[test]
    fn a_programme_is_signed_without_an_error_and_with_two_mends_at_most() {
        use Severity::{Error, Note, Warning};
        let signed = |f: &[(Severity, &'static str, &str)]| report(f).could_be_signed();
        assert!(signed(&[]) && signed(&[(Note, "SW181", "a"); 9]));
        assert_eq!(MENDS_MAX, 2);
        assert!(signed(&[(Warning, "SW133", "a"), (Warning, "SW133", "b")]));
        assert!(!signed(&[(Warning, "SW133", "a"), (Warning, "SW133", "b"), (Warning, "SW134", "c")]));
        assert!(signed(&[(Warning, "SW133", "a"); 5]), "the same in five sessions counts once");
        assert!(!signed(&[(Error, "SW112", "a")]));
    }

    #[test]
    fn gross_amounts_and_loads_far_too_light_are_never_signed() {
        for code in ["SW118", "SW173"] {
            assert!(!report(&[(Severity::Warning, code, "a")]).could_be_signed(), "{code}");
        }
        assert!(report(&[(Severity::Warning, "SW108", "a")]).could_be_signed());
    }
}
