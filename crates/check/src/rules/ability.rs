//! What this client can do: skill (SW113), reps that are out of reach (SW171), loads that are far too light where
//! something heavier is at hand (SW173), and what fails under somebody who was never seen at it (SW174).

use crate::client::KNEE;
use crate::rules::allowed::swap_hint;
use crate::sane::REPS_MAX;
use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::brief::{Aim, TrainingAge};
use setwright_model::exercise::{LoadKind, Measure, Standing};
use setwright_model::{Exercise, ExerciseId, Pattern, Severity};
use setwright_science::capability::CHANCE_LEAST;
use setwright_science::chair_rises::weight_waits;
use setwright_science::conditions::fails_under;

/// Chance below which an exercise is worth a word (judgement: it fails as often as not).
const CHANCE_EVEN: f64 = 0.5;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for (stage, item) in scene.items() {
        skill(scene, stage, item, out);
        out_of_reach(scene, stage, item, out);
        weight_too_soon(scene, stage, item, out);
        too_light(scene, stage, item, out);
        fails(scene, stage, item, out);
    }
}

/// Age and body mass up to which years of training stand for a test (judgement).
const PROVEN_YEARS: u32 = 50;
const PROVEN_KG: f64 = 100.0;

/// What cannot be put down when it is too much, for somebody who did not tell of it: refused where a fall would be worst,
/// mended for the new, pointed out to the rest. Years of training stand for a test.
fn fails(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief else { return };
    let e = item.exercise;
    let meant = e.pattern == Pattern::Jump && brief.aims.contains(&Aim::Jumping) && !scene.needs_care();
    if !fails_under(e) || scene.is_own(&e.id) || meant {
        return;
    }
    let young = brief.body.age.is_none_or(|a| a < PROVEN_YEARS);
    let light = brief.body.mass_kg.is_none_or(|m| m.get() <= PROVEN_KG);
    if brief.training_age == TrainingAge::Advanced && young && light {
        return;
    }
    let severity = match scene.needs_care() {
        true if scene.falls_hard() && e.load != LoadKind::Bar => Severity::Error,
        true => Severity::Warning,
        false => Severity::Note,
    };
    let cause = format!("{} fails under the client, and nothing told or tested shows it.", e.name);
    let hint = "See it once at less, or take what can be put down.";
    out.add(at(stage, item), severity, "SW174", cause, hint);
}

const fn at(stage: &Stage<'_>, item: &Item<'_>) -> At {
    At::Exercise(stage.rank, item.block, item.lane)
}

/// A staple that takes a little coaching is mended, and so is what a trained client can learn; what takes months of
/// coaching is refused.
fn skill(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let (exercise, most) = (item.exercise, scene.rules.skill);
    if exercise.skill <= most {
        return;
    }
    let plain = exercise.standing == Standing::Staple && !exercise.is_taxing() && exercise.skill == most + 1;
    let learned = !scene.is_new() && exercise.standing != Standing::Special;
    let mild = learned || plain || scene.told(&exercise.id);
    let severity = if mild { Severity::Warning } else { Severity::Error };
    let severity = scene.unless_fixed(stage.rank, &exercise.id, severity);
    let cause = format!("It takes skill {} and this client has {most}.", exercise.skill);
    out.add(at(stage, item), severity, "SW113", cause, swap_hint(scene, exercise));
}

fn out_of_reach(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let p = item.prescription;
    let (reps, rir) = (p.reps[0].min(REPS_MAX), p.rir.min(REPS_MAX));
    let Some(chance) = scene.client.capability.as_ref().and_then(|c| c.chance(item.exercise, reps, rir))
    else {
        return;
    };
    let severity = match chance.get() {
        c if c >= CHANCE_EVEN => return,
        c if c >= CHANCE_LEAST => Severity::Note,
        _ if scene.told(&p.id) || is_fixed_somewhere(scene, &p.id) => Severity::Warning,
        _ => Severity::Error,
    };
    let unit = if item.exercise.measure == Measure::Seconds { "seconds" } else { "reps" };
    let cause = format!(
        "{:.0} in ten clients like this one can do {} {unit} of {} with {} in reserve, even at the lightest.",
        (10.0 * chance.get()).round(),
        p.reps[0],
        item.exercise.name,
        p.rir
    );
    let severity = scene.unless_fixed(stage.rank, &p.id, severity);
    out.add(at(stage, item), severity, "SW171", cause, swap_hint(scene, item.exercise));
}

/// A weight that is held while rising from a chair comes after more rises without one than were counted.
fn weight_too_soon(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief.filter(|_| !scene.is_own(&item.exercise.id)) else { return };
    if weight_waits(item.exercise, brief) {
        let cause = format!(
            "{} holds a weight, and few rises from a chair were counted without one.",
            item.exercise.name
        );
        let severity = scene.unless_fixed(stage.rank, &item.exercise.id, Severity::Warning);
        out.add(
            at(stage, item),
            severity,
            "SW171",
            cause,
            "Rise without a weight first, from a lower seat as it gets easier.",
        );
    }
}

/// Whether the coach has fixed it in some session, or beside something: then it is the coach's choice in the others too.
fn is_fixed_somewhere(scene: &Scene<'_>, id: &ExerciseId) -> bool {
    let locks = scene.brief.map_or(&[][..], |b| &b.locks);
    locks.iter().any(|l| l.exercise == *id || l.with.as_ref() == Some(id))
}

/// Light is better than nothing, so it is said only where something heavier of its kind may be done.
fn too_light(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let (p, exercise) = (item.prescription, item.exercise);
    let compound = exercise.pattern.is_compound();
    if !compound
        || scene.is_first_weeks()
        || scene.is_own(&p.id)
        || !is_light(scene, exercise, p.reps[1], p.rir)
    {
        return;
    }
    let heavier = |e: &&Exercise| {
        let alike =
            e.pattern == exercise.pattern || [e.pattern, exercise.pattern].iter().all(|q| KNEE.contains(q));
        alike && scene.is_allowed(e) && !is_light(scene, e, p.reps[1], p.rir)
    };
    if let Some(other) = scene.catalogue.iter().find(heavier) {
        let cause = format!(
            "The heaviest load there is for {} leaves far more than {} reps to this client.",
            exercise.name, p.reps[1]
        );
        out.add(
            at(stage, item),
            Severity::Warning,
            "SW173",
            cause,
            format!("Take {}, for example.", other.name),
        );
    }
}

pub(crate) fn is_light(scene: &Scene<'_>, exercise: &Exercise, top_reps: u32, rir: u32) -> bool {
    let (reps, rir) = (top_reps.min(REPS_MAX), rir.min(REPS_MAX));
    scene.client.capability.as_ref().is_some_and(|c| c.is_too_light(exercise, reps, rir))
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, exercise, press, sets, straight, with};
    use setwright_gym::catalogue::builtin;
    use setwright_model::brief::{Test, TestKind, TrainingAge};
    use setwright_model::exercise::Standing;
    use setwright_model::station::Station;
    use setwright_model::{Kilograms, Muscle, Pattern, Prescription};
    use setwright_science::capability::Capability;

    #[test]
    fn a_weight_waits_until_fifteen_rises_were_counted() {
        let said = |id: &str, count: u32| {
            let case = Case::new(builtin().iter().cloned()).day(1, [straight(sets(id, 2))]);
            let test = Test { what: TestKind::ChairRises, count };
            case.brief(|b| (b.body.age, b.tests) = (Some(50), vec![test])).said("SW171").1
        };
        assert_eq!((said("goblet_box_squat", 10), said("goblet_box_squat", 15)), (1, 0));
        assert_eq!(said("chair_squat", 10), 0);
    }

    #[test]
    fn what_fails_under_the_client_is_for_those_who_were_seen_at_it() {
        use TrainingAge::{Advanced, Beginner, Intermediate};
        let dip = || exercise("dip", Pattern::Dip, &[Muscle::Chest], &[]);
        let of = |age: TrainingAge, years: u32| {
            let case = Case::new([dip()]).day(1, [straight(sets("dip", 3))]);
            case.brief(|b| (b.training_age, b.body.age) = (age, Some(years)))
        };
        assert_eq!(of(Advanced, 30).said("SW174"), NONE);
        assert_eq!(of(Intermediate, 30).said("SW174"), NOTE);
        assert_eq!(of(Beginner, 30).said("SW174"), WARNING);
        assert_eq!(of(Advanced, 62).said("SW174"), ERROR);
        assert_eq!((of(Beginner, 59).said("SW174"), of(Beginner, 60).said("SW174")), (WARNING, ERROR));
        assert_eq!(of(Advanced, 62).told("dip", 0.0, 10).said("SW174"), NONE);
        let raise = with(exercise("raise", Pattern::TrunkFlexion, &[Muscle::Abs], &[]), |e| {
            e.stations = vec![Station::PullUpBar];
        });
        let hung = Case::new([raise]).day(1, [straight(sets("raise", 3))]);
        assert_eq!(hung.brief(|b| b.training_age = Beginner).said("SW174"), WARNING);
    }

    fn skilled(skill: u8, standing: Standing, age: TrainingAge) -> Case {
        let lift = with(press(), |e| (e.skill, e.standing) = (skill, standing));
        Case::new([lift]).day(1, [straight(sets("press", 3))]).brief(|b| b.training_age = age)
    }

    #[test]
    fn skill_is_within_the_clients() {
        use TrainingAge::{Advanced, Beginner, FirstWeeks, Intermediate};
        let said = |skill, standing, age| skilled(skill, standing, age).said("SW113");
        assert_eq!(said(2, Standing::Usual, Beginner), NONE);
        assert_eq!(said(3, Standing::Usual, Beginner), ERROR);
        assert_eq!(said(3, Standing::Usual, Intermediate), WARNING, "a trained client can learn it");
        assert_eq!(said(3, Standing::Special, Intermediate), ERROR);
        assert_eq!(said(3, Standing::Usual, Advanced), NONE);
        assert_eq!(said(2, Standing::Staple, FirstWeeks), WARNING, "a staple is taught");
        assert_eq!(said(2, Standing::Usual, FirstWeeks), ERROR);
        let own = skilled(3, Standing::Usual, Beginner);
        assert_eq!(own.clone().lock("press", |_| {}).said("SW113"), WARNING);
        assert_eq!(own.told("press", 40.0, 8).said("SW113"), WARNING);
    }

    /// One exercise of the catalogue for a man of 80 kg.
    fn one(id: &str, reps: u32, age: TrainingAge) -> Case {
        let p = Prescription { reps: [reps, reps + 2], ..sets(id, 3) };
        let case = Case::new(builtin().iter().cloned()).day(1, [straight(p)]);
        case.brief(|b| (b.training_age, b.body.mass_kg) = (age, Some(Kilograms(80.0))))
    }

    #[test]
    fn reps_that_are_out_of_reach_are_refused_and_those_in_doubt_noted() {
        let case = |reps| one("press_up", reps, TrainingAge::Intermediate);
        let chance = |reps: u32| {
            let case = case(reps);
            let exercise = builtin().get(&"press_up".into()).unwrap();
            Capability::of(&case.brief, &case.belief).chance(exercise, reps, 2).unwrap().get()
        };
        for reps in 1..60 {
            let want = match chance(reps) {
                c if c < 0.2 => ERROR,
                c if c < 0.5 => NOTE,
                _ => NONE,
            };
            assert_eq!(case(reps).said("SW171"), want, "{reps} reps, {}", chance(reps));
        }
        assert!(chance(1) > 0.5 && chance(59) < 0.2, "both sides are tried");
        assert_eq!(case(59).lock("press_up", |_| {}).said("SW171"), WARNING);
        assert_eq!(case(59).told("press_up", 0.0, 12).said("SW171"), WARNING);
    }

    #[test]
    fn what_is_far_too_light_is_mended_where_something_heavier_is_there() {
        let strong = |id| one(id, 8, TrainingAge::Advanced).told("back_squat", 150.0, 5);
        let light = strong("bodyweight_squat");
        assert_eq!(light.said("SW173"), WARNING);
        assert_eq!(strong("front_squat").said("SW173"), NONE);
        assert_eq!(light.clone().told("bodyweight_squat", 0.0, 20).said("SW173"), NONE, "own choice");
        let first = light.clone().brief(|b| b.training_age = TrainingAge::FirstWeeks);
        assert_eq!(first.said("SW173"), NONE, "the first weeks are light on purpose");
        let alone = Case {
            exercises: light.exercises[..]
                .iter()
                .filter(|e| e.id.as_str() == "bodyweight_squat")
                .cloned()
                .collect(),
            ..light
        };
        assert_eq!(alone.said("SW173"), NONE, "nothing heavier is there");
    }
}
