//! Numbers that cannot be meant (SW180) or that a coach would want to look at (SW181).

use crate::sane::{RAMP_STEPS_MAX, REPS_MAX};
use crate::scene::{At, Findings, Item, Scene};
use crate::words::{count, number};
use setwright_model::exercise::Measure;
use setwright_model::limits::SETS_AUDIT_MAX;
use setwright_model::{Prescription, Seconds, Severity};

/// Longest rest that is taken as meant, in seconds (judgement: ten minutes).
const REST_S_MAX: f64 = 600.0;
/// Reps in reserve above which a set is hardly work (judgement).
const RIR_MAX: u32 = 5;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        if stage.session.prescriptions().next().is_none() {
            let hint = "Give the session exercises, or take it out.";
            out.error(At::Session(stage.rank), "SW180", "The session has no exercises.", hint);
        }
        for (block, b) in stage.session.blocks.iter().enumerate() {
            check_rest(At::Block(stage.rank, block), b.rest_s, out);
            for (lane, p) in b.exercises.iter().enumerate() {
                check_numbers(At::Exercise(stage.rank, block, lane), p, out);
            }
        }
        for item in &stage.items {
            check_habits(At::Exercise(stage.rank, item.block, item.lane), item, out);
        }
    }
}

fn check_rest(at: At, rest_s: Seconds, out: &mut Findings) {
    let rest_s = rest_s.get();
    if !(0.0..=REST_S_MAX).contains(&rest_s) {
        let cause = format!("A rest of {} s is outside 0 to {} s.", number(rest_s), number(REST_S_MAX));
        out.error(at, "SW180", cause, "Give the rest in seconds, for example 90.");
    }
}

fn check_numbers(at: At, p: &Prescription, out: &mut Findings) {
    let [low, high] = p.reps;
    if p.sets == 0 {
        out.error(at, "SW180", "It has no sets.", "Give it sets, or take it out.");
    }
    if p.sets > SETS_AUDIT_MAX {
        let cause = format!("{} sets are more than the {SETS_AUDIT_MAX} that are reckoned with.", p.sets);
        out.error(at, "SW180", cause, "Lower the sets.");
    }
    if low == 0 || low > high || high > REPS_MAX {
        let cause = format!("A range of {low} to {high} cannot be done.");
        out.error(at, "SW180", cause, format!("Give the lower number first, from 1 to {REPS_MAX}."));
    }
    if p.ramp.iter().any(|s| s.reps == 0 || s.reps > REPS_MAX) || p.ramp.len() > RAMP_STEPS_MAX {
        let cause = format!("{} with at least one rep each are what a warm-up can hold.", count(10, "step"));
        out.error(at, "SW180", cause, "Write the warm-up anew, for example 12, 8 and 4 reps.");
    }
    let loads = p.load_kg.iter().chain(p.ramp.iter().filter_map(|s| s.load_kg.as_ref()));
    if loads.into_iter().any(|l| !l.get().is_finite()) {
        out.error(at, "SW180", "A load is not a number.", "Give the load in kilograms, or leave it out.");
    }
}

fn check_habits(at: At, item: &Item<'_>, out: &mut Findings) {
    let p = item.prescription;
    if p.rir > RIR_MAX {
        let cause = format!("{} left in reserve are hardly work.", count(p.rir, "rep"));
        out.add(at, Severity::Note, "SW181", cause, "Most sets end with 1 to 4 reps in reserve.");
    }
    let [low, high] = item.exercise.reps;
    if item.exercise.measure == Measure::Reps && (p.reps[1] < low || p.reps[0] > high) {
        let cause = format!("{} to {} reps are outside its usual {low} to {high}.", p.reps[0], p.reps[1]);
        out.add(at, Severity::Note, "SW181", cause, "Look whether the reps are meant.");
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, press, sets, straight};
    use crate::sane::{RAMP_STEPS_MAX, REPS_MAX};
    use setwright_model::{Kilograms, Prescription, RampStep, Seconds};

    fn case(change: impl FnOnce(&mut Prescription)) -> Case {
        let mut p = sets("press", 3);
        change(&mut p);
        Case::new([press()]).day(1, [straight(p)])
    }

    #[test]
    fn rests_are_from_nothing_to_ten_minutes() {
        let rest = |rest_s: f64| {
            let mut block = straight(sets("press", 3));
            block.rest_s = Seconds(rest_s);
            Case::new([press()]).day(1, [block]).said("SW180")
        };
        assert_eq!(rest(0.0), NONE);
        assert_eq!(rest(600.0), NONE);
        assert_eq!(rest(601.0), ERROR);
        assert_eq!(rest(-1.0), ERROR);
        assert_eq!(rest(f64::NAN), ERROR);
    }

    #[test]
    fn reps_and_sets_can_be_done() {
        assert_eq!(case(|p| p.reps = [8, 8]).said("SW180"), NONE);
        assert_eq!(case(|p| p.reps = [9, 8]).said("SW180"), ERROR);
        assert_eq!(case(|p| p.reps = [0, 8]).said("SW180"), ERROR);
        assert_eq!(case(|p| p.reps = [8, REPS_MAX]).said("SW180"), NONE);
        assert_eq!(case(|p| p.reps = [8, REPS_MAX + 1]).said("SW180"), ERROR);
        assert_eq!(case(|p| p.sets = 0).said("SW180"), ERROR);
        assert_eq!(case(|p| p.sets = 30).said("SW180"), NONE);
        assert_eq!(case(|p| p.sets = 31).said("SW180"), ERROR);
    }

    #[test]
    fn warm_up_steps_and_loads_can_be_done() {
        let step = |reps| RampStep { reps, load_kg: None };
        assert_eq!(case(|p| p.ramp = vec![step(1); RAMP_STEPS_MAX]).said("SW180"), NONE);
        assert_eq!(case(|p| p.ramp = vec![step(1); RAMP_STEPS_MAX + 1]).said("SW180"), ERROR);
        assert_eq!(case(|p| p.ramp = vec![step(0)]).said("SW180"), ERROR);
        assert_eq!(case(|p| p.load_kg = Some(Kilograms(f64::NAN))).said("SW180"), ERROR);
    }

    #[test]
    fn a_session_has_exercises() {
        assert_eq!(Case::new([press()]).day(1, []).said("SW180"), ERROR);
    }

    #[test]
    fn odd_habits_are_only_noted() {
        assert_eq!(case(|p| p.rir = 5).said("SW181"), NONE);
        assert_eq!(case(|p| p.rir = 6).said("SW181"), NOTE);
        assert_eq!(case(|p| p.reps = [20, 25]).said("SW181"), NONE, "touches the usual 5 to 20");
        assert_eq!(case(|p| p.reps = [21, 25]).said("SW181"), NOTE);
    }
}
