//! Recovery between sessions: the strain of each session (SW102) and muscles trained again too soon (SW103).
//! The cycle repeats for ever, so the last session is followed by the first.

use crate::rules::wishes::weekly;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::number;
use setwright_model::{FractionalSets, Hours, Muscle, MuscleSummary, Severity};
use setwright_science::dose;
use setwright_science::recovery::needed_gap;
use setwright_science::rules::TRAINED_SETS;

/// Fractional sets by which strain may pass its ceiling without a word (judgement: rounding only).
const STRAIN_TOLERANCE_SETS: f64 = 0.1;
/// Times the ceiling from which strain is refused to those who need care (judgement); it is an amount, and mended for
/// others.
const FAR: f64 = 1.3;
/// A direct dose from which on the time since the last one is looked at (judgement).
const HARD_DOSE_SETS: f64 = 2.0;
/// Hours by which a muscle may be trained before it is ready (judgement).
const EARLY_H: f64 = 12.0;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for muscle in Muscle::ALL {
        strain(scene, muscle, out);
        too_soon(scene, muscle, out);
    }
}

/// Length of the cycle; a cycle of no days is taken as one so that time never stands still.
fn cycle(scene: &Scene<'_>) -> Hours {
    Hours(24.0 * f64::from(scene.programme.cycle_days.max(1)))
}

/// Sessions on a day of the cycle; the others are named by `days`.
fn placed<'s, 'a>(scene: &'s Scene<'a>) -> impl Iterator<Item = &'s Stage<'a>> {
    let last = scene.programme.cycle_days;
    scene.stages.iter().filter(move |s| (1..=last).contains(&s.session.day))
}

/// Each of these sessions with the one before it and the hours from start to start, round the cycle.
pub(crate) fn gaps<'s, 'a>(
    scene: &Scene<'_>,
    stages: &[&'s Stage<'a>],
) -> Vec<(&'s Stage<'a>, &'s Stage<'a>, Hours)> {
    let last = scene.programme.cycle_days;
    let there: Vec<_> = stages.iter().filter(|s| (1..=last).contains(&s.session.day)).copied().collect();
    let Some(end) = there.last().copied() else { return Vec::new() };
    let before = std::iter::once((end, cycle(scene))).chain(there.iter().map(|s| (*s, Hours::ZERO)));
    let pairs = before.zip(&there);
    pairs.map(|((from, wrap), to)| (from, *to, to.start() - from.start() + wrap)).collect()
}

fn tau(scene: &Scene<'_>, muscle: Muscle) -> Hours {
    scene.belief.tau[muscle.index()]
}

fn strain(scene: &Scene<'_>, muscle: Muscle, out: &mut Findings) {
    let stages: Vec<_> = placed(scene).collect();
    let doses: Vec<FractionalSets> = stages.iter().map(|s| s.doses[muscle.index()]).collect();
    let starts: Vec<Hours> = stages.iter().map(|s| s.start()).collect();
    let debts = dose::debts(&doses, &starts, cycle(scene), tau(scene, muscle));
    let most = scene.rules.strain.get();
    for ((stage, dose), debt) in stages.iter().zip(doses).zip(debts) {
        let strain = dose::strain(dose, debt).get();
        if dose.get() > 0.0 && strain > most + STRAIN_TOLERANCE_SETS {
            let cause = format!(
                "{} fractional sets on top of {} still in the muscle make a strain of {}; {} is the ceiling.",
                number(dose.get()),
                number(debt.get()),
                number(strain),
                number(most)
            );
            let hint = "Drop a set here or in the session before, or move the two further apart.";
            let far = scene.needs_care() && strain > FAR * most;
            let severity = if far { Severity::Error } else { Severity::Warning };
            out.add(At::MuscleIn(stage.rank, muscle), severity, "SW102", cause, hint).by(strain - most);
        }
    }
}

/// Time that a muscle needs after a session, by its dose and how near to failure its sets ended.
fn needed_after(scene: &Scene<'_>, stage: &Stage<'_>, muscle: Muscle) -> Hours {
    needed_gap(stage.doses[muscle.index()], mean_rir(stage, muscle), tau(scene, muscle))
}

/// Reps in reserve of a muscle's sets, weighed by what each brings.
fn mean_rir(stage: &Stage<'_>, muscle: Muscle) -> f64 {
    let part = |i: &Item<'_>| i.exercise.contribution(muscle) * f64::from(i.sets());
    let all: f64 = stage.items.iter().map(part).sum();
    let weighed: f64 = stage.items.iter().map(|i| part(i) * f64::from(i.prescription.rir)).sum();
    if all > 0.0 { weighed / all } else { 0.0 }
}

fn trained<'s, 'a>(scene: &'s Scene<'a>, muscle: Muscle) -> Vec<&'s Stage<'a>> {
    placed(scene).filter(|s| s.dose(muscle) >= TRAINED_SETS).collect()
}

fn too_soon(scene: &Scene<'_>, muscle: Muscle, out: &mut Findings) {
    for (from, to, gap) in gaps(scene, &trained(scene, muscle)) {
        let direct = to.items.iter().any(|i| i.exercise.direct.contains(&muscle));
        if !direct || to.dose(muscle) < HARD_DOSE_SETS {
            continue;
        }
        let needed = needed_after(scene, from, muscle);
        if gap.get() < needed.get() - EARLY_H {
            let cause = format!(
                "Trained {} h after {} fractional sets on day {}, which take about {} h to recover from.",
                number(gap.get()),
                number(from.dose(muscle)),
                from.session.day,
                number(needed.get().round())
            );
            let hint = "Move the two sessions further apart, or do the smaller dose first.";
            out.add(At::MuscleIn(to.rank, muscle), Severity::Warning, "SW103", cause, hint);
        }
    }
}

/// Dose and recovery of every muscle over the cycle.
pub(crate) fn summaries(scene: &Scene<'_>) -> Vec<MuscleSummary> {
    Muscle::ALL.into_iter().map(|m| summary(scene, m)).collect()
}

fn summary(scene: &Scene<'_>, muscle: Muscle) -> MuscleSummary {
    let trained = trained(scene, muscle);
    let shortest = gaps(scene, &trained).into_iter().map(|(_, _, gap)| gap).reduce(Hours::min);
    let needed = trained.iter().map(|s| needed_after(scene, s, muscle)).reduce(Hours::max);
    MuscleSummary {
        id: muscle,
        sets_per_week: FractionalSets(weekly(scene, muscle)),
        sessions_per_cycle: trained.len() as u32,
        shortest_gap_h: shortest,
        needed_gap_h: needed,
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, WARNING, press, sets, squat, straight};
    use setwright_model::{FractionalSets, Hours, Muscle};

    /// Days with sets of the press, in a cycle, with one time constant for the chest and none elsewhere.
    fn chest(days: &[(u32, u32)], cycle_days: u32, tau_h: f64) -> Case {
        let case = Case::new([press(), squat()]);
        let mut case = days.iter().fold(case, |c, (day, n)| c.day(*day, [straight(sets("press", *n))]));
        case.programme.cycle_days = cycle_days;
        case.belief.tau = [Hours(0.01); Muscle::COUNT];
        case.belief.tau[Muscle::Chest.index()] = Hours(tau_h);
        case
    }

    #[test]
    fn strain_is_dose_and_weighted_debt_up_to_the_ceiling() {
        // 24 h at tau 24/ln 2 leave a half; the debt of 8 sets is 4 (and 1/128 of the cycle before), weighed 1.5.
        let half_a_day = 24.0 / std::f64::consts::LN_2;
        assert_eq!(chest(&[(1, 8), (2, 5)], 14, half_a_day).said("SW102"), NONE, "5 + 1.5 x 4 = 11");
        assert_eq!(chest(&[(1, 8), (2, 6)], 14, half_a_day).said("SW102"), WARNING, "6 + 1.5 x 4 = 12");
        assert_eq!(chest(&[(1, 8), (3, 6)], 14, half_a_day).said("SW102"), NONE, "6 + 1.5 x 2 = 9");
    }

    #[test]
    fn a_dose_alone_is_held_by_the_ceiling() {
        assert_eq!(chest(&[(1, 11)], 14, 1.0).said("SW102"), NONE);
        assert_eq!(chest(&[(1, 12)], 14, 1.0).said("SW102"), WARNING);
    }

    #[test]
    fn strain_far_above_the_ceiling_is_refused_to_those_who_need_care() {
        let aged = |n, age| chest(&[(1, n)], 14, 1.0).brief(|b| b.body.age = Some(age)).said("SW102");
        assert_eq!(
            (aged(14, 60), aged(15, 60), aged(15, 59)),
            (WARNING, ERROR, WARNING),
            "1.3 times 11 are 14.3"
        );
    }

    #[test]
    fn the_debt_runs_round_the_cycle() {
        let tau = 24.0 / std::f64::consts::LN_2;
        assert_eq!(chest(&[(1, 6), (7, 8)], 7, tau).said("SW102"), WARNING, "day 7 is the day before day 1");
        assert_eq!(chest(&[(1, 6), (6, 8)], 7, tau).said("SW102"), NONE);
    }

    #[test]
    fn a_session_that_leaves_a_muscle_alone_has_no_strain_of_it() {
        let case = chest(&[(1, 10)], 7, 400.0).day(2, [straight(sets("squat", 3))]);
        let report = case.report();
        let of_chest = |f: &&setwright_model::Finding| f.code == "SW102" && f.subject.contains("chest");
        assert_eq!(report.findings.iter().filter(of_chest).count(), 1, "only where it is trained");
    }

    /// A press of eight sets to failure on day 1 and of `n` sets on day `second`.
    fn again(second: u32, n: u32, tau_h: f64) -> (usize, usize, usize) {
        let mut case = chest(&[(1, 8), (second, n)], 14, tau_h);
        case.programme.sessions[0].blocks[0].exercises[0].rir = 0;
        case.said("SW103")
    }

    #[test]
    fn a_muscle_is_trained_hard_only_half_a_day_before_it_is_ready() {
        let needed = setwright_science::recovery::needed_gap(FractionalSets(8.0), 0.0, Hours(1.0)).get();
        assert_eq!(again(2, 2, 35.9 / needed), NONE, "24 h when 36 h are needed");
        assert_eq!(again(2, 2, 36.1 / needed), WARNING);
        assert_eq!(again(2, 1, 36.1 / needed), NONE, "one set is not hard");
        assert_eq!(again(3, 2, 36.1 / needed), NONE);
    }

    #[test]
    fn reps_in_reserve_shorten_the_time_needed() {
        let mut case = chest(&[(1, 8), (3, 2)], 14, 30.0);
        case.programme.sessions[0].blocks[0].exercises[0].rir = 0;
        let to_failure = case.report().muscles[Muscle::Chest.index()].needed_gap_h.map(Hours::get);
        case.programme.sessions[0].blocks[0].exercises[0].rir = 4;
        let spared = case.report().muscles[Muscle::Chest.index()].needed_gap_h.map(Hours::get);
        assert!(spared < to_failure, "{spared:?} {to_failure:?}");
    }

    #[test]
    fn the_summary_counts_doses_sessions_and_gaps() {
        let report = chest(&[(1, 4), (3, 2)], 7, 30.0).report();
        let chest = report.muscles[Muscle::Chest.index()];
        assert_eq!(chest.id, Muscle::Chest);
        assert!((chest.sets_per_week.get() - 6.0).abs() < 1e-9);
        assert_eq!(chest.sessions_per_cycle, 2);
        assert_eq!(chest.shortest_gap_h, Some(Hours(48.0)));
        let calves = report.muscles[Muscle::Calves.index()];
        assert_eq!((calves.sessions_per_cycle, calves.shortest_gap_h, calves.needed_gap_h), (0, None, None));
    }

    #[test]
    fn a_muscle_that_only_helps_is_not_too_soon() {
        let mut case = chest(&[(1, 8), (2, 8)], 14, 0.01);
        case.belief.tau[Muscle::Triceps.index()] = Hours(60.0);
        assert_eq!(case.said("SW103"), NONE, "four sets, and none of them for the triceps first");
        case.exercises[0].direct.push(Muscle::Triceps);
        case.exercises[0].half.clear();
        assert_eq!(case.said("SW103"), WARNING);
    }
}
