//! What conditions, age, pain and a return leave out (SW172), and how hard sets may be then. The clinician's word comes
//! first, and whether somebody may train at all is judged in `safety`.

use crate::rules::allowed::swap_hint;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{list, number};
use setwright_model::exercise::Measure;
use setwright_model::{Pattern, Severity};
use setwright_science::chair_rises;
use setwright_science::conditions::Cause;
use std::collections::BTreeSet;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(care) = &scene.client.care else { return };
    for (stage, item) in scene.items() {
        let Some(bar) = care.bar(item.exercise).filter(|b| b.cause != Cause::Brief) else { continue };
        let severity = if bar.cause == Cause::Early { Severity::Warning } else { Severity::Error };
        let severity = scene.unless_fixed(stage.rank, &item.exercise.id, severity);
        let at = At::Exercise(stage.rank, item.block, item.lane);
        let cause = format!("It {}.", bar.says());
        out.add(at, severity, "SW172", cause, swap_hint(scene, item.exercise));
    }
    too_hard(scene, "reps in reserve", out, |_, i| {
        !is_raise(i) && i.prescription.rir < scene.rir_least(i.exercise)
    });
    too_hard(scene, "reps", out, |_, i| {
        i.exercise.measure == Measure::Reps && i.prescription.reps[0] < reps_least(scene, i)
    });
    too_hard(scene, "rest", out, |s, i| s.is_straight(i) && s.rest_s(i) < scene.limits().rest_least.get());
}

/// Fewest reps of an exercise. What age alone asks gives way to what the client trains with: whoever came with triples
/// does triples, and who rises from a chair a few times in a test does not rise more often in a set.
fn reps_least(scene: &Scene<'_>, item: &Item<'_>) -> u32 {
    let limits = scene.limits();
    if scene.brief.is_some_and(|brief| chair_rises::reps(item.exercise, brief).is_some()) {
        return 0;
    }
    let lifts = scene.brief.map_or(&[][..], |b| &b.lifts[..]);
    let told = lifts.iter().filter(|l| l.exercise == item.exercise.id).map(|l| l.reps).min();
    limits.reps_least.max(told.map_or(limits.age_reps_least, |reps| reps.min(limits.age_reps_least)))
}

/// Raises of a spared shoulder are judged in `spared_shoulder`.
fn is_raise(item: &Item<'_>) -> bool {
    matches!(item.exercise.pattern, Pattern::LateralRaise | Pattern::FrontRaise)
}

/// Sets that are harder than this client's are to be, said once for the programme.
fn too_hard(scene: &Scene<'_>, what: &str, out: &mut Findings, is: impl Fn(&Stage<'_>, &Item<'_>) -> bool) {
    let hard = scene.items().filter(|(s, i)| is(s, i) && !scene.is_locked(s.rank, &i.exercise.id));
    let names: BTreeSet<String> = hard.map(|(_, i)| i.exercise.name.clone()).collect();
    if names.is_empty() {
        return;
    }
    let (cause, hint) = too_little(scene, what, &names.into_iter().collect::<Vec<_>>());
    out.add(At::Programme, Severity::Warning, "SW172", cause, hint);
}

fn too_little(scene: &Scene<'_>, what: &str, names: &[String]) -> (String, String) {
    let limits = scene.limits();
    let few = if names.len() > 3 { format!("{} and others", names[..3].join(", ")) } else { list(names) };
    let least = match what {
        "rest" => format!("{} s of rest", number(limits.rest_least.get())),
        "reps" => format!("{} reps", limits.reps_least.max(limits.age_reps_least)),
        _ => format!("RIR {}", limits.rir_least.max(1)),
    };
    (format!("Too little of {what} for this client: {few}."), format!("Give at least {least}."))
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, WARNING, sets, straight, tally};
    use setwright_gym::catalogue::builtin;
    use setwright_model::brief::{Condition, TrainingAge};
    use setwright_model::{Prescription, Seconds};

    fn one(id: &str) -> Case {
        Case::new(builtin().iter().cloned()).day(1, [straight(sets(id, 2))])
    }

    fn with(id: &str, condition: Condition) -> Case {
        one(id).brief(|b| b.conditions = vec![condition])
    }

    #[test]
    fn what_a_condition_leaves_out_is_refused() {
        assert_eq!(with("crunch", Condition::BrittleBones).said("SW172"), ERROR);
        assert_eq!(one("crunch").said("SW172"), NONE);
        let own = with("crunch", Condition::BrittleBones).lock("crunch", |_| {});
        assert_eq!(own.said("SW172"), WARNING, "the coach's own choice is pointed out");
        assert_eq!(tally(&with("crunch", Condition::BrittleBones).report_alone(), "SW172"), NONE);
    }

    #[test]
    fn who_rises_a_few_times_in_a_test_need_not_rise_more_often_in_a_set() {
        use setwright_model::brief::{Test, TestKind};
        let few = || Prescription { reps: [3, 4], ..sets("chair_squat", 1) };
        let old =
            Case::new(builtin().iter().cloned()).day(1, [straight(few())]).brief(|b| b.body.age = Some(84));
        assert_eq!(old.clone().said("SW172"), WARNING);
        let test = Test { what: TestKind::ChairRises, count: 6 };
        assert_eq!(old.brief(|b| b.tests = vec![test]).said("SW172"), NONE);
    }

    #[test]
    fn age_leaves_out_what_was_not_told() {
        let aged = |age| one("dip").brief(|b| b.body.age = Some(age));
        assert_eq!(aged(64).said("SW172"), NONE);
        assert_eq!(aged(65).said("SW172"), ERROR);
        let told = aged(65).told("dip", 0.0, 8).brief(|b| b.can = setwright_model::brief::Tick::ALL.to_vec());
        assert_eq!(told.said("SW172"), NONE);
    }

    #[test]
    fn sets_are_not_harder_than_age_and_a_return_allow() {
        let hard = |rir: u32, reps: u32, rest_s: f64, age: u32| {
            let p = Prescription { rir, reps: [reps, reps + 4], ..sets("leg_press", 2) };
            let mut block = straight(p);
            block.rest_s = Seconds(rest_s);
            let case = Case::new(builtin().iter().cloned()).day(1, [block]);
            case.brief(|b| (b.body.age, b.training_age) = (Some(age), TrainingAge::Intermediate))
                .said("SW172")
        };
        assert_eq!(hard(2, 8, 90.0, 70), NONE);
        assert_eq!(hard(1, 8, 90.0, 70), WARNING);
        assert_eq!(hard(2, 5, 90.0, 70), WARNING);
        assert_eq!(hard(2, 8, 59.0, 70), WARNING);
        assert_eq!(hard(1, 5, 59.0, 40), NONE);
    }
}
