//! Same-muscle blocks (SW122): for an advanced client's muscle that matters, a single joint first and at once a compound
//! that the same muscle then ends.

use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::{BlockKind, Muscle, Severity};

/// The compound trains the muscle from this contribution on (judgement).
const TRAINS: f64 = 0.5;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        for (index, block) in stage.session.blocks.iter().enumerate() {
            if block.kind == BlockKind::SameMuscle
                && let [a, b] = stage.of_block(index)[..]
                && let Some((severity, cause)) = fault(scene, a, b)
            {
                let fixed = scene.locks_pair(stage.rank, &a.exercise.id, &b.exercise.id);
                let severity = if fixed { severity.min(Severity::Warning) } else { severity };
                out.add(At::Block(stage.rank, index), severity, "SW122", cause, hint(stage, index));
            }
        }
    }
}

fn hint(stage: &Stage<'_>, index: usize) -> String {
    let names: Vec<String> = stage.of_block(index).iter().map(|i| i.exercise.name.clone()).collect();
    format!("Do {} in straight blocks.", names.join(" and "))
}

/// The muscle that both are for: the prime of one that the other trains too.
fn shared(a: &Item<'_>, b: &Item<'_>) -> Option<Muscle> {
    let of =
        |x: &Item<'_>, y: &Item<'_>| x.exercise.prime().filter(|m| y.exercise.contribution(*m) >= TRAINS);
    of(a, b).or_else(|| of(b, a))
}

fn fault(scene: &Scene<'_>, a: &Item<'_>, b: &Item<'_>) -> Option<(Severity, String)> {
    let names = format!("{} and {}", a.exercise.name, b.exercise.name);
    let Some(muscle) = shared(a, b) else {
        return Some((Severity::Warning, format!("{names} are not for the same muscle.")));
    };
    if !scene.rules.same_muscle {
        let severity = if scene.needs_care() { Severity::Error } else { Severity::Warning };
        return Some((
            severity,
            "Two exercises back to back for one muscle are for advanced lifters.".to_owned(),
        ));
    }
    if a.exercise.is_spinal() && b.exercise.is_spinal() {
        return Some((Severity::Error, format!("{names} both load the spine heavily.")));
    }
    if scene.brief.is_some() && !scene.is_priority(muscle) {
        return Some((
            Severity::Warning,
            format!("The {} have no high priority in the brief.", muscle.name()),
        ));
    }
    let compound = |i: &Item<'_>| i.exercise.pattern.is_compound();
    let as_it_should = !compound(a) && compound(b);
    (!as_it_should).then(|| {
        (
            Severity::Note,
            format!("{names}: a single joint first and then a compound is what makes it worth doing."),
        )
    })
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, curl, exercise, extension, pair, press, sets, with};
    use setwright_model::BlockKind::SameMuscle;
    use setwright_model::brief::{Priority, TrainingAge};
    use setwright_model::{Exercise, Muscle, Pattern};

    fn together(a: Exercise, b: Exercise) -> Case {
        let block = pair(SameMuscle, sets(a.id.as_str(), 3), sets(b.id.as_str(), 3));
        Case::new([a, b]).day(1, [block]).brief(|b| b.training_age = TrainingAge::Advanced)
    }

    fn triceps(a: Exercise, b: Exercise, priority: Priority) -> Case {
        together(a, b).wish(Muscle::Triceps, |w| w.priority = Some(priority))
    }

    #[test]
    fn a_single_joint_and_then_a_compound_for_an_advanced_lifters_muscle_that_matters() {
        assert_eq!(triceps(extension(), press(), Priority::High).said("SW122"), NONE);
        assert_eq!(triceps(press(), extension(), Priority::High).said("SW122"), NOTE, "the other way round");
        assert_eq!(triceps(extension(), press(), Priority::Normal).said("SW122"), WARNING);
    }

    #[test]
    fn it_is_mended_for_the_trained_and_refused_for_the_new() {
        let aged =
            |age| triceps(extension(), press(), Priority::Top).brief(|b| b.training_age = age).said("SW122");
        assert_eq!(aged(TrainingAge::Intermediate), WARNING);
        assert_eq!(aged(TrainingAge::Beginner), ERROR);
    }

    #[test]
    fn it_is_for_one_muscle_and_never_two_loaded_spines() {
        assert_eq!(together(curl(), extension()).said("SW122"), WARNING);
        let heavy = |e| with(e, |e: &mut Exercise| e.spinal = 2);
        let other = exercise("close_press", Pattern::HorizontalPress, &[Muscle::Triceps], &[]);
        assert_eq!(triceps(heavy(other), heavy(press()), Priority::Top).said("SW122"), ERROR);
    }

    #[test]
    fn a_quarter_of_a_set_does_not_make_it_the_same_muscle() {
        let mut other = press();
        other.half = vec![Muscle::FrontDelts];
        other.quarter = vec![Muscle::Triceps];
        assert_eq!(triceps(extension(), other, Priority::Top).said("SW122"), WARNING);
    }

    #[test]
    fn the_coachs_own_is_pointed_out() {
        let case =
            triceps(extension(), press(), Priority::Top).brief(|b| b.training_age = TrainingAge::Beginner);
        assert_eq!(case.lock("press", |l| l.with = Some("extension".into())).said("SW122"), WARNING);
    }
}
