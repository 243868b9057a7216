//! Briefs that cannot be met: nothing is found, and the same brief without the cause is met.

use crate::moves;
use setwright_instances::generator::{Cause, Instance, broken};
use setwright_model::Status;
use setwright_optimise::frame::frames;
use setwright_optimise::solve::{Mode, search, solve};

fn status(instance: &Instance) -> (Status, Vec<String>) {
    let budget = moves(30_000, 1);
    let out =
        solve(&instance.brief, &instance.catalogue, &instance.belief, Mode::Benefit, &budget, &mut |_| {});
    (out.status, out.conflict)
}

fn is_met(instance: &Instance) -> bool {
    let problem = instance.problem();
    let frames = frames(&problem);
    let best = search(&problem, &frames, &moves(200_000, 1), &mut |_| {}).best;
    problem.broken_locks.is_empty() && best.is_some_and(|b| b.found.short == 0)
}

fn cannot_be_met_for(cause: Cause) {
    let case = broken(cause, 1);
    assert!(is_met(&case.mended), "{}", case.mended.name);
    assert!(!is_met(&case.instance), "{}", case.instance.name);
    let (status, lines) = status(&case.instance);
    assert_eq!(status, Status::Infeasible, "{cause:?}: {lines:?}");
    assert!(!lines.is_empty(), "{cause:?} is not explained");
}

macro_rules! causes {
    ($($test:ident = $cause:ident;)*) => {
        $(#[test] fn $test() { cannot_be_met_for(Cause::$cause); })*

        #[test]
        fn every_cause_has_its_test() {
            assert_eq!(Cause::ALL.to_vec(), [$(Cause::$cause),*]);
        }
    };
}

causes! {
    a_lock_against_a_lock_is_proven = LockAgainstLock;
    a_lock_with_what_competes_is_proven = LockWithWhatCompetes;
    a_lock_against_an_exclusion_is_proven = LockAgainstExclusion;
    too_few_minutes_are_proven = TooFewMinutes;
    more_than_a_muscle_recovers_from_is_proven = Recovery;
    spine_on_neighbouring_days_is_proven = SpineOnNeighbouringDays;
    missing_equipment_is_proven = EquipmentMissing;
}
