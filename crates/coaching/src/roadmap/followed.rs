//! Which lifts a roadmap follows, and its programmes as the simulation reads them.

use super::Stage;
use setwright_estimate::roadmap::{CourseLift, CourseSession, CourseStep, CourseWork};
use setwright_gym::loads::Loadable;
use setwright_model::belief::Basis;
use setwright_model::exercise::Measure;
use setwright_model::{Belief, Brief, Catalogue, Exercise, Kilograms, Pattern, Prescription, RoadmapLift};
use setwright_science::roadmap::LiftLoading;
use setwright_science::warmup;

/// Lifts that are followed at most (judgement: what a page holds).
const FOLLOWED: usize = 3;

/// A lift that is followed.
pub struct Followed {
    /// As it is simulated.
    pub course: CourseLift,
    /// As it is shown.
    pub shown: RoadmapLift,
}

/// The lifts that stand longest in the steps, of different patterns: those that were lifted before those that are
/// judged and those of which nothing is known, then by their place in a session.
pub fn choose(
    brief: &Brief,
    catalogue: &Catalogue,
    belief: &Belief,
    stages: &[Stage],
    weeks: u32,
) -> Vec<Followed> {
    let mut candidates: Vec<(&Exercise, u32, Followed)> = catalogue
        .iter()
        .filter(|e| e.measure == Measure::Reps && is_main(e.pattern))
        .filter_map(|e| Some((e, weeks_of(e, stages, weeks), followed(e, brief, belief, stages)?)))
        .filter(|(_, stands, _)| *stands > 0)
        .collect();
    let sureness = |id| belief.one_rm.get(id).map_or(2, |b| u8::from(b.basis == Basis::Judged));
    candidates.sort_by(|(a, a_weeks, _), (b, b_weeks, _)| {
        let longest = b_weeks.cmp(a_weeks);
        longest.then(sureness(&a.id).cmp(&sureness(&b.id))).then(warmup::rank(a).cmp(&warmup::rank(b)))
    });
    let mut patterns: Vec<Pattern> = Vec::new();
    let mut out = Vec::new();
    for (exercise, _, lift) in candidates {
        if out.len() < FOLLOWED && !patterns.contains(&exercise.pattern) {
            patterns.push(exercise.pattern);
            out.push(lift);
        }
    }
    out
}

/// A lift by which a coach tells how a client comes on: several joints, one movement.
fn is_main(pattern: Pattern) -> bool {
    pattern.is_compound() && !matches!(pattern, Pattern::WholeBody | Pattern::Carry)
}

/// Weeks of the roadmap in whose step a lift stands.
fn weeks_of(exercise: &Exercise, stages: &[Stage], weeks: u32) -> u32 {
    let begins = |i: usize| stages.get(i).map_or(f64::from(weeks), |s| s.step.from_week);
    let stands = |stage: &Stage| works(stage).any(|p| p.id == exercise.id);
    let spans = stages.iter().enumerate().filter(|(_, s)| stands(s));
    spans.map(|(i, _)| (begins(i + 1) - begins(i)).max(0.0) as u32).sum()
}

fn works(stage: &Stage) -> impl Iterator<Item = &Prescription> {
    stage.programme().into_iter().flat_map(|p| &p.sessions).flat_map(setwright_model::Session::prescriptions)
}

/// A lift to follow, if it can be weighed; one of unknown strength only where the outside load is all that moves.
fn followed(exercise: &Exercise, brief: &Brief, belief: &Belief, stages: &[Stage]) -> Option<Followed> {
    let loadable = Loadable::of_client(brief, exercise).ok().filter(|l| !l.is_none())?;
    let known = belief.one_rm.get(&exercise.id);
    if known.is_none() && exercise.body_share.get() > 0.0 {
        return None;
    }
    let loading = LiftLoading::of(exercise, brief.body.mass_kg, known.map(|_| loadable))?;
    let first_kg = stages.iter().flat_map(works).find(|p| p.id == exercise.id).and_then(|p| p.load_kg);
    let course = CourseLift {
        one_rm: known.map_or(Kilograms(1.0), |k| k.one_rm),
        sd: known.map_or(0.0, |k| k.sd.get()),
        loading,
    };
    let shown = RoadmapLift {
        id: exercise.id.clone(),
        name: exercise.name.clone(),
        in_kilograms: known.is_some(),
        first_kg: first_kg.filter(|_| known.is_some()),
    };
    Some(Followed { course, shown })
}

/// A step as the simulation reads it.
pub fn course_step(stage: &Stage, followed: &[Followed]) -> CourseStep {
    let programme = stage.programme();
    let sessions = programme.into_iter().flat_map(|p| &p.sessions).map(|session| CourseSession {
        day: session.day,
        sets: session.prescriptions().map(|p| p.sets).sum(),
        lifts: session.prescriptions().filter_map(|p| work(p, followed)).collect(),
    });
    CourseStep {
        from_week: stage.step.from_week,
        cycle_days: programme.map_or(stage.brief.time.cycle_days, |p| p.cycle_days),
        sessions: sessions.collect(),
    }
}

fn work(p: &Prescription, followed: &[Followed]) -> Option<CourseWork> {
    let lift = followed.iter().position(|f| f.shown.id == p.id)?;
    Some(CourseWork { lift, sets: p.sets, reps: p.reps, rir: p.rir })
}
