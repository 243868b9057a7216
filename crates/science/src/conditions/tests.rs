//! What a coach expects of the guides, client by client, and what holds for all of them.

use super::*;
use proptest::prelude::*;
use setwright_gym::catalogue::builtin;
use setwright_gym::room::Room;
use setwright_model::brief::{Equipment, Goal, Lift, Place, Test, Time};
use setwright_model::{Kilograms, Minutes, Seconds, Share};

fn client(age: u32, training_age: TrainingAge) -> Brief {
    let mut brief = Brief::new("A", Goal::General, training_age, Time::weekly(2, Minutes(45.0)));
    brief.body.age = Some(age);
    brief.screening.active = Some(true);
    brief
}

fn returning(age: u32, training_age: TrainingAge) -> Brief {
    let mut brief = client(age, training_age);
    brief.screening.active = Some(false);
    brief.screening.other = Some(true);
    brief.screening.cleared = Some(true);
    brief
}

fn with(conditions: &[Condition]) -> Brief {
    Brief { conditions: conditions.to_vec(), ..client(40, TrainingAge::Intermediate) }
}

fn tell(mut brief: Brief, id: &str) -> Brief {
    brief.lifts.push(Lift { exercise: id.into(), load_kg: Kilograms(40.0), reps: 8, rir: 2 });
    brief
}

fn exercise(id: &str) -> &'static Exercise {
    builtin().get(&id.into()).unwrap_or_else(|| panic!("no exercise {id}"))
}

fn why(brief: &Brief, id: &str) -> Option<Cause> {
    Care::of(brief).bar(exercise(id)).map(|bar| bar.cause)
}

#[track_caller]
fn check(brief: &Brief, out: &str, allowed: &str) {
    for id in out.split_whitespace() {
        assert!(why(brief, id).is_some(), "{id} should be out");
    }
    for id in allowed.split_whitespace() {
        let bar = Care::of(brief).bar(exercise(id));
        assert_eq!(bar, None, "{id} should be allowed");
    }
}

/// Back at 72 a year after a new hip, cleared, the brief in its plainest form.
fn hip_of_72() -> Brief {
    let mut brief = returning(72, TrainingAge::Beginner);
    brief.exclude.asks = vec![Ask::Balance, Ask::Impact, Ask::DeepKnee];
    brief
}

#[test]
fn at_72_nothing_on_the_mat_nothing_rounded_nothing_hung_and_no_dips() {
    check(
        &hip_of_72(),
        "plank side_plank bird_dog dead_bug crunch sit_up glute_bridge press_up clam cable_crunch machine_crunch \
         russian_twist machine_trunk_rotation dip assisted_dip chair_dip chin_up pull_up assisted_pull_up \
         band_assisted_pull_up back_squat box_squat goblet_squat deadlift kettlebell_deadlift good_morning \
         bent_over_calf_raise two_dumbbell_row barbell_row dumbbell_bench_press bench_press wall_sit step_up \
         handstand_press_up overhead_press burpee kettlebell_swing",
        "chair_squat supported_step_up seated_cable_row machine_row chest_supported_row lat_pulldown machine_chest_press \
         hands_raised_press_up wall_press_up seated_leg_curl leg_extension machine_hip_abduction anti_rotation_press \
         seated_dumbbell_press dumbbell_curl seated_calf_raise machine_hip_thrust",
    );
    let limits = limits(&hip_of_72());
    assert!(limits.supported_first && !limits.carry_may_open && limits.rir_least == 3);
}

#[test]
fn at_66_in_the_first_weeks_with_an_answer_legs_are_pressed_seated_and_nothing_is_held() {
    let brief = returning(66, TrainingAge::FirstWeeks);
    check(
        &brief,
        "plank dead_hang wall_sit plate_pinch farmer_carry overhead_press seated_barbell_press push_press \
         pull_up dip deadlift back_squat bodyweight_squat",
        "leg_press seated_leg_press chair_squat machine_row seated_cable_row band_row machine_shoulder_press",
    );
}

#[test]
fn at_68_after_years_of_training_what_was_told_stays() {
    let brief = client(68, TrainingAge::Intermediate);
    assert_eq!(why(&brief, "trap_bar_deadlift"), Some(Cause::Older));
    assert_eq!(why(&brief, "dumbbell_bench_press"), Some(Cause::Older));
    let brief = tell(tell(brief, "trap_bar_deadlift"), "dumbbell_bench_press");
    check(&brief, "deadlift bench_press", "trap_bar_deadlift dumbbell_bench_press goblet_squat leg_press");
    assert!(told_and_out(&brief, builtin()).is_empty());
}

#[test]
fn ticks_give_an_older_client_back_what_was_shown() {
    let mut brief = client(70, TrainingAge::Beginner);
    check(&brief, "glute_bridge pull_up bodyweight_squat", "");
    brief.can = vec![Tick::FloorAndUp, Tick::ChairWithoutHands];
    check(&brief, "pull_up press_up crunch", "glute_bridge dead_bug bodyweight_squat goblet_squat");
    brief.tests = vec![Test { what: TestKind::PressUps, count: 5 }];
    check(&brief, "dip", "press_up");
}

#[test]
fn a_repaired_shoulder_gets_rows_and_rear_work_and_no_bar_from_the_chest() {
    let mut spared = returning(51, TrainingAge::Intermediate);
    spared.exclude.asks = vec![Ask::Overhead, Ask::ShoulderExtreme];
    for brief in [spared, with(&[Condition::ShoulderRepaired])] {
        check(
            &brief,
            "bench_press incline_bench_press guided_bar_bench_press dip machine_dip overhead_press landmine_press \
             seated_dumbbell_press barbell_upright_row pull_up lat_pulldown",
            "leg_press seated_cable_row machine_row machine_chest_press dumbbell_bench_press machine_rear_fly \
             dumbbell_lateral_raise",
        );
        let care = Care::of(&brief);
        assert!(care.wanted().iter().any(|(pattern, _)| *pattern == Pattern::RearFly));
        assert!(care.limits().pulls_lead && !care.limits().press_may_open);
        assert!(care.rir_least(exercise("dumbbell_lateral_raise")) >= 3);
    }
}

#[test]
fn a_back_that_is_spared_is_neither_bent_nor_turned_and_trains_on() {
    let mut brief = returning(39, TrainingAge::Intermediate);
    brief.exclude.asks = vec![Ask::SpineLoad, Ask::Hinge];
    check(
        &brief,
        "deadlift romanian_deadlift good_morning back_squat barbell_row two_dumbbell_row kettlebell_swing \
         kettlebell_deadlift sit_up crunch russian_twist power_clean",
        "leg_press belt_squat bench_press lat_pulldown chest_supported_row machine_row seated_leg_curl plank",
    );
    assert_eq!(why(&brief, "sit_up"), Some(Cause::SparedBack));
    assert_eq!(limits(&brief).rir_least, 3);
}

#[test]
fn a_back_that_is_neither_bent_nor_loaded_does_not_hinge() {
    let mut brief = client(56, TrainingAge::Beginner);
    brief.exclude.asks = vec![Ask::SpineBend, Ask::SpineLoad];
    check(
        &brief,
        "kettlebell_deadlift dumbbell_romanian_deadlift dumbbell_row cable_pull_through back_squat",
        "leg_press seated_leg_curl machine_hip_thrust chest_supported_row machine_row lat_pulldown",
    );
    brief.exclude.asks = vec![Ask::SpineLoad];
    assert_eq!(why(&brief, "kettlebell_deadlift"), None, "nothing on the back is another wish");
}

#[test]
fn a_hand_that_may_not_grip_pulls_with_a_cuff_or_not_at_all() {
    let mut brief = client(40, TrainingAge::Intermediate);
    brief.exclude.asks = vec![Ask::Grip];
    check(
        &brief,
        "lat_pulldown seated_cable_row machine_row hammer_curl cable_curl face_pull cable_rear_fly dumbbell_row \
         dumbbell_romanian_deadlift pull_up band_row kettlebell_deadlift",
        "forearm_cuff_row forearm_band_row forearm_cuff_pulldown forearm_cuff_curl machine_rear_fly machine_chest_press leg_press \
         machine_fly back_extension",
    );
    assert_eq!(why(&tell(brief, "machine_row"), "machine_row"), None, "what is done already stays");
}

#[test]
fn knees_that_are_spared_get_no_lunges_or_step_ups() {
    let mut brief = client(45, TrainingAge::Intermediate);
    brief.exclude.asks = vec![Ask::DeepKnee];
    assert_eq!(why(&brief, "dumbbell_step_up"), None);
    brief.exclude.asks.push(Ask::Kneeling);
    assert_eq!(why(&brief, "dumbbell_step_up"), Some(Cause::SparedKnees));
    assert_eq!(why(&tell(brief, "dumbbell_step_up"), "dumbbell_step_up"), None);
}

#[test]
fn what_a_client_told_is_left_out_only_by_a_condition_and_then_it_is_said() {
    let brief = tell(tell(with(&[Condition::Pregnancy]), "bench_press"), "leg_press");
    let out = told_and_out(&brief, builtin());
    assert_eq!(out.len(), 1, "{out:?}");
    assert_eq!(out[0].0, ExerciseId::from("bench_press"));
    assert_eq!(out[0].1.says(), "is done lying on the back (pregnancy)");
}

#[test]
fn blood_pressure_bars_holds_and_heavy_bars_overhead_and_asks_for_rest() {
    let brief = with(&[Condition::HighBloodPressure]);
    check(
        &brief,
        "plank wall_sit dead_hang overhead_press leg_press",
        "seated_leg_press machine_shoulder_press bench_press",
    );
    let limits = limits(&brief);
    assert!(limits.rest_least >= Seconds(90.0) && limits.rir_least == 2 && limits.reps_least == 8);
    let told = tell(tell(brief, "plank"), "leg_press");
    check(&told, "plank", "leg_press");
}

#[test]
fn somebody_alone_keeps_two_reps_under_a_bar_and_a_spotter_frees_them() {
    let mut brief = client(30, TrainingAge::Advanced);
    brief.alone = Some(true);
    let least = |brief: &Brief, id: &str| Care::of(brief).rir_least(exercise(id));
    assert_eq!((least(&brief, "bench_press"), least(&brief, "dumbbell_bench_press")), (2, 0));
    brief.alone = Some(false);
    assert_eq!(least(&brief, "bench_press"), 0);
}

#[test]
fn who_stopped_begins_with_eight_reps_and_more_and_the_very_old_climb_into_nothing() {
    let mut brief = client(44, TrainingAge::Advanced);
    brief.present.sessions = Some(0);
    assert_eq!(Care::of(&brief).limits().reps_least, 8);
    let keeps_out = |age, id: &str| {
        let brief = client(age, TrainingAge::Beginner);
        Care::of(&brief).bar(builtin().get(&id.into()).unwrap()).is_some()
    };
    for id in ["machine_hip_thrust", "lying_leg_curl"] {
        assert!(keeps_out(75, id) && !keeps_out(74, id), "{id}");
    }
    assert!(!keeps_out(75, "seated_leg_curl"));
}

#[test]
fn returning_is_a_stop_with_a_reason_or_years_of_training_and_a_week_without() {
    assert!(is_returning(&returning(40, TrainingAge::Beginner)));
    assert!(!is_returning(&client(40, TrainingAge::Advanced)));
    let mut brief = client(40, TrainingAge::Advanced);
    brief.present.sessions = Some(0);
    assert!(is_returning(&brief));
    brief.training_age = TrainingAge::Beginner;
    assert!(!is_returning(&brief));
    let mut operated = with(&[Condition::KneeReplaced]);
    assert!(!is_returning(&operated));
    operated.screening.active = Some(false);
    assert!(is_returning(&operated));
}

#[test]
fn older_begins_on_the_birthday_and_nobody_is_guessed_to_be() {
    assert!(!is_older(&client(64, TrainingAge::Beginner)) && is_older(&client(65, TrainingAge::Beginner)));
    let mut brief = client(65, TrainingAge::Beginner);
    brief.body.age = None;
    assert!(!is_older(&brief));
}

#[test]
fn the_young_and_well_are_left_alone() {
    let brief = client(30, TrainingAge::Advanced);
    let care = Care::of(&brief);
    assert_eq!(care.limits(), Limits::FREE);
    assert!(builtin().iter().all(|e| care.bar(e).is_none()));
    assert!(cautions(&brief).is_empty() && asks_out(&brief).is_empty() && care.causes().is_empty());
}

#[test]
fn what_is_supported_is_seated_guided_or_on_a_pad() {
    let supported = "machine_row seated_cable_row lat_pulldown chest_supported_row seated_dumbbell_press leg_press \
                     lying_leg_curl machine_hip_thrust dumbbell_preacher_curl";
    let not = "bench_press incline_bench_press dumbbell_bench_press guided_bar_squat goblet_squat assisted_pull_up \
               hands_raised_press_up dumbbell_row bulgarian_split_squat standing_calf_machine_raise chair_dip \
               cable_curl farmer_carry glute_bridge";
    assert!(supported.split_whitespace().all(|id| is_supported(exercise(id))));
    for id in not.split_whitespace() {
        assert!(!is_supported(exercise(id)), "{id}");
    }
}

/// Every cause that a brief can give, one brief each.
fn every_cause() -> Vec<(Cause, Brief)> {
    let plain = || client(40, TrainingAge::Intermediate);
    let condition = |c: &Condition| (Cause::Condition(*c), with(&[*c]));
    let pain = |h: &Hurts| (Cause::Hurts(*h), Brief { hurts: vec![*h], ..plain() });
    let cannot = |t: &Tick| (Cause::Cannot(*t), Brief { cannot: vec![*t], ..plain() });
    let mut early = plain();
    early.time.early = true;
    let mut all: Vec<(Cause, Brief)> = Condition::ALL.iter().map(condition).collect();
    all.extend(Hurts::ALL.iter().map(pain));
    all.extend(Tick::ALL.iter().map(cannot));
    all.push((Cause::Older, client(65, TrainingAge::Intermediate)));
    all.push((Cause::Returning, returning(40, TrainingAge::Intermediate)));
    all.push((Cause::NewWithAnAnswer, returning(40, TrainingAge::FirstWeeks)));
    all.push((Cause::Alone, Brief { alone: Some(true), ..plain() }));
    all.push((Cause::Early, early));
    all
}

#[test]
fn every_cause_changes_something_and_says_where_it_comes_from() {
    for (cause, brief) in every_cause() {
        let care = Care::of(&brief);
        assert!(care.causes().contains(&cause), "{cause:?}");
        let bars = builtin().iter().any(|e| care.bar(e).is_some());
        let reserves = builtin().iter().any(|e| care.rir_least(e) > 0);
        assert!(bars || reserves || care.limits() != Limits::FREE, "{cause:?} changes nothing");
        assert!(["(A", "(B", "(M", "(T)"].iter().any(|mark| cause.source().contains(mark)), "{cause:?}");
    }
}

#[test]
fn every_condition_puts_the_clinicians_word_first() {
    let words = ["clinician", "surgeon", "cardiologist", "doctor", "midwife", "physiotherapist"];
    for condition in Condition::ALL {
        let said = cautions(&with(&[*condition]));
        assert!(said[0].starts_with("What a clinician has said"), "{said:?}");
        let own = said.last().unwrap();
        let (head, _) = own.split_once("comes first").unwrap_or_else(|| panic!("{own}"));
        assert!(words.iter().any(|word| head.contains(word)), "{own}");
        for forbidden in ["cure", "heal ", "diagnos"] {
            assert!(!own.contains(forbidden), "{own}");
        }
    }
}

#[test]
fn cautions_ask_after_a_clinician_until_one_has_agreed() {
    let mut brief = with(&[Condition::Diabetes]);
    assert!(cautions(&brief).contains(&NOT_CLEARED.to_owned()));
    brief.screening.cleared = Some(true);
    assert!(!cautions(&brief).contains(&NOT_CLEARED.to_owned()));
}

const LEGS: &[Pattern] = &[Pattern::Squat, Pattern::LegPress, Pattern::Lunge, Pattern::KneeExtension];
const PRESSES: &[Pattern] = &[Pattern::HorizontalPress, Pattern::InclinePress];
const PULLS: &[Pattern] = &[Pattern::HorizontalRow, Pattern::VerticalPull];

#[test]
fn pain_is_said_first_and_counts_as_an_answer() {
    let mut brief = Brief { hurts: vec![Hurts::Stairs], ..client(40, TrainingAge::Intermediate) };
    assert!(cautions(&brief)[0].contains("for a clinician") && cautions(&brief)[0].contains("stairs"));
    assert!(!cautions(&brief).contains(&PAIN_COUNTS.to_owned()));
    brief.screening.other = Some(false);
    assert!(cautions(&brief).contains(&PAIN_COUNTS.to_owned()));
}

#[test]
fn a_cause_is_named_once() {
    let causes = Care::of(&hip_of_72()).causes().len();
    let unique: BTreeSet<Cause> = Care::of(&hip_of_72()).causes().into_iter().collect();
    assert_eq!(causes, unique.len());
}

/// What is left is enough for a session: something for the knee, a row or another pull, and a press.
#[test]
fn every_client_keeps_legs_a_press_and_a_pull_in_a_gym_and_at_home() {
    for age in [30, 70] {
        for (cause, brief) in every_cause() {
            let mut brief = brief;
            brief.body.age = Some(age);
            for place in [Place::HomeDumbbells, Place::FullGym] {
                brief.equipment = Equipment { place, ..Equipment::default() };
                let there = Room::of(&brief.equipment);
                let care = Care::of(&brief);
                let left: Vec<&Exercise> =
                    builtin().iter().filter(|e| there.can_do(e) && care.bar(e).is_none()).collect();
                let has = |patterns: &[Pattern]| left.iter().any(|e| patterns.contains(&e.pattern));
                let what = format!("{cause:?} at {age} in {place:?}");
                assert!(has(LEGS), "no legs: {what}");
                assert!(has(PRESSES), "no press: {what}");
                assert!(has(PULLS), "no pull: {what}");
            }
        }
    }
}

#[test]
fn the_tighter_of_two_limits_is_taken_and_reasons_are_not_multiplied() {
    let a = Limits { rir_least: 3, sets_factor: Share(0.8), ..Limits::FREE };
    let b = Limits { reps_least: 8, sets_factor: Share(0.75), press_may_open: false, ..Limits::FREE };
    assert_eq!(a.and(b), b.and(a));
    assert_eq!(a.and(b).and(b), a.and(b));
    assert_eq!(a.and(b).sets_factor, Share(0.75));
    assert_eq!(a.and(Limits::FREE), a);
}

fn any_brief() -> impl Strategy<Value = Brief> {
    let causes = every_cause().len();
    (0..causes, 18_u32..90, any::<bool>(), proptest::sample::subsequence(Condition::ALL.to_vec(), 0..3))
        .prop_map(|(at, age, active, conditions)| {
            let mut brief = every_cause().swap_remove(at).1;
            brief.body.age = Some(age);
            brief.screening.active = Some(active);
            brief.conditions.extend(conditions);
            brief
        })
}

proptest! {
    /// A further condition never gives anything back.
    #[test]
    fn a_further_condition_only_takes_away(brief in any_brief(), more in proptest::sample::select(Condition::ALL)) {
        let mut further = brief.clone();
        further.conditions.push(more);
        let (a, b) = (Care::of(&brief), Care::of(&further));
        for e in builtin().iter() {
            prop_assert!(a.bar(e).is_none() || b.bar(e).is_some(), "{} comes back", e.id);
            prop_assert!(b.rir_least(e) >= a.rir_least(e));
        }
        prop_assert_eq!(b.limits().and(a.limits()), b.limits());
        prop_assert!(asks_out(&further).is_superset(&asks_out(&brief)));
    }

    /// Telling of a lift never takes it away, and changes nothing else.
    #[test]
    fn telling_of_a_lift_opens_only_that_lift(brief in any_brief(), at in 0_usize..400) {
        let Some(lift) = builtin().iter().nth(at) else { return Ok(()) };
        let telling = tell(brief.clone(), lift.id.as_str());
        let (a, b) = (Care::of(&brief), Care::of(&telling));
        for e in builtin().iter() {
            let (before, after) = (a.bar(e).is_some(), b.bar(e).is_some());
            prop_assert!(before == after || (e.id == lift.id && before), "{}", e.id);
        }
    }
}
