//! Session length against its minutes (SW101), sizes that differ much (SW136) and minutes left unused (SW137).

use crate::rules::warm_up::mentions_none;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::number;
use setwright_model::Severity;
use setwright_science::amounts;

/// Seconds by which the clock may differ from the minutes without a word (judgement: rounding only).
const TOLERANCE_S: f64 = 1.0;
/// The longest session may be this many times the shortest when their minutes are equal (judgement).
const LIKE_SIZES: f64 = 1.6;
/// A session that uses less than this share of its minutes is half empty (judgement).
const HALF_EMPTY: f64 = 0.5;
/// Over the cycle at least this share of the minutes is used (judgement: short sessions are well, when some are long).
const USED: f64 = 0.6;
/// Share of the most sets from which a session is full (judgement).
const FULL: f64 = 0.9;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        let Some(limit) = scene.limit(stage.rank) else { continue };
        let over_s = stage.timeline.total.get() - limit.to_seconds().get();
        let minutes = stage.timeline.minutes().get();
        if over_s > TOLERANCE_S {
            too_long(At::Session(stage.rank), minutes, limit.get(), over_s, out);
        } else if minutes < HALF_EMPTY * limit.get() && !scene.is_first_weeks() {
            let cause = format!("It takes {} of {} minutes.", number(minutes), number(limit.get()));
            let hint = "Add a set or an exercise for a muscle that is wanted, or plan fewer minutes.";
            out.add(At::Session(stage.rank), how_sure(scene, stage), "SW137", cause, hint);
        }
    }
    unlike_sizes(scene, out);
    unused(scene, out);
}

/// A sheet that is silent about warm-ups takes longer than its clock, and a session that holds what this client is given at most has
/// minutes left because it must: unused minutes are only noted then.
fn how_sure(scene: &Scene<'_>, stage: &Stage<'_>) -> Severity {
    if mentions_none(scene) || is_full(scene, stage) { Severity::Note } else { Severity::Warning }
}

/// Whether a session holds nearly all the sets that age, a condition, a sport or the present week leave it.
fn is_full(scene: &Scene<'_>, stage: &Stage<'_>) -> bool {
    let (Some(brief), Some(limit)) = (scene.brief, scene.limit(stage.rank)) else { return false };
    let sets = |s: &Stage<'_>| s.items.iter().map(Item::sets).sum::<u32>();
    let nearly = |have: u32, most: u32| f64::from(have) >= FULL * f64::from(most);
    let cycle: u32 = scene.stages.iter().map(sets).sum();
    nearly(sets(stage), amounts::session_sets(brief, limit))
        || amounts::cycle_sets(brief).is_some_and(|most| nearly(cycle, most))
}

/// The cycle as a whole, where no session is half empty by itself.
fn unused(scene: &Scene<'_>, out: &mut Findings) {
    let share = |s: &Stage<'_>| scene.limit(s.rank).map(|l| s.timeline.minutes().get() / l.get().max(1.0));
    let shares: Vec<f64> = scene.stages.iter().filter_map(share).collect();
    let mean = shares.iter().sum::<f64>() / shares.len().max(1) as f64;
    let said = shares.iter().any(|s| *s < HALF_EMPTY);
    if !shares.is_empty() && mean < USED && !said && !scene.is_first_weeks() {
        let cause = format!("{} % of the minutes are used over the cycle.", number((100.0 * mean).round()));
        let hint = "Add sets where they are wanted, or plan fewer minutes and say so.";
        let sure = scene.stages.iter().map(|s| how_sure(scene, s)).max().unwrap_or(Severity::Note);
        out.add(At::Programme, sure, "SW137", cause, hint);
    }
}

fn too_long(at: At, minutes: f64, limit: f64, over_s: f64, out: &mut Findings) {
    let cause = format!(
        "It takes {} minutes by the clock and may take {}: {} s too long.",
        number(minutes),
        number(limit),
        over_s.ceil()
    );
    out.error(at, "SW101", cause, "Drop a set, shorten a rest, or let two unrelated exercises alternate.")
        .by(over_s / 60.0);
}

fn unlike_sizes(scene: &Scene<'_>, out: &mut Findings) {
    let limits: Vec<_> = scene.stages.iter().map(|s| scene.limit(s.rank)).collect();
    if limits.windows(2).any(|w| w[0] != w[1]) {
        return;
    }
    let lengths = || scene.stages.iter().map(|s| s.timeline.minutes().get()).filter(|m| *m > 0.0);
    let longest = lengths().fold(0.0, f64::max);
    let shortest = lengths().fold(f64::INFINITY, f64::min);
    if shortest.is_finite() && longest > LIKE_SIZES * shortest {
        let cause = format!(
            "The longest session takes {} minutes and the shortest {}.",
            number(longest),
            number(shortest)
        );
        out.add(At::Programme, Severity::Warning, "SW136", cause, "Move an exercise to the short session.");
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, exercise, sets, straight};
    use setwright_model::brief::{MinutesPerSession, TrainingAge};
    use setwright_model::{Minutes, Muscle, Pattern, RampStep};

    /// One session of three sets: 30 + 3 x 40 + 2 x 90 = 330 s.
    fn case(minutes: f64) -> Case {
        let calf = exercise("calf", Pattern::CalfRaise, &[Muscle::Calves], &[]);
        Case::new([calf])
            .day(1, [straight(sets("calf", 3))])
            .brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(minutes)))
    }

    #[test]
    fn a_session_may_fill_its_minutes_but_not_pass_them() {
        assert_eq!(case(330.0 / 60.0).said("SW101"), NONE);
        assert_eq!(case(329.0 / 60.0).said("SW101"), NONE, "one second is rounding");
        assert_eq!(case(328.9 / 60.0).said("SW101"), ERROR);
        let report = case(5.0).report();
        let cause = &report.findings[0].cause;
        assert!(cause.contains("5.5 minutes") && cause.contains("30 s too long"), "{cause:?}");
    }

    #[test]
    fn a_cold_start_takes_its_five_minutes() {
        assert_eq!(case(10.5).brief(|b| b.time.cold = true).said("SW101"), NONE);
        assert_eq!(case(10.0).brief(|b| b.time.cold = true).said("SW101"), ERROR);
    }

    #[test]
    fn each_session_has_its_own_minutes_in_order_of_days() {
        let two = case(5.5).day(4, [straight(sets("calf", 3))]);
        let each = |a: f64, b: f64| {
            let minutes = MinutesPerSession::Each(vec![Minutes(a), Minutes(b)]);
            two.clone().brief(|brief| brief.time.minutes = minutes).said("SW101")
        };
        assert_eq!(each(5.5, 5.5), NONE);
        assert_eq!(each(5.5, 5.0), ERROR);
    }

    /// The same with a warm-up on the sheet, in minutes of which it uses this share.
    fn warmed(share: f64) -> Case {
        let mut case = case(60.0);
        let step = RampStep { reps: 5, load_kg: None };
        case.programme.sessions[0].blocks[0].exercises[0].ramp = vec![step];
        let minutes = case.report().sessions[0].minutes.get() / share;
        case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(minutes)))
    }

    #[test]
    fn a_sheet_without_warm_ups_takes_longer_than_its_clock() {
        assert_eq!(case(12.0).said("SW137"), NOTE);
        assert_eq!(warmed(0.45).said("SW137"), WARNING);
    }

    #[test]
    fn a_session_that_uses_little_of_its_minutes_is_half_empty() {
        let of_session = |share| {
            let findings = warmed(share).report().findings;
            findings.iter().any(|f| f.code == "SW137" && f.subject.contains("day"))
        };
        assert!(of_session(0.499) && !of_session(0.501));
        assert_eq!(warmed(0.599).said("SW137"), WARNING, "the cycle as a whole");
        assert_eq!(warmed(0.601).said("SW137"), NONE);
        let first = warmed(0.1).brief(|b| b.training_age = TrainingAge::FirstWeeks);
        assert_eq!(first.said("SW137"), NONE, "the first weeks are short on purpose");
    }

    #[test]
    fn minutes_that_must_be_left_are_only_noted() {
        let week = |n: u32, minutes: f64| {
            let all: Vec<_> =
                (0..4).map(|i| exercise(&format!("e{i}"), Pattern::ALL[i], &[Muscle::Calves], &[])).collect();
            let warmed = |id: &str| {
                let mut block = straight(sets(id, n));
                block.exercises[0].ramp = vec![RampStep { reps: 5, load_kg: None }];
                block
            };
            let blocks: Vec<_> = all.iter().map(|e| warmed(e.id.as_str())).collect();
            let case = Case::new(all).day(1, blocks);
            case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(minutes)))
        };
        let older = |n| week(n, 180.0).brief(|b| b.body.age = Some(70)).said("SW137");
        assert_eq!((older(6), older(5)), (NOTE, WARNING), "24 and 20 of 24 sets");
        assert_eq!(week(6, 180.0).said("SW137"), WARNING);
        let few = week(4, 90.0).brief(|b| b.present.sets = Some(6)).said("SW137");
        assert_eq!(few, NOTE, "sixteen sets for somebody who does six");
    }

    #[test]
    fn sessions_of_very_unlike_sizes_are_pointed_out() {
        // 330 s against 30 + 4 x 40 + 3 x 90 = 460 s (1.39) and 590 s (1.79).
        assert_eq!(case(60.0).day(4, [straight(sets("calf", 4))]).said("SW136"), NONE);
        let unlike = case(60.0).day(4, [straight(sets("calf", 5))]);
        assert_eq!(unlike.said("SW136"), WARNING);
        let minutes = MinutesPerSession::Each(vec![Minutes(30.0), Minutes(60.0)]);
        assert_eq!(unlike.brief(|b| b.time.minutes = minutes).said("SW136"), NONE, "as the minutes differ");
    }

    #[test]
    fn work_rest_and_idle_time_add_up() {
        let report = case(60.0).report();
        let session = &report.sessions[0];
        assert!((session.work.get() - 120.0).abs() < 1e-9);
        assert!((session.rest.get() - 180.0).abs() < 1e-9);
        assert!((session.idle.get() - 30.0).abs() < 1e-9);
        assert!((session.minutes.get() - 5.5).abs() < 1e-9);
        assert_eq!(session.sets, 3);
        assert_eq!(session.limit, Some(Minutes(60.0)));
        assert_eq!(case(60.0).report_alone().sessions[0].limit, None);
    }
}
