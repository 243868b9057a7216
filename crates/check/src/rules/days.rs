//! Which days the sessions are on, how many there are (SW107), and whether whole-body sessions are as far apart as they
//! could be (SW139). Recovery is judged elsewhere.

use crate::scene::{At, Findings, Scene, Stage};
use crate::words::{count, list};
use setwright_model::limits::CYCLE_DAYS_MAX;
use setwright_model::pattern::Side;
use setwright_model::{Brief, Severity};

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    in_cycle(scene, out);
    one_a_day(scene, out);
    if let Some(brief) = scene.brief {
        asked(scene, brief, out);
        apart(scene, brief, out);
    }
}

/// Whole-body sessions on days that the planner or the coach may choose lie as far apart as they can. Next to each other
/// is mended, a day less than possible noted.
fn apart(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let sessions = scene.stages.len();
    if sessions < 2 || !brief.time.days.is_empty() || !scene.stages.iter().all(|s| is_whole_body(scene, s)) {
        return;
    }
    let cycle = scene.programme.cycle_days.clamp(1, CYCLE_DAYS_MAX);
    let possible: Vec<u32> = match &brief.time.possible_days {
        days if days.is_empty() => (1..=cycle).collect(),
        days => days.iter().copied().filter(|d| (1..=cycle).contains(d)).collect(),
    };
    let days: Vec<u32> = scene.stages.iter().map(|s| s.session.day).collect();
    let have = smallest_gap(&days, cycle);
    let best = (1..=cycle).rev().find(|gap| fits(&possible, sessions, *gap, cycle)).unwrap_or(0);
    if have < best {
        let severity = if have <= 1 { Severity::Warning } else { Severity::Note };
        let cause = format!(
            "Whole-body sessions lie {} apart at the closest; {best} are possible.",
            count(have, "day")
        );
        out.add(At::Programme, severity, "SW139", cause, "Spread the sessions over the cycle.")
            .by(f64::from(best - have));
    }
}

/// A session for the whole body: by its name, or with pushing, pulling and legs in it.
fn is_whole_body(scene: &Scene<'_>, stage: &Stage<'_>) -> bool {
    let has = |sides: &[Side]| stage.items.iter().any(|i| sides.contains(&i.exercise.pattern.side()));
    scene.is_whole_body(stage) || (has(&[Side::Push]) && has(&[Side::Pull]) && has(&[Side::Knee, Side::Hip]))
}

/// The shortest time between two sessions, round the cycle, in days.
pub(super) fn smallest_gap(days: &[u32], cycle: u32) -> u32 {
    let next = |i: usize| if i + 1 < days.len() { days[i + 1] } else { days[0] + cycle };
    (0..days.len()).map(|i| next(i).saturating_sub(days[i])).min().unwrap_or(cycle)
}

/// Whether so many sessions fit on the possible days with so many days between, round the cycle: from each first day on,
/// the earliest that is far enough is taken.
fn fits(possible: &[u32], sessions: usize, gap: u32, cycle: u32) -> bool {
    possible.iter().any(|first| {
        let (mut last, mut placed) = (*first, 1);
        for day in possible.iter().filter(|d| *d > first) {
            if *day >= last + gap {
                (last, placed) = (*day, placed + 1);
                if placed == sessions {
                    return first + cycle - last >= gap;
                }
            }
        }
        placed == sessions
    })
}

fn in_cycle(scene: &Scene<'_>, out: &mut Findings) {
    let cycle = scene.programme.cycle_days;
    for stage in &scene.stages {
        let day = stage.session.day;
        if day == 0 || day > cycle {
            let cause = format!("Day {day} is outside the cycle of {}.", count(cycle, "day"));
            out.error(At::Session(stage.rank), "SW107", cause, format!("Choose a day from 1 to {cycle}."));
        }
    }
}

fn one_a_day(scene: &Scene<'_>, out: &mut Findings) {
    for pair in scene.stages.windows(2) {
        let day = pair[1].session.day;
        if pair[0].session.day == day {
            let cause = format!("Day {day} already has a session.");
            out.error(At::Session(pair[1].rank), "SW107", cause, "Move one of the two to a free day.");
        }
    }
}

fn asked(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let (have, want) = (scene.stages.len() as u32, brief.time.sessions);
    if have != want {
        let cause = format!("It has {} and the brief asks for {want}.", count(have, "session"));
        let hint =
            if have < want { "Add the missing sessions." } else { "Take sessions out, or ask for more." };
        out.error(At::Programme, "SW107", cause, hint);
    }
    let (cycle, asked) = (scene.programme.cycle_days, brief.time.cycle_days);
    if cycle != asked {
        let cause = format!("It repeats every {} and the brief says {asked}.", count(cycle, "day"));
        out.error(At::Programme, "SW107", cause, format!("Set the cycle to {asked} days."));
    }
    let (days, which) = match (&brief.time.days, &brief.time.possible_days) {
        (fixed, _) if !fixed.is_empty() => (fixed, "fixed"),
        (_, possible) => (possible, "possible"),
    };
    for stage in scene.stages.iter().filter(|s| !days.is_empty() && !days.contains(&s.session.day)) {
        let cause = format!("Day {} is not among the {which} days.", stage.session.day);
        let names: Vec<String> = days.iter().map(u32::to_string).collect();
        out.error(At::Session(stage.rank), "SW107", cause, format!("Move it to day {}.", list_or(&names)));
    }
}

fn list_or(names: &[String]) -> String {
    list(names).replace(" and ", " or ")
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, press, row, sets, squat, straight, tally};

    fn on(days: &[u32]) -> Case {
        days.iter().fold(Case::new([press()]), |case, day| case.day(*day, [straight(sets("press", 3))]))
    }

    #[test]
    fn days_are_inside_the_cycle() {
        assert_eq!(on(&[1, 7]).said("SW107"), NONE);
        assert_eq!(on(&[1, 8]).said("SW107"), ERROR);
        assert_eq!(on(&[0, 7]).said("SW107"), ERROR);
    }

    #[test]
    fn a_day_holds_one_session() {
        assert_eq!(on(&[3, 3]).said("SW107"), ERROR);
        assert_eq!(on(&[3, 4]).said("SW107"), NONE);
    }

    #[test]
    fn there_are_as_many_sessions_as_asked() {
        let asks = |sessions| on(&[1, 4]).brief(|b| b.time.sessions = sessions).said("SW107");
        assert_eq!(asks(2), NONE);
        assert_eq!(asks(1), ERROR);
        assert_eq!(asks(3), ERROR);
    }

    #[test]
    fn the_cycle_is_as_long_as_asked() {
        assert_eq!(on(&[1]).brief(|b| b.time.cycle_days = 7).said("SW107"), NONE);
        assert_eq!(on(&[1]).brief(|b| b.time.cycle_days = 9).said("SW107"), ERROR);
    }

    #[test]
    fn fixed_and_possible_days_are_kept() {
        let fixed = |days: Vec<u32>| on(&[2, 5]).brief(|b| b.time.days = days).said("SW107");
        assert_eq!(fixed(vec![2, 5]), NONE);
        assert_eq!(fixed(vec![2, 6]), ERROR);
        let possible = |days: Vec<u32>| on(&[2, 5]).brief(|b| b.time.possible_days = days).said("SW107");
        assert_eq!(possible(vec![1, 2, 3, 5]), NONE);
        assert_eq!(possible(vec![1, 2, 3, 4]), ERROR);
    }

    #[test]
    fn without_a_brief_only_the_cycle_counts() {
        assert_eq!(tally(&on(&[2, 5]).brief(|b| b.time.sessions = 4).report_alone(), "SW107"), NONE);
        assert_eq!(tally(&on(&[2, 9]).report_alone(), "SW107"), ERROR);
    }

    /// Whole-body sessions on these days of a week.
    fn whole(days: &[u32]) -> Case {
        let ids = ["press", "row", "squat"];
        let blocks = || ids.map(|id| straight(sets(id, 3)));
        days.iter().fold(Case::new([press(), row(), squat()]), |case, day| case.day(*day, blocks()))
    }

    #[test]
    fn whole_body_sessions_lie_as_far_apart_as_they_can() {
        assert_eq!(whole(&[1, 3, 5]).said("SW139"), NONE);
        assert_eq!(whole(&[1, 2, 5]).said("SW139"), WARNING);
        assert_eq!(whole(&[1, 4]).said("SW139"), NONE);
        assert_eq!(whole(&[1, 3]).said("SW139"), NOTE, "three days are possible");
        assert_eq!(whole(&[1, 7]).said("SW139"), WARNING, "round the cycle");
        assert_eq!(on(&[1, 2]).said("SW139"), NONE, "not for the whole body");
    }

    #[test]
    fn days_that_are_fixed_or_all_there_are_lie_as_they_must() {
        assert_eq!(whole(&[1, 2]).brief(|b| b.time.days = vec![1, 2]).said("SW139"), NONE);
        assert_eq!(whole(&[1, 2]).brief(|b| b.time.possible_days = vec![1, 2]).said("SW139"), NONE);
        let better = whole(&[1, 2]).brief(|b| b.time.possible_days = vec![1, 2, 4]);
        assert_eq!(better.said("SW139"), WARNING);
    }
}
