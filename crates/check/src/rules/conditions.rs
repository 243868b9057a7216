//! What conditions, age, pain and a return leave out (SW172), how hard sets may be then, and what they want in every visit. The
//! clinician's word comes first, and whether somebody may train at all is judged in `safety`.

use crate::rules::allowed::{neighbours, swap_hint};
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{list, number};
use setwright_model::brief::{Brief, Condition, Tick};
use setwright_model::exercise::{Ask, Measure};
use setwright_model::pattern::{Region, Side};
use setwright_model::station::Area;
use setwright_model::{Exercise, Pattern, Severity};
use setwright_science::aims;
use setwright_science::chair_rises;
use setwright_science::conditions::{self, Cause};
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
    if let Some(brief) = scene.brief {
        landings(scene, brief, out);
        face_down(scene, brief, out);
        gentler_first(scene, brief, out);
        legs_of_who_rises_seldom(scene, brief, out);
        trunk_after_a_birth(scene, brief, out);
        trunk_for_a_troubled_back(scene, brief, out);
        on_the_feet(scene, brief, out);
    }
}

/// Body mass over the square of the height from which lying face down, the floor and folding the trunk are hard (WHO's second class
/// of obesity; that it is the line is judgement).
const HEAVY_KG_M2: f64 = 35.0;

fn is_heavy(brief: &Brief) -> bool {
    let (Some(mass), Some(height_m)) = (brief.body.mass_kg, brief.body.height_m) else { return false };
    height_m > 0.0 && mass.get() / (height_m * height_m) >= HEAVY_KG_M2
}

/// Jumps and hard landings of somebody very heavy who does none at present: refused while new.
fn landings(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let lands = |e: &Exercise| e.asks.contains(&Ask::Impact) && !scene.told(&e.id);
    for (stage, item) in scene.items().filter(|(_, i)| is_heavy(brief) && lands(i.exercise)) {
        let severity = if scene.is_new() { Severity::Error } else { Severity::Warning };
        let severity = scene.unless_fixed(stage.rank, &item.exercise.id, severity);
        let cause = format!(
            "{} has jumps or hard landings, which are hard on the joints of this client.",
            item.exercise.name
        );
        let at = At::Exercise(stage.rank, item.block, item.lane);
        out.add(at, severity, "SW172", cause, swap_hint(scene, item.exercise));
    }
}

/// Lying face down, of somebody very heavy, or who cannot get down to the floor, where the movement can be done otherwise: mended,
/// and pointed out for who is trained, whose weight says less.
fn face_down(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let never_down = conditions::can(brief, Tick::FloorAndUp) == Some(false);
    if !is_heavy(brief) && !never_down {
        return;
    }
    let prone = Ask::LyingProne;
    let names =
        named(scene, |e| e.asks.contains(&prone) && !scene.is_own(&e.id) && is_done_without(scene, e, prone));
    if !names.is_empty() {
        let cause = format!("Lying face down is hard for this client: {}.", list(&names));
        let severity = if never_down || scene.is_new() { Severity::Warning } else { Severity::Note };
        let hint = "Take what is done sitting or standing.";
        out.add(At::Programme, severity, "SW172", cause, hint);
    }
}

/// Whether something of its pattern may be done that does not ask this.
fn is_done_without(scene: &Scene<'_>, exercise: &Exercise, ask: Ask) -> bool {
    neighbours(scene, exercise).any(|n| n.pattern == exercise.pattern && !n.asks.contains(&ask))
}

/// What a coach would leave for later, of somebody new: the floor and folding the trunk where they are very heavy, hinges where they
/// are that or have a condition while machines stand there, lunges after a birth.
fn gentler_first(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    if !scene.is_new() {
        return;
    }
    let heavy = is_heavy(brief);
    let machine = |e: &Exercise| {
        let guided = e.stations.iter().any(|s| s.area() == Area::Machines);
        e.pattern.side() == Side::Hip && guided && scene.is_allowed(e)
    };
    let machines = scene.catalogue.iter().any(machine);
    let birth = brief.conditions.contains(&Condition::AfterBirth);
    let is_hard = |e: &Exercise| {
        let down = e.asks.contains(&Ask::Floor) && !e.asks.contains(&Ask::LyingProne);
        let low = e.pattern == Pattern::TrunkFlexion || down && is_done_without(scene, e, Ask::Floor);
        let hinges = e.pattern == Pattern::Hinge && machines && (heavy || !brief.conditions.is_empty());
        hinges || (heavy && low) || (birth && e.pattern == Pattern::Lunge)
    };
    let names = named(scene, |e| !scene.is_own(&e.id) && is_hard(e));
    if !names.is_empty() {
        let cause = format!("There is an easier beginning for this client: {}.", list(&names));
        let hint = "Begin seated, guided or off the floor, and come to these later.";
        out.add(At::Programme, Severity::Note, "SW172", cause, hint);
    }
}

/// Names of what stands in the programme and is of a kind, once each; what the coach has fixed is left out.
fn named(scene: &Scene<'_>, is: impl Fn(&Exercise) -> bool) -> Vec<String> {
    let found = scene.items().filter(|(s, i)| is(i.exercise) && !scene.is_locked(s.rank, &i.exercise.id));
    let names: BTreeSet<String> = found.map(|(_, i)| i.exercise.name.clone()).collect();
    names.into_iter().collect()
}

/// Who rises from a chair seldom came for the legs, said or not: as many movements for them as for the upper body in a visit, and not
/// under half over the cycle.
fn legs_of_who_rises_seldom(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    if !chair_rises::rises_seldom(brief) {
        return;
    }
    let of = |s: &Stage<'_>, region| s.items.iter().filter(|i| i.exercise.pattern.region() == region).count();
    let both = |s: &Stage<'_>| (of(s, Region::Lower), of(s, Region::Upper));
    let all = scene.stages.iter().map(both).fold((0, 0), |a, b| (a.0 + b.0, a.1 + b.1));
    let hint = "Legs first for who rises from a chair with trouble.";
    let say = |(legs, upper): (usize, usize)| {
        format!("{legs} movements for the legs beside {upper} for the upper body.")
    };
    if 2 * all.0 < all.1 {
        out.add(At::Programme, Severity::Warning, "SW172", say(all), hint);
        return;
    }
    for stage in scene.stages.iter().filter(|s| both(s).0 < both(s).1) {
        out.add(At::Session(stage.rank), Severity::Note, "SW172", say(both(stage)), hint);
    }
}

/// After a birth, or with a weak pelvic floor, a bridge or the trunk: mended where the cycle has none, pointed out by visit.
fn trunk_after_a_birth(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    const CORE: &[Pattern] = &[
        Pattern::HipExtension,
        Pattern::TrunkBrace,
        Pattern::TrunkFlexion,
        Pattern::TrunkRotation,
        Pattern::SideBend,
    ];
    let asked = [Condition::AfterBirth, Condition::PelvicFloor].iter().any(|c| brief.conditions.contains(c));
    if !asked || !scene.has_pattern(CORE) {
        return;
    }
    let without = |s: &&Stage<'_>| s.items.iter().all(|i| !CORE.contains(&i.exercise.pattern));
    let visits: Vec<&Stage<'_>> = scene.stages.iter().filter(without).collect();
    let cause =
        "No bridge and nothing for the trunk, which wants it after a birth or with a weak pelvic floor.";
    let hint = "Add a bridge or a gentle brace, breathing out with the effort.";
    if visits.len() == scene.stages.len() {
        out.add(At::Programme, Severity::Warning, "SW172", cause, hint);
        return;
    }
    point_out(visits.into_iter().map(|s| s.rank), cause, hint, out);
}

/// A troubled back has its trunk worked in every visit that has the minutes: pointed out.
fn trunk_for_a_troubled_back(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let trunk = |e: &Exercise| e.pattern.region() == Region::Trunk;
    let possible = || scene.catalogue.iter().any(|e| trunk(e) && scene.is_allowed(e));
    if !brief.conditions.contains(&Condition::LowBackPain) || !possible() {
        return;
    }
    let roomy = |s: &&Stage<'_>| scene.limit(s.rank).is_some_and(|m| m.get() >= TRUNK_EACH_MIN);
    let without = |s: &&Stage<'_>| s.items.iter().all(|i| !trunk(i.exercise));
    let visits = scene.stages.iter().filter(roomy).filter(without).map(|s| s.rank);
    let cause = "Nothing for the trunk, which a troubled back wants in every visit.";
    point_out(visits, cause, "Add a brace the client can hold well.", out);
}

/// Minutes of a visit that have room for the trunk (judgement).
const TRUNK_EACH_MIN: f64 = 25.0;

/// From 65 years on a visit for the legs that is seated throughout is pointed out: standing up and stepping are what keeps somebody
/// on the feet.
fn on_the_feet(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let standing = |e: &Exercise| aims::is_on_the_feet(e);
    let likely = |e: &Exercise| scene.is_allowed(e) && scene.client.is_likely(brief, e);
    let possible = || scene.catalogue.iter().any(|e| standing(e) && likely(e));
    if !conditions::is_older(brief) || !possible() {
        return;
    }
    let legs = |s: &&Stage<'_>| s.items.iter().any(|i| i.exercise.pattern.region() == Region::Lower);
    let seated = |s: &&Stage<'_>| s.items.iter().all(|i| !standing(i.exercise));
    let visits = scene.stages.iter().filter(legs).filter(seated).map(|s| s.rank);
    let hint = "Add rising from a chair, or a step with a hand on something.";
    point_out(visits, "Nothing for the legs is done on the feet.", hint, out);
}

/// Says of each of these visits what it lacks.
fn point_out(visits: impl Iterator<Item = usize>, cause: &str, hint: &str, out: &mut Findings) {
    for rank in visits {
        out.add(At::Session(rank), Severity::Note, "SW172", cause, hint);
    }
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
    // What is done at present with reps that nobody told is gone on with.
    let told = told.or_else(|| scene.told(&item.exercise.id).then_some(1));
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
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, sets, straight, tally};
    use setwright_gym::catalogue::builtin;
    use setwright_model::brief::{Brief, Condition, Test, TestKind, Tick, TrainingAge};
    use setwright_model::{Exercise, Kilograms, Prescription, Seconds};
    use setwright_science::aims;

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

    /// A room in which nothing is done on the feet.
    fn seated() -> impl Iterator<Item = Exercise> {
        builtin().iter().filter(|e| !aims::is_on_the_feet(e)).cloned()
    }

    #[test]
    fn sets_are_not_harder_than_age_and_a_return_allow() {
        let hard = |rir: u32, reps: u32, rest_s: f64, age: u32| {
            let p = Prescription { rir, reps: [reps, reps + 4], ..sets("leg_press", 2) };
            let mut block = straight(p);
            block.rest_s = Seconds(rest_s);
            let case = Case::new(seated()).day(1, [block]);
            case.brief(|b| (b.body.age, b.training_age) = (Some(age), TrainingAge::Intermediate))
                .said("SW172")
        };
        assert_eq!(hard(2, 8, 90.0, 70), NONE);
        assert_eq!(hard(1, 8, 90.0, 70), WARNING);
        assert_eq!(hard(2, 5, 90.0, 70), WARNING);
        assert_eq!(hard(2, 8, 59.0, 70), WARNING);
        assert_eq!(hard(1, 5, 59.0, 40), NONE);
    }

    /// A brief of so many kilograms at 1.60 m: 90 are 35.2, 89 are 34.8.
    fn of_mass(kg: f64) -> impl Fn(&mut Brief) {
        move |b| (b.body.mass_kg, b.body.height_m) = (Some(Kilograms(kg)), Some(1.6))
    }

    #[test]
    fn who_is_very_heavy_or_cannot_get_up_does_not_lie_face_down() {
        let new = |id, kg| {
            one(id).brief(of_mass(kg)).brief(|b| b.training_age = TrainingAge::Beginner).said("SW172")
        };
        assert_eq!((new("lying_leg_curl", 90.0), new("lying_leg_curl", 89.0)), (WARNING, NONE));
        assert_eq!(one("lying_leg_curl").brief(of_mass(90.0)).said("SW172"), NOTE, "trained");
        assert_eq!(new("seated_leg_curl", 90.0), NONE);
        let cannot = |id| one(id).brief(|b| b.cannot = vec![Tick::FloorAndUp]).said("SW172");
        assert_eq!((cannot("lying_leg_curl"), cannot("seated_leg_curl")), (WARNING, NONE));
        let told = one("lying_leg_curl").told("lying_leg_curl", 30.0, 10);
        assert_eq!(told.brief(of_mass(90.0)).said("SW172"), NONE);
    }

    #[test]
    fn who_is_very_heavy_does_not_land_hard() {
        use TrainingAge::{Beginner, Intermediate};
        let jump = |kg, age| one("box_jump").brief(of_mass(kg)).brief(|b| b.training_age = age);
        assert_eq!((jump(90.0, Beginner).said("SW172"), jump(89.0, Beginner).said("SW172")), (ERROR, NONE));
        assert_eq!(jump(90.0, Intermediate).said("SW172"), WARNING);
        assert_eq!(jump(90.0, Beginner).lock("box_jump", |_| {}).said("SW172"), WARNING);
        assert_eq!(jump(90.0, Intermediate).told("box_jump", 0.0, 5).said("SW172"), NONE);
    }

    #[test]
    fn an_easier_beginning_is_pointed_out() {
        let new = |id: &str, kg: f64| {
            let case = one(id).brief(of_mass(kg)).brief(|b| b.training_age = TrainingAge::Beginner);
            case.said("SW172")
        };
        for id in ["machine_crunch", "glute_bridge", "dumbbell_romanian_deadlift"] {
            assert_eq!((new(id, 90.0), new(id, 89.0)), (NOTE, NONE), "{id}");
        }
        let lunge = |age| with("dumbbell_lunge", Condition::AfterBirth).brief(|b| b.training_age = age);
        assert_eq!(lunge(TrainingAge::Beginner).said("SW172").2, 1);
        assert_eq!(lunge(TrainingAge::Intermediate).said("SW172").2, 0);
        let bar =
            |age| with("dumbbell_romanian_deadlift", Condition::Diabetes).brief(|b| b.training_age = age);
        assert_eq!(bar(TrainingAge::Beginner).said("SW172"), NOTE);
        assert_eq!(bar(TrainingAge::Intermediate).said("SW172"), NONE);
    }

    #[test]
    fn who_rises_seldom_gets_legs() {
        let visit = |ids: &[&str], count: u32| {
            let blocks: Vec<_> = ids.iter().map(|id| straight(sets(id, 2))).collect();
            let case = Case::new(seated()).day(1, blocks);
            let test = Test { what: TestKind::ChairRises, count };
            case.brief(|b| (b.body.age, b.tests) = (Some(70), vec![test])).said("SW172")
        };
        let upper = ["machine_chest_press", "seated_cable_row", "lat_pulldown"];
        let with = |legs: &[&'static str]| [&upper[..], legs].concat();
        assert_eq!(visit(&with(&["seated_leg_press"]), 6), WARNING, "one beside three");
        assert_eq!(visit(&with(&["seated_leg_press", "seated_leg_curl"]), 6), NOTE);
        assert_eq!(visit(&with(&["seated_leg_press", "seated_leg_curl", "seated_calf_raise"]), 6), NONE);
        assert_eq!(visit(&with(&["seated_leg_press"]), 16), NONE, "as often as others");
    }

    #[test]
    fn a_troubled_back_has_its_trunk_worked_in_every_visit() {
        let week = |second: &str, condition: &[Condition]| {
            let easy = |id: &str| straight(Prescription { rir: 3, ..sets(id, 2) });
            let day = |id: &str| [easy("machine_row"), easy(id)];
            let case = Case::new(builtin().iter().cloned()).day(1, day("bird_dog")).day(4, day(second));
            case.brief(|b| b.conditions = condition.to_vec()).said("SW172")
        };
        let back = [Condition::LowBackPain];
        assert_eq!((week("seated_leg_curl", &back), week("bird_dog", &back)), (NOTE, NONE));
        assert_eq!(week("seated_leg_curl", &[]), NONE);
    }

    #[test]
    fn from_sixty_five_on_a_visit_for_the_legs_is_not_all_seated() {
        let visit = |legs: &[&str], age: u32| {
            let easy = |id: &&str| straight(Prescription { rir: 3, ..sets(id, 2) });
            let case = Case::new(builtin().iter().cloned()).day(1, legs.iter().map(easy).collect::<Vec<_>>());
            case.brief(|b| b.body.age = Some(age)).said("SW172")
        };
        assert_eq!(visit(&["seated_leg_press", "machine_row"], 70), NOTE);
        assert_eq!(visit(&["seated_leg_press", "machine_row"], 60), NONE);
        assert_eq!(visit(&["seated_leg_press", "chair_squat"], 70), NONE);
        assert_eq!(visit(&["machine_row", "machine_chest_press"], 70), NONE, "no visit for the legs");
    }

    #[test]
    fn after_a_birth_each_visit_has_a_bridge_or_the_trunk() {
        let week = |first: &str, second: &str, condition| {
            let easy = |id: &str| straight(Prescription { rir: 3, ..sets(id, 2) });
            let day = |id: &str| [easy("seated_cable_row"), easy(id)];
            let case = Case::new(builtin().iter().cloned()).day(1, day(first)).day(4, day(second));
            case.brief(|b| b.conditions = vec![condition]).said("SW172")
        };
        for condition in [Condition::AfterBirth, Condition::PelvicFloor] {
            assert_eq!(week("glute_bridge", "dead_bug", condition), NONE);
            assert_eq!(week("glute_bridge", "lat_pulldown", condition), NOTE);
            assert_eq!(week("lat_pulldown", "lat_pulldown", condition), WARNING);
        }
        assert_eq!(week("lat_pulldown", "lat_pulldown", Condition::Diabetes), NONE);
    }
}
