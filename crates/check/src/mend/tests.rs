//! Repairs of small programmes with one or a few things wrong.

use super::{Mend, mend};
use crate::kit::{
    Case, curl, exercise, extension, hinge, loaded, pair, press, row, sets, squat, straight, with,
};
use setwright_model::BlockKind::{Alternating, Straight};
use setwright_model::brief::{MinutesPerSession, Place, Priority};
use setwright_model::exercise::LoadKind;
use setwright_model::station::Station;
use setwright_model::{FractionalSets, MassUnit, Minutes, Muscle, Pattern, Sentence, Severity};

fn repair(case: &Case) -> Option<Mend> {
    mend(&case.programme, Some(&case.brief), &case.catalogue(), &case.belief)
}

/// The steps of a repair that must leave no error.
fn steps(case: &Case) -> Vec<Sentence> {
    let mend = repair(case).expect("something helps");
    let errors: Vec<_> = mend.findings_after().iter().filter(|f| f.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:?} after {:?}", mend.steps);
    mend.steps
}

/// Half the minutes of the programme are used, and only errors are looked at.
fn roomy(case: Case) -> Case {
    case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(30.0)))
}

#[test]
fn a_clean_programme_needs_no_repair() {
    let calf = exercise("calf", Pattern::CalfRaise, &[Muscle::Calves], &[]);
    let case = Case::new([calf]).day(1, [straight(sets("calf", 4))]);
    let case = case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(8.0)));
    assert!(case.report().findings.is_empty(), "{:?}", case.report().findings);
    assert_eq!(repair(&case), None);
}

#[test]
fn a_missing_warm_up_is_added() {
    let bar = with(press(), |e| e.load = LoadKind::Bar);
    let other = with(row(), |e| e.load = LoadKind::Bar);
    let ramped = [straight(loaded("row", 60.0, &[(8, 30.0), (4, 45.0)]))];
    let case = roomy(Case::new([bar, other]).day(1, [straight(loaded("press", 80.0, &[]))]).day(4, ramped));
    let steps = steps(&case);
    assert!(
        steps.iter().any(|s| s.shown_in(MassUnit::Kg).starts_with("Warm up for press in session 1 (day 1)")),
        "{steps:?}"
    );
}

#[test]
fn blocks_in_the_wrong_order_are_swapped() {
    let blocks = [straight(sets("extension", 3)), straight(sets("press", 3))];
    let case = roomy(Case::new([press(), extension()]).day(1, blocks));
    assert_eq!(steps(&case), ["In session 1 (day 1), do press before extension (swap their blocks)."]);
}

#[test]
fn a_pair_that_competes_is_split() {
    let block = pair(Alternating, sets("press", 3), sets("extension", 3));
    let case = roomy(Case::new([press(), extension()]).day(1, [block]));
    let mend = repair(&case).expect("splitting helps");
    let first = &mend.programme.programme().sessions[0];
    assert!(first.blocks.len() == 2 && first.blocks.iter().all(|b| b.kind == Straight));
    assert_eq!(mend.steps.len(), 1, "{:?}", mend.steps);
}

#[test]
fn sessions_too_close_are_moved_to_a_possible_day() {
    let heavy = with(squat(), |e| e.spinal = 2);
    let other = with(hinge(), |e| e.spinal = 2);
    let case = Case::new([heavy, other])
        .day(1, [straight(sets("squat", 3))])
        .day(2, [straight(sets("hinge", 3))])
        .brief(|b| b.time.possible_days = vec![1, 2, 4, 7]);
    let low = [Muscle::Quads, Muscle::Hamstrings, Muscle::Glutes];
    let case = low.into_iter().fold(case, |c, m| c.wish(m, |w| w.priority = Some(Priority::Low)));
    let steps = steps(&roomy(case));
    assert!(steps.len() == 1 && steps[0].shown_in(MassUnit::Kg).starts_with("Move session"), "{steps:?}");
    assert!(
        steps[0].shown_in(MassUnit::Kg).ends_with("to day 4."),
        "the one possible day that is far enough: {steps:?}"
    );
}

#[test]
fn what_the_room_lacks_is_swapped_for_a_neighbour() {
    let bench = with(press(), |e| e.stations = vec![Station::Bench]);
    let floor = exercise("floor_press", Pattern::HorizontalPress, &[Muscle::Chest], &[]);
    let case = Case::new([bench, floor]).day(1, [straight(sets("press", 3))]);
    let case = roomy(case).brief(|b| b.equipment.place = Place::Bare);
    assert_eq!(steps(&case), ["Do floor press instead of press in session 1 (day 1)."]);
}

#[test]
fn a_session_a_little_too_long_loses_a_set_or_lets_two_alternate() {
    let blocks = [straight(sets("press", 4)), straight(sets("row", 4))];
    let mut case = Case::new([press(), row()]).day(1, blocks);
    let minutes = case.report().sessions[0].minutes.get();
    case.brief.time.minutes = MinutesPerSession::Same(Minutes(minutes - 1.0));
    let steps = steps(&case);
    assert_eq!(steps.len(), 1, "{steps:?}");
}

#[test]
fn a_muscle_that_is_short_gets_sets() {
    let case = Case::new([press(), curl()]).day(1, [straight(sets("curl", 2)), straight(sets("press", 2))]);
    let case = case.wish(Muscle::Biceps, |w| w.least = Some(FractionalSets(3.0)));
    assert_eq!(steps(&roomy(case)), ["Add a set of curl in session 1 (day 1); 3 sets then."]);
}

#[test]
fn a_muscle_nobody_trains_gets_an_exercise() {
    let case = Case::new([press(), curl()]).day(1, [straight(sets("press", 2))]);
    let case = case.brief(|b| b.exclude.muscles = vec![Muscle::Triceps]);
    let case = case.wish(Muscle::Biceps, |w| w.least = Some(FractionalSets(2.0)));
    assert_eq!(steps(&roomy(case)), ["Add 2 sets of curl to session 1 (day 1)."]);
}

#[test]
fn an_unknown_exercise_is_taken_out() {
    let case = Case::new([press()]).day(1, [straight(sets("press", 3)), straight(sets("prss", 3))]);
    assert_eq!(steps(&roomy(case)), ["Take prss out of session 1 (day 1)."]);
}

#[test]
fn many_faults_are_repaired_step_by_step() {
    let bar = |e| with(e, |e| e.load = LoadKind::Bar);
    let day = || [straight(loaded("press", 80.0, &[])), straight(loaded("row", 60.0, &[]))];
    let ramp = [(12, 30.0), (8, 40.0), (4, 55.0)];
    let warm = || [straight(loaded("press", 80.0, &ramp)), straight(loaded("row", 60.0, &ramp[..2]))];
    let case = Case::new([bar(press()), bar(row())]).day(1, day()).day(3, day()).day(5, warm());
    let steps = steps(&roomy(case));
    let warmed = steps.iter().filter(|s| s.shown_in(MassUnit::Kg).starts_with("Warm up")).count();
    assert_eq!(warmed, 4, "two warm-ups in each of two sessions: {steps:?}");
}

#[test]
fn what_the_coach_fixed_is_left_alone() {
    let blocks = [straight(sets("press", 5)), straight(sets("row", 3))];
    let case = Case::new([press(), row()]).day(1, blocks).lock("press", |l| l.sets = Some(5));
    let mut case = case.brief(|b| b.style.alternate = false);
    let minutes = case.report().sessions[0].minutes.get();
    case.brief.time.minutes = MinutesPerSession::Same(Minutes(minutes - 1.0));
    let mend = repair(&case).expect("a set of row can go");
    assert_eq!(mend.steps, ["Drop a set of row in session 1 (day 1); 2 sets remain."]);
}

#[test]
fn a_repair_says_what_was_wrong_and_what_is_left() {
    let blocks = [straight(sets("extension", 3)), straight(sets("press", 3))];
    let case = Case::new([press(), extension()]).day(1, blocks);
    let mend = repair(&case).expect("order helps");
    assert!(case.report().findings.iter().any(|f| f.code == "SW133"));
    assert!(mend.findings_after().iter().all(|f| f.code != "SW133"));
}

#[test]
fn what_no_edit_helps_is_left() {
    let case = Case::new([press()]).day(1, [straight(sets("press", 3))]);
    let case = roomy(case).brief(|b| b.screening.signs = Some(true));
    let errors = |f: &[setwright_model::Finding]| f.iter().filter(|f| f.severity == Severity::Error).count();
    match repair(&case) {
        None => {}
        Some(mend) => assert_eq!(errors(mend.findings_after()), errors(&case.report().findings)),
    }
}

#[test]
fn a_load_that_cannot_be_made_is_lowered() {
    let bar = with(press(), |e| e.load = LoadKind::Bar);
    let ramp = [(12, 30.0), (8, 40.0), (4, 55.0)];
    let case = roomy(Case::new([bar]).day(1, [straight(loaded("press", 81.0, &ramp))]));
    assert_eq!(steps(&case), ["Lower press in session 1 (day 1) from 81 kg to 80 kg."]);
}

#[test]
fn a_warm_up_that_is_too_heavy_is_written_anew() {
    let bar = with(press(), |e| e.load = LoadKind::Bar);
    let case = roomy(Case::new([bar]).day(1, [straight(loaded("press", 80.0, &[(12, 30.0), (4, 77.5)]))]));
    let mend = repair(&case).expect("a lighter ramp helps");
    assert_eq!(mend.steps.len(), 1, "{:?}", mend.steps);
    let ramp = &mend.programme.programme().sessions[0].blocks[0].exercises[0].ramp;
    assert!(ramp.iter().all(|s| s.load_kg.is_some_and(|l| l.get() <= 72.0)), "{ramp:?}");
}

#[test]
fn what_the_client_came_for_is_added() {
    let day = |ids: [&str; 2]| ids.map(|id| straight(sets(id, 3)));
    let case = Case::new([press(), row(), squat(), hinge(), curl()])
        .day(1, day(["squat", "hinge"]))
        .day(4, day(["press", "row"]));
    let once = Muscle::MAJOR.into_iter().fold(case, |c, m| c.wish(m, |w| w.sessions = Some(1)));
    let once = once.brief(|b| b.muscles.retain(|m, _| *m != Muscle::Abs && *m != Muscle::Calves));
    let wanted = once.wish(Muscle::Biceps, |w| (w.priority, w.sessions) = (Some(Priority::Top), None));
    let mend = repair(&wanted).expect("a curl helps");
    assert!(mend.steps.iter().any(|s| s.contains("of curl")), "{:?}", mend.steps);
    assert!(mend.findings_after().iter().all(|f| f.code != "SW163" || f.severity == Severity::Note));
}
