//! The audit: every rule over one programme, and the certificate that only a clean one gets. It changes nothing.

use crate::rules::{RULES, recovery};
use crate::scene::{Findings, Scene, Stage};
use setwright_model::{
    Belief, Brief, Catalogue, Finding, FractionalSets, Minutes, Muscle, MuscleSummary, Programme, Seconds,
    Session, Severity,
};
use setwright_science::clock::{Activity, Timeline};
use std::collections::BTreeSet;

/// Most things to be mended with which a programme is still signed (judgement: a coach puts two right in passing).
pub const MENDS_MAX: usize = 2;
/// Mends that alone stand against a signature: amounts far beyond what a coach gives, and loads far too light.
const NEVER_SIGNED: [&str; 3] = ["SW118", "SW165", "SW173"];

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
    /// As the session clock laid it out; empty when an exercise is not in the catalogue.
    pub timeline: Timeline,
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

/// A programme with what the judge found of it: made once, and handed to whoever shows, prints or publishes it. Sessions stand in
/// the order of their days, here as in the report.
#[derive(Clone, Debug, PartialEq)]
pub struct JudgedProgramme {
    programme: Programme,
    report: Report,
}

impl JudgedProgramme {
    /// Judges a programme; see [`audit`].
    pub fn of(
        mut programme: Programme,
        brief: Option<&Brief>,
        catalogue: &Catalogue,
        belief: &Belief,
    ) -> Self {
        programme.sessions.sort_by_key(|s| s.day);
        let report = audit(&programme, brief, catalogue, belief);
        Self { programme, report }
    }

    /// The programme.
    pub const fn programme(&self) -> &Programme {
        &self.programme
    }

    /// What was found.
    pub const fn report(&self) -> &Report {
        &self.report
    }

    /// Each session with its time and counts.
    pub fn sessions(&self) -> impl Iterator<Item = (&Session, &SessionReport)> {
        self.programme.sessions.iter().zip(&self.report.sessions)
    }

    /// The programme alone.
    pub fn into_programme(self) -> Programme {
        self.programme
    }
}

/// A programme that [`certify`] has passed; nothing else can make one.
#[derive(Clone, Debug, PartialEq)]
pub struct Certified(JudgedProgramme);

impl Certified {
    /// What was certified.
    pub const fn get(&self) -> &Programme {
        self.0.programme()
    }

    /// What was certified, with what was found.
    pub const fn judged(&self) -> &JudgedProgramme {
        &self.0
    }

    /// What was certified, giving the certificate up.
    pub fn into_inner(self) -> Programme {
        self.0.into_programme()
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
) -> Result<Certified, Report> {
    let judged = JudgedProgramme::of(programme, Some(brief), catalogue, belief);
    if judged.report.is_clean() { Ok(Certified(judged)) } else { Err(judged.report) }
}

fn session(scene: &Scene<'_>, stage: &Stage<'_>) -> SessionReport {
    let timeline = &stage.timeline;
    let rest = timeline.spent(|a| a == Activity::Rest);
    let idle = timeline.spent(|a| matches!(a, Activity::SetUp | Activity::Walk));
    // Where an exercise was left out, lanes are counted otherwise than in the programme.
    let is_whole = stage.items.len() == stage.session.prescriptions().count();
    SessionReport {
        day: stage.session.day,
        timeline: if is_whole { timeline.clone() } else { Timeline::default() },
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
    use super::{JudgedProgramme, MENDS_MAX, Report};
    use crate::kit::{Case, sets, squat, straight};
    use setwright_model::{Finding, FindingPlace, Severity};

    #[test]
    fn a_session_meets_its_own_minutes_however_the_sessions_were_written() {
        let long = [straight(sets("squat", 6))];
        let short = [straight(sets("squat", 1))];
        let case = Case::new([squat()]).day(4, short).day(1, long);
        let judged =
            JudgedProgramme::of(case.programme.clone(), Some(&case.brief), &case.catalogue(), &case.belief);
        let days: Vec<(u32, u32, u32)> = judged.sessions().map(|(s, r)| (s.day, r.day, r.sets)).collect();
        assert_eq!(days, [(1, 1, 6), (4, 4, 1)]);
        assert!(judged.sessions().all(|(_, r)| r.timeline.minutes() == r.minutes));
    }

    fn report(findings: &[(Severity, &'static str, &str)]) -> Report {
        let of = |(severity, code, cause): &(Severity, &'static str, &str)| {
            Finding::new(*severity, code, (FindingPlace::Session(0), "a session"), *cause, "a hint")
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
